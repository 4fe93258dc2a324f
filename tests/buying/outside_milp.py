"""The integer programs of `maker_kit.buying.basket.highs`, given to scipy.optimize.milp: the check from outside."""

from __future__ import annotations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from maker_kit.buying.basket import highs

ENDED = {0: highs.PROVED, 1: highs.TIME_UP, 2: highs.IMPOSSIBLE}
"""By scipy's number of how it ended."""


def solve(program: highs.Program, time_limit_s: float, *, presolve: bool = False) -> highs.Answer:
    """What scipy says of a program."""
    size = len(program.cost)
    at = [(v, row, k) for row, (terms, _, _) in enumerate(program.rows) for k, v in terms.items() if v]
    values, rows, columns = np.array(at, dtype=float).reshape(-1, 3).T
    matrix = csc_array((values, (rows.astype(int), columns.astype(int))), shape=(len(program.rows), size))
    rules = LinearConstraint(matrix, [low for _, low, _ in program.rows], [high for *_, high in program.rows])
    limits = {"mip_rel_gap": 0.0, "time_limit": time_limit_s, "presolve": presolve}
    bounds = Bounds(np.zeros(size), program.highest)
    found = milp(program.cost, integrality=np.ones(size), bounds=bounds, constraints=rules, options=limits)
    if found.status != 0:
        return highs.Answer(ENDED.get(found.status, highs.NO_ANSWER))
    return highs.Answer(highs.PROVED, tuple(found.x), found.fun, found.mip_dual_bound)
