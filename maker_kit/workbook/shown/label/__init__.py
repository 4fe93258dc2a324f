"""What is shown of labels: a shop's that is read, and ours."""
