"""The maker's readings of thickness, by whichever way they are read; those of one temperature and age picked out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from maker_kit.errors import QuantityError
from maker_kit.formula.thickness.lines import side
from maker_kit.names import look_up
from maker_kit.numbers import exact_number, number_text

MEASURES = {"spread": "cm", "funnel": "s", "viscosity": "mPa·s"}
"""How thickness is read, and the unit: spread of 10 mL from a ring in 60 s, time through a funnel, an instrument's
viscosity.
"""
NOUNS = {"spread": "spread", "funnel": "funnel time", "viscosity": "viscosity"}
"""What is read, as it is said."""
THICKER_IS = {"spread": -1, "funnel": 1, "viscosity": 1}
"""Which way the figure goes as the product gets thicker: a spread falls, a funnel time and a viscosity rise."""
HALF_STEP = {"spread": 0.05, "funnel": 0.5}
"""Half of the step that a spread [cm] and a time by a hand-held stopwatch [s] are read to; common practice, no source.
"""
HALF_STEP_SHARE = {"viscosity": 0.01}
"""How far an instrument's figure is to be trusted at best, as a share of it; common practice, no source."""
READ_TO = {
    "spread": "a spread is read to 0.1 cm",
    "funnel": "a time is read to 1 s",
    "viscosity": "an instrument is good to 1 % of its figure",
}
"""The same in words."""
LEVEL_DIGITS = 6
"""Decimals of a level [%] that count: no scale shows more."""
LEAST_LEVELS = 3
"""Fewest levels that a curve is drawn through."""
SAME_TEMPERATURE_C = 1.0
"""Readings no further apart than this count as of one temperature [°C]; common practice, no source."""
SAME_AGE_HOURS = 2.0
"""Readings no further apart than this count as of one age [h]; common practice, no source."""


@dataclass(frozen=True)
class ThicknessReading:
    """How thick one sample was. Several readings of one level are repeats.

    Attributes
    ----------
    level_percent : float
        Thickener (or salt) level of the sample [% of the whole].
    value : float
        What was read [cm, s or mPa·s].
    measure : {'spread', 'funnel', 'viscosity'}
        How it was read.
    temperature_c : float
        Of the sample when it was read [°C].
    hours : float
        Age of the sample when it was read [h].
    note : str
    recipe, ingredient : str
        Of which recipe and which thickener; empty where that is plain.
    """

    level_percent: float
    value: float
    measure: str = "spread"
    temperature_c: float = 20.0
    hours: float = 24.0
    note: str = ""
    recipe: str = ""
    ingredient: str = ""


@dataclass(frozen=True)
class PickedReadings:
    """The readings of one measure, one temperature and one age.

    Attributes
    ----------
    readings : tuple of ThicknessReading
        By rising level.
    measure : str
    temperature_c, hours : float
        What they were picked for [°C, h].
    kept_apart : tuple of str
        Where the others were read ("35 °C after 24 h").
    """

    readings: tuple[ThicknessReading, ...]
    measure: str
    temperature_c: float
    hours: float
    kept_apart: tuple[str, ...] = ()


def pick_readings(
    readings: Iterable[ThicknessReading],
    temperature_c: float | None = None,
    hours: float | None = None,
    measure: str | None = None,
) -> PickedReadings:
    """The readings that may be put on one curve.

    Parameters
    ----------
    readings : iterable of ThicknessReading
    temperature_c, hours : float, optional
        Temperature [°C] and age [h] to pick; without them, all readings have to be of one temperature and one age.
    measure : {'spread', 'funnel', 'viscosity'}, optional
        Way of reading to pick; without it, all have to be of one.

    Returns
    -------
    PickedReadings

    Raises
    ------
    QuantityError
        If a reading is senseless, nothing was read under those conditions, or several temperatures, ages or ways of
        reading would be mixed.
    UnknownNameError
        If there is no such way of reading.
    """
    every = [_checked(r) for r in readings]
    if not every:
        raise QuantityError("there is no reading; make samples at three levels or more and measure them")
    ways = list(dict.fromkeys(r.measure for r in every))
    if measure is None and len(ways) > 1:
        raise QuantityError(
            f"thickness was read in several ways ({', '.join(ways)}); these are not one scale, so choose one of them"
        )
    way = measure if measure is not None else ways[0]
    look_up(way, MEASURES, f'thickness is not read as "{way}"')
    read = [r for r in every if r.measure == way]
    warm = _one([r.temperature_c for r in read], temperature_c, SAME_TEMPERATURE_C, "temperatures", "°C")
    age = _one([r.hours for r in read], hours, SAME_AGE_HOURS, "ages", "h")
    chosen = [
        r for r in read if abs(r.temperature_c - warm) <= SAME_TEMPERATURE_C and abs(r.hours - age) <= SAME_AGE_HOURS
    ]
    others = tuple(dict.fromkeys(f"{r.temperature_c:g} °C after {r.hours:g} h" for r in read if r not in chosen))
    if not chosen:
        only = f" (only at {', '.join(others)})" if others else ""
        raise QuantityError(
            f"no {way} was read at {warm:g} °C after {age:g} h{only}; "
            "readings of another temperature or age are not mixed in"
        )
    return PickedReadings(tuple(sorted(chosen, key=lambda r: r.level_percent)), way, warm, age, others)


def half_step(measure: str, value: float) -> float:
    """How far a reading may lie from what it is a reading of, by its own step alone [cm, s or mPa·s].

    `HALF_STEP`, or `HALF_STEP_SHARE` of the value.
    """
    return HALF_STEP[measure] if measure in HALF_STEP else HALF_STEP_SHARE[measure] * value


def said(value: float, measure: str, edges: Iterable[float] = (), digits: int = 1) -> str:
    """A predicted value as it is read, with more digits where the rounded one would lie on the other side of an edge.

    Parameters
    ----------
    value : float
        [cm, s or mPa·s].
    measure : {'spread', 'funnel', 'viscosity'}
    edges : iterable of float
        Such as the ends of the wanted band.
    digits : int
        Decimals of a spread or a funnel time to begin with; a viscosity begins with three figures.
    """
    sides = [(edge, side(value, edge, edge)) for edge in edges]
    text = ""
    first = 1 if measure == "viscosity" else digits
    for shown in range(first, first + 8):
        text = number_text(float(f"{value:.{shown + 2}g}")) if measure == "viscosity" else f"{value:.{shown}f}"
        if all(side(float(text), edge, edge) == there for edge, there in sides):
            return text
    return text


def _one(found: list[float], wanted: float | None, within: float, what: str, unit: str) -> float:
    if wanted is not None:
        return float(exact_number(wanted, f"the wanted one of the {what} in {unit}"))
    if not found:
        return 0.0
    if max(found) - min(found) > within:
        listed = ", ".join(f"{v:g}" for v in sorted(set(found)))
        raise QuantityError(
            f"thickness was read at several {what} ({listed} {unit}); it changes with both temperature and age, "
            "so choose one of them"
        )
    return found[0]


def _checked(reading: ThicknessReading) -> ThicknessReading:
    way = reading.measure
    unit = look_up(way, MEASURES, f'thickness is not read as "{way}"')
    numbers = {
        "level in %": reading.level_percent,
        f"{way} in {unit}": reading.value,
        "temperature in °C": reading.temperature_c,
        "age in hours": reading.hours,
    }
    level, value, warm, age = (float(exact_number(n, f"the {what} of a reading")) for what, n in numbers.items())
    if not 0 <= level <= 100 or not 1e-6 <= value <= 1e12 or not -50 <= warm <= 150 or age < 0:
        raise QuantityError(
            f"a reading of {value:g} {unit} at {level:g} %, {warm:g} °C, after {age:g} h: a level lies between 0 and "
            f"100 %, a {way} is above 0 {unit}, a temperature lies between -50 and 150 °C, an age is 0 h or more"
        )
    return replace(reading, level_percent=round(level, LEVEL_DIGITS), value=value, temperature_c=warm, hours=age)
