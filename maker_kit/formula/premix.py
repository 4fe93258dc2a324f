"""What a scale can show, and a pre-mix: a little of a substance spread in much of a carrier, to be portioned."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.numbers import exact_number, round_to_step

Ranges = tuple[tuple[Fraction, Fraction], ...]
"""Heaviest load and step of each range [g], exactly, the finest first."""
STRENGTHS_PERCENT = (10, 1, Fraction(1, 10))
"""Strengths of a pre-mix that are tried [%], the strongest first; common practice, no source."""


def check_scale(scale: Iterable[tuple[float, float]]) -> Ranges:
    """The ranges of a scale, exactly: heaviest load and step [g], the finest range first.

    Raises
    ------
    QuantityError
        If there is none, a figure is not above 0, a step is larger than its range, or a wider range has not the larger
        load and the coarser or equal step.
    """
    ranges = tuple(
        (exact_number(most, "the scale's heaviest load in g"), exact_number(step, "the scale's step in g"))
        for most, step in scale
    )
    if not ranges:
        raise QuantityError("no scale is given; write its heaviest load and its step in g, such as 500 g and 0.1 g")
    for most, step in ranges:
        if most <= 0 or step <= 0 or step > most:
            raise QuantityError(
                f"a scale of {float(most):g} g in steps of {float(step):g} g: load and step are above 0 g, and the "
                "step is the smaller"
            )
    for (most, step), (next_most, next_step) in itertools.pairwise(ranges):
        if next_most <= most or next_step < step:
            raise QuantityError(
                f"the scale's ranges go from fine to coarse: {float(next_most):g} g in steps of {float(next_step):g} g "
                f"cannot follow {float(most):g} g in steps of {float(step):g} g"
            )
    return ranges


def step_for(mass_g: Fraction, ranges: Ranges) -> Fraction | None:
    """The step of the first range that covers a mass [g]; None where it is too heavy for all."""
    return next((step for most, step in ranges if mass_g <= most), None)


@dataclass(frozen=True)
class PreMix:
    """How to portion what is too small for the scale.

    Attributes
    ----------
    ingredient, carrier : str
        What is portioned, and the balance line's ingredient that carries it.
    strength_percent : float
        Of the pre-mix [% by mass].
    substance_g, carrier_g : float
        What to weigh for the pre-mix itself [g], at the scale's step.
    wanted_g : float
        How much of the substance the batch needs [g].
    take_g : float
        How much of the pre-mix goes into the batch [g], at the scale's step.
    carrier_taken_g : float
        Carrier that comes with it, and by which the balance line falls [g].
    balance_left_g : float
        What is then weighed of the balance line [g], before rounding: after this pre-mix and those before it.
    substance_step_g, take_step_g : float
        The scale's steps at these two weighings [g].
    """

    ingredient: str
    carrier: str
    strength_percent: float
    substance_g: float
    carrier_g: float
    wanted_g: float
    take_g: float
    carrier_taken_g: float
    balance_left_g: float
    substance_step_g: float
    take_step_g: float

    @property
    def error_percent(self) -> float:
        """By how much what the pre-mix brings misses what is wanted, by rounding alone [%]."""
        return 100 * (self.take_g * self.strength_percent / 100 - self.wanted_g) / self.wanted_g

    @property
    def worst_percent(self) -> float:
        """Half a step of the worse of the two weighings, the substance and the portion, as a share of it [%]."""
        return max(100 * self.substance_step_g / 2 / self.substance_g, 100 * self.take_step_g / 2 / self.take_g)

    def sentence(self) -> str:
        """What to do, in one clause."""
        return (
            f"mix {self.substance_g:g} g of {self.ingredient} and {self.carrier_g:g} g of {self.carrier}, take "
            f"{self.take_g:g} g of it, and weigh {self.carrier_taken_g:.1f} g less of {self.carrier}"
        )


def plan_premix(
    ingredient: str, carrier: str, wanted_g: Fraction, balance_g: Fraction, ranges: Ranges, good_to: Fraction
) -> PreMix | None:
    """The strongest pre-mix whose two weighings are both good enough.

    The portion is ``take = wanted / strength``, at the scale's step; the substance weighed is the least number of steps
    that is enough for the portion, with a carrier that makes the strength. Half a step is at most `good_to` of each.
    The batch's mass stays: the balance line falls by what the portion brings beside the substance.

    Parameters
    ----------
    ingredient, carrier : str
    wanted_g : Fraction
        Mass of the substance in the batch [g], above 0.
    balance_g : Fraction
        What the balance line can give [g].
    ranges : Ranges
        Of the scale.
    good_to : Fraction
        How far half a step may be of a weighing, as a fraction: 1/20 for 5 %.

    Returns
    -------
    PreMix or None
        None where no strength of `STRENGTHS_PERCENT` gives a portion that is good enough, the pre-mix is too heavy for
        the scale, or the balance cannot hold the carrier.
    """
    for strength in (Fraction(s) / 100 for s in STRENGTHS_PERCENT):
        take_step = step_for(wanted_g / strength, ranges)
        take = round_to_step(wanted_g / strength, take_step) if take_step else Fraction(0)
        if take_step is None or take_step / 2 > good_to * min(take, wanted_g / strength):
            continue
        substance, step = _least_good(take * strength, ranges, good_to)
        if not substance or substance / strength > ranges[-1][0] or take - wanted_g > balance_g:
            return None
        taken = take - wanted_g
        return PreMix(
            ingredient,
            carrier,
            float(strength * 100),
            float(substance),
            float(substance / strength - substance),
            float(wanted_g),
            float(take),
            float(taken),
            float(balance_g - taken),
            float(step),
            float(take_step),
        )
    return None


def _least_good(least_g: Fraction, ranges: Ranges, good_to: Fraction) -> tuple[Fraction, Fraction]:
    """The smallest weighing of at least so much that is good enough, and its step; nothing where the scale has none."""
    for most, step in ranges:
        mass = math.ceil(max(least_g, step / 2 / good_to) / step) * step
        if mass <= most:
            return mass, step
    return Fraction(0), Fraction(0)
