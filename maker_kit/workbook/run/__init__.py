"""How the notebooks run: opened before somebody, or without a screen for the report."""
