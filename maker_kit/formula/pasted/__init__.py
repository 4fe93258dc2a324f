"""Any text that holds a recipe, read into percent."""
