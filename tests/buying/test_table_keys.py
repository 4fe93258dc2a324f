"""A kept table is never taken for another: the first curve of a fresh process is the same as every later one."""

from __future__ import annotations

import subprocess
import sys

CODE = """
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.plan import curve_view, make_plan
from maker_kit.workshop import find_workshop
plan = make_plan(find_workshop(""), "r1b-hand-wash")
first = [curve_view(plan, n).curve.cost_micros for n in (8, 24)]
later = [curve_view(plan, n, solver=CurveSolver(plan.market)).curve.cost_micros for n in (8, 24)]
assert first == later, (first, later)
"""


def test_the_first_curve_of_a_process_is_that_of_any_other() -> None:
    """Numbers of tables begin at 0 in a new process, like those of items: a key of both kinds once took one for the
    other.
    """
    done = subprocess.run([sys.executable, "-c", CODE], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-800:]
