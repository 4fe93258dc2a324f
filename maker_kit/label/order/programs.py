"""Sums that trade against each other along the list: linear programs (HiGHS) over the places of the 1 % line.

A place fits when all strict rules can be kept with a common slack above 0. A bound starts at the place whose closed
form without sums is widest, and stops when no other place's is wider than what was found; every solution is a
composition that fits, and improves all names at once. Accurate to about 1e-9 [%].
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from maker_kit.label.order.chain import Chain, ends_at
from maker_kit.label.order.figures import Figures
from maker_kit.label.order.groups import PlaceSum

STRICT = 1e-7
"""Least slack [%] at which strict rules count as kept."""
SAME = 1e-9
"""Bounds nearer than this [%] are one."""
FRACTIONS = 100_000
"""Largest denominator in which a bound is looked for."""


@dataclass(frozen=True)
class Programmed:
    """Bounds that linear programs gave.

    Attributes
    ----------
    places : tuple of int
        Places of the line that fit.
    least, most : tuple of (Fraction, bool)
        In percent, and whether it is reached.
    """

    places: tuple[int, ...]
    least: tuple[tuple[Fraction, bool], ...]
    most: tuple[tuple[Fraction, bool], ...]


class _Program:
    """The rules of one list as rows; the last column is the common slack of the strict ones."""

    def __init__(self, figures: Figures, sums: Sequence[PlaceSum]) -> None:
        self.figures, self.n, self.m = figures, len(figures.caps), figures.chain
        self.low = np.array([float(figures.settled(f)[0]) for f in figures.floors])
        self.high = np.array([float(figures.settled(c)[0]) for c in figures.caps])
        self.hair = np.array([not figures.settled(f)[1] for f in figures.floors])
        self._kept: dict[int, tuple[Any, np.ndarray]] = {}
        self.sums = [(sorted(s.places), *(float(figures.settled(e)[0]) for e in (s.least, s.most))) for s in sums]

    def rows(self, k: int) -> Iterator[tuple[np.ndarray, float]]:
        """Rows ``a · x ≤ b`` for the line after name k."""
        f = self.figures
        for j in range(k - 1):
            yield self._row({j + 1: 1, j: -1}), 0.0
        if k and not f.descending:
            yield self._row({k - 1: -1}, slack=not f.settled(f.above)[1]), -1.0
        for j in range(k, self.m):
            yield self._row({j: 1}, slack=not f.settled(f.under)[1]), 1.0
        for j in np.flatnonzero(self.hair):
            yield self._row({j: -1}, slack=True), 0.0
        for places, least, most in self.sums:
            yield self._row(dict.fromkeys(places, -1)), -least
            yield self._row(dict.fromkeys(places, 1)), most

    def _row(self, parts: dict[int, int], *, slack: bool = False) -> np.ndarray:
        row = np.zeros(self.n + 1)
        for j, sign in parts.items():
            row[j] = sign
        row[-1] = float(slack)
        return row

    def _place(self, k: int) -> tuple[Any, np.ndarray]:
        if k not in self._kept:
            matrix, right = zip(*self.rows(k), strict=True)
            from scipy.sparse import csr_matrix

            self._kept[k] = csr_matrix(np.array(matrix)), np.array(right)
        return self._kept[k]

    def solve(
        self, k: int, aim: np.ndarray, most_slack: float, fixed: tuple[int, float] | None = None
    ) -> np.ndarray | None:
        """The composition (and slack) with the least ``aim · x`` for one place; None where there is none."""
        matrix, right = self._place(k)
        low, high = self.low.copy(), self.high.copy()
        if fixed:
            low[fixed[0]] = high[fixed[0]] = fixed[1]
        whole = np.append(np.ones(self.n), 0.0)
        from scipy.optimize import linprog
        from scipy.sparse import csr_matrix

        found = linprog(
            aim,
            A_ub=matrix,
            b_ub=right,
            A_eq=csr_matrix(whole[None, :]),
            b_eq=[100.0],
            bounds=np.column_stack([np.append(low, 0.0), np.append(high, most_slack)]),
            method="highs",
        )
        return found.x if found.status == 0 else None

    def slack(self, k: int, fixed: tuple[int, float] | None = None) -> float:
        """The largest common slack of the strict rules at one place; below 0 where nothing fits."""
        aim = np.append(np.zeros(self.n), -1.0)
        found = self.solve(k, aim, 1.0, fixed)
        return -1.0 if found is None else float(found[-1])


def places_that_fit(figures: Figures, sums: Sequence[PlaceSum], candidates: Sequence[int]) -> tuple[int, ...]:
    """The places of the line at which all rules can be kept, the strict ones strictly."""
    program = _Program(figures, sums)
    return tuple(k for k in candidates if program.slack(k) > STRICT)


def programmed(figures: Figures, sums: Sequence[PlaceSum], plain: Chain) -> Programmed | None:
    """Least and most of every name under sums, by linear programs.

    Parameters
    ----------
    figures : Figures
    sums : sequence of PlaceSum
    plain : Chain
        The list without its sums; its places are tried.

    Returns
    -------
    Programmed or None
        None where nothing fits.
    """
    places = places_that_fit(figures, sums, range(plain.first, plain.last + 1))
    if not places:
        return None
    program, n = _Program(figures, sums), len(figures.caps)
    loose = {k: [[figures.settled(e.units, e.parts) for e in side] for side in ends_at(plain, k)] for k in places}
    wide = {k: [[float(value) for value, _ in side] for side in both] for k, both in loose.items()}
    best = np.vstack([np.full(n, np.inf), np.full(n, -np.inf)])
    for side, sign in ((0, 1.0), (1, -1.0)):
        for i in range(n):
            for k in sorted(places, key=lambda k: sign * wide[k][side][i]):
                if sign * (wide[k][side][i] - best[side, i]) > -SAME:
                    break
                aim = np.zeros(n + 1)
                aim[i] = sign
                found = program.solve(k, aim, 0.0)
                if found is not None:
                    best = np.vstack([np.minimum(best[0], found[:-1]), np.maximum(best[1], found[:-1])])
    sides = []
    for side, sign in ((0, 1.0), (1, -1.0)):
        said = []
        for i in range(n):
            value = float(best[side, i])
            there = [
                k
                for k in places
                if sign * (wide[k][side][i] - value) < SAME
                and (loose[k][side][i][1] or abs(wide[k][side][i] - value) > SAME)  # never met without sums: nor with
            ]
            said.append((_exact(value), any(program.slack(k, (i, value)) > STRICT for k in there)))
        sides.append(tuple(said))
    return Programmed(places, *sides)


def _exact(value: float) -> Fraction:
    """A fraction of a small denominator where one is as near as the programs are accurate."""
    near = Fraction(value).limit_denominator(FRACTIONS)
    return near if abs(float(near) - value) < SAME else Fraction(round(value, 9)).limit_denominator(10**9)


def suspects(
    figures: Figures, sums: Sequence[PlaceSum], capped: Sequence[int], floored: Sequence[int]
) -> tuple[set[int], set[int], set[int]]:
    """Caps, floors and sums that matter where nothing fits: at each place the total breach of all of them is minimised
    (order, line and total are kept), and those with a multiplier are named.

    Parameters
    ----------
    figures : Figures
    sums : sequence of PlaceSum
    capped, floored : sequence of int
        Places of the names whose cap or floor may be broken.

    Returns
    -------
    (set of int, set of int, set of int)
        Places of caps and of floors, and numbers of sums.
    """
    program = _Program(figures, ())
    caps, floors, groups = set(), set(), set()
    soft: list[tuple[dict[int, int], float, set[int], int]] = [
        *(({i: 1}, program.high[i], caps, i) for i in capped),
        *(({i: -1}, -program.low[i], floors, i) for i in floored),
    ]
    for g, (places, least, most) in enumerate(_Program(figures, sums).sums):
        soft += [(dict.fromkeys(places, -1), -least, groups, g), (dict.fromkeys(places, 1), most, groups, g)]
    n = program.n
    low, high = program.low.copy(), program.high.copy()
    low[list(floored)], high[list(capped)] = 0.0, 100.0
    for k in [program.m] if figures.descending else range(program.m + 1):
        hard = list(program.rows(k))
        matrix = np.zeros((len(hard) + len(soft), n + len(soft)))
        right = np.zeros(len(hard) + len(soft))
        for r, (row, b) in enumerate(hard):
            matrix[r, :n], right[r] = row[:-1], b
        for s, (parts, b, _, _) in enumerate(soft):
            for j, sign in parts.items():
                matrix[len(hard) + s, j] = sign
            matrix[len(hard) + s, n + s], right[len(hard) + s] = -1.0, b
        from scipy.optimize import linprog

        found = linprog(
            np.append(np.zeros(n), np.ones(len(soft))),
            A_ub=matrix,
            b_ub=right,
            A_eq=np.append(np.ones(n), np.zeros(len(soft)))[None, :],
            b_eq=[100.0],
            bounds=[*zip(low, high, strict=True), *[(0, None)] * len(soft)],
            method="highs",
        )
        if found.status == 0:
            for s, multiplier in enumerate(found.ineqlin.marginals[len(hard) :]):
                if abs(multiplier) > SAME:
                    soft[s][2].add(soft[s][3])
    return caps, floors, groups
