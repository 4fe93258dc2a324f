"""What is inside a recipe, substance by substance."""
