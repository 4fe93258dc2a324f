"""The reference of tables as a text: every table, every column, an example, and what an empty cell says."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from maker_kit.errors import UnknownNameError
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.meanings import OF_ALL, Meaning, meaning_of, settings, tables

WIDTH = 110
HEAD = (
    "Each table is a CSV file of that name, or a sheet of that name in a workbook (.xlsx). Headings may stand in any "
    "order; capitals and blanks in them make no difference. The lines and steps of recipes are files in the folder "
    "recipes (hand-wash.csv, hand-wash.steps.csv), or the sheets recipe_lines and recipe_steps, with a column 'recipe' "
    "in front. A suspicious value is asked about; the word sure behind it says that it is meant. Numbers are typed "
    "with a decimal point, dates as 2026-03-31 or 31.3.2026."
)


def tables_text(name: str = "") -> str:
    """The reference of all tables, or of one.

    Parameters
    ----------
    name : str
        Such as ``packs`` or ``packs.csv``; ``settings`` for what workshop.csv may hold. All where empty.

    Returns
    -------
    str
        Markdown that reads well as it is.

    Raises
    ------
    UnknownNameError
        If there is no such table.
    """
    parts = dict(_parts())
    if not name.strip():
        return "\n\n".join(("# The tables of a workshop", textwrap.fill(HEAD, WIDTH), *parts.values())) + "\n"
    wanted = name_key(name.strip().removesuffix(".csv").removesuffix(".xlsx")).replace(" ", "_")
    if wanted not in parts:
        raise UnknownNameError(f'there is no table "{name.strip()}": {near_miss(wanted, parts)}')
    return parts[wanted] + "\n"


def _parts() -> Iterator[tuple[str, str]]:
    for name, spec, about in tables():
        columns = (_column(meaning_of(name, column)) for column in spec.columns)
        yield name, "\n".join((f"## {name}", "", textwrap.fill(_about(name, spec, about), WIDTH), "", *columns))
        if name == "workshop":
            yield "settings", "\n".join(("## settings", "", "What workshop may hold:", "", *map(_column, settings())))


def _about(name: str, spec: TableSpec, about: str) -> str:
    words = f"{about[0].upper()}{about[1:]}."
    if name in OF_ALL:
        words += " In a workbook, the short name of the recipe stands in front of every row."
    if spec.unique:
        words += f" No two rows share: {', '.join(spec.heading(key) for key in spec.unique)}."
    if spec.optional:
        words += " The table itself may be missing."
    return words


def _column(meaning: Meaning) -> str:
    told = (
        f"**{meaning.column.heading}**: {meaning.means}. May hold: {meaning.column.allows()}. "
        f"Example: {meaning.example}. Empty: {meaning.empty}."
    )
    return textwrap.fill(told, WIDTH, initial_indent="- ", subsequent_indent="  ", break_on_hyphens=False)
