"""Recipes: the row of each in recipes.csv, its lines and its steps."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from maker_kit.formula.container import Container
from maker_kit.formula.recipe import LEAST_USUAL_PERCENT, SUM_TOLERANCE_PERCENT, Ingredient, Line, ProductType, Recipe
from maker_kit.formula.step import Step
from maker_kit.formula.thickness.readings import MEASURES
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.records import Record, Records, as_float, read_records
from maker_kit.workshop.csv.tables import LINES, PLACES, RECIPES, STEPS
from maker_kit.workshop.things import NOT_WEIGHED, Settings, WantedThickness

_TINY_IS_USUAL = frozenset({"colour"})
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,59}", re.IGNORECASE)


@dataclass(frozen=True)
class KnownThings:
    """What recipes may name: the ingredients, containers and shop products that could be read, and the names of all of them."""

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
    """

    recipes: Mapping[str, Recipe]
    names: Names
    held: Mapping[str, Names]
    wanted: tuple[WantedThickness, ...]


def line_file(name: str) -> str:
    """The file of a recipe's lines, relative to the workshop's folder."""
    return f"recipes/{name}{LINES.file}"


def step_file(name: str) -> str:
    """The file of a recipe's steps, relative to the workshop's folder."""
    return f"recipes/{name}{STEPS.file}"


def read_recipes(
    folder: Path, listed: Records, known: KnownThings, settings: Settings | None, book: FaultBook
) -> ReadRecipes:
    """All recipes of a workshop's folder.

    Parameters
    ----------
    folder : Path
    listed : Records
        Rows of recipes.csv.
    known : KnownThings
    settings : Settings or None
        For the loss and the film of recipes that name none; None where they could not be read.
    book : FaultBook
        Where faults go.
    """
    recipes: dict[str, Recipe] = {}
    held: dict[str, Names] = {}
    for record in listed:
        _check_row(record, known, book)
        name = record["name"]
        if not name or not _NAME.fullmatch(name):
            continue
        lines = read_records(folder, LINES, book, line_file(name))
        _check_lines(record, lines, known, book)
        if lines.readable and "ingredient" in lines.keys:
            held[name] = Names.of(
                "an ingredient",
                lines.file,
                [known.ingredient_names.find(r["ingredient"]) or r["ingredient"] for r in lines if r["ingredient"]],
            )
            for key in ("scent", "thickener"):
                _check_steered(record, key, lines, held[name], book)
        steps = _steps(folder, name, book)
        if not book.faults and settings is not None:
            recipes[name] = _recipe(record, lines, steps, known, settings)
    _check_titles(listed, book)
    _check_strays(folder, listed, book)
    wanted = tuple(
        WantedThickness(r["name"], m, *(as_float(r[key]) for key in (f"shop_{m}", f"{m}_low", f"{m}_high")))
        for r in listed
        for m in MEASURES
        if r.whole and (r[f"shop_{m}"] or r[f"{m}_low"])
    )
    names = listed.names("name")
    return ReadRecipes(
        recipes,
        Names("a recipe", listed.file, None if names is None else _by_name_and_title(listed)),
        held,
        wanted,
    )


def _by_name_and_title(listed: Records) -> dict[str, str]:
    titles = {name_key(r["title"]): r["name"] for r in listed if r["title"] and r["name"]}
    return titles | {name_key(r["name"]): r["name"] for r in listed if r["name"]}


def _check_row(record: Record, known: KnownThings, book: FaultBook) -> None:
    name = record["name"]
    if name and not _NAME.fullmatch(name):
        record.refuse(
            book,
            "name",
            "letters a to z, digits, hyphens and underscores, at most 60: it is a file's name too",
            f'write it such as "{re.sub("[^a-z0-9]+", "-", name.casefold()).strip("-")[:40] or "hand-wash"}", and put the words into the title',
        )
    for place in record["places"] or ():
        if name_key(place) not in PLACES:
            record.refuse(
                book, "places", "one or more of: " + ", ".join(PLACES), near_miss(place, PLACES).sentence, shown(place)
            )
    if record["shop_product"]:
        known.shop_names.check(book, record.place("shop_product"), record["shop_product"])
    for what in ("ph", *MEASURES):
        _check_band(record, f"{what}_low", f"{what}_high", book)
    container = (
        known.container_names.check(book, record.place("container"), record["container"])
        if record["container"]
        else None
    )
    fill = record["fill"]
    if fill is not None and record["density"] and container in known.containers:
        brim = known.containers[container].brim_ml
        fill_ml = fill.exact_ml(float(record["density"]))
        if fill_ml > brim:
            record.refuse(
                book,
                "fill",
                f"at most the {brim:g} mL that the {container} holds to its brim",
                f"fill less or take a larger container: {shown(record.texts['fill'])} takes {float(fill_ml):.1f} mL",
            )


def _check_steered(record: Record, key: str, lines: Records, held: Names, book: FaultBook) -> None:
    """The scent and the thickener are lines of the recipe, and not the one that takes what the others leave."""
    found = held.check(book, record.place(key), record[key]) if record[key] else None
    if found and any(r["balance"] and name_key(r["ingredient"] or "") == name_key(record[key]) for r in lines):
        record.refuse(
            book,
            key,
            "a line that is not the balance",
            f"{found} takes what the others leave in {lines.file}: mark another line as the balance, or leave this blank",
        )


def _check_band(record: Record, low: str, high: str, book: FaultBook) -> None:
    if low not in record.values or high not in record.values:
        return
    if (record[low] is None) != (record[high] is None):
        blank = low if record[low] is None else high
        record.refuse(
            book,
            blank,
            f"{record.heading(low)!r} and {record.heading(high)!r} together, or neither",
            "fill in the other end of the band",
        )
    elif record[low] is not None and record[low] > record[high]:
        record.refuse(
            book,
            low,
            f"at most {record[high]:f}, which stands under {record.heading(high)!r}",
            "exchange the two, or correct one",
        )


def _check_lines(record: Record, lines: Records, known: KnownThings, book: FaultBook) -> None:
    title = record["title"] or record["name"]
    steered = {name_key(record[key]) for key in ("scent", "thickener") if record[key]}
    for line in lines:
        found = (
            known.ingredient_names.check(book, line.place("ingredient"), line["ingredient"])
            if line["ingredient"]
            else None
        )
        percent, function = line["percent"], known.ingredients[found].function if found in known.ingredients else ""
        if percent is None and "percent" in line.values and not line["balance"] and "balance" in line.values:
            line.refuse(
                book,
                "percent",
                "a number from 0 to 100 %; only the balance line may leave it blank",
                "fill it in, or write yes under 'balance' if this line takes what the others leave",
            )
        tiny = percent is not None and 0 < percent < LEAST_USUAL_PERCENT and "percent" not in line.sure
        if tiny and (name_key(function) not in _TINY_IS_USUAL or name_key(line["ingredient"] or "") in steered):
            line.refuse(
                book,
                "percent",
                "a level of 0.01 % or more, or one you are sure of",
                f"{percent:f} % is very little: if you meant {(percent * 100).normalize():f} %, write {(percent * 100).normalize():f}; if {percent:f} % is meant, write: {percent:f} sure",
            )
    if (
        lines.readable
        and lines.rows
        and "percent" in lines.keys
        and all("percent" in r.values and "balance" in r.values for r in lines)
    ):
        _check_sum(title, lines, book)


def _check_sum(title: str, lines: Records, book: FaultBook) -> None:
    balances = [r for r in lines if r["balance"]]
    if len(balances) > 1:
        balances[1].refuse(
            book,
            "balance",
            "one balance line at most",
            f"row {balances[0].row} is marked as the balance already: unmark one of the two",
        )
        return
    blank = [r for r in lines if r["percent"] is None]
    if any(not r["balance"] for r in blank):
        return
    total = sum((r["percent"] for r in lines if r["percent"] is not None), Decimal(0))
    words = f"lines of {title} that add up to {_plain(total)} %"
    if blank:
        if total > 100:
            book.add(
                lines.file,
                None,
                "percent",
                f"{words} without {blank[0]['ingredient']}, the balance",
                "at most 100 %, so that something is left for the balance",
                "correct a line",
            )
    elif abs(total - 100) > Decimal(str(SUM_TOLERANCE_PERCENT)):
        mend = "correct a line, or write yes under 'balance' for the line that takes what the others leave"
        if balances:
            rest = 100 - total + balances[0]["percent"]
            mend = (
                f"correct a line; if the others are right, the balance ({balances[0]['ingredient']}) is {_plain(rest)} %: write that, or leave its percent blank"
                if rest >= 0
                else "correct a line"
            )
        elif abs(total - 1) <= Decimal("0.02"):
            mend = "these look like shares of one: write percent, a hundred times as much"
        book.add(lines.file, None, "percent", words, "100 %, which nothing is stretched to in silence", mend)


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _check_titles(listed: Records, book: FaultBook) -> None:
    owner: dict[str, Record] = {}
    for record in listed:
        for key in ("name", "title"):
            text = name_key(record[key] or "")
            if text and key == "title" and text in owner and owner[text] is not record:
                record.refuse(
                    book,
                    "title",
                    "a title of its own",
                    f"row {owner[text].row} is called so too: put what tells them apart into the title",
                )
            owner.setdefault(text, record)


def _check_strays(folder: Path, listed: Records, book: FaultBook) -> None:
    names = listed.names("name")
    if names is None:
        return
    known = {name_key(n) for n in names}
    try:
        files = sorted(
            p.name
            for p in (folder / "recipes").iterdir()
            if p.name.casefold().endswith(".csv") and not p.name.startswith(".")
        )
    except OSError:
        return
    for file in files:
        stem = re.sub(r"(?i)(\.steps)?\.csv$", "", file)
        if name_key(stem) not in known:
            book.add(
                f"recipes/{file}",
                None,
                "",
                f"a table for a recipe {shown(stem)}, which {RECIPES.file} does not list",
                f"tables of recipes that {RECIPES.file} lists",
                f"{near_miss(stem, names).sentence} Add a row to {RECIPES.file}, rename the file, or move it out of the folder",
            )


def _steps(folder: Path, name: str, book: FaultBook) -> tuple[Step, ...]:
    try:
        if not (folder / step_file(name)).exists():
            return ()
    except OSError:
        pass  # it is there and cannot be looked at; reading it says so
    records = read_records(folder, STEPS, book, step_file(name))
    last = 0
    for r in records:
        if r["from_c"] is not None and r["to_c"] is not None and r["from_c"] > r["to_c"]:
            r.refuse(
                book,
                "from_c",
                f"at most {r['to_c']:f}, which stands under {r.heading('to_c')!r}",
                "exchange the two, or correct one",
            )
        if r["step"] is not None and r["step"] < last:
            r.refuse(book, "step", f"a number above {last}, the step before", "put the steps in their order")
        last = max(last, r["step"] or 0)
    return tuple(
        Step(
            r["step"],
            r["text"],
            r["phase"] or "",
            as_float(r["from_c"]),
            as_float(r["to_c"]),
            as_float(r["minutes"]),
            r["tool"] or "",
            r["into"] or "",
            r["fine_until"] or "",
            r["rescue"] or "",
        )
        for r in records
        if r.whole
    )


def _recipe(record: Record, lines: Records, steps: tuple[Step, ...], known: KnownThings, settings: Settings) -> Recipe:
    rest = 100 - sum((r["percent"] for r in lines if r["percent"] is not None), Decimal(0))
    built = tuple(
        Line(
            r["phase"],
            _named(known.ingredient_names, r["ingredient"]),
            float(rest if r["percent"] is None else r["percent"]),
            r["balance"],
        )
        for r in lines
    )
    density, fill = float(record["density"]), record["fill"]
    return Recipe(
        name=record["name"],
        title=record["title"],
        version=record["version"] or "",
        lines=built,
        ingredients=_closure([line.ingredient for line in built], known.ingredients),
        product_type=ProductType(
            tuple(name_key(p) for p in record["places"]),
            record["rinse"] == "rinse-off",
            record["spray"],
            record["for_whom"],
        ),
        container=_named(known.container_names, record["container"]),
        fill_ml=fill.to_ml(density),
        density_g_per_ml=density,
        film_g=settings.film_g if record["film"] is None else float(record["film"]),
        loss_percent=settings.loss_percent if record["loss"] is None else float(record["loss"]),
        ph_low=as_float(record["ph_low"]),
        ph_high=as_float(record["ph_high"]),
        ph_read=as_float(record["ph_read"]),
        keeps_months=as_float(record["keeps"]),
        open_months=as_float(record["open"]),
        use_per_month=as_float(record["use"]),
        scent=_named(known.ingredient_names, record["scent"]),
        thickener=_named(known.ingredient_names, record["thickener"]),
        shop_product=_named(known.shop_names, record["shop_product"]),
        steps=steps,
        fill_g=fill.value if fill.basis == "mass" else None,
        source=record["source"] or "",
        written_on=record["written_on"],
        density_source=record["density_from"] or "",
        density_weighed=not (record["density_from"] or "").casefold().startswith(NOT_WEIGHED),
    )


def _named(names: Names, text: str | None) -> str:
    return (names.find(text) or text) if text else ""


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
