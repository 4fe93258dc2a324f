"""How thick it will be, from the maker's own readings."""
