"""Looks at a counted trial by plain fractions, apart from the package: how often a rule stops, look by look."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import count
from math import comb

from maker_kit.trial.difference import tasters_needed
from maker_kit.trial.looks import plan_chances, spread_looks

GUESS = {"triangle": Fraction(1, 3), "duo-trio": Fraction(1, 2), "paired": Fraction(1, 2)}


def chance_of(n: int, x: int, right: Fraction) -> Fraction:
    """Of x right answers among n."""
    return comb(n, x) * right**x * (1 - right) ** (n - x)


def tail(n: int, x: int, right: Fraction) -> Fraction:
    """Of x right answers among n or more."""
    return sum((chance_of(n, k, right) for k in range(x, n + 1)), Fraction(0))


def ever(looks: Sequence[int], right: Fraction, stops: Callable[[int, int], bool]) -> Fraction:
    """Chance that it stops at any look; `stops` is told the answers that are in and how many are right."""
    state, before, found = {0: Fraction(1)}, 0, Fraction(0)
    for n in looks:
        after: dict[int, Fraction] = {}
        for x, part in state.items():
            for more in range(n - before + 1):
                after[x + more] = after.get(x + more, Fraction(0)) + part * chance_of(n - before, more, right)
        found += sum(part for x, part in after.items() if stops(n, x))
        state, before = {x: part for x, part in after.items() if not stops(n, x)}, n
    return found


def p_value(kind: str, n: int, x: int, *, two_sided: bool = False) -> Fraction:
    """Of so many right answers at a look by itself; two-sided, of as uneven answers on either side."""
    most = max(x, n - x) if two_sided else x
    return min(tail(n, most, GUESS[kind]) * (2 if two_sided else 1), Fraction(1))


def largest_level(
    kind: str, looks: Sequence[int], alpha: Fraction, *, two_sided: bool = False
) -> tuple[Fraction, Fraction]:
    """The largest level of the last look, the others lower by the share of answers that are in, at which all looks
    together keep to alpha, tried one by one from above; and what they reach.
    """
    weighed = {n: Fraction(looks[-1], n) for n in looks}
    ps = {(n, x): weighed[n] * p_value(kind, n, x, two_sided=two_sided) for n in looks for x in range(n + 1)}
    for level in sorted({p for (n, _), p in ps.items() if p <= weighed[n] * alpha}, reverse=True):
        reached = ever(looks, GUESS[kind], lambda n, x, level=level: ps[n, x] <= level)
        if reached <= alpha:
            return level, reached
    return Fraction(0), Fraction(0)


def fewest_with_looks(kind: str, gap: float, looks: int) -> int:
    """Fewest tasters with which a plan with evenly spread looks finds what the gap can tell with a chance of 95 %."""
    return next(
        n
        for n in count(max(tasters_needed(kind, gap), looks))
        if plan_chances(kind, spread_looks(n, looks), gap, gap=gap).different[-1] >= 0.95 * (1 - 1e-12)
    )
