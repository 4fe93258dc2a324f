"""From a lot to every unit and back: what was made of it, where that went, and what went into what came back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

import pandas as pd

from maker_kit.bench.followed import (
    LAST_PLACE,
    LISTED,
    NOT_HANDED_OUT,
    UNITS_NOW,
    Following,
    Made,
    Unit,
    WentIn,
    listed,
    parts,
    superseded,
)
from maker_kit.bench.log.book import BenchLog
from maker_kit.errors import UnknownNameError, short
from maker_kit.names import near_miss


@dataclass(frozen=True)
class Traced:
    """One unit, or a batch of which no unit has a number, and what leads to it.

    Attributes
    ----------
    lot, item : str
        Empty where the batch's weighing of it names no lot.
    batch, recipe, made_on : str
    mass_g : float or None
        How much of the lot went into the batch [g].
    unit, place, use, gone_on : str
        Empty where no unit was numbered; the place is `NOT_HANDED_OUT` where nobody wrote where it went.
    """

    lot: str
    item: str
    batch: str
    recipe: str
    made_on: str
    mass_g: float | None
    unit: str
    place: str
    use: str
    gone_on: str


@dataclass(frozen=True)
class Trace:
    """What a trace found: what it comes to, and, read from the log when it is asked for, each unit with what led to it.

    Attributes
    ----------
    asked : str
        The lot, batch, unit or place that was asked about, as the log spells it.
    kind : {'lot', 'batch', 'unit', 'place'}
    made : tuple of Made
        The batches.
    lots : tuple of str
        Codes of the lots, each once.
    places : dict of str to int
        Units by place, the most first.
    containers : int
        Containers that the batches filled, by their own entry.
    following : Following
        The log must be open where `links`, `rows`, `units` or `to_frame` are asked for.
    """

    asked: str
    kind: str
    made: tuple[Made, ...]
    lots: tuple[str, ...]
    places: dict[str, int]
    containers: int
    following: Following = field(repr=False, compare=False)

    @property
    def batches(self) -> tuple[str, ...]:
        """Numbers of the batches, each once."""
        return tuple(made.batch for made in self.made)

    @property
    def numbered(self) -> int:
        """Units with a number among them."""
        return sum(self.places.values())

    @property
    def unnumbered(self) -> int:
        """Containers of which no unit has a number: they can be found by the batch alone."""
        return max(0, self.containers - self.numbered)

    def links(self, most: int | None = None) -> Iterator[tuple[Made, tuple[WentIn, ...], tuple[Unit, ...]]]:
        """Each batch, or the first of them, with what went in and its units."""
        for part in parts(self.made[:most]):
            lots, units = self.following.went_in(part), self.following.units(part)
            yield from ((made, lots[made.batch], units[made.batch]) for made in part)

    def all_units(self) -> Iterator[Unit]:
        """The units, batch by batch."""
        for part in parts(self.made):
            for units in self.following.units(part).values():
                yield from units

    def units_at(self, place: str) -> tuple[str, ...]:
        """Numbers of the units that are in one place, as it is written."""
        return tuple(unit.code for unit in self.all_units() if unit.place == place)

    @property
    def units(self) -> tuple[str, ...]:
        """Numbers of the units, each once."""
        return tuple(unit.code for unit in self.all_units())

    def each(self) -> Iterator[Traced]:
        """Every unit with each lot behind it, one after the other."""
        for made, lots, units in self.links():
            about = made.batch, made.recipe, made.made_on
            for lot, item, mass_g in lots or [("", "", None)]:
                for unit in units or [("", "", "", "")]:
                    yield Traced(lot, item, *about, mass_g, *unit)

    @property
    def rows(self) -> tuple[Traced, ...]:
        """All of `each`."""
        return tuple(self.each())

    def to_frame(self, most: int | None = None) -> pd.DataFrame:
        """One row a unit and lot, or the first of them: lot, item, g, batch, recipe, made on, unit, place, use,
        since.
        """
        names = ("lot", "item", "mass_g", "batch", "recipe", "made_on", "unit", "place", "use", "gone_on")
        rows = [[getattr(row, n) for n in names] for row in islice(self.each(), most)]
        return pd.DataFrame(rows, columns=list(HEADS))


HEADS = ("lot", "ingredient", "g in the batch", "batch", "recipe", "made on", "unit", "place", "use", "since")
"""Headings of the table."""
_BATCHES = {
    "lot": f"SELECT DISTINCT batch AS id FROM weighing WHERE lot = ? AND seq NOT IN {superseded('weighing')}",
    "batch": "SELECT ? AS id",
    "unit": "SELECT batch AS id FROM now_unit WHERE id = ?",
}
_THERE = f"""SELECT u.batch, u.place, count(*) AS units FROM (SELECT u.batch, {LAST_PLACE} AS place FROM unit u WHERE
 u.root IN (SELECT unit FROM gone WHERE place = ? COLLATE NOCASE) AND {UNITS_NOW} LIMIT -1) u
 WHERE u.place = ? COLLATE NOCASE GROUP BY u.batch, u.place"""
_BY_PLACE = f"""SELECT place, count(*) AS units FROM (SELECT {LAST_PLACE} AS place FROM unit u
 WHERE u.batch IN {LISTED} AND {UNITS_NOW}{{only}} LIMIT -1) GROUP BY place"""
_USED = f"batch IN {LISTED} AND seq NOT IN {superseded('weighing')}"
_LOTS = f"""SELECT l.code FROM now_lot l WHERE l.id IN
 (SELECT DISTINCT lot FROM weighing WHERE {_USED} AND lot IS NOT NULL) ORDER BY l.began"""
_MANY_LOTS = f"""SELECT l.code FROM now_lot l WHERE EXISTS
 (SELECT 1 FROM weighing w WHERE w.lot = l.id AND +{_USED}) ORDER BY l.began"""
MANY = 500
"""Above so many batches, each lot is asked whether it is in any of them, by its own weighings (``+``)."""
_MADE = f"""SELECT b.id, b.number, coalesce(b.title, b.recipe) AS title, b.made_on, b.containers FROM now_batch b
 WHERE b.id IN {LISTED} ORDER BY b.began"""


def trace(log: BenchLog, name: str, kind: str = "") -> Trace:
    """Follow a lot forward to every unit, or a batch, a unit or a place back to every lot.

    Parameters
    ----------
    log : BenchLog
    name : str
        A lot's code, a batch's number, a unit's number or a place.
    kind : {'', 'lot', 'batch', 'unit', 'place'}
        Which of them it is; found out where empty.

    Returns
    -------
    Trace

    Raises
    ------
    UnknownNameError
        If the log holds none of that name, or several kinds share it and none is chosen.
    """
    kind, asked, key = _asked(log, name.strip(), kind)
    places: dict[str, int] = {}
    if kind == "place":
        there = log.ask(_THERE, (key, key))
        named = [*dict.fromkeys(row["batch"] for row in there)]
        ids = listed(named)
    else:
        named = [row["id"] for row in log.ask(_BATCHES[kind], (key,))]
        ids = listed(named)
        only, more = (" AND u.root = ?", (key,)) if kind == "unit" else ("", ())
        there = log.ask(_BY_PLACE.format(only=only), (ids, *more))
    for row in there:
        place = row["place"] or NOT_HANDED_OUT
        places[place] = places.get(place, 0) + row["units"]
    made = tuple(Made(*row.values()) for row in log.ask(_MADE, (ids,)))
    lots = (asked,) if kind == "lot" and made else ()
    if kind != "lot":
        lots = tuple(row["code"] for row in log.ask(_LOTS if len(named) < MANY else _MANY_LOTS, (ids,)))
    ranked = dict(sorted(places.items(), key=lambda pair: (-pair[1], pair[0])))
    containers = sum(places.values()) if kind in ("unit", "place") else sum(m.containers for m in made)
    return Trace(asked, kind, made, lots, ranked, containers, Following(log, kind, key))


def _asked(log: BenchLog, name: str, kind: str) -> tuple[str, str, str]:
    """Kind, spelling and key of what is asked about."""
    found = []
    for table, column in (("lot", "code"), ("batch", "number"), ("unit", "code")):
        rows = log.ask(f'SELECT id, "{column}" AS name FROM now_{table} WHERE "{column}" = ?', (name,))
        found += [(table, row["name"], row["id"]) for row in rows if kind in ("", table)]
    if kind in ("", "place"):
        places = log.ask("SELECT place FROM now_gone WHERE place = ? COLLATE NOCASE LIMIT 1", (name,))
        found += [("place", row["place"], row["place"]) for row in places]
    if len(found) == 1:
        return found[0]
    if found:
        kinds = ", ".join(f[0] for f in found)
        raise UnknownNameError(f'"{short(name)}" is the name of several things ({kinds}): say which is meant')
    known = [r["n"] for r in log.ask("SELECT code AS n FROM now_lot UNION SELECT number FROM now_batch")]
    raise UnknownNameError(
        f'the bench log knows no lot, batch, unit or place "{short(name)}"; {near_miss(name, known)}'
    )
