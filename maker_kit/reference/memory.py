"""Every published figure that nobody has looked up yet, in one list, with what would confirm it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from maker_kit.reference import package_folder, rows

_FIGURE = re.compile(r"[<>≤≥]?\s*-?[0-9]+([.,][0-9]+)?(\s*(%|ppm|mm|g|mL|°C))?")
_NO_FIGURES = frozenset(
    {"year", "date", "entry", "cas", "ec", "ci", "reference_number", "amendment", "number", "annex", "category", "row"}
)
"""Columns whose digits name something and measure nothing."""
_TOLD_ELSEWHERE = frozenset({"sources.csv"})


@dataclass(frozen=True)
class FromMemory:
    """One figure from memory.

    Attributes
    ----------
    table : str
    name : str
        What it is of: the row's first cell.
    figures : tuple of (str, str)
        Column and cell.
    confirm : str
        What to look up: title and section that the row names.
    checked : str
        How it was checked so far, in the table's words.
    """

    table: str
    name: str
    figures: tuple[tuple[str, str], ...]
    confirm: str
    checked: str


def from_memory() -> Iterator[FromMemory]:
    """The figures of all published tables whose row says that they are from memory, by table."""
    for path in sorted(package_folder().glob("*.csv")):
        if path.name in _TOLD_ELSEWHERE:
            continue
        for row in rows(path.name):
            if not row.get("memory"):
                continue
            figures = tuple((c, t) for c, t in row.items() if c not in _NO_FIGURES and _FIGURE.fullmatch(t))
            if figures:
                name = (
                    " of ".join(filter(None, (row["what"], row["of"]))) if "what" in row else next(iter(row.values()))
                )
                yield FromMemory(path.name, name, figures, row.get("source", ""), row.get("checked", ""))


def memory_text() -> str:
    """The list in words, a line a figure, under each table and source what would confirm it."""
    found = list(from_memory())
    lines = [f"{len(found)} figures are from memory. Each is shown with that word; nobody has looked it up yet."]
    seen = ("", "")
    for each in found:
        if (each.table, each.confirm) != seen:
            seen = (each.table, each.confirm)
            lines += ["", f"{each.table}: to confirm, look up: {each.confirm or 'a source, for none is named'}"]
        lines.append(f"  {each.name}: " + ", ".join(f"{column} {text}" for column, text in each.figures))
    return "\n".join(lines) + "\n"
