"""How tall the letters of the net content have to be, by the area of the panel or by the content."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.numbers import exact_number

MM_PER_INCH = Fraction(254, 10)
SOURCES = {
    "US": "21 CFR 701.13, from memory",
    "EU": "Regulation (EC) No 1223/2009, Article 19(1)(b) (read in the Official Journal, L 342 of 2009, page 73), and "
    "Directive 76/211/EEC, Annex I (read at legislation.gov.uk)",
}
"""Who says so of the net content, by market."""


def panel_area_cm2(
    *, width_cm: float | None = None, height_cm: float, girth_cm: float | None = None, whole_cm2: float | None = None
) -> Fraction:
    """Area of the main panel [cm²]: a flat side as width × height; of a round pack 40 % of height × girth; of any
    other shape 40 % of the whole surface (21 CFR 701.10, 16 CFR 500.21(a)).

    Parameters
    ----------
    width_cm, height_cm, girth_cm : float
        Of the container without shoulders, neck and foot [cm].
    whole_cm2 : float, optional
        Whole surface [cm²].

    Raises
    ------
    QuantityError
        If a size is missing or not above 0.
    """
    height = exact_number(height_cm, "a height")
    if girth_cm is not None:
        area = Fraction(2, 5) * height * exact_number(girth_cm, "a girth")
    elif width_cm is not None:
        area = height * exact_number(width_cm, "a width")
    elif whole_cm2 is not None:
        area = Fraction(2, 5) * exact_number(whole_cm2, "a surface")
    else:
        area = Fraction(0)
    if area <= 0:
        raise QuantityError("a main panel needs its height and its width, or the girth of a round pack, each above 0")
    return area


def letter_height(
    market: str, nominal: Fraction, panel_cm2: float | Fraction | None = None
) -> tuple[Fraction | None, str]:
    """Least height of the letters of a net content [mm], and its source.

    US: by the area of the main panel (``us_net_quantity_letter_height.csv``). EU: by the nominal content
    (``eu_nominal_letter_height.csv``).

    Parameters
    ----------
    market : {'EU', 'US'}
    nominal : Fraction
        [g or mL]
    panel_cm2 : float, optional
        [cm²]

    Returns
    -------
    (Fraction or None, str)
        None in the US without an area.
    """
    if market == "EU":
        return _row("eu_nominal_letter_height.csv", "nominal_g_or_mL", nominal)
    if panel_cm2 is None:
        return None, SOURCES["US"]
    area = exact_number(panel_cm2, "the area of a panel") / Fraction("2.54") ** 2
    return _row("us_net_quantity_letter_height.csv", "pdp_area", area)


def _row(table: str, column: str, value: Fraction) -> tuple[Fraction | None, str]:
    for low, high, height, source in _heights(table, column):
        if (low is None or value > low) and (high is None or value <= high):
            return height, source
    return None, f"no row in {table}"


@lru_cache(maxsize=4)
def _heights(table: str, column: str) -> tuple[tuple[Fraction | None, Fraction | None, Fraction, str], ...]:
    """Rows of a table of letter heights: more than, at most, height [mm], source."""
    found = []
    for row in reference.rows(table, columns=(column, "source", "checked")):
        cell = row[column]
        high = re.search(r"<=\s*(\d+(?:\.\d+)?)", cell)
        low = re.search(r">\s*(\d+(?:\.\d+)?)", cell) or re.match(r"\s*(\d+(?:\.\d+)?)\s*<", cell)
        inches = re.match(r"(\d+)/(\d+) in", row.get("min_height", ""))
        height = Fraction(int(inches[1]), int(inches[2])) * MM_PER_INCH if inches else Fraction(row["min_height_mm"])
        found.append(
            (Fraction(low[1]) if low else None, Fraction(high[1]) if high else None, height, reference.source_of(row))
        )
    return tuple(found)
