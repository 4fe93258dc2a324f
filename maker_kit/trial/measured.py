"""Paired measures, ours against the shop's: the mean difference with its interval by t and by ranks, and Holm's
correction.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.errors import QuantityError
from maker_kit.student import two_sided_p, two_sided_t
from maker_kit.trial.difference import ANSWERS
from maker_kit.trial.pairs_power import LEAST_PAIRS, pairs_that_settle
from maker_kit.trial.signed_rank import rank_interval, signed_rank_p

NO_SCATTER = 1e-9
"""Differences of so small a part of themselves, or of 1, are those of a computer's digits."""


@dataclass(frozen=True)
class PairedResult:
    """What paired measures show; differences are ours less the shop's, in the measure's unit.

    Attributes
    ----------
    pairs, missing : int
        Pairs used, and pairs left out because one side was not read.
    mean : float
        Mean difference.
    low, high : float
        Its interval with confidence 1 − alpha (Student's t for paired samples).
    rank_low, rank_high : float
        Interval of the middle difference by signed ranks (Hodges and Lehmann; exact below 20 pairs), so that one odd
        pair does not decide.
    p_value, rank_p_value : float
        Two-sided: paired t test; Wilcoxon's signed-rank test. 1 where all differences are zero.
    ties : int
        Pairs without a difference.
    gap : float
        Largest difference that is still called the same.
    answer : str
        ``different``, ``the same within the gap`` or ``neither yet``.
    alpha, beta : float
        As they were asked for.
    scatter : float
        Standard deviation of a difference.
    same_low, same_high : float
        The interval with confidence 1 − 2 beta, which lies inside ± gap where they are the same.
    """

    pairs: int
    missing: int
    mean: float
    low: float
    high: float
    rank_low: float
    rank_high: float
    p_value: float
    rank_p_value: float
    ties: int
    gap: float
    answer: str
    alpha: float
    beta: float
    scatter: float
    same_low: float
    same_high: float

    @property
    def more_needed(self) -> int:
        """Pairs still wanted until either answer is likely, if the mean and the scatter are truly as they were read
        (`pairs_that_settle`); 0 where the answer is settled.
        """
        if self.answer != ANSWERS[2]:
            return 0
        return max(pairs_that_settle(self.mean, self.gap, self.scatter, self.alpha, self.beta) - self.pairs, 1)


def judge_pairs(
    ours: Sequence[float | None],
    shop: Sequence[float | None],
    gap: float,
    *,
    alpha: float = 0.05,
    beta: float | None = None,
    least: float = 0.0,
) -> PairedResult:
    """What paired measures show, by two one-sided tests (Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987) 657) for
    sameness and a two-sided t test for a difference.

    *The same within the gap* where the interval with confidence 1 − 2 beta lies inside ± gap; *different* where zero
    lies outside the interval with confidence 1 − alpha and the difference may be larger than the gap; otherwise
    *neither yet*. A trial that found no difference shows no sameness by that alone.

    Where all differences are alike to the last digit that was read, how they scatter is not known, and a t test would
    be sure after two pairs. They are then judged by their signs alone, which asks for no scatter: that n of n lie on
    one side of their true middle has a chance of ``0.5ⁿ`` (the sign test).

    Parameters
    ----------
    ours, shop : sequence of float or None
        One a pair, same order; None where it was not read.
    gap : float
        Largest difference that is still called the same, above 0, in the measure's unit.
    alpha : float
        Accepted chance to call alike things different, above 0 and below 1.
    beta : float, optional
        Accepted chance to call things the same that lie as far apart as the gap; alpha unless given.
    least : float
        Lowest value that such a measure can have (0 for seconds, grams, strokes).

    Returns
    -------
    PairedResult

    Raises
    ------
    QuantityError
        If the two sides differ in length, fewer than two whole pairs are left, a value is no number or below `least`,
        or the gap is not above 0.
    """
    if len(ours) != len(shop):
        raise QuantityError(f"{len(ours)} values of ours and {len(shop)} of the shop's: pairs have one of each")
    for value in (*ours, *shop):
        if value is not None and (not math.isfinite(value) or value < least):
            raise QuantityError(f"{value} is no such measure: it is a number from {least:g}")
    if not 0 < gap < math.inf:
        raise QuantityError(f"a gap of {gap}: the largest difference that is still called the same is above 0")
    beta = alpha if beta is None else beta
    for value, what in ((alpha, "alpha"), (beta, "beta")):
        if not 0 < value < 1:
            raise QuantityError(f"{what} is {value}: it lies above 0 and below 1")
    differences = np.array([a - b for a, b in zip(ours, shop, strict=True) if a is not None and b is not None], float)
    n = len(differences)
    if n < LEAST_PAIRS:
        raise QuantityError(f"{n} whole pairs: at least {LEAST_PAIRS} are needed to say how sure anything is")
    mean, scatter = float(differences.mean()), float(differences.std(ddof=1))
    half = scatter / math.sqrt(n)
    low, high = (mean + side * two_sided_t(n - 1, 1 - alpha) * half for side in (-1, 1))
    inner = two_sided_t(n - 1, 1 - 2 * beta) * half
    same = mean - inner > -gap and mean + inner < gap
    different = (low > 0 or high < 0) and not same
    p_value = two_sided_p(mean / half, n - 1) if half else 1.0
    if all_alike(differences):
        scatter, one_side = 0.0, 0.5**n
        p_value = min(2 * one_side, 1.0) if mean else 1.0
        same = abs(mean) < gap and one_side <= beta
        different = p_value <= alpha and not same
    answer = ANSWERS[1] if same else ANSWERS[0] if different else ANSWERS[2]
    return PairedResult(
        n,
        len(ours) - n,
        mean,
        float(low),
        float(high),
        *rank_interval(differences, alpha),
        p_value,
        signed_rank_p(differences),
        int((differences == 0).sum()),
        gap,
        answer,
        alpha,
        beta,
        scatter,
        float(mean - inner),
        float(mean + inner),
    )


def all_alike(differences: Sequence[float]) -> bool:
    """Whether all differences are alike to the last digit that was read, so that how they scatter is not known."""
    return float(np.ptp(differences)) <= NO_SCATTER * max(1.0, float(np.abs(differences).max()))


def holm(p_values: Mapping[str, float]) -> dict[str, float]:
    """P-values corrected for being several (Holm, Scand. J. Statist. 6 (1979) 65): none falls below its own, and none
    above 1.

    Parameters
    ----------
    p_values : Mapping of str to float
        One a question.

    Returns
    -------
    dict of str to float
        In the same order.
    """
    ordered = sorted(p_values, key=lambda name: p_values[name])
    highest, found = 0.0, {}
    for k, name in enumerate(ordered):
        highest = max(highest, min((len(ordered) - k) * p_values[name], 1.0))
        found[name] = highest
    return {name: found[name] for name in p_values}
