"""How likely measured pairs say different, or the same, by how far the two truly lie apart; and how many that takes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.errors import QuantityError
from maker_kit.trial.binomial import MOST_TASTERS

LEAST_PAIRS = 2
"""Fewest pairs that have an interval."""
LIKELY = 0.8
"""How likely more pairs settle it, if the difference and its scatter are truly as they were read."""
DRAWN = 20_000
"""Trials that are drawn where there are looks along the way."""
_SEED = 20_261_126
_POINTS = 400


@dataclass(frozen=True)
class PairsByLook:
    """What measured pairs with looks along the way say, by how far the two truly lie apart.

    Attributes
    ----------
    looks : tuple of int
        Pairs after which is judged.
    different, same : tuple of tuple of float
        For each look, the chance to have said so by then at each truth; a trial stops where it says either.
    """

    looks: tuple[int, ...]
    different: tuple[tuple[float, ...], ...]
    same: tuple[tuple[float, ...], ...]


def pairs_chances(
    pairs: int, truth: float, gap: float, scatter: float, alpha: float = 0.05, beta: float = 0.05
) -> tuple[float, float]:
    """Chances that measured pairs say *different* and *the same*, if ours truly lies so far from the shop's.

    The mean difference is normal with standard error ``scatter / √n`` and independent of the scatter that is read,
    ``scatter · √(χ² / (n − 1))`` (Student, Biometrika 6 (1908) 1), over whose distribution is summed.
    """
    from scipy.special import gammaincinv, ndtr

    error, free = scatter / math.sqrt(pairs), pairs - 1
    read = error * np.sqrt(2 * gammaincinv(free / 2, (np.arange(_POINTS) + 0.5) / _POINTS) / free)
    outer_t, inner_t = _quantiles(free, alpha, beta)
    inner = np.maximum(gap - inner_t * read, 0.0)
    outer = np.maximum(outer_t * read, inner)

    def within(ends: np.ndarray) -> np.ndarray:
        return ndtr((ends - truth) / error) - ndtr((-ends - truth) / error)

    return float(1 - within(outer).mean()), float(within(inner).mean())


def pairs_by_look(
    looks: Sequence[int],
    truths: Sequence[float],
    gap: float,
    scatter: float,
    alpha: float = 0.05,
    beta: float = 0.05,
) -> PairsByLook:
    """What pairs with looks along the way say, alpha and beta shared equally over them, from `DRAWN` trials.

    The trials are drawn from a kept seed, the same for every truth: of the pairs between two looks their mean, which is
    normal, and the sum of their squares about it, which is χ². A share of them is off by 0.004 at most, twice its
    standard error.

    Parameters
    ----------
    looks : sequence of int
        Rising; a look at fewer than `LEAST_PAIRS` says nothing.
    truths : sequence of float
        How far ours truly lies from the shop's.
    gap, scatter : float
        In the same unit, above 0.
    alpha, beta : float
        Of the whole plan.

    Returns
    -------
    PairsByLook
    """
    rng, parts, truth = np.random.default_rng(_SEED), len(looks), np.asarray(truths, float)
    mean, squares, before = np.zeros(DRAWN), np.zeros(DRAWN), 0  # of differences less their truth, in scatters
    told = np.zeros((len(truth), DRAWN), bool)
    different, same = np.zeros(len(truth)), np.zeros(len(truth))
    found: list[tuple[tuple[float, ...], tuple[float, ...]]] = []
    for n in looks:
        new = n - before
        step = rng.normal(size=DRAWN) / math.sqrt(new) - mean
        squares += (rng.chisquare(new - 1, DRAWN) if new > 1 else 0.0) + step**2 * before * new / n
        mean, before = mean + step * new / n, n
        if n >= LEAST_PAIRS:
            outer_t, inner_t = _quantiles(n - 1, alpha / parts, beta / parts)
            half = scatter * np.sqrt(squares / (n - 1) / n)
            apart = np.abs(truth[:, None] + scatter * mean[None, :])
            alike = apart + inner_t * half < gap
            off = (apart > outer_t * half) & ~alike
            same, different = same + (alike & ~told).mean(axis=1), different + (off & ~told).mean(axis=1)
            told |= alike | off
        found.append((tuple(different.tolist()), tuple(same.tolist())))
    return PairsByLook(tuple(looks), tuple(d for d, _ in found), tuple(s for _, s in found))


def pairs_needed(gap: float, scatter: float, alpha: float = 0.05, beta: float = 0.05, *, same: bool = False) -> int:
    """Smallest number of pairs with which the t test finds a difference as large as the gap with chance 1 − beta, by
    the noncentral t distribution; or, for `same`, with which alike things are called the same with chance 1 − alpha.

    Raises
    ------
    QuantityError
        If that is more than `MOST_TASTERS`.
    """
    from scipy.special import nctdtr

    def enough(n: int) -> bool:
        if same:
            return pairs_chances(n, 0.0, gap, scatter, alpha, beta)[1] >= 1 - alpha
        far, outer_t = gap / scatter * math.sqrt(n), _quantiles(n - 1, alpha, beta)[0]
        return nctdtr(n - 1, far, outer_t) <= beta  # of the other side nothing is found

    found = _fewest(enough)
    if found is None:
        raise QuantityError(
            f"a gap of {gap:g} at a scatter of {scatter:g} would take more than {MOST_TASTERS} pairs: widen it"
        )
    return found


def pairs_that_settle(mean: float, gap: float, scatter: float, alpha: float = 0.05, beta: float = 0.05) -> int:
    """Smallest number of pairs that says either with chance `LIKELY`, if the mean difference and its scatter are truly
    as they were read; `MOST_TASTERS` where it is more than that. Where all were alike (no scatter), so many that signs
    alone say it.
    """
    if not scatter:  # judged by signs alone
        part = math.log2(1 / beta) if abs(mean) < gap else 1 + math.log2(1 / alpha)
        return min(math.ceil(part - 1e-12), MOST_TASTERS)
    found = _fewest(lambda n: sum(pairs_chances(n, mean, gap, scatter, alpha, beta)) >= LIKELY)
    return MOST_TASTERS if found is None else found


def _fewest(enough: Callable[[int], bool]) -> int | None:
    """The smallest number of pairs that is enough, as more are too; None where it is more than `MOST_TASTERS`."""
    high = LEAST_PAIRS
    while not enough(high):
        high *= 2
        if high > MOST_TASTERS:
            return None
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def _quantiles(free: int, alpha: float, beta: float) -> tuple[float, float]:
    """Of Student's t: for a difference, two-sided at alpha; for sameness, one-sided at beta."""
    from scipy.special import stdtrit

    return float(stdtrit(free, 1 - alpha / 2)), float(stdtrit(free, 1 - beta))
