"""Invented markets from a seed: small nasty ones for brute force, and sizes for the stopwatch."""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np

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
    batch = {
        name: Fraction(rng.randint(20, 1500), 10) * 10 if k % 3 else Fraction(rng.randint(200, 4000), 10) * 10
        for k, name in enumerate(names)
    }
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
        found.append(
            Pack(
                f"{seller.name}: {name} {grams} g",
                seller.name,
                {name: grams * 10},
                tuple(steps),
                int(grams * 10.8),
                stock,
            )
        )
    for k in range(kits):
        seller, content = rng.choice(sellers), {name: rng.choice((50, 100, 250)) * 10 for name in rng.sample(names, 4)}
        worth = sum(per_g[name] * (units / 10) ** 0.88 * 1.6 for name, units in content.items())
        found.append(
            Pack(
                f"{seller.name}: kit {k}",
                seller.name,
                content,
                ((1, int(worth * rng.uniform(0.7, 0.95))),),
                int(sum(content.values()) * 1.1),
                None,
                kit=True,
            )
        )
    return Market(sellers, tuple(found)), batch


def _seller(rng: random.Random, name: str, delivery: str) -> Supplier:
    kind = rng.choice(("threshold", "steps", "both")) if delivery == "mixed" else delivery
    steps: tuple[tuple[int | None, int], ...] = ((None, rng.randint(390, 790)),)
    if kind in ("steps", "both"):
        prices = sorted(rng.sample(range(390, 2400), 5))
        steps = tuple(zip((20_000, 50_000, 100_000, 200_000, None), prices, strict=True))
    return Supplier(
        name,
        steps,
        handling_cents=rng.choice((0, 0, 150)),
        free_from_cents=rng.choice((5000, 7500, 10000, 15000)) if kind in ("threshold", "both") else None,
        tax_bp=rng.choice((0, 0, 1900)),
        tax_on_fees=rng.random() < 0.7,
    )


def wide_market(rng: random.Random) -> tuple[Market, dict[str, int]]:
    """Eight to ten items in very small numbers, with a supplier that lacks some of them, kits, stock, thresholds, least
    orders and steps of weight.
    """
    sellers = []
    for k in range(rng.choice((2, 2, 3))):
        bounds = sorted(rng.sample(range(4, 40), rng.choice((0, 0, 1, 2))))
        fees = sorted(rng.randint(0, 12) for _ in range(len(bounds) + 1))
        steps = [*zip(bounds, fees, strict=False), (None, fees[-1])]
        if len(steps) > 1 and rng.random() < 0.15:
            steps.pop()
        sellers.append(
            Supplier(
                f"S{k}",
                tuple(steps),
                rng.choice((0, 0, 2)),
                rng.choice((None, rng.randint(3, 30))),
                rng.choice((0, 0, 0, rng.randint(1, 15))),
                rng.choice((0, 0, 700, 1900)),
                rng.random() < 0.5,
                rng.random() < 0.5,
            )
        )
    items = [f"item{k}" for k in range(rng.randint(8, 10))]
    packs: list[Pack] = []
    for item in items:
        for seller in rng.sample(sellers, rng.choice((1, 1, 2))):
            price = rng.randint(1, 9)
            steps = (
                ((1, price), (rng.randint(2, 3), max(price - rng.randint(0, 3), 0)))
                if rng.random() < 0.3
                else ((1, price),)
            )
            packs.append(
                Pack(
                    f"p{len(packs)}",
                    seller.name,
                    {item: rng.randint(1, 4)},
                    steps,
                    rng.randint(0, 4),
                    rng.choice((None, None, None, rng.randint(1, 3))),
                )
            )
    if rng.random() < 0.5:
        held = rng.sample(items, rng.randint(2, 3))
        packs.append(
            Pack(
                "kit",
                rng.choice(sellers).name,
                {item: rng.randint(1, 3) for item in held},
                ((1, rng.randint(3, 12)),),
                rng.randint(0, 6),
                None,
                kit=True,
            )
        )
    return Market(tuple(sellers), tuple(packs)), {item: rng.choice((0, 1, 2, 2, 3, 4)) for item in items}


GOODS, WEIGHT, BOUGHT = 1 << 7, 1, 1 << 17
"""One supplier's sums packed in one number: weight below 2^7, goods below 2^10, then whether anything is bought (a
count below 2^4).
"""
SHARE_BITS = 21
SHARE = 1 << SHARE_BITS


class TooManyError(Exception):
    """More baskets than can be merged."""


def cheapest_by_merging(market: Market, need: dict[str, int], *, largest: int = 400_000) -> int | None:
    """The least cost of all baskets by brute force: every count of every pack, item after item, baskets of equal goods,
    weight and suppliers merged.

    No price, cap or bound of the package is used. Counts of a pack stop where it covers alone all it can, reaches every
    subtotal and stands at its last price.

    Raises
    ------
    TooManyError
        If there are too many.
    """
    place = {s.name: k for k, s in enumerate(market.suppliers)}
    bounded = [any(most is not None for most, _ in s.delivery) for s in market.suppliers]

    def choices(pack: Pack) -> tuple[np.ndarray, np.ndarray]:
        supplier = market.suppliers[place[pack.supplier]]
        last, price = pack.prices[-1]
        top = max([last, *(-(-need.get(item, 0) // units) for item, units in pack.content.items())])
        if price:
            top = max(top, -(-max(supplier.free_from_cents or 0, supplier.least_order_cents) // price))
        counts = np.arange((top if pack.stock is None else min(top, pack.stock)) + 1)
        counts = counts[(counts == 0) | (counts >= pack.prices[0][0])]
        each = np.array([[cents for start, cents in pack.prices if k >= start][-1] if k else 0 for k in counts])
        weight = np.minimum(counts * pack.shipping_dg * bounded[place[pack.supplier]], 50)
        return counts, (counts * each * GOODS + weight * WEIGHT + (counts > 0) * BOUGHT) * SHARE ** place[pack.supplier]

    def merged(one: np.ndarray, other: np.ndarray) -> np.ndarray:
        if len(one) * len(other) > largest:
            raise TooManyError
        return capped((one[:, None] + other).ravel())

    def capped(sums: np.ndarray) -> np.ndarray:
        both = distinct(sums)
        whole = np.zeros_like(both)
        for k in range(len(place)):  # bits instead of divisions, which took most of the time
            part = (both >> SHARE_BITS * k) & (SHARE - 1)
            part = (part & (BOUGHT - 1)) | ((part >= BOUGHT) * BOUGHT)
            part -= np.maximum((part & (GOODS - 1)) - 50, 0)  # heavier than every step is all the same
            whole |= part << SHARE_BITS * k
        return distinct(whole)

    starts = [(dict(need), np.zeros(1, dtype=np.int64))]
    for kit in (pack for pack in market.packs if len(pack.content) > 1):
        counts, codes = choices(kit)
        starts = [
            (
                {item: max(units - int(k) * kit.content.get(item, 0), 0) for item, units in left.items()},
                merged(start, codes[j : j + 1]),
            )
            for left, start in starts
            for j, k in enumerate(counts)
        ]
    best = None
    for left, states in starts:
        for item, units in left.items():
            found = {units: np.zeros(1, dtype=np.int64)}
            for pack in (p for p in market.packs if set(p.content) == {item}):
                counts, codes = choices(pack)
                after: dict[int, list[np.ndarray]] = {}
                for rest, covers in found.items():
                    if len(covers) > largest:
                        raise TooManyError
                    for k, code in zip(counts.tolist(), codes.tolist(), strict=True):
                        after.setdefault(max(rest - k * pack.content[item], 0), []).append(covers + code)
                found = {rest: capped(np.concatenate(lists)) for rest, lists in after.items()}
            states = merged(states, found.get(0, np.zeros(0, dtype=np.int64)))
        least = _least_cost(market, states)
        best = least if best is None or (least is not None and least < best) else best
    return best


def distinct(codes: np.ndarray) -> np.ndarray:
    """Each code once, in order; by sorting, as the hashes of ``np.unique`` take many times longer here."""
    ordered = np.sort(codes)
    return ordered[np.concatenate(([True], ordered[1:] != ordered[:-1]))] if len(ordered) else ordered


def _least_cost(market: Market, states: np.ndarray) -> int | None:
    total, good = np.zeros(len(states), dtype=np.int64), np.ones(len(states), dtype=bool)
    for k, supplier in enumerate(market.suppliers):
        sums = states // SHARE**k % SHARE
        goods, weight, bought = sums % BOUGHT // GOODS, sums % GOODS, sums >= BOUGHT
        reached = goods * (10_000 + supplier.tax_bp if supplier.threshold_after_tax else 10_000)
        free = (
            reached >= supplier.free_from_cents * 10_000
            if supplier.free_from_cents is not None
            else np.zeros(len(states), dtype=bool)
        )
        fee, fits = np.zeros(len(states), dtype=np.int64), free.copy()
        for most, cents in supplier.delivery:
            here = ~fits & (weight <= (most if most is not None else 10**9))
            fee, fits = np.where(here, cents, fee), fits | here
        good &= ~bought | (fits & (reached >= supplier.least_order_cents * 10_000))
        fee = supplier.handling_cents + np.where(free, 0, fee)
        total += np.where(
            bought,
            goods * (10_000 + supplier.tax_bp) + fee * (10_000 + (supplier.tax_bp if supplier.tax_on_fees else 0)),
            0,
        )
    return int(total[good].min()) if good.any() else None
