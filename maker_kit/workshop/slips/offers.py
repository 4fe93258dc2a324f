"""Questions about what is for sale: packs against the other packs of the thing, kits against what the recipe takes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import pairwise
from statistics import median
from typing import NamedTuple

from maker_kit.buying.needs import needs_per_batch
from maker_kit.errors import MakerKitError
from maker_kit.formula.batch import LABEL
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic, number, plain, rises_as

LEAST_RISE = 0.35
"""Least power of the size with which the price of packs of one thing usually rises."""
OTHERS_TIMES = 4.0
"""How many times dearer or cheaper than at the other suppliers a pack is asked about, sizes reckoned in."""
USUAL_RISE = 0.75
"""Power of the size with which prices rise in between, to compare packs of different sizes."""
AGREE_TIMES = 20.0
"""Packs of one thing whose prices go together confirm each other where the largest is at most so many times the
smallest: what such things usually cost is then not asked."""
KIT_TIMES = 4.0
"""How many times what the recipe takes a kit may hold of a thing before it is asked about."""
SMALL_G = 15.0
"""A kit holds at least so much more of a thing than is needed where it is asked about [g]."""


class _Sold(NamedTuple):
    record: Record
    supplier: str
    size: float
    """Content [g or pieces]."""
    price: float


def ask_offers(held: Held, asker: Asker) -> None:
    """Packs and kits."""
    sold = _sold(held)
    for item, packs in sold.items():
        topic = Topic("container" if item in _pieces(held) else "ingredient", item)
        before = len(asker.questions)
        _ask_sizes(packs, topic, asker)
        _ask_suppliers(packs, topic, asker)
        agree = len(packs) > 1 and packs[-1].size <= AGREE_TIMES * packs[0].size and len(asker.questions) == before
        if not agree:
            _ask_usual(held, item, packs, topic, asker)
    for record in held.tables[specs.PACKS]:
        _ask_weight(held, record, "size", Topic("ingredient", name_key(record["item"])), asker)
        first = number(record, "from_count") or 1
        if first > 1000:
            topic = Topic("ingredient", name_key(record["item"]))
            asker.ask("price_step", topic, record, "from_count", "hardly anybody buys a thousand packs in one go")
    _ask_price_steps(held, asker)
    _ask_kits(held, sold, asker)


def _pieces(held: Held) -> set[str]:
    return {name_key(name) for name in (*held.shop.containers, LABEL)}


def content(held: Held, record: Record, key: str) -> float | None:
    """What a cell for an amount holds of the row's item [g or pieces]; None where that is not known."""
    amount, item = record[key], name_key(record["item"] or "")
    if amount is None:
        return None
    if item in _pieces(held):
        return float(amount.value) if amount.basis == "pieces" else None
    thing = held.shop.ingredients.get(held.spelled.get(item, ""))
    try:
        return float(amount.to_grams(thing.density_g_per_ml if thing else None))
    except MakerKitError:
        return None


def _sold(held: Held) -> dict[str, list[_Sold]]:
    """The packs as they are sold singly, by item, the smallest first."""
    found: dict[str, list[_Sold]] = {}
    for record in held.tables[specs.PACKS]:
        size, price = content(held, record, "size"), record["price"]
        if size and price and record["from_count"] == 1:
            one = _Sold(record, name_key(record["supplier"]), size, price / 100)
            found.setdefault(name_key(record["item"]), []).append(one)
    return {item: sorted(packs, key=lambda pack: pack.size) for item, packs in found.items()}


def _ask_sizes(packs: list[_Sold], topic: Topic, asker: Asker) -> None:
    """Packs of one thing at one supplier: the larger costs more, and not much less than its content."""
    by_supplier: dict[str, list[_Sold]] = {}
    for pack in packs:
        by_supplier.setdefault(pack.supplier, []).append(pack)
    for mine in by_supplier.values():
        for small, large in pairwise(mine):
            rise = rises_as((small.size, small.price), (large.size, large.price))
            row, size = small.record.row, small.record.texts["size"].strip()
            if large.price <= small.price:
                why = f"The smaller pack in row {row} ({size}) costs {small.price:.2f}, as much or more"
            elif rise is not None and rise < LEAST_RISE:
                times = plain(large.size / small.size)
                why = f"{times} times as much as in row {row} ({size}) costs hardly more than its {small.price:.2f}"
            else:
                continue
            asker.ask("price_of_size", topic, large.record, "price", f"{why}; look at both rows", small.record)


def _ask_suppliers(packs: list[_Sold], topic: Topic, asker: Asker) -> None:
    """A pack against those of the other suppliers, sizes reckoned in."""
    even = [pack.price / pack.size**USUAL_RISE for pack in packs]
    if len({pack.supplier for pack in packs}) < 2:
        return
    sums: dict[str, list[float]] = {}
    for pack, price in zip(packs, even, strict=True):
        sums.setdefault(pack.supplier, []).append(price)
    mine = {supplier: median(prices) for supplier, prices in sums.items()}
    for pack, price in zip(packs, even, strict=True):
        other = median(value for supplier, value in mine.items() if supplier != pack.supplier)
        if not other / OTHERS_TIMES <= price <= other * OTHERS_TIMES:
            dear = "dearer" if price > other else "cheaper"
            times = max(price / other, other / price)
            why = f"It is about {times:.0f} times {dear} than the same at the other suppliers, sizes reckoned in"
            asker.ask("price_of_others", topic, pack.record, "price", why)


def _ask_usual(held: Held, item: str, packs: list[_Sold], topic: Topic, asker: Asker) -> None:
    """A price against what such things usually cost."""
    if item == name_key(LABEL):
        what, scale = "label", 1.0
    elif item in _pieces(held):
        what, scale = "container", 1.0
    else:
        what, scale = held.functions.get(item, ""), 1000.0
    band = held.usual_price("price", what)
    if band is None:
        return
    for pack in packs:
        price = pack.price / pack.size * scale
        if scale > 1:
            price *= (pack.size / 100) ** (1 - USUAL_RISE)
        if not band.holds(price):
            kind = f"what works as {what}" if scale > 1 else f"a {what}"
            why = f"That is {plain(price)} {band.unit}, sizes reckoned in, and {kind} mostly costs {band.words()}"
            asker.ask("price_unusual", topic, pack.record, "price", f"{why}; look at the size too")


def _ask_weight(held: Held, record: Record, key: str, topic: Topic, asker: Asker) -> None:
    """A shipping weight against the content."""
    weight, inside = number(record, "shipping"), content(held, record, key)
    box = held.shop.containers.get(held.spelled.get(name_key(record["item"] or ""), ""))
    if inside and box is not None:
        inside *= float(box.mass_g)
    elif name_key(record["item"] or "") == name_key(LABEL):
        return
    if weight and inside:
        _weighs(weight, inside, record, topic, asker)


def _weighs(weight: float, inside: float, record: Record, topic: Topic, asker: Asker) -> None:
    if not 0.9 * inside <= weight <= 2.5 * inside + 500:
        why = f"What is in it weighs about {plain(inside)} g, and a parcel of that weighs a little more"
        asker.ask("shipping", topic, record, "shipping", why)


def _ask_price_steps(held: Held, asker: Asker) -> None:
    first: dict[tuple[str, str, object], Record] = {}
    for r in held.tables[specs.PACKS]:
        if r["from_count"] == 1 and r["price"]:
            first[name_key(r["supplier"]), name_key(r["item"]), r["size"]] = r
    for r in held.tables[specs.PACKS]:
        single = first.get((name_key(r["supplier"]), name_key(r["item"]), r["size"]))
        if single is not None and single is not r and r["price"] and r["price"] < 0.45 * single["price"]:
            why = f"From {r['from_count']} on each costs less than half of the {single['price'] / 100:.2f} for one"
            asker.ask("price_step", Topic("ingredient", name_key(r["item"])), r, "price", why, single)


def _ask_kits(held: Held, sold: Mapping[str, list[_Sold]], asker: Asker) -> None:
    kits: dict[str, list[Record]] = {}
    for record in held.tables[specs.KITS]:
        kits.setdefault(name_key(record["kit"]), []).append(record)
    for name, rows in kits.items():
        topic = Topic("kit", name)
        amounts = [(r, content(held, r, "amount")) for r in rows]
        _ask_kit_price(amounts, sold, rows, topic, asker)
        weighed = [
            (amount or 0) * (float(box.mass_g) if box else 1)
            for r, amount in amounts
            if name_key(r["item"]) != name_key(LABEL)
            for box in [held.shop.containers.get(held.spelled.get(name_key(r["item"]), ""))]
        ]
        weight = number(rows[0], "shipping")
        if weight:
            _weighs(weight, sum(weighed), rows[0], topic, asker)
        _ask_kit_amounts(held, amounts, rows, topic, asker)


def _ask_kit_price(
    amounts: Iterable[tuple[Record, float | None]],
    sold: Mapping[str, list[_Sold]],
    rows: list[Record],
    topic: Topic,
    asker: Asker,
) -> None:
    worth, missing = 0.0, 0
    for r, amount in amounts:
        packs = sold.get(name_key(r["item"]))
        if packs and amount:
            pack = min(packs, key=lambda p: abs(p.size - amount))
            worth += pack.price * (amount / pack.size) ** USUAL_RISE
        else:
            missing += 1
    price = next((r["price"] for r in rows if r["price"]), None)
    priced = next((r for r in rows if r["price"]), rows[0])
    if price and worth and missing <= len(rows) / 4 and not 0.3 * worth <= price / 100 <= 3.5 * worth:
        why = f"Its things, bought one by one in such amounts, cost about {worth:.0f}"
        asker.ask("kit_price", topic, priced, "price", why)


def _ask_kit_amounts(
    held: Held, amounts: list[tuple[Record, float | None]], rows: list[Record], topic: Topic, asker: Asker
) -> None:
    makes, named = (next((r[key] for r in rows if r[key]), None) for key in ("makes", "recipe"))
    recipe = next((r for r in held.shop.recipes.values() if named and name_key(named) in _names_of(r)), None)
    if not makes or recipe is None:
        return
    try:
        needs: Mapping[str, Fraction] = needs_per_batch(recipe, makes, recipe.container, LABEL)
    except MakerKitError:
        return
    need = {name_key(n): float(v) / (1 if name_key(n) in _pieces(held) else 10) for n, v in needs.items()}
    odd = []
    for r, amount in amounts:
        wanted = need.get(name_key(r["item"]))
        if amount and wanted:
            over = amount > KIT_TIMES * wanted and amount - wanted > SMALL_G
            pieces = name_key(r["item"]) in _pieces(held) and amount > 1.9 * wanted
            if over or pieces or amount < 0.4 * wanted:
                odd.append((r, amount, wanted))
    counted = next((r for r in rows if r["makes"]), rows[0])
    if len(odd) > len(amounts) / 2:
        asker.ask("kit_makes", topic, counted, "makes", f"Its things are far from what {makes} containers take")
        return
    for r, amount, wanted in odd:
        why = f"It holds {plain(amount)}, and {makes} containers of {recipe.title} take {plain(wanted)}"
        asker.ask("kit_amount", topic, r, "amount", why)


def _names_of(recipe: Recipe) -> tuple[str, str]:
    return name_key(recipe.name), name_key(recipe.title)
