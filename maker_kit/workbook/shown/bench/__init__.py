"""The bench: the day, what comes after it, and where everything went."""
