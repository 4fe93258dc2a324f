"""Rows of a table that belong together: those of one name, and what they agree on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from maker_kit.names import name_key
from maker_kit.workshop.csv.faults import Names, shown
from maker_kit.workshop.csv.records import BLANK, Record, Records
from maker_kit.workshop.csv.rows import comparable


def grouped(records: Iterable[Record], key: str, names: Names) -> dict[str, list[Record]]:
    """The rows by the name under one key, as its table writes it; a fault for every name that is not known."""
    groups: dict[str, list[Record]] = {}
    for record in records:
        if name := record.named(key, names):
            groups.setdefault(name, []).append(record)
    return groups


def same_name(records: Records, key: str) -> list[list[Record]]:
    """The rows that are about one thing, by its name; where rows spell it in several ways, the first is its name."""
    groups: dict[str, list[Record]] = {}
    for record in records:
        if record[key]:
            groups.setdefault(name_key(record[key]), []).append(record)
    return list(groups.values())


def agreed(rows: Iterable[Record], key: str) -> Any:
    """What rows that belong together say of the whole, from the first of them that says it; what a blank means where
    none does.
    """
    rows = list(rows)
    return next((r[key] for r in rows if r[key] not in BLANK), rows[0][key])


def check_agreed(rows: Iterable[Record], keys: Iterable[str], what: str) -> None:
    """A fault for every row that says something else of the whole than the first one does; a blank agrees."""
    rows = list(rows)
    for key in keys:
        first, *others = [r for r in rows if r[key] not in BLANK] or rows[:1]
        for r in others:
            if comparable(r[key]) != comparable(first[key]):
                r.refuse(
                    key,
                    f"the same as in row {first.row}: {shown(first.texts[key])}",
                    f"rows of one {what} agree on it: correct one, or leave it blank in all but the first",
                )
