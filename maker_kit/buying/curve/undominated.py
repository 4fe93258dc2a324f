"""Which of many partial baskets are beaten by none in cost and in all that is still to be done: one sort, then running minima below a few marks of the other dimensions."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np

FEW = 128
"""So few are compared each with each."""

SAMPLED = 256
"""How many values the marks of a dimension are taken from."""

MARKS = {0: 1, 1: 8, 2: 4}
"""Marks a dimension, by the number of dimensions that have marks; 2 with more."""

MOST_CORNERS = 32
"""Most combinations of marks looked at."""

NEIGHBOURS = (1, 2, 3, 5, 8)
"""Places before its own that everything is compared with at last."""


def undominated(group: np.ndarray, cost: np.ndarray, dims: Sequence[np.ndarray]) -> np.ndarray:
    """Places of what nothing of the same group beats: no dearer and nowhere more in `dims`. A few that are beaten may stay; of equal ones one stays, or a few.

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
    order = _by_group_and_cost(group, cost)
    if len(order) < 2:
        return order
    if not dims:
        return order[_starts(group[order])]
    if len(order) <= FEW:
        return order[~_beaten(group[order], [d[order] for d in dims])]
    marks = [np.unique(np.sort(d[:: len(d) // SAMPLED + 1])[:: SAMPLED // MARKS.get(len(dims) - 1, 2)]) for d in dims]
    spread = sorted(range(len(dims)), key=lambda k: -len(marks[k]))
    first, others, marks = dims[spread[0]], [dims[k] for k in spread[1:]], [marks[k] for k in spread[1:]]
    for corner in itertools.islice(itertools.product(*marks), MOST_CORNERS):
        order = order[~_beaten_below(group[order], first[order], [d[order] for d in others], corner)]
    return _unlike_neighbours(order, group, dims) if others else order


def _by_group_and_cost(group: np.ndarray, cost: np.ndarray) -> np.ndarray:
    """The order by both; as one number, where it is not too large, they are sorted several times sooner."""
    if not len(cost):
        return np.zeros(0, dtype=np.int64)
    low, span = int(cost.min()), int(cost.max()) - int(cost.min()) + 1
    if int(group.max()) < 2**62 // span:
        return np.argsort(group * span + (cost - low))
    return np.lexsort((cost, group))


def _starts(group: np.ndarray) -> np.ndarray:
    """Whether each entry is the first of its group, in a sorted array."""
    new = np.ones(len(group), dtype=bool)
    new[1:] = group[1:] != group[:-1]
    return new


def _beaten(group: np.ndarray, dims: Sequence[np.ndarray]) -> np.ndarray:
    """Whether one that stands before beats an entry, of entries by group and cost."""
    worse = group[:, None] == group[None, :]
    for d in dims:
        worse &= d[:, None] >= d[None, :]
    return np.tril(worse, -1).any(axis=1)


def _beaten_below(
    group: np.ndarray, first: np.ndarray, others: Sequence[np.ndarray], corner: Sequence[int]
) -> np.ndarray:
    """Whether one that stands before, has no more of `first` and lies below the marks beats an entry that lies above them."""
    below, above = np.ones(len(group), dtype=bool), np.ones(len(group), dtype=bool)
    for d, mark in zip(others, corner, strict=True):
        below &= d <= mark
        above &= d >= mark
    most = int(first.max()) + 1
    shift = np.cumsum(_starts(group)) * (most + 1)
    best = np.minimum.accumulate(np.where(below, first, most) - shift)
    beaten = np.zeros(len(group), dtype=bool)
    beaten[1:] = above[1:] & ((first - shift)[1:] >= best[:-1])
    return beaten


def _unlike_neighbours(order: np.ndarray, group: np.ndarray, dims: Sequence[np.ndarray]) -> np.ndarray:
    """What none of a few that stand before beats."""
    for reach in NEIGHBOURS:
        if len(order) <= reach:
            break
        beaten = group[order][reach:] == group[order][:-reach]
        for d in dims:
            beaten &= d[order][reach:] >= d[order][:-reach]
        keep = np.ones(len(order), dtype=bool)
        keep[reach:] = ~beaten
        order = order[keep]
    return order
