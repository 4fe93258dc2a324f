"""Keeping what was tried: a recipe as a file of the maker's own workshop, a table as CSV. The demo stays as it is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from maker_kit.errors import NoticeError, path_text, short
from maker_kit.formula.pasted.percents import to_percent
from maker_kit.formula.pasted.recipe_text import RecipeText
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.stock import CostedOptions
from maker_kit.workshop import Workshop
from maker_kit.workshop.csv.writing import write_bytes
from maker_kit.workshop.exporting import export_table
from maker_kit.workshop.making import is_demo, refuse_demo, without_tilde
from maker_kit.workshop.saving import save_recipe

TABLES = "tables"
"""Folder of a workshop that exported tables go into; nothing is read from it."""
_PLAIN = re.compile(r"[^.\\/:*?\"<>|\x01-\x1f][^\\/:*?\"<>|\x01-\x1f]{0,120}")
"""A name for a file on every system, in no other folder."""


def own_folder(workshop: Workshop) -> Path:
    """The folder of the maker's own workshop.

    Raises
    ------
    NoticeError
        If the workshop is the demo's, which stays as it is.
    """
    refuse_demo(workshop.folder, "make one of your own with maker-kit new my-workshop, and open the notebooks on it")
    return workshop.folder


def own_tables(workshop: Workshop) -> Path:
    """Where recipes and prices of the maker's own workshop are saved: its folder, or the workbook that was read. Raises
    as `own_folder`.
    """
    folder = own_folder(workshop)
    return workshop.tables or folder


def keep_recipe(workshop: Workshop, changed: Recipe, name: str, title: str, source: str) -> str:
    """Keep a changed recipe under a name of its own.

    Container, place on the body and the rest are those of the recipe it came from, but for the pH: that is read again.

    Parameters
    ----------
    workshop : Workshop
    changed : Recipe
        As a swap or a way on made it; it still has the name of the recipe it came from.
    name, title : str
        Short name, also the file's, and title; the name is the title where none is given.
    source : str
        Where it is from.

    Returns
    -------
    str
        Where it went.

    Raises
    ------
    NoticeError
        If the workshop is the demo's, or the lines are those of the recipe it came from.
    MakerKitError
        As `maker_kit.workshop.saving.save_recipe` does.
    """
    tables = own_tables(workshop)
    before = workshop.recipe(changed.name)
    if before.lines == changed.lines:
        raise NoticeError(
            f"this has the percentages of {before.title} itself, so there is no other recipe to keep; "
            "a smaller batch is set where it is weighed out"
        )
    about = {
        heading: getattr(changed, heading)
        for heading in ("scent", "thickener")
        if getattr(changed, heading) != getattr(before, heading)
    }
    saved = save_recipe(tables, name, title or name, changed.lines, source, date.today(), about=about, like=before.name)
    return workshop.told(
        f"saved as recipes/{saved.name}.csv, without steps and without a pH that was read; "
        "look through its row in recipes.csv (density, pH), then at its limits in 01_formula"
    )


def keep_text(
    workshop: Workshop,
    parsed: RecipeText,
    name: str,
    title: str,
    source: str,
    like: str,
    about: Mapping[str, str] | None = None,
) -> str:
    """Keep an answered recipe as a file of the maker's own workshop, with its source and today's date.

    Parameters
    ----------
    workshop : Workshop
    parsed : RecipeText
    name, title, source : str
        Short name of the recipe, its title, and where it was found.
    like : str
        A recipe whose container, place on the body and the rest it takes over, until they are changed in recipes.csv.
    about : Mapping of str to str, optional
        Where there is no such recipe: where it goes, rinse-off or leave-on, container and fill, by the headings of
        recipes.csv.

    Returns
    -------
    str

    Raises
    ------
    NoticeError
        If the workshop is the demo's, which stays as it is, or no recipe is chosen that it is kept like.
    MakerKitError
        If a question is open, or as `maker_kit.workshop.saving.save_recipe` does.
    """
    tables = own_tables(workshop)
    if about is not None and not about.get("fill", "").strip():
        raise NoticeError("say how much goes into one container, such as 250 mL or 50 g; nothing was saved")
    if not like and about is None:
        raise NoticeError(
            "choose the recipe it is kept like: that decides where it goes, whether it is rinsed off or left on, "
            "its container and its fill, and so which limits it is judged by"
        )
    saved = save_recipe(tables, name, title or name, to_percent(parsed), source, date.today(), about=about, like=like)
    text = f"saved as recipes/{saved.name}.csv; look through its row in recipes.csv, then at its limits in 01_formula"
    return workshop.told(text)


def way_recipe(ways: CostedOptions, name: str) -> Recipe:
    """The recipe of one way on.

    Raises
    ------
    NoticeError
        If that way is not possible here.
    QuantityError
        If there is no such way.
    """
    way = ways.shortage.option(name)
    if way.recipe is None:
        raise NoticeError(way.text)
    return way.recipe


def keep_table(workshop: Workshop, result: Any, name: str) -> str:
    """Keep a table as CSV: a plain name goes into the workshop's folder of tables, a whole path where it says.

    Parameters
    ----------
    workshop : Workshop
    result : object with ``to_frame()``, or DataFrame
    name : str
        File name, such as ``swap.csv``; the ending may be left out.

    Returns
    -------
    str
        Where it went.

    Raises
    ------
    NoticeError
        If no name is given, it would go into the demo workshop, the file is there already, or it cannot be written.
    """
    path, _ = _place(workshop, name, "swap.csv")
    return f"written to {export_table(result, path)}"


def keep_pdf(workshop: Workshop, pdf: bytes, name: str) -> str:
    """Keep a page to print: a plain name goes into the workshop's folder of tables, a whole path where it says.

    Parameters
    ----------
    workshop : Workshop
    pdf : bytes
    name : str
        File name, such as ``labels.pdf``; the ending may be left out. A file of that name is written over, as a sheet
        is made anew from its recipe.

    Returns
    -------
    str
        Where it went.

    Raises
    ------
    NoticeError
        If no name is given, it would go into the demo workshop, or it cannot be written.
    """
    path, own = _place(workshop, name, "labels.pdf")
    if not own and path.parent != workshop.folder / TABLES and path.exists():
        raise NoticeError(f"{path_text(path)} is there already, and nothing is overwritten; choose another name")
    return f"written to {write_bytes(pdf, path)}; print it at 100 %"


def _place(workshop: Workshop, name: str, such_as: str) -> tuple[Path, bool]:
    """Where a file of that name goes, and whether that is the workshop's own folder of tables, made where it is not."""
    text, ending = name.strip(), Path(such_as).suffix
    if not text:
        raise NoticeError(f"the file has no name; write one such as {such_as}")
    path = without_tilde(text if text.casefold().endswith(ending) else f"{text}{ending}")
    if path.is_absolute():
        if is_demo(path):
            own_folder(workshop)
            raise NoticeError(f"{path} lies in the demo workshop, which stays as it is; choose another folder")
        return path, False
    if len(path.parts) > 1 or not _PLAIN.fullmatch(path.name):
        raise NoticeError(f'"{short(text)}" is neither a plain name nor a whole path; write one such as {such_as}')
    folder = own_folder(workshop) / TABLES
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise NoticeError(f"{folder} cannot be made: {error.strerror or error}; nothing was written") from error
    return folder / path, True
