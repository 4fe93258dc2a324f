"""Where something new begins along a curve: once each, at the count where it first appears."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.pricing import price_basket
from maker_kit.plan.marks import curve_marks
from maker_kit.plan.plan import make_plan
from maker_kit.workshop import find_workshop

MARKET = Market(
    (Supplier("A", ((None, 500),), 0, 2000), Supplier("B", ((None, 0),), 0, 0)),
    (
        Pack("oil small", "A", {"Oil": 10}, ((1, 300),)),
        Pack("oil large", "A", {"Oil": 50}, ((1, 1200),)),
        Pack("wax", "B", {"Wax": 10}, ((1, 100),)),
        Pack("wax large", "B", {"Wax": 40}, ((1, 300),)),
        Pack("kit", "A", {"Oil": 10, "Wax": 10}, ((1, 350),), kit=True),
    ),
)


def curve_of(*lists: dict[str, int] | None, market: Market = MARKET) -> CostCurve:
    """A curve with these shopping lists, whatever they are bought for."""
    costs = [None if counts is None else price_basket(market, counts).cost_micros for counts in lists]
    points = enumerate(zip(lists, costs, strict=True), 1)
    return CostCurve(1, tuple(CurvePoint(market, n, {}, cost or 0, cost, counts) for n, (counts, cost) in points))


@pytest.mark.parametrize(
    ("lists", "marks"),
    [
        (({"oil small": 1}, {"oil small": 2}, {"oil large": 1}), [(3, "oil large")]),
        (({"oil large": 1}, {"oil small": 1}, {"oil large": 1}), []),  # a size that was there before is not new
        (
            ({"oil small": 1}, {"oil large": 1, "oil small": 1}, {"oil small": 3}, {"oil large": 2}),
            [(2, "oil large"), (4, "free delivery from A")],
        ),
        (({"oil small": 1}, {"oil large": 2}), [(2, "free delivery from A; oil large")]),
        (({"oil small": 1}, {"oil small": 1, "wax": 1}, {"wax": 1}), [(2, "an order at B")]),
        (({"oil small": 1}, {"oil small": 7}, {"oil small": 1}, {"oil small": 8}), [(2, "free delivery from A")]),
        (({"oil small": 1}, {"kit": 1}, {"kit": 2}), [(2, "kit")]),
        (({"oil small": 1}, None, {"oil large": 1}), [(3, "oil large")]),
        ((None, {"oil large": 2}, {"oil large": 2, "wax": 1}), [(3, "an order at B")]),
        (({"oil small": 1, "wax": 1}, {"oil large": 1, "wax large": 1}), [(2, "oil large; wax large")]),
        (({"oil small": 1},), []),
        ((None, None), []),
    ],
)
def test_each_beginning_is_marked_once(lists: tuple[dict[str, int] | None, ...], marks: list[tuple[int, str]]) -> None:
    assert list(curve_marks(MARKET, curve_of(*lists))) == marks


def test_delivery_that_is_free_anyway_is_no_news() -> None:
    assert curve_marks(MARKET, curve_of({"oil small": 1}, {"oil small": 1, "wax": 1})) == (
        (2, "an order at B"),
    )  # B carries for nothing at any subtotal


@given(
    st.lists(
        st.one_of(
            st.none(),
            st.fixed_dictionaries({p.name: st.integers(0, 9) for p in MARKET.packs}).filter(lambda c: any(c.values())),
        ),
        min_size=1,
        max_size=12,
    )
)
@settings(max_examples=60, deadline=None)
def test_marks_are_few_and_in_order(lists: list[dict[str, int] | None]) -> None:
    marks = curve_marks(MARKET, curve_of(*lists))
    counts = [count for count, _ in marks]
    assert counts == sorted(set(counts))
    words = [word for _, text in marks for word in text.split("; ")]
    assert len(words) == len(set(words))
    assert len(words) <= 2 + 2 + 3  # two suppliers, two free deliveries, two larger sizes and a kit
    for count, text in marks:
        assert lists[count - 1]
        before = [counts for counts in lists[: count - 1] if counts]
        for name in set(text.split("; ")) & {p.name for p in MARKET.packs}:
            assert lists[count - 1][name] > 0
            assert not any(counts[name] for counts in before)


def test_what_the_demo_wash_marks_is_new_there() -> None:
    plan = make_plan(find_workshop(""), "r1b-hand-wash")
    curve = cost_curve(plan.market, plan.needs, 10)
    marks = curve_marks(plan.market, curve)
    assert marks
    for count, words in marks:
        here, before = curve.at(count).basket, [curve.at(n).basket for n in range(1, count)]
        for word in words.split("; "):
            if word.startswith("an order at "):
                assert word.removeprefix("an order at ") not in {
                    order.supplier for basket in before for order in basket.orders
                }
            elif not word.startswith("free delivery"):
                assert word in here.counts
                assert not any(word in basket.counts for basket in before)


def test_the_market_is_left_as_it_was() -> None:
    before = replace(MARKET)
    curve_marks(MARKET, curve_of({"oil small": 1}, {"oil large": 1}))
    assert before == MARKET
