"""Slips in single cells that a careful helper would ask about: questions with reasons, never refusals."""
