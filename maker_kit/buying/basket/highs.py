"""The one place that asks HiGHS: least cost of an integer program, with the bound that proves it.

HiGHS (Huangfu and Hall, "Parallelizing the dual revised simplex method", Math. Program. Comput. 10 (2018) 119–142) by
its own Python package: scipy holds it too, and `scipy.optimize.milp` is what the tests hold it against, but its import
takes forty times as long.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

PROVED, TIME_UP, IMPOSSIBLE, NO_ANSWER, REFUSED = "proved", "time is up", "impossible", "no answer", "refused"
"""How an integer program may end; refused are numbers that the solver does not take."""

OPTIONS = {
    "output_flag": False,
    "presolve": "off",  # programs this small are solved before they are simplified
    "mip_rel_gap": 0.0,  # the default would call a basket best that is one part in ten thousand dearer
    "mip_heuristic_run_feasibility_jump": False,  # a third of the time of a small program, and it proves nothing
    "parallel": "off",  # the same answer on every machine
    "threads": 1,
}


@dataclass(frozen=True)
class Program:
    """An integer program: least ``cost · x`` where every row lies between its ends, x whole and from 0 to `highest`.

    Attributes
    ----------
    cost : sequence of float
        One a column.
    highest : sequence of float
        Largest value of every column.
    rows : sequence of (dict of int to int, float, float)
        Column to coefficient, and the least and the most that they add up to.
    at_most : float
        Nothing that costs more is looked for (HiGHS's own `objective_bound`, from which its search starts as from a
        solution of that cost); where nothing costs so little, it may end as `IMPOSSIBLE`.
    """

    cost: Sequence[float]
    highest: Sequence[float]
    rows: Sequence[tuple[dict[int, int], float, float]]
    at_most: float = math.inf


@dataclass(frozen=True)
class Answer:
    """What the solver said.

    Attributes
    ----------
    ended : str
        `PROVED`, `TIME_UP`, `IMPOSSIBLE`, `NO_ANSWER` or `REFUSED`.
    values : tuple of float
        The columns; empty unless proved.
    cost, bound : float
        The least cost and the largest bound below it, as the solver says; not a number unless proved. Where the time
        was up, the bound is what was proved until then.
    """

    ended: str
    values: tuple[float, ...] = ()
    cost: float = float("nan")
    bound: float = float("nan")


def solve(program: Program, time_limit_s: float) -> Answer:
    """Solve an integer program to a gap of nothing.

    Parameters
    ----------
    program : Program
    time_limit_s : float
        Most time for it [s]; may be infinite.

    Returns
    -------
    Answer
        The same for the same program, unless the time was up.
    """
    import highspy

    solver, ok = _quiet()(), highspy.HighsStatus
    for name, value in {
        **OPTIONS,
        "time_limit": float(time_limit_s),
        "objective_bound": float(program.at_most),
    }.items():
        solver.setOptionValue(name, value)
    try:
        model = _model(program)
    except OverflowError:  # of whole numbers that no float holds
        return Answer(REFUSED)
    if solver.passModel(model) == ok.kError:
        return Answer(REFUSED)
    if solver.run() == ok.kError:
        return Answer(NO_ANSWER)
    kinds = highspy.HighsModelStatus
    ended = {kinds.kOptimal: PROVED, kinds.kTimeLimit: TIME_UP, kinds.kInfeasible: IMPOSSIBLE}.get(
        solver.getModelStatus(), NO_ANSWER
    )
    found = solver.getInfo()
    if ended != PROVED:
        return Answer(ended, bound=found.mip_dual_bound if ended == TIME_UP else float("nan"))
    values = tuple(solver.getSolution().col_value)
    return Answer(PROVED, values, found.objective_function_value, found.mip_dual_bound)


def _model(program: Program) -> Any:
    """The program as HiGHS takes it: column by column."""
    import highspy

    lp, size = highspy.HighsLp(), len(program.cost)
    columns: list[list[tuple[int, float]]] = [[] for _ in range(size)]
    for row, (terms, _, _) in enumerate(program.rows):
        for k, value in terms.items():
            if value:
                columns[k].append((row, float(value)))
    starts = [0]
    for column in columns:
        starts.append(starts[-1] + len(column))
    lp.num_col_, lp.num_row_ = size, len(program.rows)
    lp.col_cost_, lp.col_lower_ = list(map(float, program.cost)), [0.0] * size
    lp.col_upper_ = list(map(float, program.highest))
    lp.row_lower_ = [float(low) for _, low, _ in program.rows]
    lp.row_upper_ = [float(high) for *_, high in program.rows]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * size
    matrix = lp.a_matrix_
    matrix.format_, matrix.num_col_, matrix.num_row_ = highspy.MatrixFormat.kColwise, size, len(program.rows)
    matrix.start_, matrix.index_ = starts, [row for column in columns for row, _ in column]
    matrix.value_ = [value for column in columns for _, value in column]
    return lp


@functools.cache
def _quiet() -> type:
    """A solver without callbacks: to switch them on prints a line of its own before it can be told to keep quiet."""
    import highspy

    class Quiet(highspy.Highs):
        def enableCallbacks(self) -> None:  # noqa: N802, the name is the package's
            pass

    return Quiet
