"""How a maker writes an amount: the number, with point or comma or as a fraction, and the words for the units."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from maker_kit.errors import QuantityError

# What a maker may write → (basis, name of the unit for pint). Plain US customary units; the imperial ones only where they are named.
_OUNCES = ("oz", "ozs", "ounce", "ounces")
_WEIGHT_WORDS = ("wt", "av", "avdp", "avoir", "avoirdupois", "weight", "by weight", "mass")
_IMPERIAL = ("imp", "imperial", "uk")
_SPELLINGS: dict[tuple[str, str], tuple[str, ...]] = {
    ("mass", "gram"): ("g", "gram", "grams", "gramme", "grammes", "gm", "gms"),
    ("mass", "kilogram"): ("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"),
    ("mass", "milligram"): ("mg", "milligram", "milligrams", "milligramme", "milligrammes"),
    ("mass", "ounce"): tuple(
        a for o in _OUNCES for w in _WEIGHT_WORDS for a in (f"{o} {w}", f"{w} {o}", f"net {w} {o}")
    ),
    ("mass", "pound"): (
        "lb",
        "lbs",
        "pound",
        "pounds",
        "lb av",
        "lb avdp",
        "lb avoirdupois",
        "pound avoirdupois",
        "pounds avoirdupois",
    ),
    ("volume", "milliliter"): (
        "ml",
        "mls",
        "millilitre",
        "millilitres",
        "milliliter",
        "milliliters",
        "cc",
        "cm3",
        "cm³",
    ),
    ("volume", "centiliter"): ("cl", "centilitre", "centilitres", "centiliter", "centiliters"),
    ("volume", "deciliter"): ("dl", "decilitre", "decilitres", "deciliter", "deciliters"),
    ("volume", "liter"): ("l", "ltr", "ltrs", "litre", "litres", "liter", "liters"),
    ("volume", "fluid_ounce"): tuple(
        a for o in _OUNCES for f in ("fl", "fluid", "liquid") for a in (f"{f} {o}", f"{o} {f}", f"us {f} {o}")
    ),
    ("volume", "gallon"): ("gal", "gals", "gallon", "gallons", "us gal", "us gallon", "us gallons"),
    ("volume", "quart"): ("qt", "qts", "quart", "quarts", "us qt", "us quart", "us quarts", "us liquid quart"),
    ("volume", "pint"): ("pt", "pts", "pint", "pints", "us pt", "us pint", "us pints", "us liquid pint"),
    ("volume", "cup"): ("cup", "cups", "us cup", "us cups"),
    ("volume", "tablespoon"): ("tbsp", "tbsps", "tbs", "tablespoon", "tablespoons"),
    ("volume", "teaspoon"): ("tsp", "tsps", "teaspoon", "teaspoons"),
    ("volume", "imperial_fluid_ounce"): tuple(
        f"{i} {f} {o}" for i in _IMPERIAL for f in ("fl", "fluid") for o in _OUNCES
    ),
    ("volume", "imperial_pint"): tuple(f"{i} {a}" for i in _IMPERIAL for a in ("pt", "pint", "pints")),
    ("volume", "imperial_quart"): tuple(f"{i} {a}" for i in _IMPERIAL for a in ("qt", "quart", "quarts")),
    ("volume", "imperial_gallon"): tuple(f"{i} {a}" for i in _IMPERIAL for a in ("gal", "gallon", "gallons")),
    ("pieces", ""): ("piece", "pieces", "pc", "pcs", "each", "ea", "count", "ct"),
}
UNITS = {key: unit for unit, spellings in _SPELLINGS.items() for s in spellings for key in (s, s.replace(" ", ""))}
"""Folded spelling → (basis, name of the unit)."""
SHOWN_UNITS = (
    "g",
    "kg",
    "mL",
    "L",
    "lb",
    "oz wt",
    "fl oz",
    "gallon",
    "quart",
    "pint",
    "cup",
    "tbsp",
    "tsp",
    "mg",
    "cL",
    "imp fl oz",
    "pieces",
)
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

_GAPS = " \u00a0\u2009\u202f"
_NUMBER = re.compile(
    rf"""\s*(?P<sign>[-+−–]?)\s*
    (?: (?:(?P<whole>[0-9]+)\s+)?(?P<over>[0-9]+)\s*[/⁄]\s*(?P<under>[0-9]+)
      | (?P<decimal>[0-9.,'{_GAPS}]*[0-9]\.?(?:[eE][-+]?[0-9]{{1,3}})?) )
    (?P<unit>.*)""",
    re.VERBOSE | re.DOTALL,
)
_PLAIN = re.compile(r"[0-9]*[.,]?[0-9]+|[0-9]+\.")
_GROUPED = re.compile(
    rf"[0-9]{{1,3}}(?P<mark>[,.'{_GAPS}])[0-9]{{3}}(?:(?P=mark)[0-9]{{3}})*(?:(?!(?P=mark))[.,][0-9]+)?"
)
_AMBIGUOUS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def split_amount(text: str, what: str, example: str) -> tuple[Fraction, str]:
    """The number at the start of a text, exactly, and the rest: the unit as written.

    Parameters
    ----------
    text : str
    what, example : str
        What is asked for, for the message: ``an amount``, ``250 g``.

    Raises
    ------
    QuantityError
        If it is no text, empty, longer than 60 characters, starts with no number, or with one that can be read in two ways (``1,250``).
    """
    if not isinstance(text, str):
        msg = f'{text!r} is not text with a number and a unit; write {what} such as "{example}"'
        raise QuantityError(msg)
    if not text.strip():
        msg = f'{what} is missing; write it such as "{example}"'
        raise QuantityError(msg)
    fault = "is too long" if len(text) > 60 else ""
    # "1½" becomes "1 1⁄2": a blank first, or it would read as eleven halves.
    spaced = "".join(
        f" {unicodedata.normalize('NFKC', c)} " if unicodedata.decomposition(c).startswith("<fraction>") else c
        for c in text
    )
    match = None if fault else _NUMBER.fullmatch(spaced)
    if match is None:
        fault = fault or "does not start with a number"
    elif re.match(r"\s*[0-9.,/⁄]", match["unit"]):
        fault = "cannot be read as one number and one unit"
    elif match["under"] and int(match["under"]) == 0:
        fault = "divides by zero"
    if match is None or fault:
        msg = f'"{short(text)}" {fault}; write {what} such as "{example}"'
        raise QuantityError(msg)
    sign = -1 if match["sign"] in {"-", "−", "–"} else 1
    if match["under"]:
        return sign * (int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"]))), match["unit"]
    return sign * _decimal(match["decimal"], text), match["unit"]


def _decimal(number: str, text: str) -> Fraction:
    mantissa, exponent = re.fullmatch(r"(.*?)([eE].*)?", number.strip(), re.DOTALL).groups(default="")
    if _AMBIGUOUS.fullmatch(mantissa):
        msg = f'"{short(text)}": {mantissa} may be {mantissa.replace(",", "")} or {mantissa.replace(",", ".")}; write the first without its comma, or the second with a decimal point'
        raise QuantityError(msg)
    if _PLAIN.fullmatch(mantissa):
        plain = mantissa.replace(",", ".")
    elif grouped := _GROUPED.fullmatch(mantissa):
        plain = mantissa.replace(grouped["mark"], "").replace(",", ".")
    else:
        msg = f'"{short(text)}": {mantissa} cannot be read as one number; write it such as 1250.5'
        raise QuantityError(msg)
    return Fraction(Decimal(plain + exponent))


def folded(unit: str) -> str:
    """A unit as `UNITS` has it: small letters, single blanks, no dots, dashes or brackets."""
    return (
        " ".join(re.sub(r"[.()\[\]_-]", " ", unit.casefold()).split()).replace("u s ", "us ").removesuffix(" customary")
    )


def short(text: str, most: int = 40) -> str:
    """The text in one line of at most so many characters, to quote in a sentence."""
    line = " ".join(str(text).split())
    return line if len(line) <= most else line[: most - 1] + "…"
