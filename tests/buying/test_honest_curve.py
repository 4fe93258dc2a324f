"""While counts are open the curve says no more than its bounds do; a proved cost has a list; faults are sentences."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from generated_markets import wide_market, workshop_market

from maker_kit.buying.basket import basket as baskets
from maker_kit.buying.basket import highs
from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError
from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.counts_that_pay import counts_not_known, counts_that_pay, pays_at, pays_for_good
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.needs import exact_need
from maker_kit.buying.proved_list import proved_list
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.errors import QuantityError

HOME = Supplier("Corner", ((None, 0),))
JUG = Pack("Corner: Soap 1 kg", "Corner", {"Soap": 10_000}, ((1, 500),))


def with_bounds(*bounds: tuple[int | None, int | None]) -> CostCurve:
    """A curve of which only bounds are known [cent]."""
    micros = [tuple(None if end is None else end * 10_000 for end in pair) for pair in bounds]
    return CostCurve(1, tuple(CurvePoint(Market((), ()), n, {}, *pair) for n, pair in enumerate(micros, 1)))


def test_a_count_pays_does_not_or_is_not_known_yet_by_its_bounds_alone() -> None:
    # at 10 a container: 5–9 pays, 25–30 of 20 does not, 20–40 of 30 is open, at least 50 of 40 does not, and none
    # covers the fifth
    curve = with_bounds((5, 9), (25, 30), (20, 40), (50, None), (None, None), (10, None), (60, 70), (80, 80))
    assert pays_at(curve, Fraction(10)) == (True, False, None, False, False, None, True, True)
    assert counts_that_pay(curve, Fraction(10)) == ((1, 1), (7, 8))
    assert counts_not_known(curve, Fraction(10)) == ((3, 3), (6, 6))
    good = pays_for_good(curve, Fraction(10))
    assert (good.earliest, good.first, good.known) == (6, 7, False)


def test_for_good_is_not_known_while_the_last_count_is_open() -> None:
    good = pays_for_good(with_bounds((5, 5), (10, 30)), Fraction(10))
    assert (good.earliest, good.first, good.known) == (1, None, False)
    never = pays_for_good(with_bounds((5, 5), (21, 30)), Fraction(10))
    assert (never.earliest, never.first, never.known) == (None, None, True)


@pytest.mark.parametrize("seed", range(6))
def test_what_is_said_of_an_open_curve_is_never_taken_back(seed: int) -> None:
    market, per_batch = workshop_market(seed, "small", ("threshold", "steps", "mixed")[seed % 3])
    truth = cost_curve(market, per_batch, 24)
    for seconds in (1e-3, 0.02, 0.1):
        band = cost_curve(market, per_batch, 24, close=False, seconds=seconds)
        for point in truth.points[::5]:
            price = Fraction(point.cost_micros, point.count * 10_000)
            for asked in (price, price * Fraction(99, 100), price * Fraction(101, 100)):
                pairs = list(zip(pays_at(band, asked), pays_at(truth, asked), strict=True))
                assert all(said is None or said == true for said, true in pairs)


# what is used up


def test_used_up_is_what_the_recipe_takes_not_what_is_rounded_up_for_buying() -> None:
    # by hand: three batches of 33.333… g of a 100 g pack at 9.00 use all of it; one uses a third, not 333.4 / 1000
    market = Market((HOME,), (Pack("Scent", "Corner", {"Scent": 1000}, ((1, 900),)),))
    curve = cost_curve(market, {"Scent": Fraction(1000, 3)}, 3)
    assert curve.used_cost_micros == (3_000_000, 6_000_000, 9_000_000)
    basket = cheapest_basket(market, {"Scent": 334})
    assert used_cost_micros(market, basket) == 3_006_000
    assert used_cost_micros(market, basket, {"Scent": Fraction(1000, 3)}) == 3_000_000


def test_where_several_lists_cost_the_same_the_curve_uses_up_what_the_list_shown_does() -> None:
    differing = 0
    for seed in range(40):
        market, need = wide_market(random.Random(seed))
        per_batch = {item: Fraction(units, 2) for item, units in need.items() if units}
        curve = cost_curve(market, per_batch, 4, settle=True)
        quick = cost_curve(market, per_batch, 4)
        for point, other in zip(curve.points, quick.points, strict=True):
            if point.impossible:
                continue
            shown = cheapest_basket(market, point.need)
            assert shown.settled
            assert point.settled
            assert dict(point.packs) == dict(shown.counts)
            assert point.used_cost_micros == used_cost_micros(market, shown, exact_need(per_batch, point.count))
            differing += dict(other.packs) != dict(shown.counts)
    assert differing  # else nothing was tried


# a list for every proved cost


def test_a_list_is_shown_where_the_order_of_ties_is_not_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    def late(*_: Any) -> None:
        msg = "the time for it was up"
        raise NotProvedError(msg)

    monkeypatch.setattr(baskets, "settle_ties", late)
    basket = cheapest_basket(Market((HOME,), (JUG,)), {"Soap": 15_000})
    assert dict(basket.counts) == {JUG.name: 2}
    assert basket.cost_micros == 10_000_000
    assert not basket.settled


def test_the_curves_list_is_shown_where_the_integer_programs_objective_is_off(monkeypatch: pytest.MonkeyPatch) -> None:
    real = highs.solve

    def off(program: highs.Program, time_limit_s: float) -> highs.Answer:
        found = real(program, time_limit_s)
        return replace(found, cost=found.cost + 1)

    monkeypatch.setattr(highs, "solve", off)
    market = Market((HOME,), (JUG,))
    with pytest.raises(NotProvedError, match="differ"):
        cheapest_basket(market, {"Soap": 15_000})
    basket = proved_list(market, {"Soap": Fraction(7_500)}, 2)
    assert dict(basket.counts) == {JUG.name: 2}
    assert basket.cost_micros == 10_000_000


def test_numbers_that_the_solver_does_not_take_are_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(highs, "solve", lambda *_: highs.Answer(highs.REFUSED))
    with pytest.raises(NotProvedError, match="does not take amounts as large"):
        cheapest_basket(Market((HOME,), (JUG,)), {"Soap": 1})


@pytest.mark.parametrize("field", ["handling_cents", "free_from_cents", "least_order_cents", "delivery"])
@pytest.mark.parametrize("cents", [10**8, 10**9, 10**10])
def test_fees_of_millions_are_worked_out_or_told_in_a_sentence(field: str, cents: int) -> None:
    value = ((1_000, cents), (None, cents)) if field == "delivery" else cents
    market = Market((replace(HOME, **{field: value}),), (JUG, replace(JUG, name="Corner: Soap 2 kg")))
    solver = CurveSolver(market)
    points = solver.close(solver.curve({"Soap": Fraction(9_000)}, 3))
    # by hand: a jug or more; goods up to a least order are bought by the jug at 5.00, free delivery is not wanted at 0
    goods = {"least_order_cents": -(-cents // 500) * 500}.get(field, 500)
    fee = {"handling_cents": cents, "delivery": cents}.get(field, 0)
    assert not any(p.impossible for p in points)
    assert points[0].lower_micros <= (goods + fee) * 10_000 <= points[0].upper_micros


@pytest.mark.parametrize("field", ["handling_cents", "free_from_cents", "least_order_cents", "delivery"])
@pytest.mark.parametrize("cents", [10**11, 10**16, 10**20])
def test_fees_beyond_that_are_refused_with_who_asks_for_them(field: str, cents: int) -> None:
    value = ((None, cents),) if field == "delivery" else cents
    market = Market((replace(HOME, **{field: value}),), (JUG,))
    for work in (lambda: CurveSolver(market), lambda: cheapest_basket(market, {"Soap": 1})):
        with pytest.raises(QuantityError, match=r"^Corner: its .* is .*; amounts are worked out up to"):
            work()
    with pytest.raises(QuantityError, match="its price is"):
        CurveSolver(Market((HOME,), (replace(JUG, prices=((1, cents),)),)))


def test_more_containers_are_not_asked_for_where_they_cannot_help() -> None:
    # two jugs in stock cost 10.00 and the least order is 20.00: no count can be bought, and a larger one still less
    market = Market((replace(HOME, least_order_cents=2000),), (replace(JUG, stock=2),))
    with pytest.raises(ImpossibleNeedError) as error:
        cheapest_basket(market, {"Soap": 5_000})
    assert "Ask for more containers" not in str(error.value)
    assert "More containers would not help" in str(error.value)
    assert "correct the stock or the least order" in str(error.value)
    for need in (10_000, 20_000):
        with pytest.raises(ImpossibleNeedError):
            cheapest_basket(market, {"Soap": need})
