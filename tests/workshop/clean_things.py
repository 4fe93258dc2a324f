"""What the workshops without a slip are made of: figures as such things usually have them, from memory."""

from __future__ import annotations

# name, INCI, function, density, currency a kg in packs of 100 g, usual percent, supplier's most (0: none told)
THINGS = {
    "Distilled water": ("Aqua", "solvent", 0.998, 1.6, 70, 0),
    "Vegetable glycerin": ("Glycerin", "humectant", 1.26, 11, 4, 0),
    "Pentylene glycol": ("Pentylene Glycol", "humectant", 0.97, 48, 3, 0),
    "Sodium lactate 60 %": ("Sodium Lactate; Aqua", "humectant", 1.31, 18, 2, 0),
    "Decyl glucoside": ("Decyl Glucoside; Aqua", "surfactant", 1.07, 15, 20, 0),
    "Betaine": ("Cocamidopropyl Betaine; Aqua", "surfactant", 1.04, 13, 15, 0),
    "Coconut sulfate": ("Sodium Coco-Sulfate", "surfactant", 1.05, 22, 12, 0),
    "Olive emulsifier": ("Cetearyl Olivate; Sorbitan Olivate", "emulsifier", 0.95, 62, 5, 8),
    "Jojoba oil": ("Simmondsia Chinensis Seed Oil", "oil", 0.865, 55, 8, 0),
    "Grapeseed oil": ("Vitis Vinifera Seed Oil", "oil", 0.92, 16, 10, 0),
    "Argan oil": ("Argania Spinosa Kernel Oil", "oil", 0.91, 82, 5, 0),
    "Cocoa butter": ("Theobroma Cacao Seed Butter", "butter", 0.9, 28, 15, 0),
    "Mango butter": ("Mangifera Indica Seed Butter", "butter", 0.9, 34, 10, 0),
    "Rice wax": ("Oryza Sativa Bran Cera", "wax", 0.95, 45, 8, 0),
    "Bees' wax pearls": ("Cera Alba", "wax", 0.96, 30, 10, 0),
    "Cetearyl alcohol": ("Cetearyl Alcohol", "emollient", 0.83, 22, 3, 0),
    "Sclerotium gum": ("Sclerotium Gum", "thickener", 1.4, 120, 0.5, 1.5),
    "Xanthan clear": ("Xanthan Gum", "thickener", 1.5, 52, 0.4, 1.0),
    "Preserver G": ("Benzyl Alcohol; Benzoic Acid", "preservative", 1.05, 75, 0.9, 1.2),
    "Preserver H": ("Phenoxyethanol; Ethylhexylglycerin", "preservative", 1.09, 68, 0.9, 1.0),
    "Sorbate": ("Potassium Sorbate", "preservative", 1.36, 31, 0.3, 0.6),
    "Phytate": ("Sodium Phytate; Aqua", "chelator", 1.3, 42, 0.2, 0.5),
    "Vitamin E": ("Tocopherol", "antioxidant", 0.95, 95, 0.5, 2),
    "Lactic acid 80 %": ("Lactic Acid; Aqua", "pH adjuster", 1.2, 17, 0.3, 0),
    "Lavender water": ("Lavandula Angustifolia Flower Water", "floral water", 0.999, 15, 20, 0),
    "Niacinamide": ("Niacinamide", "active", 1.4, 88, 3, 5),
    "Provitamin": ("Panthenol", "active", 1.2, 70, 2, 5),
    "Scent Meadow": ("Parfum", "scent", 0.95, 330, 0.6, 0),
    "Scent Hearth": ("Parfum", "scent", 0.97, 290, 0.5, 0),
    "Scent Harbour": ("Parfum", "scent", 0.93, 380, 0.4, 0),
}
KINDS = {
    "wash": (
        ("hands", "rinse-off", "pump", 1.03, (4.6, 5.4)),
        (
            "Distilled water",
            "Decyl glucoside",
            "Betaine",
            "Vegetable glycerin",
            "Preserver G",
            "Phytate",
            "Lactic acid 80 %",
            "Scent",
        ),
    ),
    "shampoo": (
        ("hair", "rinse-off", "bottle", 1.03, (4.8, 5.6)),
        (
            "Distilled water",
            "Coconut sulfate",
            "Betaine",
            "Sodium lactate 60 %",
            "Sorbate",
            "Preserver G",
            "Provitamin",
            "Scent",
        ),
    ),
    "lotion": (
        ("body", "leave-on", "pump", 0.97, (4.8, 5.5)),
        (
            "Distilled water",
            "Vegetable glycerin",
            "Olive emulsifier",
            "Grapeseed oil",
            "Jojoba oil",
            "Cetearyl alcohol",
            "Xanthan clear",
            "Vitamin E",
            "Preserver H",
            "Scent",
        ),
    ),
    "serum": (
        ("face", "leave-on", "pump", 1.01, (5.0, 5.8)),
        (
            "Distilled water",
            "Lavender water",
            "Pentylene glycol",
            "Niacinamide",
            "Sclerotium gum",
            "Preserver H",
            "Phytate",
        ),
    ),
    "balm": (
        ("hands", "leave-on", "tin", 0.92, None),
        (
            "Cocoa butter",
            "Mango butter",
            "Grapeseed oil",
            "Argan oil",
            "Bees' wax pearls",
            "Rice wax",
            "Vitamin E",
            "Scent",
        ),
    ),
}
BOXES = {
    "pump": ((150, 0.19), (250, 0.16), (500, 0.13)),
    "bottle": ((100, 0.17), (250, 0.12), (300, 0.12)),
    "tin": ((30, 0.28), (60, 0.24), (100, 0.22)),
}
METRIC, US = (
    ("25 g", "50 g", "100 g", "250 g", "500 g", "1 kg", "5 kg"),
    ("1 oz wt", "4 oz wt", "8 oz wt", "1 lb", "5 lb"),
)
GRAMS = {
    "25 g": 25,
    "50 g": 50,
    "100 g": 100,
    "250 g": 250,
    "500 g": 500,
    "1 kg": 1000,
    "5 kg": 5000,
    "1 oz wt": 28.35,
    "4 oz wt": 113.4,
    "8 oz wt": 226.8,
    "1 lb": 453.6,
    "5 lb": 2268,
}
WASHED = {"rinse-off": (1.4, 4.5), "leave-on": (4, 18)}
