"""Recipes of the demo workshop, typed off its tables: percent by mass and g/mL. They are invented."""

from __future__ import annotations

from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe

CITRIC = "Citric acid 50 % solution"
MADE_FROM = {CITRIC: (("Citric acid", 50.0), ("Water", 50.0))}
MOST = {"Gel former": 1.0}
INCI = {"Water": "Aqua", "Wash base": "Aqua", CITRIC: "Aqua", "Rose floral water": "Rosa Damascena Flower Water"}

R1 = """
A|Water|68.60|0.998
A|Glycerin|3.00|1.261
A|Chelator|0.20|1.25
A|Sodium benzoate|0.50|1.44
A|Potassium sorbate|0.30|1.36
B|Betaine|10.00|1.045
B|Glucoside|8.00|1.09
B|Sarcosinate|8.00|1.03
C|Citric|0.60|1.24
C|Scent 3|0.80|0.95
"""
R1B = """
A|Wash base|99.20|1.022
A|Scent 3|0.80|0.95
"""
R2 = """
A|Water|78.70|0.998
A|Propanediol|5.00|1.053
A|Glycerin|3.00|1.261
A|Gel former|0.60|1.10
B|Light triglyceride|6.00|0.945
B|Dry-feel ester|4.00|0.86
B|Antioxidant blend|0.20|0.93
C|Preservative P|1.00|1.09
C|Panthenol 75 %|1.00|1.15
C|Scent 1|0.40|0.93
C|Citric|0.10|1.24
"""
R3_V1 = """
A|Water|66.65|0.998
A|Rose floral water|25.00|0.999
A|Propanediol|4.00|1.053
A|Glycerin|2.00|1.261
A|Mild cleanser|1.50|1.06
A|Chelator|0.20|1.25
B|Sodium benzoate|0.40|1.44
B|Potassium sorbate|0.20|1.36
B|Citric|0.05|1.24
"""
R3_V2 = """
A|Water|66.45|0.998
A|Rose floral water|25.00|0.999
A|Propanediol|4.00|1.053
A|Glycerin|2.00|1.261
A|Mild cleanser|1.50|1.06
A|Chelator|0.20|1.25
B|Preservative P|0.80|1.09
B|Citric|0.05|1.24
"""
R4 = """
A|Beeswax|16.00|0.96
A|Candelilla wax|2.00|0.98
B|Shea butter|25.00|0.92
B|Sweet almond oil|41.70|0.917
B|Castor oil|14.00|0.96
C|Antioxidant blend|0.50|0.93
C|Scent 2|0.80|0.92
"""
R5 = """
A|Water|69.70|0.998
A|Glycerin|4.00|1.261
A|Xanthan gum|0.30|1.50
A|Chelator|0.20|1.25
B|Emulsifying wax|5.00|0.95
B|Cetyl alcohol|2.00|0.90
B|Shea butter|4.00|0.92
B|Sunflower oil|8.00|0.92
B|Light triglyceride|4.00|0.945
C|Preservative B|0.90|1.05
C|Panthenol 75 %|1.00|1.15
C|Antioxidant blend|0.30|0.93
C|Scent 3|0.50|0.95
C|Citric|0.10|1.24
"""


def recipe(
    title: str,
    table: str,
    fill_ml: float,
    density: float,
    loss: float,
    balance: str,
    scent: str = "",
    thickener: str = "",
    film_g: float = 0.0,
) -> Recipe:
    """A recipe from a table of phase|ingredient|percent|density, one line a row."""
    cells = []
    for row in table.split("\n")[1:-1]:
        phase, name, percent, rho = row.split("|")
        cells.append((phase, CITRIC if name == "Citric" else name, float(percent), float(rho)))
    ingredients = {
        name: Ingredient(
            name, (INCI.get(name, name),), "", rho, most_percent=MOST.get(name), made_from=MADE_FROM.get(name, ())
        )
        for _, name, _, rho in cells
    }
    ingredients["Citric acid"] = Ingredient("Citric acid", ("Citric Acid",), "acid", 1.665)
    lines = tuple(Line(phase, name, percent, name == balance) for phase, name, percent, _ in cells)
    return Recipe(
        title.casefold(),
        title,
        "1",
        lines,
        ingredients,
        ProductType(("hands",), rinse_off=False),
        "container",
        fill_ml,
        density,
        film_g,
        loss,
        scent=scent,
        thickener=thickener,
    )


def hand_wash() -> Recipe:
    return recipe("R1", R1, 250, 1.022, 2, "Water", "Scent 3")


def ready_base_wash() -> Recipe:
    return recipe("R1b", R1B, 250, 1.022, 2, "Wash base", "Scent 3")


def gel_cream() -> Recipe:
    return recipe("R2", R2, 200, 0.98, 4, "Water", "Scent 1", "Gel former")


def cleansing_water(version: int = 1) -> Recipe:
    return recipe("R3", R3_V1 if version == 1 else R3_V2, 150, 1.007, 2, "Water")


def balm() -> Recipe:
    return recipe("R4", R4, 60, 0.93, 5, "Sweet almond oil", "Scent 2")


def hand_lotion() -> Recipe:
    return recipe("R5", R5, 250, 0.98, 5, "Water", "Scent 3")


ALL = {
    "R1": hand_wash,
    "R1b": ready_base_wash,
    "R2": gel_cream,
    "R3 v1": cleansing_water,
    "R3 v2": lambda: cleansing_water(2),
    "R4": balm,
    "R5": hand_lotion,
}
