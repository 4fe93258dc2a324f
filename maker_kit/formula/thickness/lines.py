"""Lines through points, as plain figures: straight between neighbours, the nearest monotone sequence, a parabola."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.errors import QuantityError

WORST_CONDITION = 1e5
"""Condition number of the scaled design above which levels count as too close; half of the digits of a float are left
below it.
"""
NEAR_ENOUGH = 1e-9
"""Relative difference at which two values are one: far below what anybody reads."""


def straight_value(x: Sequence[float], y: Sequence[float], at: float) -> float:
    """What straight lines between neighbours give: ``y₁ + (y₂ − y₁)·(at − x₁)/(x₂ − x₁)``.

    Parameters
    ----------
    x, y : sequence of float
        The points, by rising `x`.
    at : float
        Within `x`.
    """
    right = next((k for k, a in enumerate(x) if k and at <= a), len(x) - 1)
    part = (at - x[right - 1]) / (x[right] - x[right - 1])
    return y[right] if part == 1 else y[right - 1] + part * (y[right] - y[right - 1])


def straight_crossings(x: Sequence[float], y: Sequence[float], wanted: float) -> list[float]:
    """Every place at which those straight lines have a wanted value, rising; both ends of a stretch that is level."""
    slack = NEAR_ENOUGH * max(1.0, abs(wanted))
    found = {a for a, b in zip(x, y, strict=True) if abs(b - wanted) <= slack}
    for (a, low), (b, high) in itertools.pairwise(zip(x, y, strict=True)):
        if min(low, high) + slack < wanted < max(low, high) - slack:
            found.add(a + (b - a) * (wanted - low) / (high - low))
    return sorted(found)


def side(value: float, low: float, high: float) -> int:
    """Where a value lies: below (-1), within (0) or above (1), free of the dust of logarithms."""
    return -1 if value < low * (1 - NEAR_ENOUGH) else 1 if value > high * (1 + NEAR_ENOUGH) else 0


def stretches(marks: Iterable[float], within: Callable[[float], bool]) -> tuple[tuple[float, float], ...]:
    """The stretches over which something holds, rising.

    It holds at a mark, or between two neighbouring marks, or not, and nowhere changes between them.
    """
    rising = sorted(set(marks))
    held = [(level, level) for level in rising if within(level)]
    held += [(a, b) for a, b in itertools.pairwise(rising) if within(a) and within(b) and within((a + b) / 2)]
    joined: list[tuple[float, float]] = []
    for a, b in sorted(held):
        if joined and a <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], b))
        else:
            joined.append((a, b))
    return tuple(joined)


@dataclass(frozen=True)
class Parabola:
    """A parabola ``y = b0 + b1·x + b2·x²`` by ordinary least squares.

    Attributes
    ----------
    b0, b1, b2 : float
    middle, half : float
        The fit was made in ``z = (x − middle) / half``, for the sake of the arithmetic.
    spread_matrix : tuple of tuple of float
        ``(ZᵀZ)⁻¹`` in `z`; times the variance of one reading, the covariance of the coefficients in `z`.
    """

    b0: float
    b1: float
    b2: float
    middle: float
    half: float
    spread_matrix: tuple[tuple[float, ...], ...]

    def at(self, x: float) -> float:
        """The parabola at `x`."""
        return self.b0 + x * (self.b1 + x * self.b2)

    def slope(self, x: float) -> float:
        """Its slope at `x`."""
        return self.b1 + 2 * x * self.b2

    @property
    def turns_at(self) -> float:
        """Where it turns, ``−b1 / (2·b2)``; infinity for a straight line."""
        return -self.b1 / (2 * self.b2) if self.b2 else math.inf

    def leverage(self, x: float) -> float:
        """Variance of the curve at `x` over that of one reading, ``gᵀ(ZᵀZ)⁻¹g``."""
        z = (x - self.middle) / self.half
        g = np.array([1.0, z, z * z])
        return float(g @ np.array(self.spread_matrix) @ g)

    def where(self, y: float) -> tuple[float, ...]:
        """Every `x` at which the parabola is `y`, rising."""
        if not self.b2:
            return ((y - self.b0) / self.b1,) if self.b1 else ()
        top = self.turns_at
        square = (y - self.at(top)) / self.b2
        if square < 0:
            return ()
        half = math.sqrt(square)
        return (top - half, top + half) if half else (top,)


def fit_parabola(x: Sequence[float], y: Sequence[float]) -> Parabola:
    """The least-squares parabola through some points.

    Ordinary least squares, solved in a centred and scaled abscissa by a singular value decomposition (numpy).

    Parameters
    ----------
    x, y : sequence of float
        At least three different `x`.

    Returns
    -------
    Parabola

    Raises
    ------
    QuantityError
        If fewer than three different `x` are given, two of three are almost one, or the lengths differ.
    """
    if len(x) != len(y) or len(set(x)) < 3:
        raise QuantityError(f"a parabola takes three levels or more; found {len(set(x))}")
    middle, half = (max(x) + min(x)) / 2, (max(x) - min(x)) / 2
    z = (np.asarray(x, dtype=float) - middle) / half
    design = np.column_stack([np.ones_like(z), z, z * z])
    if np.linalg.cond(design) > WORST_CONDITION:
        raise QuantityError(
            "two of the levels lie so close together that they count as one for a parabola; make one further away"
        )
    (a0, a1, a2), *_ = np.linalg.lstsq(design, np.asarray(y, dtype=float), rcond=None)
    inverse = np.linalg.inv(design.T @ design)
    b2, b1 = a2 / half**2, a1 / half - 2 * a2 * middle / half**2
    return Parabola(
        float(a0 - a1 * middle / half + a2 * (middle / half) ** 2),
        float(b1),
        float(b2),
        middle,
        half,
        tuple(tuple(map(float, row)) for row in inverse),
    )


def monotone_values(y: Sequence[float], weights: Sequence[float]) -> tuple[float, ...]:
    """The monotone sequence nearest to some values: what goes the wrong way is drawn together to its weighted mean.

    Isotonic least squares (pool adjacent violators; Barlow, Bartholomew, Bremner and Brunk 1972, Statistical Inference
    under Order Restrictions, from memory), by scipy, rising or falling, whichever is nearer. Values that are monotone
    already are given back as they are.

    Parameters
    ----------
    y : sequence of float
    weights : sequence of float
        Above 0; how many readings each value is the mean of.
    """
    pairs = list(itertools.pairwise(y))
    if all(a <= b for a, b in pairs) or all(a >= b for a, b in pairs):
        return tuple(map(float, y))
    from scipy.optimize import isotonic_regression

    fits = [isotonic_regression(y, weights=weights, increasing=rising).x for rising in (False, True)]
    misses = [sum(w * (a - b) ** 2 for a, b, w in zip(fit, y, weights, strict=True)) for fit in fits]
    return tuple(map(float, fits[0] if misses[0] <= misses[1] else fits[1]))
