"""Recipes: the row of each in recipes.csv, joined with its lines and its steps."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from maker_kit.formula.annexes.uses import PLACES, names_small_children
from maker_kit.formula.container import Container
from maker_kit.formula.preservation.ph_reading import reading_error
from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe
from maker_kit.formula.step import Step
from maker_kit.formula.thickness.readings import MEASURES
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.faults import Names, shown
from maker_kit.workshop.csv.records import Record, Records, read_records
from maker_kit.workshop.csv.sources import Tables
from maker_kit.workshop.csv.tables import LINES, RECIPES
from maker_kit.workshop.recipe_lines import (
    NAME_RULE,
    check_lines,
    is_recipe_name,
    line_file,
    read_steps,
    total_percent,
)
from maker_kit.workshop.things import NOT_WEIGHED, Settings, WantedThickness

_STEERED = ("scent", "thickener")
_FILL_IN = ("fill in the other end of the band",) * 2


@dataclass(frozen=True)
class KnownThings:
    """What recipes may name: the ingredients, containers and shop products that could be read, and the names of all of
    them.
    """

    ingredients: Mapping[str, Ingredient]
    ingredient_names: Names
    containers: Mapping[str, Container]
    container_names: Names
    shop_names: Names


@dataclass(frozen=True)
class ReadRecipes:
    """The recipes that could be read, and what is known of the others.

    Attributes
    ----------
    recipes : Mapping of str to Recipe
    names : Names
        Names and titles of all recipes.
    held : Mapping of str to Names
        For each recipe whose lines could be read, the names of the ingredients in them.
    wanted : tuple of WantedThickness
    lines, steps : Mapping of str to Records
        Their rows, by recipe.
    """

    recipes: Mapping[str, Recipe]
    names: Names
    held: Mapping[str, Names]
    wanted: tuple[WantedThickness, ...]
    lines: Mapping[str, Records]
    steps: Mapping[str, Records]


def read_recipes(source: Tables, listed: Records, known: KnownThings, settings: Settings | None) -> ReadRecipes:
    """All recipes of a workshop.

    Parameters
    ----------
    source : Tables
    listed : Records
        Rows of recipes.csv.
    known : KnownThings
    settings : Settings or None
        For the loss and the film of recipes that name none; None where they could not be read.
    """
    recipes: dict[str, Recipe] = {}
    held: dict[str, Names] = {}
    all_lines: dict[str, Records] = {}
    all_steps: dict[str, Records] = {}
    functions = {name: thing.function for name, thing in known.ingredients.items()}
    files = _by_folded_name(source)
    for record in listed:
        _check_row(record, known)
        name = record["name"]
        if not is_recipe_name(name):
            continue
        if other := _in_other_capitals(files, line_file(name)):
            mend = f"call the file {line_file(name)}, or write the name as the file has it"
            record.refuse("name", f"the name in the capitals of its file, recipes/{other}", mend)
            continue
        lines = read_records(source, LINES, listed.book, line_file(name))
        check_lines(record, lines, known.ingredient_names, functions)
        if (there := lines.column("ingredient")) is not None:
            held[name] = Names.of("an ingredient", lines.file, map(known.ingredient_names.spelled, there))
            for key in _STEERED:
                _check_steered(record, key, lines, held[name])
        steps = read_steps(source, name, listed.book)
        if not listed.book.faults and settings is not None:
            recipes[name] = _recipe(record, lines, known, settings, steps=steps.made(Step))
            all_lines[name], all_steps[name] = lines, steps
    _check_titles(listed)
    _check_strays(source, listed)
    wanted = tuple(
        WantedThickness(r["name"], m, *(None if r[k] is None else float(r[k]) for k in ends))
        for r in listed
        for m in MEASURES
        for ends in [(f"shop_{m}", f"{m}_from", f"{m}_to")]
        if r.whole and (r[ends[0]] or r[ends[1]])
    )
    by_name = {name_key(r[key]): r["name"] for key in ("title", "name") for r in listed if r[key] and r["name"]}
    known_names = None if listed.column("name") is None else by_name
    return ReadRecipes(recipes, Names("a recipe", listed.file, known_names), held, wanted, all_lines, all_steps)


def _by_folded_name(source: Tables) -> dict[str, list[str]]:
    """The names of what stands in the folder of recipes, by the name without capitals."""
    found: dict[str, list[str]] = {}
    for name in source.recipe_files():
        found.setdefault(name.casefold(), []).append(name)
    return found


def _in_other_capitals(there: Mapping[str, list[str]], file: str) -> str:
    """The file that has a name but for its capitals, which are one name on some systems and two on others; empty where
    there is none.
    """
    name = file.rpartition("/")[2]
    found = there.get(name.casefold(), [name])
    return "" if name in found else found[0]


def _check_row(record: Record, known: KnownThings) -> None:
    name = record["name"]
    if name and not is_recipe_name(name):
        words = re.sub("[^a-z0-9]+", "-", name.casefold()).strip("-")[:40]
        example = words if is_recipe_name(words) else "hand-wash"
        record.refuse("name", NAME_RULE, f'write it such as "{example}", and put the words into the title')
    for place in record["places"] or ():
        if name_key(place) not in PLACES:
            hint = near_miss(place, PLACES).sentence
            record.refuse("places", "one or more of: " + ", ".join(PLACES), hint, shown(place))
    record.named("shop_product", known.shop_names)
    record.check_ends("ph_low", "ph_high", both=_FILL_IN)
    for measure in MEASURES:
        record.check_ends(f"{measure}_from", f"{measure}_to", both=_FILL_IN)
    container = record.named("container", known.container_names)
    fill = record["fill"]
    if fill is not None and record["density_g_per_ml"] and container in known.containers:
        brim = known.containers[container].brim_ml
        fill_ml = fill.exact_ml(float(record["density_g_per_ml"]))
        if fill_ml > brim:
            record.refuse(
                "fill",
                f"at most the {brim:g} mL that the {container} holds to its brim",
                f"fill less or take a larger container: {shown(record.texts['fill'])} takes {float(fill_ml):.1f} mL",
            )


def _check_steered(record: Record, key: str, lines: Records, held: Names) -> None:
    """The scent and the thickener are lines of the recipe, and not the one that takes what the others leave."""
    found = record.named(key, held)
    if found and any(r["balance"] and name_key(r["ingredient"] or "") == name_key(record[key]) for r in lines):
        mend = f"{found} takes what the others leave in {lines.file}: mark another line as the balance, "
        record.refuse(key, "a line that is not the balance", mend + "or leave this blank")


def _check_titles(listed: Records) -> None:
    owner: dict[str, Record] = {}
    for record in listed:
        for key in ("name", "title"):
            first = owner.setdefault(name_key(record[key] or ""), record)
            if record[key] and key == "title" and first is not record:
                mend = f"row {first.row} is called so too: put what tells them apart into the title"
                record.refuse("title", "a title of its own", mend)


def _check_strays(source: Tables, listed: Records) -> None:
    names = listed.column("name")
    if names is None:
        return
    known = {name_key(n) for n in names}
    for file in source.recipe_files():
        named = re.fullmatch(r"(?i)(?P<stem>[^.].*?)(\.steps)?\.csv", file)
        if named and name_key(named["stem"]) not in known:
            hint = near_miss(named["stem"], names).sentence
            listed.book.add(
                f"recipes/{file}",
                None,
                "",
                f"a table for a recipe {shown(named['stem'])}, which {RECIPES.file} does not list",
                f"tables of recipes that {RECIPES.file} lists",
                f"{hint} Add a row to {RECIPES.file}, rename the file, or move it out of the folder",
            )


def _recipe(record: Record, lines: Records, known: KnownThings, settings: Settings, **more: Any) -> Recipe:
    rest = 100 - total_percent(lines)
    built = tuple(
        r.make(
            Line,
            ingredient=known.ingredient_names.spelled(r["ingredient"]),
            percent=float(rest if r["percent"] is None else r["percent"]),
        )
        for r in lines
    )
    usual = {key: getattr(settings, key) for key in ("film_g", "loss_percent") if record[key] is None}
    names = {
        key: table.spelled(record[key]) if record[key] else ""
        for key, table in (
            ("container", known.container_names),
            ("shop_product", known.shop_names),
            *((key, known.ingredient_names) for key in _STEERED),
        )
    }
    places, fill = tuple(map(name_key, record["places"])), record["fill"]
    return record.make(
        Recipe,
        lines=built,
        ingredients=_closure([line.ingredient for line in built], known.ingredients),
        product_type=ProductType(places, record["rinse"] == "rinse-off", _spray(record, known), _for_whom(record)),
        fill_ml=fill.to_ml(float(record["density_g_per_ml"])),
        fill_g=fill.value if fill.basis == "mass" else None,
        ph_error=reading_error(record["ph_tool"]),
        density_weighed=not name_key(record["density_source"]).startswith(NOT_WEIGHED),
        **usual,
        **names,
        **more,
    )


def _spray(record: Record, known: KnownThings) -> bool:
    """Whether it is sprayed: as the maker says; where nobody says, what the container is for."""
    container = known.containers.get(known.container_names.spelled(record["container"]))
    told = bool(record.texts.get("spray", "").strip())
    return record["spray"] or (not told and container is not None and container.kind == "spray")


def _for_whom(record: Record) -> str:
    """For whom it is, as the maker says; where nobody says, small children where the title names them."""
    return record["for_whom"] or ("small children" if names_small_children(record["title"]) else "")


def _closure(wanted: Sequence[str], ingredients: Mapping[str, Ingredient]) -> dict[str, Ingredient]:
    """The ingredients that are named, and what those are made from, and so on."""
    found: dict[str, Ingredient] = {}
    waiting = list(wanted)[::-1]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found[name] = ingredients[name]
            waiting.extend(part for part, _ in reversed(ingredients[name].made_from))
    return found
