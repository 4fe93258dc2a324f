"""The words of an amount, as makers write them: the units, the numbers in words before them, and what is no amount."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction


def words(text: str) -> list[str]:
    """The words of a text that has | between them."""
    return text.split("|")


_OUNCES = ("oz", "ozs", "ounce", "ounces")
_WEIGHT_WORDS = ("wt", "av", "avdp", "avoir", "avoirdupois", "weight", "by weight", "mass")
_IMPERIAL = ("imp", "imperial", "uk")
# What a maker may write → (basis, name of the unit). Plain US customary units; the imperial ones only where
# they are named.
_SPELLINGS: dict[tuple[str, str], list[str]] = {
    ("mass", "gram"): words("g|gram|grams|gramme|grammes|gm|gms"),
    ("mass", "kilogram"): words("kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes"),
    ("mass", "milligram"): words("mg|milligram|milligrams|milligramme|milligrammes"),
    ("mass", "ounce"): [a for o in _OUNCES for w in _WEIGHT_WORDS for a in (f"{o} {w}", f"{w} {o}", f"net {w} {o}")],
    ("mass", "pound"): words("lb|lbs|pound|pounds|lb av|lb avdp|lb avoirdupois|pound avoirdupois|pounds avoirdupois"),
    ("volume", "milliliter"): words("ml|mls|millilitre|millilitres|milliliter|milliliters|cc|cm3|cm³"),
    ("volume", "centiliter"): words("cl|centilitre|centilitres|centiliter|centiliters"),
    ("volume", "deciliter"): words("dl|decilitre|decilitres|deciliter|deciliters"),
    ("volume", "liter"): words("l|ltr|ltrs|litre|litres|liter|liters"),
    ("volume", "fluid_ounce"): [
        a for o in _OUNCES for f in ("fl", "fluid", "liquid") for a in (f"{f} {o}", f"{o} {f}", f"us {f} {o}")
    ],
    ("volume", "gallon"): words("gal|gals|gallon|gallons|us gal|us gallon|us gallons"),
    ("volume", "quart"): words("qt|qts|quart|quarts|us qt|us quart|us quarts|us liquid quart"),
    ("volume", "pint"): words("pt|pts|pint|pints|us pt|us pint|us pints|us liquid pint"),
    ("volume", "cup"): words("cup|cups|us cup|us cups"),
    ("volume", "tablespoon"): words("tbsp|tbsps|tbs|tablespoon|tablespoons"),
    ("volume", "teaspoon"): words("tsp|tsps|teaspoon|teaspoons"),
    ("volume", "imperial_fluid_ounce"): [f"{i} {f} {o}" for i in _IMPERIAL for f in ("fl", "fluid") for o in _OUNCES],
    ("volume", "imperial_pint"): [f"{i} {a}" for i in _IMPERIAL for a in ("pt", "pint", "pints")],
    ("volume", "imperial_quart"): [f"{i} {a}" for i in _IMPERIAL for a in ("qt", "quart", "quarts")],
    ("volume", "imperial_gallon"): [f"{i} {a}" for i in _IMPERIAL for a in ("gal", "gallon", "gallons")],
    ("pieces", ""): words("piece|pieces|pc|pcs|each|ea|count|ct"),
}
UNITS = {key: unit for unit, spellings in _SPELLINGS.items() for s in spellings for key in (s, s.replace(" ", ""))}
"""Folded spelling → (basis, name of the unit)."""
_POUND, _GALLON, _IMPERIAL_GALLON = Fraction("453.59237"), Fraction("3785.411784"), Fraction("4546.09")
FACTORS: dict[str, Fraction] = {
    "gram": Fraction(1),
    "kilogram": Fraction(1000),
    "milligram": Fraction(1, 1000),
    "pound": _POUND,
    "ounce": _POUND / 16,
    "milliliter": Fraction(1),
    "centiliter": Fraction(10),
    "deciliter": Fraction(100),
    "liter": Fraction(1000),
    "gallon": _GALLON,
    "quart": _GALLON / 4,
    "pint": _GALLON / 8,
    "cup": _GALLON / 16,
    "fluid_ounce": _GALLON / 128,
    "tablespoon": _GALLON / 256,
    "teaspoon": _GALLON / 768,
    "imperial_gallon": _IMPERIAL_GALLON,
    "imperial_quart": _IMPERIAL_GALLON / 4,
    "imperial_pint": _IMPERIAL_GALLON / 8,
    "imperial_fluid_ounce": _IMPERIAL_GALLON / 160,
    "": Fraction(1),
}
"""Base units [g, mL or pieces] in one unit, exactly.

Pound and gallon (231 cubic inches) as defined in NIST Handbook 44, Appendix C, section 4; the imperial gallon 4.54609 L
by the UK Weights and Measures Act 1985 (partly read, rest from memory). A test keeps them equal to pint's: pint itself
takes longer to fetch than all tables of a workshop.
"""
SHOWN_UNITS = words("g|kg|mL|L|lb|oz wt|fl oz|gallon|quart|pint|cup|tbsp|tsp|mg|cL|imp fl oz|pieces")
"""The spellings to offer, the commonest first."""
BARE_OUNCES = frozenset(_OUNCES)
"""Spellings of an ounce that do not say of what."""
NO_AMOUNT = {
    **dict.fromkeys(("m", "cm", "mm", "in", "inch", "inches", "ft"), "is a length"),
    **dict.fromkeys(("°c", "°f", "c", "f", "k", "celsius", "fahrenheit"), "is a temperature"),
    **dict.fromkeys(("min", "mins", "h", "s", "sec", "day", "days", "month", "months"), "is a time"),
    **dict.fromkeys(("%", "percent", "ppm"), "is a share of something, not an amount"),
    **dict.fromkeys(("drop", "drops"), "has no fixed size, so it has to be weighed"),
    **dict.fromkeys(("t", "ts"), "may be a teaspoon, a tablespoon or a tonne"),
    **dict.fromkeys(("gr", "grain", "grains"), "is a grain (0.065 g) to some and a gram to others"),
}
"""Folded units that are no amount, and why."""

_WHOLE = {
    "a": 1,
    "an": 1,
    "a dozen": 12,
    "fifteen": 15,
    **{word: k for k, word in enumerate(words("one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"), 1)},
    **{word: 10 * k for k, word in enumerate(words("twenty|thirty|forty|fifty"), 2)},
}
_PART = {
    "two thirds": "2/3",
    **dict.fromkeys(("three quarters", "three fourths"), "3/4"),
    "half": "1/2",
    "third": "1/3",
    **dict.fromkeys(("quarter", "fourth"), "1/4"),
    "fifth": "1/5",
    "eighth": "1/8",
}
_UNIT = (
    r"(?:cups?|tbsps?|tablespoons?|teaspoons?|tsps?|drops?|oz|ounces?|pounds?|lbs?|pints?|quarts?|gallons?|grams?|"
    r"kilos?|kg|g|ml|lit(?:re|er)s?|fl|fluid|pinch(?:es)?|dash(?:es)?|handfuls?|parts?)\b"
)


def _any(words: Iterable[str]) -> str:
    return "|".join(word.replace(" ", "[ -]") for word in sorted(words, key=len, reverse=True))


_WHOLE_AND_PART = re.compile(
    rf"(?<![\w/.,-])(?P<whole>[0-9]{{1,3}}|{_any(_WHOLE)})(?: and |-and-)(?:an? |one[ -])?"
    rf"(?P<part>{_any(_PART)})(?: of)?(?: an?)?(?= )",
    re.IGNORECASE,
)
_UNIT_AND_PART = re.compile(
    rf"(?<![\w/.,-])(?P<whole>[0-9]{{1,3}}|{_any(_WHOLE)}) (?P<unit>{_UNIT}) and (?:an? )?"
    rf"(?P<part>{_any(_PART)})\b(?! (?:an? )?{_UNIT})",
    re.IGNORECASE,
)
_PART_ALONE = re.compile(
    rf"(?<![\w/.,-])(?:an? |one[ -])?(?P<part>{_any(_PART)})(?: of)?(?: an?)? (?={_UNIT})", re.IGNORECASE
)
_WHOLE_ALONE = re.compile(rf"(?<![\w/-])(?P<whole>{_any(_WHOLE)})(?: of)?(?: an?)? (?={_UNIT})", re.IGNORECASE)
_MULTIPLE = re.compile(r"(?<![\w.,/])([0-9]{1,3}) ?[x×*] ?(?=[0-9.])")


def in_digits(text: str) -> str:
    """One line of plain text with its numbers before units in digits.

    ``two and a half cups`` is ``2 1/2 cups``, ``a cup and a half`` is ``1 1/2 cup``, ``2x50 g`` is ``2 x 50 g``.

    Only numbers that a unit follows are touched; words elsewhere may belong to a name.
    """

    def whole(match: re.Match[str]) -> str:
        return str(_WHOLE.get(" ".join(match["whole"].casefold().replace("-", " ").split()), match["whole"]))

    def part(match: re.Match[str]) -> str:
        return _PART[match["part"].casefold().replace("-", " ")]

    text = _MULTIPLE.sub(r"\1 x ", text)
    text = _UNIT_AND_PART.sub(lambda m: f"{whole(m)} {part(m)} {m['unit']}", text)
    text = _WHOLE_AND_PART.sub(lambda m: f"{whole(m)} {part(m)}", text)
    text = _PART_ALONE.sub(lambda m: f"{part(m)} ", text)
    return _WHOLE_ALONE.sub(lambda m: f"{whole(m)} ", text)


def folded(unit: str) -> str:
    """A unit as `UNITS` has it: small letters, single blanks, no dots, dashes or brackets."""
    plain = " ".join(re.sub(r"[.()\[\]_-]", " ", unit.casefold()).split())
    return plain.replace("u s ", "us ").removesuffix(" customary")
