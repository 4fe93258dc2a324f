"""Small nasty markets whose every basket is counted: free delivery and least orders before and after tax, steps of
weight, kits, stock, tax on goods and fees, price steps, things given away.
"""

from __future__ import annotations

import random

import numpy as np
import pytest
from invented_markets import all_costs, cheapest_by_counting, nasty_problems

from maker_kit.buying.basket.basket import cheapest_basket, restricted_basket
from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import ImpossibleNeedError
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.pricing import price_basket
from maker_kit.errors import BasketError

SEEDS = range(8)
EACH = 100


@pytest.mark.parametrize("seed", SEEDS)
def test_no_basket_is_cheaper_and_ties_are_settled_in_the_fixed_order(seed: int) -> None:
    wrong = []
    for market, need in nasty_problems(seed, EACH):
        counted = cheapest_by_counting(market, need)
        try:
            basket = cheapest_basket(market, need)
        except ImpossibleNeedError:
            found = None
        else:
            found = basket.cost_micros, dict(basket.counts)
        if found != counted:
            wrong.append((market, need, found, counted))
    assert not wrong


def test_the_order_of_the_tables_is_that_of_the_packs_whatever_the_order_of_the_suppliers() -> None:
    suppliers = tuple(Supplier(name, ((None, 4),)) for name in ("First", "Second"))
    packs = (
        Pack("A", "Second", {"oil": 2}, ((1, 9),)),
        Pack("B", "First", {"oil": 2}, ((1, 9),)),
        Pack("C", "Second", {"oil": 2}, ((1, 9),)),
    )
    for order in (packs, packs[::-1], packs[1:]):
        market = Market(suppliers, order)
        assert cheapest_by_counting(market, {"oil": 5}) == (310_000, {order[0].name: 3})
        assert dict(cheapest_basket(market, {"oil": 5}).counts) == {order[0].name: 3}


def test_these_markets_tie_and_are_sometimes_impossible() -> None:
    ties = impossible = 0
    for market, need in nasty_problems(0, EACH):
        _, cost, good = all_costs(market, need)
        impossible += not good.any()
        ties += bool(good.any()) and int((cost[good] == cost[good].min()).sum()) > 1
    assert ties > EACH / 10
    assert impossible > EACH / 50


def test_every_basket_is_priced_exactly_or_refused() -> None:
    rng = random.Random(77)
    refused = taken = 0
    for market, _ in nasty_problems(77, 120):
        counts, cost, good = all_costs(market, {})
        for k in rng.sample(range(len(counts)), min(25, len(counts))):
            basket = {pack.name: int(n) for pack, n in zip(market.packs, counts[k], strict=True)}
            if good[k]:
                taken += 1
                priced = price_basket(market, basket)
                assert priced.cost_micros == cost[k]
                assert (
                    sum(o.goods_micros + o.handling_micros + o.delivery_micros + o.tax_micros for o in priced.orders)
                    == priced.cost_micros
                )
            else:
                refused += 1
                with pytest.raises(BasketError):
                    price_basket(market, basket)
    assert taken > 500
    assert refused > 100


def forbidden(market: Market, counts: np.ndarray, restriction: Restriction) -> np.ndarray:
    """Rows that a restriction does not allow, found from the rows alone."""
    bad = np.zeros(len(counts), dtype=bool)
    for k, pack in enumerate(market.packs):
        if pack.name in restriction.most:
            bad |= counts[:, k] > restriction.most[pack.name]
        if pack.supplier in restriction.closed:
            bad |= counts[:, k] > 0
    for supplier in market.suppliers:
        if supplier.name in restriction.below_free:
            goods = np.zeros(len(counts), dtype=np.int64)
            for k, pack in enumerate(market.packs):
                if pack.supplier == supplier.name:
                    goods += counts[:, k] * np.select(
                        [counts[:, k] >= start for start, _ in reversed(pack.prices)],
                        [cents for _, cents in reversed(pack.prices)],
                        0,
                    )
            with_tax = goods * (10_000 + (supplier.tax_bp if supplier.threshold_after_tax else 0))
            bad |= (
                (with_tax >= supplier.free_from_cents * 10_000)
                & (goods >= 0)
                & (sum(counts[:, k] for k, p in enumerate(market.packs) if p.supplier == supplier.name) > 0)
            )
    return bad


@pytest.mark.parametrize("seed", [101, 102])
def test_the_cheapest_basket_under_a_restriction_is_the_cheapest_of_those_that_keep_it(seed: int) -> None:
    rng, wrong, bound = random.Random(seed), [], 0
    for market, need in nasty_problems(seed, 100):
        counts, cost, good = all_costs(market, need)
        if not good.any():
            continue
        free = [s.name for s in market.suppliers if s.free_from_cents]
        pack = rng.choice(market.packs)
        restriction = rng.choice(
            [
                Restriction(most={pack.name: rng.randint(0, 2)}),
                Restriction(closed=frozenset({pack.supplier})),
                Restriction(below_free=frozenset({rng.choice(free)})) if free else Restriction(),
            ]
        )
        allowed = good & ~forbidden(market, counts, restriction)
        bound += not allowed.any() or cost[allowed].min() > cost[good].min()
        try:
            found = restricted_basket(
                market,
                {item: units for item, units in need.items() if units},
                restriction,
                time_limit_s=60,
                tie_break=False,
            ).cost_micros
        except ImpossibleNeedError:
            found = None
        if found != (int(cost[allowed].min()) if allowed.any() else None):
            wrong.append((market, need, restriction, found))
    assert not wrong
    assert bound > 20
