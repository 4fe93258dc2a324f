"""A linear program that is kept between changes, with bounds that hold whatever the solver's errors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from maker_kit.buying.basket.highs import OPTIONS, Program, model_of, quiet
from maker_kit.buying.curve.catalogue import Array

Rows = Sequence[tuple[dict[int, float], float, float]]
"""As in `Program`."""


@dataclass(frozen=True)
class Least:
    """What the solver found.

    Attributes
    ----------
    bound : float
        The cost is not below it.
    values, duals : numpy.ndarray of float
        The columns, and the prices of the rows.
    basis : object
        Where the solver ended, to begin from.
    """

    bound: float
    values: Array
    duals: Array
    basis: Any = None


class Linear:
    """A linear program that is solved again and again, with other ends and with more rows.

    Parameters
    ----------
    program : Program
        Every column has a finite `highest`.
    """

    def __init__(self, program: Program) -> None:
        self._solver = quiet()()
        for name, value in OPTIONS.items():
            self._solver.setOptionValue(name, value)
        model = model_of(program)
        model.integrality_ = []
        self._solver.passModel(model)
        self._cost, self._high = np.array(program.cost, float), np.array(program.highest, float)
        self._ends, self._cells = np.zeros((0, 2)), np.zeros((3, 0))
        self._keep(program.rows)

    def _keep(self, rows: Rows) -> None:
        first = len(self._ends)
        cells = [(k, column, value) for k, (terms, *_) in enumerate(rows, first) for column, value in terms.items()]
        self._cells = np.concatenate([self._cells, np.array(cells, float).reshape(-1, 3).T], axis=1)
        self._ends = np.concatenate([self._ends, np.array([ends for _, *ends in rows], float).reshape(-1, 2)])

    def add(self, rows: Rows) -> None:
        """Put in more rows."""
        self._keep(rows)
        for terms, low, high in rows:
            columns, values = np.array([*terms], np.int32), np.array([*terms.values()], float)
            self._solver.addRow(low, high, len(terms), columns, values)

    def limit(self, highest: Mapping[int, float], lowest: Mapping[int, float]) -> None:
        """Give some columns other largest values, and some rows other least sums."""
        columns = np.array([*highest], np.int32)
        self._high[columns] = [*highest.values()]
        self._solver.changeColsBounds(len(columns), columns, np.zeros(len(columns)), self._high[columns])
        for row, low in lowest.items():
            self._ends[row, 0] = low
            self._solver.changeRowBounds(row, *self._ends[row].tolist())

    def least(self, basis: Any = None) -> Least | None:
        """The least cost; None where nothing keeps all rows."""
        import highspy

        if basis is not None:
            self._solver.setBasis(basis)
        self._solver.run()
        ended, kinds = self._solver.getModelStatus(), highspy.HighsModelStatus
        if ended == kinds.kInfeasible:
            return None
        if ended != kinds.kOptimal:
            return Least(0.0, np.zeros(len(self._cost)), np.zeros(len(self._ends)))
        found = self._solver.getSolution()
        duals = np.array(found.row_dual)
        return Least(self._safe(duals), np.array(found.col_value), duals, self._solver.getBasis())

    def _safe(self, duals: Array) -> float:
        """What the cost is not below: any duals give a bound, where each column takes the end that its reduced cost
        likes best (Neumaier and Shcherbina, Math. Program. 99 (2004) 283–296), less what the sums may be off.
        """
        ends = np.where(duals > 0, *self._ends.T)
        known = np.isfinite(ends)
        duals, ends = np.where(known, duals, 0.0), np.where(known, ends, 0.0)
        columns, size = self._cells[1].astype(int), len(self._cost)
        each = self._cells[2] * duals[self._cells[0].astype(int)]
        reduced = self._cost - np.bincount(columns, each, size)
        large = np.abs(duals * ends).sum()
        large += (np.abs(self._cost) + np.bincount(columns, np.abs(each), size)) @ self._high
        return float(duals @ ends + np.minimum(reduced, 0.0) @ self._high - 1e-13 * large)
