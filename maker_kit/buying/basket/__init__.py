"""One shopping list, by integer program."""
