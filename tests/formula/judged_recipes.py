"""The demo workshop's recipes with what is inside their mixtures, for the limits; all of it is invented, the limits are
not.
"""

from __future__ import annotations

from dataclasses import replace

from maker_kit.findings import Finding
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Certificate, Ingredient, Line, ProductType, Recipe, Share
from maker_kit.formula.step import Step


def thing(
    name: str,
    inci: str,
    function: str = "",
    inside: dict[str, tuple[float, float] | None] | None = None,
    least=None,
    most=None,
    certificates=(),
    made_from=(),
) -> Ingredient:
    shares = tuple(Share(k, *(v or (None, None))) for k, v in (inside or {}).items())
    return Ingredient(
        name,
        tuple(i.strip() for i in inci.split(", ") if i),
        function,
        1.0,
        least_percent=least,
        most_percent=most,
        inside=shares,
        certificates=certificates,
        made_from=made_from,
    )


def papers(**by_category: float) -> tuple[Certificate, ...]:
    return tuple(Certificate(49, c.removeprefix("c"), most, "invented certificate") for c, most in by_category.items())


SCENT_1 = thing(
    "Scent 1",
    "Parfum",
    "scent",
    {"Citral": (5, 8), "Citronellal": (0.5, 1.0), "Limonene": (30, 40), "Linalool": (2, 5)},
    certificates=papers(c3=1.1, c5A=1.8, c5C=1.8, c9=11.0),
)
SCENT_2 = thing(
    "Scent 2",
    "Parfum",
    "scent",
    {
        "Citronellal": (7, 10),
        "Citronellol": (3, 6),
        "Geraniol": (2, 4),
        "Linalool": (5, 10),
        "Methyl eugenol": (0, 0.015),
    },
    certificates=papers(c3=0.25, c5A=3.2, c5C=1.0, c9=5.5),
)
SCENT_3 = thing(
    "Scent 3",
    "Parfum",
    "scent",
    {"Hexyl Cinnamal": (2, 5), "Linalool": (3, 6), "Coumarin": (0.5, 1.0)},
    certificates=(*papers(c3=0.9, c5A=2.6, c5C=2.1, c9=8.0), Certificate(46, "class 9", 5.0, "invented older paper")),
)
INGREDIENTS = {
    i.name: i
    for i in (
        thing("Water", "Aqua", "solvent"),
        thing("Glycerin", "Glycerin", "humectant"),
        thing("Propanediol", "Propanediol", "humectant"),
        thing(
            "Chelator",
            "Tetrasodium Glutamate Diacetate, Aqua",
            "chelator",
            {"Tetrasodium Glutamate Diacetate": (47, 47)},
        ),
        thing("Sodium benzoate", "Sodium Benzoate", "preservative"),
        thing("Potassium sorbate", "Potassium Sorbate", "preservative"),
        thing(
            "Betaine",
            "Aqua, Cocamidopropyl Betaine, Sodium Chloride",
            "surfactant",
            {"Cocamidopropyl Betaine": (28, 31), "Sodium Chloride": (4, 6)},
        ),
        thing("Glucoside", "Coco-Glucoside, Aqua", "surfactant", {"Coco-Glucoside": (50, 53)}),
        thing(
            "Sarcosinate", "Aqua, Sodium Lauroyl Sarcosinate", "surfactant", {"Sodium Lauroyl Sarcosinate": (29, 31)}
        ),
        thing("Citric acid", "Citric Acid", "acid"),
        thing("Citric acid 50 %", "Citric Acid, Aqua", "acid", made_from=(("Citric acid", 50.0), ("Water", 50.0))),
        thing("Gel former", "Hydroxyethyl Acrylate/Sodium Acryloyldimethyl Taurate Copolymer", "thickener", most=1.0),
        thing("Light triglyceride", "Caprylic/Capric Triglyceride", "oil"),
        thing("Ester", "Isoamyl Laurate", "oil"),
        thing(
            "Antioxidant blend",
            "Tocopherol, Helianthus Annuus Seed Oil",
            "antioxidant",
            {"Tocopherol": (45, 55), "Helianthus Annuus Seed Oil": (45, 55)},
        ),
        thing(
            "Preservative P",
            "Phenoxyethanol, Ethylhexylglycerin",
            "preservative",
            {"Phenoxyethanol": (88, 92), "Ethylhexylglycerin": (8, 12)},
        ),
        thing(
            "Preservative B",
            "Benzyl Alcohol, Dehydroacetic Acid, Aqua",
            "preservative",
            {"Benzyl Alcohol": (84, 88), "Dehydroacetic Acid": (7, 9)},
        ),
        thing("Panthenol 75 %", "Panthenol, Aqua", "active", {"Panthenol": (74, 76)}),
        thing("Mild cleanser", "PEG-6 Caprylic/Capric Glycerides", "cleanser"),
        thing("Rose floral water", "Rosa Damascena Flower Water", "water", {"Methyl eugenol": (0, 0.001)}),
        thing(
            "Wash base",
            (
                "Aqua, Sodium Laureth Sulfate, Cocamidopropyl Betaine, Glycerin, Sodium Chloride, Citric "
                "Acid, Sodium Benzoate, Potassium Sorbate"
            ),
            "base",
        ),
        thing("Beeswax", "Cera Alba", "wax"),
        thing("Candelilla wax", "Candelilla Cera", "wax"),
        thing("Shea butter", "Butyrospermum Parkii Butter", "butter"),
        thing("Sweet almond oil", "Prunus Amygdalus Dulcis Oil", "oil"),
        thing("Castor oil", "Ricinus Communis Seed Oil", "oil"),
        thing("Sunflower oil", "Helianthus Annuus Seed Oil", "oil"),
        thing("Xanthan gum", "Xanthan Gum", "thickener", least=0.1, most=0.5),
        thing(
            "Emulsifying wax",
            "Cetearyl Alcohol, Polysorbate 60",
            "emulsifier",
            {"Cetearyl Alcohol": (75, 85), "Polysorbate 60": (15, 25)},
            least=3,
            most=8,
        ),
        thing("Cetyl alcohol", "Cetyl Alcohol", "wax"),
        SCENT_1,
        SCENT_2,
        SCENT_3,
    )
}

WASH = ProductType(("hands",), rinse_off=True)
HANDS = ProductType(("hands",), rinse_off=False)
BODY = ProductType(("body",), rinse_off=False)
HANDS_AND_BODY = ProductType(("hands", "body"), rinse_off=False)
FACE_AND_EYES = ProductType(("face", "eye area"), rinse_off=False)


def recipe(
    title: str,
    product: ProductType,
    levels: dict[str, float],
    balance: str = "Water",
    *,
    extra: tuple[Ingredient, ...] = (),
    scent: str = "",
    ph=(None, None),
    read=None,
    steps: tuple[str, ...] = (),
) -> Recipe:
    """A recipe from levels [%]; the balance line takes what they leave of 100."""
    known = INGREDIENTS | {i.name: i for i in extra}
    rest = round(100 - sum(levels.values()), 9)
    lines = tuple(Line("A", n, p) for n, p in levels.items()) + (
        (Line("A", balance, rest, balance=True),) if rest or balance not in levels else ()
    )
    return Recipe(
        title.casefold(),
        title,
        "1",
        lines,
        known,
        product,
        "container",
        200,
        1.0,
        ph_low=ph[0],
        ph_high=ph[1],
        ph_read=read,
        scent=scent,
        steps=tuple(Step(k, text) for k, text in enumerate(steps, start=1)),
    )


def alone(substance: str, percent: float, product: ProductType) -> Recipe:
    """One substance in water."""
    return (
        recipe(f"{substance} in water", product, {"It": percent}, extra=(thing("It", ""),))
        if not substance
        else recipe(
            f"{substance} in water", product, {"It": percent}, extra=(Ingredient("It", (substance,), "active", 1.0),)
        )
    )


R1 = recipe(
    "R1 hand wash",
    WASH,
    {
        "Glycerin": 3,
        "Chelator": 0.2,
        "Sodium benzoate": 0.5,
        "Potassium sorbate": 0.3,
        "Betaine": 10,
        "Glucoside": 8,
        "Sarcosinate": 8,
        "Citric acid 50 %": 0.6,
        "Scent 3": 0.8,
    },
    scent="Scent 3",
    ph=(4.8, 5.3),
    read=5.1,
    steps=("Dissolve benzoate, then sorbate, in water, before any acid.", "B into A slowly, 20–25 °C, 10 min."),
)
R1B = recipe("R1b hand wash from a base", WASH, {"Scent 3": 0.8}, "Wash base", scent="Scent 3", read=5.0)
R2 = recipe(
    "R2 gel cream",
    HANDS_AND_BODY,
    {
        "Propanediol": 5,
        "Glycerin": 3,
        "Gel former": 0.6,
        "Light triglyceride": 6,
        "Ester": 4,
        "Antioxidant blend": 0.2,
        "Preservative P": 1.0,
        "Panthenol 75 %": 1.0,
        "Scent 1": 0.4,
        "Citric acid 50 %": 0.1,
    },
    scent="Scent 1",
    ph=(5.3, 5.9),
    read=5.5,
)
R3_V1 = recipe(
    "R3 cleansing water",
    FACE_AND_EYES,
    {
        "Rose floral water": 25,
        "Propanediol": 4,
        "Glycerin": 2,
        "Mild cleanser": 1.5,
        "Chelator": 0.2,
        "Sodium benzoate": 0.4,
        "Potassium sorbate": 0.2,
        "Citric acid 50 %": 0.05,
    },
    ph=(6.4, 6.8),
    read=6.6,
)
R3_V2 = recipe(
    "R3 cleansing water, second version",
    FACE_AND_EYES,
    {
        "Rose floral water": 25,
        "Propanediol": 4,
        "Glycerin": 2,
        "Mild cleanser": 1.5,
        "Chelator": 0.2,
        "Preservative P": 0.8,
        "Citric acid 50 %": 0.05,
    },
    ph=(6.4, 6.8),
    read=6.6,
)
R4 = recipe(
    "R4 balm",
    HANDS,
    {"Beeswax": 16, "Candelilla wax": 2, "Shea butter": 25, "Castor oil": 14, "Antioxidant blend": 0.5, "Scent 2": 0.8},
    "Sweet almond oil",
    scent="Scent 2",
    steps=("Melt A to 75 °C; add B, hold 70 °C 20 min.", "Cool to 60 °C; add C; pour at 58–62 °C."),
)
R5 = recipe(
    "R5 hand lotion",
    HANDS,
    {
        "Glycerin": 4,
        "Xanthan gum": 0.3,
        "Chelator": 0.2,
        "Emulsifying wax": 5,
        "Cetyl alcohol": 2,
        "Shea butter": 4,
        "Sunflower oil": 8,
        "Light triglyceride": 4,
        "Preservative B": 0.9,
        "Panthenol 75 %": 1.0,
        "Antioxidant blend": 0.3,
        "Scent 3": 0.5,
        "Citric acid 50 %": 0.1,
    },
    scent="Scent 3",
    ph=(5.0, 5.5),
    read=5.2,
    steps=("A to 75 °C.",),
)
ALL = {"R1": R1, "R1b": R1B, "R2": R2, "R3 v1": R3_V1, "R3 v2": R3_V2, "R4": R4, "R5": R5}


def without_papers(scent: Ingredient) -> Ingredient:
    return replace(scent, certificates=())


def preservation_stop(recipe: Recipe) -> Finding | None:
    """The first finding that stops a product with water in it and no preservative that is known to work."""
    return next((f for f in judge_preservation(recipe) if f.kind == "stop"), None)
