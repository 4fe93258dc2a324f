"""Reading a maker's folder of tables as a whole: every table, every fault at once, then the checked workshop."""

from __future__ import annotations

import os
from pathlib import Path

from maker_kit.errors import WorkshopError
from maker_kit.formula.batch import LABEL
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.records import Records, read_records
from maker_kit.workshop.ingredients import read_ingredients
from maker_kit.workshop.making import demo_folder, without_tilde
from maker_kit.workshop.offers import Goods, read_kits, read_market, read_packs, read_suppliers
from maker_kit.workshop.own_rules import (
    read_avoided,
    read_containers,
    read_limits,
    read_settings,
    read_swaps,
    read_thickness,
)
from maker_kit.workshop.recipe_lines import line_file, step_file
from maker_kit.workshop.recipes import KnownThings, read_recipes
from maker_kit.workshop.shelf import read_shelf
from maker_kit.workshop.workshop import Workshop


def load_workshop(folder: str | Path) -> Workshop:
    """The workshop in a folder, read and checked as a whole.

    Parameters
    ----------
    folder : str or Path

    Returns
    -------
    Workshop

    Raises
    ------
    WorkshopError
        With every fault of every table, in the order of the tables and their rows.
    """
    folder = without_tilde(folder)
    book = FaultBook()
    _check_folder(folder, book)
    tables = {spec: read_records(folder, spec, book) for spec in specs.TABLES}
    settings = read_settings(tables[specs.WORKSHOP])
    about = (specs.INGREDIENTS, specs.WHATS_INSIDE, specs.BENCH_MADE, specs.CERTIFICATES)
    ingredients, ingredient_names = read_ingredients(*(tables[spec] for spec in about))
    containers, container_names = read_containers(tables[specs.CONTAINERS])
    limits = read_limits(tables[specs.LIMITS])
    shelf, shop_names = read_shelf(tables[specs.SHOP_PRODUCTS])
    known = KnownThings(ingredients, ingredient_names, containers, container_names, shop_names)
    read = read_recipes(folder, tables[specs.RECIPES], known, settings)
    items = _items(ingredient_names, container_names, tables[specs.CONTAINERS])
    goods = Goods(items, ingredients, containers, settings.shipping_factor if settings else 1.0)
    suppliers, supplier_names = read_suppliers(tables[specs.SUPPLIERS], tables[specs.DELIVERY])
    packs = read_packs(tables[specs.PACKS], supplier_names, goods)
    kit_packs, kits = read_kits(tables[specs.KITS], supplier_names, read.names, goods)
    market = read_market(suppliers, packs, kit_packs, containers, book)
    readings = read_thickness(tables[specs.THICKNESS], read.names, read.held)
    avoid = read_avoided(tables[specs.AVOID])
    swaps = read_swaps(tables[specs.SWAPS], ingredient_names)
    if book.faults or settings is None:
        names = tables[specs.RECIPES].column("name") or ()
        recipe_files = [file(name) for name in names for file in (line_file, step_file)]
        raise WorkshopError(book.in_order([*(spec.file for spec in specs.TABLES), *recipe_files]))
    return Workshop(
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
    )


def find_folder(text: str | Path = "") -> Path:
    """The workshop's folder that is meant: the one named, else the one that the environment's MAKER_KIT_WORKSHOP names,
    else the demo's; absolute, for a notebook runs in a folder of its own.
    """
    named = str(text).strip() or os.environ.get("MAKER_KIT_WORKSHOP", "").strip()
    return without_tilde(named).absolute() if named else demo_folder()


def find_workshop(text: str | Path = "") -> Workshop:
    """The workshop in the folder that `find_folder` finds. Raises WorkshopError with every fault."""
    return load_workshop(find_folder(text))


def _check_folder(folder: Path, book: FaultBook) -> None:
    """Without a folder there is nothing to read; a table under a name that is nearly right is pointed out."""
    try:
        if not folder.is_dir():
            found = "a file" if folder.exists() else "no such folder"
            mend = "give the folder's path, or make one: maker-kit new FOLDER"
            book.add(str(folder), None, "", found, "a folder with a workshop's tables", mend)
            raise WorkshopError(book.faults)
        files = sorted(p.name for p in folder.iterdir() if not p.name.startswith("."))
    except (OSError, ValueError) as error:
        found = f"a folder that cannot be read ({getattr(error, 'strerror', None) or error})"
        book.add(str(folder), None, "", found, "a readable folder", "look at its name and its permissions")
        raise WorkshopError(book.faults) from error
    wanted = [spec.file for spec in specs.TABLES]
    missing = [file for file in wanted if file not in files]
    for file in files:
        table = file not in wanted and file.casefold().endswith((".csv", ".txt", ".xlsx", ".ods"))
        hint = near_miss(file, missing)
        if table and hint.close:
            found = f"a table called {shown(file)}, which a workshop does not have"
            book.add(file, None, "", found, "the tables " + ", ".join(wanted), f"{hint.sentence} Give it that name")


def _items(ingredients: Names, containers: Names, listed: Records) -> Names:
    """What can be bought; an ingredient, a container and the label go by different names."""
    file = f"{ingredients.file} or {containers.file}"
    if ingredients.known is None or containers.known is None:
        return Names("an item", file, None)
    label = name_key(LABEL)
    for record in listed:
        if record["name"] and name_key(record["name"]) in {*ingredients.known, label}:
            allowed = "a name that no ingredient has, nor the label"
            record.refuse("name", allowed, "give the container another name")
    if label in ingredients.known:
        mend = f"{LABEL} is what a container's label is called: give the ingredient another name"
        listed.book.add(ingredients.file, None, "name", shown(LABEL), "names of ingredients", mend)
    return Names.of("an item", file, [*ingredients.known.values(), *containers.known.values(), LABEL])
