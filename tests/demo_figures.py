"""Figures of the demo scenario that several rooms are tested against, written once.

The costs were worked out twice, by two separate integer programs, before this package was written; the kit is invented.
"""

from __future__ import annotations

DEMO_RECIPES = (
    "r1-hand-wash",
    "r1b-hand-wash",
    "r2-gel-cream",
    "r3v1-cleansing-water",
    "r3v2-cleansing-water",
    "r4-balm",
    "r5-hand-lotion",
)
"""The recipes of the demo workshop, by their short names; its third cleansing water is bought as the second is."""
WASH_COSTS = [
    "35.80",
    "35.80",
    "35.80",
    "35.80",
    "54.70",
    "54.70",
    "56.20",
    "56.20",
    "67.10",
    "70.90",
    "75.40",
    "77.80",
    "79.90",
    "82.80",
    "91.70",
    "93.80",
    "95.80",
    "95.80",
    "104.40",
    "105.90",
]
"""Least cash cost of 1, 2, … 20 bottles of the hand wash from a ready base [currency]."""
WASH_PAYS = {"7.20": ((8, 8), (10, 48)), "5.40": ((18, 18), (20, 48)), "4.75": ((26, 29), (32, 33), (35, 48))}
"""Price of one bottle in the shop [currency] → counts from 1 to 48 at which making pays, as runs from first to last.
"""
KIT_2 = {
    "Propanediol": 32,
    "Glycerin": 30,
    "Gel former": 7,
    "Light triglyceride": 60,
    "Dry-feel ester": 40,
    "Antioxidant blend": 2,
    "Preservative P": 10,
    "Panthenol 75 %": 10,
    "Scent 1": 4.65,
    "Citric acid": 1,
}
"""What the kit for the gel cream holds, without its four jars [g]."""
