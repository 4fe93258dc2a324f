"""Does it keep? Observations over days and places, and one batch against those before it.

No shelf life without observations, and none longer than what was watched or than the shortest ingredient keeps.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

import pandas as pd

from maker_kit.bench.receiving import DAYS_A_MONTH
from maker_kit.errors import QuantityError
from maker_kit.findings import PRACTICE, Finding, in_order, know, look, stop
from maker_kit.numbers import number_text

FEWEST = 5
"""Batches before a control band is drawn (common practice, no source)."""
BAND = "individuals chart, mean ± 2.66 × mean moving range: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2"
WIDTH = 3 / 1.128
"""Half width of the band in mean moving ranges: 3 / d2 with d2 = 1.128 for two (NIST/SEMATECH e-Handbook, 6.3.2.2)."""
THINNER = 0.10
"""A change of spread or viscosity by more than this share is to be looked at (common practice, no source)."""
PH_MOVES = 0.3
"""A change of pH by more than this is to be looked at (common practice, no source)."""
WEIGHT_MOVES = 0.01
"""A loss of weight by more than this share is to be looked at (common practice, no source)."""
WORSE = ("changed", "bad")
"""Words for look and smell beside ``same``: ``bad`` stops, ``changed`` is to be looked at."""


@dataclass(frozen=True)
class Observation:
    """What was seen on one day in one place.

    Attributes
    ----------
    day : float
        Days since it was filled.
    place : str
        Such as ``20 °C`` or ``40 °C``.
    kind : str
        ``look``, ``smell``, ``pH``, ``spread``, ``viscosity``, ``funnel`` or ``weight``.
    value : float or None
        For what is measured, in the unit that the first of its kind has.
    words : str
        For look and smell: ``same``, ``changed`` or ``bad``.
    """

    day: float
    place: str
    kind: str
    value: float | None = None
    words: str = ""


@dataclass(frozen=True)
class Watch:
    """What the observations tell.

    Attributes
    ----------
    observations : tuple of Observation
    watched_days : float
        The last day at the coolest place that was looked at.
    may_say_months : float or None
        The longest keeping time that can be stated [months]: watched so long without a change, and no longer than the
        shortest ingredient; None where nothing was watched.
    findings : tuple of Finding
    """

    observations: tuple[Observation, ...]
    watched_days: float
    may_say_months: float | None
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """Day × place and kind: what was seen."""
        rows = {}
        for o in self.observations:
            rows.setdefault(o.day, {})[f"{o.kind}, {o.place}"] = o.words if o.value is None else o.value
        frame = pd.DataFrame.from_dict(rows, orient="index").sort_index()
        frame.index.name = "day"
        return frame


def judge_watch(
    observations: Sequence[Observation], best_before: Mapping[str, date] | None = None, made_on: date | None = None
) -> Watch:
    """What a watch tells of keeping.

    Parameters
    ----------
    observations : sequence of Observation
    best_before : Mapping of str to date, optional
        Of each lot that went in, by ingredient.
    made_on : date, optional
        The day of the batch; without it the ingredients' dates cannot be counted.

    Returns
    -------
    Watch
        Its findings: ``watch.none`` (look), ``watch.bad`` (stop), ``watch.changed`` (look), ``watch.ingredient`` (know)
        where an ingredient's date is the end, ``watch.no_dates`` (look) where none is known, ``watch.steady`` (know).

    Raises
    ------
    QuantityError
        If a day is before the filling, or a value is no number.
    """
    seen = tuple(sorted(observations, key=lambda o: (o.place, o.kind, o.day)))
    for o in seen:
        if not math.isfinite(o.day) or o.day < 0:
            raise QuantityError(
                f"an observation of day {number_text(o.day)}: days are counted from the filling, from 0"
            )
        if o.value is not None and not math.isfinite(o.value):
            raise QuantityError(f"the {o.kind} of day {number_text(o.day)} is no number")
    if not seen:
        text = "Nothing was watched: how long it keeps is not known, whatever a recipe says."
        step = "Keep three of the batch, one of them warm; look, smell and read them on day 1, 7, 28 and 90."
        return Watch(
            (), 0.0, None, (look("watch.none", "keeping", text, level="unknown", next_step=step, source=PRACTICE),)
        )
    changes = [change for group in _series(seen).values() if (change := _changes(group))]
    found = [finding for _, finding in changes]
    cool = _coolest([o.place for o in seen])
    watched = max(o.day for o in seen if o.place == cool)
    ended = min((day for day, f in changes if f.about[0] == cool), default=math.inf)
    months = max((o.day for o in seen if o.place == cool and o.day < ended), default=0.0) / DAYS_A_MONTH
    shortest = min(((d, n) for n, d in (best_before or {}).items()), default=None)
    if shortest is not None and made_on is not None:
        left = (shortest[0] - made_on).days / DAYS_A_MONTH
        if left < months:
            months = max(0.0, left)
            text = f"{shortest[1]} is good until {shortest[0]}: the product is not good for longer."
            found.append(know("watch.ingredient", shortest[1], text, level="near", source=PRACTICE))
    else:
        text = "How long the ingredients themselves are good for was not entered."
        found.append(
            look("watch.no_dates", "ingredients", text, level="unknown", next_step="Enter the dates of the lots.")
        )
    if not any(f.code in ("watch.bad", "watch.changed") for f in found):
        text = f"No change was seen in {number_text(watched)} days at {cool}; beyond that nothing is known."
        found.append(know("watch.steady", cool, text, level="fine", source=PRACTICE))
    return Watch(seen, watched, math.floor(months * 10) / 10, in_order(found))


def _series(seen: Sequence[Observation]) -> dict[tuple[str, str], list[Observation]]:
    groups: dict[tuple[str, str], list[Observation]] = {}
    for o in seen:
        groups.setdefault((o.place, o.kind), []).append(o)
    return groups


def _changes(series: Sequence[Observation]) -> tuple[float, Finding] | None:
    """The first day on which one thing in one place was otherwise than at the start, and what is said of it."""
    first = series[0]
    for o in series:
        if o.words in WORSE:
            make = stop if o.words == WORSE[1] else look
            text = (
                f"On day {number_text(o.day)} at {o.place} its {o.kind} had "
                f"{'gone bad' if make is stop else 'changed'}."
            )
            step = (
                "Throw it away, do not use or give it, and do not save it."
                if make is stop
                else "Compare it with a fresh one."
            )
            code = "watch.bad" if make is stop else "watch.changed"
            return o.day, make(code, (o.place, o.kind), text, level="over", next_step=step, source=PRACTICE)
        if o.value is None or first.value is None or o is first:
            continue
        moved = o.value - first.value
        share = abs(moved / first.value) if first.value else math.inf
        if o.kind == "pH":
            over = abs(moved) > PH_MOVES + 1e-9
        else:
            over = share > (WEIGHT_MOVES if o.kind == "weight" else THINNER) + 1e-9
        if over:
            text = (
                f"On day {number_text(o.day)} at {o.place} the {o.kind} had gone from {number_text(first.value)} to "
                f"{number_text(o.value)}."
            )
            step = "Look at it, smell it, and read it again in a week; give none of it meanwhile."
            return o.day, look("watch.changed", (o.place, o.kind), text, level="over", next_step=step, source=PRACTICE)
    return None


def _coolest(places: Sequence[str]) -> str:
    from maker_kit.temperature import temperatures_in

    told = {p: min(temperatures_in(p), default=math.inf) for p in places}
    return min(told, key=lambda p: (told[p], p))


@dataclass(frozen=True)
class BatchBand:
    """One batch against those before it.

    Attributes
    ----------
    values : tuple of float
        Of the batches, in order of making.
    mean, low, high : float or None
        The band, of the batches before the last; None before there are five.
    findings : tuple of Finding
    """

    values: tuple[float, ...]
    mean: float | None
    low: float | None
    high: float | None
    findings: tuple[Finding, ...]


def band(values: Sequence[float], what: str, unit: str = "") -> BatchBand:
    """The control band of a reading over batches, and where the last one stands.

    Parameters
    ----------
    values : sequence of float
        One a batch, in order of making.
    what, unit : str
        What was read, and its unit.

    Returns
    -------
    BatchBand
        ``band.few`` (know), ``band.outside`` (look) or ``band.inside`` (know).

    Raises
    ------
    QuantityError
        If a value is no number.
    """
    given = tuple(float(v) for v in values)
    if not all(map(math.isfinite, given)):
        raise QuantityError(f"every {what} has to be a number")
    before = given[:-1]
    if len(before) < FEWEST:
        count = "1 batch tells" if len(given) == 1 else f"{len(given)} batches tell"
        text = f"{count} no band yet; {FEWEST} before the one looked at are needed."
        return BatchBand(given, None, None, None, (know("band.few", what, text, level="unknown", source=PRACTICE),))
    mean = statistics.fmean(before)
    half = WIDTH * statistics.fmean(abs(b - a) for a, b in pairwise(before))
    low, high, last = mean - half, mean + half, given[-1]
    unit = f" {unit}" if unit else ""
    said = f"{number_text(round(low, 3))} to {number_text(round(high, 3))}{unit}"
    if low <= last <= high:
        found = know("band.inside", what, f"{number_text(last)}{unit} lies within {said}.", level="fine", source=BAND)
    else:
        text = f"{number_text(last)}{unit} lies outside {said}, where the batches before it were."
        step = "Look for what was other this time: a lot, a temperature, a tool, a step."
        found = look("band.outside", what, text, level="over", next_step=step, source=BAND)
    return BatchBand(given, mean, low, high, (found,))
