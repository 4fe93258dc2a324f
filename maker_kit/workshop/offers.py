"""What is for sale: suppliers with their delivery, packs with their price steps, kits; turned into the market that is
bought from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.errors import QuantityError
from maker_kit.formula.batch import LABEL
from maker_kit.formula.container import Container
from maker_kit.formula.recipe import Ingredient
from maker_kit.names import name_key
from maker_kit.units import Amount
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.records import Record, Records, less
from maker_kit.workshop.csv.same_rows import agreed, check_agreed, grouped, same_name
from maker_kit.workshop.things import Kit

_ONE_OF_TWO = "correct one of the two"


class PackKey(NamedTuple):
    """What rows of one pack share."""

    supplier: str
    item: str
    size: Amount


@dataclass(frozen=True)
class Goods:
    """What can be bought: ingredients by mass or volume, containers and labels by the piece."""

    names: Names
    ingredients: Mapping[str, Ingredient]
    containers: Mapping[str, Container]
    shipping_factor: float

    def pieces(self, item: str) -> bool:
        """Whether an item is counted in pieces."""
        return item in self.containers or item == LABEL

    def base_units(self, item: str, amount: Amount) -> int:
        """Content in whole base units [0.1 g, rounded down, or pieces]; a volume by the ingredient's density.

        Raises
        ------
        QuantityError
            If a volume has no density, or the item is counted in another way.
        """
        if self.pieces(item) != (amount.basis == "pieces"):
            raise QuantityError(
                f"{item} is counted in pieces: write it such as 24 pieces"
                if self.pieces(item)
                else f"{item} is weighed: write a mass, or a volume if its density is known"
            )
        units = amount.base_units(None if self.pieces(item) else self.ingredients[item].density_g_per_ml)
        if units < 1:
            raise QuantityError("this is less than 0.1 g, the least that is reckoned with")
        return units

    def shipping_dg(self, content: Mapping[str, int], given_g: Decimal | None) -> int:
        """Shipping weight [0.1 g]: as given, else of an ingredient its content times the workshop's factor, of a
        container its own mass, of labels nothing.
        """
        if given_g is not None:
            return math.ceil(given_g * 10)
        return sum(math.ceil(units * self._weighs(item)) for item, units in content.items())

    def _weighs(self, item: str) -> Fraction:
        """Shipping weight of one base unit [0.1 g]."""
        if item in self.ingredients:
            return self._factor
        return Fraction(str(self.containers[item].mass_g)) * 10 if item in self.containers else Fraction(0)

    @cached_property
    def _factor(self) -> Fraction:
        return Fraction(str(self.shipping_factor))


def read_suppliers(listed: Records, delivery: Records) -> tuple[tuple[Supplier, ...], Names]:
    """The suppliers with their steps of delivery, and all their names."""
    names = listed.names("a supplier", "name")
    by_supplier = grouped(delivery, "supplier", names)
    found = []
    for r in listed:
        name, steps = r["name"], by_supplier.get(r["name"], [])
        if name and delivery.readable and "supplier" in delivery.keys and not steps:
            r.refuse(
                "name",
                "at least one row of delivery for each supplier",
                f"add a row to {delivery.file}: the price of delivery, 0 where it costs nothing, and a blank weight "
                "where it is the same for any",
                f"no row for {shown(name)} in {delivery.file}",
            )
        if r["tax"] is not None and r["tax"] * 100 % 1:
            allowed = "a tax in whole hundredths of a percent, such as 8.88"
            r.refuse("tax", allowed, "round it to two decimals yourself")
        for step in steps:
            if less(step["price_to"], step["price"]):
                step.refuse(
                    "price_to",
                    f"at least {step['price'] / 100:.2f}, the price in the same row, or blank",
                    "write the lower price under 'price' and the higher under 'price to'; "
                    "leave it blank where the price is known",
                )
        for before, after in pairwise(steps):
            _check_delivery(before, after)
        if r.whole and all(s.whole for s in steps):
            weights = [None if s["up_to"] is None else int(s["up_to"] * 10_000) for s in steps]
            low, high = (
                tuple(zip(weights, prices, strict=True))
                for prices in ([s["price"] for s in steps], [_dearest(s) for s in steps])
            )
            more = () if high == low else high
            marked = any(row.invented for row in (r, *steps))
            found.append(
                r.make(Supplier, delivery=low, tax_bp=int(r["tax"] * 100), delivery_high=more, invented=marked)
            )
    return tuple(found), names


def _dearest(step: Record) -> int | None:
    """The most that a step of delivery may cost [cent]; where no second price is given, the one there is."""
    return step["price"] if step["price_to"] is None else step["price_to"]


def _check_delivery(before: Record, after: Record) -> None:
    if "up_to" in before.values and "up_to" in after.values:
        if before["up_to"] is None:
            before.refuse(
                "up_to",
                "a blank weight only in a supplier's last row, for everything heavier",
                f"fill it in: row {after.row} goes on for the same supplier",
            )
        elif after["up_to"] is not None and after["up_to"] <= before["up_to"]:
            allowed = f"more than {before['up_to']:f} kg, the step before"
            after.refuse("up_to", allowed, "put the steps of a supplier in the order of their weight")
    least, dearest = (before["price"], after["price"]), (_dearest(before), _dearest(after))
    for key, (light, heavy), what in (
        ("price", least, "the price of the lighter step in row {}"),
        ("price_to", dearest, "the most that the lighter step in row {} may cost"),
    ):
        if less(heavy, light):
            allowed = f"at least {light / 100:.2f}, {what.format(before.row)}"
            after.refuse(key, allowed, f"delivery of more weight costs as much or more: {_ONE_OF_TWO}")
            return


def read_packs(records: Records, suppliers: Names, goods: Goods) -> tuple[Pack, ...]:
    """The packs; rows of one supplier, item and size with rising counts are price steps of one pack."""
    groups: dict[PackKey, list[Record]] = {}
    units: dict[PackKey, int] = {}
    for r in records:
        key = PackKey(r.named("supplier", suppliers), r.named("item", goods.names), r["size"])
        content = _content(r, "size", key.item, goods)
        if key.supplier and key.item and key.size is not None:
            groups.setdefault(key, []).append(r)
            if content is not None:
                units[key] = content
    packs = []
    for key, rows in groups.items():
        steps = _steps(rows)
        if all(r.whole for r in rows) and key in units:
            content, size = {key.item: units[key]}, " ".join(rows[0]["size"].text.split())
            packs.append(
                Pack(
                    f"{key.supplier}: {key.item} {size}",
                    key.supplier,
                    content,
                    tuple((r["from_count"], r["price"]) for r in steps),
                    goods.shipping_dg(content, agreed(rows, "shipping")),
                    agreed(rows, "stock"),
                    invented=any(r.invented for r in rows),
                    size=size,
                )
            )
    _check_sizes(groups, units)
    return tuple(packs)


def _content(record: Record, key: str, item: str, goods: Goods) -> int | None:
    if record[key] is None or not (goods.pieces(item) or item in goods.ingredients):
        return None
    try:
        return goods.base_units(item, record[key])
    except QuantityError as error:
        allowed, mend = "an amount that fits the item", str(error)
        if record[key].basis == "volume" and not goods.pieces(item):
            allowed = "a mass, or a volume of an ingredient whose density is known"
            mend = f"fill in 'density [g/mL]' of {item} in ingredients.csv, or give the amount as a mass"
        record.refuse(key, allowed, mend)
        return None


def _steps(rows: list[Record]) -> list[Record]:
    """The price steps of one pack by their count; they start at one and never rise with it."""
    steps = sorted((r for r in rows if r["from_count"] is not None), key=lambda r: r["from_count"])
    if steps and len(steps) == len(rows) and steps[0]["from_count"] != 1:
        mend = "add the row with the price of a single pack, or correct the count"
        steps[0].refuse("from_count", "1 in the first row of a pack", mend)
    for before, after in pairwise(steps):
        if less(before["price"], after["price"]):
            allowed = f"at most {before['price'] / 100:.2f}, the price of each from {before['from_count']} on"
            after.refuse("price", allowed, "a price rises with the number bought: exchange the two, or correct one")
    check_agreed(rows, ("stock", "shipping"), "pack")
    return steps


def _check_sizes(groups: Mapping[PackKey, list[Record]], units: Mapping[PackKey, int]) -> None:
    """A larger pack that costs more for its content than a smaller one of the same supplier is asked about."""
    single: dict[tuple[str, str], list[tuple[int, Record]]] = {}
    for key, rows in groups.items():
        first = next((r for r in rows if r["from_count"] == 1 and r["price"]), None)
        if first is not None and key in units:
            single.setdefault(key[:2], []).append((units[key], first))
    for sizes in single.values():
        for (small, before), (large, after) in pairwise(sorted(sizes, key=lambda s: s[0])):
            if after["price"] * small > before["price"] * large and "price" not in after.sure:
                after.refuse(
                    "price",
                    f"at most {before['price'] * large / small / 100:.2f}, what as much costs in the smaller packs of "
                    f"row {before.row}, or a price you are sure of",
                    f"a price rises with the quantity: {_ONE_OF_TWO}; if it is meant, write: "
                    f"{after.texts['price'].strip()} sure",
                )


def read_kits(
    records: Records, suppliers: Names, recipes: Names, goods: Goods
) -> tuple[tuple[Pack, ...], tuple[Kit, ...]]:
    """The kits, as packs and as what they are meant for; one row an item, and what concerns the whole kit in its first
    row or in all.
    """
    packs, kits = [], []
    for rows in same_name(records, "kit"):
        check_agreed(rows, ("supplier", "recipe", "makes", "price", "shipping", "stock"), "kit")
        price = agreed(rows, "price")
        for key in ("supplier", "price"):
            if all(key in r.values for r in rows) and not agreed(rows, key):
                rows[0].refuse(key, "filled in, in the first row of a kit or in all of its rows", "fill it in")
        supplier, recipe = (
            next((r.named(key, names) for r in rows if r[key]), "")
            for key, names in (("supplier", suppliers), ("recipe", recipes))
        )
        content: dict[str, int] = {}
        bought: dict[str, float] = {}
        listed: dict[str, Amount] = {}
        for r in rows:
            item, amount = r.named("item", goods.names), r["amount"]
            units = _content(r, "amount", item, goods)
            if units is not None:
                content[item], listed[item] = units, amount
                density = None if goods.pieces(item) else goods.ingredients[item].density_g_per_ml
                bought[item] = amount.value if goods.pieces(item) else amount.to_grams(density)
        if len(content) == len(rows) and all(r.whole for r in rows) and supplier and price:
            name, shipping = f"{supplier}: {rows[0]['kit']}", goods.shipping_dg(content, agreed(rows, "shipping"))
            stock, marked = agreed(rows, "stock"), any(r.invented for r in rows)
            packs.append(Pack(name, supplier, content, ((1, price),), shipping, stock, kit=True, invented=marked))
            kits.append(Kit(name, supplier, recipe, agreed(rows, "makes"), bought, listed, rows[0]["kit"]))
    return tuple(packs), tuple(kits)


def read_market(
    suppliers: tuple[Supplier, ...],
    packs: tuple[Pack, ...],
    kits: tuple[Pack, ...],
    containers: Iterable[str],
    book: FaultBook,
) -> Market:
    """The market, with every name in it once."""
    seen: set[str] = set()
    for pack in (*packs, *kits):
        if name_key(pack.name) in seen:
            book.add(
                "kits.csv" if pack.kit else "packs.csv",
                None,
                "",
                f"two offers called {shown(pack.name)}",
                "a name of its own for every offer",
                "give the kit another name, or write the size in another way",
            )
        seen.add(name_key(pack.name))
    return Market(suppliers, (*packs, *kits), frozenset((*containers, LABEL)))
