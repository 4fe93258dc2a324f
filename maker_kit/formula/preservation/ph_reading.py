"""pH as it was read, by what and when: the newest reading counts, and each is only as good as its tool. Nothing
computes a pH.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from maker_kit.errors import QuantityError
from maker_kit.findings import PRACTICE, Finding, know, look
from maker_kit.formula.preservation.undissociated import check_ph
from maker_kit.formula.recipe import Recipe
from maker_kit.names import near_miss
from maker_kit.numbers import exact_number

TOOLS = {"strip": 0.5, "meter": 0.1}
"""How far a reading may be off [pH]: strips ± 0.5, a calibrated meter ± 0.1; common practice, no source."""
ROOM_C = (15.0, 30.0)
"""Temperatures at which a reading is taken as one of a room [°C]; common practice, no source."""
BAND = "the recipe's own band"
READ_IT = "Read the pH of the finished batch and write it down; nothing computes it."


def reading_error(tool: str) -> float:
    """How far a reading may be off by its tool [pH]; that of the coarsest tool where nobody noted which it was.

    Parameters
    ----------
    tool : {'', 'strip', 'meter'}

    Raises
    ------
    KeyError
        If nobody knows the tool.
    """
    return TOOLS[tool] if tool else max(TOOLS.values())


def named_tool(words: str) -> str:
    """Which of `TOOLS` a maker's own words name (``pH meter``, ``indicator paper``); empty where neither or both do."""
    said = words.casefold()
    strip = any(word in said for word in ("strip", "paper", "stick"))
    meter = any(word in said for word in ("meter", "electrode", "probe"))
    return "" if strip == meter else "strip" if strip else "meter"


@dataclass(frozen=True)
class PhReading:
    """One reading of the pH.

    Attributes
    ----------
    ph : float
        As read, 0 to 14.
    tool : {'strip', 'meter'}
    temperature_c : float or None
        Of the sample [°C]; None where it was not noted.
    read_on : date or datetime
    note : str
    """

    ph: float
    tool: str
    temperature_c: float | None
    read_on: datetime.date
    note: str = ""

    @property
    def error(self) -> float:
        """How far it may be off [pH]."""
        return TOOLS[self.tool]

    @property
    def low(self) -> float:
        """Lowest pH that it may be."""
        return max(float(exact_number(self.ph, "a pH") - exact_number(self.error, "an error")), 0.0)

    @property
    def high(self) -> float:
        """Highest pH that it may be."""
        return min(float(exact_number(self.ph, "a pH") + exact_number(self.error, "an error")), 14.0)


def check_reading(reading: PhReading) -> PhReading:
    """The reading itself, if it is one.

    Raises
    ------
    QuantityError
        If the pH lies outside 0 to 14, nobody knows the tool, the temperature is that of no liquid, or there is no
        date.
    """
    check_ph(reading.ph)
    if reading.tool not in TOOLS:
        raise QuantityError(f'a pH is not read with "{reading.tool}": {near_miss(str(reading.tool), TOOLS)}')
    if (
        reading.temperature_c is not None
        and not -5 <= exact_number(reading.temperature_c, "the temperature of a pH reading in °C") <= 105
    ):
        raise QuantityError(
            f"a pH reading at {reading.temperature_c:g} °C: a sample lies between -5 and 105 °C; let it come to the "
            "room's temperature and read again"
        )
    if not isinstance(reading.read_on, datetime.date):
        raise QuantityError(f"a pH reading has a date, not {reading.read_on!r}; write the day on which it was read")
    return reading


def newest(readings: Iterable[PhReading]) -> PhReading | None:
    """The newest reading; of several at one time the last in the list. None where there is none.

    A day without a time counts as its beginning.

    Raises
    ------
    QuantityError
        If a reading is senseless, or some times name their zone and others do not.
    """
    checked = [check_reading(r) for r in readings]
    times = [_time(r) for r in checked]
    if len({t.tzinfo is None for t in times}) > 1:
        raise QuantityError(
            "some pH readings name the time zone and others do not, so which is the newest is unknown; write them in "
            "one way"
        )
    return max(enumerate(checked), key=lambda pair: (times[pair[0]], pair[0]))[1] if checked else None


def judge_reading(recipe: Recipe, readings: Iterable[PhReading]) -> tuple[Finding, ...]:
    """How the newest reading stands to the recipe's band, and what to do next.

    Parameters
    ----------
    recipe : Recipe
        Its band counts.
    readings : iterable of PhReading

    Returns
    -------
    tuple of Finding
        ``fine`` only where the reading lies in the band with all its possible error; ``near`` where the error reaches
        beyond; ``note`` outside; ``unknown`` without a reading or a band.

    Raises
    ------
    QuantityError
        If a reading is senseless, or the band runs backwards.
    """
    low, high = recipe.ph_low, recipe.ph_high
    for edge, what in ((low, "the low end of the pH band"), (high, "the high end of the pH band")):
        if edge is not None:
            check_ph(edge, what)
    if low is not None and high is not None and low > high:
        raise QuantityError(f"the pH band of {recipe.title} runs from {low:g} to {high:g}; write the lower end first")
    reading = newest(readings)
    if reading is None:
        text = "No pH was read, so it is unknown."
        step = "Read the pH of the finished batch and write it down with its tool and temperature; nothing computes it."
        return (look("preservation.ph_not_read", "pH", text, level="unknown", next_step=step, source=PRACTICE),)
    warm, (coldest, warmest) = reading.temperature_c, ROOM_C
    found = [_place(reading, low, high)]
    if warm is None:
        text, step = "At which temperature the pH was read is not noted.", "Note it; read at the room's temperature."
        found.append(
            look(
                "preservation.ph_temperature_not_noted",
                "pH temperature",
                text,
                level="unknown",
                next_step=step,
                source=PRACTICE,
            )
        )
    elif not coldest <= warm <= warmest:
        text = f"The pH was read at {warm:g} °C, and it changes with temperature."
        step = f"Read again between {coldest:g} and {warmest:g} °C."
        found.append(look("preservation.ph_temperature_far", "pH temperature", text, next_step=step, source=PRACTICE))
    return tuple(found)


def band_in_words(low: float | None, high: float | None) -> str:
    """A band of the pH for a maker; one of its ends may be open."""
    if low is None or high is None:
        return f"{high:g} or less" if low is None else f"{low:g} or more"
    return f"{low:g}–{high:g}"


def _place(reading: PhReading, low: float | None, high: float | None) -> Finding:
    told = f"The pH read, {reading.ph:g} by {reading.tool} (± {reading.error:g}, {PRACTICE})"
    if low is None and high is None:
        text = f"{told}, has no band to be compared with."
        step = "Write the band in which the preservative and the skin are served."
        return look("preservation.ph_no_band", "pH", text, level="unknown", next_step=step, source=BAND)
    band = band_in_words(low, high)
    if high is not None and reading.ph > high:
        step = "Add acid by tenths of a gram; stir, wait and read after each."
        return look("preservation.ph_above", "pH", f"{told}, is above the band of {band}.", next_step=step, source=BAND)
    if low is not None and reading.ph < low:
        step = (
            "Add no more acid. Raise it by very small steps, with goggles and gloves, and read after each; or make "
            "it again with less."
        )
        return look("preservation.ph_below", "pH", f"{told}, is below the band of {band}.", next_step=step, source=BAND)
    if (high is not None and reading.high > high) or (low is not None and reading.low < low):
        text = f"{told}, is within {band}, but may lie outside by its own error."
        step = "Aim for the middle of the band, or read twice."
        if reading.tool != "meter":
            step = "Read again with a calibrated meter."
        return look("preservation.ph_near_edge", "pH", text, level="near", next_step=step, source=BAND)
    return know("preservation.ph_in_band", "pH", f"{told}, is within {band}.", level="fine", source=BAND)


def _time(reading: PhReading) -> datetime.datetime:
    day = reading.read_on
    return day if isinstance(day, datetime.datetime) else datetime.datetime(day.year, day.month, day.day)
