"""What a name does in a product, by the published tables and the trade's habit: for reading a shop's list."""

from __future__ import annotations

import re
from functools import lru_cache

from maker_kit.formula.annexes.verdicts import entries_of
from maker_kit.formula.kinds import is_essential_oil, is_fatty, is_plant_water, is_watery
from maker_kit.formula.preservation.agents import is_preservative
from maker_kit.formula.substances.naming import carrier
from maker_kit.formula.substances.spelling import words
from maker_kit.label.label_text import brings_scent, is_colour, is_scent_allergen

OILY = frozenset({"fatty oil", "ester", "butter", "wax", "mineral oil", "silicone", "fatty alcohol or acid"})
"""What makes an oil phase."""
UNKNOWN = "not on file"
CHELATORS = frozenset({"edta", "glutamate", "phytate", "etidronate", "gluconate"})
_SOAP = re.compile(
    r"(?i)^(?:sodium|potassium) [\w ]*?(?:olivate|cocoate|palmate|kernelate|tallowate|lardate|castorate|butterate|"
    r"soyate|sunflowerseedate|canolate|rapeseedate|almondate)$"
)
PH = frozenset({"hydroxide", "citrate"})


@lru_cache(maxsize=4096)
def role_of(name: str) -> str:
    """What a name does: ``water``, ``preservative``, ``fatty oil``, ``gum`` and so on; ``not on file`` where no table
    says (common practice, no source).

    Parameters
    ----------
    name : str

    Returns
    -------
    str
    """
    what = carrier(name)
    said = set(words(name))
    tests = (
        ("water", is_watery(name) and not is_plant_water(name)),
        ("floral water", is_plant_water(name)),
        ("scent", brings_scent(name)),
        ("preservative", is_preservative(name)),
        ("colour", is_colour(name) and not what),
        ("UV filter", any(e.annex == "VI" for e in entries_of(name))),
        ("chelator", bool(said & CHELATORS) and what != "emulsifier"),
        ("pH adjuster", what == "acid for pH" or bool(said & PH)),
        (what, bool(what)),
        ("fatty oil", is_fatty(name)),
        ("essential oil", is_essential_oil(name)),
        ("scent allergen", is_scent_allergen(name)),
    )
    return next((role for role, holds in tests if holds), UNKNOWN)


def is_oily(name: str) -> bool:
    """Whether a name belongs to an oil phase."""
    return role_of(name) in OILY


def is_soap(name: str) -> bool:
    """Whether a name is what lye makes of an oil or a fat, such as ``Sodium Olivate``."""
    return bool(_SOAP.match(" ".join(name.split())))
