"""Questions about days: in the future, of another century, or far from all the others of their column."""

from __future__ import annotations

from datetime import date, timedelta

from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic, topic_of

FIRST_DAY = date(2000, 1, 1)
SPAN, APART = timedelta(days=200), timedelta(days=250)
"""A day at least `APART` from all the others of its column is asked about where those lie within `SPAN`."""


def ask_dates(held: Held, asker: Asker) -> None:
    """All cells that hold a day."""
    all_days = [
        d for spec in held.tables for c in spec.columns if c.kind == "date" for _, d in _days(held, spec, c.key)
    ]
    ahead = sum(day > held.today + timedelta(days=1) for day in all_days)
    clock_behind = 2 * ahead > len(all_days) and len(all_days) > 1
    for spec in held.tables:
        for column in spec.columns:
            if column.kind != "date":
                continue
            days = _days(held, spec, column.key)
            for r, day in days:
                topic = topic_of(spec, r)
                others = sorted(d for o, d in days if o is not r)
                if day > held.today + timedelta(days=1) and not clock_behind:
                    asker.ask("date", topic, r, column.key, "That day is still to come")
                elif day < FIRST_DAY:
                    asker.ask("date", topic, r, column.key, "That is before the year 2000")
                elif len(others) >= 2 and others[-1] - others[0] <= SPAN and _apart(day, others):
                    why = f"The others in this column lie from {others[0].isoformat()} to {others[-1].isoformat()}"
                    asker.ask("date", topic, r, column.key, why)
    for r in held.tables[specs.PAPERS]:
        if r["closed_on"] and r["date"] and r["closed_on"] < r["date"]:
            topic = Topic.of("recipe", r["recipe"] or "")
            asker.ask("date", topic, r, "closed_on", "It was closed before the day it was written; look at both")


def _apart(day: date, others: list[date]) -> bool:
    return day > others[-1] + APART or day < others[0] - APART


def _days(held: Held, spec: object, key: str) -> list[tuple[Record, date]]:
    return [(r, r[key]) for r in held.tables[spec] if r[key]]
