"""The tables of trials: the target cards, the entries of a run, and results that are taken in."""

from __future__ import annotations

from maker_kit.trial.card import BETTER, MEASURES, WEIGHTS
from maker_kit.trial.journal import ACTS
from maker_kit.workshop.csv.columns import Column, TableSpec

_NOTE = Column("note")
RUN_FOLDER = "trials"
"""Folder of a workshop with one file a run."""

TARGETS = TableSpec(
    "targets.csv",
    (
        Column("recipe", "name", True),
        Column("against", "name", True),
        Column("version", "whole", low="1", high="1000", blank=1),
        Column("written on", "date", True),
        Column("must-have", "name", True, "name"),
        Column("measure", "one of", True, choices=MEASURES),
        Column("how measured", "text", True, "how"),
        Column("unit", "text", True),
        Column("gap", "number"),
        Column("better", "one of", choices=BETTER),
        Column("weight", "one of", True, choices=WEIGHTS),
        _NOTE,
    ),
    ("recipe", "version", "name"),
    optional=True,
)
"""What each product must do beside a shop product; a workshop may be without."""

RUN = TableSpec(
    ".csv",
    (
        Column("number", "whole", low="1", high="100000"),
        Column("day", "date", True),
        Column("act", "one of", choices=ACTS),
        Column("place", "whole", low="1", high="100000"),
        Column("what"),
        Column("value"),
        _NOTE,
        Column("seal"),
    ),
    rows_needed=True,
)
"""The entries of one run, a file a run."""

RESULTS = TableSpec(
    ".csv",
    (
        Column("place", "whole", True, low="1", high="100000"),
        Column("code", "text", blank=""),
        Column("value", "text", True),
        _NOTE,
    ),
    rows_needed=True,
)
"""Results that are taken in from a file of one's own: taster or pair, code, value."""
