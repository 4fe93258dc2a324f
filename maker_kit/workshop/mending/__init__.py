"""Near misses of a workshop's tables, mended where the maker says so: each change is shown, and a copy is kept."""
