"""WHAT DOES IT COST? Market, basket, costing."""
