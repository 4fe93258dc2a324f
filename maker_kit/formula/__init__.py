"""WHAT GOES IN? Recipe, batch, limits, preservation."""
