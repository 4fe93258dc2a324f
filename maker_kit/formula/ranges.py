"""The ranges of a scale, and a mass rounded to what it can show."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.units import exact_number

Ranges = tuple[tuple[Fraction, Fraction], ...]
"""Heaviest load and step of each range [g], exactly, the finest first."""


def check_scale(scale: Iterable[tuple[float, float]]) -> Ranges:
    """The ranges of a scale, exactly: heaviest load and step [g], the finest range first.

    Raises
    ------
    QuantityError
        If there is none, a figure is not above 0, a step is larger than its range, or a wider range has not the larger load and the coarser or equal step.
    """
    ranges = tuple(
        (exact_number(most, "the scale's heaviest load in g"), exact_number(step, "the scale's step in g"))
        for most, step in scale
    )
    if not ranges:
        msg = "no scale is given; write its heaviest load and its step in g, such as 500 g and 0.1 g"
        raise QuantityError(msg)
    for most, step in ranges:
        if most <= 0 or step <= 0 or step > most:
            msg = f"a scale of {float(most):g} g in steps of {float(step):g} g: load and step are above 0 g, and the step is the smaller"
            raise QuantityError(msg)
    for (most, step), (next_most, next_step) in itertools.pairwise(ranges):
        if next_most <= most or next_step < step:
            msg = f"the scale's ranges go from fine to coarse: {float(next_most):g} g in steps of {float(next_step):g} g cannot follow {float(most):g} g in steps of {float(step):g} g"
            raise QuantityError(msg)
    return ranges


def round_to_step(mass_g: float | Fraction, step_g: float | Fraction) -> Fraction:
    """A mass at the step of a scale [g], half a step upward, exactly: ``floor(m / step + 1/2) · step``."""
    step = exact_number(step_g, "the step in g")
    return math.floor(exact_number(mass_g, "a mass in g") / step + Fraction(1, 2)) * step


def step_for(mass_g: Fraction, ranges: Ranges) -> Fraction | None:
    """The step of the first range that covers a mass [g]; None where it is too heavy for all."""
    return next((step for most, step in ranges if mass_g <= most), None)
