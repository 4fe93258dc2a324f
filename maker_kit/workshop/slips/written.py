"""Questions about how a figure is written: a zero before other digits, a price with fewer decimals than all others, a
size that is no round one. These are what is left to see of digits that were swapped or of a point that slipped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from maker_kit.amount_text import FACTORS
from maker_kit.names import name_key
from maker_kit.units import Amount
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.cells import without_sure
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic, topic_of

LEAST_PRICES, MOST_SHORT = 8, 0.05
"""Prices are held to be written with two decimals where there are so many, and at most this share has only one."""
NEAR_ROUND = 0.016
"""How far a size told in one system of units may lie off a round one of the other [part of it]."""
OUNCES = (0.25, 1 / 3, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 24.0, 32.0,
          40.0, 48.0, 64.0, 80.0, 96.0, 112.0, 128.0, 160.0)  # fmt: skip
"""Round sizes in ounces of weight or fluid ounces."""
LEAST_SIZE, MOST_SIZE = 10.0, 4_000.0
"""Sizes between these are asked about [g or mL]."""
_ZERO = re.compile(r"[+-]?0[0-9]")
_DECIMALS = re.compile(r"[0-9]+(?:[.,]([0-9]*))?")
_CUSTOMARY = re.compile(r"(?i)[a-z.]*(?:oz|lb|ounce|pound|gal|quart|pint|qt|pt|cup)")
_OUNCE = {"mass": float(FACTORS["ounce"]), "volume": float(FACTORS["fluid_ounce"])}


def ask_written(held: Held, asker: Asker) -> None:
    """All figures."""
    for spec, name, r in _rows(held):
        topic = Topic.of("recipe", name) if name else topic_of(spec, r)
        for column in spec.columns:
            if column.kind in ("number", "money", "amount") and _ZERO.match(r.texts.get(column.key, "").strip()):
                asker.ask("zero", topic, r, column.key, "It begins with a zero, so a point may be missing behind it")
    _ask_decimals(held, asker)
    for r in held.tables[specs.PACKS]:
        if odd_size(r["size"], shop=False):
            asker.ask("size", Topic("ingredient", name_key(r["item"])), r, "size", "Packs are mostly of a round size")
    for r in held.tables[specs.SHOP_PRODUCTS]:
        if odd_size(r["size"], shop=True):
            asker.ask("shop_size", Topic.of("shop product", r["product"]), r, "size", "It is no size that shops have")


def _rows(held: Held) -> Iterator[tuple[TableSpec, str, Record]]:
    """All rows with their table, and the recipe of those of its own tables."""
    for spec, records in held.tables.items():
        yield from ((spec, "", r) for r in records)
    for parts in (held.lines, held.steps):
        for name, records in parts.items():
            yield from ((r.spec, name, r) for r in records)


def _ask_decimals(held: Held, asker: Asker) -> None:
    """A price with a single decimal, where all the others that have any have two."""
    prices = [
        (spec, column.key, r, found[1] or "")
        for spec, records in held.tables.items()
        for column in spec.columns
        if column.kind == "money"
        for r in records
        if r[column.key]
        for found in [_DECIMALS.fullmatch(without_sure(r.texts.get(column.key, "")))]
        if found
    ]
    short = [price for price in prices if len(price[-1]) == 1]
    kept = any(len(decimals) == 2 and decimals[-1] == "0" for *_, decimals in prices)
    if not kept or len(prices) < LEAST_PRICES or len(short) > max(1, MOST_SHORT * len(prices)):
        return
    alike = {(spec, key) for spec, key, *_ in short}
    if any(sum(s == spec and k == key for s, k, *_ in short) > 1 for spec, key in alike):
        return
    for spec, key, r, _ in short:
        asker.ask("decimals", topic_of(spec, r), r, key, "Prices are written with two decimals here")


def odd_size(size: object, *, shop: bool) -> bool:
    """Whether an amount is no round size, in grams or mL or in ounces, of what suppliers or (`shop`) shops sell."""
    if not isinstance(size, Amount) or size.basis == "pieces":
        return False
    return _odd_size(float(size.exact), size.basis, _CUSTOMARY.search(size.text) is not None, shop)


@lru_cache(maxsize=1024)
def _odd_size(held: float, basis: str, customary: bool, shop: bool) -> bool:
    if not LEAST_SIZE <= held <= MOST_SIZE or any(_near(held, n * _OUNCE[basis]) for n in OUNCES):
        return False
    if shop:
        half = _OUNCE[basis] / 2
        return not (customary or _sold(held) or (held <= 1000 and abs(held - half * round(held / half)) <= 1))
    if customary:
        return not any(_near(held, round_one) for round_one in (_round(held), 5.0 * round(held / 5)))
    return abs(held - _round(held)) > 1e-6


def _near(held: float, round_one: float) -> bool:
    return abs(held - round_one) <= NEAR_ROUND * held


def _round(held: float) -> float:
    """The nearest of the round sizes: one digit, or two of which the second is a five, or 125, 375 and so on."""
    digit = 10.0 ** (len(str(int(held))) - 1)
    step = digit / 4 if held < 4 * digit else digit / 2
    return step * round(held / step)


def _sold(held: float) -> bool:
    """Whether shops have such a size: the larger, the rounder."""
    step = 5 if held <= 100 else 10 if held <= 400 else 20 if held <= 500 else 25
    return any(abs(held - s * round(held / s)) < 1e-6 for s in (step, 25))
