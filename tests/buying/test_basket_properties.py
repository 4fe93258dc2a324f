"""What is true of every cheapest basket, whatever the market: tried on small nasty ones that Hypothesis draws."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from invented_markets import nasty_market

from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError
from maker_kit.buying.costing import cost_curve
from maker_kit.buying.counts_that_pay import counts_that_pay
from maker_kit.buying.market import Market, Pack
from maker_kit.buying.pricing import bought_units, price_basket
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.money import cents_that_add_up

RANDOM = st.randoms(use_true_random=False)
NEED = st.integers(0, 6)
quick = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])


def items_of(market: Market) -> list[str]:
    return sorted({item for pack in market.packs for item in pack.content})


def basket_or_none(market: Market, need: dict[str, int]) -> Basket | None:
    try:
        return cheapest_basket(market, need, tie_break=False)
    except ImpossibleNeedError:
        return None


@given(RANDOM, st.lists(NEED, min_size=3, max_size=3))
@quick
def test_one_more_offer_never_raises_the_cost(rng: random.Random, units: list[int]) -> None:
    market = nasty_market(rng)
    need = dict(zip(items_of(market), units, strict=False))
    before = basket_or_none(market, need)
    supplier, item = rng.choice(market.suppliers), rng.choice(items_of(market))
    offer = Pack("one more", supplier.name, {item: rng.randint(1, 9)}, ((1, rng.randint(0, 9)),), rng.randint(0, 5))
    after = basket_or_none(replace(market, packs=(*market.packs, offer)), need)
    if before is not None:
        assert after is not None
        assert after.cost_micros <= before.cost_micros


@given(RANDOM, st.lists(NEED, min_size=3, max_size=3))
@quick
def test_a_dearer_pack_never_lowers_the_cost(rng: random.Random, units: list[int]) -> None:
    market = nasty_market(rng)
    # without free delivery and least orders: there, a dearer pack can be what reaches the subtotal
    market = replace(
        market, suppliers=tuple(replace(s, free_from_cents=None, least_order_cents=0) for s in market.suppliers)
    )
    need = dict(zip(items_of(market), units, strict=False))
    k = rng.randrange(len(market.packs))
    dearer = replace(market.packs[k], prices=tuple((start, cents + 2) for start, cents in market.packs[k].prices))
    before, after = (
        basket_or_none(market, need),
        basket_or_none(replace(market, packs=(*market.packs[:k], dearer, *market.packs[k + 1 :])), need),
    )
    assert (before is None) == (after is None)
    if before is not None and after is not None:
        assert after.cost_micros >= before.cost_micros


@given(RANDOM, st.lists(st.fractions(Fraction(1, 3), 4, max_denominator=12), min_size=3, max_size=3))
@quick
def test_along_a_curve_the_cost_never_falls_and_what_is_used_up_never_exceeds_it(
    rng: random.Random, amounts: list[Fraction]
) -> None:
    market = nasty_market(rng)
    curve = cost_curve(market, dict(zip(items_of(market), amounts, strict=False)), 4)
    costs = [c for c in curve.cost_micros if c is not None]
    assert costs == sorted(costs)
    assert not any(point.proved for point in curve.points[len(costs) :]), (
        "a count after an impossible one is impossible too"
    )
    for point in curve.points:
        n, basket, cost, used = point.count, point.basket, point.cost_micros, point.used_cost_micros
        if basket is not None:
            assert cost == cheapest_basket(market, basket.need, tie_break=False).cost_micros
            assert 0 <= used <= cost
            assert all(
                bought_units(market, basket.counts)[item] >= n * amount
                for item, amount in zip(items_of(market), amounts, strict=False)
            )


@given(RANDOM, st.lists(NEED, min_size=3, max_size=3))
@quick
def test_a_basket_covers_its_need_and_its_table_adds_up_to_the_cent(rng: random.Random, units: list[int]) -> None:
    market = nasty_market(rng)
    need = dict(zip(items_of(market), units, strict=False))
    assume(any(need.values()))
    basket = basket_or_none(market, need)
    assume(basket is not None)
    bought = bought_units(market, basket.counts)
    for item in bought | need:
        assert bought.get(item, 0) == basket.need.get(item, 0) + basket.leftovers.get(item, 0)
    assert min(basket.leftovers.values()) >= 0
    table = basket.to_frame()
    cents = [Decimal(text) for text in table["cost"]]
    assert sum(cents[:-1]) == cents[-1]
    assert abs(cents[-1] * 1_000_000 - basket.cost_micros) <= 5_000
    assert list(table["pack"])[-1] == "total"
    goods = table[table["price each"] != ""]
    assert [Decimal(n) * Decimal(each) for n, each in zip(goods["count"], goods["price each"], strict=True)] == [
        Decimal(text) for text in goods["cost"]
    ]
    assert sum(Decimal(text) for text in goods["cost"]) * 1_000_000 == sum(
        order.goods_micros for order in basket.orders
    )


@given(RANDOM, st.lists(NEED, min_size=3, max_size=3))
@quick
def test_nothing_that_was_given_is_changed_and_the_same_question_has_the_same_answer(
    rng: random.Random, units: list[int]
) -> None:
    market = nasty_market(rng)
    need = dict(zip(items_of(market), units, strict=False))
    packs_before, need_before = repr(market), dict(need)
    first = second = None
    try:
        first, second = cheapest_basket(market, need), cheapest_basket(market, need)
    except ImpossibleNeedError:
        return
    finally:
        assert (repr(market), need) == (packs_before, need_before)
    assert first == second
    assert price_basket(market, first.counts).cost_micros == first.cost_micros


@given(st.lists(st.integers(0, 10**9), min_size=1, max_size=12))
def test_rounded_parts_add_up_to_the_rounded_whole_and_each_is_less_than_a_cent_off(parts: list[int]) -> None:
    cents = cents_that_add_up(parts)
    assert abs(sum(cents) * 10_000 - sum(parts)) <= 5_000
    assert all(abs(cent * 10_000 - part) < 10_000 for cent, part in zip(cents, parts, strict=True))


@given(RANDOM, st.fractions(0, 30, max_denominator=7))
@quick
def test_the_counts_that_pay_are_those_whose_cost_the_shops_price_covers(rng: random.Random, price: Fraction) -> None:
    market = nasty_market(rng)
    size = rng.randint(1, 3)
    curve = cost_curve(
        market, {item: Fraction(rng.randint(1, 5), 3) for item in items_of(market)}, 5, containers_per_batch=size
    )
    pays = {n for low, high in counts_that_pay(curve, price) for n in range(low, high + 1)}
    assert pays == {
        n
        for n, cost in zip(curve.counts, curve.cost_micros, strict=True)
        if cost is not None and Fraction(cost, 10_000) <= n * size * price
    }
    ends = [end for interval in counts_that_pay(curve, price) for end in interval]
    assert ends == sorted(ends)
    assert all(
        high + 1 < low
        for (_, high), (low, _) in zip(counts_that_pay(curve, price), counts_that_pay(curve, price)[1:], strict=False)
    )


@given(RANDOM)
@quick
def test_of_a_basket_that_is_needed_to_the_last_all_is_used_up(rng: random.Random) -> None:
    market = nasty_market(rng)
    basket = basket_or_none(market, {item: rng.randint(1, 6) for item in items_of(market)})
    assume(basket is not None)
    whole = cheapest_basket(market, bought_units(market, basket.counts), tie_break=False)
    assert used_cost_micros(market, whole) == whole.cost_micros or any(whole.leftovers.values())
