"""How likely a plan says different, or the same, by what is truly so; and how many tasters or pairs that takes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.trial.difference import MOST_TASTERS, power, tasters_needed
from maker_kit.trial.looks import plan_chances, tasters_for_sameness

STEPS = 50
_POINTS = 400


@dataclass(frozen=True)
class PowerCurve:
    """How likely a plan finds a difference, and how likely it says the same.

    Attributes
    ----------
    kind : str
        ``triangle``, ``duo-trio``, ``paired`` or ``pairs``.
    count : int
        Tasters or pairs.
    gap : float
        A share of tasters who can tell, 0 to 1, or in the unit.
    unit : str
        Of `truths` and `gap`; empty for shares.
    alpha, beta : float
    looks : tuple of int
        Results after which is judged.
    truths : tuple of float
        What may truly be so: the share who can tell, or how far ours lies from the shop's; the gap is among them.
    different, same : tuple of float
        Chance to say so, at each of them.
    for_difference, for_sameness : int
        Tasters or pairs that it takes without looks along the way: to find a difference as large as the gap with chance
        1 − beta, and to call alike things the same with chance 1 − alpha.
    scatter : float or None
        Standard deviation of a difference that was reckoned with, for pairs.
    """

    kind: str
    count: int
    gap: float
    unit: str
    alpha: float
    beta: float
    looks: tuple[int, ...]
    truths: tuple[float, ...]
    different: tuple[float, ...]
    same: tuple[float, ...]
    for_difference: int
    for_sameness: int
    scatter: float | None = None

    def at_gap(self) -> tuple[float, float]:
        """Chances to say different, and to say the same, where the truth lies at the gap."""
        at = self.truths.index(self.gap)
        return self.different[at], self.same[at]

    def to_frame(self) -> pd.DataFrame:
        """The curve as a table: what is truly so, and the chance of each answer."""
        name = "share who can tell" if not self.unit else f"truly apart [{self.unit}]"
        return pd.DataFrame({name: self.truths, "says different": self.different, "says the same": self.same})


def power_curve(
    kind: str,
    tasters: int,
    gap: float,
    *,
    alpha: float = 0.05,
    beta: float = 0.05,
    looks: Sequence[int] = (),
) -> PowerCurve:
    """How likely each answer is with so many tasters, by the share who can truly tell, in steps of 2 % and at the gap.

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    power(kind, tasters, gap, alpha)  # refuses what is out of range
    at = tuple(looks) or (tasters,)
    shares = tuple(sorted({k / STEPS for k in range(STEPS + 1)} | {gap}))
    found = [plan_chances(kind, at, share, gap=gap, alpha=alpha, beta=beta) for share in shares]
    return PowerCurve(
        kind,
        tasters,
        gap,
        "",
        alpha,
        beta,
        at,
        shares,
        tuple(f.different[-1] for f in found),
        tuple(f.same[-1] for f in found),
        tasters_needed(kind, gap, alpha, beta),
        tasters_for_sameness(kind, gap, alpha, beta),
    )


def pairs_curve(
    pairs: int, gap: float, scatter: float, *, unit: str, alpha: float = 0.05, beta: float = 0.05
) -> PowerCurve:
    """How likely each answer is with so many measured pairs, by how far the two truly lie apart, up to three gaps.

    Parameters
    ----------
    pairs : int
        2 to `MOST_TASTERS`.
    gap, scatter : float
        Largest difference that is still called the same, and the standard deviation of a difference, in the unit;
        above 0.
    unit : str
    alpha, beta : float

    Returns
    -------
    PowerCurve

    Raises
    ------
    QuantityError
        If a number is out of range.
    """
    if isinstance(pairs, bool) or not isinstance(pairs, int) or not 2 <= pairs <= MOST_TASTERS:
        msg = f"{pairs} pairs: the number is whole, from 2 to {MOST_TASTERS}"
        raise QuantityError(msg)
    for value, what in ((gap, "a gap"), (scatter, "a scatter")):
        if not 0 < value < math.inf:
            msg = f"{what} of {value}: it is above 0"
            raise QuantityError(msg)
    truths = tuple(sorted({3 * gap * k / STEPS for k in range(STEPS + 1)} | {gap}))
    found = [pairs_chances(pairs, truth, gap, scatter, alpha, beta) for truth in truths]
    return PowerCurve(
        "pairs",
        pairs,
        gap,
        unit,
        alpha,
        beta,
        (pairs,),
        truths,
        tuple(d for d, _ in found),
        tuple(s for _, s in found),
        pairs_needed(gap, scatter, alpha, beta),
        pairs_needed(gap, scatter, alpha, beta, same=True),
        scatter,
    )


def pairs_chances(
    pairs: int, truth: float, gap: float, scatter: float, alpha: float = 0.05, beta: float = 0.05
) -> tuple[float, float]:
    """Chances that measured pairs say *different* and *the same*, if ours truly lies so far from the shop's.

    The mean difference is normal with standard error ``scatter / √n`` and independent of the scatter that is read,
    ``scatter · √(χ² / (n − 1))`` (Student, Biometrika 6 (1908) 1), over whose distribution is summed.
    """
    from scipy import stats

    error, free = scatter / math.sqrt(pairs), pairs - 1
    read = error * np.sqrt(stats.chi2.ppf((np.arange(_POINTS) + 0.5) / _POINTS, free) / free)
    inner = np.maximum(gap - stats.t.ppf(1 - beta, free) * read, 0.0)
    outer = np.maximum(stats.t.ppf(1 - alpha / 2, free) * read, inner)

    def within(ends: np.ndarray) -> np.ndarray:
        return stats.norm.cdf((ends - truth) / error) - stats.norm.cdf((-ends - truth) / error)

    return float(1 - within(outer).mean()), float(within(inner).mean())


def pairs_needed(gap: float, scatter: float, alpha: float = 0.05, beta: float = 0.05, *, same: bool = False) -> int:
    """Smallest number of pairs that finds a difference as large as the gap with chance 1 − beta; or, for `same`, that
    calls alike things the same with chance 1 − alpha. Raises QuantityError where that is more than `MOST_TASTERS`.
    """

    def enough(n: int) -> bool:
        different, alike = pairs_chances(n, 0.0 if same else gap, gap, scatter, alpha, beta)
        return alike >= 1 - alpha if same else different >= 1 - beta

    high = 2
    while not enough(high):
        high *= 2
        if high > MOST_TASTERS:
            msg = f"a gap of {gap:g} at a scatter of {scatter:g} would take more than {MOST_TASTERS} pairs: widen it"
            raise QuantityError(msg)
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high
