"""Work that is called off ends within a fifth of a second, wherever it is; time that is up is said."""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from curves import open_counts, told
from generated_markets import workshop_market

from maker_kit.buying.basket import highs
from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.costing import cost_curve
from maker_kit.buying.curve import solver as solvers
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.proved_list import proved_list
from maker_kit.buying.stopping import callable_off, time_for
from maker_kit.errors import BasketError, QuantityError

SOON_S, TRIES = 0.2, 4
"""A fifth of a second [s]; the best of so many tries counts, as other programs may hold the machine up."""


def lateness_s(work: Callable[[Off], None], after_s: float) -> float:
    """How long after it was called off some work ended [s], at the best."""
    found = []
    for _ in range(TRIES):
        off = Off(after_s)
        work(off)
        found.append(off.late_s())
        if found[-1] < SOON_S:
            break
    return min(found)


class Off:
    """Calls off after so long, and knows when it was first asked for."""

    def __init__(self, after_s: float) -> None:
        self.at = time.monotonic() + after_s

    def __call__(self) -> bool:
        return time.monotonic() > self.at

    def late_s(self) -> float:
        return time.monotonic() - self.at


def many_sellers() -> Market:
    """Nine suppliers: too many for the search of whole curves, so that every count is left to the integer program."""
    return Market(
        tuple(Supplier(f"S{k}", ((None, 100 + k),)) for k in range(9)),
        tuple(Pack(f"p{k}", f"S{k}", {"Soap": 1000 + k}, ((1, 300 + k),)) for k in range(9)),
    )


def ten_thousand_packs() -> tuple[Market, dict[str, Fraction]]:
    rng = random.Random(1)
    packs = tuple(
        Pack(
            f"pack {k}",
            f"S{rng.randrange(4)}",
            {f"item {k % 500}": rng.choice((1000, 2500, 5000, 10_000))},
            ((1, rng.randint(100, 3000)),),
            1100,
        )
        for k in range(10_000)
    )
    sellers = tuple(Supplier(f"S{k}", ((None, 590),), free_from_cents=7500) for k in range(4))
    return Market(sellers, packs), {f"item {k}": Fraction(rng.randint(100, 3000)) for k in range(500)}


@pytest.fixture
def slow_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    """An integer program that takes its time, and cannot be interrupted."""
    real = highs.solve

    def slow(*args: Any, **given: Any) -> Any:
        time.sleep(0.8)
        return real(*args, **given)

    monkeypatch.setattr(highs, "solve", slow)


@pytest.mark.parametrize("after_s", [0.1, 0.5, 1.1])
def test_closing_is_called_off_within_a_fifth_of_a_second_in_the_midst_of_a_count(
    slow_solver: None, after_s: float
) -> None:
    solver = CurveSolver(many_sellers())
    points = solver.curve({"Soap": Fraction(700)}, 6)

    def work(off: Off) -> None:
        found = solver.close(points, cancelled=off)
        assert len(found) == 6
        assert open_counts(found)
        lower, upper = told(found, "lower_micros"), told(found, "upper_micros")
        assert all(high is None or low <= high for low, high in zip(lower, upper, strict=True))

    assert 0 <= lateness_s(work, after_s) < SOON_S


@pytest.mark.parametrize("after_s", [0.05, 0.6, 2.0])
def test_a_curve_of_ten_thousand_packs_is_called_off_within_a_fifth_of_a_second(after_s: float) -> None:
    market, per_batch = ten_thousand_packs()

    def work(off: Off) -> None:
        assert len(cost_curve(market, per_batch, 30, cancelled=off).points) == 30

    assert 0 <= lateness_s(work, after_s) < SOON_S


def test_one_list_is_called_off_within_a_fifth_of_a_second(slow_solver: None) -> None:
    def work(off: Off) -> None:
        with pytest.raises(BasketError, match="called off"):
            proved_list(many_sellers(), {"Soap": Fraction(700)}, 3, cancelled=off)

    assert 0 <= lateness_s(work, 0.3) < SOON_S


def test_all_closing_shares_one_time_and_what_is_left_says_so(slow_solver: None) -> None:
    solver = CurveSolver(many_sellers())
    points = solver.curve({"Soap": Fraction(700)}, 40)
    start = time.monotonic()
    found = solver.close(points, first=(17,), seconds=1.2)
    assert time.monotonic() - start < 4  # the solver here cannot be hurried, and forty counts would take half a minute
    assert found[16].proved
    left = [point for point in found if not point.proved]
    assert left
    assert all(point.late and "time was up" in point.why and "fewer counts" in point.why for point in left)
    assert not any(point.late for point in found if point.proved)


def test_a_count_whose_time_was_up_keeps_the_bound_that_was_reached(monkeypatch: pytest.MonkeyPatch) -> None:
    market, per_batch = workshop_market(3, "small", "threshold")
    truth = cost_curve(market, per_batch, 6).cost_micros
    real, units = highs.solve, []

    def late(program: highs.Program, time_limit_s: float) -> highs.Answer:
        units.append(truth[3] // round(real(program, math.inf).cost))
        return highs.Answer(highs.TIME_UP, bound=truth[3] / units[-1] - 7.3)

    monkeypatch.setattr(highs, "solve", late)
    monkeypatch.setattr(solvers, "_open", lambda points: [points[3]])
    solver = CurveSolver(market)
    begun = solver.curve(per_batch, 6, seconds=1e-9)
    found = solver.close(begun)
    unit = units[0]
    assert begun[3].lower_micros < truth[3] - 7 * unit
    assert found[3].lower_micros == truth[3] - 7 * unit  # the least whole number of units that is not below the bound
    assert found[2] == begun[2]
    assert all(p.lower_micros >= truth[3] - 7 * unit and not p.proved for p in found[3:])
    assert all(p.lower_micros <= cost <= p.upper_micros for p, cost in zip(found, truth, strict=True))


def test_counts_that_are_open_share_what_is_left_of_the_time(monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[tuple[int, float]] = []

    def late(points: Any, count: int, *, time_limit_s: float, **_: Any) -> Any:
        given.append((count, time_limit_s))
        return points

    monkeypatch.setattr(solvers, "_solved", late)
    points = CurveSolver(many_sellers()).curve({"Soap": Fraction(700)}, 40)
    solver = CurveSolver(many_sellers())
    solver.close(points, first=(17,), seconds=1000)
    assert given[0] == (17, 60)  # the one looked at takes what one may
    assert {limit for _, limit in given[1:40]} == {2}  # the others a short turn each
    assert sorted(given[40:]) == [(n, 60) for n in range(1, 41)]  # and another with what is left
    given.clear()
    near = [replace(p, lower_micros=960, upper_micros=1000) if p.count > 30 else p for p in points]
    solver.close(tuple(near), seconds=1000)
    assert sorted(count for count, limit in given if limit == 2) == [*range(1, 31)]  # not what is known well
    assert len(given) == 30 + 40
    given.clear()
    solver.close(points, first=(17,), seconds=39)
    assert [limit for _, limit in given[:3]] == pytest.approx([39, 39 / 40, 39 / 40], rel=0.01)  # 40 are open
    given.clear()
    solver.close(points)
    assert sorted(given) == [(n, 60) for n in range(1, 41)]


def test_what_is_seen_on_the_way_never_knows_less_than_before() -> None:
    market, per_batch = workshop_market(2, "small", "mixed")
    seen: list[Any] = []
    curve = cost_curve(market, per_batch, 12, seconds=1e-3, seen=seen.append)
    assert curve.open_counts == ()
    for one, other in zip(seen, [*seen[1:], curve], strict=True):
        for a, b in zip(one.points, other.points, strict=True):
            assert a.lower_micros <= b.lower_micros
            assert a.upper_micros is None or b.upper_micros <= a.upper_micros


def test_a_curve_goes_on_from_what_was_known(monkeypatch: pytest.MonkeyPatch) -> None:
    market, per_batch = workshop_market(2, "small", "threshold")
    whole = cost_curve(market, per_batch, 10)
    begun = cost_curve(market, per_batch, 10, close=False, seconds=1e-3)

    def never(*_: Any, **__: Any) -> None:
        msg = "all counts were searched again"
        raise AssertionError(msg)

    monkeypatch.setattr(CurveSolver, "curve", never)
    basket = cheapest_basket(market, begun.points[6].need)
    found = cost_curve(market, per_batch, 10, start=begun, known=((7, basket),))
    assert found.cost_micros == whole.cost_micros


def test_a_fault_of_the_work_reaches_whoever_asked_for_it() -> None:
    def work(asked: Callable[[], bool]) -> None:
        msg = "it failed"
        raise BasketError(msg)

    for cancelled in (None, lambda: False):
        with pytest.raises(BasketError, match="it failed"):
            callable_off(work, cancelled, lambda: None)


def test_a_time_is_above_zero() -> None:
    for seconds in (0, -1, float("nan")):
        with pytest.raises(QuantityError, match="above 0"):
            time_for(seconds)
    given = time_for(30)
    assert 29 < given.left_s <= 30
    assert not given.up()
