"""Questions about suppliers with their delivery, and about what the shop sells."""

from __future__ import annotations

import re
from itertools import pairwise

from maker_kit.names import name_key
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.cells import BareOunces
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic, far_off, plain, rises_as
from maker_kit.workshop.slips.usual import Usual, usual

STEP_TIMES = 3.5
"""How many times as much the next step of delivery may cost before it is asked about."""
WEIGHT_TIMES = 8.0
SIZE_TIMES = 5.0
"""How many times a shop size may be the fill of the recipe that stands against it."""
EVEN_SIZE, SMALL_DEARER = 200.0, 0.5
"""Prices for 100 mL are compared as of a size of so many mL or g; they fall with this power of the size."""
LEAST_SALE = 0.35
"""Least share of the regular price that a sale price usually is."""
OTHERS_TIMES = 4.0
"""How many times off what all other products of its use cost a shop price is asked about, sizes reckoned in."""
PAIR_TIMES = 6.0
"""The same where only two others are on file."""
ML_IN_FL_OZ, ROUND_ML, PRINTED_ML = 29.5735295625, 5.0, 0.35
"""A size in fluid ounces with two decimals is mostly a round number of mL; how far print may be off it [mL]."""
_TWO_DECIMALS = re.compile(r"\s*([0-9]+\.[0-9]{2})\s*fl\.?\s*oz\b.*", re.IGNORECASE)


def ask_shops(held: Held, asker: Asker) -> None:
    """Suppliers, delivery, shop products."""
    steps: dict[str, list[Record]] = {}
    for record in held.tables[specs.DELIVERY]:
        steps.setdefault(name_key(record["supplier"]), []).append(record)
    for rows in steps.values():
        _ask_delivery(held, rows, asker)
    for record in held.tables[specs.SUPPLIERS]:
        _ask_supplier(held, record, steps.get(name_key(record["name"]), []), asker)
    products: dict[str, list[Record]] = {}
    for record in held.tables[specs.SHOP_PRODUCTS]:
        products.setdefault(name_key(record["product"]), []).append(record)
    for name, rows in products.items():
        _ask_product(held, name, rows, asker)


def _outside(band: Usual | None, value: float | None) -> bool:
    return band is not None and value is not None and value > 0 and not band.holds(value)


def _ask_supplier(held: Held, record: Record, steps: list[Record], asker: Asker) -> None:
    topic = Topic.of("supplier", record["name"])
    free, least, handling = (
        (record[key] or 0) / 100 for key in ("free_from_cents", "least_order_cents", "handling_cents")
    )
    for key, value, what in (("handling_cents", handling, "handling"), ("least_order_cents", least, "least order")):
        band = held.usual_price(what)
        if _outside(band, value):
            asker.ask("supplier", topic, record, key, f"It is mostly {band.words() if band else ''}")
    paid = next((s["price"] / 100 for s in steps if s["price"]), 0.0)
    band = usual("free delivery")
    if free and least > free:
        asker.ask("supplier", topic, record, "least_order_cents", f"Delivery is free from {free:.2f} on, which is less")
    elif free and paid and _outside(band, free / paid):
        why = f"It is {plain(free / paid)} times the delivery it saves ({paid:.2f}), and mostly {band.words()}"
        asker.ask("free_from", topic, record, "free_from_cents", why)
    tax = float(record["tax"] or 0)
    if _outside(usual("tax"), tax):
        asker.ask("tax", topic, record, "tax", f"Taxes on such goods are mostly {usual('tax').words()}, or none")


def _ask_delivery(held: Held, rows: list[Record], asker: Asker) -> None:
    topic = Topic.of("supplier", rows[0]["supplier"])
    band, weights = held.usual_price("delivery"), usual("parcel")
    for r in rows:
        price, most = (r["price"] or 0) / 100, r["price_to"]
        if _outside(band, price):
            asker.ask("delivery", topic, r, "price", f"A parcel mostly costs {band.words()}")
        if most and price and most / 100 > STEP_TIMES * price:
            asker.ask("delivery", topic, r, "price_to", f"It is {plain(most / 100 / price)} times the price beside it")
        if _outside(weights, None if r["up_to"] is None else float(r["up_to"])):
            why = f"Parcels are mostly sent up to {weights.words()}: the column is in kg"
            asker.ask("delivery_weight", topic, r, "up_to", why)
    for before, after in pairwise(rows):
        if before["price"] and after["price"] and after["price"] > STEP_TIMES * before["price"]:
            times = plain(after["price"] / before["price"])
            why = f"It is {times} times the {before['price'] / 100:.2f} of the step before; look at both rows"
            asker.ask("delivery", topic, after, "price", why, before)
        if before["up_to"] and after["up_to"] and float(after["up_to"]) > WEIGHT_TIMES * float(before["up_to"]):
            why = f"The step before ends at {before['up_to']:f} kg, far below; look at both rows"
            asker.ask("delivery_weight", topic, after, "up_to", why, before)


def _size(record: Record) -> float:
    size = record["size"]
    return (size.as_mass_g + size.as_volume_ml) / 2 if isinstance(size, BareOunces) else float(size.value)


def _ask_product(held: Held, name: str, rows: list[Record], asker: Asker) -> None:
    topic, recipes = Topic("shop product", name), held.recipes_of_product.get(name, [])
    use = _use(held, name)
    band, rest = held.usual_price("shop price", use), _elsewhere(held, name, use)
    for r in rows:
        price, sale, size = r["price_cents"] / 100, (r["sale_price_cents"] or 0) / 100, _size(r)
        fills = [recipe.fill_ml for recipe in recipes]
        if fills and not any(fill / SIZE_TIMES <= size <= fill * SIZE_TIMES for fill in fills):
            asker.ask("shop_size", topic, r, "size", f"The recipe that stands against it fills {plain(fills[0])} mL")
        elif (told := _odd_ounces(r.texts["size"])) is not None:
            why = f"That is {told:.1f} mL, and packs with two decimals are mostly a round number of mL"
            asker.ask("shop_size", topic, r, "size", why)
        elif _outside(band, even := _even(price, size)):
            why = f"That is {plain(even)} {band.unit}, sizes reckoned in, and mostly it is {band.words()}"
            asker.ask("shop_price", topic, r, "price_cents", f"{why}; look at the size too")
        elif (usually := far_off(even, rest, OTHERS_TIMES) or far_off(even, rest, PAIR_TIMES, 2)) is not None:
            why = f"That is {plain(even)} for 100 mL, sizes reckoned in, and the others on file are about"
            asker.ask("shop_price", topic, r, "price_cents", f"{why} {plain(usually)}; look at the size too")
        if 0 < sale < LEAST_SALE * price:
            why = f"That is {100 * sale / price:.0f} % of the regular price; look at both"
            asker.ask("sale_price", topic, r, "sale_price_cents", why)
    for one in rows:
        for other in rows:
            if one["refill"] == other["refill"] and _size(one) < _size(other):
                _ask_pair(one, other, topic, asker)


def _use(held: Held, product: str) -> str:
    """``rinse-off`` or ``leave-on`` as all recipes that stand against a product; empty where they differ."""
    recipes = held.recipes_of_product.get(product, ())
    uses = {"rinse-off" if r.product_type.rinse_off else "leave-on" for r in recipes}
    return uses.pop() if len(uses) == 1 else ""


def _even(price: float, size: float) -> float:
    """What 100 mL or g cost in a size of `EVEN_SIZE`."""
    return 100 * price / size * (size / EVEN_SIZE) ** SMALL_DEARER


def _elsewhere(held: Held, product: str, use: str) -> list[float]:
    """What the other products of one use cost, a figure each."""
    found: dict[str, float] = {}
    for r in held.tables[specs.SHOP_PRODUCTS]:
        other = name_key(r["product"])
        if use and r["price_cents"] and other != product and _use(held, other) == use:
            found.setdefault(other, _even(r["price_cents"] / 100, _size(r)))
    return list(found.values())


def _odd_ounces(text: str) -> float | None:
    """How many mL a size in fluid ounces with two decimals has, where that is no round number."""
    printed = _TWO_DECIMALS.fullmatch(text)
    volume = float(printed[1]) * ML_IN_FL_OZ if printed else 0.0
    return volume if abs(volume - ROUND_ML * round(volume / ROUND_ML)) > PRINTED_ML else None


def _ask_pair(small: Record, large: Record, topic: Topic, asker: Asker) -> None:
    """Two sizes of one shop product."""
    ends = [(_size(r), r["price_cents"] / 100) for r in (small, large)]
    rise, size = rises_as(*ends), small.texts["size"].strip()
    if ends[1][1] <= ends[0][1]:
        why = f"The smaller size ({size}, row {small.row}) costs {ends[0][1]:.2f}, as much or more"
    elif rise is not None and not 0.25 <= rise <= 1.3:
        why = f"The other size ({size}, row {small.row}) costs {ends[0][1]:.2f}, which does not go with it"
    else:
        return
    asker.ask("shop_sizes", topic, large, "price_cents", f"{why}; look at both rows", small)
