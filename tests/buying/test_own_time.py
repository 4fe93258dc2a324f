"""Own time in every count's cost, the counts that pay and the floor price: sums done by hand beside the program's."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.buying.costing import CostCurve
from maker_kit.buying.counts_that_pay import counts_that_pay
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.own_time import after_own_time, own_time_micros, pays_with_own_time, with_own_time
from maker_kit.errors import QuantityError

EUR = 1_000_000
"""Ten-thousandths of a cent in a euro."""


def curve(*costs_eur: str | None, size: int = 1) -> CostCurve:
    """A curve with these costs for 1, 2, 3 … batches; None where a count is open."""
    points = []
    for n, cost in enumerate(costs_eur, start=1):
        whole = None if cost is None else int(Fraction(cost) * EUR)
        points.append(CurvePoint(None, n, {}, whole or 0, whole))
    return CostCurve(size, tuple(points))


def test_half_an_hour_at_twelve_an_hour_is_six_a_batch() -> None:
    # by hand: 30 min · 12.00 / 60 min = 6.00
    assert own_time_micros(30, 1200) == 6 * EUR
    # by hand: 50 min · 7.00 / 60 min = 5.8333… = 35/6, kept exactly
    assert own_time_micros(50, 700) == Fraction(35, 6) * EUR


@pytest.mark.parametrize(("minutes", "rate"), [(0, 1200), (30, 0), (0, 0)])
def test_it_is_not_counted_until_both_are_given(minutes: int, rate: int) -> None:
    assert own_time_micros(minutes, rate) == 0


@pytest.mark.parametrize(("minutes", "rate"), [(-1, 1200), (30, -1), (float("nan"), 1200)])
def test_less_than_nothing_is_refused(minutes: float, rate: float) -> None:
    with pytest.raises(QuantityError):
        own_time_micros(minutes, rate)


def test_every_count_gets_its_own_time_and_what_is_open_stays_open() -> None:
    # by hand: 10 + 6, 16 + 12, open, 21 + 24
    found = with_own_time(curve("10", "16", None, "21").cost_micros, 6 * EUR)
    assert found == (16 * EUR, 28 * EUR, None, 45 * EUR)


def test_the_counts_that_pay_are_those_of_the_cost_with_own_time() -> None:
    costs = curve("10", "12", "18", "20", "31")
    # by hand against 7.00 a container: 10 > 7, 12 <= 14, 18 <= 21, 20 <= 28, 31 <= 35
    assert pays_with_own_time(costs, Fraction(700), 0) == ((2, 5),)
    # with 1.00 a batch: 11 > 7, 14 <= 14, 21 <= 21, 24 <= 28, 36 > 35
    assert pays_with_own_time(costs, Fraction(700), 1 * EUR) == ((2, 4),)
    # and with 1.01 a batch: 14.02 > 14, 21.03 > 21, 24.04 <= 28, 36.05 > 35
    assert pays_with_own_time(costs, Fraction(700), Fraction(101, 100) * EUR) == ((4, 4),)
    # worth more than the shop asks: never
    assert pays_with_own_time(costs, Fraction(700), 8 * EUR) == ()


def test_a_batch_of_several_shares_its_own_time() -> None:
    # by hand: 6.00 a batch of 4 is 1.50 a container, of 7.00 in the shop 5.50 are left
    assert after_own_time(Fraction(700), 6 * EUR, 4) == 550


@given(
    st.lists(st.integers(0, 90).map(str), min_size=1, max_size=8),
    st.integers(1, 5),
    st.fractions(0, 20),
    st.fractions(0, 2000),
)
def test_it_is_as_if_every_cost_had_been_paid(
    costs: list[str], size: int, own_eur: Fraction, price_cents: Fraction
) -> None:
    own = own_eur * EUR
    one_by_one = {
        n
        for n, cost in enumerate(costs, start=1)
        if Fraction(cost) * EUR + own * n <= price_cents * 10_000 * size * n  # paid and own time against as much bought
    }
    runs = pays_with_own_time(curve(*costs, size=size), price_cents, own)
    assert {n for a, b in runs for n in range(a, b + 1)} == one_by_one
    without = counts_that_pay(curve(*costs, size=size), price_cents)
    assert one_by_one <= {n for a, b in without for n in range(a, b + 1)}  # own time never makes a count pay
