"""What is said in a workshop of the maker's own: what to fill in first, whose prices are on file."""
