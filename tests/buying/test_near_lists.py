"""Baskets near a known one, against counting every basket and against the integer program."""

from __future__ import annotations

import time
from collections import Counter

import pytest
from nasty_markets import KINDS, nasty, truth

from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import NotProvedError, Problem
from maker_kit.buying.basket.ties import another
from maker_kit.buying.curve.near.near_lists import NearLists
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.needs import need_of
from maker_kit.buying.pricing import bought_units, price_basket


def compared(seed: int) -> Counter[str]:
    """One market: for every count what was asked, told and given up; asserts that all that is told is true."""
    made, asked = nasty(seed), Counter()
    most = need_of(made.per_batch, made.upto)
    try:
        near = NearLists.of_market(made.market, most)
    except NotProvedError:
        return Counter(given_up=1)
    for n in range(1, made.upto + 1):
        need = {item: units for item, units in need_of(made.per_batch, n).items() if units}
        true = truth(made.market, need)
        if true is OverflowError or true is None:
            continue
        for at_most in (true.cost_micros - 1, true.cost_micros, true.cost_micros * 6 // 5):
            try:
                found = near.cheapest(need, at_most)
            except NotProvedError:
                asked["given_up"] += 1
                continue
            asked["told"] += 1
            if at_most < true.cost_micros:
                assert found is None
                continue
            assert found is not None, (seed, n, at_most)
            counts, cost = found
            assert cost == true.cost_micros == price_basket(made.market, counts).cost_micros, (seed, n, at_most)
            units = bought_units(made.market, counts)
            assert all(units.get(item, 0) >= wanted for item, wanted in need.items())
        problem = Problem(made.market, need, Restriction(), time.monotonic() + 60)
        try:
            told = near.another(need, true.packs, true.cost_micros)
        except NotProvedError:
            asked["given_up"] += 1
            continue
        asked["ties"] += told
        asked["told"] += 1
        assert told == another(problem, true.packs, true.cost_micros), (seed, n)
    return asked


def test_what_is_told_of_nasty_markets_is_what_counting_every_basket_tells() -> None:
    asked = sum((compared(seed) for seed in range(len(KINDS))), Counter())
    assert asked["told"] > 3 * asked["given_up"]
    assert asked["ties"]


SHOP = Market(
    (Supplier("P", ((None, 500),), free_from_cents=3000), Supplier("Q", ((None, 0),))),
    (
        Pack("oil 100 g", "P", {"oil": 1000}, ((1, 400),), 1),
        Pack("oil 200 g", "Q", {"oil": 2000}, ((1, 800),), 1),
        Pack("wax 50 g", "P", {"wax": 500}, ((1, 700),), 1),
    ),
)


def test_a_basket_of_the_same_cost_is_found_by_hand() -> None:
    """400 g of oil and 50 g of wax. Four of 100 g, or two and one of 200 g, or two of 200 g: 16.00 each way; wax 7.00
    and delivery 5.00, for 23.00 of goods do not reach 30.00. More oil at P to reach it would cost 7.00 and save 5.00.
    """
    near, need = NearLists.of_market(SHOP, {"oil": 8000, "wax": 500}), {"oil": 4000, "wax": 500}
    cost = 28_00 * 10_000
    found = near.cheapest(need, cost + 10**6)
    assert found is not None
    assert found[1] == cost
    assert near.another(need, {"oil 100 g": 4, "wax 50 g": 1}, cost)
    assert near.cheapest(need, cost - 1) is None
    # 100 g: only one way, for one of 200 g costs twice as much
    assert not near.another({"oil": 1000, "wax": 500}, {"oil 100 g": 1, "wax 50 g": 1}, 16_00 * 10_000)


def test_a_kit_that_is_sold_by_the_dozen_alone_may_be_left_out_and_may_be_bought() -> None:
    """A kit holds 10 g of both, 1.00 each from twelve on: 12.00 for 120 g of each. 100 g of oil and 50 g of wax cost
    8.00, 7.00 and delivery 5.00 without it; oil alone is cheaper without it, at what a dozen kits would not cost.
    """
    kit = Pack("kit", "Q", {"oil": 100, "wax": 100}, ((12, 100),), 1)
    sold = Market(SHOP.suppliers, (*SHOP.packs, kit))
    near = NearLists.of_market(sold, {"oil": 4000, "wax": 500})
    assert near.cheapest({"oil": 1000, "wax": 500}, 20_00 * 10_000) == ({"kit": 12}, 12_00 * 10_000)
    assert near.cheapest({"oil": 1000}, 8_00 * 10_000) == ({"oil 200 g": 1}, 8_00 * 10_000)
    assert near.cheapest({"oil": 1000}, 7_00 * 10_000) is None


def test_what_the_tables_do_not_hold_is_given_up() -> None:
    near = NearLists.of_market(SHOP, {"oil": 4000, "wax": 500})
    for need in ({"oil": 4001}, {"wax": 400, "scent": 1}):
        with pytest.raises(NotProvedError):
            near.cheapest(need, 10**9)
    given = Market(SHOP.suppliers, (*SHOP.packs, Pack("gift", "Q", {"wax": 1}, ((1, 0),), 1)))
    with pytest.raises(NotProvedError):  # of what costs nothing there is no end
        NearLists.of_market(given, {"wax": 500}).cheapest({"wax": 500}, 10**9)
    drops = Market(SHOP.suppliers, (Pack("drop", "Q", {"oil": 1, "wax": 1}, ((1, 1),), 1),))
    with pytest.raises(NotProvedError):  # more choices of a kit than are tried
        NearLists.of_market(drops, {"oil": 4000, "wax": 4000}).cheapest({"oil": 4000, "wax": 4000}, 10**12)
    small = {"oil": 10**7}
    with pytest.raises(NotProvedError):
        NearLists.of_market(Market(SHOP.suppliers, (Pack("drop", "Q", {"oil": 1}, ((1, 1),), 1),)), small)
