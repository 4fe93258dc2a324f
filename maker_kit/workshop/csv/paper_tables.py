"""The optional tables that a decision reads: papers on file, what a watch saw, what the maker wants."""

from __future__ import annotations

from maker_kit.workshop.csv.columns import TableSpec

DEVIATION = "deviation"
ASSESSED = ("safety assessment", "eye assessment", "lip assessment", "under-three assessment", "spray assessment")
"""Papers that only a qualified person makes."""
PAPERS = TableSpec("papers", "recipe version paper about date", optional=True)
WATCH = TableSpec("watch", "recipe version batch day temperature_c", optional=True)
DECISIONS = TableSpec("decisions", "recipe", optional=True)
