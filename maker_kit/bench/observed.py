"""Observations in the log: what was read of a batch on which day and where, and one reading over all batches."""

from __future__ import annotations

import math
import re
from datetime import date
from typing import Any

from maker_kit.bench.log import BenchLog
from maker_kit.bench.watching import Observation
from maker_kit.errors import QuantityError, short
from maker_kit.numbers import number_text

PHOTO = "photo"
SEEN = ("look", "smell")
"""Told in words: same, changed or bad."""
_WHEN = re.compile(r"\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])(?:[ T]|$)")
MEASURED = {"pH": "", "spread": "cm", "funnel": "s", "viscosity": "mPa·s", "weight": "g"}
"""Kind to its unit."""
DENSITY = "density"
TOLD = ("same", "changed", "bad")


def read(
    log: BenchLog,
    batch: str,
    kind: str,
    value: float | None,
    read_at: str,
    tool: str = "",
    at_c: float | None = None,
    instrument: str = "",
) -> str:
    """Write down what was read of a batch on its day, and give the row's id.

    Parameters
    ----------
    log : BenchLog
    batch : str
    kind : str
        One of `MEASURED`, or ``density`` [g/mL].
    value : float or None
        In the unit of `MEASURED`.
    read_at : str
        When, such as ``2026-11-02 14:05``.
    tool : str
    at_c : float or None
        Temperature of the sample [°C].
    instrument : str
        The tool's own number.

    Raises
    ------
    QuantityError
        If the kind is unknown, there is no value, or it cannot be: below 0, a pH above 14, a density above 3 g/mL; or
        the time begins with no date.
    UnknownNameError
        If there is no such batch.
    """
    checked_time(read_at, "a reading")
    if kind not in (*MEASURED, DENSITY):
        raise QuantityError(f'"{kind}" is nothing that is measured: {", ".join((*MEASURED, DENSITY))}')
    return _written(log, batch, kind, value, read_at, tool=tool, at_c=at_c, instrument=instrument)


def observe(
    log: BenchLog,
    batch: str,
    kind: str,
    day: float,
    place: str,
    read_on: date,
    value: float | None = None,
    words: str = "",
    **with_what: Any,
) -> str:
    """Write down an observation of a batch, and give the row's id; errors as in `read`, and where words are missing.

    Parameters
    ----------
    log, batch, value
        As in `read`; a value for what is measured alone.
    kind : str
        One of `SEEN`, `MEASURED` or ``photo``.
    day : float
        Days since it was filled.
    place : str
        Such as ``20 °C``.
    read_on : date
    words : str
        One of `TOLD` for `SEEN`; a file's name for a photo.
    **with_what
        ``tool``, ``at_c`` and ``instrument`` of `read`.
    """
    if kind in MEASURED:
        words = ""
    elif kind == PHOTO or kind in SEEN:
        if not words.strip() or (kind in SEEN and words not in TOLD):
            allowed = "the name of a file" if kind == PHOTO else " or ".join(TOLD)
            raise QuantityError(f"the {kind} is told in words: {allowed}")
        value = None
    else:
        raise QuantityError(f'"{kind}" is nothing that is watched: {", ".join((*SEEN, *MEASURED, PHOTO))}')
    if not place.strip():
        raise QuantityError("say where it stood, such as 20 °C")
    where = {"place": place.strip(), "day": day, "words": words.strip() or None}
    return _written(log, batch, kind, value, read_on.isoformat(), **where, **with_what)


def _written(log: BenchLog, batch: str, kind: str, value: float | None, read_at: str, **more: Any) -> str:
    """Write a reading into the log; what is measured is checked first."""
    unit = "g/mL" if kind == DENSITY else MEASURED.get(kind, "")
    if kind in MEASURED or kind == DENSITY:
        checked_reading(kind, value, unit)
    more["tool"] = more.get("tool") or None
    return log.add("reading", batch=batch, kind=kind, value=value, unit=unit or None, read_at=read_at, **more)


def checked_time(at: str, what: str) -> None:
    """Refuse a time that begins with no date (QuantityError)."""
    if not _WHEN.match(at.strip()):
        raise QuantityError(f'"{short(at)}" is no time of {what}: write day and time, as in 2026-11-02 14:05')


def checked_reading(kind: str, value: float | None, unit: str) -> None:
    """Refuse a reading that cannot be: none, below 0, a pH above 14, a density above 3 g/mL (QuantityError)."""
    most = {"pH": 14.0, DENSITY: 3.0}.get(kind, math.inf)
    if value is None or not 0 <= value <= most or math.isinf(value):
        what = "of 0 or more" if math.isinf(most) else f"from 0 to {number_text(most)}"
        raise QuantityError(f"the {kind} is a number {what}{' ' + unit if unit else ''}")


def observations_of(log: BenchLog, batch: str) -> tuple[Observation, ...]:
    """The observations of a batch; its photos are `photos_of`.

    Raises
    ------
    UnknownNameError
        If there is no such batch.
    """
    return tuple(
        Observation(r["day"], r["place"], r["kind"], r["value"], r["words"] or "")
        for r in log.now("reading", batch=batch)
        if r["day"] is not None and r["place"] and r["kind"] != PHOTO
    )


def photos_of(log: BenchLog, batch: str) -> dict[tuple[float, str], tuple[str, ...]]:
    """The photos of a batch by their file's names, by day and place. Raises as `observations_of`."""
    found: dict[tuple[float, str], tuple[str, ...]] = {}
    for r in log.now("reading", batch=batch, kind=PHOTO):
        if r["day"] is not None and r["place"]:
            at = r["day"], r["place"]
            found[at] = (*found.get(at, ()), r["words"])
    return found


def over_batches(log: BenchLog, recipe: str, kind: str) -> tuple[tuple[str, ...], tuple[float, ...]]:
    """The first reading of a kind in each batch of a recipe: numbers of the batches, and values, in order of making."""
    rows = log.ask(
        """SELECT b.number, r.value FROM now_batch b JOIN now_reading r ON r.batch = b.id
 WHERE b.recipe = ? AND r.kind = ? AND r.value IS NOT NULL AND NOT EXISTS (SELECT 1 FROM now_reading e
  WHERE e.batch = b.id AND e.kind = r.kind AND e.value IS NOT NULL AND e.began < r.began) ORDER BY b.began""",
        (recipe, kind),
    )
    return tuple(r["number"] for r in rows), tuple(r["value"] for r in rows)


def dates_of_lots(log: BenchLog, batch: str) -> dict[str, date]:
    """The best-before date of each lot that went into a batch, by ingredient; the earliest where several did."""
    rows = log.ask(
        """SELECT w.item, min(l.best_before) AS until FROM now_weighing w JOIN now_lot l ON l.id = w.lot
 WHERE w.batch = ? AND l.best_before IS NOT NULL GROUP BY w.item""",
        (log.root_of("batch", batch),),
    )
    return {r["item"]: date.fromisoformat(r["until"]) for r in rows}
