"""What else a maker should be told of a recipe."""
