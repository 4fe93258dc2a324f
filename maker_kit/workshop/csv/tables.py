"""The tables of a workshop; what may stand in their columns is declared in ``columns.csv``."""

from __future__ import annotations

from maker_kit.workshop.csv.columns import TableSpec

SETTINGS = TableSpec("settings")
"""What workshop.csv may set."""
WORKSHOP = TableSpec("workshop", "setting", rows_needed=True)
INGREDIENTS = TableSpec("ingredients", "name", rows_needed=True)
WHATS_INSIDE = TableSpec("whats_inside", "mixture substance")
BENCH_MADE = TableSpec("bench_made", "mixture made_from")
CERTIFICATES = TableSpec("certificates", "scent amendment category")
LIMITS = TableSpec("limits", "substance applies category kind region conditions source")
RECIPES = TableSpec("recipes", "name")
LINES = TableSpec("recipe_lines", "phase ingredient", rows_needed=True, ending=".csv")
STEPS = TableSpec("recipe_steps", "number", rows_needed=True, ending=".steps.csv")
SUPPLIERS = TableSpec("suppliers", "name")
DELIVERY = TableSpec("delivery", "supplier up_to")
PACKS = TableSpec("packs", "supplier item size from_count")
KITS = TableSpec("kits", "kit item")
CONTAINERS = TableSpec("containers", "name", rows_needed=True)
SHOP_PRODUCTS = TableSpec("shop_products", "product size refill")
THICKNESS = TableSpec("thickness")
AVOID = TableSpec("avoid", "person avoid")
SWAPS = TableSpec("swaps", "ingredient instead")
RUN_FOLDER = "trials"
"""Folder of a workshop with one file a run."""
TARGETS = TableSpec("targets", "recipe version name", optional=True)
"""What each product must do beside a shop product; a workshop may be without."""
RUN = TableSpec("run", rows_needed=True, ending=".csv")
"""The entries of one run, a file a run."""
RESULTS = TableSpec("results", rows_needed=True, ending=".csv")
"""Results that are taken in from a file of one's own: taster or pair, code, value."""
DEVIATION = "deviation"
ASSESSED = ("safety assessment", "eye assessment", "lip assessment", "under-three assessment", "spray assessment")
"""Papers that only a qualified person makes."""
PAPERS = TableSpec("papers", "recipe version paper about date", optional=True)
WATCH = TableSpec("watch", "recipe version batch day temperature_c", optional=True)
DECISIONS = TableSpec("decisions", "recipe", optional=True)
TABLES = (
    *(WORKSHOP, INGREDIENTS, WHATS_INSIDE, BENCH_MADE, CERTIFICATES, LIMITS, CONTAINERS, RECIPES),
    *(SUPPLIERS, DELIVERY, PACKS, KITS, SHOP_PRODUCTS, THICKNESS, AVOID, SWAPS, TARGETS, PAPERS, WATCH, DECISIONS),
)
"""The tables of a workshop, all but the optional ones in every workshop, in the order in which faults are told.

Those of each recipe stand in its folder ``recipes``.
"""
TELLS_OF = {
    INGREDIENTS: ("ingredient", "name"),
    WHATS_INSIDE: ("ingredient", "mixture"),
    CERTIFICATES: ("ingredient", "scent"),
    CONTAINERS: ("container", "name"),
    RECIPES: ("recipe", "name"),
    SUPPLIERS: ("supplier", "name"),
    DELIVERY: ("supplier", "supplier"),
    SHOP_PRODUCTS: ("shop product", "product"),
    KITS: ("kit", "kit"),
}
"""Table → the kind of thing that a row of it tells of, and the key under which its name stands."""
