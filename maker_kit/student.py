"""Student's t for whole degrees of freedom, by its finite sums: no library has to be fetched for one number."""

from __future__ import annotations

import math


def within(t: float, degrees_of_freedom: int) -> float:
    """How likely a value lies between −t and t: the finite sums of Abramowitz and Stegun, Handbook of Mathematical
    Functions (1964), 26.7.3 and 26.7.4 (from memory; the tests hold them against scipy.stats.t).

    Parameters
    ----------
    t : float
        0 or more.
    degrees_of_freedom : int
        1 or more.

    Returns
    -------
    float
    """
    angle = math.atan2(t, math.sqrt(degrees_of_freedom))
    sine, squared = math.sin(angle), math.cos(angle) ** 2
    odd = degrees_of_freedom % 2
    term, total = (math.cos(angle), 0.0) if odd else (1.0, 0.0)
    for k in range(2 + odd, degrees_of_freedom + 1, 2):
        total += term
        term *= squared * (k - 1) / k
    return 2 / math.pi * (angle + sine * total) if odd else sine * total


def two_sided_p(t: float, degrees_of_freedom: int) -> float:
    """How likely a value lies as far from zero as t, or farther."""
    return max(0.0, 1 - within(abs(t), degrees_of_freedom))


def two_sided_t(degrees_of_freedom: int, trust: float) -> float:
    """The t between which and −t a value lies with so much trust.

    Parameters
    ----------
    degrees_of_freedom : int
        1 or more.
    trust : float
        Above 0 and below 1.

    Returns
    -------
    float
        To the last digits that halving an interval gives.
    """
    low, high = 0.0, 1.0
    while within(high, degrees_of_freedom) < trust and high < 1e300:
        low, high = high, 2 * high
    while (middle := (low + high) / 2) not in (low, high):
        low, high = (middle, high) if within(middle, degrees_of_freedom) < trust else (low, middle)
    return high
