"""The oil phase and what holds it."""
