"""Notebooks run without a screen: settings, the report, its numbers."""
