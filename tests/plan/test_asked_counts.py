"""The few counts that are asked tell the same as whole curves, and those the same as trying every basket."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_workshops import market, recipe, workshop

from maker_kit.buying import asked_counts
from maker_kit.buying.asked_counts import Told, asked_of
from maker_kit.buying.costing import cost_curve
from maker_kit.buying.counts_that_pay import PaysForGood
from maker_kit.buying.market import Market, Pack
from maker_kit.buying.pricing import bought_units, price_basket
from maker_kit.errors import BasketError
from maker_kit.plan.plan import make_plan
from maker_kit.plan.sensitivity import sensitivity
from maker_kit.workshop import find_workshop

NEEDS = {"Oil": Fraction(600), "Wax": Fraction(400), "Tin": Fraction(1), "Label": Fraction(1)}
LAST = 4


def least_cost(sold: Market, count: int) -> int | None:
    """By trying every basket [0.0001 cent]."""
    best = None
    home = {"B: tin": count, "B: 10 labels": 1}  # carried home, so nothing there depends on what else is bought
    for oil, large, wax, scent in product(range(10), range(4), range(8), range(4)):  # scent only fills an order up
        counts = {"A: oil 100 g": oil, "A: oil 500 g": large, "A: wax 100 g": wax, "A: scent 10 g": scent} | home
        counts = {name: many for name, many in counts.items() if many}
        units = bought_units(sold, counts)
        if any(units.get(item, 0) < amount * count for item, amount in NEEDS.items()):
            continue
        try:
            cost = price_basket(sold, counts).cost_micros
        except BasketError:
            continue
        best = cost if best is None else min(best, cost)
    return best


def dearer(sold: Market, percent: int) -> Market:
    """With every price of A so many percent of what it was."""
    packs = (
        replace(p, prices=tuple((n, c * percent // 100) for n, c in p.prices)) if p.supplier == "A" else p
        for p in sold.packs
    )
    return replace(sold, packs=tuple(packs))


@given(
    percent=st.sampled_from([50, 80, 100, 120, 200]),
    free=st.sampled_from([None, 700, 1000, 1300]),
    price=st.integers(300, 1600),
    batches=st.integers(1, LAST),
    stock=st.sampled_from([None, 0, 2]),
)
@settings(max_examples=8, deadline=None)
def test_the_same_as_by_trying_every_basket(
    percent: int, free: int | None, price: int, batches: int, stock: int | None
) -> None:
    plain = market(free_from=free, stock=stock)
    known, moved = cost_curve(plain, NEEDS, LAST), dearer(plain, percent)
    costs = [least_cost(moved, n) for n in range(1, LAST + 1)]
    pays = [cost is not None and cost <= price * 10_000 * n for n, cost in enumerate(costs, 1)]
    first = next((n for n in range(1, LAST + 1) if all(pays[n - 1 :])), None)
    assert asked_of(moved, NEEDS, batches, known, Fraction(price)) == Told(
        costs[batches - 1], PaysForGood(first, first), proved=True
    )


def test_what_cannot_be_bought_has_no_cost_and_pays_nowhere() -> None:
    sold = market()
    known = cost_curve(sold, NEEDS, 3)
    none = replace(sold, packs=tuple(replace(p, stock=0) if "Wax" in p.content else p for p in sold.packs))
    assert asked_of(none, NEEDS, 2, known, Fraction(100_000)) == Told(None, PaysForGood(None, None), proved=True)


def test_where_many_counts_would_be_solved_the_whole_curve_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asked_counts, "MOST_PROGRAMS", 0)
    sold = market()
    known, moved = cost_curve(sold, NEEDS, LAST), dearer(sold, 80)
    found = asked_of(moved, NEEDS, 2, known, Fraction(700))
    monkeypatch.undo()
    assert found == asked_counts.of_curve(cost_curve(moved, NEEDS, LAST), 2, Fraction(700))


def test_a_program_without_time_gives_way_to_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asked_counts, "PROGRAM_S", 1e-9)
    # oil 200, two of wax 600, tin and labels 290 and 50 for one; a pencil: see test_sensitivity
    assert asked_of(market(), NEEDS, 2, cost_curve(market(), NEEDS, LAST), None) == Told(
        16_400_000, PaysForGood(None, None), True
    )


def test_the_bars_of_a_demo_recipe_are_those_of_whole_curves() -> None:
    plan = make_plan(find_workshop(""), "r4-balm", batches=6)
    assert sensitivity(plan, 12) == sensitivity(plan, 12, curve=cost_curve)


@given(
    tax=st.integers(0, 2000),
    free=st.sampled_from([None, 800, 1500, 2500]),
    stock=st.sampled_from([None, 1, 3]),
    kit_cents=st.integers(100, 900),
    shop=st.integers(300, 2000),
    batches=st.integers(1, 5),
    share=st.integers(1, 60),
)
@settings(max_examples=5, deadline=None)
def test_all_bars_are_those_of_whole_curves(
    tax: int, free: int | None, stock: int | None, kit_cents: int, shop: int, batches: int, share: int
) -> None:
    sold = market(tax_bp=tax, free_from=free, stock=stock)
    kit = Pack("A: kit", "A", {"Oil": 1200, "Wax": 800}, ((1, kit_cents),), 2000, kit=True)
    sold = replace(sold, packs=(*sold.packs, kit))
    plan = make_plan(workshop(sold, recipe(loss_percent=2.0), shop_cents=shop), "balm", batches=batches)
    found = sensitivity(plan, 6, share_percent=share)
    assert found == sensitivity(plan, 6, share_percent=share, curve=cost_curve)
