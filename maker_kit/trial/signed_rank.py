"""Signed ranks of paired differences: an interval of the middle one, and the chance of as much where there is none."""

from __future__ import annotations

import math

import numpy as np

MOST_EXACT = 50
"""So many differences that are not zero are counted out exactly; more are taken as normal."""


def rank_interval(differences: np.ndarray, alpha: float) -> tuple[float, float]:
    """Interval of the middle difference by Walsh averages (Hodges and Lehmann): between the k-th smallest and the k-th
    largest mean of two differences, k from the exact signed-rank distribution.

    Parameters
    ----------
    differences : numpy.ndarray
        Ours less the shop's, at least one.
    alpha : float
        One less the confidence.

    Returns
    -------
    tuple of float, float
        In the differences' unit.
    """
    n = len(differences)
    first, second = np.triu_indices(n)
    walsh = np.sort((differences[first] + differences[second]) / 2)
    cumulative = np.cumsum(_ways(np.arange(1, n + 1))) / 2.0**n
    k = int(np.searchsorted(cumulative, alpha / 2, side="right"))
    return (float(walsh[k - 1]), float(walsh[len(walsh) - k])) if k else (float(walsh[0]), float(walsh[-1]))


def signed_rank_p(differences: np.ndarray) -> float:
    """Two-sided p of Wilcoxon's signed-rank test: zeros are left out, ties share their middle rank.

    Every sign of every difference is as likely as the other where there is no difference; the sums of ranks are counted
    out, with ties too, up to `MOST_EXACT` differences. Above, the sum is taken as normal with the variance of the ranks
    as they are (Hollander and Wolfe, Nonparametric Statistical Methods, ch. 3, from memory).

    Parameters
    ----------
    differences : numpy.ndarray

    Returns
    -------
    float
        1 where all differences are zero.
    """
    left = differences[differences != 0]
    n = len(left)
    if not n:
        return 1.0
    _, places, each = np.unique(np.abs(left), return_inverse=True, return_counts=True)
    doubled = (2 * np.cumsum(each) - each + 1)[places]  # twice the middle rank, a whole number
    rank_sum = int(doubled[left > 0].sum())
    if n > MOST_EXACT:
        z = abs(rank_sum - doubled.sum() / 2) / math.sqrt(float((doubled.astype(float) ** 2).sum()) / 4)
        return math.erfc(z / math.sqrt(2))
    ways = _ways(doubled)
    tail = min(ways[: rank_sum + 1].sum(), ways[rank_sum:].sum())
    return min(1.0, 2 * float(tail) / 2.0**n)


def _ways(ranks: np.ndarray) -> np.ndarray:
    """In how many ways signs can be set so that the ranks above zero add up to 0, 1, 2 …"""
    counts = np.zeros(int(ranks.sum()) + 1)
    counts[0] = 1.0
    for rank in ranks:
        counts[rank:] = counts[rank:] + counts[:-rank]
    return counts
