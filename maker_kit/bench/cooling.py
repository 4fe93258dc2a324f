"""When will it be cool enough? Newton's law of cooling from two readings or more, and the room's temperature.

    T(t) = T_room + (T_0 - T_room) · exp(-k · t)

Source: OpenStax, Calculus Volume 2, section 2.8 (2016). It holds where the product is stirred, the room keeps its
temperature and nothing sets: a wax or fatty alcohol that solidifies gives off heat and holds it warm for longer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.numbers import number_text
from maker_kit.student import two_sided_t

SOURCE = "Newton's law of cooling: OpenStax, Calculus Volume 2, section 2.8 (2016)"
THERMOMETER_C = 1.0
"""How far a kitchen thermometer may be off [°C] unless another is given (common practice, no source)."""
MOST_MINUTES = 7 * 24 * 60
"""A forecast farther off than this [min] is none."""


@dataclass(frozen=True)
class Reading:
    """One reading while it cools.

    Attributes
    ----------
    minutes : float
        Time since the first [min].
    celsius : float
        What the thermometer shows [°C].
    """

    minutes: float
    celsius: float


@dataclass(frozen=True)
class Cooling:
    """How something cools, as its readings tell.

    Attributes
    ----------
    readings : tuple of Reading
        In order of time.
    room_c : float
        [°C]
    per_minute : float
        k of Newton's law [1/min].
    start_c : float
        Temperature at minute 0 by the law [°C].
    off_c : float
        How far a reading may be off [°C].
    spread : tuple of (float, float)
        Pairs of k and start that the readings allow as well, the ends of what is told as a range.
    """

    readings: tuple[Reading, ...]
    room_c: float
    per_minute: float
    start_c: float
    off_c: float
    spread: tuple[tuple[float, float], ...]

    def celsius_at(self, minutes: float) -> float:
        """Temperature at a time [°C]; never beyond the room's."""
        return _law(minutes, self.room_c, self.per_minute, self.start_c)

    def to_frame(self) -> pd.DataFrame:
        """Readings beside the law: minutes, read and by the law [°C]."""
        rows = [(r.minutes, r.celsius, self.celsius_at(r.minutes)) for r in self.readings]
        return pd.DataFrame(rows, columns=["minutes", "read °C", "by the law °C"])


@dataclass(frozen=True)
class Forecast:
    """When a temperature is reached.

    Attributes
    ----------
    target_c : float
        [°C]
    minutes, earliest, latest : float or None
        After the first reading [min], most likely and the range; None where it is never reached, and for the latest
        where no end can be told.
    findings : tuple of Finding
    """

    target_c: float
    minutes: float | None
    earliest: float | None
    latest: float | None
    findings: tuple[Finding, ...]


def fit_cooling(
    readings: Sequence[Reading | tuple[float, float]], room_c: float, off_c: float = THERMOMETER_C
) -> Cooling:
    """The law through readings: exactly through two, by least squares through more.

    Parameters
    ----------
    readings : sequence of Reading or (float, float)
        Minutes since the first [min] and temperature [°C]; two or more at different times.
    room_c : float
        Temperature around it [°C], which does not change.
    off_c : float
        How far a reading, and the room's temperature, may be off [°C].

    Returns
    -------
    Cooling

    Raises
    ------
    QuantityError
        If there are fewer than two, two at one time, one that is no number or before the first, one on the other side
        of the room's temperature, or they do not come nearer to it.
    """
    given = tuple(r if isinstance(r, Reading) else Reading(*map(float, r)) for r in readings)
    numbers = [x for r in given for x in (r.minutes, r.celsius)] + [room_c, off_c]
    if not all(math.isfinite(x) for x in numbers) or off_c < 0 or min(numbers[:-1:1] or [0]) < -273.15:
        raise QuantityError("every time and temperature has to be a number, above absolute zero")
    if len(given) < 2:
        raise QuantityError("one reading tells nothing of how fast it cools: read again in five minutes")
    for before, after in pairwise(given):
        if after.minutes <= before.minutes:
            raise QuantityError(
                f"the reading after minute {number_text(before.minutes)} stands at minute "
                f"{number_text(after.minutes)}: did the clock go back? Give them in the order they were read"
            )
    gaps = [r.celsius - room_c for r in given]
    if min(gaps) <= 0 <= max(gaps):
        raise QuantityError(
            f"a reading at or beyond the room's {number_text(room_c)} °C tells nothing of how fast it comes near it"
        )
    if abs(gaps[-1]) >= abs(gaps[0]):
        raise QuantityError(
            "it does not come nearer to the room's temperature: is it still heated, or was the room read elsewhere?"
        )
    k, start = _through(given, room_c)
    return Cooling(given, room_c, k, start, off_c, _spread(given, room_c, off_c, k, start))


def when_at(cooling: Cooling, target_c: float) -> Forecast:
    """When a temperature is reached, with its range.

    Parameters
    ----------
    cooling : Cooling
    target_c : float
        [°C]

    Returns
    -------
    Forecast
        Its findings: ``cooling.never`` (look) where the room is on the wrong side of it, ``cooling.passed`` (know)
        where the last reading is past it, ``cooling.wide`` (look) where the range is wider than half of the time that
        is left.

    Raises
    ------
    QuantityError
        If the target is no number.
    """
    if not math.isfinite(target_c):
        raise QuantityError("the temperature to wait for has to be a number")
    minutes = _when(target_c, cooling.room_c, cooling.per_minute, cooling.start_c)
    last, name = cooling.readings[-1], f"{number_text(target_c)} °C"
    if minutes is None or minutes > max(MOST_MINUTES, last.minutes):
        text = f"It does not come to {name} in a room of {number_text(cooling.room_c)} °C."
        step = "Stand it in cold water, stir, and begin the readings anew."
        return Forecast(target_c, None, None, None, (look("cooling.never", name, text, next_step=step, source=SOURCE),))
    ends = [_when(target_c, room, k, start) for room, k, start in _ends(cooling)]
    told = [e for e in ends if e is not None and e <= max(MOST_MINUTES, last.minutes)]
    earliest, latest = min([*told, minutes]), None if len(told) < len(ends) else max([*told, minutes])
    if minutes <= last.minutes:
        text = f"It was at {name} about {number_text(round(last.minutes - minutes, 1))} min before the last reading."
        return Forecast(target_c, minutes, earliest, latest, (know("cooling.passed", name, text, source=SOURCE),))
    left = minutes - last.minutes
    found = ()
    if latest is None or latest - earliest > left / 2:
        text = f"When it comes to {name} is known only roughly: the readings are few, or near one another."
        step = f"Read again in {max(1, round(left / 3))} min; each reading makes it surer."
        found = (look("cooling.wide", name, text, level="unknown", next_step=step, source=SOURCE),)
    return Forecast(target_c, minutes, earliest, latest, found)


def _law(minutes: float, room_c: float, k: float, start_c: float) -> float:
    return room_c + (start_c - room_c) * math.exp(-k * minutes)


def _when(target_c: float, room_c: float, k: float, start_c: float) -> float | None:
    share = (target_c - room_c) / (start_c - room_c) if start_c != room_c else 0.0
    return -math.log(share) / k if share > 0 and k > 0 else None


def _through(readings: Sequence[Reading], room_c: float) -> tuple[float, float]:
    """K and the temperature at minute 0."""
    first, last = readings[0], readings[-1]
    k = math.log((first.celsius - room_c) / (last.celsius - room_c)) / (last.minutes - first.minutes)
    start = room_c + (first.celsius - room_c) * math.exp(k * first.minutes)
    if len(readings) == 2:
        return k, start
    from scipy.optimize import curve_fit

    times, read = [r.minutes for r in readings], [r.celsius for r in readings]
    best, _ = curve_fit(_curve(room_c), times, read, p0=(k, start), jac=_slopes(room_c))
    return float(best[0]), float(best[1])


def _curve(room_c: float):
    import numpy as np

    return lambda t, k, start: room_c + (start - room_c) * np.exp(-k * np.asarray(t))


def _slopes(room_c: float):
    import numpy as np

    def slopes(t, k, start):
        fall = np.exp(-k * np.asarray(t))
        return np.column_stack([-np.asarray(t) * (start - room_c) * fall, fall])

    return slopes


def _spread(
    readings: Sequence[Reading], room_c: float, off_c: float, k: float, start: float
) -> tuple[tuple[float, float], ...]:
    """Through two readings, each off by as much as it may be, either way; through more, the ends of the interval of
    95 % along both principal directions of the fit's covariance (Student's t with n - 2 degrees of freedom).
    """
    if len(readings) == 2:
        ends = []
        for a, b in product((-off_c, off_c), repeat=2):
            moved = [Reading(r.minutes, r.celsius + d) for r, d in zip(readings, (a, b), strict=True)]
            gaps = [r.celsius - room_c for r in moved]
            if gaps[0] * gaps[1] > 0 and abs(gaps[1]) < abs(gaps[0]):
                ends.append(_through(moved, room_c))
            else:
                ends.append((0.0, start))
        return tuple(ends)
    import numpy as np

    times = [r.minutes for r in readings]
    rest = np.array([r.celsius - _law(r.minutes, room_c, k, start) for r in readings])
    free = len(readings) - 2
    sigma = max(math.sqrt(float(rest @ rest) / free), off_c / math.sqrt(3))
    slopes = _slopes(room_c)(times, k, start)
    values, ways = np.linalg.eigh(sigma**2 * np.linalg.inv(slopes.T @ slopes))
    far = two_sided_t(free, 0.95) * np.sqrt(np.maximum(values, 0))
    return tuple((k + s * far[i] * ways[0, i], start + s * far[i] * ways[1, i]) for i in (0, 1) for s in (-1, 1))


def _ends(cooling: Cooling) -> list[tuple[float, float, float]]:
    """Room, k and start at the ends of the range; the room may be off too."""
    ends = [(cooling.room_c, k, start) for k, start in cooling.spread]
    if len(cooling.readings) == 2:
        for off in (-cooling.off_c, cooling.off_c):
            room = cooling.room_c + off
            gaps = [r.celsius - room for r in cooling.readings]
            if gaps[0] * gaps[1] > 0 and abs(gaps[1]) < abs(gaps[0]):
                ends.append((room, *_through(cooling.readings, room)))
    return ends
