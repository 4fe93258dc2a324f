"""The day in pictures: its steps as a ribbon on a time line with their temperatures, and how something cools."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from matplotlib.axes import Axes

from maker_kit.bench.cooling import Cooling, Forecast
from maker_kit.bench.day import DayStep
from maker_kit.bench.sheet import said_minutes
from maker_kit.workbook.charts import style
from maker_kit.workbook.charts.picture import Chart

SHOWN_MIN, SHOWN_MAX = 6.0, 45.0
"""How wide a step is drawn at least and at most [min]: a night is not drawn to scale."""
LOOKS = {
    "done": style.area(style.LEAF, style.INK),
    "skipped": style.area("white", style.CLAY, "xxxx"),
    "open": style.area("white", style.INK, ""),
    "jumped": style.area("white", style.CLAY, "////"),
}


@dataclass(frozen=True)
class Day:
    """What the ribbon shows.

    Attributes
    ----------
    title : str
    steps : tuple of DayStep
    at : int
        The step that is looked at.
    """

    title: str
    steps: tuple[DayStep, ...]
    at: int


def draw_day(day: Day, ax: Axes) -> Axes:
    """The steps one after the other, as wide as they take (open ones are empty, left-out ones crossed), and over them
    the temperature that each wants (a bar) and that was read (a mark).
    """
    style.margins(ax, 0.07, 0.97, 0.42, 0.55)
    wanted = [t for r in day.steps for t in (r.step.from_c, r.step.to_c, r.read_c) if t is not None]
    low, high = (min(wanted), max(wanted)) if wanted else (15.0, 25.0)
    pad = max((high - low) * 0.15, 3.0)
    bottom, top = low - 3.2 * pad, high + 1.2 * pad
    x, ticks = 0.0, []
    for row in day.steps:
        step = row.step
        wide = min(max(step.minutes or SHOWN_MIN, SHOWN_MIN), SHOWN_MAX)
        state = "jumped" if any(f.code == "step.jumped" for f in row.findings) else row.state
        line = 3.0 if step.number == day.at else 0.8
        ax.bar(x, pad, wide, bottom, align="edge", **{**LOOKS[state], "linewidth": line})
        style.say(ax, x + wide / 2, bottom + pad * 1.15, str(step.number), ha="center", fontsize=10)
        took = "" if step.minutes is None else said_minutes(step.minutes)
        ticks.append((x + wide / 2, took))
        ends = step.from_c, step.to_c
        if any(e is not None for e in ends):
            down, up = (low - pad / 2 if ends[0] is None else ends[0]), (high + pad / 2 if ends[1] is None else ends[1])
            ax.bar(
                x + wide * 0.1,
                max(up - down, pad / 12),
                wide * 0.8,
                down,
                align="edge",
                **style.area(style.PALE, style.MUTED),
            )
        if row.read_c is not None:
            off = any(f.code == "step.outside" for f in row.findings)
            style.point(ax, x + wide / 2, row.read_c, "X" if off else "o", 8, **({"color": style.CLAY} if off else {}))
        x += wide
    ax.set_xlim(0, max(x, 1.0))
    ax.set_ylim(bottom, top)
    ax.set_yticks([low + (high - low) * k / 3 for k in range(4)] if high > low else [low])
    ax.yaxis.set_major_formatter("{x:.0f}")
    ax.set_xticks([t for t, _ in ticks], [w for _, w in ticks])
    across = "time of each step: green done, crossed left out, empty open; °C wanted (bar), read (mark)"
    return style.frame(ax, f"{day.title}: the day as a ribbon", across, "°C")


def day_words(day: Day) -> str:
    """How many steps are done, left out and open, and which is looked at."""
    states = [row.state for row in day.steps]
    return (
        f"{day.title}: {states.count('done')} of {len(states)} steps done, {states.count('skipped')} left out; "
        f"step {day.at} is looked at"
    )


@dataclass(frozen=True)
class CoolingDay:
    """A cooling and its forecast on the clock.

    Attributes
    ----------
    cooling : Cooling
    forecast : Forecast
    begun : datetime.datetime
        When the first reading was taken.
    """

    cooling: Cooling
    forecast: Forecast
    begun: datetime

    def clock(self, minutes: float) -> str:
        """The time on the clock, rounded down to the minute; with the day where it is another."""
        at = self.begun + timedelta(minutes=minutes)
        days = (at.date() - self.begun.date()).days
        return f"{at:%H:%M}" + (f" (+{days} d)" if days else "")


def draw_cooling(shown: CoolingDay, ax: Axes) -> Axes:
    """The readings, the law through them, the room, the wanted temperature and when it is reached, with the range."""
    cooling, forecast = shown.cooling, shown.forecast
    style.margins(ax, 0.08, 0.8, 0.42, 0.6)
    last = cooling.readings[-1].minutes
    ends = [m for m in (forecast.minutes, forecast.earliest, forecast.latest) if m is not None]
    far = min(max([last, *ends]) * 1.15 or 1.0, max(last, forecast.minutes or last) * 3 or 1.0)
    times = [far * k / 120 for k in range(121)]
    ax.plot(times, [cooling.celsius_at(t) for t in times], color=style.INK, linewidth=1.6)
    for reading in cooling.readings:
        style.point(ax, reading.minutes, reading.celsius, "o", 7)
    ax.axhline(cooling.room_c, color=style.MUTED, linestyle=style.DASHES[2], linewidth=1.2)
    ax.axhline(forecast.target_c, color=style.CLAY, linestyle=style.DASHES[1], linewidth=1.3)
    style.say_beside(ax, forecast.target_c, f"wanted {forecast.target_c:g} °C", color=style.CLAY)
    if abs(cooling.room_c - forecast.target_c) > 2:
        style.say_beside(ax, cooling.room_c, f"room {cooling.room_c:g} °C", color=style.MUTED)
    if forecast.minutes is not None:
        right = far if forecast.latest is None else min(forecast.latest, far)
        ax.axvspan(min(forecast.earliest, right), right, zorder=0, **style.area(style.PALE, "none"))
        style.point(ax, forecast.minutes, forecast.target_c, "D", 9, edge=style.CLAY, markeredgewidth=2)
        words = shown.clock(forecast.minutes)
        ax.annotate(words, (forecast.minutes, forecast.target_c), (6, 10), fontsize=11, textcoords="offset points")
    ax.set_xlim(0, far)
    marks = [far * k / 5 for k in range(6)]
    ax.set_xticks(marks, [shown.clock(m) for m in marks])
    return style.frame(ax, "How it cools", "time; shaded: when it may be reached", "°C")


def cooling_words(shown: CoolingDay) -> str:
    """The readings and when the wanted temperature is reached."""
    readings = "; ".join(f"{shown.clock(r.minutes)} {r.celsius:g} °C" for r in shown.cooling.readings)
    when = "is not reached" if shown.forecast.minutes is None else f"at {shown.clock(shown.forecast.minutes)}"
    return f"readings {readings}; {shown.forecast.target_c:g} °C {when}"


@dataclass(frozen=True)
class Parts:
    """Phases before and after they are joined.

    Attributes
    ----------
    names : tuple of str
    celsius : tuple of float
        [°C]
    low_c, high_c : float
        Joined [°C].
    floor_c : float or None
    """

    names: Sequence[str]
    celsius: Sequence[float]
    low_c: float
    high_c: float
    floor_c: float | None


def draw_joined(parts: Parts, ax: Axes) -> Axes:
    """Each phase's temperature, what they come to once joined, and the floor below which a wax sets."""
    style.margins(ax, 0.08, 0.8, 0.42, 0.4)
    names = [*parts.names, "joined"]
    known = [*parts.celsius, parts.low_c, parts.high_c, *([parts.floor_c] if parts.floor_c is not None else [])]
    low, high = min(known) - 3, max(known) + 3
    for k, celsius in enumerate(parts.celsius):
        ax.bar(k, celsius - low, 0.5, low, **style.area(style.PALE, style.INK))
        style.say(ax, k, celsius + 0.3, f"{celsius:g} °C", ha="center", fontsize=10)
    under = parts.floor_c is not None and parts.low_c < parts.floor_c
    at = len(parts.celsius)
    looks = style.area("white", style.CLAY, "////") if under else style.area(style.LEAF, style.INK)
    ax.bar(at, parts.low_c - low, 0.5, low, **looks)
    ax.plot([at, at], [parts.low_c, parts.high_c], color=style.INK, linewidth=3)
    style.say(ax, at, parts.high_c + 0.3, f"{parts.low_c:.1f} to {parts.high_c:.1f} °C", ha="center", fontsize=10)
    if parts.floor_c is not None:
        ax.axhline(parts.floor_c, color=style.CLAY, linestyle=style.DASHES[1], linewidth=1.3)
        style.say_beside(ax, parts.floor_c, f"at least {parts.floor_c:g} °C", color=style.CLAY)
    ax.set_xticks(range(len(names)), names)
    ax.set_xlim(-0.6, at + 0.6)
    ax.set_ylim(low, high)
    return style.frame(ax, "Two phases, joined", "", "°C")


def joined_words(parts: Parts) -> str:
    """The temperatures."""
    each = "; ".join(f"{n} {c:g} °C" for n, c in zip(parts.names, parts.celsius, strict=True))
    return f"{each}; joined {parts.low_c:.1f} to {parts.high_c:.1f} °C"


DAY = Chart(draw_day, day_words, 2.7)
COOLING = Chart(draw_cooling, cooling_words, 3.8)
JOINED = Chart(draw_joined, joined_words, 3.4)
