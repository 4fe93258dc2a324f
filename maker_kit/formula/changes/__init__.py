"""What happens when something is short, swapped or split."""
