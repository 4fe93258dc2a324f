"""From a lot to every unit and back: what was made of it, where that went, and what went into what came back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

from maker_kit.bench.log.book import BenchLog
from maker_kit.errors import UnknownNameError, short
from maker_kit.names import near_miss

NOT_HANDED_OUT = "not handed out"
"""The place of a unit of which nobody wrote where it went."""


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
    """What a trace found.

    Attributes
    ----------
    asked : str
        The lot, batch, unit or place that was asked about, as the log spells it.
    kind : {'lot', 'batch', 'unit', 'place'}
    rows : tuple of Traced
    numbered : int
        Units with a number among them.
    containers : int
        Containers that the batches filled, by their own entry.
    """

    asked: str
    kind: str
    rows: tuple[Traced, ...]
    numbered: int
    containers: int

    @property
    def batches(self) -> tuple[str, ...]:
        """Numbers of the batches, each once."""
        return tuple(dict.fromkeys(row.batch for row in self.rows))

    @property
    def lots(self) -> tuple[str, ...]:
        """Codes of the lots, each once."""
        return tuple(dict.fromkeys(row.lot for row in self.rows if row.lot))

    @property
    def units(self) -> tuple[str, ...]:
        """Numbers of the units, each once."""
        return tuple(dict.fromkeys(row.unit for row in self.rows if row.unit))

    @property
    def places(self) -> dict[str, int]:
        """Units by place, the most first."""
        where = {row.unit: row.place for row in self.rows if row.unit}
        counted: dict[str, int] = {}
        for place in where.values():
            counted[place] = counted.get(place, 0) + 1
        return dict(sorted(counted.items(), key=lambda pair: (-pair[1], pair[0])))

    @property
    def unnumbered(self) -> int:
        """Containers of which no unit has a number: they can be found by the batch alone."""
        return max(0, self.containers - self.numbered)

    def to_frame(self) -> pd.DataFrame:
        """One row a unit and lot: lot, item, g, batch, recipe, made on, unit, place, use, since."""
        names = ("lot", "item", "mass_g", "batch", "recipe", "made_on", "unit", "place", "use", "gone_on")
        rows = [[getattr(row, n) for n in names] for row in self.rows]
        heads = ["lot", "ingredient", "g in the batch", "batch", "recipe", "made on", "unit", "place", "use", "since"]
        return pd.DataFrame(rows, columns=heads)


_LAST_PLACE = """SELECT g.unit, g.place, g.use, g.gone_on FROM now_gone g WHERE {where}
 AND NOT EXISTS (SELECT 1 FROM now_gone later WHERE later.unit = g.unit AND later.began > g.began)"""
_WHERE = {
    "lot": "b.id IN (SELECT batch FROM now_weighing WHERE lot = ?)",
    "batch": "b.id = ?",
    "unit": "b.id = (SELECT batch FROM now_unit WHERE id = ?)",
    "place": "b.id IN (SELECT u.batch FROM now_unit u JOIN ({places}) p ON p.unit = u.id)",
}


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
    place = _LAST_PLACE.format(where="g.place = ? COLLATE NOCASE")
    chosen = f"FROM now_batch b WHERE {_WHERE[kind].format(places=place)}"
    batches = log.ask(f"SELECT b.* {chosen} ORDER BY b.began", (key,))
    only = " AND w.lot = ?" if kind == "lot" else ""
    lots = _by_batch(
        log.ask(
            f"""SELECT w.batch, w.item, l.code, sum(w.mass_mg) AS mass FROM now_weighing w LEFT JOIN now_lot l
 ON l.id = w.lot WHERE w.batch IN (SELECT b.id {chosen}){only}
 GROUP BY w.batch, w.item, l.code ORDER BY min(w.began)""",
            (key, key) if only else (key,),
        )
    )
    only = {"unit": " WHERE u.id = ?", "place": " WHERE g.place = ? COLLATE NOCASE"}.get(kind, "")
    units = _by_batch(
        log.ask(
            f"""SELECT u.batch, u.code, g.place, g.use, g.gone_on FROM
 (SELECT * FROM now_unit WHERE batch IN (SELECT b.id {chosen})) u
 LEFT JOIN now_gone g ON g.unit = u.id AND NOT EXISTS
  (SELECT 1 FROM now_gone later WHERE later.unit = u.id AND later.began > g.began){only} ORDER BY u.began""",
            (key, key) if only else (key,),
        )
    )
    rows: list[Traced] = []
    for batch in batches:
        about = batch["number"], batch["title"] or batch["recipe"], batch["made_on"]
        for lot in lots.get(batch["id"]) or [dict.fromkeys(("code", "item", "mass"))]:
            mass_g = None if lot["mass"] is None else lot["mass"] / 1000
            for unit in units.get(batch["id"]) or [dict.fromkeys(("code", "place", "use", "gone_on"))]:
                there = unit["place"] or (NOT_HANDED_OUT if unit["code"] else "")
                went = unit["code"] or "", there, unit["use"] or "", unit["gone_on"] or ""
                rows.append(Traced(lot["code"] or "", lot["item"] or "", *about, mass_g, *went))
    numbered = sum(map(len, units.values()))
    containers = numbered if kind in ("unit", "place") else sum(b["containers"] for b in batches)
    return Trace(asked, kind, tuple(rows), numbered, containers)


def _by_batch(rows: list[dict[str, Any]]) -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        found.setdefault(row["batch"], []).append(row)
    return found


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
        msg = f'"{short(name)}" is the name of several things ({kinds}): say which is meant'
        raise UnknownNameError(msg)
    known = [r["n"] for r in log.ask("SELECT code AS n FROM now_lot UNION SELECT number FROM now_batch")]
    msg = f'the bench log knows no lot, batch, unit or place "{short(name)}"; {near_miss(name, known)}'
    raise UnknownNameError(msg)
