"""A product for every use an annex lists: picked by hand for each of the law's words, so that a figure can be tried
on the product it is for.
"""

from __future__ import annotations

from fractions import Fraction

from reference_tables import reference_rows

from maker_kit.formula.annexes.verdict import Content, Verdict
from maker_kit.formula.annexes.verdicts import verdicts
from maker_kit.formula.ingredient import ProductType

LEAVE = {
    place: ProductType((place,), rinse_off=False)
    for place in ("hands", "body", "face", "eye area", "lips", "hair", "underarm", "intimate area", "baby")
}
RINSE = {place: ProductType((place,), rinse_off=True) for place in ("hands", "body", "face", "hair")}
HAIR_SPRAY = ProductType(("hair",), rinse_off=False, spray=True)
BODY_SPRAY = ProductType(("body",), rinse_off=False, spray=True)
DEO_SPRAY = ProductType(("underarm",), rinse_off=False, spray=True)
CHILD = ProductType(("body",), rinse_off=False, for_whom="small children")

BY_WORDS: dict[str, ProductType] = {
    row["words"]: ProductType((row["place"],), row["use"] == "rinse-off", row["spray"] == "yes", row["whom"])
    for row in reference_rows("annex_try_products.csv")
}
"""The law's words → a product that surely is meant, picked by hand. What is not here (hair dyes, nails, teeth,
make-up, perfume, professional use) no maker's words can surely be."""

NO_MAKERS_WORDS = (
    r"(?i)hair ?(?:dye|due|day)|dyeing|oral|tooth|mouth|nail|depilator|eyelash|eyebrow|straighten|waving|make-?up|"
    r"eye ?shadow|mascara|eye liner|dandruff|fragrance|eau de toilette|talcum|powder|"
    r"self-tanning|rust|denaturant|stabilizer|traces|callosity|soap|shower gel|foot care|anti-perspirants|"
    r"propellant spray products|concentration applied to hair"
)


def verdicts_of(
    name: str,
    product: ProductType,
    low: float,
    high: float | None,
    *,
    ph: float | None = None,
    functions: tuple[str, ...] = (),
) -> tuple[Verdict, ...]:
    """What the annexes say of one substance alone, of which the whole has `low` to `high` [%] (None: not told)."""
    most = None if high is None else Fraction(str(high))
    return verdicts((Content(name, Fraction(str(low)), most, functions),), product, ph)
