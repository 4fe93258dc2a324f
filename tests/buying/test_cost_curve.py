"""The cost of every count: what a count that cannot be bought, proved or waited for looks like, what a batch used up,
and where making pays.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from curves import told

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.program import NotProvedError
from maker_kit.buying.costing import check_upto, cost_curve
from maker_kit.buying.counts_that_pay import PaysForGood, counts_not_known, counts_that_pay, intervals, pays_for_good
from maker_kit.buying.curve import solver as curve_solver
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.needs import need_of
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.errors import BasketError, QuantityError

HOME = Supplier("Corner", ((None, 0),))
JUG = Pack("Corner: Soap 1 kg", "Corner", {"Soap": 10_000}, ((1, 500),))
MARKET = Market((HOME,), (JUG,))
PER_BATCH = {"Soap": Fraction(10_000, 3)}


class Blind(CurveSolver):
    """A search of whole curves that can say nothing, so that every count is closed one by one."""

    def curve(self, per_batch, upto, **_):
        counts = range(1, upto + 1)
        return tuple(CurvePoint(self.market, n, need_of(per_batch, n), 0, told="not proved yet") for n in counts)


def test_a_curve_of_thirds_of_a_pack_steps_up_after_every_third_count() -> None:
    curve = cost_curve(MARKET, PER_BATCH, 7)
    assert curve.cost_micros == tuple(
        500 * 10_000 * math.ceil(n / 3) for n in range(1, 8)
    )  # 3 · 333.33… g is exactly one pack
    assert told(curve.points, "status") == ("proved",) * 7
    assert curve.open_counts == ()


def test_counts_that_the_stock_does_not_reach_are_impossible_with_the_reason_and_so_are_all_after() -> None:
    scarce = Market((HOME,), (Pack(JUG.name, "Corner", JUG.content, JUG.prices, stock=1),))
    curve = cost_curve(scarce, PER_BATCH, 5, containers_per_batch=2)
    assert told(curve.points, "status") == ("proved",) * 3 + ("impossible",) * 2
    assert curve.cost_micros[3:] == curve.used_cost_micros[3:] == told(curve.points, "packs")[3:] == (None, None)
    assert "stock of Soap does not reach" in curve.points[3].why
    assert curve.points[3].why == curve.points[4].why
    assert curve.open_counts == ()
    assert curve.at(4).basket is None
    assert counts_that_pay(curve, Fraction(10**6)) == ((1, 3),)
    frame = curve.to_frame()
    assert list(frame.columns) == [
        "batches",
        "containers",
        "cash_cost",
        "unit_cash_cost",
        "used_cost",
        "unit_used_cost",
        "proved",
    ]
    assert list(frame["containers"]) == [2, 4, 6, 8, 10]
    assert list(frame["proved"]) == [True, True, True, False, False]
    assert frame.loc[0, ["cash_cost", "unit_cash_cost"]].tolist() == [5.0, 2.5]
    assert frame["cash_cost"].isna().tolist() == [False] * 3 + [True] * 2


def test_counts_that_could_not_be_proved_are_named_and_pay_only_where_their_bounds_say_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real = cheapest_basket

    def sometimes(market: Market, need: dict[str, int], **given: Any) -> Any:
        if need["Soap"] > 10_000 and need["Soap"] <= 20_000:
            msg = "the time for it was up"
            raise NotProvedError(msg)
        return real(market, need, **given)

    monkeypatch.setattr(curve_solver, "cheapest_basket", sometimes)
    curve = cost_curve(MARKET, PER_BATCH, 8, solver=Blind(MARKET))
    assert told(curve.points, "status") == ("proved",) * 3 + ("not proved",) * 3 + ("proved",) * 2
    assert curve.open_counts == (4, 5, 6)
    assert curve.points[4].why == "the time for it was up"
    # by hand: one jug up to three, three jugs at seven and eight; so four to six cost from 5.00 to 15.00
    assert counts_that_pay(curve, Fraction(10**6)) == ((1, 8),)
    assert counts_not_known(curve, Fraction(10**6)) == ()
    assert counts_that_pay(curve, Fraction(200)) == ((3, 3), (8, 8))
    assert counts_not_known(curve, Fraction(200)) == ((4, 6),)
    assert pays_for_good(curve, Fraction(200)) == PaysForGood(8, 8)  # seven at 14.00 is dearer than 15.00 allows
    assert pays_for_good(curve, Fraction(1500, 7)) == PaysForGood(3, 7)  # from seven on for sure, perhaps from three
    assert counts_that_pay(curve, Fraction(80)) == counts_not_known(curve, Fraction(80)) == ()  # not 5.00 for six
    assert pays_for_good(curve, Fraction(80)) == PaysForGood(None, None)


def test_a_curve_that_is_stopped_says_so_of_all_the_counts_it_did_not_reach() -> None:
    seen: list[tuple[int, int]] = []

    def stop() -> bool:
        return bool(seen)  # as soon as one count was solved by itself

    curve = cost_curve(
        MARKET,
        PER_BATCH,
        5,
        solver=Blind(MARKET),
        cancelled=stop,
        progress=lambda done, total: seen.append((done, total)),
    )
    proved = [point.count for point in curve.points if point.proved]
    assert 0 < len(proved) < 5
    assert set(curve.open_counts) == {1, 2, 3, 4, 5} - set(proved)
    assert all(bool(point.why) != point.proved for point in curve.points)
    assert seen == sorted(seen)
    assert seen[-1] == (5, 5)
    assert {n for a, b in counts_that_pay(curve, Fraction(10**6)) for n in range(a, b + 1)} >= set(proved)
    held = {point.count for point in curve.points if point.packs is not None}
    assert {n for a, b in counts_that_pay(curve, Fraction(10**6)) for n in range(a, b + 1)} == held


def test_progress_never_goes_back_and_ends_with_all() -> None:
    seen: list[tuple[int, int]] = []
    cost_curve(MARKET, PER_BATCH, 4, solver=Blind(MARKET), progress=lambda done, total: seen.append((done, total)))
    assert seen == sorted(seen)
    assert len(seen) > 1
    assert seen[-1] == (4, 4)


def test_a_count_beyond_the_curve_is_refused() -> None:
    curve = cost_curve(MARKET, PER_BATCH, 3)
    assert curve.at(3).basket.cost_micros == curve.at(3).cost_micros == 500 * 10_000
    for count in (0, -1, 4):
        with pytest.raises(QuantityError, match="the curve holds 1 to 3"):
            curve.at(count)


@pytest.mark.parametrize("upto", [0, -1, 1.5, True, 5_001, 10**9])
def test_the_largest_count_of_a_curve_is_whole_and_in_range(upto: float) -> None:
    with pytest.raises(QuantityError, match="largest count"):
        cost_curve(MARKET, PER_BATCH, upto)


def test_a_whole_float_is_a_count() -> None:
    assert check_upto(3.0) == 3


def test_needs_are_rounded_up_once_from_the_exact_product() -> None:
    assert math.ceil(100 * 1.1) == 111  # what floats would make of it
    assert need_of({"a": Fraction(1, 10), "b": Fraction(11, 10)}, 100) == {"a": 10, "b": 110}
    assert need_of({"a": Fraction(1, 3)}, 4) == {"a": 2}
    with pytest.raises(QuantityError, match="1 or more"):
        need_of({"a": Fraction(1)}, 0)


def test_used_cost_is_the_goods_in_proportion_and_the_fees_in_full() -> None:
    # by hand: 750 g of a 1 kg jug at 8.00 are 6.00; tax of 10 % on goods 0.60, on fees 0.50; handling and delivery 5.00
    taxed = Supplier("Post", ((None, 400),), handling_cents=100, tax_bp=1000)
    market = Market((taxed,), (Pack("Post: Soap", "Post", {"Soap": 10_000}, ((1, 800),)),))
    basket = cheapest_basket(market, {"Soap": 7_500})
    assert basket.cost_micros == (800 + 500) * 11_000
    assert used_cost_micros(market, basket) == (600 + 500) * 11_000


def test_a_kits_price_is_shared_in_proportion_to_what_its_items_cost_singly() -> None:
    # by hand: singly the jug costs 5.00 and four bottles 4 · 2.00 = 8.00, so 13.00; the kit at 10.40 is shared 4.00
    # and 6.40; all the soap and one bottle of four are used: 4.00 + 1.60
    market = Market(
        (HOME,),
        (
            JUG,
            Pack("Corner: bottle", "Corner", {"Bottle": 1}, ((1, 200),)),
            Pack("Corner: kit", "Corner", {"Soap": 10_000, "Bottle": 4}, ((1, 1040),), kit=True),
        ),
        frozenset({"Bottle"}),
    )
    basket = cheapest_basket(market, {"Soap": 10_000, "Bottle": 3})
    assert dict(basket.counts) == {"Corner: kit": 1}
    one = cheapest_basket(Market((HOME,), (market.packs[2],)), {"Soap": 10_000, "Bottle": 1})
    assert used_cost_micros(market, one) == 560 * 10_000
    # with one item that nobody sells singly, it takes what the others leave: 10.40 − 5.00
    alone = Market((HOME,), (JUG, market.packs[2]))
    assert used_cost_micros(alone, one) == 500 * 10_000 + 540 * 10_000 // 4


@pytest.mark.parametrize(
    ("true", "runs"),
    [
        ((), ()),
        ((False, False), ()),
        ((True,), ((1, 1),)),
        ((True, True, False, True), ((1, 2), (4, 4))),
        ((False, True, True), ((2, 3),)),
    ],
)
def test_intervals_are_the_longest_runs(true: tuple[bool, ...], runs: tuple[tuple[int, int], ...]) -> None:
    assert intervals(tuple(range(1, len(true) + 1)), true) == runs


def test_a_price_that_only_just_covers_the_cost_pays() -> None:
    curve = cost_curve(MARKET, PER_BATCH, 3)
    assert counts_that_pay(curve, Fraction(500, 3)) == ((3, 3),)
    assert counts_that_pay(curve, Fraction(500, 3) - Fraction(1, 10**9)) == ()


def test_a_recipe_that_needs_nothing_costs_nothing() -> None:
    curve = cost_curve(Market((), ()), {"Oil": Fraction(0)}, 3)
    assert told(curve.points, "status") == ("proved",) * 3
    assert curve.cost_micros == curve.used_cost_micros == (0, 0, 0)


@pytest.mark.parametrize("amount", [0.1, Fraction(-1)])
def test_an_amount_for_one_batch_is_an_exact_fraction_from_zero_up(amount: Any) -> None:
    with pytest.raises(QuantityError, match="exact fraction"):
        cost_curve(Market((), ()), {"Oil": amount}, 3)


@pytest.mark.parametrize("containers", [0, -1, 1.5, True])
def test_a_batch_holds_a_whole_number_of_containers(containers: Any) -> None:
    with pytest.raises(QuantityError, match="whole number"):
        cost_curve(Market((), ()), {}, 3, containers_per_batch=containers)


def test_a_curve_whose_last_count_is_too_large_is_refused_before_anything_is_solved() -> None:
    with pytest.raises(BasketError, match="too large"):
        cost_curve(
            Market((Supplier("S", ((None, 0),)),), (Pack("P", "S", {"Oil": 1}, ((1, 1),)),)),
            {"Oil": Fraction(10**9)},
            3,
        )


def test_the_value_of_a_kits_items_counts_the_tax_that_their_sellers_ask() -> None:
    # singly: soap 100 with 100 % tax is 200, oil 200 without; so each takes half of the kit's 300, and half of the oil
    # is used: 150 + 75
    suppliers = (Supplier("Taxed", ((None, 0),), tax_bp=10_000), Supplier("Free", ((None, 0),)))
    packs = (
        Pack("Soap", "Taxed", {"Soap": 1}, ((1, 100),)),
        Pack("Oil", "Free", {"Oil": 2}, ((1, 200),)),
        Pack("Kit", "Free", {"Soap": 1, "Oil": 2}, ((1, 300),), kit=True),
    )
    market = Market(suppliers, packs)
    basket = cheapest_basket(market, {"Soap": 1, "Oil": 1})
    assert dict(basket.counts) == {"Kit": 1}
    assert used_cost_micros(market, basket) == 225 * 10_000
