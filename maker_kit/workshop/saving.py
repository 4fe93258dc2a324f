"""Saving a recipe into a workshop: its lines, its row in recipes.csv, its source and date. It is tried on a copy first,
so that what is saved can be read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from maker_kit.errors import NoticeError, RecipeError, short
from maker_kit.formula.density import additive_density
from maker_kit.formula.recipe import LEAST_USUAL_PERCENT, Line, Recipe
from maker_kit.names import name_key
from maker_kit.scratch import room
from maker_kit.together import put_together
from maker_kit.workshop.beside import is_book, tables_in
from maker_kit.workshop.csv.kept import KeptTable
from maker_kit.workshop.csv.tables import LINES, RECIPES
from maker_kit.workshop.csv.writing import cell_text, encoded, row_text, table_bytes, write_bytes, write_table
from maker_kit.workshop.loading import SAVE, load_workshop
from maker_kit.workshop.making import copy_tables, without_tilde
from maker_kit.workshop.recipe_lines import NAME_RULE, is_recipe_name, line_file
from maker_kit.workshop.things import NOT_WEIGHED
from maker_kit.workshop.workshop import Workshop
from maker_kit.workshop.xlsx.saving import BookToSave

_ON_THEIR_OWN = frozenset({"name", "title", "source", "written on"})
_READ_AGAIN = frozenset({"pH read", "pH read with"})
"""What a batch of the old lines showed; new lines have to show it anew."""
_NEVER_TAKEN = _READ_AGAIN | {"version", "note", "shop spread [cm]", "shop funnel [s]", "shop viscosity [mPa·s]"}
"""Columns of a recipe that another one does not take from it."""


def save_recipe(
    folder: str | Path,
    name: str,
    title: str,
    lines: Iterable[Line] | Any,
    source: str,
    written_on: date | str,
    *,
    about: Mapping[str, object] | None = None,
    like: str = "",
    replace: bool = False,
    sure: bool = False,
) -> Recipe:
    """Save a recipe as a file of a workshop.

    The lines go into ``recipes/NAME.csv``, and a row into recipes.csv, whose other rows stay as they are to the letter.
    Both are tried on a copy of the tables first; only if the whole workshop
    still loads are they put in place.

    Parameters
    ----------
    folder : str or Path
        The workshop's folder, or the workbook that holds its tables.
    name : str
        Short name, also the file's: letters a to z, digits, hyphens and underscores.
    title : str
    lines : iterable of Line, or what has ``lines``
        In percent by mass of the whole [%]; they make 100.
    source : str
        Where the recipe is from: a book, a person, one's own trials.
    written_on : date or str
        The day it was written down; a text such as ``2026-03-31``.
    about : Mapping of str to object, optional
        The other columns of recipes.csv by their headings, such as ``"where it goes": "hands"`` and ``"fill": "250
        mL"``.
    like : str
        Name of a recipe whose other columns are taken where `about` does not say; empty for none. Its version, note,
        shop spread and the pH that was read are not taken, nor a scent or
        thickener that is not among the lines; nor its density, where the lines differ: the additive one is written, and
        that nobody weighed it.
    replace : bool
        Whether a recipe of that name may be replaced; the columns that `about` does not name keep what they hold, but
        for the pH that was read,
        and its steps stay.
    sure : bool
        Whether levels below 0.01 % are meant.

    Returns
    -------
    Recipe
        As it is read again.

    Raises
    ------
    NoticeError
        If the name is none for a file, is taken, a column is unknown, or a file cannot be written,
        or is a workbook that is open elsewhere. Nothing was changed then.
    RecipeError
        If there are no lines, or one is no line.
    WorkshopError
        With every fault that the workshop would have with this recipe, or has already.
    """
    folder = tables_in(without_tilde(folder))
    book = BookToSave.of(folder) if is_book(folder) else None
    if not is_recipe_name(name):
        raise NoticeError(f"a recipe cannot be called {short(repr(name))}: {NAME_RULE}; write it such as hand-wash")
    workshop = load_workshop(folder)
    taken = next((n for n in workshop.recipes if name_key(n) == name_key(name)), None)
    if taken is not None and not replace:
        raise NoticeError(f'there is a recipe "{taken}" already, and nothing is overwritten; choose another name')
    name = taken or name
    for what, text, example in (
        ("title", title, "what it is called"),
        ("source", source, "where it is from: a book, a person, your own trials"),
    ):
        if not isinstance(text, str) or not text.strip():
            raise NoticeError(f"the {what} of a recipe is a text; write {example}")
    path = folder / RECIPES.file
    raw = book.view(RECIPES.file) if book else file_bytes(path)
    cells = {"name": name, "title": title, "source": source, "written on": _day(written_on)} | _about(about or {})
    lines = _checked(getattr(lines, "lines", lines))
    other = workshop.recipe(like) if like else None
    if "density [g/mL]" in cells:
        cells.setdefault("density from", "")
    else:
        cells |= _density(lines, other or (workshop.recipes[taken] if taken else None), workshop)
    held = {name_key(line.ingredient) for line in lines}
    gone = {h for h in ("scent", "thickener") if other and name_key(getattr(other, h)) not in held}
    if other is None and taken is None:
        cells = _told_by(lines, workshop) | cells
    listed = KeptTable.of(raw, RECIPES).with_row(
        cells, path, not_kept=_READ_AGAIN, like=other.name if other else "", not_taken=_NEVER_TAKEN | gone
    )
    table = [LINES.headings, *(_row(line, sure=sure) for line in lines)]
    if book:
        held = encoded("".join(row_text(row, path) + "\r\n" for row in table), path)
        made = book.with_tables({line_file(name): held, RECIPES.file: listed})
        with book.tried(made) as copy:
            loaded = load_workshop(copy).recipes[name]
        book.put(made)
        return loaded
    with tried_copy(folder) as copy:
        write_table(copy / line_file(name), table)
        write_bytes(listed, copy / RECIPES.file)
        loaded = load_workshop(copy).recipes[name]
    _put(folder, name, table, listed, raw)
    return loaded


def _told_by(lines: tuple[Line, ...], workshop: Workshop) -> dict[str, str]:
    """Scent and thickener of a recipe that is like no other: the only line with that function, where there is one."""
    found = {}
    for function in ("scent", "thickener"):
        names = {line.ingredient for line in lines if line.ingredient in workshop.ingredients}
        fits = [name for name in sorted(names) if workshop.ingredients[name].function == function]
        found |= {function: fits[0]} if len(fits) == 1 else {}
    return found


def _density(lines: tuple[Line, ...], other: Recipe | None, workshop: Workshop) -> dict[str, str]:
    """The density of new lines, which nobody has weighed yet: by their parts, or else that of the recipe they are kept
    like; nothing where the lines are the same. NoticeError where it is like no other, and that of a part is not known.
    """
    levels = {line.ingredient: Decimal(str(line.percent)) for line in lines}
    if other is not None and levels == {line.ingredient: Decimal(str(line.percent)) for line in other.lines}:
        return {}
    things = workshop.ingredients
    known = {name: things[name].density_g_per_ml if name in things else None for name in levels}
    parts = [(float(level), known[name]) for name, level in levels.items()]
    found = additive_density(parts).density_g_per_ml if any(levels.values()) else None
    if found is not None:
        density, how = f"{found:.3f}", "by its parts, as if volumes simply added"
    elif other is not None:
        density, how = f"{other.density_g_per_ml:g}", f"that of {other.title}"
    else:
        missing = ", ".join(name for name, each in known.items() if each is None)
        raise NoticeError(
            f"how heavy 1 mL is cannot be told without that of {missing or 'its parts'}: write it into ingredients.csv "
            "('density [g/mL]'; a new ingredient needs a row there first), or weigh 100 mL of the product"
        )
    return {"density [g/mL]": density, "density from": f"{NOT_WEIGHED}: {how}"}


def _day(day: date | str) -> str:
    if isinstance(day, datetime):
        day = day.date()
    text = str(day).strip()
    if not text:
        raise NoticeError("the day a recipe was written down is missing; write it such as 2026-03-31")
    return text


def _about(about: Mapping[str, object]) -> dict[str, str]:
    """Cells by their headings, from what is said under headings or keys."""
    headings = {name_key(word): c.heading for c in RECIPES.columns for word in (c.key, c.heading)}
    found = {}
    for key, value in about.items():
        heading = headings.get(name_key(str(key)))
        if heading is None or heading in _ON_THEIR_OWN:
            what = "is given on its own" if heading else f"is no column of {RECIPES.file}"
            others = ", ".join(h for h in RECIPES.headings if h not in _ON_THEIR_OWN)
            raise NoticeError(f'"{short(str(key))}" {what}; say about a recipe: {others}')
        found[heading] = cell_text(value, heading)
    return found


def _checked(lines: Any) -> tuple[Line, ...]:
    listed = tuple(lines) if isinstance(lines, Iterable) else (lines,)
    for line in listed:
        if not isinstance(line, Line):
            raise RecipeError(
                f"a recipe is saved by its lines (phase, ingredient, percent), and {short(repr(line))} is none"
            )
        number = isinstance(line.percent, int | float | Decimal) and not isinstance(line.percent, bool)
        if not number or not 0 <= line.percent <= 100:
            raise RecipeError(f"{line.ingredient} stands at {line.percent} %; a line holds 0 to 100 %")
    if not listed:
        raise RecipeError("a recipe without lines cannot be saved; give at least one")
    return listed


def _row(line: Line, *, sure: bool) -> tuple[object, ...]:
    number = Decimal(str(line.percent))
    text = f"{number:f}" + (" sure" if sure and 0 < number < LEAST_USUAL_PERCENT else "")
    return line.phase, line.ingredient, text, "yes" if line.balance else None, None


def file_bytes(path: Path) -> bytes:
    """What a file holds. Raises NoticeError if it cannot be read."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise NoticeError(f"{path} cannot be read: {error.strerror or error}; nothing was changed") from error


@contextmanager
def tried_copy(folder: Path) -> Iterator[Path]:
    """A copy of a workshop's tables for the time of a with statement, to try a change on. Raises NoticeError."""
    with ExitStack() as held:
        try:
            made = held.enter_context(room("workshop"))
            copy_tables(folder, made)
        except OSError as error:
            raise NoticeError(f"it cannot be tried: {error.strerror or error}; nothing was changed") from error
        yield made


def _put(folder: Path, name: str, table: Iterable[tuple[object, ...]], listed: bytes, before: bytes) -> None:
    """Put both files in place, both or none."""
    path, file = folder / RECIPES.file, line_file(name)
    if file_bytes(path) != before:
        raise NoticeError(f"{RECIPES.file} has been changed meanwhile, so nothing was saved; save the recipe again")
    put_together(folder, SAVE, {file: table_bytes(file, table), RECIPES.file: listed})
