"""Bounds by the modes of the suppliers alone, against enumeration, scipy's linear programs and the exact search."""

from __future__ import annotations

import numpy as np
import pytest
from generated_markets import workshop_market
from hypothesis import given, settings
from hypothesis import strategies as st
from nasty_markets import Truth, nasty, truth
from scipy.optimize import linprog

from maker_kit.buying.basket.highs import Program
from maker_kit.buying.curve import mode_tree, search
from maker_kit.buying.curve import solver as solvers
from maker_kit.buying.curve.linear import Linear
from maker_kit.buying.curve.mode_tree import NEAR, ModeTree
from maker_kit.buying.curve.prices import Prices
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.needs import need_of

SET_LEFT_OUT, SET_WITH_A_KIT = 150392, 150465
"""Markets in which an item is cheapest from one supplier and as cheap, but lighter there, from two; the second with a
kit. A set of suppliers that saved nothing was left out, and the bound lay above the cheapest basket."""


def linear_programs() -> st.SearchStrategy[Program]:
    value = st.integers(-4, 9).map(float)
    row = st.tuples(
        st.dictionaries(st.integers(0, 3), value, min_size=1, max_size=4),
        st.sampled_from((-np.inf, 0.0, 1.0, 5.0)),
        st.sampled_from((6.0, 20.0, np.inf)),
    )
    four = st.tuples(value, value, value, value)
    return st.builds(Program, four, st.just((3.0, 1.0, 7.0, 2.0)), st.lists(row, min_size=1, max_size=5))


@given(linear_programs())
@settings(max_examples=15, deadline=None)
def test_a_linear_programs_bound_is_its_least_cost_and_never_above_it(program: Program) -> None:
    matrix = np.array([[terms.get(k, 0.0) for k in range(4)] for terms, *_ in program.rows])
    low, high = np.array([ends for _, *ends in program.rows]).T
    sides = np.concatenate([matrix, -matrix]), np.concatenate([high, -low])
    some = np.isfinite(sides[1])
    true = linprog(program.cost, sides[0][some], sides[1][some], bounds=[(0, most) for most in program.highest])
    found = Linear(program).least()
    if true.status == 2:
        assert found is None
    else:
        assert found is not None
        assert true.fun - 1e-6 <= found.bound <= true.fun + 1e-9


@pytest.mark.parametrize("seed", [SET_LEFT_OUT, SET_WITH_A_KIT, *range(40, 50)])
def test_no_bound_lies_above_the_cheapest_basket_and_every_basket_costs_what_is_said(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mode_tree, "NEAR", 0.0)
    made = nasty(seed)
    for count in range(1, made.upto + 1):
        need = {item: units for item, units in need_of(made.per_batch, count).items() if units}
        true = truth(made.market, need)
        cache = CurveSolver(made.market)._cache_for({i: np.array([units]) for i, units in need.items()}, lambda: False)
        if isinstance(true, Truth) and cache:
            needs = [np.array([need[item]]) for item in cache.book.items]
            tree = ModeTree(Prices(cache, needs, lambda: None), needs, made.market)
            for above in (0, true.cost_micros // 7 + 100):
                found = tree.bounds(0, need, true.cost_micros + above, lambda: False)
                assert found.lower <= true.cost_micros <= found.upper
                assert found.lower > 0 or not true.cost_micros
                if found.counts is not None:
                    assert found.upper < true.cost_micros + above


def test_where_there_are_too_many_ways_to_charge_counts_are_brought_near_without_an_integer_program(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    market, per_batch = workshop_market(4, "small", "mixed")
    exact = CurveSolver(market).curve(per_batch, 12)
    assert all(point.proved for point in exact)
    monkeypatch.setattr(search, "MOST_LISTED", 1)
    monkeypatch.setattr(solvers, "_solved", lambda points, *_, **__: points)
    solver = CurveSolver(market)
    rough = solver.curve(per_batch, 12)
    near = solver.close(rough)
    far, apart = ([1 - p.lower_micros / p.upper_micros for p in points] for points in (rough, near))
    assert max(far) > 4 * NEAR
    assert sum(apart) < sum(far) / 5
    for point, true in zip(near, exact, strict=True):
        assert point.lower_micros <= true.cost_micros <= point.upper_micros
        assert point.basket.cost_micros == point.upper_micros
