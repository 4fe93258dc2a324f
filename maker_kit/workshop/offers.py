"""What is for sale: suppliers with their delivery, packs with their price steps, kits; turned into the market that is bought from."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.errors import QuantityError
from maker_kit.formula.batch import LABEL
from maker_kit.formula.container import Container
from maker_kit.formula.recipe import Ingredient
from maker_kit.names import name_key
from maker_kit.units import Amount
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.records import Record, Records, agreed, check_agreed, grouped
from maker_kit.workshop.things import KitPlan


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
            msg = (
                f"{item} is counted in pieces: write it such as 24 pieces"
                if self.pieces(item)
                else f"{item} is weighed: write a mass, or a volume if its density is known"
            )
            raise QuantityError(msg)
        if amount.basis == "pieces":
            return amount.base_units()
        units = amount.base_units(self.ingredients[item].density_g_per_ml)
        if units < 1:
            msg = "this is less than 0.1 g, the least that is reckoned with"
            raise QuantityError(msg)
        return units

    def known(self, item: str | None) -> bool:
        """Whether everything is known that a content needs."""
        return item is not None and (self.pieces(item) or item in self.ingredients)

    def shipping_dg(self, item: str, units: int) -> int:
        """Shipping weight where none is given [0.1 g]: of an ingredient its content times the workshop's factor, of a container its own mass, of labels nothing."""
        if item in self.ingredients:
            return math.ceil(units * Fraction(str(self.shipping_factor)))
        return math.ceil(Fraction(str(self.containers[item].mass_g)) * 10 * units) if item in self.containers else 0


def read_suppliers(listed: Records, delivery: Records, book: FaultBook) -> tuple[tuple[Supplier, ...], Names]:
    """The suppliers with their steps of delivery, and all their names."""
    names = Names.of("a supplier", listed.file, listed.names("supplier"))
    steps = grouped(delivery, "supplier", names, book)
    found = []
    for r in listed:
        name = r["supplier"]
        if name and delivery.readable and "supplier" in delivery.keys and name not in steps:
            book.add(
                listed.file,
                r.row,
                "supplier",
                f"no row for {shown(name)} in {delivery.file}",
                "at least one row of delivery for each supplier",
                f"add a row to {delivery.file}: the price of delivery, 0 where it costs nothing, and a blank weight where it is the same for any",
            )
        if r["tax"] is not None and r["tax"] * 100 % 1:
            r.refuse(
                book, "tax", "a tax in whole hundredths of a percent, such as 8.88", "round it to two decimals yourself"
            )
        for step in steps.get(name, ()):
            _check_price_to(step, book)
        for before, after in pairwise(steps.get(name, ())):
            _check_delivery(before, after, book)
        if r.whole and all(s.whole for s in steps.get(name, ())):
            weights = [None if s["up_to"] is None else int(s["up_to"] * 10_000) for s in steps.get(name, ())]
            low = tuple((most, s["price"]) for most, s in zip(weights, steps.get(name, ()), strict=True))
            high = tuple((most, _dearest(s)) for most, s in zip(weights, steps.get(name, ()), strict=True))
            found.append(
                Supplier(
                    name,
                    low,
                    r["handling"],
                    r["free_from"],
                    r["least_order"],
                    int((r["tax"] or 0) * 100),
                    r["tax_on_fees"],
                    r["threshold_after_tax"],
                    () if high == low else high,
                )
            )
    return tuple(found), names


def _dearest(step: Record) -> int | None:
    """The most that a step of delivery may cost [cent]; where no second price is given, the one there is."""
    return step["price"] if step["price_to"] is None else step["price_to"]


def _check_price_to(step: Record, book: FaultBook) -> None:
    if step["price"] is not None and step["price_to"] is not None and step["price_to"] < step["price"]:
        step.refuse(
            book,
            "price_to",
            f"at least {step['price'] / 100:.2f}, the price in the same row, or blank",
            "write the lower price under 'price' and the higher under 'price to'; leave it blank where the price is known",
        )


def _check_delivery(before: Record, after: Record, book: FaultBook) -> None:
    if "up_to" in before.values and "up_to" in after.values:
        if before["up_to"] is None:
            before.refuse(
                book,
                "up_to",
                "a blank weight only in a supplier's last row, for everything heavier",
                f"fill it in: row {after.row} goes on for the same supplier",
            )
        elif after["up_to"] is not None and after["up_to"] <= before["up_to"]:
            after.refuse(
                book,
                "up_to",
                f"more than {before['up_to']:f} kg, the step before",
                "put the steps of a supplier in the order of their weight",
            )
    if before["price"] is not None and after["price"] is not None and after["price"] < before["price"]:
        after.refuse(
            book,
            "price",
            f"at least {before['price'] / 100:.2f}, the price of the lighter step in row {before.row}",
            "delivery of more weight costs as much or more: correct one of the two",
        )
    elif _dearest(before) is not None and _dearest(after) is not None and _dearest(after) < _dearest(before):
        after.refuse(
            book,
            "price_to",
            f"at least {_dearest(before) / 100:.2f}, the most that the lighter step in row {before.row} may cost",
            "delivery of more weight costs as much or more: correct one of the two",
        )


def read_packs(records: Records, suppliers: Names, goods: Goods, book: FaultBook) -> tuple[Pack, ...]:
    """The packs; rows of one supplier, item and size with rising counts are price steps of one pack."""
    groups: dict[tuple[str, str, Amount], list[Record]] = {}
    units: dict[tuple[str, str, Amount], int] = {}
    for r in records:
        supplier = suppliers.check(book, r.place("supplier"), r["supplier"]) if r["supplier"] else None
        item = goods.names.check(book, r.place("item"), r["item"]) if r["item"] else None
        content = _content(r, "size", item, goods, book)
        if supplier and item and r["size"] is not None:
            key = (supplier, item, r["size"])
            groups.setdefault(key, []).append(r)
            if content is not None:
                units[key] = content
    packs = []
    for (supplier, item, size), rows in groups.items():
        _check_steps(rows, book)
        steps = sorted((r for r in rows if r["from_count"] is not None), key=lambda r: r["from_count"])
        if all(r.whole for r in rows) and (supplier, item, size) in units:
            content = units[supplier, item, size]
            shipping = agreed(rows, "shipping")
            packs.append(
                Pack(
                    f"{supplier}: {item} {' '.join(rows[0]['size'].text.split())}",
                    supplier,
                    {item: content},
                    tuple((r["from_count"], r["price"]) for r in steps),
                    goods.shipping_dg(item, content) if shipping is None else math.ceil(shipping * 10),
                    agreed(rows, "stock"),
                )
            )
    _check_sizes(groups, units, book)
    return tuple(packs)


def _content(record: Record, key: str, item: str | None, goods: Goods, book: FaultBook) -> int | None:
    if record[key] is None or item is None or not goods.known(item):
        return None
    try:
        return goods.base_units(item, record[key])
    except QuantityError as error:
        density = record[key].basis == "volume" and not goods.pieces(item)
        record.refuse(
            book,
            key,
            "a mass, or a volume of an ingredient whose density is known"
            if density
            else "an amount that fits the item",
            f"fill in 'density [g/mL]' of {item} in ingredients.csv, or give the amount as a mass"
            if density
            else str(error),
        )
        return None


def _check_steps(rows: list[Record], book: FaultBook) -> None:
    """Price steps of one pack start at one and never rise with the count."""
    steps = sorted((r for r in rows if r["from_count"] is not None), key=lambda r: r["from_count"])
    if steps and len(steps) == len(rows) and steps[0]["from_count"] != 1:
        steps[0].refuse(
            book,
            "from_count",
            "1 in the first row of a pack",
            "add the row with the price of a single pack, or correct the count",
        )
    for before, after in pairwise(steps):
        if before["price"] is not None and after["price"] is not None and after["price"] > before["price"]:
            after.refuse(
                book,
                "price",
                f"at most {before['price'] / 100:.2f}, the price of each from {before['from_count']} on",
                "a price rises with the number bought: exchange the two, or correct one",
            )
    for key in ("stock", "shipping"):
        check_agreed(rows, key, "pack", book)


def _check_sizes(
    groups: Mapping[tuple[str, str, Amount], list[Record]],
    units: Mapping[tuple[str, str, Amount], int],
    book: FaultBook,
) -> None:
    """A larger pack that costs more for its content than a smaller one of the same supplier is asked about."""
    single: dict[tuple[str, str], list[tuple[int, int, Record]]] = {}
    for key, rows in groups.items():
        first = next((r for r in rows if r["from_count"] == 1 and r["price"]), None)
        if first is not None and key in units:
            single.setdefault(key[:2], []).append((units[key], first["price"], first))
    for sizes in single.values():
        ordered = sorted(sizes, key=lambda s: s[0])
        for (small, small_price, before), (large, large_price, after) in pairwise(ordered):
            if large_price * small > small_price * large and "price" not in after.sure:
                after.refuse(
                    book,
                    "price",
                    f"at most {small_price * large / small / 100:.2f}, what as much costs in the smaller packs of row {before.row}, or a price you are sure of",
                    f"a price rises with the quantity: correct one of the two; if it is meant, write: {after.texts['price'].strip()} sure",
                )


def read_kits(
    records: Records, suppliers: Names, recipes: Names, goods: Goods, book: FaultBook
) -> tuple[tuple[Pack, ...], tuple[KitPlan, ...]]:
    """The kits, as packs and as plans; one row an item, and what concerns the whole kit in its first row or in all."""
    groups: dict[str, list[Record]] = {}
    for r in records:
        if r["kit"]:
            groups.setdefault(name_key(r["kit"]), []).append(r)
    packs, plans = [], []
    for rows in groups.values():
        whole = all(r.whole for r in rows)
        for key in ("supplier", "recipe", "makes", "price", "shipping", "stock"):
            check_agreed(rows, key, "kit", book)
        for key in ("supplier", "price"):
            if all(key in r.values for r in rows) and agreed(rows, key) is None:
                rows[0].refuse(book, key, "filled in, in the first row of a kit or in all of its rows", "fill it in")
        supplier = _checked(rows, "supplier", suppliers, book)
        recipe = _checked(rows, "recipe", recipes, book)
        content: dict[str, int] = {}
        bought: dict[str, float] = {}
        listed: dict[str, Amount] = {}
        for r in rows:
            item = goods.names.check(book, r.place("item"), r["item"]) if r["item"] else None
            units = _content(r, "amount", item, goods, book)
            if units is None or item is None:
                whole = False
                continue
            content[item] = units
            listed[item] = r["amount"]
            bought[item] = (
                r["amount"].value
                if goods.pieces(item)
                else r["amount"].to_grams(goods.ingredients[item].density_g_per_ml)
            )
        if whole and supplier and agreed(rows, "price") is not None:
            name, given = f"{supplier}: {rows[0]['kit']}", agreed(rows, "shipping")
            shipping = (
                sum(goods.shipping_dg(item, n) for item, n in content.items())
                if given is None
                else math.ceil(given * 10)
            )
            packs.append(
                Pack(name, supplier, content, ((1, agreed(rows, "price")),), shipping, agreed(rows, "stock"), kit=True)
            )
            plans.append(KitPlan(name, supplier, recipe or "", agreed(rows, "makes"), bought, listed))
    return tuple(packs), tuple(plans)


def _checked(rows: list[Record], key: str, names: Names, book: FaultBook) -> str | None:
    first = next((r for r in rows if r[key]), None)
    return names.check(book, first.place(key), first[key]) if first else None


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
