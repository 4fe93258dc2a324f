"""Reading a maker's folder of tables as a whole: every table, every fault at once, then the checked workshop."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import replace
from datetime import date
from pathlib import Path

from maker_kit.collecting import seldom_collected
from maker_kit.errors import Fault, WorkshopError
from maker_kit.findings import Finding, look
from maker_kit.formula.batch import LABEL
from maker_kit.names import by_key, name_key, near_miss
from maker_kit.together import finish_begun
from maker_kit.workshop.beside import copy_of, is_book, is_sheet, is_table, not_read, tables_in
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.records import Records, read_records
from maker_kit.workshop.csv.sources import TableFolder, Tables
from maker_kit.workshop.ingredients import read_ingredients
from maker_kit.workshop.making import demo_folder, from_here, without_tilde
from maker_kit.workshop.offers import Goods, read_kits, read_market, read_packs, read_suppliers
from maker_kit.workshop.own_rules import (
    read_avoided,
    read_containers,
    read_habits,
    read_limits,
    read_settings,
    read_swaps,
    read_thickness,
)
from maker_kit.workshop.papers import read_intents, read_papers, read_watch
from maker_kit.workshop.partly import disabled, left_out, not_counted, without
from maker_kit.workshop.recipe_lines import line_file, step_file
from maker_kit.workshop.recipes import KnownThings, read_recipes
from maker_kit.workshop.shelf import read_shelf
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.questions import questions
from maker_kit.workshop.targets import read_targets
from maker_kit.workshop.trials import read_runs
from maker_kit.workshop.workshop import Workshop

SAVE = "save"
"""How the scratch folder of a save is called, which is finished here where its program was ended."""


@seldom_collected()
def load_workshop(folder: str | Path, *, partly: bool = False) -> Workshop:
    """The workshop in a folder or a workbook, read and checked as a whole.

    Parameters
    ----------
    folder : str or Path
        A folder with the tables as files, or with a workbook that holds them as sheets; or such a workbook itself.
    partly : bool
        Whether to read what can be read where there are faults: a faulty row then disables what it tells of and all
        that stands on it, and `Workshop.faults`, `Workshop.left_out` and `Workshop.not_counted` say so.

    Returns
    -------
    Workshop

    Raises
    ------
    WorkshopError
        With every fault of every table, in the order of the tables and their rows. With `partly`, only where there is
        no such folder, or its settings cannot be read: everything stands on them.
    """
    where = tables_in(without_tilde(folder))
    with suppress(OSError, ValueError):
        finish_begun(where, SAVE)
    book = FaultBook()
    folder = where.parent if is_book(where) else where
    source, beside = _opened(where, book) if is_book(where) else (TableFolder(where), _check_folder(where, book))
    source = replace(source, habits=read_habits(read_records(source, specs.WORKSHOP, FaultBook())))
    book.place, book.told = source.place, source.told
    tables = _tables(source, book)
    shop = _put_together(folder, source, tables, book)
    if shop is not None:
        shop = replace(shop, beside=beside, tables=where)
    if shop is not None and not book.faults:
        return shop
    names = tables[specs.RECIPES].column("name") or ()
    recipe_files = [file(name) for name in names for file in (line_file, step_file)]
    faults = book.in_order([*(spec.file for spec in specs.TABLES), *recipe_files])
    if not partly or shop is None or any(f.file == specs.WORKSHOP.file for f in faults):
        raise WorkshopError(faults)
    return replace(_sound_part(folder, source, tables, faults), beside=beside, tables=where)


def _opened(path: Path, book: FaultBook) -> tuple[Tables, tuple[Finding, ...]]:
    """The tables of a workbook, and a note where tables stand beside it as files. Raises WorkshopError."""
    from maker_kit.workshop.xlsx.reading import read_book

    source = read_book(path)
    book.extend(source.faults)
    beside = path.parent / specs.WORKSHOP.file
    if not beside.is_file():
        return source, source.notes
    text = f"The tables are read from {path.name}; {specs.WORKSHOP.file} and the other files beside it are not read."
    step = "name the folder to read the files; move the ones that you do not use into another folder"
    return source, (*source.notes, look("table.not_read", (specs.WORKSHOP.file, path.name), text, next_step=step))


def _tables(source: Tables, book: FaultBook) -> dict[TableSpec, Records]:
    """All tables. A workshop that is just begun needs rows in none but its settings: ingredients and containers are
    missed only where something stands on them.
    """
    begun = (specs.INGREDIENTS, specs.CONTAINERS)
    tables = {spec: read_records(source, spec, book) for spec in specs.TABLES if spec not in begun}
    on_them = any(tables[spec].rows for spec in (specs.RECIPES, specs.PACKS, specs.KITS, specs.WHATS_INSIDE))
    tables |= {spec: read_records(source, spec, book, rows_needed=on_them) for spec in begun}
    return {spec: tables[spec] for spec in specs.TABLES}


def _sound_part(
    folder: Path, source: Tables, tables: Mapping[TableSpec, Records], faults: tuple[Fault, ...]
) -> Workshop:
    """What is left without the things that have faults, and without those that stand on them: read again until nothing
    more falls away.
    """
    gone, more = frozenset(), disabled(faults, tables)
    while True:
        gone, book = gone | more, FaultBook(source.place, source.told)
        shop = _put_together(folder, source, without(tables, gone, book), book, any_product=True)
        more = disabled(book.faults, tables)
        if more <= gone:
            break
    sold = {key: product.name for key, product in by_key(shop.shop_products).items()}
    recipes = {
        name: replace(recipe, shop_product=sold.get(name_key(recipe.shop_product), ""))
        for name, recipe in shop.recipes.items()
    }
    return replace(
        shop,
        recipes=recipes,
        faults=faults,
        left_out=left_out(source, tables, faults, recipes),
        not_counted=not_counted(faults, tables),
    )


def _put_together(
    folder: Path, source: Tables, tables: Mapping[TableSpec, Records], book: FaultBook, *, any_product: bool = False
) -> Workshop | None:
    """The workshop of some tables, whose faults go to the book; None without its settings. With `any_product`, a recipe
    may name a shop product that is not there.
    """
    settings = read_settings(tables[specs.WORKSHOP])
    about = (specs.INGREDIENTS, specs.WHATS_INSIDE, specs.BENCH_MADE, specs.CERTIFICATES)
    ingredients, ingredient_names = read_ingredients(*(tables[spec] for spec in about))
    containers, container_names = read_containers(tables[specs.CONTAINERS])
    limits = read_limits(tables[specs.LIMITS])
    shelf, shop_names = read_shelf(tables[specs.SHOP_PRODUCTS])
    if any_product:
        shop_names = replace(shop_names, known=None)
    known = KnownThings(ingredients, ingredient_names, containers, container_names, shop_names)
    read = read_recipes(source, tables[specs.RECIPES], known, settings)
    items = _items(ingredient_names, container_names, tables[specs.CONTAINERS])
    goods = Goods(items, ingredients, containers, settings.shipping_factor if settings else 1.0)
    suppliers, supplier_names = read_suppliers(tables[specs.SUPPLIERS], tables[specs.DELIVERY])
    packs = read_packs(tables[specs.PACKS], supplier_names, goods)
    kit_packs, kits = read_kits(tables[specs.KITS], supplier_names, read.names, goods)
    market = read_market(suppliers, packs, kit_packs, containers, book)
    readings = read_thickness(tables[specs.THICKNESS], read.names, read.held)
    avoid = read_avoided(tables[specs.AVOID])
    swaps = read_swaps(tables[specs.SWAPS], ingredient_names)
    target_cards = read_targets(tables[specs.TARGETS], read.names, shop_names)
    trials = read_runs(folder, book)
    papers = read_papers(tables[specs.PAPERS], read.names)
    watched = read_watch(tables[specs.WATCH], read.names)
    intents = read_intents(tables[specs.DECISIONS], read.names)
    if settings is None:
        return None
    shop = Workshop(
        folder=folder,
        settings=settings,
        ingredients=ingredients,
        recipes=read.recipes,
        containers=containers,
        market=market,
        kits=kits,
        shop_products=shelf,
        limits=limits,
        thickness_readings=readings,
        wanted=read.wanted,
        avoid=avoid,
        swaps=swaps,
        target_cards=target_cards,
        trials=trials,
        papers=papers,
        watched=watched,
        intents=intents,
    )
    if book.faults:
        return shop  # what is asked of cells waits until all can be read
    asked = questions(Held(shop, tables, read.lines, read.steps, date.today()))
    placed = (  # as the maker finds it: in a workbook by its sheet
        replace(q, place=source.place(q.file, q.row, q.column), why=source.told(q.why), mend=source.told(q.mend))
        for q in asked
    )
    return replace(shop, asked=tuple(placed))


def find_tables(text: str | Path = "") -> Path:
    """The folder or the workbook that is meant: the one named, else the one that the environment's MAKER_KIT_WORKSHOP
    names, else the demo's folder; absolute, for a notebook runs in a folder of its own. Raises NoticeError where the
    folder that the command was typed in is gone.
    """
    named = str(text).strip() or os.environ.get("MAKER_KIT_WORKSHOP", "").strip()
    return from_here(named) if named else demo_folder()


def find_folder(text: str | Path = "") -> Path:
    """The workshop's folder that is meant, found as `find_tables` does: of a workbook the folder that it stands in, for
    bench log, notebooks and copies stand beside it.
    """
    where = find_tables(text)
    return where.parent if is_book(where) else where


def find_workshop(text: str | Path = "", *, partly: bool = False) -> Workshop:
    """The workshop that `find_tables` finds, read as `load_workshop` does. Raises WorkshopError with every fault."""
    where, kept = find_tables(text), _KEPT.get()
    if kept is None:
        return load_workshop(where, partly=partly)
    if (where, partly) not in kept:
        kept[where, partly] = load_workshop(where, partly=partly)
    return kept[where, partly]


_KEPT: ContextVar[dict[tuple[Path, bool], Workshop] | None] = ContextVar("kept", default=None)


@contextmanager
def read_once() -> Iterator[None]:
    """Within it, `find_workshop` reads each workshop once: for many reports of one state of the tables."""
    token = _KEPT.set({})
    try:
        yield
    finally:
        _KEPT.reset(token)


def _check_folder(folder: Path, book: FaultBook) -> tuple[Finding, ...]:
    """Without a folder there is nothing to read; a table under a name that is nearly right is pointed out, and so is a
    second copy of one: nobody knows which is meant. A spreadsheet beside a table is a note.
    """
    try:
        if not folder.is_dir():
            found = "a file" if folder.exists() else "no such folder"
            mend = "give the path of one, or make a folder: maker-kit new FOLDER"
            allowed = "a folder with a workshop's tables, or a workbook (.xlsx) that holds them as sheets"
            book.add(str(folder), None, "", found, allowed, mend)
            raise WorkshopError(book.faults)
        files = sorted(p.name for p in folder.iterdir() if not p.name.startswith("."))
    except (OSError, ValueError) as error:
        found = f"a folder that cannot be read ({getattr(error, 'strerror', None) or error})"
        book.add(str(folder), None, "", found, "a readable folder", "look at its name and its permissions")
        raise WorkshopError(book.faults) from error
    wanted = [spec.file for spec in specs.TABLES]
    missing = [file for file in wanted if file not in files]
    notes = []
    for file in files:
        table = copy_of(file, set(wanted) - set(missing))
        if table and is_table(file):
            found = f"{shown(file)} beside {table}: two of one table, and only {table} is read"
            mend = f"look which is the newer: give that one the name {table}, and move the other into another folder"
            book.add(file, None, "", found, f"one {table}", mend)
            continue
        if table and is_sheet(file):
            step = f"save it as CSV (UTF-8) over {table}, or leave it"
            notes.append(look("table.not_read", (file, table), not_read(file, table), next_step=step))
            continue
        table = file not in wanted and file.casefold().endswith((".csv", ".txt", ".xlsx", ".ods"))
        hint = near_miss(file, missing)
        if table and hint.close:
            found = f"a table called {shown(file)}, which a workshop does not have"
            book.add(file, None, "", found, "the tables " + ", ".join(wanted), f"{hint.sentence} Give it that name")
    return tuple(notes)


def _items(ingredients: Names, containers: Names, listed: Records) -> Names:
    """What can be bought; an ingredient, a container and the label go by different names."""
    file = f"{ingredients.file} or {containers.file}"
    if ingredients.known is None or containers.known is None:
        return Names("an item", file, None)
    label = name_key(LABEL)
    for record in listed:
        if record["name"] and name_key(record["name"]) in {*ingredients.known, label}:
            record.refuse("name", "a name that no ingredient has, nor the label", "give the container another name")
    if label in ingredients.known:
        mend = f"{LABEL} is what a container's label is called: give the ingredient another name"
        listed.book.add(ingredients.file, None, "name", shown(LABEL), "names of ingredients", mend)
    return Names.of("an item", file, [*ingredients.known.values(), *containers.known.values(), LABEL])
