"""The door to HiGHS against scipy.optimize.milp, another build of it behind another wrapper, and its manners."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace

import outside_milp
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.buying.basket import highs


@st.composite
def programs(draw: st.DrawFn) -> highs.Program:
    size = draw(st.integers(1, 5))
    whole = st.integers(-9, 9)
    rows = []
    for _ in range(draw(st.integers(1, 4))):
        terms = {k: draw(whole) for k in range(size)}
        low = draw(st.sampled_from([-math.inf, *range(-20, 21, 3)]))
        rows.append((terms, low, math.inf if math.isinf(low) else low + draw(st.integers(0, 25))))
    cost = [float(draw(st.integers(-5, 30))) for _ in range(size)]
    return highs.Program(cost, [float(draw(st.integers(0, 7))) for _ in range(size)], rows)


@settings(max_examples=60, deadline=None)
@given(programs())
def test_it_ends_as_scipys_does_with_the_same_least_cost_and_its_values_keep_every_row(program: highs.Program) -> None:
    ours, theirs = highs.solve(program, 10), outside_milp.solve(program, 10)
    assert ours.ended == theirs.ended
    if ours.ended == highs.PROVED:
        assert ours.cost == pytest.approx(theirs.cost)
        assert ours.bound == pytest.approx(ours.cost)
        values = [round(v) for v in ours.values]
        assert values == pytest.approx(ours.values)
        assert all(0 <= v <= most for v, most in zip(values, program.highest, strict=True))
        for terms, low, high in program.rows:
            assert low <= sum(v * values[k] for k, v in terms.items()) <= high
        assert sum(c * v for c, v in zip(program.cost, values, strict=True)) == pytest.approx(ours.cost)


@settings(max_examples=60, deadline=None)
@given(programs(), st.integers(-3, 3))
def test_where_nothing_dearer_is_looked_for_the_least_cost_is_the_same_or_there_is_none(
    program: highs.Program, off: int
) -> None:
    free = outside_milp.solve(program, 10)
    at_most = off if free.ended == highs.IMPOSSIBLE else round(free.cost) + off
    ours = highs.solve(replace(program, at_most=at_most + 0.5), 10)
    if free.ended == highs.IMPOSSIBLE or off < 0:
        # below the least cost none is there to be found, though the solver may tell one that costs more
        assert ours.ended == highs.IMPOSSIBLE or (ours.ended == free.ended and ours.cost > at_most + 0.5)
    else:
        assert ours.ended == free.ended
        assert ours.cost == pytest.approx(free.cost)
        assert ours.bound == pytest.approx(free.cost)


def test_numbers_beyond_any_float_or_the_solver_are_refused() -> None:
    for huge in (10**400, 10**16):
        assert highs.solve(highs.Program([1.0], [9], [({0: huge}, huge, math.inf)]), 10).ended == highs.REFUSED


def test_no_time_is_time_up() -> None:
    weights = [91, 87, 83, 79, 77, 73, 71, 69, 67, 61]
    rows = [({k: w + k * row for k, w in enumerate(weights)}, 997 + row, math.inf) for row in range(6)]
    program = highs.Program([w + 3.0 for w in weights], [9.0] * len(weights), rows)
    assert highs.solve(program, 1e-9).ended == highs.TIME_UP


def test_it_prints_nothing_and_brings_no_scipy() -> None:
    words = (
        "import sys; from maker_kit.buying.basket import highs;"
        "a = highs.solve(highs.Program([2.0], [9], [({0: 3}, 7, float('inf'))]), 10);"
        "assert (a.ended, a.values, a.cost) == ('proved', (3.0,), 6.0), a;"
        "assert 'scipy' not in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", words], check=False, capture_output=True, text=True)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
