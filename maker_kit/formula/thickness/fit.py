"""A curve through the maker's thickness ladder: what a level gives, and what level a wish takes. Never outside what was tried, never above the supplier's most."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.formula.thickness.curves import Parabola, fit_parabola, monotone_values
from maker_kit.formula.thickness.readings import (
    LEAST_LEVELS,
    MEASURES,
    THICKER_IS,
    ThicknessReading,
    half_step,
    pick_readings,
)
from maker_kit.formula.thickness.straight_lines import LadderPoint
from maker_kit.names import near_miss
from maker_kit.units import exact_number

SHAPES = {
    "monotone": "straight lines between the logarithms of the readings, for gums and polymers",
    "maximum": "parabola of the logarithms of the readings, for surfactant thickened with salt",
}
"""The curves there are. Surfactant with salt rises, peaks and falls: O'Lenick, Understanding Salt Curves, 2018 (trade journal, read)."""
WRONG_WAY_PERCENT = 5.0
"""How far readings without repeats may go the wrong way and still count as one level of thickness [% of the figure]; common practice, no source."""
TRUST = 0.95
"""Trust of an interval."""


@dataclass(frozen=True)
class ThicknessCurve:
    """A curve through the readings of one temperature and one age; ask `value_at`, or `level_for` and `level_band` of the module ``ladder_levels``.

    Attributes
    ----------
    shape : {'monotone', 'maximum'}
    measure, unit : str
    levels : tuple of float
        Levels that were tried, rising [% of the whole].
    values : tuple of float
        What was read there, the geometric mean of repeats [unit].
    counts : tuple of int
        Readings of each level.
    log_values : tuple of float
        Natural logarithms that the monotone curve runs through.
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
    chosen : str
        Why this curve and not the other, in words; empty where nobody chose.
    """

    shape: str
    measure: str
    unit: str
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
    chosen: str = ""

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
        """Level of the thickest product by the curve with a maximum [%]; None for the other, and where it lies outside what was tried."""
        top = self.parabola.turns_at if self.parabola else math.inf
        return top if self.lowest <= top <= self.levels[-1] else None

    @property
    def source(self) -> str:
        """Where the figures are from, in words."""
        return f"the maker's own ladder, {self.temperature_c:g} °C, {self.hours:g} h; {SHAPES[self.shape]}"

    def log_at(self, level: float) -> tuple[float, float, float]:
        """At a level within what was tried: ``ln value``, its slope per percent, and the variance of the curve over that of one reading."""
        if self.parabola:
            return self.parabola.at(level), self.parabola.slope(level), self.parabola.leverage(level)
        right = next((k for k, tried in enumerate(self.levels) if k and level <= tried), len(self.levels) - 1)
        (a, b), (low, high) = self.levels[right - 1 : right + 1], self.log_values[right - 1 : right + 1]
        part = (level - a) / (b - a)
        value = low if part == 0 else high if part == 1 else low + part * (high - low)
        return value, (high - low) / (b - a), (1 - part) ** 2 / self.counts[right - 1] + part**2 / self.counts[right]

    def check_level(self, level_percent: float) -> float:
        """The level itself, if it was tried and is allowed.

        Raises
        ------
        QuantityError
            If it is no number, lies outside what was tried, or above the supplier's most.
        """
        level = float(exact_number(level_percent, "the level in %"))
        if self.most_percent is not None and level > self.most_percent:
            msg = f"{level:g} % is above the supplier's most, {self.most_percent:g} %; stay at or below it"
            raise QuantityError(msg)
        if not self.lowest <= level <= self.levels[-1]:
            msg = (
                f"{level:g} % lies outside what was tried ({self.lowest:g} to {self.levels[-1]:g} % at {self.temperature_c:g} °C after {self.hours:g} h); "
                "make a sample at that level and measure it"
            )
            raise QuantityError(msg)
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
        """Between which values the curve lies at a level, with 95 % trust by the scatter of the repeats; None without repeats.

        ``value · exp(± t · s · √v)`` with Student's `t`, the pooled scatter `s` of the logarithms and the curve's variance `v` over that of one reading; never narrower than the
        step of the readings (`half_step`): that two rounded figures are equal does not show that what they round is.

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

    def drawn(self, count: int = 101) -> pd.DataFrame:
        """The curve for a picture: level [%] and value, over what was tried and allowed, the tried levels among them."""
        inner = [self.lowest + (self.highest - self.lowest) * k / max(count - 1, 1) for k in range(count)]
        levels = sorted(
            {min(max(level, self.lowest), self.highest) for level in inner}
            | {level for level in self.levels if level <= self.highest}
        )
        return pd.DataFrame(
            {"level %": levels, f"{self.measure} {self.unit}": [self.value_at(level) for level in levels]}
        )

    def to_frame(self) -> pd.DataFrame:
        """The ladder: level [%], mean of what was read, readings, what the curve gives there, how far that is off [%], and whether the supplier allows it."""
        curve = [math.exp(self.log_at(level)[0]) for level in self.levels]
        return pd.DataFrame(
            {
                "level %": self.levels,
                f"{self.measure} {self.unit}": self.values,
                "readings": self.counts,
                f"curve {self.unit}": curve,
                "curve off %": [100 * (c / v - 1) for c, v in zip(curve, self.values, strict=True)],
                "allowed": [
                    "no: above the supplier's most"
                    if self.most_percent is not None and level > self.most_percent
                    else "yes"
                    for level in self.levels
                ],
            }
        )


def student_t(degrees_of_freedom: int, trust: float = TRUST) -> float:
    """Student's `t` for a two-sided interval of the given trust."""
    from scipy.special import stdtrit

    return float(stdtrit(degrees_of_freedom, (1 + trust) / 2))


def fit_thickness_curve(
    readings: Iterable[ThicknessReading | LadderPoint],
    shape: str = "monotone",
    most_percent: float | None = None,
    temperature_c: float | None = None,
    hours: float | None = None,
    measure: str | None = None,
) -> ThicknessCurve:
    """A curve through the ladder.

    ``monotone`` runs straight between neighbours in ``(level, ln value)``: ``value = v₁^(1−t) · v₂^t`` with ``t`` the share of the way. It passes through every level's geometric
    mean and never bulges beyond two neighbours; a small step the wrong way is levelled (`monotone_values`). ``maximum`` is the least-squares parabola of ``ln value`` in the
    level, and has to have its maximum of thickness. Holds between the lowest and the highest level tried, at the temperature and age of the readings, and nowhere else.

    Parameters
    ----------
    readings : iterable of ThicknessReading or LadderPoint
        Several of one level are repeats.
    shape : {'monotone', 'maximum'}
    most_percent : float, optional
        The supplier's most [% of the whole]. Samples above it steer the curve and are never recommended.
    temperature_c, hours : float, optional
        Which readings to use [°C, h]; without them, all have to be of one temperature and one age.
    measure : {'spread', 'funnel', 'viscosity'}, optional

    Returns
    -------
    ThicknessCurve

    Raises
    ------
    QuantityError
        If readings are senseless or of several temperatures, ages or ways of reading; if fewer than three levels were tried, all lie above the supplier's most, a ladder for the
        monotone curve turns, or one for the other shows no maximum.
    """
    if shape not in SHAPES:
        msg = f'there is no curve "{shape}" for a ladder: {near_miss(str(shape), SHAPES)}'
        raise QuantityError(msg)
    picked = pick_readings(readings, temperature_c, hours, measure)
    most = None if most_percent is None else float(exact_number(most_percent, "the supplier's most in %"))
    groups = {
        level: [math.log(r.value) for r in rows]
        for level, rows in itertools.groupby(picked.readings, key=lambda r: r.level_percent)
    }
    if len(groups) < LEAST_LEVELS:
        msg = (
            f"a curve takes three levels or more; at {picked.temperature_c:g} °C after {picked.hours:g} h the ladder has {len(groups)} "
            f"({', '.join(f'{level:g} %' for level in groups)}); make more samples and measure them"
        )
        raise QuantityError(msg)
    if most is not None and min(groups) > most:
        msg = f"every level tried is above the supplier's most, {most:g} % (the lowest is {min(groups):g} %); make samples below it"
        raise QuantityError(msg)
    means = {level: math.fsum(logs) / len(logs) for level, logs in groups.items()}
    free = sum(len(logs) - 1 for logs in groups.values())
    squares = math.fsum((log - means[level]) ** 2 for level, logs in groups.items() for log in logs)
    scatter = math.sqrt(squares / free) if free else None
    counts = tuple(len(logs) for logs in groups.values())
    parabola, logs = None, tuple(means.values())
    if shape == "maximum":
        parabola = fit_parabola(
            [level for level, found in groups.items() for _ in found],
            [log for found in groups.values() for log in found],
        )
        if parabola.b2 * THICKER_IS[picked.measure] >= 0 or not math.isfinite(parabola.turns_at):
            msg = "these readings show no maximum of thickness: use the steady curve, or make samples further out"
            raise QuantityError(msg)
    else:
        logs = _levelled(tuple(groups), logs, counts, scatter)
    return ThicknessCurve(
        shape,
        picked.measure,
        MEASURES[picked.measure],
        tuple(groups),
        tuple(math.exp(m) for m in means.values()),
        counts,
        logs,
        parabola,
        scatter,
        free,
        most,
        picked.temperature_c,
        picked.hours,
        picked.kept_apart,
    )


def _levelled(
    levels: tuple[float, ...], logs: tuple[float, ...], counts: tuple[int, ...], scatter: float | None
) -> tuple[float, ...]:
    smooth = monotone_values(logs, counts)
    slack = [max(math.log1p(WRONG_WAY_PERCENT / 100), 2 * (scatter or 0) / math.sqrt(n)) for n in counts]
    off = [level for level, a, b, most in zip(levels, smooth, logs, slack, strict=True) if abs(a - b) > most]
    if off:
        msg = f"the ladder turns near {off[0]:g} %: some levels make it thicker and others thinner. Measure that level again; for surfactant thickened with salt, take the curve with a maximum"
        raise QuantityError(msg)
    return smooth
