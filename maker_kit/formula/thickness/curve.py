"""A curve through the maker's own readings: what a level gives. Never outside what was tried, never above the most."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.formula.thickness.lines import Parabola, side, straight_crossings, straight_value, stretches
from maker_kit.formula.thickness.readings import MEASURES, half_step
from maker_kit.names import look_up, name_key
from maker_kit.numbers import exact_number
from maker_kit.student import two_sided_t

AUTOMATIC = "automatic"
"""The word for the choice that is left to the readings."""
TRUST = 0.95
"""Trust of an interval."""


class Shape(StrEnum):
    """The curves there are.

    Surfactant with salt rises, peaks and falls: O'Lenick, Understanding Salt Curves, 2018 (read).
    """

    STEADY = "steady"
    MAXIMUM = "maximum"

    @property
    def words(self) -> str:
        """The curve as a maker reads and types it."""
        return "steady" if self is Shape.STEADY else "with a maximum"

    @property
    def how(self) -> str:
        """How it is drawn, and for what."""
        if self is Shape.STEADY:
            return "straight lines between the logarithms of the readings, for gums and polymers"
        return "parabola of the logarithms of the readings, for surfactant thickened with salt"


CHOICES = (AUTOMATIC, *(shape.words for shape in Shape))
"""What may be chosen, in words."""


def read_shape(words: str) -> Shape | None:
    """The curve that a maker names; None where the choice is left to the readings.

    Raises
    ------
    UnknownNameError
        If there is no such curve.
    """
    known = {AUTOMATIC: None, **{shape.value: shape for shape in Shape}, **{shape.words: shape for shape in Shape}}
    return look_up(name_key(words), known, f'there is no thickness curve "{words}"')


@dataclass(frozen=True)
class ThicknessCurve:
    """A curve through the readings of one temperature and one age.

    Ask `value_at`; `maker_kit.formula.thickness.levels` reads it the other way.

    Attributes
    ----------
    shape : Shape
    measure : {'spread', 'funnel', 'viscosity'}
    levels : tuple of float
        Levels that were tried, rising [% of the whole].
    values : tuple of float
        What was read there, the geometric mean of repeats [unit].
    counts : tuple of int
        Readings of each level.
    log_values : tuple of float
        Natural logarithms that the steady curve runs through.
    parabola : Parabola or None
        Of ``ln value`` in the level, for the curve with a maximum.
    log_scatter : float or None
        Standard deviation of ``ln value`` over repeats, pooled; None without repeats.
    degrees_of_freedom : int
        Of that.
    most_percent : float or None
        The supplier's most [% of the whole].
    temperature_c, hours : float
        Of the readings [°C, h].
    kept_apart : tuple of str
        Temperatures and ages of readings that were left out.
    asked : bool
        Whether the maker chose the curve; otherwise the readings did.
    """

    shape: Shape
    measure: str
    levels: tuple[float, ...]
    values: tuple[float, ...]
    counts: tuple[int, ...]
    log_values: tuple[float, ...]
    parabola: Parabola | None
    log_scatter: float | None
    degrees_of_freedom: int
    most_percent: float | None
    temperature_c: float
    hours: float
    kept_apart: tuple[str, ...] = ()
    asked: bool = True

    @property
    def unit(self) -> str:
        """The unit of what was read."""
        return MEASURES[self.measure]

    @property
    def chosen(self) -> str:
        """Why this curve and not the other, in a sentence without its full stop."""
        if self.asked:
            return f"the curve is {self.shape.words}, as chosen: {self.shape.how}"
        if self.shape is Shape.STEADY:
            return f"the curve is steady, since the readings go one way: {self.shape.how}"
        return (
            f"the curve is with a maximum, since the readings turn: thickest near {self.peak_percent or 0:.3g} %, "
            f"and more makes it thinner; {self.shape.how}"
        )

    @property
    def lowest(self) -> float:
        """Lowest level that was tried [%]."""
        return self.levels[0]

    @property
    def highest(self) -> float:
        """Highest level that was tried and that the supplier allows [%]."""
        return self.levels[-1] if self.most_percent is None else min(self.levels[-1], self.most_percent)

    @property
    def peak_percent(self) -> float | None:
        """Level of the thickest product by the curve with a maximum [%]; None for the other, and where it lies outside
        what was tried.
        """
        top = self.parabola.turns_at if self.parabola else math.inf
        return top if self.lowest <= top <= self.levels[-1] else None

    @property
    def source(self) -> str:
        """Where the figures are from, in words."""
        return f"the maker's own readings, {self.temperature_c:g} °C, {self.hours:g} h; {self.shape.how}"

    def allows(self, level: float) -> bool:
        """Whether the supplier allows a level [%]."""
        return self.most_percent is None or level <= self.most_percent

    def log_at(self, level: float) -> tuple[float, float, float]:
        """At a tried level: ``ln value``, its slope per percent, and the variance of the curve over that of one
        reading.
        """
        if self.parabola:
            return self.parabola.at(level), self.parabola.slope(level), self.parabola.leverage(level)
        right = next((k for k, tried in enumerate(self.levels) if k and level <= tried), len(self.levels) - 1)
        (a, b), (low, high) = self.levels[right - 1 : right + 1], self.log_values[right - 1 : right + 1]
        part = (level - a) / (b - a)
        variance = (1 - part) ** 2 / self.counts[right - 1] + part**2 / self.counts[right]
        return straight_value(self.levels, self.log_values, level), (high - low) / (b - a), variance

    def check_level(self, level_percent: float) -> float:
        """The level itself, if it was tried and is allowed.

        Raises
        ------
        QuantityError
            If it is no number, lies outside what was tried, or above the supplier's most.
        """
        level = float(exact_number(level_percent, "the level in %"))
        if not self.allows(level):
            raise QuantityError(
                f"{level:g} % is above the supplier's most, {self.most_percent:g} %; stay at or below it"
            )
        if not self.lowest <= level <= self.levels[-1]:
            raise QuantityError(
                f"{level:g} % lies outside what was tried ({self.lowest:g} to {self.levels[-1]:g} % at "
                f"{self.temperature_c:g} °C after {self.hours:g} h); make a sample at that level and measure it"
            )
        return level

    def value_at(self, level_percent: float) -> float:
        """The predicted spread [cm], funnel time [s] or viscosity [mPa·s] at a level, for a slider.

        Raises
        ------
        QuantityError
            As `check_level` does.
        """
        return math.exp(self.log_at(self.check_level(level_percent))[0])

    def value_interval(self, level_percent: float) -> tuple[float, float] | None:
        """Between which values the curve lies at a level, with 95 % trust by the scatter of the repeats.

        ``value · exp(± t · s · √v)`` with Student's `t`, the pooled scatter `s` of the logarithms and the curve's
        variance `v` over that of one reading; never narrower than the step of the readings (`half_step`): that two
        rounded figures are equal does not show that what they round is. None without repeats.

        Raises
        ------
        QuantityError
            As `check_level` does.
        """
        log, _, variance = self.log_at(self.check_level(level_percent))
        if self.log_scatter is None:
            return None
        wide = student_t(self.degrees_of_freedom) * self.log_scatter * math.sqrt(variance)
        value = math.exp(log)
        step = half_step(self.measure, value)
        return max(min(math.exp(log - wide), value - step), 0.0), max(math.exp(log + wide), value + step)

    def marks(self, inner: list[float]) -> list[float]:
        """The allowed levels between which nothing turns, nor crosses an edge if `inner` has the crossings [%]."""
        return [x for x in (self.lowest, self.highest, *self.levels, *inner) if x <= self.highest]

    def drawn(self, count: int = 101) -> pd.DataFrame:
        """The curve for a picture: level [%] and value, over what was tried and allowed, tried levels among them."""
        inner = [self.lowest + (self.highest - self.lowest) * k / max(count - 1, 1) for k in range(count)]
        levels = sorted(
            {min(max(level, self.lowest), self.highest) for level in inner}
            | {level for level in self.levels if level <= self.highest}
        )
        return pd.DataFrame(
            {"level %": levels, f"{self.measure} {self.unit}": [self.value_at(level) for level in levels]}
        )


def student_t(degrees_of_freedom: int, trust: float = TRUST) -> float:
    """Student's `t` for a two-sided interval of the given trust."""
    return two_sided_t(degrees_of_freedom, trust)


def straight_at(curve: ThicknessCurve, level_percent: float) -> float:
    """What straight lines between the means of the same readings give at a tried level [cm, s or mPa·s].

    The plain way, by hand on squared paper; what is judged and drawn runs along the logarithms, and names this beside
    it.
    """
    return straight_value(curve.levels, curve.values, curve.check_level(level_percent))


def straight_for(curve: ThicknessCurve, value: float) -> tuple[float, ...]:
    """The tried and allowed levels at which those straight lines have a value [cm, s or mPa·s], rising [% of the
    whole].
    """
    return tuple(x for x in straight_crossings(curve.levels, curve.values, value) if x <= curve.highest)


def straight_band(curve: ThicknessCurve, low_value: float, high_value: float) -> tuple[tuple[float, float], ...]:
    """The stretches of tried and allowed levels at which those straight lines lie within a band, rising [% of the
    whole].
    """
    inner = [*straight_for(curve, low_value), *straight_for(curve, high_value)]
    return stretches(curve.marks(inner), lambda level: side(straight_at(curve, level), low_value, high_value) == 0)
