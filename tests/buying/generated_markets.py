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
