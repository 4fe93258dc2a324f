"""What our label bears in this workshop's market."""
