"""The cost of a container part by part, and the leftovers, against sums by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_workshops import market, recipe, workshop

from maker_kit.buying.basket.basket import Basket, with_need
from maker_kit.buying.costing import cost_curve
from maker_kit.buying.market import Market, Pack
from maker_kit.buying.needs import need_of
from maker_kit.buying.pricing import price_basket
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.errors import QuantityError
from maker_kit.plan.cost_breakdown import cost_parts, item_costs
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.plan.shopping.leftovers import further_batches, left_of, leftovers
from maker_kit.plan.shopping.purchases import Purchase, purchase
from maker_kit.workshop import find_workshop

MICROS_PER_CENT = 10_000


def plan_of(batches: int = 2, size: int = 1, sold: Market | None = None, **changed: object) -> Plan:
    return make_plan(workshop(sold, recipe(**changed)), "balm", batches=batches, batch_size=size)


def cents(parts: object, name: str) -> Fraction:
    return dict(parts.parts)[name] / MICROS_PER_CENT


def test_the_parts_of_two_balms_are_what_a_pencil_makes_of_them() -> None:
    # two balms take 120 g of oil and 80 g of wax: oil 2 × 100 g 4.00 (used 2.40), wax 100 g 3.00 (used 2.40), two tins
    # 1.00, ten labels 2.40 (used 0.48), handling 1.00, delivery 5.00
    parts = cost_parts(purchase(plan_of()))
    assert [name for name, _ in parts.parts] == [
        "ingredients used",
        "container",
        "label",
        "delivery and handling",
        "left over",
    ]
    assert [cents(parts, name) for name, _ in parts.parts] == [240, 50, 24, 300, 206]
    assert parts.cash_micros == 1640 * MICROS_PER_CENT
    assert parts.each_micros == 820 * MICROS_PER_CENT


def test_the_column_of_the_table_adds_up_to_its_total() -> None:
    frame = cost_parts(purchase(plan_of()), minutes_per_batch=10, hourly_rate_cents=1000).to_frame()
    for column in ("one container", "all"):
        values = [Fraction(text) for text in frame[column]]
        assert sum(values[:-1]) == values[-1]
    assert list(frame["all"]) == ["4.80", "1.00", "0.48", "6.00", "4.12", "3.33", "19.73"]


def test_own_minutes_are_off_unless_asked_for_and_are_not_paid() -> None:
    bought = purchase(plan_of(batches=2, size=3))
    without = cost_parts(bought)
    assert "own minutes" not in dict(without.parts)
    for minutes, rate in ((0, 1500), (30, 0)):
        assert cost_parts(bought, minutes_per_batch=minutes, hourly_rate_cents=rate) == without
    # 45 min a batch at 12.00 an hour: 9.00 a batch of three, 3.00 each
    parts = cost_parts(bought, minutes_per_batch=45, hourly_rate_cents=1200)
    assert cents(parts, "own minutes") == 300
    assert parts.cash_micros == bought.cash_micros
    assert parts.each_micros == without.each_micros + 300 * MICROS_PER_CENT


@pytest.mark.parametrize(
    "asked",
    [
        {"minutes_per_batch": -1},
        {"hourly_rate_cents": -1},
        {"minutes_per_batch": float("nan")},
        {"hourly_rate_cents": float("inf")},
    ],
)
def test_minutes_that_are_none_are_refused_in_a_sentence(asked: dict[str, float]) -> None:
    with pytest.raises(QuantityError, match=r"minutes|hourly rate"):
        cost_parts(purchase(plan_of()), **asked)


def test_tax_goes_with_what_it_is_on() -> None:
    # 10 % on goods and fees of A: oil 2.64, wax 2.64 used; fees 6.60
    parts = cost_parts(purchase(plan_of(sold=market(tax_bp=1000))))
    assert cents(parts, "ingredients used") == (264 + 264) / 2
    assert cents(parts, "delivery and handling") == 330


@given(
    st.integers(1, 30),
    st.integers(1, 4),
    st.integers(0, 2500),
    st.floats(0, 1000, allow_nan=False),
    st.integers(0, 10_000),
)
@settings(max_examples=30, deadline=None)
def test_the_parts_add_up_to_what_is_paid_and_the_minutes(
    batches: int, size: int, tax: int, minutes: float, rate: int
) -> None:
    plan = plan_of(batches, size, market(tax_bp=tax, free_from=2000))
    bought = plain_purchase(plan)
    parts = cost_parts(bought, minutes_per_batch=minutes, hourly_rate_cents=rate)
    assert parts.each_micros * plan.containers == bought.cash_micros + parts.minutes_micros
    used = (
        sum(dict(parts.parts)[name] for name in ("ingredients used", "container", "label", "delivery and handling"))
        * plan.containers
    )
    assert abs(used - bought.used_micros) <= Fraction(1, 2)
    assert all(part >= 0 for _, part in parts.parts)
    left = leftovers(bought)
    assert left.value_micros == dict(parts.parts)["left over"] * plan.containers
    assert left.used_micros <= left.used_plus_expiring_micros <= bought.cash_micros


def plain_purchase(plan: Plan) -> Purchase:
    """Any basket that covers the need will do: the smallest packs, as many as it takes; no solver."""
    need = need_of(plan.needs, plan.batches)
    smallest = {"Oil": "A: oil 100 g", "Wax": "A: wax 100 g", "Tin": "B: tin", "Label": "B: 10 labels"}
    packs = {pack.name: pack for pack in plan.market.packs}
    counts = {smallest[item]: -(-units // packs[smallest[item]].content[item]) for item, units in need.items()}
    basket = with_need(plan.market, price_basket(plan.market, counts), need)
    return Purchase(plan, basket, basket.cost_micros, used_cost_micros(plan.market, basket))


def test_a_kit_is_shared_over_its_items_as_they_cost_singly() -> None:
    # kit of 100 g of oil (1.40 at its cheapest, in the 500 g pack) and 100 g of wax (3.00) at 2.20: half of either
    small = market()
    kit = Pack("A: kit", "A", {"Oil": 1000, "Wax": 1000}, ((1, 220),), 2000, kit=True)
    sold = replace(small, packs=(*small.packs, kit))
    basket = with_need(sold, price_basket(sold, {"A: kit": 1}), {"Oil": 600, "Wax": 400})
    assert {cost.item: cost.paid_micros / MICROS_PER_CENT for cost in item_costs(sold, basket)} == {
        "Oil": 70,
        "Wax": 150,
    }
    assert {cost.item: cost.used_micros / MICROS_PER_CENT for cost in item_costs(sold, basket)} == {
        "Oil": 42,
        "Wax": 60,
    }


def test_what_a_kit_holds_and_nothing_needs_is_left_over_whole() -> None:
    small = market()
    sold = replace(
        small,
        packs=(
            *small.packs,
            Pack("A: kit", "A", {"Oil": 1000, "Wax": 1000, "Scent": 100}, ((1, 200),), 2000, kit=True),
        ),
    )
    bought = purchase(plan_of(1, sold=sold))
    rows = {row.item: row for row in leftovers(bought).rows}
    assert "A: kit" in bought.basket.counts
    assert (rows["Scent"].units, rows["Scent"].expiring_units) == (100, 100)


def test_leftovers_have_their_amount_and_their_value() -> None:
    left = leftovers(purchase(plan_of()))
    assert [(row.item, row.text, row.value_micros / MICROS_PER_CENT) for row in left.rows] == [
        ("Oil", "80.0 g", 160),
        ("Wax", "20.0 g", 60),
        ("Label", "8 pieces", 192),
    ]
    assert left.value_micros == 412 * MICROS_PER_CENT
    assert list(left.to_frame()["value"]) == ["1.60", "0.60", "1.92"]


def test_what_further_batches_use_up_in_time_does_not_expire() -> None:
    # two a month for six months: twelve in time, two are bought for, ten more; they would take 600 g of oil and 400 g
    # of wax
    left = leftovers(purchase(plan_of()))
    assert left.further_batches == 10
    assert [row.expiring_units for row in left.rows] == [0, 0, 0]
    assert left.used_plus_expiring_micros == left.used_micros == (1640 - 412) * MICROS_PER_CENT


def test_what_they_do_not_use_up_expires_and_pieces_keep() -> None:
    # keeps one month, two are used: no further batch; 80 g of oil and 20 g of wax expire, 8 labels keep
    left = leftovers(purchase(plan_of(keeps_months=1.0)))
    assert [(row.item, row.expiring_units) for row in left.rows] == [("Oil", 800), ("Wax", 200), ("Label", 0)]
    assert left.used_plus_expiring_micros == left.used_micros + 220 * MICROS_PER_CENT
    assert list(left.to_frame()["will expire unused"]) == ["80.0 g", "20.0 g", "nothing"]
    # keeps one month and a half: one more balm, which takes 60 g of oil and 40 g of wax
    left = leftovers(purchase(plan_of(keeps_months=1.5)))
    assert [(row.item, row.expiring_units) for row in left.rows] == [("Oil", 200), ("Wax", 0), ("Label", 0)]
    assert left.used_plus_expiring_micros == left.used_micros + 40 * MICROS_PER_CENT
    assert list(left.to_frame()["will expire unused"]) == ["20.0 g", "nothing", "nothing"]


@pytest.mark.parametrize("changed", [{"keeps_months": None}, {"use_per_month": None}])
def test_an_unknown_keeping_time_or_use_is_said_to_be_unknown(changed: dict[str, None]) -> None:
    left = leftovers(purchase(plan_of(**changed)))
    assert left.used_plus_expiring_micros is None
    assert {row.expiring_units for row in left.rows} == {None}
    assert set(left.to_frame()["will expire unused"]) == {"unknown"}


@pytest.mark.parametrize(
    ("keeps", "use", "size", "batches", "further"),
    [
        (6.0, 2.0, 1, 2, 10),
        (6.0, 2.0, 5, 1, 1),
        (6.0, 2.0, 5, 2, 0),
        (6.0, 2.0, 1, 30, 0),
        (0.1, 30.0, 1, 1, 2),
        (1.1, 10.0, 1, 1, 10),
    ],
)
def test_only_whole_batches_within_the_keeping_time_follow(
    keeps: float, use: float, size: int, batches: int, further: int
) -> None:
    assert further_batches(plan_of(batches, size, keeps_months=keeps, use_per_month=use), batches) == further


def test_used_and_expiring_of_a_whole_curve_lies_between_used_and_paid() -> None:
    plan = make_plan(find_workshop(""), "r1b-hand-wash")
    curve = cost_curve(plan.market, plan.needs, 8)
    for point in curve.points:
        n, used, paid = point.count, point.used_cost_micros, point.cost_micros
        value = left_of(plan, plan.market, n, point.basket).used_plus_expiring_micros
        assert used <= value <= paid
        again = make_plan(find_workshop(""), "r1b-hand-wash", batches=n)
        assert leftovers(Purchase(again, point.basket, paid, used)).used_plus_expiring_micros == value


def test_nothing_is_changed_that_was_given() -> None:
    bought = purchase(plan_of())
    before: Basket = replace(
        bought.basket,
        counts=dict(bought.basket.counts),
        need=dict(bought.basket.need),
        leftovers=dict(bought.basket.leftovers),
    )
    cost_parts(bought, minutes_per_batch=1, hourly_rate_cents=1)
    leftovers(bought)
    assert bought.basket == before
