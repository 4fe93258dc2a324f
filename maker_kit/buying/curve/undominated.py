"""Which of many partial baskets are beaten by none in cost and in all that is still to be done: one sort, then running
minima below a few marks of the other dimensions.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np

from maker_kit.buying.curve.catalogue import Array

MARKS = 16
"""So many marks where two dimensions are compared, and the root of it a dimension where there are more, in at most
twice as many combinations, each of which is one pass. With 2, 4, 8, 16 and 32 of them 29, 23, 17, 12 and 13 counts of
four medium markets stayed open, all in about the same time."""

FEW = MARKS * MARKS // 2
"""So few are compared each with each, which is exact and costs no sort. Without it 7 counts of a market with mixed
delivery stayed open instead of 1, in nearly twice the time."""


def undominated(group: Array, cost: Array, dims: Sequence[Array]) -> Array:
    """Places of what nothing of the same group beats: no dearer and nowhere more in `dims`. A few that are beaten may
    stay; of equal ones one stays, or a few.

    One sort by group and cost, then running minima of one dimension among those that lie below some marks of the
    others.

    Parameters
    ----------
    group : numpy.ndarray of int64
    cost : numpy.ndarray of int64
    dims : sequence of numpy.ndarray of int64
        All at least 0.

    Returns
    -------
    numpy.ndarray
        By group, and there by cost.
    """
    if len(group) < 2:
        return np.arange(len(group))
    low, span = int(cost.min()), int(np.ptp(cost)) + 1
    small = int(group.max()) < 2**62 // span  # then one number holds both, which is sorted several times sooner
    order = np.argsort(group * span + (cost - low)) if small else np.lexsort((cost, group))
    if not dims:
        return order[starts(group[order])]
    if len(order) <= FEW:
        worse = group[order][:, None] == group[order]
        worse &= np.all([d[order][:, None] >= d[order] for d in dims], axis=0)
        return order[~np.tril(worse, -1).any(axis=1)]
    first, *others = sorted(dims, key=lambda d: -len(np.unique(d[:FEW])))
    places = np.linspace(0, len(order), max(round(MARKS ** (1 / max(len(others), 1))), 2), endpoint=False, dtype=int)
    marks = [np.unique(np.partition(d, places)[places]) for d in others]
    most = int(first.max()) + 1
    for corner in itertools.islice(itertools.product(*marks), 2 * MARKS):
        below, above = np.ones((2, len(order)), bool)
        for d, mark in zip(others, corner, strict=True):
            below &= d[order] <= mark
            above &= d[order] >= mark
        shift = np.cumsum(starts(group[order])) * (most + 1)
        best = np.minimum.accumulate(np.where(below, first[order], most) - shift)
        above[1:] &= (first[order] - shift)[1:] >= best[:-1]
        above[0] = False
        order = order[~above]
    return order


def starts(group: Array) -> Array:
    """Whether each entry is the first of its group, in a sorted array."""
    new = np.ones(len(group), bool)
    new[1:] = group[1:] != group[:-1]
    return new
