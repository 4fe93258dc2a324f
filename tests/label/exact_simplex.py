"""An exact rational simplex with hairs, to check bounds of label orders against: nothing of the workbook is in it.

Right-hand sides are pairs (a, b), read a + b·ε with ε above 0 and smaller than any number; pairs compare in order. Two
phases, Bland's rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

Pair = tuple[Fraction, Fraction]
ZERO = (Fraction(0), Fraction(0))


def largest(aim: Sequence[int], rows: Sequence[tuple[Sequence[int], str, Pair]], count: int) -> Pair | None:
    """Largest ``aim · x`` for x ≥ 0 under rows ``a · x (<=, >=, =) b``, bounded here; None where nothing fits."""
    table, basis = [], []
    slack = sum(kind != "=" for _, kind, _ in rows)
    width = count + slack + len(rows)
    at = count
    for r, (a, kind, b) in enumerate(rows):
        line = [Fraction(v) for v in a] + [Fraction(0)] * (width - count)
        if kind != "=":
            line[at] = Fraction(1 if kind == "<=" else -1)
            at += 1
        if b < ZERO:
            line, b = [-v for v in line], (-b[0], -b[1])
        line[count + slack + r] = Fraction(1)
        table.append([line, b])
        basis.append(count + slack + r)
    first = [Fraction(0)] * (count + slack) + [Fraction(-1)] * len(rows)
    if _run(table, basis, first, width) < ZERO:
        return None
    for r in range(len(rows)):  # what is artificial and still in the basis stands at nothing: drive it out
        if basis[r] >= count + slack:
            j = next((j for j in range(count + slack) if table[r][0][j]), None)
            if j is not None:
                _pivot(table, basis, r, j)
    return _run(table, basis, [Fraction(v) for v in aim] + [Fraction(0)] * (width - count), count + slack)


def _run(table: list, basis: list[int], aim: list[Fraction], width: int) -> Pair:
    while True:
        price = [aim[b] for b in basis]
        enter = next(
            (
                j
                for j in range(width)
                if j not in basis and aim[j] - sum(p * row[0][j] for p, row in zip(price, table, strict=True) if p) > 0
            ),
            None,
        )
        if enter is None:
            return tuple(sum((p * row[1][e] for p, row in zip(price, table, strict=True)), Fraction(0)) for e in (0, 1))
        leave = min(
            (r for r in range(len(table)) if table[r][0][enter] > 0),
            key=lambda r: (tuple(v / table[r][0][enter] for v in table[r][1]), basis[r]),
        )
        _pivot(table, basis, leave, enter)


def _pivot(table: list, basis: list[int], r: int, j: int) -> None:
    by = table[r][0][j]
    line, right = [v / by for v in table[r][0]], tuple(v / by for v in table[r][1])
    table[r] = [line, right]
    for k, row in enumerate(table):
        if k != r and (factor := row[0][j]):
            table[k] = [
                [v - factor * w if w else v for v, w in zip(row[0], line, strict=True)],
                tuple(v - factor * w for v, w in zip(row[1], right, strict=True)),
            ]
    basis[r] = j


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
