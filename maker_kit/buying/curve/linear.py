"""A linear program kept between changes, with bounds that hold whatever the solver's errors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from maker_kit.buying.basket.highs import OPTIONS, Program, model_of, quiet
from maker_kit.buying.curve.catalogue import Array

Rows = Sequence[tuple[dict[int, float], float, float]]
"""As in `Program`."""


class Least(NamedTuple):
    """What the solver found.

    Attributes
    ----------
    bound : float
        The cost is not below it.
    values, duals : numpy.ndarray of float
        The columns, and the prices of the rows.
    """

    bound: float
    values: Array
    duals: Array
    basis: object = None


class Linear:
    """A linear program that is solved again and again with other ends and with more rows, from where it ended last.

    Parameters
    ----------
    program : Program
        Every column has a finite `highest`; none is whole here.
    """

    def __init__(self, program: Program) -> None:
        self._solver = quiet()()
        for name, value in OPTIONS.items():
            self._solver.setOptionValue(name, value)
        model = model_of(program)
        model.integrality_ = []
        self._solver.passModel(model)
        self.cost, self.high = np.array(program.cost, float), np.array(program.highest, float)
        self._ends = np.array([ends for _, *ends in program.rows], float).reshape(-1, 2)
        self._cells = np.zeros((3, 0))
        self._keep(program.rows, 0)

    def _keep(self, rows: Rows, first: int) -> None:
        cells = [(k, column, value) for k, (terms, *_) in enumerate(rows, first) for column, value in terms.items()]
        self._cells = np.concatenate([self._cells, np.array(cells, float).reshape(-1, 3).T], axis=1)

    def add(self, rows: Rows) -> None:
        """Put in more rows."""
        self._keep(rows, len(self._ends))
        self._ends = np.concatenate([self._ends, np.array([ends for _, *ends in rows], float).reshape(-1, 2)])
        for terms, low, high in rows:
            self._solver.addRow(low, high, len(terms), np.array([*terms], np.int32), np.array([*terms.values()], float))

    def least(self, highest: Mapping[int, float], lowest_of_row: Mapping[int, float], basis=None) -> Least | None:
        """The least cost with other largest values of some columns and other least sums of some rows, which stay.

        Returns
        -------
        Least or None
            None where nothing keeps all rows.
        """
        import highspy

        for column, value in highest.items():
            self.high[column] = value
        for row, value in lowest_of_row.items():
            self._ends[row, 0] = value
            self._solver.changeRowBounds(row, *self._ends[row].tolist())
        columns = np.array([*highest], np.int32)
        self._solver.changeColsBounds(len(columns), columns, np.zeros(len(columns)), self.high[columns])
        if basis is not None:
            self._solver.setBasis(basis)
        self._solver.run()
        ended, kinds = self._solver.getModelStatus(), highspy.HighsModelStatus
        if ended == kinds.kInfeasible:
            return None
        found = self._solver.getSolution()
        duals = np.array(found.row_dual) if ended == kinds.kOptimal else np.zeros(len(self._ends))
        values = np.array(found.col_value) if ended == kinds.kOptimal else np.zeros(len(self.high))
        return Least(self._safe(duals), values, duals, self._solver.getBasis() if ended == kinds.kOptimal else None)

    def _safe(self, duals: Array) -> float:
        """What the cost is not below, whatever the solver's errors: any duals give a bound, once each column takes the
        end that its reduced cost likes best (Neumaier and Shcherbina, Math. Program. 99 (2004) 283–296).
        """
        duals = np.where(np.isfinite(np.where(duals > 0, *self._ends.T)), duals, 0.0)
        rows, columns = self._cells[:2].astype(int)
        each = self._cells[2] * duals[rows]
        ends = np.where(duals > 0, *self._ends.T)
        paid = duals * np.where(duals == 0, 0.0, ends)
        reduced = self.cost - np.bincount(columns, each, len(self.cost))
        size = np.abs(paid).sum() + ((np.abs(self.cost) + np.bincount(columns, np.abs(each), len(self.cost))) @ self.high)
        return float(paid.sum() + np.minimum(reduced, 0.0) @ self.high - 1e-13 * size)
