"""The level at which each look at a counted trial is judged, so that all planned looks together keep to alpha and beta.

A look's level rises with the share of the answers that are in, and is the largest with which the chance to say so
wrongly at any of the planned looks, worked out exactly by the binomial law, stays at or under alpha or beta. Why not
equal shares (Bonferroni): looks at one trial mostly agree, and answers are whole, so that equal shares leave part of
alpha unused; a plan takes about a sixth more tasters by them. Why not one level for all looks (Pocock, Biometrika 64
(1977) 191, from memory): what early looks use up is missing at the last, and a plan takes nearly as many as by equal
shares. Why not levels that start far lower (O'Brien and Fleming, Biometrics 35 (1979) 549, from memory): the last look
gains little more, and early looks hardly ever end a trial. As levels at one alpha lie wholly under those at a larger
one, a p-value corrected for looks exists, and Holm's correction over several must-haves goes by it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from maker_kit.trial.binomial import at_least, at_most, chance, share_right
from maker_kit.trial.difference import right_for_sameness, right_needed
from maker_kit.trial.plan import TrialPlan

LEAST = 1e-9
"""Least part of alpha or beta that a look is judged at."""


@dataclass(frozen=True)
class LookLevel:
    """At what level one look is judged, for one of the two errors.

    Attributes
    ----------
    level : float
        A p-value of this look alone up to it says so.
    spent : float
        Chance to have said so wrongly at an earlier look that is not reckoned with exactly any more.
    times : int
        Looks left over which the rest is shared equally; 0 where all looks are as planned.
    least : int
        The p-value is taken at least so often; for a key that was opened early.
    planned : callable
        Chance that any planned look would have a p-value of its own as small for its place.
    """

    level: float
    spent: float
    times: int
    least: int
    planned: Callable[[float], float]

    def corrected(self, p_value: float) -> float:
        """A p-value of this look alone, corrected for all looks; at most alpha where, and only where, it says so."""
        if not self.times:
            return self.planned(p_value)
        return min(max(self.spent + self.times * p_value, self.least * p_value), 1.0)


def answers_by_look(looks: Sequence[int], right: float) -> Iterator[tuple[int, Callable[[np.ndarray], float]]]:
    """Look by look, the answers that are in, and what to be told: for which numbers of right answers the trial stops
    there; the chance of that comes back, and it goes on with the others.

    Between two looks the answers are binomial, each right with the share `right`, so that nothing is drawn.

    Parameters
    ----------
    looks : sequence of int
        Rising.
    right : float
        Share of right answers, 0 to 1.

    Yields
    ------
    tuple of int and callable
    """
    from scipy.special import bdtr

    state, before = np.array([1.0]), 0
    for n in looks:
        more = n - before
        state = np.convolve(state, np.diff(bdtr(np.arange(more + 1), more, right), prepend=0.0))
        before = n
        left = state.copy()

        def stop(where: np.ndarray, here: np.ndarray = state, left: np.ndarray = left) -> float:
            left[where] = 0.0
            return float(here[where].sum())

        yield n, stop
        state = left


def says_different(kind: str, n: int, level: float, *, two_sided: bool = False) -> np.ndarray:
    """For each number of right answers of n, whether it shows a difference at a level."""
    x = np.arange(n + 1)
    if level >= 1:
        return x >= 0
    needed = right_needed(kind, n, level, two_sided=two_sided)
    return (np.maximum(x, n - x) if two_sided else x) >= (n + 1 if needed is None else needed)


def says_same(kind: str, n: int, gap: float, level: float) -> np.ndarray:
    """For each number of right answers of n, whether it shows sameness at a level; in a paired trial both sides keep
    within the gap.
    """
    x = np.arange(n + 1)
    if level >= 1:
        return x >= 0
    alike = right_for_sameness(kind, n, gap, level)
    return (np.maximum(x, n - x) if kind == "paired" else x) <= (-1 if alike is None else alike)


def levels(looks: Sequence[int], last: float) -> tuple[float, ...]:
    """The level of every look, where that of the last is given: it rises with the share of the answers that are in."""
    return tuple(last * n / looks[-1] for n in looks)


def wrongly_different(kind: str, looks: Sequence[int], at: Sequence[float], *, two_sided: bool = False) -> float:
    """Chance that guessing alone shows a difference at any of some looks, each judged at its level."""
    steps = zip(answers_by_look(looks, chance(kind)), at, strict=False)
    return sum(stop(says_different(kind, n, level, two_sided=two_sided)) for (n, stop), level in steps)


def wrongly_same(kind: str, looks: Sequence[int], gap: float, at: Sequence[float]) -> float:
    """Chance that sameness is shown at any of some looks where as many as the gap can tell, each at its level."""
    steps = zip(answers_by_look(looks, share_right(kind, gap)), at, strict=False)
    return sum(stop(says_same(kind, n, gap, level)) for (n, stop), level in steps)


@lru_cache(maxsize=1024)
def level_for_difference(kind: str, looks: tuple[int, ...], alpha: float, *, two_sided: bool = False) -> float:
    """Largest level of the last look, the others by `levels`, with which guessing alone shows a difference with chance
    alpha at most.

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    sides, guess = 2 if two_sided else 1, chance(kind)
    tails = (
        sides * at_least(n, x, guess) * looks[-1] / n
        for n in looks
        for x in range(_first(kind, n, alpha, two_sided), n + 1)
    )
    return _largest(looks, alpha, tails, lambda at: wrongly_different(kind, looks, at, two_sided=two_sided))


@lru_cache(maxsize=1024)
def level_for_sameness(kind: str, looks: tuple[int, ...], gap: float, beta: float) -> float:
    """Largest level of the last look, the others by `levels`, with which sameness is shown with chance beta at most
    where as many as the gap can tell. Raises as `right_for_sameness`.
    """
    true = share_right(kind, gap)
    tails = (
        at_most(n, x, true) * looks[-1] / n
        for n in looks
        for x in range((right_for_sameness(kind, n, gap, beta) or 0) + 1)
    )
    return _largest(looks, beta, tails, lambda at: wrongly_same(kind, looks, gap, at))


def look_level(
    error: float,
    looks: tuple[int, ...],
    whole: Sequence[int],
    exact: Callable[[tuple[int, ...], float], float],
    wrongly: Callable[[Sequence[int], Sequence[float]], float],
    *,
    early: bool = False,
) -> LookLevel:
    """At what level the look that is taken now is judged.

    Where so many whole answers were in at every look as were planned, that is the exact level of the plan. From the
    first look at which answers were missing, what earlier looks have spent is taken off and the rest is shared equally
    over the looks left (by Bonferroni's inequality never above the whole). A key that was opened at no planned look
    counts as a look more.

    Parameters
    ----------
    error : float
        Alpha or beta.
    looks : tuple of int
        As planned.
    whole : sequence of int
        Whole answers that were in at each planned look so far, the one that is taken now included.
    exact : callable
        Looks and error → the level of the last look.
    wrongly : callable
        Looks and the level of each → the chance to say so wrongly at any of them.
    early : bool
        Whether the key was opened at no planned look.

    Returns
    -------
    LookLevel
    """
    as_planned = next((k for k, (n, at) in enumerate(zip(whole, looks, strict=False)) if n != at), len(whole))
    at = levels(looks, exact(looks, error))
    if as_planned == len(whole) and not early:
        here = looks[as_planned - 1]
        return LookLevel(at[as_planned - 1], 0.0, 0, 0, lambda p: wrongly(looks, levels(looks, p * looks[-1] / here)))
    spent = wrongly(looks[:as_planned], at) if as_planned else 0.0
    left, share = len(looks) - as_planned, error
    rest = max((error - spent) / left, error * LEAST)
    if early:
        share = error / (len(looks) + 1)
    return LookLevel(min(rest, share), spent, left, len(looks) + 1 if early else 1, lambda p: p)


def levels_of_a_look(plan: TrialPlan, whole: Sequence[int], times: int, *, early: bool) -> tuple[LookLevel, LookLevel]:
    """At what levels a look at a planned trial is judged: for a difference, and for sameness; alpha and beta are shared
    over the `times` that the same was tried. `whole` and `early` as in `look_level`.
    """
    sides = {"two_sided": plan.two_sided}
    apart = look_level(
        plan.alpha / times,
        plan.looks,
        whole,
        lambda looks, error: level_for_difference(plan.kind, looks, error, **sides),
        lambda looks, at: wrongly_different(plan.kind, looks, at, **sides),
        early=early,
    )
    alike = look_level(
        plan.beta / times,
        plan.looks,
        whole,
        lambda looks, error: level_for_sameness(plan.kind, looks, plan.gap, error),
        lambda looks, at: wrongly_same(plan.kind, looks, plan.gap, at),
        early=early,
    )
    return apart, alike


def _first(kind: str, n: int, alpha: float, two_sided: bool) -> int:
    """Fewest right answers that show a difference at one look by itself; above all where none do."""
    needed = right_needed(kind, n, alpha, two_sided=two_sided)
    return n + 1 if needed is None else needed


def _largest(looks: tuple[int, ...], error: float, tails: Iterator[float], wrongly: Callable) -> float:
    """The largest of the last levels that change anything with which all looks together keep to the error; at least the
    one with which the levels sum to it (Bonferroni's inequality).
    """
    if len(looks) == 1:
        return error
    found = error * looks[-1] / sum(looks)
    steps = sorted({tail for tail in tails if found < tail})
    low, high = 0, len(steps)
    while low < high:
        middle = (low + high) // 2
        if wrongly(levels(looks, steps[middle])) <= error:
            found, low = steps[middle], middle + 1
        else:
            high = middle
    return found
