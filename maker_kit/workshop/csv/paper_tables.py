"""The optional tables that a decision reads: papers on file, what a watch saw, what the maker wants."""

from __future__ import annotations

from maker_kit.workshop.csv.columns import Column, TableSpec

DEVIATION = "deviation"
ASSESSED = ("safety assessment", "eye assessment", "lip assessment", "under-three assessment", "spray assessment")
"""Papers that only a qualified person makes."""
PAPERS_ON_FILE = (
    *("supplier's sheet", "batch record", DEVIATION, "patch test", "label", "people told", "challenge test"),
    *("microbe count", "stability", *ASSESSED, "responsible person", "product file", "good practice", "notification"),
    *("claims", "complaints", "safety substantiation", "facility and listing"),
)
"""Kinds of papers that the gate asks for."""

PAPERS = TableSpec(
    "papers.csv",
    (
        Column("recipe", "name"),
        Column("version", "name"),
        Column("paper", "one of", True, choices=PAPERS_ON_FILE),
        Column("about", "list"),
        Column("date", "date", True),
        Column("by", "name"),
        Column("qualification"),
        Column("kept"),
        Column("closed on", "date"),
        Column("note"),
    ),
    ("recipe", "version", "paper", "about", "date"),
    optional=True,
)

WATCH = TableSpec(
    "watch.csv",
    (
        Column("recipe", "name", True),
        Column("version", "name"),
        Column("batch", "name", True),
        Column("day", "whole", True, high="3650"),
        Column("at [°C]", "number", True, "temperature_c", low="-30", high="60"),
        Column("as before", "one of", choices=("yes", "no")),
        Column("pH", "number", key="ph", high="14"),
        Column("spread [cm]", "number", key="spread_cm", high="100", above=True),
        Column("weight [g]", "number", key="weight_g", high="100000", above=True),
        Column("note"),
    ),
    ("recipe", "version", "batch", "day", "temperature_c"),
    optional=True,
)

DECISIONS = TableSpec(
    "decisions.csv",
    (
        Column("recipe", "name", True),
        Column("containers", "whole", low="1", high="100000"),
        Column("dose [g]", "number", key="dose_g", high="1000", above=True),
        Column("shop dose [g]", "number", key="shop_dose_g", high="1000", above=True),
        Column("shop density [g/mL]", "number", key="shop_density_g_per_ml", low="0.05", high="25"),
        Column("dose from"),
        Column("worth it for"),
        Column("note"),
    ),
    ("recipe",),
    optional=True,
)
