"""An exact rational simplex with hairs, to check bounds of label orders against: nothing of the workbook is in it.

Right-hand sides are pairs (a, b), read a + b·ε with ε above 0 and smaller than any number; pairs compare in order.
Two phases, Bland's rule, in whole numbers over one common part (Edmonds 1967); no artificial column comes back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

Pair = tuple[Fraction, Fraction]


@dataclass
class _Table:
    """Rows of whole numbers, the last two of them the right-hand side, all over one part; which column each is of."""

    rows: list[list[int]]
    basis: list[int]
    part: int = 1

    def pivot(self, r: int, j: int) -> None:
        by, line = self.rows[r][j], self.rows[r]
        for k, row in enumerate(self.rows):
            if k != r:
                factor = row[j]
                self.rows[k] = [(v * by - factor * w) // self.part for v, w in zip(row, line, strict=True)]
        self.part = by
        if by < 0:
            self.part, self.rows = -by, [[-v for v in row] for row in self.rows]
        self.basis[r] = j


def largest(aim: Sequence[int], rows: Sequence[tuple[Sequence[int], str, Pair]], count: int) -> Pair | None:
    """Largest ``aim · x`` for x ≥ 0 under rows ``a · x (<=, >=, =) b``, bounded here; None where nothing fits."""
    unit = lcm(*(v.denominator for _, _, b in rows for v in b))
    width = count + sum(kind != "=" for _, kind, _ in rows)
    made, at = [], count
    for a, kind, b in rows:
        line = [*a, *[0] * (width - count), *(int(v * unit) for v in b)]
        if kind != "=":
            line[at] = 1 if kind == "<=" else -1
            at += 1
        made.append([-v for v in line] if line[width:] < [0, 0] else line)
    lacking = [-sum(column) for column in zip(*made, strict=True)]
    table = _Table([*made, lacking], [width + r for r in range(len(made))])
    _run(table, width)
    if table.rows[-1][width:] != [0, 0]:
        return None
    table.rows.pop()
    for r in range(len(made)):  # what is artificial and still in the basis stands at nothing: drive it out
        j = next((j for j in range(width) if table.rows[r][j]), None)
        if table.basis[r] >= width and j is not None:
            table.pivot(r, j)
    price = [aim[b] if b < count else 0 for b in table.basis]
    reached = [sum(p * row[j] for p, row in zip(price, table.rows, strict=True)) for j in range(width + 2)]
    table.rows.append([v - table.part * (aim[j] if j < count else 0) for j, v in enumerate(reached)])
    _run(table, width)
    first, hair = table.rows[-1][width:]
    return Fraction(first, table.part * unit), Fraction(hair, table.part * unit)


def _run(table: _Table, width: int) -> None:
    """Raise the aim, which is the last row, until no column raises it."""
    while True:
        enter = next((j for j in range(width) if table.rows[-1][j] < 0), None)
        if enter is None:
            return
        leave = min(
            (r for r, row in enumerate(table.rows[:-1]) if row[enter] > 0),
            key=lambda r: ([Fraction(v, table.rows[r][enter]) for v in table.rows[r][width:]], table.basis[r]),
        )
        table.pivot(leave, enter)


def rows_of(case: dict, k: int) -> list[tuple[list[int], str, Pair]]:
    """The rules of one label for the line after name k."""
    names = case["names"]
    n, m = len(names), len(names) - case["colours_last"]
    made = []

    def row(parts: dict[int, int], kind: str, value: object, hair: int = 0) -> None:
        made.append(([parts.get(j, 0) for j in range(n)], kind, (Fraction(value), Fraction(hair))))

    row(dict.fromkeys(range(n), 1), "=", 100)
    for j in range(k - 1):
        row({j: 1, j + 1: -1}, ">=", 0)
    if k and case["law"] != "all":
        row({k - 1: 1}, ">=", 1, 1 if case["law"] == "us" else 0)
    for j in range(k, m):
        row({j: 1}, "<=", 1, -1 if case["law"] == "eu" else 0)
    for j, name in enumerate(names):
        if name in case["at_most"]:
            row({j: 1}, "<=", case["at_most"][name])
        floor = Fraction(case["at_least"].get(name, 0))
        row({j: 1}, ">=", floor, 0 if floor else 1)
    for s in case["sums"]:
        members = {names.index(x): 1 for x in s["names"]}
        if s.get("most") is not None:
            row(members, "<=", s["most"])
        if s.get("least") is not None:
            row(members, ">=", s["least"])
    return made


def solved(case: dict) -> dict | None:
    """Least and most of every name over every place of the line, and the places; None where nothing fits."""
    n = len(case["names"])
    m = n - case["colours_last"]
    places, least, most = [], [None] * n, [None] * n
    for k in [m] if case["law"] == "all" else range(m + 1):
        rows = rows_of(case, k)
        if largest([0] * n, rows, n) is None:
            continue
        places.append(k)
        for i in range(n):
            unit = [int(j == i) for j in range(n)]
            top = largest(unit, rows, n)
            low = largest([-v for v in unit], rows, n)
            low = (-low[0], -low[1])
            most[i] = top if most[i] is None or top > most[i] else most[i]
            least[i] = low if least[i] is None or low < least[i] else least[i]
    return {"places": places, "least": least, "most": most} if places else None
