"""The solved purchase problems of basket_cases.json: every point to the ten-thousandth of a cent, and every interval of
counts that pay.

Each case was solved outside this project by brute force, an integer program and dynamic programming. Where baskets tie
any of them is right, so costs are compared, not baskets.
"""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from invented_markets import market_of_case, need_of_case, per_batch_of_case
from reference_tables import reference_json

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError
from maker_kit.buying.costing import cost_curve
from maker_kit.buying.counts_that_pay import counts_that_pay
from maker_kit.buying.needs import need_of
from maker_kit.buying.pricing import bought_units, price_basket

CASES = reference_json("basket_cases.json")["cases"]
BREAK_EVENS = [case for case in CASES if case.get("break_even")]


def name(case: dict[str, Any]) -> str:
    return f"{case['name']}, {case['description'].split(':')[0]}"


@pytest.mark.parametrize("case", CASES, ids=name)
def test_every_point_costs_what_was_solved_elsewhere(case: dict[str, Any]) -> None:
    market = market_of_case(case)
    wrong = []
    for point in case["results"]:
        need = need_of_case(case, point["n"])
        try:
            basket = cheapest_basket(market, need, tie_break=False)
        except ImpossibleNeedError:
            found = None
        else:
            found = basket.cost_micros
            assert all(bought_units(market, basket.counts).get(item, 0) >= units for item, units in need.items())
        if found != point["cost_e4cents"]:
            wrong.append((point["n"], found, point["cost_e4cents"]))
    assert not wrong, "n, found, published"


@pytest.mark.parametrize("case", CASES, ids=name)
def test_the_published_basket_is_priced_at_the_published_cost(case: dict[str, Any]) -> None:
    market = market_of_case(case)
    for point in case["results"]:
        if point["cost_e4cents"] is not None:
            priced = price_basket(market, point["a_basket"])
            assert priced.cost_micros == point["cost_e4cents"]
            bought = bought_units(market, priced.counts)
            assert all(bought.get(item, 0) >= units for item, units in need_of_case(case, point["n"]).items())


@pytest.mark.parametrize("case", CASES, ids=name)
def test_needs_are_rounded_up_exactly(case: dict[str, Any]) -> None:
    for point in case["results"]:
        assert need_of(per_batch_of_case(case), point["n"]) == need_of_case(case, point["n"])


@pytest.mark.parametrize("case", BREAK_EVENS, ids=name)
def test_every_interval_of_counts_that_pay_is_found(case: dict[str, Any]) -> None:
    wanted = case["break_even"]
    first, last = wanted["n_range"]
    curve = cost_curve(
        market_of_case(case), per_batch_of_case(case), last, containers_per_batch=case["units_per_batch"]
    )
    found = counts_that_pay(curve, Fraction(str(wanted["shop_price_cents_per_unit"])))
    within = [[max(low, first), high] for low, high in found if high >= first]
    assert within == [[low, last if high is None else high] for low, high in wanted["intervals"]]
    known = {point["n"]: point["cost_e4cents"] for point in case["results"]}
    assert all(cost == known.get(n, cost) for n, cost in zip(curve.counts, curve.cost_micros, strict=True))


def test_the_projects_own_table_holds_fifteen_cases_five_of_them_with_counts_that_pay() -> None:
    own = json.loads((Path(__file__).parents[1] / "reference" / "basket_cases.json").read_text(encoding="utf-8"))[
        "cases"
    ]
    assert len(own) == 15
    assert sum(bool(case.get("break_even")) for case in own) == 5
