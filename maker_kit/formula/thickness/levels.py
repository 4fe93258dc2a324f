"""The level that a wanted thickness takes, read off a thickness curve, with its uncertainty; and what else sets
thickness.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import pandas as pd

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.formula.thickness.curve import ThicknessCurve, student_t
from maker_kit.formula.thickness.lines import NEAR_ENOUGH, side, straight_crossings, stretches
from maker_kit.formula.thickness.readings import MEASURES, NOUNS, READ_TO, THICKER_IS, half_step
from maker_kit.numbers import exact_number, number_text

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


@dataclass(frozen=True)
class LevelBand:
    """The levels at which a wanted band is met.

    Attributes
    ----------
    ranges : tuple of (float, float)
        Lowest and highest level of each stretch, rising [% of the whole]; two where the curve has a maximum above the
        band.
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


def level_for(curve: ThicknessCurve, value: float) -> LevelEstimate:
    """The level that gives a wanted value.

    The curve's own inverse. Where the curve has a maximum, the level before it is taken, and the one beyond is named.
    The level's standard uncertainty is ``u = s · √v / |d ln value / d level|`` (law of propagation, JCGM 100:2008,
    5.1.2) with the pooled scatter `s` of the logarithms over repeats and the curve's variance `v` over that of one
    reading; the interval is ``± t·u`` with Student's `t` at 95 %. Neither is narrower than the step of a reading
    allows: half a step `a` (`half_step`) alone gives ``u = a/√3 / (value·|d ln value / d level|)`` (rectangular,
    JCGM 100:2008, 4.3.7) and ``± a / (value·|d ln value / d level|)``. It tells of the readings' scatter only, not
    of how one batch differs from the next.

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
        If the value is no number above 0, beyond what was tried, beyond the maximum, above what the supplier allows, or
        met by a whole stretch of levels.
    """
    wanted = checked_wish(value, curve.measure)
    found = _levels(curve, math.log(wanted))
    allowed = [level for level in found if level <= curve.highest]
    if not allowed:
        raise QuantityError(_refusal(curve, wanted, found))
    peak = curve.peak_percent
    beyond = peak is not None and allowed[0] > peak
    return _estimate(
        curve,
        allowed[0],
        wanted,
        next(iter(allowed[1:]), None),
        f"; it lies beyond the maximum at {peak:.3g} %, where a little more makes it thinner" if beyond else "",
    )


def level_band(curve: ThicknessCurve, low_value: float, high_value: float) -> LevelBand:
    """The levels at which the curve lies within a wanted band; only what was tried and is allowed.

    Raises
    ------
    QuantityError
        If the band runs backwards or is no band, or no tried and allowed level meets it.
    """
    low, high = checked_wish(low_value, curve.measure), checked_wish(high_value, curve.measure)
    if low > high:
        raise QuantityError(f"a band from {low:g} to {high:g} {curve.unit}: write the smaller figure first")
    edges = {edge: _levels(curve, math.log(edge), whole=True) for edge in (low, high)}
    inner = [level for found in edges.values() for level in found if level <= curve.highest]
    peak = [] if curve.peak_percent is None else [curve.peak_percent]
    ranges = stretches(curve.marks(inner + peak), lambda level: side(curve.value_at(level), low, high) == 0)
    if not ranges:
        last = curve.value_at(curve.highest)
        edge = min((low, high), key=lambda v: (abs(math.log(v / last)), v == low))
        raise QuantityError(_refusal(curve, edge, edges[edge]))
    ends = sorted({end for stretch in ranges for end in stretch} & set(inner))
    return LevelBand(
        ranges,
        low,
        high,
        curve.unit,
        tuple(_estimate(curve, level, curve.value_at(level)) for level in ends),
        _cuts(curve, ranges, inner),
        curve.source,
    )


def worst_miss(curve: ThicknessCurve) -> float:
    """How far the curve lies from a level's readings at most, as a share of what was read."""
    pairs = zip(curve.levels, curve.values, strict=True)
    return max(abs(math.exp(curve.log_at(tried)[0]) / value - 1) for tried, value in pairs)


def thickness_levers() -> pd.DataFrame:
    """What else sets thickness when the thickener goes no further, each with its source.

    Electrolyte, pH, temperature, a second thickener.
    """
    columns = ("lever", "for", "statement", "source", "checked")
    return pd.DataFrame(map(dict, reference.rows("thickness_levers.csv", columns=columns)))


def _short(value: float) -> str:
    return number_text(float(f"{value:.3g}"))


def checked_wish(value: float, measure: str) -> float:
    """A wanted value as a number above 0 [cm, s or mPa·s]. Raises QuantityError if it is none."""
    number = float(exact_number(value, f"the wanted {NOUNS[measure]} in {MEASURES[measure]}"))
    if not 0 < number < math.inf:
        raise QuantityError(f"a wanted {NOUNS[measure]} of {number:g} {MEASURES[measure]}: it is above 0")
    return number


def _levels(curve: ThicknessCurve, log: float, *, whole: bool = False) -> list[float]:
    """Every tried level at which the curve has that logarithm, rising."""
    if curve.parabola:
        lowest, highest = curve.levels[0], curve.levels[-1]
        slack = NEAR_ENOUGH * (highest - lowest)
        top = curve.parabola.turns_at
        found = [top] if abs(log - curve.parabola.at(top)) <= NEAR_ENOUGH else curve.parabola.where(log)
        return [min(max(level, lowest), highest) for level in found if lowest - slack <= level <= highest + slack]
    found = straight_crossings(curve.levels, curve.log_values, log)
    level = [at for at, here in zip(curve.levels, curve.log_values, strict=True) if abs(here - log) <= NEAR_ENOUGH]
    if len(level) > 1 and not whole:
        raise QuantityError(
            f"every level from {level[0]:g} to {level[-1]:g} % reads the same; take the lowest, or measure finer"
        )
    return found


def _estimate(
    curve: ThicknessCurve, level: float, value: float, other: float | None = None, note: str = ""
) -> LevelEstimate:
    sigma, low, high, words = _how_sure(curve, level)
    return LevelEstimate(level, value, curve.measure, curve.unit, sigma, low, high, other, words + note, curve.source)


def _how_sure(curve: ThicknessCurve, level: float) -> tuple[float | None, float | None, float | None, str]:
    log, slope, variance = curve.log_at(level)
    miss = worst_miss(curve)
    misses = f"; the curve misses a reading by up to {_short(100 * miss)} %" if miss >= LOOSE else ""
    if curve.log_scatter is None:
        return None, None, None, UNKNOWN_UNCERTAINTY + misses
    if abs(slope) * (curve.levels[-1] - curve.levels[0]) <= NEAR_ENOUGH:
        words = "how sure this is, is unknown: the curve is level here, so many levels give nearly the same"
        return None, None, None, words + misses
    value = math.exp(log)
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
    words = f"between {low:.3f} and {high:.3f} % {by}; batches differ beside that" + misses
    return max(scatter, step / math.sqrt(3)), low, high, words


def _refusal(curve: ThicknessCurve, wanted: float, found: list[float]) -> str:
    what = f"a {NOUNS[curve.measure]} of {number_text(wanted)} {curve.unit}"
    sign = THICKER_IS[curve.measure]
    wall = " Electrolyte, pH, temperature or a second thickener also set thickness: see what else sets it"
    if found:
        level = number_text(float(f"{found[0]:.4g}"), curve.most_percent)
        return f"{what} would take {level} %, above the supplier's most, {curve.most_percent:g} %; stay below it.{wall}"
    peak = curve.peak_percent
    if peak is not None and (math.log(wanted) - curve.log_at(peak)[0]) * sign > 0:
        best = f"{_short(math.exp(curve.log_at(peak)[0]))} {curve.unit} at {peak:.3g} %"
        return (
            f"{what} lies beyond the maximum: the thickest this gets is {best}, and more makes it thinner again.{wall}"
        )
    edges = [math.exp(curve.log_at(level)[0]) for level in curve.levels]
    thicker = (wanted - max(edges, key=lambda v: v * sign)) * sign > 0
    return (
        f"{what} lies outside what was tried ({_short(min(edges))} to {_short(max(edges))} {curve.unit} at "
        f"{curve.temperature_c:g} °C after {curve.hours:g} h); make samples further out and measure them."
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
