"""What an amount of an ingredient weighs, and which ingredients may take what the others leave."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from maker_kit import reference
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.kinds import WET, wetness
from maker_kit.formula.pasted.lines import Piece, TextLine
from maker_kit.formula.pasted.names import MOST_COMPARED, NameBook
from maker_kit.formula.pasted.questions import Key, answered_density
from maker_kit.formula.substances.naming import carrier
from maker_kit.names import name_key
from maker_kit.units import check_density, parse_amount

LEAST_DROP_ML, MOST_DROP_ML = Fraction(3, 100), Fraction(6, 100)
"""Size of a drop [mL]: common practice, no source; it hangs on the dropper and the liquid, so drops are weighed."""
ANSWERED = "answered"
"""Where a density is from that the maker gave."""
CARRIERS = frozenset({"solvent", "base", "floral water", "oil", "butter"})
CARRIERS_BY_NAME = frozenset({"water", "hydrosol", "fatty oil", "butter", "mineral oil"})
RESTS = "water, an oil or another carrier"
"""What may take what the other lines leave: functions of ingredients on file, kinds of plain carriers, in words."""


def takes_rest(line: TextLine, known: Mapping[str, Ingredient]) -> bool:
    """Whether a line may take what the others leave without being asked about: water, an oil, a base, and what is not
    known yet. Preservatives, acids, scents and actives are never filled up in silence.
    """
    if line.ingredient in known:
        return known[line.ingredient].function in CARRIERS
    return not line.ingredient or carrier(line.ingredient[:MOST_COMPARED]) in CARRIERS_BY_NAME


def density_of(ingredient: str, piece: Piece, book: NameBook, given: Mapping[Key, str]) -> tuple[Fraction | None, str]:
    """What 1 mL weighs [g], and who says so."""
    for key in (Key("density", name=ingredient), Key("density", name=piece.written)):
        if key in given:
            return answered_density(given[key], key), ANSWERED
    known = book.known.get(ingredient)
    if known is None or known.density_g_per_ml is None:
        return None, ""
    return check_density(known.density_g_per_ml, ingredient), known.density_source or "on file, no source"


def solid_form(ingredient: Ingredient) -> str:
    """In which form a solid comes that is spooned with air in it, such as ``crystals``; empty for what is not known as
    one.

    A single substance, or a mixture that begins with it and holds no water, that ``solids_by_volume.csv`` lists (common
    practice, no source); or one whose source of density calls it a solid.
    """
    if wetness(ingredient) == WET or not ingredient.inci:
        return ""
    listed = {name_key(row["inci"]): row["form"] for row in reference.rows("solids_by_volume.csv")}
    said = re.search(
        r"\b(?:solid|powder|crystals?|granules?|flakes?|pellets?)\b", ingredient.density_source, re.IGNORECASE
    )
    return listed.get(name_key(ingredient.inci[0]), "") or ("a solid" if said else "")


_WHOSE = {"cups": ("1 us cup", "10 imp fl oz"), "pints": ("1 us pint", "1 imperial pint")}
"""The smallest and the largest measure that goes by the name."""


def band_g(
    basis: str, low: Fraction | None, high: Fraction | None, density: Fraction | None
) -> tuple[Fraction | None, Fraction | None]:
    """What an amount weighs at least and at most [g]; None where that cannot be told."""
    if low is None or high is None or (density is None and basis != "mass"):
        return None, None
    if basis == "ounces":
        weight, volume = parse_amount("1 oz wt").exact, parse_amount("1 fl oz").exact * density
        return low * min(weight, volume), high * max(weight, volume)
    if basis == "mass":
        return low, high
    sizes = {
        "volume": (1, 1),
        "drops": (LEAST_DROP_ML, MOST_DROP_ML),
    }
    if basis in _WHOSE:
        sizes[basis] = tuple(parse_amount(one).exact for one in _WHOSE[basis])
    least, most = (size and size * density for size in sizes.get(basis, (None, None)))
    return (None, None) if least is None else (low * least, high * most)
