"""How the notebooks run: opened before somebody."""
