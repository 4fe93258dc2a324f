"""What the demo workshop costs at every count, to the cent, and where making pays: figures worked out twice by separate
integer programs from its tables, before this package was written.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import pytest
from demo_figures import WASH_COSTS, WASH_PAYS

from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.plan import CurveView, curve_view, make_plan, purchase
from maker_kit.workshop import find_workshop

UPTO = 48
WASH, GEL, BALM = "r1b-hand-wash", "r2-gel-cream", "r4-balm"
LEVEL = {GEL: 0.90}
"""Thickener level the figures hold for [%]."""

SOME_COUNTS = {
    WASH: {4: "35.80", 8: "56.20", 12: "77.80", 24: "118.60", 36: "166.00", 48: "202.60"},
    GEL: {4: "65.80", 8: "83.10", 12: "98.20", 24: "135.20", 36: "172.60", 48: "194.10"},
    BALM: {4: "72.10", 8: "72.10", 12: "79.90", 24: "100.70", 36: "120.90", 48: "136.70"},
}
PAYS = {
    **{(WASH, price): list(runs) for price, runs in WASH_PAYS.items()},
    (GEL, "15.50"): [(3, 3), (5, 48)],
    (GEL, "10.90"): [(8, 48)],
    (BALM, "12.00"): [(7, 48)],
}


@cache
def view_of(recipe: str) -> CurveView:
    return curve_view(make_plan(find_workshop(""), recipe, thickener_level=LEVEL.get(recipe)), UPTO)


def cash(recipe: str) -> list[str]:
    curve = view_of(recipe).curve
    assert all(point.proved for point in curve.points)
    assert all(cost % 10_000 == 0 for cost in curve.cost_micros), (
        "the demo's prices include tax, so every cost is whole cents"
    )
    return [f"{cost // 1_000_000}.{cost // 10_000 % 100:02d}" for cost in curve.cost_micros]


def test_the_hand_wash_from_a_ready_base_costs_to_the_cent_at_every_count_up_to_twenty() -> None:
    assert cash(WASH)[:20] == WASH_COSTS


@pytest.mark.parametrize("recipe", SOME_COUNTS)
def test_cash_at_some_counts_is_right_to_the_cent(recipe: str) -> None:
    found = cash(recipe)
    assert {n: found[n - 1] for n in SOME_COUNTS[recipe]} == SOME_COUNTS[recipe]


@pytest.mark.parametrize(("recipe", "price"), PAYS)
def test_every_interval_of_counts_that_pay_is_found(recipe: str, price: str) -> None:
    lines = [line for line in view_of(recipe).shop_lines if f"{line.price:.2f}" == price]
    assert [list(line.pays) for line in lines] == [PAYS[recipe, price]]


@pytest.mark.parametrize("recipe", SOME_COUNTS)
def test_the_curve_never_falls_and_uses_up_no_more_than_it_costs(recipe: str) -> None:
    curve = view_of(recipe).curve
    assert list(curve.cost_micros) == sorted(curve.cost_micros)
    assert all(used <= paid for used, paid in zip(curve.used_cost_micros, curve.cost_micros, strict=True))
    unit = [cost / n for n, cost in zip(curve.counts, curve.cost_micros, strict=True)]
    assert any(b > a for a, b in pairwise(unit)), "cost per container is a saw, not a slope"


def test_what_is_used_up_is_counted_on_the_exact_need() -> None:
    # by a sum over the demo's tables apart from the package: rounded up to 0.1 g it would be 55.55, and 0.16 too much
    wash = purchase(make_plan(find_workshop(""), WASH, batches=12))
    fees = sum(order.handling_micros + order.delivery_micros for order in wash.basket.orders)
    assert round((wash.used_micros - fees) / 1e6, 2) == 55.51
    gel = purchase(make_plan(find_workshop(""), GEL, batches=1))
    rounded_up = used_cost_micros(gel.plan.market, gel.basket)
    assert round((rounded_up - gel.used_micros) / 1e6, 2) == 0.16


def reasons(recipe: str, count: int) -> tuple[str, tuple[str, ...]]:
    bought = purchase(make_plan(find_workshop(""), recipe, batches=count, thickener_level=LEVEL.get(recipe)))
    return f"{bought.cash_micros / 1e6:.2f}", bought.reasons()


def test_at_25_a_larger_ester_reaches_free_delivery() -> None:
    cost, said = reasons(GEL, 25)
    assert cost == "146.30"
    assert said[0].startswith(
        "The order at N raws reaches free delivery: 1.60 more goods, 7.90 less delivery "
        "(1 × N raws: Dry-feel ester 500 g instead of 3 × N raws: Dry-feel ester 100 g; 75.90 of goods"
    )
    assert "stays below costs 152.60, 6.30 more" in said[0]


def test_at_4_two_kits_beat_one_kit_and_parts() -> None:
    cost, said = reasons(GEL, 4)
    assert cost == "65.80"
    kit = next(s for s in said if s.startswith("2 × M botanicals: Kit 2"))
    assert "59.80: with 1 of them the cheapest list costs 66.20, 0.40 more" in kit
    assert any("M botanicals reaches free delivery" in s and "stays below costs 66.20" in s for s in said)


@pytest.mark.parametrize("recipe", SOME_COUNTS)
def test_the_shown_list_costs_what_the_curve_says(recipe: str) -> None:
    for count in (1, 4, 9, 25):
        plan = make_plan(find_workshop(""), recipe, batches=count, thickener_level=LEVEL.get(recipe))
        bought = purchase(plan)
        assert bought.cash_micros == view_of(recipe).curve.cost_micros[count - 1]
        assert bought.basket.to_frame()["cost"].iloc[-1] == cash(recipe)[count - 1]
