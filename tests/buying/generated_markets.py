"""Invented markets from a seed: small nasty ones for brute force, and sizes for the stopwatch."""

from __future__ import annotations

import random
from fractions import Fraction

from maker_kit.buying.market import Market, Pack, Supplier

SIZES = {"small": (8, 2, 20, 0), "medium": (20, 3, 80, 2), "large": (60, 6, 400, 4)}
"""Items, suppliers, packs, kits."""

DELIVERY = ("flat", "threshold", "steps", "mixed")

PACK_SIZES_G = (25, 50, 100, 250, 500, 1000, 2500, 5000)


def workshop_market(seed: int, size: str, delivery: str) -> tuple[Market, dict[str, Fraction]]:
    """A market of a maker's size and what one batch takes of it [0.1 g]."""
    rng = random.Random(f"{seed} {size} {delivery}")
    items, suppliers, packs, kits = SIZES[size]
    sellers = tuple(_seller(rng, f"S{k}", delivery) for k in range(suppliers))
    names = [f"item {k}" for k in range(items)]
    per_g = {name: rng.choice((0.3, 0.5, 0.8, 1.2, 2, 3, 5)) * rng.uniform(0.8, 1.2) for name in names}  # cents a gram
    batch = {name: Fraction(rng.randint(20, 1500), 10) * 10 if k % 3 else Fraction(rng.randint(200, 4000), 10) * 10 for k, name in enumerate(names)}
    found: list[Pack] = []
    taken: set[tuple[str, str, int]] = set()
    while len(found) < packs:
        name = names[len(found) % items] if len(found) < items else rng.choice(names)
        grams, seller = rng.choice(PACK_SIZES_G), rng.choice(sellers)
        if (name, seller.name, grams) in taken:
            continue
        taken.add((name, seller.name, grams))
        price = max(int(per_g[name] * grams**0.88 * rng.uniform(0.85, 1.15) * 1.6), 5)
        steps = [(1, price)]
        if rng.random() < 0.4:
            steps.append((rng.choice((3, 5, 6, 10)), int(price * rng.uniform(0.85, 0.95))))
        stock = rng.randint(3, 40) if rng.random() < 0.05 and len(found) >= items else None
        found.append(Pack(f"{seller.name}: {name} {grams} g", seller.name, {name: grams * 10}, tuple(steps), int(grams * 10.8), stock))
    for k in range(kits):
        seller, content = rng.choice(sellers), {name: rng.choice((50, 100, 250)) * 10 for name in rng.sample(names, 4)}
        worth = sum(per_g[name] * (units / 10) ** 0.88 * 1.6 for name, units in content.items())
        found.append(Pack(f"{seller.name}: kit {k}", seller.name, content, ((1, int(worth * rng.uniform(0.7, 0.95))),), int(sum(content.values()) * 1.1), None, kit=True))
    return Market(sellers, tuple(found)), batch


def _seller(rng: random.Random, name: str, delivery: str) -> Supplier:
    kind = rng.choice(("threshold", "steps", "both")) if delivery == "mixed" else delivery
    steps: tuple[tuple[int | None, int], ...] = ((None, rng.randint(390, 790)),)
    if kind in ("steps", "both"):
        prices = sorted(rng.sample(range(390, 2400), 5))
        steps = tuple(zip((20_000, 50_000, 100_000, 200_000, None), prices, strict=True))
    return Supplier(
        name, steps, handling_cents=rng.choice((0, 0, 150)), free_from_cents=rng.choice((5000, 7500, 10000, 15000)) if kind in ("threshold", "both") else None,
        tax_bp=rng.choice((0, 0, 1900)), tax_on_fees=rng.random() < 0.7,
    )


def wide_market(rng: random.Random) -> tuple[Market, dict[str, int]]:
    """Eight to ten items in very small numbers, with a supplier that lacks some of them, kits, stock, thresholds, least orders and steps of weight."""
    sellers = []
    for k in range(rng.choice((2, 2, 3))):
        bounds = sorted(rng.sample(range(4, 40), rng.choice((0, 0, 1, 2))))
        fees = sorted(rng.randint(0, 12) for _ in range(len(bounds) + 1))
        steps = [*zip(bounds, fees, strict=False), (None, fees[-1])]
        if len(steps) > 1 and rng.random() < 0.15:
            steps.pop()
        sellers.append(Supplier(
            f"S{k}", tuple(steps), rng.choice((0, 0, 2)), rng.choice((None, rng.randint(5, 50))), rng.choice((0, 0, 0, rng.randint(1, 25))), rng.choice((0, 0, 700, 1900)),
            rng.random() < 0.5, rng.random() < 0.5))
    items = [f"item{k}" for k in range(rng.randint(8, 10))]
    packs: list[Pack] = []
    for item in items:
        for seller in rng.sample(sellers, rng.choice((1, 1, 2))):
            price = rng.randint(1, 9)
            steps = ((1, price), (rng.randint(2, 3), max(price - rng.randint(0, 3), 0))) if rng.random() < 0.3 else ((1, price),)
            packs.append(Pack(f"p{len(packs)}", seller.name, {item: rng.randint(1, 4)}, steps, rng.randint(0, 4), rng.choice((None, None, None, rng.randint(1, 3)))))
    if rng.random() < 0.5:
        held = rng.sample(items, rng.randint(2, 3))
        packs.append(Pack("kit", rng.choice(sellers).name, {item: rng.randint(1, 3) for item in held}, ((1, rng.randint(3, 12)),), rng.randint(0, 6), None, kit=True))
    return Market(tuple(sellers), tuple(packs)), {item: rng.choice((0, 1, 2, 2, 3, 4)) for item in items}


def cheapest_by_merging(market: Market, need: dict[str, int]) -> int | None:
    """The least cost of all baskets by brute force: every count of every pack, item after item, with equal sums of goods and weights merged.

    No price, cap or bound of the package is used. A count stops where the pack alone covers all it can, reaches every subtotal and stands at its last price.
    """
    tops = {s.name: max(s.free_from_cents or 0, s.least_order_cents) for s in market.suppliers}
    kits = [pack for pack in market.packs if len(pack.content) > 1]
    blank = tuple((0, 0, 0) for _ in market.suppliers)
    place = {s.name: k for k, s in enumerate(market.suppliers)}

    def most(pack: Pack, left: dict[str, int]) -> int:
        last, price = pack.prices[-1]
        top = max([last, *(-(-left.get(item, 0) // units) for item, units in pack.content.items())])
        top = max(top, -(-tops[pack.supplier] // price)) if price else top
        return top if pack.stock is None else min(top, pack.stock)

    def choices(pack: Pack, left: dict[str, int]) -> list[tuple[int, int, int]]:
        found = [(0, 0, 0)]
        for k in range(pack.prices[0][0], most(pack, left) + 1):
            each = [cents for start, cents in pack.prices if k >= start][-1]
            found.append((k, k * each, k * pack.shipping_dg))
        return found

    def add(sums: tuple, supplier: str, goods: int, weight: int, bought: int) -> tuple:
        k = place[supplier]
        g, w, b = sums[k]
        limit = tops[supplier] + 60
        heavy = max([most for most, _ in market.suppliers[k].delivery if most is not None], default=-1) + 1
        return (*sums[:k], (g + goods, min(w + weight, heavy), min(b + bought, 1)), *sums[k + 1 :]) if limit else sums

    starts = [(dict(need), blank)]
    for kit in kits:
        starts = [
            ({item: max(units - k * kit.content.get(item, 0), 0) for item, units in left.items()}, add(sums, kit.supplier, goods, weight, int(k > 0)))
            for left, sums in starts for k, goods, weight in choices(kit, left)
        ]
    best = None
    for left, start in starts:
        states = {start}
        for item in sorted({i for pack in market.packs if len(pack.content) == 1 for i in pack.content} | set(left)):
            mine = [pack for pack in market.packs if set(pack.content) == {item}]
            covers = {(blank, left.get(item, 0))}
            for pack in mine:
                covers = {(add(sums, pack.supplier, goods, weight, int(k > 0)), max(units - k * pack.content[item], 0)) for sums, units in covers for k, goods, weight in choices(pack, left)}
            whole = _not_beaten({sums for sums, units in covers if units == 0}, tops, place)
            states = _not_beaten({tuple((a[0] + b[0], a[1] + b[1], max(a[2], b[2])) for a, b in zip(x, y, strict=True)) for x in states for y in whole}, tops, place)
        for sums in states:
            cost = _cost(market, sums)
            if cost is not None and (best is None or cost < best):
                best = cost
    return best


def _not_beaten(states: set, tops: dict[str, int], place: dict[str, int]) -> set:
    """Without those that buy at a supplier as much beyond every subtotal as another, at the same weights and the same other suppliers: only the cheapest of them can matter."""
    found: dict[tuple, tuple] = {}
    limits = [tops[name] for name in place]
    for sums in states:
        key = tuple((min(g, top), w, b) for (g, w, b), top in zip(sums, limits, strict=True))
        over = tuple(max(g - top, 0) for (g, _, _), top in zip(sums, limits, strict=True))
        held = found.get(key)
        if held is None:
            found[key] = {over: sums}
        else:
            held[over] = sums
    kept = set()
    for held in found.values():
        for over, sums in held.items():
            if not any(other != over and all(a <= b for a, b in zip(other, over, strict=True)) for other in held):
                kept.add(sums)
    return kept


def _cost(market: Market, sums: tuple) -> int | None:
    total = 0
    for supplier, (goods, weight, bought) in zip(market.suppliers, sums, strict=True):
        if not bought:
            continue
        reached = goods * (10_000 + supplier.tax_bp) if supplier.threshold_after_tax else goods * 10_000
        if reached < supplier.least_order_cents * 10_000:
            return None
        free = supplier.free_from_cents is not None and reached >= supplier.free_from_cents * 10_000
        fees = [cents for most, cents in supplier.delivery if most is None or weight <= most]
        if not free and not fees:
            return None
        fee = supplier.handling_cents + (0 if free else fees[0])
        total += goods * (10_000 + supplier.tax_bp) + fee * (10_000 + (supplier.tax_bp if supplier.tax_on_fees else 0))
    return total
