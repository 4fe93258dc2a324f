"""Straight lines through the maker's own ladder: what spread a thickener level gives, and what level a wanted spread takes. Never outside what was tried.

The plain way, by hand on squared paper; what is judged and drawn runs along the logarithms (``ladder_fit``, ``ladder_judge``), and names this one beside it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.units import exact_number

SAME_TEMPERATURE_C = 1.0
"""Readings no further apart than this count as of one temperature [°C]; common practice, no source."""
SAME_AGE_HOURS = 2.0
"""Readings no further apart than this count as of one age [h]; common practice, no source."""


@dataclass(frozen=True)
class LadderPoint:
    """One reading of the maker's thickness ladder.

    Attributes
    ----------
    level_percent : float
        Thickener level of the sample [% of the whole].
    spread_cm : float
        How far 10 mL spread from a ring in 60 s [cm]; less is thicker.
    temperature_c : float
        Of the sample when it was read [°C].
    hours : float
        Age of the sample when it was read [h].
    note : str
        What else was seen ("stringy").
    """

    level_percent: float
    spread_cm: float
    temperature_c: float = 20.0
    hours: float = 24.0
    note: str = ""


def ladder(
    points: Iterable[LadderPoint], temperature_c: float = 20.0, hours: float = 24.0
) -> tuple[tuple[Fraction, Fraction], ...]:
    """The readings of one temperature and age as (level, spread), exactly, by rising level; several readings of one level count as their mean.

    Raises
    ------
    QuantityError
        If a reading is no number, a level lies outside 0 to 100 %, or a spread is not above 0.
    """
    levels: dict[Fraction, list[Fraction]] = {}
    for point in points:
        level, spread = (
            exact_number(point.level_percent, "the level of a reading in %"),
            exact_number(point.spread_cm, "the spread of a reading in cm"),
        )
        warm, age = (
            exact_number(point.temperature_c, "the temperature of a reading in °C"),
            exact_number(point.hours, "the age of a reading in hours"),
        )
        if not 0 <= level <= 100 or spread <= 0 or age < 0:
            msg = f"a reading of {float(spread):g} cm at {float(level):g} % after {float(age):g} h: a level lies between 0 and 100 %, a spread is above 0 cm, an age is 0 h or more"
            raise QuantityError(msg)
        if (
            abs(warm - exact_number(temperature_c, "the temperature in °C")) <= SAME_TEMPERATURE_C
            and abs(age - exact_number(hours, "the age in hours")) <= SAME_AGE_HOURS
        ):
            levels.setdefault(level, []).append(spread)
    return tuple((level, sum(spreads, Fraction(0)) / len(spreads)) for level, spreads in sorted(levels.items()))


def spread_at(
    points: Iterable[LadderPoint],
    level_percent: float,
    most_percent: float | None = None,
    temperature_c: float = 20.0,
    hours: float = 24.0,
) -> float:
    """The spread at a thickener level [cm], on the straight line between the two neighbouring readings of the same temperature and age.

    Parameters
    ----------
    points : iterable of LadderPoint
    level_percent : float
        Level [% of the whole].
    most_percent : float, optional
        The supplier's most [%].
    temperature_c, hours : float
        Temperature [°C] and age [h] of the readings to use.

    Raises
    ------
    QuantityError
        If nothing was measured at that temperature and age, or the level lies outside what was tried or above the supplier's most.
    """
    rungs = _rungs(points, temperature_c, hours)
    level = exact_number(level_percent, "the level in %")
    if most_percent is not None and level > exact_number(most_percent, "the supplier's most in %"):
        msg = f"{float(level):g} % is above the supplier's most, {most_percent:g} %; stay at or below it"
        raise QuantityError(msg)
    if not rungs[0][0] <= level <= rungs[-1][0]:
        msg = f"{float(level):g} % lies outside what was tried ({float(rungs[0][0]):g} to {float(rungs[-1][0]):g} % at {temperature_c:g} °C after {hours:g} h); make a sample at that level and measure it"
        raise QuantityError(msg)
    return float(straight_value(rungs, level))


def level_for(
    points: Iterable[LadderPoint],
    spread_cm: float,
    most_percent: float | None = None,
    temperature_c: float = 20.0,
    hours: float = 24.0,
) -> float:
    """The thickener level that gives a wanted spread [% of the whole], on the straight lines of `spread_at`, read the other way.

    Raises
    ------
    QuantityError
        If nothing was measured at that temperature and age, the spread lies outside what was tried, it would take more than the supplier's most, or several levels give it (a ladder that turns,
        as surfactant with salt does).
    """
    rungs = _rungs(points, temperature_c, hours)
    wanted = exact_number(spread_cm, "the wanted spread in cm")
    spreads = [spread for _, spread in rungs]
    if not min(spreads) <= wanted <= max(spreads):
        msg = f"a spread of {float(wanted):g} cm lies outside what was tried ({float(min(spreads)):g} to {float(max(spreads)):g} cm at {temperature_c:g} °C after {hours:g} h); make samples further out and measure them"
        raise QuantityError(msg)
    levels = straight_levels(rungs, wanted)
    most = None if most_percent is None else exact_number(most_percent, "the supplier's most in %")
    allowed = [level for level in levels if most is None or level <= most]
    if not allowed:
        msg = f"a spread of {float(wanted):g} cm would take {float(min(levels)):.3g} %, above the supplier's most, {float(most or 0):g} %; accept a wider spread or another thickener"
        raise QuantityError(msg)
    if len(allowed) > 1:
        msg = f"a spread of {float(wanted):g} cm is read at more than one level ({', '.join(f'{float(level):.3g}' for level in allowed)} %): the ladder turns; measure again, or choose one of them"
        raise QuantityError(msg)
    return float(allowed[0])


def level_band(
    points: Iterable[LadderPoint],
    thickest_cm: float,
    thinnest_cm: float,
    most_percent: float | None = None,
    temperature_c: float = 20.0,
    hours: float = 24.0,
) -> tuple[float, float]:
    """The levels between which the spread stays within a wanted band [% of the whole]: lowest and highest. Raises as `level_for` does, and for a band the wrong way round."""
    readings = tuple(points)
    if not thickest_cm <= thinnest_cm:
        msg = f"a band from {thickest_cm:g} to {thinnest_cm:g} cm: write the smaller spread first"
        raise QuantityError(msg)
    levels = [level_for(readings, spread, most_percent, temperature_c, hours) for spread in (thickest_cm, thinnest_cm)]
    return min(levels), max(levels)


def straight_value(rungs: Sequence[tuple[Fraction, Fraction]], level: Fraction) -> Fraction:
    """What straight lines between neighbours give at a level, exactly: ``v₁ + (v₂ − v₁)·(level − c₁)/(c₂ − c₁)``.

    Parameters
    ----------
    rungs : sequence of (Fraction, Fraction)
        Level [% of the whole] and what was read there, by rising level.
    level : Fraction
        Within the levels [% of the whole].
    """
    for (low, wide), (high, narrow) in itertools.pairwise(rungs):
        if low <= level <= high:
            return wide + (narrow - wide) * (level - low) / (high - low)
    return rungs[0][1]


def straight_levels(rungs: Sequence[tuple[Fraction, Fraction]], wanted: Fraction) -> tuple[Fraction, ...]:
    """Every level at which the straight lines of `straight_value` have a wanted value, rising [% of the whole]; both ends of a stretch that is level."""
    levels = {level for level, value in rungs if value == wanted}
    for (low, wide), (high, narrow) in itertools.pairwise(rungs):
        if min(wide, narrow) < wanted < max(wide, narrow):
            levels.add(low + (high - low) * (wanted - wide) / (narrow - wide))
    return tuple(sorted(levels))


def _rungs(points: Iterable[LadderPoint], temperature_c: float, hours: float) -> tuple[tuple[Fraction, Fraction], ...]:
    readings = tuple(points)
    rungs = ladder(readings, temperature_c, hours)
    if not rungs:
        msg = f"nothing was measured at {temperature_c:g} °C after {hours:g} h{_elsewhere(readings)}; readings of another temperature or age are not mixed in"
        raise QuantityError(msg)
    return rungs


def _elsewhere(points: tuple[LadderPoint, ...]) -> str:
    others = dict.fromkeys(f"{p.temperature_c:g} °C after {p.hours:g} h" for p in points)
    return f" (only at {', '.join(others)})" if others else ""
