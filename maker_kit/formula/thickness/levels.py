"""The level that a wanted thickness takes, read off a ladder's curve, with its uncertainty; and what else sets thickness when the ladder ends."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import pandas as pd

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.formula.thickness.fit import ThicknessCurve, student_t
from maker_kit.formula.thickness.readings import MEASURES, NOUNS, READ_TO, THICKER_IS, half_step
from maker_kit.numbers import number_text
from maker_kit.units import exact_number

NEAR_ENOUGH = 1e-9
"""Relative difference at which two values are one: far below what anybody reads."""
LOOSE = 0.01
"""Share of a reading from which a miss of the curve is told: about the finest step that a spread is read to."""
UNKNOWN_UNCERTAINTY = "how sure this is, is unknown: no level was measured twice"


@dataclass(frozen=True)
class LevelEstimate:
    """The level for one wanted value.

    Attributes
    ----------
    level_percent : float
        [% of the whole].
    value : float
        The wanted spread [cm], funnel time [s] or viscosity [mPa·s].
    measure, unit : str
    standard_uncertainty : float or None
        Of the level, by the scatter of the repeats [%]; None without repeats, and where the curve is level.
    low_percent, high_percent : float or None
        95 % interval of the level, cut at what was tried and allowed [%].
    other_level_percent : float or None
        A second level with the same value, beyond the maximum [%].
    how_sure : str
        In words.
    source : str
    """

    level_percent: float
    value: float
    measure: str
    unit: str
    standard_uncertainty: float | None
    low_percent: float | None
    high_percent: float | None
    other_level_percent: float | None
    how_sure: str
    source: str

    def to_frame(self) -> pd.DataFrame:
        """One row: wanted value, level [%], its interval [%], the other level [%], how sure, source."""
        row = {
            f"wanted {self.unit}": self.value,
            "level %": self.level_percent,
            "from %": self.low_percent,
            "to %": self.high_percent,
            "other level %": self.other_level_percent,
            "how sure": self.how_sure,
            "source": self.source,
        }
        return pd.DataFrame([row]).astype(dict.fromkeys(("from %", "to %", "other level %"), "Float64"))


@dataclass(frozen=True)
class LevelBand:
    """The levels at which a wanted band is met.

    Attributes
    ----------
    ranges : tuple of (float, float)
        Lowest and highest level of each stretch, rising [% of the whole]; two where the curve has a maximum above the band.
    low_value, high_value : float
        The wanted band [unit].
    unit : str
    ends : tuple of LevelEstimate
        The ends that the curve sets, with their uncertainty; an end that is cut is not among them.
    cut : tuple of str
        Where the band goes on and nobody tried or the supplier does not allow it, in words.
    source : str
    """

    ranges: tuple[tuple[float, float], ...]
    low_value: float
    high_value: float
    unit: str
    ends: tuple[LevelEstimate, ...]
    cut: tuple[str, ...]
    source: str

    def to_frame(self) -> pd.DataFrame:
        """One row a stretch: lowest and highest level [%], the wanted band, what cuts it."""
        return pd.DataFrame(
            [
                {
                    "from %": a,
                    "to %": b,
                    "wanted": f"{self.low_value:g}–{self.high_value:g} {self.unit}",
                    "cut": "; ".join(self.cut),
                    "source": self.source,
                }
                for a, b in self.ranges
            ]
        )


def level_for(curve: ThicknessCurve, value: float) -> LevelEstimate:
    """The level that gives a wanted value.

    The curve's own inverse. Where the curve has a maximum, the level before it is taken, and the one beyond is named. The level's standard uncertainty is
    ``u = s · √v / |d ln value / d level|`` (law of propagation, JCGM 100:2008, 5.1.2) with the pooled scatter `s` of the logarithms over repeats and the curve's variance `v`
    over that of one reading; the interval is ``± t·u`` with Student's `t` at 95 %. Neither is narrower than the step of a reading allows: half a step `a` (`half_step`) alone gives
    ``u = a/√3 / (value·|d ln value / d level|)`` (rectangular, JCGM 100:2008, 4.3.7) and ``± a / (value·|d ln value / d level|)``. It tells of the readings' scatter only, not of how
    one batch differs from the next.

    Parameters
    ----------
    curve : ThicknessCurve
        From `fit_thickness_curve`.
    value : float
        Wanted spread [cm], funnel time [s] or viscosity [mPa·s].

    Returns
    -------
    LevelEstimate

    Raises
    ------
    QuantityError
        If the value is no number above 0, beyond what was tried, beyond the maximum, above what the supplier allows, or met by a whole stretch of levels.
    """
    wanted = checked_wish(value, curve.measure)
    found = _levels(curve, math.log(wanted))
    allowed = [level for level in found if level <= curve.highest]
    if not allowed:
        raise QuantityError(_refusal(curve, wanted, found))
    level = allowed[0]
    other = next(iter(allowed[1:]), None)
    sigma, low, high, words = _how_sure(curve, level)
    peak = curve.peak_percent
    if peak is not None and level > peak:
        words += f"; it lies beyond the maximum at {peak:.3g} %, where a little more makes it thinner"
    return LevelEstimate(level, wanted, curve.measure, curve.unit, sigma, low, high, other, words, curve.source)


def level_band(curve: ThicknessCurve, low_value: float, high_value: float) -> LevelBand:
    """The levels at which the curve lies within a wanted band; only what was tried and is allowed.

    Raises
    ------
    QuantityError
        If the band runs backwards or is no band, or no tried and allowed level meets it.
    """
    low, high = checked_wish(low_value, curve.measure), checked_wish(high_value, curve.measure)
    if low > high:
        msg = f"a band from {low:g} to {high:g} {curve.unit}: write the smaller figure first"
        raise QuantityError(msg)
    inner = [
        level for edge in (low, high) for level in _levels(curve, math.log(edge), whole=True) if level <= curve.highest
    ]
    peak = [curve.peak_percent] if curve.peak_percent is not None and curve.peak_percent <= curve.highest else []
    marks = {curve.lowest, curve.highest, *inner, *peak, *(level for level in curve.levels if level <= curve.highest)}

    def within(level: float) -> bool:
        found = curve.value_at(level)
        return low * (1 - NEAR_ENOUGH) <= found <= high * (1 + NEAR_ENOUGH)

    ranges = stretches(marks, within)
    if not ranges:
        edge = (
            low
            if abs(math.log(low / curve.value_at(curve.highest))) < abs(math.log(high / curve.value_at(curve.highest)))
            else high
        )
        raise QuantityError(_refusal(curve, edge, _levels(curve, math.log(edge), whole=True)))
    ends = []
    for level in sorted({end for stretch in ranges for end in stretch} & set(inner)):
        sigma, least, most, words = _how_sure(curve, level)
        ends.append(
            LevelEstimate(
                level, curve.value_at(level), curve.measure, curve.unit, sigma, least, most, None, words, curve.source
            )
        )
    return LevelBand(ranges, low, high, curve.unit, tuple(ends), _cuts(curve, ranges, inner), curve.source)


def stretches(marks: Iterable[float], within: Callable[[float], bool]) -> tuple[tuple[float, float], ...]:
    """The stretches over which something holds, rising; it holds at a mark, or between two neighbouring marks, or not, and nowhere changes between them."""
    rising = sorted(marks)
    held = [(level, level) for level in rising if within(level)] + [
        (a, b) for a, b in itertools.pairwise(rising) if within(a) and within(b) and within((a + b) / 2)
    ]
    joined: list[tuple[float, float]] = []
    for a, b in sorted(held):
        if joined and a <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], b))
        else:
            joined.append((a, b))
    return tuple(joined)


def worst_miss(curve: ThicknessCurve) -> float:
    """How far the curve lies from a level's readings at most, as a share of what was read."""
    return max(
        abs(math.exp(curve.log_at(tried)[0]) / value - 1)
        for tried, value in zip(curve.levels, curve.values, strict=True)
    )


def thickness_levers() -> pd.DataFrame:
    """What else sets thickness when the ladder ends: electrolyte, pH, temperature, a second thickener; each with its source."""
    return pd.DataFrame(
        [
            dict(row)
            for row in reference.rows(
                "thickness_levers.csv", columns=("lever", "for", "statement", "source", "checked")
            )
        ]
    )


def _short(value: float) -> str:
    return number_text(float(f"{value:.3g}"))


def checked_wish(value: float, measure: str) -> float:
    """A wanted value as a number above 0 [cm, s or mPa·s]. Raises QuantityError if it is none."""
    number = float(exact_number(value, f"the wanted {NOUNS[measure]} in {MEASURES[measure]}"))
    if not 0 < number < math.inf:
        msg = f"a wanted {NOUNS[measure]} of {number:g} {MEASURES[measure]}: it is above 0"
        raise QuantityError(msg)
    return number


def _levels(curve: ThicknessCurve, log: float, *, whole: bool = False) -> list[float]:
    """Every tried level at which the curve has that logarithm, rising."""
    if curve.parabola:
        lowest, highest = curve.levels[0], curve.levels[-1]
        slack = NEAR_ENOUGH * (highest - lowest)
        top = curve.parabola.turns_at
        found = [top] if abs(log - curve.parabola.at(top)) <= NEAR_ENOUGH else curve.parabola.where(log)
        return [min(max(level, lowest), highest) for level in found if lowest - slack <= level <= highest + slack]
    found = {level for level, at in zip(curve.levels, curve.log_values, strict=True) if abs(at - log) <= NEAR_ENOUGH}
    if len(found) > 1 and not whole:
        msg = f"every level from {min(found):g} to {max(found):g} % reads the same; take the lowest, or measure finer"
        raise QuantityError(msg)
    for (a, low), (b, high) in itertools.pairwise(zip(curve.levels, curve.log_values, strict=True)):
        if min(low, high) + NEAR_ENOUGH < log < max(low, high) - NEAR_ENOUGH:
            found.add(a + (b - a) * (log - low) / (high - low))
    return sorted(found)


def _how_sure(curve: ThicknessCurve, level: float) -> tuple[float | None, float | None, float | None, str]:
    _, slope, variance = curve.log_at(level)
    miss = worst_miss(curve)
    misses = f"; the curve misses a reading by up to {_short(100 * miss)} %" if miss >= LOOSE else ""
    if curve.log_scatter is None:
        return None, None, None, UNKNOWN_UNCERTAINTY + misses
    if abs(slope) * (curve.levels[-1] - curve.levels[0]) <= NEAR_ENOUGH:
        return (
            None,
            None,
            None,
            "how sure this is, is unknown: the curve is level here, so many levels give nearly the same" + misses,
        )
    value = math.exp(curve.log_at(level)[0])
    step = half_step(curve.measure, value) / value / abs(slope)
    scatter = curve.log_scatter * math.sqrt(variance) / abs(slope)
    by_scatter = student_t(curve.degrees_of_freedom) * scatter
    wide = max(by_scatter, step)
    low, high = max(level - wide, curve.lowest), min(level + wide, curve.highest)
    repeats = curve.degrees_of_freedom + sum(n > 1 for n in curve.counts)
    by = (
        f"by the scatter of {repeats} repeated readings, 95 % trust"
        if by_scatter >= step
        else f"at best: {READ_TO[curve.measure]}, and {repeats} repeated readings that agree that well show no more"
    )
    return (
        max(scatter, step / math.sqrt(3)),
        low,
        high,
        f"between {low:.3f} and {high:.3f} % {by}; batches differ beside that" + misses,
    )


def _refusal(curve: ThicknessCurve, wanted: float, found: list[float]) -> str:
    what = f"a {NOUNS[curve.measure]} of {number_text(wanted)} {curve.unit}"
    sign = THICKER_IS[curve.measure]
    wall = " Electrolyte, pH, temperature or a second thickener also set thickness: see what else sets it"
    if found:
        return f"{what} would take {number_text(float(f'{found[0]:.4g}'), curve.most_percent)} %, above the supplier's most, {curve.most_percent:g} %; stay below it.{wall}"
    peak = curve.peak_percent
    if peak is not None and (math.log(wanted) - curve.log_at(peak)[0]) * sign > 0:
        best = math.exp(curve.log_at(peak)[0])
        return f"{what} lies beyond the maximum: the thickest this gets is {_short(best)} {curve.unit} at {peak:.3g} %, and more makes it thinner again.{wall}"
    edges = [math.exp(curve.log_at(level)[0]) for level in curve.levels]
    thicker = (wanted - max(edges, key=lambda v: v * sign)) * sign > 0
    return (
        f"{what} lies outside what was tried ({_short(min(edges))} to {_short(max(edges))} {curve.unit} at {curve.temperature_c:g} °C after {curve.hours:g} h); make samples further out and measure them."
        + (wall if thicker else " It is thinner than every sample")
    )


def _cuts(curve: ThicknessCurve, ranges: tuple[tuple[float, float], ...], inner: list[float]) -> tuple[str, ...]:
    cut = []
    if ranges[0][0] == curve.lowest and curve.lowest not in inner:
        cut.append(f"below {curve.lowest:g} % nothing was tried")
    if ranges[-1][1] == curve.highest and curve.highest not in inner:
        cut.append(
            f"above {curve.highest:g} % the supplier does not allow it"
            if curve.highest < curve.levels[-1] or curve.highest == curve.most_percent
            else f"above {curve.highest:g} % nothing was tried"
        )
    return tuple(cut)
