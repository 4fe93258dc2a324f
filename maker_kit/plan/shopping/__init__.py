"""The shopping list of a plan: what is bought, and what of it is left over."""
