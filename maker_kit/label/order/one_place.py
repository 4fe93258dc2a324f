"""One place of the 1 % line with sums, exactly: a linear program whose columns are whole compositions.

Without its total and its sums, a list is easy: with weights on the names, the best list that descends within its caps
and floors is found by looking at every height apart, where a first few names stand and the others do not. So the
program mixes such lists until total and sums hold, and asks for the list that would better the mixture (Dantzig and
Wolfe, "Decomposition Principle for Linear Programs", Operations Research 8 (1960) 101–111). It has one row for the
mixture, one for the total and one for each end of a sum, whatever the number of names; in fractions, without tolerance,
ties of the ratio test broken by the lexicographic rule, so that it ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise
from operator import mul

from maker_kit.label.order.chain import Chain
from maker_kit.label.order.groups import PlaceSum

LIST, ROOM, LACK = "list", "room", "lack"
"""What a column is: a list within caps and floors, what a sum has left of its end, or what a row still lacks."""


@dataclass(frozen=True)
class _Column:
    """A column: its entries, and the list it stands for."""

    kind: str
    entries: tuple[int, ...]
    amounts: tuple[int, ...] = ()


class OnePlace:
    """All compositions with the line after name k, and the best of them for any aim.

    Parameters
    ----------
    chain : Chain
    k : int
    sums : sequence of PlaceSum
    """

    def __init__(self, chain: Chain, k: int, sums: Sequence[PlaceSum]) -> None:
        figures = chain.figures
        self._n, self._k = len(figures.caps), k
        self._free = [(i, figures.floors[i], chain.under_cap(i)) for i in range(k, self._n)]
        self._heights = _heights(chain.lower[:k], chain.upper[:k])
        ends = [(s.places, s.least, -1) for s in sums if s.least > sum(figures.floors[i] for i in s.places)]
        ends += [(s.places, s.most, 1) for s in sums if s.most < figures.total]
        self._groups = [frozenset(range(self._n)), *(places for places, _, _ in ends)]
        self._rooms = [
            _Column(ROOM, tuple(sign if r == row else 0 for r in range(len(ends) + 2)))
            for row, (_, _, sign) in enumerate(ends, 2)
        ]
        right = (1, figures.total, *(end for _, end, _ in ends))
        size = len(right)
        self._basis = [_Column(LACK, tuple(int(r == row) for r in range(size))) for row in range(size)]
        self._inverse = [list(column.entries) for column in self._basis]
        self._amounts = list(right)
        self._right, self._whole = right[1:], 1
        self._proof: list[int] = []
        self.fits = self._first()

    def best(self, aim: Sequence[int]) -> tuple[list[int], int]:
        """The composition of a place that fits with the largest ``aim · amounts``: amounts in units of a part, and how
        many parts make a unit.
        """
        self._climb(aim, 0)
        mixed = [0] * self._n
        for column, amount in zip(self._basis, self._amounts, strict=True):
            if column.kind == LIST and amount:
                mixed = [m + amount * x for m, x in zip(mixed, column.amounts, strict=True)]
        return mixed, self._whole

    def bound(self, proof: Sequence[int], parts: int, aim: Sequence[int]) -> int:
        """What the aim cannot pass here, by the proof of another place [parts of a unit]: prices of total and sums that
        are right anywhere bound what they are prices of (weak duality).
        """
        found = self._best(proof, aim, parts)
        left = [b - e for b, e in zip(self._right, found.entries[1:], strict=True)]
        return parts * _sum(aim, found.amounts) + _sum(proof[1:], left)

    @property
    def proof(self) -> tuple[Sequence[int], int]:
        """The prices of the last answer, and how many of their parts make one."""
        return self._proof, self._whole

    def furthest(self) -> tuple[int, ...]:
        """Of a place that does not fit, the list that comes nearest by the proof that none does."""
        return self._best(self._proof, [0] * self._n).amounts

    def _first(self) -> bool:
        """Find a mixture that holds all rows; what is still lacking then is driven out."""
        if self._climb([0] * self._n, -1) < 0:
            return False
        for row, column in enumerate(self._basis):
            entering = self._touching(row) if column.kind == LACK else None
            if entering is not None:
                self._swap(row, entering, self._steps(entering))
        return True

    def _touching(self, row: int) -> _Column | None:
        """A column that changes a row of the basis; None where the row follows from the others."""
        line = self._inverse[row]
        for sign in (1, -1):
            for column in (*self._rooms, self._best([-sign * v for v in line], [0] * self._n)):
                if _sum(line, column.entries):
                    return column
        return None

    def _climb(self, aim: Sequence[int], lack: int) -> int:
        """Better the mixture until no list betters it; gives what it reaches, in parts."""
        start = [c.entries for c in self._basis]
        while True:
            gains = [lack if c.kind == LACK else _gain(c, aim) for c in self._basis]
            prices = [sum(g * row[c] for g, row in zip(gains, self._inverse, strict=True)) for c in range(len(gains))]
            entering = next((c for c in self._rooms if _sum(prices, c.entries) < 0), None)
            if entering is None:
                entering = self._best(prices, aim)
                if _gain(entering, aim) * self._whole <= _sum(prices, entering.entries):
                    self._proof = prices
                    return _sum(gains, self._amounts)
            steps = self._steps(entering)
            self._swap(self._leaving(steps, start), entering, steps)

    def _steps(self, entering: _Column) -> list[int]:
        return [_sum(row, entering.entries) for row in self._inverse]

    def _leaving(self, steps: Sequence[int], start: Sequence[Sequence[int]]) -> int:
        """The row that is used up first; of several the lexicographically least, by the columns of the start."""
        first: list[int] = []
        for r, step in enumerate(steps):
            if step > 0:
                less = self._amounts[r] * steps[first[0]] - self._amounts[first[0]] * step if first else -1
                first = [r] if less < 0 else [*first, r] if not less else first
        if len(first) == 1:
            return first[0]
        return min(first, key=lambda r: [Fraction(_sum(self._inverse[r], column), steps[r]) for column in start])

    def _swap(self, row: int, entering: _Column, steps: Sequence[int]) -> None:
        """Let a column into the basis: all of it stays whole numbers over one common part (Edmonds 1967)."""
        by, line, amount = steps[row], self._inverse[row], self._amounts[row]
        for r, step in enumerate(steps):
            if r != row:
                self._inverse[r] = [
                    (v * by - step * w) // self._whole for v, w in zip(self._inverse[r], line, strict=True)
                ]
                self._amounts[r] = (self._amounts[r] * by - step * amount) // self._whole
        self._whole, self._basis[row] = by, entering
        if by < 0:
            self._whole, self._amounts = -by, [-a for a in self._amounts]
            self._inverse = [[-v for v in row] for row in self._inverse]

    def _best(self, prices: Sequence[int], aim: Sequence[int], parts: int = 0) -> _Column:
        """The list within caps and floors that gains most at prices of the rows, told in parts."""
        weights = [(parts or self._whole) * a for a in aim]
        for places, price in zip(self._groups, prices[1:], strict=True):
            if price:
                for i in places:
                    weights[i] -= price
        amounts = [0] * self._n
        running = [0, *accumulate(weights[: self._k])]
        for width, fewest, most in self._heights:
            count = max(range(fewest, most + 1), key=running.__getitem__)
            for i in range(count):
                amounts[i] += width
        for i, low, high in self._free:
            amounts[i] = high if weights[i] > 0 else low
        return _Column(LIST, (1, *(sum(amounts[i] for i in g) for g in self._groups)), tuple(amounts))


def _gain(column: _Column, aim: Sequence[int]) -> int:
    return _sum(aim, column.amounts) if column.kind == LIST else 0


def _sum(these: Sequence[int], those: Sequence[int]) -> int:
    return sum(map(mul, these, those))


def _heights(lower: Sequence[int], upper: Sequence[int]) -> list[tuple[int, int, int]]:
    """How high each step between two caps or floors is, and of how many first names at least and at most it consists.

    Both run down the list, so that what reaches a height is always a first few of the names; the fewest that are best
    at a height are never more than those at a lower one, and the amounts descend.
    """
    levels = sorted({0, *lower, *upper})
    return [
        (high - low, sum(v >= high for v in lower), sum(v >= high for v in upper)) for low, high in pairwise(levels)
    ]
