"""What a trace is made of, read from the log a part at a time: what went into a batch, and where its units are.

A lot may be in thousands of batches, and each lot of a batch is behind each of its units: the pairs are many, and are
made only where somebody asks for them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from maker_kit.bench.log.book import BenchLog

NOT_HANDED_OUT = "not handed out"
"""The place of a unit of which nobody wrote where it went."""
PART = 100
"""Batches that are read at once."""


class WentIn(NamedTuple):
    """What went into a batch of one lot; the lot is empty where the pack has none; the mass is in g."""

    lot: str
    item: str
    mass_g: float


class Unit(NamedTuple):
    """A numbered unit, and where it is; `NOT_HANDED_OUT` where nobody wrote that down."""

    code: str
    place: str
    use: str
    gone_on: str


class Made(NamedTuple):
    """A batch: its id in the log, number, title or recipe, day, and the containers of its own entry."""

    id: str
    batch: str
    recipe: str
    made_on: str
    containers: int


def superseded(table: str) -> str:
    """Places of the rows that hold no more: corrected ones, and those that take one back. They are few, so that leaving
    them out costs less than asking of each row whether another corrects it.
    """
    return f"""(SELECT o.seq FROM {table} c JOIN {table} o ON o.id = c.corrects WHERE c.corrects IS NOT NULL
 UNION ALL SELECT seq FROM {table} WHERE corrects IS NOT NULL AND withdrawn)"""


LISTED = "(SELECT value FROM json_each(?))"
"""Ids that are given as one text."""
LAST_PLACE = f"""(SELECT place FROM (SELECT g.place, max(CASE WHEN g.corrects IS NULL THEN g.seq ELSE
 (SELECT o.seq FROM gone o WHERE o.id = g.root) END) FROM gone g WHERE g.unit = u.root
 AND g.seq NOT IN {superseded("gone")}))"""
"""Where a unit ``u`` is now: of what holds, what was begun last (SQLite gives the place of the row with the most)."""
UNITS_NOW = f"u.seq NOT IN {superseded('unit')}"


def listed(ids: Sequence[str]) -> str:
    """Ids as `LISTED` takes them."""
    return json.dumps(list(ids))


@dataclass(frozen=True)
class Following:
    """What was asked of the log, to read more of it.

    Attributes
    ----------
    log : BenchLog
        Open as long as something is read.
    kind : {'lot', 'batch', 'unit', 'place'}
    key : str
        Id of the lot, batch or unit; a place as it is written.
    """

    log: BenchLog
    kind: str
    key: str

    def went_in(self, made: Sequence[Made]) -> dict[str, tuple[WentIn, ...]]:
        """What went into each of these batches, by their numbers, in order of weighing; of a lot, that lot alone."""
        only, more = (" AND w.lot = ?", (self.key,)) if self.kind == "lot" else ("", ())
        rows = self.log.ask(
            f"""SELECT w.batch, l.code, w.item, sum(w.mass_mg) AS mass FROM now_weighing w LEFT JOIN now_lot l
 ON l.id = w.lot WHERE w.batch IN {LISTED}{only} GROUP BY w.batch, w.item, l.code ORDER BY min(w.began)""",
            (listed([m.id for m in made]), *more),
        )
        found: dict[str, list[WentIn]] = {m.id: [] for m in made}
        for r in rows:
            found[r["batch"]].append(WentIn(r["code"] or "", r["item"], r["mass"] / 1000))
        return {m.batch: tuple(found[m.id]) for m in made}

    def units(self, made: Sequence[Made]) -> dict[str, tuple[Unit, ...]]:
        """The units of each of these batches, by their numbers; of a unit or a place, what was asked about alone."""
        only, more = self._only()
        ids = listed([m.id for m in made])
        rows = self.log.ask(
            f"SELECT u.id, u.batch, u.code FROM now_unit u WHERE u.batch IN {LISTED}{only} ORDER BY u.began",
            (ids, *more),
        )
        gone = self.log.ask(
            f"""SELECT g.unit, g.place, g.use, g.gone_on FROM now_gone g WHERE g.unit IN
 (SELECT u.id FROM now_unit u WHERE u.batch IN {LISTED}{only}) ORDER BY g.began""",
            (ids, *more),
        )
        last = {g["unit"]: g for g in gone}
        found: dict[str, list[Unit]] = {m.id: [] for m in made}
        for r in rows:
            unit = _unit(r["code"], last.get(r["id"]))
            if self.kind != "place" or unit.place.casefold() == self.key.casefold():
                found[r["batch"]].append(unit)
        return {m.batch: tuple(found[m.id]) for m in made}

    def _only(self) -> tuple[str, tuple[str, ...]]:
        if self.kind == "unit":
            return " AND u.id = ?", (self.key,)
        if self.kind == "place":
            there = "SELECT 1 FROM gone o WHERE o.unit = u.id AND o.place = ? COLLATE NOCASE"
            return f" AND EXISTS ({there})", (self.key,)
        return "", ()


def _unit(code: str, gone: dict[str, Any] | None) -> Unit:
    return Unit(code, gone["place"], gone["use"], gone["gone_on"]) if gone else Unit(code, NOT_HANDED_OUT, "", "")


def parts(made: Sequence[Made], size: int = PART) -> Iterator[Sequence[Made]]:
    """The batches, so many at a time."""
    for first in range(0, len(made), size):
        yield made[first : first + size]
