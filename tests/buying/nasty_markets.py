"""Nasty little markets of 21 kinds, and what they cost by counting every basket.

Written apart from `generated_markets`: other shapes, another enumeration, another way to price. Nothing here uses a
price, bound, cap or order of the package. By hand: ``python tests/buying/nasty_markets.py --markets 3000``.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[2])]

from maker_kit.buying.market import Market, Pack, Supplier

MOST_BASKETS = 60_000
"""Larger enumerations are left out; another seed makes another market."""


class Nasty(NamedTuple):
    """A market, what one batch takes of it, and how many batches are asked for."""

    kind: str
    market: Market
    per_batch: dict[str, Fraction]
    upto: int


class Truth(NamedTuple):
    """What counting says of one need: least cost [0.0001 cent], and the packs of the basket that comes first."""

    cost_micros: int
    packs: dict[str, int]


def _plain(rng: random.Random) -> Nasty:
    """Two suppliers, two or three items, a few packs of each: what every kind starts from."""
    sellers = tuple(
        Supplier(name, ((None, rng.randint(0, 9)),), rng.choice((0, 0, 3)), tax_bp=rng.choice((0, 700, 1900)))
        for name in ("P", "Q")
    )
    items = ["a", "b", "c"][: rng.randint(2, 3)]
    packs = []
    for item in items:
        for _ in range(rng.choice((1, 2))):
            size = rng.randint(1, 5)
            price = max(1, round(size * rng.uniform(1.5, 4)))
            seller = rng.choice(sellers).name
            packs.append(Pack(f"{item}{len(packs)}", seller, {item: size}, ((1, price),), rng.randint(0, 3)))
    per_batch = {item: Fraction(rng.randint(1, 7), rng.choice((1, 2, 3))) for item in items}
    return Nasty("plain", Market(sellers, tuple(packs)), per_batch, rng.randint(2, 4))


def _change(made: Nasty, at: int = 0, **given: Any) -> Nasty:
    """One supplier with other terms."""
    sellers = list(made.market.suppliers)
    sellers[at] = replace(sellers[at], **given)
    return made._replace(market=replace(made.market, suppliers=tuple(sellers)))


def _pack(made: Nasty, at: int, **given: Any) -> Nasty:
    packs = list(made.market.packs)
    packs[at] = replace(packs[at], **given)
    return made._replace(market=replace(made.market, packs=tuple(packs)))


def _more(made: Nasty, *packs: Pack) -> Nasty:
    return made._replace(market=replace(made.market, packs=(*made.market.packs, *packs)))


def _goods_at(made: Nasty, count: int) -> int:
    """Goods of the first supplier [cent] if everything were bought there one pack size each: a subtotal that is met."""
    total = 0
    for pack in made.market.packs:
        if pack.supplier == "P":
            ((item, units),) = pack.content.items()
            total += math.ceil(made.per_batch[item] * count / units) * pack.prices[0][1]
    return max(total, 2)


def ties(rng: random.Random, made: Nasty) -> Nasty:
    twin = made.market.packs[0]
    other = "Q" if twin.supplier == "P" else "P"
    same = _change(_change(made, 0, handling_cents=0, tax_bp=0), 1, handling_cents=0, tax_bp=0)
    same = _change(same, 1, delivery=same.market.suppliers[0].delivery)
    return _more(same, replace(twin, name="twin", supplier=other), replace(twin, name="twin here"))


def free_line_met(rng: random.Random, made: Nasty) -> Nasty:
    return _change(made, delivery=((None, 7),), free_from_cents=_goods_at(made, rng.randint(1, made.upto)))


def free_line_missed_by_a_cent(rng: random.Random, made: Nasty) -> Nasty:
    return _change(made, delivery=((None, 7),), free_from_cents=_goods_at(made, rng.randint(1, made.upto)) + 1)


def free_line_by_fillers(rng: random.Random, made: Nasty) -> Nasty:
    filled = _more(made, Pack("filler", "P", {"z": 1}, ((1, rng.randint(1, 3)),), rng.randint(0, 2)))
    return _change(filled, delivery=((None, 15),), free_from_cents=_goods_at(made, 1) + rng.randint(1, 6))


def more_for_less(rng: random.Random, made: Nasty) -> Nasty:
    price = rng.randint(4, 9)
    return _pack(made, 0, prices=((1, price), (3, price * 2 // 3 - 1)))


def overlapping_kits(rng: random.Random, made: Nasty) -> Nasty:
    one, other = "a", "b"
    third = [*made.per_batch][-1]
    kits = (
        Pack("kit 1", "P", {one: rng.randint(1, 3), other: rng.randint(1, 3)}, ((1, rng.randint(3, 9)),), 2, kit=True),
        Pack("kit 2", "Q", {other: rng.randint(1, 3), third: 2}, ((1, rng.randint(3, 9)),), 2, kit=True),
    )
    return _more(made, *(kits if third != other else kits[:1]))


def kit_below_its_part(rng: random.Random, made: Nasty) -> Nasty:
    first = made.market.packs[0]
    content = {"a": first.content["a"], "b": 1}
    return _more(made, Pack("kit", "Q", content, ((1, max(first.prices[0][1] - 1, 0)),), 1, kit=True))


def stock_that_binds(rng: random.Random, made: Nasty) -> Nasty:
    return _pack(_pack(made, 0, stock=rng.randint(0, 2)), -1, stock=rng.randint(1, 2))


def stock_within_a_step(rng: random.Random, made: Nasty) -> Nasty:
    price = rng.randint(3, 8)
    return _pack(made, 0, prices=((1, price), (2, price - 1), (4, price - 2)), stock=rng.choice((1, 2, 3, 4)))


def least_order(rng: random.Random, made: Nasty) -> Nasty:
    return _change(made, least_order_cents=_goods_at(made, 1) + rng.randint(0, 5))


def least_order_at_the_free_line(rng: random.Random, made: Nasty) -> Nasty:
    line = _goods_at(made, 1) + rng.randint(0, 3)
    return _change(made, delivery=((None, 6),), least_order_cents=line, free_from_cents=line + rng.choice((0, 0, 1)))


def last_weight_step(rng: random.Random, made: Nasty) -> Nasty:
    heavy = _pack(made, 0, shipping_dg=rng.randint(1, 4))
    return _change(heavy, delivery=((rng.randint(2, 4), 2), (rng.randint(5, 12), 6)))


def weight_met(rng: random.Random, made: Nasty) -> Nasty:
    size, weight = next(iter(made.market.packs[0].content.values())), rng.randint(1, 3)
    at = weight * math.ceil(made.per_batch["a"] * rng.randint(1, made.upto) / size)
    return _change(_pack(made, 0, shipping_dg=weight), delivery=((at, 1), (at + 2, 4), (None, 9)))


def heavier_is_cheaper(rng: random.Random, made: Nasty) -> Nasty:
    return _change(_pack(made, 0, shipping_dg=2), delivery=((rng.randint(1, 5), 9), (None, rng.randint(0, 4))))


def tax_on_fees(rng: random.Random, made: Nasty) -> Nasty:
    taxed = _change(made, 0, tax_bp=1900, tax_on_fees=True, handling_cents=rng.randint(1, 5))
    return _change(taxed, 1, tax_bp=1900, tax_on_fees=False, handling_cents=rng.randint(1, 5))


def line_after_tax(rng: random.Random, made: Nasty) -> Nasty:
    goods = _goods_at(made, rng.randint(1, made.upto))
    after = goods * (10_000 + 700) // 10_000 + rng.choice((0, 1))
    return _change(made, delivery=((None, 8),), tax_bp=700, threshold_after_tax=True, free_from_cents=after)


def given_away(rng: random.Random, made: Nasty) -> Nasty:
    return _pack(_pack(made, 0, prices=((1, 0),)), -1, prices=((1, rng.randint(1, 4)), (2, 0)))


def need_at_a_pack(rng: random.Random, made: Nasty) -> Nasty:
    size = next(iter(made.market.packs[0].content.values()))
    over = Fraction(rng.choice((0, 0, 1)), 100)  # rounded up, that is one unit above
    return made._replace(per_batch={**made.per_batch, "a": size + over})


def extreme_sizes(rng: random.Random, made: Nasty) -> Nasty:
    huge = 10**7 + rng.choice((-1, 0, 1))
    large = Pack("huge", "P", {"a": huge}, ((1, rng.randint(5, 9)),), 2)
    larger = Pack("huger", "Q", {"a": 3 * 10**7}, ((1, rng.randint(12, 25)),), 3)
    rest = tuple(pack for pack in made.market.packs if "a" not in pack.content)
    needs = {**made.per_batch, "a": Fraction(10**7)}
    return made._replace(market=replace(made.market, packs=(large, larger, *rest)), per_batch=needs)


def sold_by_the_pair(rng: random.Random, made: Nasty) -> Nasty:
    first = made.market.packs[0].prices[0][1]
    return _pack(made, 0, prices=((2, first), (5, max(first - 1, 0))))


def a_seller_an_item(rng: random.Random, made: Nasty) -> Nasty:
    sellers = tuple(
        Supplier(f"S{k}", ((None, rng.randint(0, 6)),), free_from_cents=rng.choice((None, 9))) for k in range(5)
    )
    packs = []
    for k, item in enumerate(made.per_batch):
        for s in (k, (k + 1) % 4):
            price = rng.randint(2, 7)
            packs.append(Pack(f"{item} of S{s}", f"S{s}", {item: rng.randint(1, 4)}, ((1, price),)))
    packs.append(Pack("nothing needed", "S4", {"z": 1}, ((1, 1),)))
    return made._replace(market=Market(sellers, tuple(packs)), upto=2)


KINDS: tuple[Callable[[random.Random, Nasty], Nasty], ...] = (
    ties,
    free_line_met,
    free_line_missed_by_a_cent,
    free_line_by_fillers,
    more_for_less,
    overlapping_kits,
    kit_below_its_part,
    stock_that_binds,
    stock_within_a_step,
    least_order,
    least_order_at_the_free_line,
    last_weight_step,
    weight_met,
    heavier_is_cheaper,
    tax_on_fees,
    line_after_tax,
    given_away,
    need_at_a_pack,
    extreme_sizes,
    sold_by_the_pair,
    a_seller_an_item,
)


def nasty(seed: int) -> Nasty:
    """A market: its kind goes round with the seed, and every third one is of two kinds at once."""
    rng = random.Random(f"nasty {seed}")
    kind = KINDS[seed % len(KINDS)]
    made = kind(rng, _plain(rng))
    name = kind.__name__
    if seed % 3 == 0 and kind not in (extreme_sizes, a_seller_an_item):
        other = rng.choice((tax_on_fees, stock_that_binds, heavier_is_cheaper, given_away, overlapping_kits))
        if all(len(pack.content) == 1 for pack in made.market.packs):
            made, name = other(rng, made), f"{name} and {other.__name__}"
    return made._replace(kind=name)


def truth(market: Market, need: dict[str, int]) -> Truth | type[OverflowError] | None:
    """What every basket costs, counted: the first of the cheapest; None where none covers the need; OverflowError where
    there are too many to count.

    A pack is counted up to where it covers alone all that it can, reaches every subtotal and every weight, and stands
    at its last price: one copy more only adds to the cost.
    """
    reaches: list[np.ndarray] = []
    for pack in market.packs:
        supplier = market.supplier(pack.supplier)
        lines = [supplier.least_order_cents, supplier.free_from_cents or 0]
        price = pack.prices[-1][1]
        top = [pack.prices[-1][0], *(-(-need.get(item, 0) // units) for item, units in pack.content.items())]
        top += [-(-line // price) for line in lines if price]
        if pack.shipping_dg and len({fee for _, fee in supplier.delivery}) > 1:
            bounds = [most for most, _ in supplier.delivery if most is not None]
            top += [most // pack.shipping_dg + 1 for most in bounds] if not price else []
            top += (
                [most // pack.shipping_dg + 1 for most in bounds]
                if supplier.delivery[-1][1] < supplier.delivery[0][1]
                else []
            )
        most = max(top) if pack.stock is None else min(max(top), pack.stock)
        counts = np.arange(most + 1)
        reaches.append(counts[(counts == 0) | (counts >= pack.prices[0][0])])
    if math.prod(len(counts) for counts in reaches) > MOST_BASKETS:
        return OverflowError
    grid = np.stack([axis.ravel() for axis in np.meshgrid(*reaches, indexing="ij")], axis=1).astype(object)
    fine = np.ones(len(grid), bool)
    for item, units in need.items():
        held = sum(
            (grid[:, k] * pack.content.get(item, 0) for k, pack in enumerate(market.packs)), np.zeros(len(grid), object)
        )
        fine &= held >= units
    grid = grid[fine]
    cost = np.zeros(len(grid), object)
    taken = np.ones(len(grid), bool)
    sellers = np.zeros(len(grid), object)
    for supplier in market.suppliers:
        mine = [(k, pack) for k, pack in enumerate(market.packs) if pack.supplier == supplier.name]
        goods, weight, any_ = np.zeros(len(grid), object), np.zeros(len(grid), object), np.zeros(len(grid), bool)
        for k, pack in mine:
            price = np.zeros(len(grid), object)
            for start, each in pack.prices:
                price = np.where(grid[:, k] >= start, each, price)
            goods, weight = goods + grid[:, k] * price, weight + grid[:, k] * pack.shipping_dg
            any_ |= grid[:, k] > 0
        counted = goods * (10_000 + supplier.tax_bp if supplier.threshold_after_tax else 10_000)
        free = np.zeros(len(grid), bool)
        if supplier.free_from_cents is not None:
            free = counted >= supplier.free_from_cents * 10_000
        fee = np.full(len(grid), -1, object)
        for most, price in reversed(supplier.delivery):
            fee = np.where(weight <= most, price, fee) if most is not None else np.full(len(grid), price, object)
        fee = np.where(free, 0, fee)
        taken &= ~any_ | ((fee >= 0) & (counted >= supplier.least_order_cents * 10_000))
        fees = (fee + supplier.handling_cents) * (10_000 + (supplier.tax_bp if supplier.tax_on_fees else 0))
        cost = cost + np.where(any_, goods * (10_000 + supplier.tax_bp) + fees, 0)
        sellers = sellers + any_
    if not taken.any():
        return None
    grid, cost, sellers = grid[taken], cost[taken], sellers[taken]
    best = grid[cost == cost.min()]

    def place(at: int) -> tuple[Any, ...]:
        row = best[at]
        over = 0  # thousandths of each need, a half upwards; what nothing needs counts as a whole need
        for many, pack in zip(row, market.packs, strict=True):
            for item, units in pack.content.items():
                over += many * (
                    math.floor(Fraction(1000 * units, need[item]) + Fraction(1, 2)) if need.get(item) else 1000
                )
        return int(sellers[cost == cost.min()][at]), int(row.sum()), over, *(-many for many in row)

    first = best[min(range(len(best)), key=place)]
    packs = {pack.name: int(many) for many, pack in zip(first, market.packs, strict=True) if many}
    return Truth(int(cost.min()), packs)


def differences(seed: int) -> tuple[str, int, list[str]]:
    """Of one market: its kind, how many counts were compared, and what came out otherwise."""
    from maker_kit.buying.basket.program import ImpossibleNeedError
    from maker_kit.buying.curve.solver import CurveSolver
    from maker_kit.buying.needs import need_of
    from maker_kit.buying.proved_list import proved_list

    made = nasty(seed)
    wrong: list[str] = []
    solver, compared = CurveSolver(made.market), 0
    asked = [0]

    def soon() -> bool:
        asked[0] += 1
        return asked[0] > seed % 7

    begun = solver.curve(
        made.per_batch, made.upto, seconds=1e-9 if seed % 2 else None, cancelled=soon if seed % 5 == 0 else None
    )
    points = solver.curve(made.per_batch, made.upto)  # warm
    closed = solver.close(points, settle=seed % 4 == 0)
    for n in range(1, made.upto + 1):
        need = {item: units for item, units in need_of(made.per_batch, n).items() if units}
        true = truth(made.market, need)
        if true is OverflowError:
            continue
        compared += 1
        for name, point in (("begun", begun[n - 1]), ("searched", points[n - 1]), ("closed", closed[n - 1])):
            if true is None:
                if point.proved or (name == "closed" and not point.impossible):
                    wrong.append(f"{n} {name}: {point}, and nothing covers it")
            elif (
                point.impossible
                or point.lower_micros > true.cost_micros
                or (point.upper_micros is not None and point.upper_micros < true.cost_micros)
                or (name == "closed" and point.cost_micros != true.cost_micros)
            ):
                wrong.append(f"{n} {name}: {point}, and {true}")
            elif name == "closed" and point.settled and point.packs != true.packs:
                wrong.append(f"{n} settled: {point.packs}, and {true.packs}")
        try:
            found = proved_list(made.market, made.per_batch, n, solver=solver)
            same = true is not None and found.cost_micros == true.cost_micros
            if not same or (found.settled and dict(found.counts) != true.packs):
                wrong.append(f"{n} list: {dict(found.counts)} at {found.cost_micros}, and {true}")
        except ImpossibleNeedError:
            if true is not None:
                wrong.append(f"{n} list: none, and {true}")
    return made.kind, compared, wrong


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--markets", type=int, default=3000)
    parser.add_argument("--first-seed", type=int, default=0)
    chosen = parser.parse_args()
    compared, wrong = 0, 0
    for seed in range(chosen.first_seed, chosen.first_seed + chosen.markets):
        kind, many, found = differences(seed)
        compared, wrong = compared + many, wrong + bool(found)
        if seed % 100 == 99:
            print(f"to {seed}: {compared} counts, {wrong} markets with a difference", flush=True)  # noqa: T201
        for line in found:
            print(f"{seed} ({kind}): {line}")  # noqa: T201
    print(f"{chosen.markets} markets, {compared} counts compared, {wrong} markets with a difference")  # noqa: T201


if __name__ == "__main__":
    main()
