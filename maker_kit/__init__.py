"""Recipes, limits, buying and cost curves for people who make bath-and-body products in small batches."""
