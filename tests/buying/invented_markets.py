"""Markets for the tests: the solved cases of the check table, small nasty ones by the hundred, and a counter of every
basket that shares no code with the package.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

import numpy as np

from maker_kit.buying.market import Market, Pack, Supplier


def market_of_case(case: Mapping[str, Any]) -> Market:
    """A case of basket_cases.json as a market; weights there are grams, here 0.1 g."""
    suppliers = tuple(
        Supplier(
            s["id"],
            tuple((None if most is None else most * 10, cents) for most, cents in s["ship_steps"]),
            s["handling_cents"],
            s["free_from_cents"],
            s.get("least_order_cents", 0),
            s["tax_bp"],
            s["tax_on_fees"],
            s.get("threshold_after_tax", False),
        )
        for s in case["suppliers"]
    )
    packs = tuple(
        Pack(
            p["id"],
            p["supplier"],
            dict(p["content"]),
            tuple((start, cents) for start, cents in p["breaks"]),
            p["weight_g"] * 10,
            p["stock"],
            kit=len(p["content"]) > 1,
        )
        for p in case["products"]
    )
    return Market(suppliers, packs)


def per_batch_of_case(case: Mapping[str, Any]) -> dict[str, Fraction]:
    """What one batch of a case takes, loss included, exactly."""
    return {item["id"]: Fraction(item["per_batch"] * (10_000 + item["loss_bp"]), 10_000) for item in case["items"]}


def need_of_case(case: Mapping[str, Any], n: int) -> dict[str, int]:
    """Need as the file's own formula has it: ceil(n * per_batch * (10000 + loss_bp) / 10000)."""
    return {item["id"]: -(-n * item["per_batch"] * (10_000 + item["loss_bp"]) // 10_000) for item in case["items"]}


def most_worth_having(market: Market, pack: Pack, need: Mapping[str, int]) -> int:
    """A count above which a copy of the pack can always be put back: the others still cover all it covers, the price
    stays, and so does every subtotal and step of delivery that matters.
    """
    supplier = next(s for s in market.suppliers if s.name == pack.supplier)
    last_start, last_price = pack.prices[-1]
    most = max([last_start, *(-(-need.get(item, 0) // units) for item, units in pack.content.items())])
    if last_price:
        most = max(most, -(-max(supplier.free_from_cents or 0, supplier.least_order_cents) // last_price))
    fees = [cents for _, cents in supplier.delivery]
    bounds = [weight for weight, _ in supplier.delivery if weight is not None]
    if fees != sorted(fees) and bounds and pack.shipping_dg:
        most = max(most, max(bounds) // pack.shipping_dg + 1)
    return most if pack.stock is None else min(most, pack.stock)


def combinations(market: Market, need: Mapping[str, int]) -> int:
    """How many baskets there are to count."""
    total = 1
    for pack in market.packs:
        total *= most_worth_having(market, pack, need) + 1
    return total


def all_costs(market: Market, need: Mapping[str, int]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Every basket (a row of counts), its cost [0.0001 cent], and whether it covers the need and is taken and
    delivered.
    """
    counts = (
        np.indices([most_worth_having(market, pack, need) + 1 for pack in market.packs], dtype=np.int64)
        .reshape(len(market.packs), -1)
        .T
    )
    good = np.ones(len(counts), dtype=bool)
    for item, units in need.items():
        good &= (
            sum(
                (counts[:, k] * pack.content.get(item, 0) for k, pack in enumerate(market.packs)),
                np.zeros(len(counts), dtype=np.int64),
            )
            >= units
        )
    cost = np.zeros(len(counts), dtype=np.int64)
    for supplier in market.suppliers:
        goods, weight, bought = (np.zeros(len(counts), dtype=np.int64) for _ in range(3))
        for k, pack in enumerate(market.packs):
            if pack.supplier != supplier.name:
                continue
            price = np.zeros(len(counts), dtype=np.int64)
            for start, cents in pack.prices:
                price = np.where(counts[:, k] >= start, cents, price)
            good &= (counts[:, k] == 0) | (counts[:, k] >= pack.prices[0][0])
            goods += counts[:, k] * price
            weight += counts[:, k] * pack.shipping_dg
            bought += counts[:, k]
        reached = goods * (10_000 + supplier.tax_bp) if supplier.threshold_after_tax else goods * 10_000
        good &= (bought == 0) | (reached >= supplier.least_order_cents * 10_000)
        free = (
            np.zeros(len(counts), dtype=bool)
            if supplier.free_from_cents is None
            else reached >= supplier.free_from_cents * 10_000
        )
        delivery, delivered = np.zeros(len(counts), dtype=np.int64), np.zeros(len(counts), dtype=bool)
        for most, cents in supplier.delivery:
            here = ~delivered & (np.ones(len(counts), dtype=bool) if most is None else weight <= most)
            delivery, delivered = np.where(here, cents, delivery), delivered | here
        good &= (bought == 0) | delivered | free
        fees = np.where(bought > 0, supplier.handling_cents + np.where(free, 0, delivery), 0)
        cost += goods * (10_000 + supplier.tax_bp) + fees * (10_000 + (supplier.tax_bp if supplier.tax_on_fees else 0))
    return counts, cost, good


def cheapest_by_counting(market: Market, need: Mapping[str, int]) -> tuple[int, dict[str, int]] | None:
    """The least cost of all baskets, and the first of those that have it; None if no basket covers the need."""
    counts, cost, good = all_costs(market, need)
    if not good.any():
        return None
    least = int(cost[good].min())
    tied = [tuple(int(k) for k in row) for row in counts[good & (cost == least)]]
    first = min(tied, key=lambda row: order_of(market, need, row))
    return least, {pack.name: k for pack, k in zip(market.packs, first, strict=True) if k}


def order_of(market: Market, need: Mapping[str, int], row: tuple[int, ...]) -> tuple[object, ...]:
    """What ties are settled by: fewest suppliers, fewest packs, least leftover (thousandths of each need a pack,
    rounded half up; 1000 of what nothing needs), then more of the first pack of the tables.
    """

    def leftover(pack: Pack) -> int:
        return sum(
            int(Fraction(1000 * units, need[item]) + Fraction(1, 2)) if need.get(item) else 1000
            for item, units in pack.content.items()
        )

    suppliers = {pack.supplier for pack, k in zip(market.packs, row, strict=True) if k}
    return (
        len(suppliers),
        sum(row),
        sum(k * leftover(pack) for pack, k in zip(market.packs, row, strict=True)),
        tuple(-k for k in row),
    )


def nasty_market(rng: random.Random) -> Market:
    """One to three suppliers, two to five packs of one to three items, in small numbers, so that everything ties and
    every step is met.
    """
    suppliers = []
    for s in range(rng.randint(1, 3)):
        bounds = sorted(rng.sample(range(1, 12), rng.randint(0, 2)))
        fees = sorted(rng.randint(0, 9) for _ in range(len(bounds) + 1))
        if rng.random() < 0.15:
            rng.shuffle(fees)
        steps = [*zip(bounds, fees, strict=False), (None, fees[-1])]
        if len(steps) > 1 and rng.random() < 0.25:
            steps.pop()  # nothing heavier is delivered
        suppliers.append(
            Supplier(
                f"S{s}",
                tuple(steps),
                rng.choice((0, 0, 1, 3)),
                rng.choice((None, None, 0, rng.randint(1, 20))),
                rng.choice((0, 0, rng.randint(1, 15))),
                rng.choice((0, 0, 700, 1900, 10_000)),
                rng.random() < 0.5,
                rng.random() < 0.5,
            )
        )
    items = [f"item{i}" for i in range(rng.randint(1, 3))]
    packs = []
    for p in range(rng.randint(2, 5)):
        held = rng.sample(items, 1 if rng.random() < 0.7 else rng.randint(1, len(items)))
        starts = [rng.choice((1, 1, 1, 1, 1, 2)), *rng.sample(range(3, 6), rng.choice((0, 0, 1, 2)))]
        prices = sorted((rng.randint(0, 9) for _ in starts), reverse=True)
        packs.append(
            Pack(
                f"p{p}",
                rng.choice(suppliers).name,
                {item: rng.randint(1, 4) for item in held},
                tuple(zip(sorted(starts), prices, strict=True)),
                rng.randint(0, 4),
                rng.choice((None, None, None, rng.randint(0, 4))),
                kit=len(held) > 1,
            )
        )
    return Market(tuple(suppliers), tuple(packs))


def nasty_problems(seed: int, count: int, *, largest: int = 20_000) -> Iterator[tuple[Market, dict[str, int]]]:
    """So many markets with a need each, none with more than `largest` baskets to count."""
    rng = random.Random(seed)
    found = 0
    for _ in itertools.count():
        if found == count:
            return
        market = nasty_market(rng)
        need = {item: rng.randint(0, 7) for item in sorted({item for pack in market.packs for item in pack.content})}
        if any(need.values()) and combinations(market, need) <= largest:
            found += 1
            yield market, need
