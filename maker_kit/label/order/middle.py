"""A likely middle of a label order: a guess, never mixed with the bounds.

The mean of all compositions that fit, each weighing the same, over all places of the 1 % line. For one place the sum
floats and is tilted by exp(−θx), θ so that the mean sum is 100; the chain by one pass down and one up over a grid,
or in closed form where no cap or floor binds (without a line that is the broken stick, (100/n)·Σ 1/r); names under
the line as truncated exponentials. Places weigh by log Z + 100θ − ½ log(2π var) (saddle point). It knows only the
label: that is a poor picture of lotions, so the first name's range is asked for before it is shown.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from maker_kit.errors import LabelError
from maker_kit.label.order.bounds import OrderBounds, bounds_of
from maker_kit.label.order.label_order import Percent, label_order
from maker_kit.numbers import exact_share

NODES = 420
"""Nodes of the grid."""
FREE_TO = 3000.0
"""Where the grid ends for a name without a cap [%]: its weight is nothing by then."""
STEEPEST, FLATTEST = 40.0, -40.0
"""Tilts that are tried [1/%]."""
FIXED = 1e-7
"""Ranges narrower than this are widened to it [%]."""


@dataclass(frozen=True)
class _Place:
    """The box of one place of the line: chain with its ends, and names free of each other."""

    low: np.ndarray
    high: np.ndarray
    free_low: np.ndarray
    free_high: np.ndarray
    line: float

    @property
    def plain(self) -> bool:
        """Whether the chain has neither caps nor floors."""
        return bool(np.isinf(self.high).all() and (self.low <= self.line).all())


def likely_middle(found: OrderBounds, first: tuple[Percent, Percent]) -> tuple[float, ...]:
    """A guess at the percent of every name, in the label's order; it sums to 100 and lies inside the bounds.

    Parameters
    ----------
    found : OrderBounds
    first : (number, number)
        Least and most of the first name [%], as whoever knows such products would say: ``(60, 85)`` for the water of a
        lotion. Without it the guess would be far off.

    Returns
    -------
    tuple of float
        [% by mass]. Sums over several names are kept only as caps on each of them.

    Raises
    ------
    LabelError
        If the range runs backwards.
    ContradictionError
        If it does not fit the label.
    QuantityError
        If it is no percentage.
    """
    low, high = (
        exact_share(end, f"the {word} of the first name") for end, word in zip(first, ("least", "most"), strict=True)
    )
    if low > high:
        raise LabelError(
            f"the first name from {float(low):g} to {float(high):g} % runs backwards; the low figure comes first"
        )
    order, name = found.order, found.order.names[0]
    caps = {**order.at_most, name: min(order.at_most.get(name, high), high)}
    floors = {**order.at_least, name: max(order.at_least.get(name, low), low)}
    for s in order.sums:
        if s.most is not None:
            caps |= {n: min(caps.get(n, s.most), s.most) for n in s.names}
    asked = replace(
        label_order(order.names, law=order.law, colours_last=order.colours_last, at_most=caps, at_least=floors),
        maybe_absent=order.maybe_absent,
    )
    return _mean(bounds_of(asked))


def _mean(found: OrderBounds) -> tuple[float, ...]:
    n = len(found.order.names)
    means, weights = [], []
    for k in found.line_after:
        solved = _solve(_place(found, k))
        if solved is not None:
            means.append(solved[0])
            weights.append(solved[1])
    if not means:  # everything is fixed by the rules themselves
        middle = np.array([(r.least.percent + r.most.percent) / 2 for r in found.rows])
        return tuple(float(v) for v in middle * 100 / middle.sum())
    share = np.exp(np.array(weights) - max(weights))
    mean = np.average(np.array(means), axis=0, weights=share)
    assert len(mean) == n
    return tuple(float(v) for v in mean)


def _place(found: OrderBounds, k: int) -> _Place:
    order, rows = found.order, found.rows
    chain = len(order.names) - order.colours_last
    line = 0.0 if order.law == "all" else 1.0
    low, high, free_low, free_high = [], [], [], []
    for i, (name, row) in enumerate(zip(order.names, rows, strict=True)):
        floor, cap = float(order.at_least.get(name, 0)), float(order.at_most.get(name, 100))
        if i < k:
            low.append(max(floor, line))
            high.append(cap if cap <= row.most.percent + 1e-9 and cap < 100 else np.inf)
        else:
            free_low.append(floor)
            free_high.append(cap if i >= chain else min(cap, 1.0))
    low = np.maximum.accumulate(np.array(low)[::-1])[::-1] if low else np.array([])
    high = np.minimum.accumulate(np.array(high)) if high else np.array([])
    high = np.maximum(high, low + FIXED)
    free_low, free_high = np.array(free_low), np.array(free_high)
    return _Place(low, high, free_low, np.maximum(free_high, free_low + FIXED), line)


def _solve(place: _Place) -> tuple[np.ndarray, float] | None:
    """Means of all names at one place, and its weight; None where no tilt makes the sum 100."""
    unbounded = bool(np.isinf(place.high).any())
    grid = None if place.plain or not len(place.low) else _grid(place)

    def short(theta: float) -> float:
        return float(_tilted(place, theta, grid)[0].sum()) - 100.0

    low, high = (0.05, 0.5) if unbounded else (-0.05, 0.5)
    while short(low) <= 0 and low > FLATTEST and (not unbounded or low > 1e-4):
        low = low / 2 if unbounded else low * 2
    while short(high) >= 0 and high < STEEPEST:
        high *= 2
    if short(low) <= 0 or short(high) >= 0:
        return None
    from scipy.optimize import brentq

    theta = brentq(short, low, high, xtol=1e-10, rtol=1e-12)
    means, log_z = _tilted(place, theta, grid)
    step = max(abs(theta), 0.01) * 1e-3
    spread = max((short(theta - step) - short(theta + step)) / (2 * step), 1e-12)
    return means, log_z + 100 * theta - 0.5 * np.log(2 * np.pi * spread)


def _tilted(place: _Place, theta: float, grid: np.ndarray | None) -> tuple[np.ndarray, float]:
    """Means under a tilt, and the logarithm of the weight of all."""
    if not len(place.low):
        chain, log_z = np.array([]), 0.0
    elif grid is None:
        k = len(place.low)
        ranks = np.arange(1, k + 1)
        chain = place.line + np.cumsum((1 / (ranks * theta))[::-1])[::-1]
        log_z = -theta * k * place.line - float(np.log(ranks * theta).sum())
    else:
        chain, log_z = _passes(place, theta, grid)
    means, logs = _truncated(place.free_low, place.free_high, theta)
    return np.concatenate([chain, means]), log_z + logs


def _truncated(low: np.ndarray, high: np.ndarray, theta: float) -> tuple[np.ndarray, float]:
    """Means of exp(−θx) on intervals, and the logarithm of their joint weight."""
    if not len(low):
        return low, 0.0
    width = high - low
    z = theta * width
    small = np.abs(z) < 1e-5
    safe = np.where(small, 1.0, z)
    share = np.where(small, 0.5 - z / 12, 1 / safe - 1 / np.expm1(np.clip(safe, -700, 700)))
    weight = np.where(
        small,
        -z / 2,
        np.where(safe > 0, 0, -safe) + np.log(np.maximum(-np.expm1(-np.abs(safe)), 1e-300) / np.abs(safe)),
    )
    return low + width * share, float((np.log(width) + weight - theta * low).sum())


def _grid(place: _Place) -> np.ndarray:
    """Nodes: all ends of ranges, and a spread that is fine near the line."""
    ends = np.concatenate([place.low, place.high[np.isfinite(place.high)]])
    top = FREE_TO if np.isinf(place.high).any() else float(ends.max())
    bottom = float(ends.min())
    span = max(top - bottom, FIXED)
    steps = bottom + np.geomspace(span * 1e-4, span, NODES)
    even = np.linspace(bottom, min(top, 100.0), NODES)
    return np.unique(np.concatenate([[bottom], ends, steps, even]))


def _passes(place: _Place, theta: float, grid: np.ndarray) -> tuple[np.ndarray, float]:
    """Means of the chain by one pass up and one down over the grid."""
    gaps = np.diff(grid)
    decay = np.exp(-theta * grid - (-theta * grid).max())
    log_scale = float((-theta * grid).max())
    k = len(place.low)
    inside = [
        ((grid >= lo - 1e-12) & (grid <= hi + 1e-12)).astype(float)
        for lo, hi in zip(place.low, place.high, strict=True)
    ]
    behind = np.ones_like(grid)
    below = [behind] * k
    log_z = 0.0
    for j in reversed(range(k)):
        below[j] = behind
        density = decay * behind * inside[j]
        summed = np.concatenate([[0.0], np.cumsum(gaps * _cells(density, inside[j]))])
        scale = summed[-1] or 1e-300
        behind = summed / scale
        log_z += np.log(scale) + log_scale
    before, means = np.ones_like(grid), np.zeros(k)
    for j in range(k):
        density = decay * inside[j]
        joint = density * below[j] * before
        cells = gaps * _cells(joint, inside[j])
        middle = gaps * _cells(joint * grid, inside[j])
        means[j] = middle.sum() / (cells.sum() or 1e-300)
        part = gaps * _cells(density * before, inside[j])
        summed = np.concatenate([np.cumsum(part[::-1])[::-1], [0.0]])
        before = summed / (summed[0] or 1e-300)
    return means, log_z


def _cells(values: np.ndarray, inside: np.ndarray) -> np.ndarray:
    """Mean of each cell by the trapezoid; nothing in a cell that is not wholly inside."""
    return (values[1:] + values[:-1]) / 2 * inside[1:] * inside[:-1]
