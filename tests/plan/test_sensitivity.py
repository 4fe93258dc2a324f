"""What moves the verdict, against sums by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_workshops import INGREDIENTS, market, recipe, workshop

from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.counts_that_pay import pays_for_good
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market, Pack
from maker_kit.errors import QuantityError
from maker_kit.formula.recipe import Certificate, Recipe
from maker_kit.plan.moved_inputs import cents
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.plan.sensitivity import Sensitivity, SensitivityBar, sensitivity

MICROS_PER_CENT = 10_000


def plan_of(sold: Market | None = None, made: Recipe | None = None, batches: int = 2, shop_cents: int = 900) -> Plan:
    return make_plan(workshop(sold, made or recipe(), shop_cents=shop_cents), "balm", batches=batches)


def bar(found: Sensitivity, name: str) -> SensitivityBar:
    (one,) = [b for b in found.bars if b.name == name]
    return one


def each(one: SensitivityBar) -> tuple[Fraction, Fraction]:
    """Cost of one container at both ends [cent]."""
    return one.low.each_micros / MICROS_PER_CENT, one.high.each_micros / MICROS_PER_CENT


class Counting:
    """A curve that counts how often it is asked for."""

    def __init__(self) -> None:
        self.calls = 0

    def __call__(self, sold: Market, needs: dict[str, Fraction], upto: int, *, containers_per_batch: int) -> CostCurve:
        self.calls += 1
        return cost_curve(sold, needs, upto, containers_per_batch=containers_per_batch)


def test_every_bar_is_as_long_as_a_pencil_says() -> None:
    # two balms at 16.40: oil 2 × 2.00, wax 3.00, tins 2 × 0.50, labels 2.40, handling 1.00, delivery 5.00
    found = sensitivity(plan_of(), 4)
    assert found.each_micros == 820 * MICROS_PER_CENT
    assert {b.name: each(b) for b in found.bars} == {
        "delivery from A": (770, 870),
        "price of Oil": (780, 860),
        "price of Wax": (790, 850),
        "price of Label": (796, 844),
        "price of Tin": (810, 830),
        "price in the shop": (820, 820),
    }
    assert [b.name for b in found.bars] == [
        "delivery from A",
        "price of Oil",
        "price of Wax",
        "price of Label",
        "price of Tin",
        "price in the shop",
    ]
    assert [b.each_spread_micros / MICROS_PER_CENT for b in found.bars] == [100, 80, 60, 48, 20, 0]


def test_the_first_count_that_pays_for_good_moves_with_the_shop_price() -> None:
    # one to four balms cost 13.90, 16.40, 19.90, 22.40; at 9.00 two pay, at 7.20 three do, at 10.80 two
    found = sensitivity(plan_of(), 4)
    assert (found.first, found.price_cents) == (2, 900)
    shop = bar(found, "price in the shop")
    assert (shop.low.setting, shop.high.setting, shop.low.first, shop.high.first, shop.first_spread) == (
        "7.20",
        "10.80",
        3,
        2,
        1,
    )
    assert max(found.bars, key=lambda bar: bar.first_spread).name == "price in the shop"


def test_none_for_good_counts_as_one_more_than_the_last() -> None:
    found = sensitivity(
        plan_of(), 4, shop_price_cents=Fraction(600)
    )  # four at 22.40 of 24.00 pay; at 4.80 none does; at 7.20 three do
    assert found.first == 4
    shop = bar(found, "price in the shop")
    assert (shop.low.first, shop.high.first, shop.first_spread) == (None, 3, 2)
    assert found.to_frame().set_index("input").loc["price in the shop", "pays for good from, low"] == "none up to 4"


def test_a_loss_moves_the_need_exactly() -> None:
    # a quarter lost: two balms take 100.0 g of wax, one pack; three tenths: 104 g, two packs, 3.00 more
    found = sensitivity(plan_of(made=recipe(loss_percent=25.0)), 3)
    loss = bar(found, "loss")
    assert (loss.low.setting, loss.high.setting) == ("20 %", "30 %")
    assert each(loss) == (820, 970)


def test_a_fragrance_load_moves_the_need_and_the_balance() -> None:
    # 5 % in two balms is one bottle of 10 g; 6 % is two: 4.50 more; 4 % is one, and 110 or 112 g of oil are two packs
    # anyway
    found = sensitivity(plan_of(made=recipe(oil=55, wax=40)), 3)
    load = bar(found, "fragrance load")
    assert (load.low.setting, load.high.setting) == ("4 %", "6 %")
    base = 820 + Fraction(450, 2)
    assert each(load) == (base, base + 225)


def test_a_load_over_its_limit_is_said_to_be_so() -> None:
    certified = replace(
        INGREDIENTS["Scent"],
        certificates=tuple(Certificate(51, category, 5.5, "invented") for category in ("5A", "5B", "5C", "5D")),
    )
    made = replace(recipe(oil=55, wax=40), ingredients={**INGREDIENTS, "Scent": certified})
    load = bar(sensitivity(plan_of(made=made, batches=1), 1), "fragrance load")
    assert load.high.note.startswith("not to be made so: ")
    assert "not to be made so" not in load.low.note


def test_a_load_the_balance_cannot_hold_is_left_where_it_is() -> None:
    found = sensitivity(plan_of(made=recipe(oil=0.5, wax=95)), 2)
    load = bar(found, "fragrance load")
    assert load.high.note.startswith("not possible, so left as it is: ")
    assert load.high.each_micros == found.each_micros


def test_a_delivery_known_as_low_to_high_is_moved_over_just_that() -> None:
    counting = Counting()
    found = sensitivity(plan_of(market(delivery=300, delivery_high=900)), 2, curve=counting)
    delivery = bar(found, "delivery from A")
    assert each(delivery) == (720, 1020)
    assert (delivery.low.setting, delivery.high.setting) == ("at its cheapest", "at its dearest")
    assert counting.calls == 1 + 4 * 2 + 1  # as it is; oil, wax, tin, label; delivery at its cheapest is as it is


def test_a_kit_has_a_bar_of_its_own_and_moves_none_of_its_items() -> None:
    sold = market()
    kit = Pack("A: kit", "A", {"Oil": 1200, "Wax": 800}, ((1, 500),), 2000, kit=True)
    found = sensitivity(plan_of(replace(sold, packs=(*sold.packs, kit))), 2)
    # the kit at 5.00 instead of 7.00: 14.40; at 4.00 13.40, at 6.00 15.40; oil or wax dearer changes nothing
    assert each(bar(found, "price of A: kit")) == (670, 770)
    assert each(bar(found, "price of Oil"))[1] == each(bar(found, "price of Wax"))[1] == 720


def test_prices_move_in_whole_cents_and_a_price_of_two_does_not_move() -> None:
    assert [
        cents(2, Fraction(8, 10)),
        cents(2, Fraction(12, 10)),
        cents(3, Fraction(8, 10)),
        cents(5, Fraction(11, 10)),
        cents(0, Fraction(2)),
        cents(445, Fraction(9, 10)),
    ] == [2, 2, 2, 6, 0, 401]
    sold = market()
    counting = Counting()
    found = sensitivity(
        plan_of(
            replace(sold, packs=tuple(replace(p, prices=((1, 2),)) if p.name == "B: tin" else p for p in sold.packs))
        ),
        2,
        curve=counting,
    )
    assert bar(found, "price of Tin").each_spread_micros == 0
    assert counting.calls == 1 + 2 * 4  # as it is; oil, wax, labels, delivery; neither tins nor the shop


def test_an_input_of_nothing_has_no_bar() -> None:
    sold = market(delivery=0)
    found = sensitivity(
        plan_of(
            replace(sold, packs=tuple(replace(p, prices=((1, 0),)) if p.name == "B: tin" else p for p in sold.packs))
        ),
        2,
    )
    assert [b.name for b in found.bars] == ["price of Oil", "price of Wax", "price of Label", "price in the shop"]


def test_without_a_shop_product_nothing_is_compared() -> None:
    found = sensitivity(plan_of(made=recipe(shop_product="")), 2)
    assert found.price_cents is None
    assert {(b.low.first, b.first_spread) for b in found.bars} == {(None, 0)}
    assert set(found.to_frame()["pays for good from, low"]) == {"nothing to compare"}


def test_what_is_not_proved_is_unknown_and_stands_first() -> None:
    def curve(sold: Market, needs: dict[str, Fraction], upto: int, *, containers_per_batch: int) -> CostCurve:
        done = cost_curve(sold, needs, upto, containers_per_batch=containers_per_batch)
        if next(p for p in sold.packs if p.name == "B: tin").price_cents(1) == 50:
            return done
        return replace(
            done, points=tuple(replace(p, lower_micros=0, upper_micros=None, packs=None) for p in done.points)
        )

    found = sensitivity(plan_of(), 3, curve=curve)
    assert found.bars[0].name == "price of Tin"
    assert found.bars[0].each_spread_micros is None
    row = found.to_frame().iloc[0]
    assert (row["one container, low"], row["note"]) == ("unknown", "some counts are not proved")


def test_it_can_be_watched_and_stopped() -> None:
    seen = []
    found = sensitivity(
        plan_of(), 2, progress=lambda done, total: seen.append((done, total)), cancelled=lambda: len(seen) >= 2
    )
    assert seen == [(1, 6), (2, 6)]
    assert (len(found.bars), found.complete) == (2, False)
    assert sensitivity(plan_of(), 2).complete


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"share_percent": 0}, "more than 0"),
        ({"share_percent": 101}, "at most 100"),
        ({"share_percent": float("nan")}, "no number"),
    ],
)
def test_a_share_out_of_range_is_refused(asked: dict[str, float], words: str) -> None:
    with pytest.raises(QuantityError, match=words):
        sensitivity(plan_of(), 3, **asked)


def test_a_count_beyond_the_curve_is_refused() -> None:
    with pytest.raises(QuantityError, match="the curve ends at 3"):
        sensitivity(plan_of(batches=4), 3)


@pytest.mark.parametrize(
    ("costs", "first"),
    [([5, 5, 5], 1), ([20, 5, 5], 2), ([5, 30, 5], 3), ([5, 5, 40], None), ([5, None, 5], 3), ([5, 5, None], None)],
)
def test_for_good_is_the_start_of_the_last_run_that_reaches_the_end(costs: list[int | None], first: int | None) -> None:
    micros = [None if c is None else c * MICROS_PER_CENT for c in costs]
    curve = CostCurve(1, tuple(CurvePoint(Market((), ()), n, {}, c or 0, c) for n, c in enumerate(micros, 1)))
    assert pays_for_good(curve, Fraction(10)).first == first


def test_what_open_counts_decide_is_not_known_yet_and_stops_are_said() -> None:
    def half_known(sold: Market, needs: dict[str, Fraction], upto: int, *, containers_per_batch: int) -> CostCurve:
        whole = cost_curve(sold, needs, upto, containers_per_batch=containers_per_batch)
        last = replace(whole.points[-1], lower_micros=1, upper_micros=10**9)  # nobody knows whether the last one pays
        return replace(whole, points=(*whole.points[:-1], last))

    found = sensitivity(plan_of(), 4, curve=half_known)
    assert (found.first, found.first_known) == (None, False)
    frame = found.to_frame()
    assert set(frame["pays for good from, low"]) == set(frame["pays for good from, high"]) == {"not known yet"}
    known = sensitivity(plan_of(), 4)
    assert known.first_known
    assert "not known yet" not in set(known.to_frame()["pays for good from, low"])
    stopped = sensitivity(plan_of(), 4, cancelled=lambda: True)
    assert not stopped.complete
    assert "not moved: the time was up" in list(stopped.to_frame()["note"])


@given(st.integers(1, 4), st.integers(1, 60), st.integers(0, 1000), st.integers(0, 20))
@settings(max_examples=6, deadline=None)
def test_dearer_never_costs_less_and_the_longest_bar_stands_first(
    batches: int, share: int, tax: int, loss: int
) -> None:
    found = sensitivity(
        plan_of(market(tax_bp=tax, free_from=2500), recipe(loss_percent=float(loss)), batches), 4, share_percent=share
    )
    for b in found.bars:
        assert b.low.each_micros <= found.each_micros <= b.high.each_micros
        assert b.each_spread_micros == b.high.each_micros - b.low.each_micros
        assert b.first_spread >= 0
    spreads = [b.each_spread_micros for b in found.bars]
    assert spreads == sorted(spreads, reverse=True)


def test_a_curve_that_is_there_is_not_worked_out_again_and_tells_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = plan_of()
    found, known = sensitivity(plan, 4), cost_curve(plan.market, plan.needs, 4)
    asked: list[int] = []

    def counted(sold: Market, needs: dict[str, Fraction], upto: int, **how: Any) -> CostCurve:
        asked.append(upto)
        return cost_curve(sold, needs, upto, **how)

    monkeypatch.setattr("maker_kit.plan.sensitivity.cost_curve", counted)
    assert sensitivity(plan, 4, known=known) == found
    assert not asked
    # one that ends elsewhere, or of which something is open, does not do
    last = replace(known.points[-1], lower_micros=0)
    for other in (cost_curve(plan.market, plan.needs, 3), replace(known, points=(*known.points[:-1], last))):
        assert sensitivity(plan, 4, known=other) == found
    assert asked == [4, 4]
