"""Whole curves of mid-sized markets with every rule there is, against an integer program written apart from the
package: no price, cap, mode or row of it is used. By hand: ``python tests/benchmarks/check_curve.py --markets 100``.

The program here is the plain one: a column a price step, a big number wherever something is only asked for sometimes,
caps that are generous, `scipy.optimize.milp` with its own settings; its basket is priced again in whole numbers.
"""

# ruff: noqa: E402 (a script's folders come before its imports)
from __future__ import annotations

import argparse
import random
import sys
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

sys.path[:0] = [str(Path(__file__).parents[1] / "buying"), str(Path(__file__).parents[2])]

from generated_markets import DELIVERY, workshop_market

from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market, Pack, Supplier

WHOLE = 10_000
"""0.0001 cents in a cent, and hundredths of a percent in the whole."""


def twisted_market(seed: int) -> tuple[Market, dict[str, Fraction]]:
    """A market of the stopwatch's with rules that those do not have."""
    rng = random.Random(f"twisted {seed}")
    market, per_batch = workshop_market(seed, rng.choice(("small",) * 7 + ("medium",)), rng.choice(DELIVERY))
    sellers = [_twisted_seller(rng, seller) for seller in market.suppliers]
    packs = [_twisted_pack(rng, pack) for pack in market.packs]
    names = sorted(per_batch)
    for k in range(rng.randint(0, 2)):  # kits that overlap
        held = {name: rng.choice((250, 500, 1000)) for name in rng.sample(names, rng.randint(2, 3))}
        price = rng.randint(100, 900)
        packs.append(
            Pack(f"kit of {k}", rng.choice(sellers).name, held, ((1, price),), rng.randint(500, 3000), kit=True)
        )
    if rng.random() < 0.5:  # what nothing needs
        packs.append(Pack("ribbon", sellers[0].name, {"ribbon": 1}, ((1, rng.randint(20, 300)),), rng.randint(0, 400)))
    return Market(tuple(sellers), tuple(packs)), per_batch


def _twisted_seller(rng: random.Random, seller: Supplier) -> Supplier:
    steps = list(seller.delivery)
    if len(steps) > 1 and rng.random() < 0.2:
        steps.pop()  # nothing heavier is delivered
    if len(steps) > 1 and rng.random() < 0.2:
        steps[-1] = (steps[-1][0], max(steps[-2][1] - rng.randint(1, 200), 0))  # heavier is cheaper
    return replace(
        seller,
        delivery=tuple(steps),
        least_order_cents=rng.choice((0, 0, 0, rng.randint(500, 6000))),
        tax_bp=rng.choice((0, 700, 1900)),
        tax_on_fees=rng.random() < 0.5,
        threshold_after_tax=rng.random() < 0.5,
    )


def _twisted_pack(rng: random.Random, pack: Pack) -> Pack:
    if rng.random() < 0.1:
        return replace(pack, prices=((2, pack.prices[0][1]),))
    if rng.random() < 0.1:
        price = pack.prices[0][1]
        return replace(pack, prices=((1, price), (3, price * 2 // 3), (7, price // 2)), stock=rng.choice((None, 4, 30)))
    return pack


def price_of(market: Market, counts: Mapping[str, int]) -> int | None:
    """What a basket costs [0.0001 cent], by the rules as they are written; None where an order is not taken."""
    total = 0
    for seller in market.suppliers:
        mine = [
            (pack, counts[pack.name]) for pack in market.packs if pack.supplier == seller.name and counts[pack.name]
        ]
        if not mine:
            continue
        if any(many < pack.prices[0][0] or many > (pack.stock or many) for pack, many in mine):
            return None
        goods = sum(many * [cents for start, cents in pack.prices if start <= many][-1] for pack, many in mine)
        weight = sum(many * pack.shipping_dg for pack, many in mine)
        counted = goods * (WHOLE + (seller.tax_bp if seller.threshold_after_tax else 0))
        if counted < seller.least_order_cents * WHOLE:
            return None
        if seller.free_from_cents is not None and counted >= seller.free_from_cents * WHOLE:
            delivery = 0
        else:
            fits = [cents for most, cents in seller.delivery if most is None or weight <= most]
            if not fits:
                return None
            delivery = fits[0]
        fees = (seller.handling_cents + delivery) * (WHOLE + (seller.tax_bp if seller.tax_on_fees else 0))
        total += goods * (WHOLE + seller.tax_bp) + fees
    return total


class Rows:
    """Columns and rows of a program, as they come."""

    def __init__(self) -> None:
        self.most: list[float] = []
        self.cost: list[float] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []

    def column(self, most: float, cost: float = 0) -> int:
        self.most.append(most)
        self.cost.append(cost)
        return len(self.most) - 1

    def row(self, terms: Mapping[int, float], low: float = -np.inf, high: float = np.inf) -> None:
        self.rows.append((dict(terms), low, high))

    def solved(self) -> np.ndarray | None:
        """The columns of a cheapest answer, whole; None where there is none."""
        matrix = np.zeros((len(self.rows), len(self.most)))
        for at, (terms, _, _) in enumerate(self.rows):
            for column, value in terms.items():
                matrix[at, column] = value
        rules = LinearConstraint(matrix, [low for _, low, _ in self.rows], [high for *_, high in self.rows])
        bounds, limits = Bounds(np.zeros(len(self.most)), self.most), {"mip_rel_gap": 0, "time_limit": MOST_OUTSIDE_S}
        found = milp(self.cost, integrality=np.ones(len(self.most)), bounds=bounds, constraints=rules, options=limits)
        if found.status not in (0, 2):
            raise TimeoutError(found.message)
        return None if found.status == 2 else np.round(found.x).astype(int)


def cheapest(market: Market, need: Mapping[str, int]) -> int | None:
    """The least cost of a need [0.0001 cent] by the plain program; None where nothing covers it."""
    made, copies = Rows(), {}
    for seller in market.suppliers:
        mine = [pack for pack in market.packs if pack.supplier == seller.name]
        used = made.column(1, seller.handling_cents * (WHOLE + (seller.tax_bp if seller.tax_on_fees else 0)))
        line = max(seller.free_from_cents or 0, seller.least_order_cents)
        heavy = max([most or 0 for most, _ in seller.delivery])
        goods, weight, limits = {}, {}, {}
        for pack in mine:
            alone = max((-(-need.get(item, 0) // units) for item, units in pack.content.items()), default=0)
            alone = max(alone, pack.prices[-1][0]) + line // max(pack.prices[-1][1], 1) + 1
            alone += heavy // pack.shipping_dg + 1 if pack.shipping_dg and len(seller.delivery) > 1 else 0
            most = alone if pack.stock is None else min(alone, pack.stock)
            chosen = []
            for (start, cents), end in zip(pack.prices, [*(s - 1 for s, _ in pack.prices[1:]), most], strict=True):
                if start > most:
                    continue
                k, on = made.column(most, cents * (WHOLE + seller.tax_bp)), made.column(1)
                made.row({k: 1, on: -start}, low=0)
                made.row({k: 1, on: -min(end, most)}, high=0)
                goods[k], weight[k], limits[k] = cents, pack.shipping_dg, min(end, most)
                copies.setdefault(pack.name, []).append(k)
                chosen.append(on)
            made.row({**dict.fromkeys(chosen, 1), used: -1}, high=0)
        ways, below = [], -1
        heaviest = sum(weight[k] * limits[k] for k in weight)
        for most, cents in seller.delivery:
            way = made.column(1, cents * (WHOLE + (seller.tax_bp if seller.tax_on_fees else 0)))
            made.row({**weight, way: -(below + 1)}, low=0)
            if most is not None:
                made.row({**weight, way: heaviest}, high=most + heaviest)
                below = most
            ways.append(way)
        counted = WHOLE + (seller.tax_bp if seller.threshold_after_tax else 0)
        if seller.free_from_cents is not None:
            free = made.column(1)
            made.row({**goods, free: -float(-(-seller.free_from_cents * WHOLE // counted))}, low=0)
            ways.append(free)
        made.row({**dict.fromkeys(ways, 1), used: -1}, low=0, high=0)
        made.row({**goods, used: -float(-(-seller.least_order_cents * WHOLE // counted))}, low=0)
    for item, units in need.items():
        held = {k: p.content[item] for p in market.packs if item in p.content for k in copies.get(p.name, ())}
        made.row(held, low=units)
    found = made.solved()
    if found is None:
        return None
    counts = {pack.name: int(sum(found[k] for k in copies.get(pack.name, ()))) for pack in market.packs}
    return price_of(market, counts)


MOST_SEARCH_S, MOST_CLOSING_S, MOST_OUTSIDE_S = 20, 60, 60
"""How long the search, closing one count and the plain program may take [s]; what is not done by then is not
compared."""


def closed_count(solver: CurveSolver, points: tuple[CurvePoint, ...], count: int) -> CurvePoint:
    """One count closed, and the others left as they are."""
    done: list[bool] = []

    def seen(now: tuple[CurvePoint, ...]) -> None:
        done.append(now[count - 1].proved or now[count - 1].impossible)

    given = {"first": (count,), "seconds": MOST_CLOSING_S, "seen": seen, "cancelled": lambda: any(done)}
    return solver.close(points[:count], **given)[count - 1]


def differences(seed: int, upto: int = 60) -> tuple[int, list[str]]:
    """Of one market: how many counts were compared, and what came out otherwise."""
    market, per_batch = twisted_market(seed)
    rng, wrong, compared = random.Random(seed), [], 0
    counts = sorted(rng.sample(range(1, upto + 1), 3))
    solver = CurveSolver(market)
    begun = solver.curve(per_batch, upto, seconds=rng.choice((1e-9, 0.05, 0.2)))
    points = solver.curve(per_batch, upto, seconds=MOST_SEARCH_S)
    for n in counts:
        need = {item: -(-amount.numerator * n // amount.denominator) for item, amount in per_batch.items()}
        try:
            true = cheapest(market, need)
        except TimeoutError:
            continue
        closed = closed_count(solver, points, n)
        if closed.status == "not proved" and points[n - 1].status == "not proved":
            continue
        compared += 1
        for name, point in (("begun", begun[n - 1]), ("searched", points[n - 1]), ("closed", closed)):
            low, high = point.lower_micros, point.upper_micros
            if true is None:
                right = not point.proved and high is None and (name != "closed" or point.impossible)
            else:
                right = low is not None and low <= true and (high is None or true <= high)
                right = right and (name != "closed" or point.cost_micros == true)
            if right and point.packs is not None:
                counted = {pack.name: point.packs.get(pack.name, 0) for pack in market.packs}
                held = {item: sum(p.content.get(item, 0) * counted[p.name] for p in market.packs) for item in need}
                right = price_of(market, counted) == high and all(held[i] >= units for i, units in need.items())
            if not right:
                wrong.append(f"{n} {name}: {low} to {high}, and {true}")
    return compared, wrong


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--markets", type=int, default=100)
    parser.add_argument("--first-seed", type=int, default=0)
    chosen = parser.parse_args()
    compared, wrong = 0, 0
    for seed in range(chosen.first_seed, chosen.first_seed + chosen.markets):
        many, found = differences(seed)
        compared, wrong = compared + many, wrong + bool(found)
        for line in found:
            print(f"{seed}: {line}", flush=True)  # noqa: T201
        if seed % 10 == 9:
            print(f"to {seed}: {compared} counts, {wrong} markets with a difference", flush=True)  # noqa: T201
    print(f"{chosen.markets} markets, {compared} counts compared, {wrong} markets with a difference")  # noqa: T201


if __name__ == "__main__":
    main()
