"""A shop's label read, and ours: the screens."""
