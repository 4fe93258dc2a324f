"""What a faulty row disables: the thing it tells of and all that stands on it, while the rest is read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from maker_kit.errors import Fault
from maker_kit.names import SEVERAL, close_names, name_key
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.cells import CLOSE_WORD
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.faults import FaultBook
from maker_kit.workshop.csv.records import Record, Records, read_records
from maker_kit.workshop.csv.sources import Tables as Source
from maker_kit.workshop.recipe_lines import is_recipe_name, line_file, step_file

Tables = Mapping[TableSpec, Records]
_TELLS_OF = {
    **specs.TELLS_OF,
    specs.BENCH_MADE: ("ingredient", "mixture"),
    specs.TARGETS: ("target card", "recipe"),
}
"""What a fault in a row of a table disables."""
_INGREDIENTS = (specs.INGREDIENTS, specs.WHATS_INSIDE, specs.BENCH_MADE, specs.CERTIFICATES)
_NEEDED = (specs.WORKSHOP, *_INGREDIENTS, specs.CONTAINERS, specs.RECIPES)
"""Tables that every recipe stands on: a fault of the whole table disables them all."""
_RULES = frozenset({specs.LIMITS.file, specs.AVOID.file, specs.PAPERS.file, specs.WATCH.file})
"""Tables whose rows speak of any recipe, and are missed where they cannot be read."""
_BY_FILE = {spec.file: spec for spec in specs.TABLES}


class Thing(NamedTuple):
    """Something that a fault disables.

    Attributes
    ----------
    kind : str
        ``ingredient``, ``container``, ``recipe``, ``supplier``, ``shop product``, ``kit``, ``target card``; ``row`` for
        a row that tells of nothing with a name; ``table`` for a whole table.
    name : str
        Folded name; file and row of a row; file of a table.
    """

    kind: str
    name: str


def disabled(faults: Iterable[Fault], tables: Tables) -> frozenset[Thing]:
    """The things that some faults disable, those that stand on them left to the next reading.

    A row about a mixture that nobody lists disables the ingredients of names like it, of which it may tell.
    """
    listed = {name_key(n) for n in tables[specs.INGREDIENTS].column("name") or ()}
    found: set[Thing] = set()
    for fault in faults:
        thing = _thing(fault, tables)
        if thing is not None:
            found.add(thing)
            if thing.kind == "ingredient" and thing.name not in listed:
                near = close_names(thing.name, listed, SEVERAL, CLOSE_WORD)
                found.update(Thing("ingredient", name) for name in near)
    return frozenset(found)


def without(tables: Tables, gone: frozenset[Thing], book: FaultBook) -> dict[TableSpec, Records]:
    """The tables without the rows about what is gone; new faults go to `book`. Without a table that every recipe stands
    on, there are no recipes.
    """
    lost = {spec for spec in tables if Thing("table", spec.file) in gone}
    if lost & set(_NEEDED):
        lost.add(specs.RECIPES)
    left = {}
    for spec, records in tables.items():
        rows = () if spec in lost else tuple(replace(r, book=book) for r in records if not _about(r, spec) & gone)
        keys = frozenset(c.key for c in spec.columns) if spec in lost else records.keys
        left[spec] = replace(records, rows=rows, book=book, keys=keys, readable=spec in lost or records.readable)
    return left


def left_out(
    source: Source, tables: Tables, faults: Iterable[Fault], kept: Iterable[str]
) -> dict[str, tuple[Fault, ...]]:
    """The recipes that are listed and could not be kept, with the faults that each stands on: those of its row, lines
    and steps, its ingredients and what they are made from, its container, and tables that everything stands on.

    Parameters
    ----------
    source : maker_kit.workshop.csv.sources.Tables
    tables : Mapping of TableSpec to Records
        As they were read first.
    faults : iterable of Fault
        All of them.
    kept : iterable of str
        Names of the recipes that were kept.
    """
    faults, kept = tuple(faults), {name_key(name) for name in kept}
    things = [_thing(fault, tables) for fault in faults]
    whole = {Thing("table", spec.file) for spec in _NEEDED}
    found = {}
    for record in tables[specs.RECIPES]:
        name = record["name"] or record["title"] or f"row {record.row} of {record.file}"
        if name_key(name) not in kept:
            on = whole | _about(record, specs.RECIPES) | _stands_on(source, record, tables)
            found[name] = tuple(f for f, thing in zip(faults, things, strict=True) if thing in on) or faults
    return found


def not_counted(faults: Iterable[Fault], tables: Tables) -> tuple[Fault, ...]:
    """The faults by which a rule may be missed in any recipe: of own limits, of the avoid-list, and of rows about a
    mixture or scent that nobody lists.
    """
    listed = {name_key(n) for n in tables[specs.INGREDIENTS].column("name") or ()}
    missed = []
    for fault in faults:
        thing = _thing(fault, tables)
        of_nobody = thing is not None and (
            (thing.kind == "ingredient" and thing.name not in listed)
            or (thing.kind == "row" and _BY_FILE[fault.file] in _INGREDIENTS)
        )
        if fault.file in _RULES or of_nobody:
            missed.append(fault)
    return tuple(missed)


def _thing(fault: Fault, tables: Tables) -> Thing | None:
    """What a fault disables by itself; None for a file that no listed recipe has."""
    spec = _BY_FILE.get(fault.file)
    if spec is None:
        names = filter(is_recipe_name, tables[specs.RECIPES].column("name") or ())
        mine = next((n for n in names if fault.file in (line_file(n), step_file(n))), None)
        return None if mine is None else Thing("recipe", name_key(mine))
    if fault.row is None or fault.row == 1 or not tables[spec].readable:
        return Thing("table", fault.file)
    record = next((r for r in tables[spec] if r.row == fault.row), None)
    kind, key = _TELLS_OF.get(spec, ("row", ""))
    if record is None or not record[key]:
        return Thing("row", f"{fault.file} {fault.row}")
    return Thing(kind, name_key(record[key]))


def _about(record: Record, spec: TableSpec) -> frozenset[Thing]:
    """What a row is, and what it tells of."""
    kind, key = _TELLS_OF.get(spec, ("", ""))
    named = {Thing(kind, name_key(record[key]))} if key and record[key] else set()
    return frozenset({Thing("row", f"{spec.file} {record.row}")} | named)


def _stands_on(source: Source, record: Record, tables: Tables) -> frozenset[Thing]:
    name = record["name"]
    waiting: list[str] = []
    if is_recipe_name(name):
        waiting += read_records(source, specs.LINES, FaultBook(), line_file(name)).column("ingredient") or ()
    parts = tuple(_parts(tables))
    names: set[str] = set()
    while waiting:
        key = name_key(waiting.pop())
        if key not in names:
            names.add(key)
            waiting += [part for mixture, part in parts if mixture == key]
    return frozenset(
        {Thing("ingredient", n) for n in names} | {Thing("container", name_key(record["container"] or ""))}
    )


def _parts(tables: Tables) -> Iterator[tuple[str, str]]:
    for row in tables[specs.BENCH_MADE]:
        if row["mixture"] and row["made_from"]:
            yield name_key(row["mixture"]), row["made_from"]
