"""The tables of trials: the target cards, the entries of a run, and results that are taken in."""

from __future__ import annotations

from maker_kit.workshop.csv.columns import TableSpec

RUN_FOLDER = "trials"
"""Folder of a workshop with one file a run."""
TARGETS = TableSpec("targets", "recipe version name", optional=True)
"""What each product must do beside a shop product; a workshop may be without."""
RUN = TableSpec("run", rows_needed=True, ending=".csv")
"""The entries of one run, a file a run."""
RESULTS = TableSpec("results", rows_needed=True, ending=".csv")
"""Results that are taken in from a file of one's own: taster or pair, code, value."""
