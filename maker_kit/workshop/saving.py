"""Saving a recipe into a workshop: its lines, its row in recipes.csv, its source and date. It is tried on a copy first, so that what is saved can be read."""

from __future__ import annotations

import csv
import io
import re
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from maker_kit.amount_text import short
from maker_kit.errors import NoticeError, RecipeError
from maker_kit.formula.density import additive_density
from maker_kit.formula.recipe import LEAST_USUAL_PERCENT, Line, Recipe
from maker_kit.names import name_key
from maker_kit.workshop.csv.columns import is_comma_number
from maker_kit.workshop.csv.reading import table_from_bytes
from maker_kit.workshop.csv.tables import LINES, RECIPES
from maker_kit.workshop.csv.writing import row_text, write_bytes, write_table
from maker_kit.workshop.loading import load_workshop
from maker_kit.workshop.making import without_tilde
from maker_kit.workshop.recipes import line_file
from maker_kit.workshop.things import NOT_WEIGHED
from maker_kit.workshop.workshop import Workshop

_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,59}", re.IGNORECASE)
_DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))})
_READ_AGAIN = frozenset({"pH read"})
"""What a batch of the old lines showed; new lines have to show it anew."""
_NEVER_TAKEN = _READ_AGAIN | {"version", "note", "shop spread [cm]", "shop funnel [s]", "shop viscosity [mPa·s]"}
"""Columns of a recipe that another one does not take from it."""
_SEPARATOR_ROW = re.compile(r'"?sep=(.)"?\r?\n')


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

    The lines go into ``recipes/NAME.csv``, and a row into recipes.csv, whose other rows stay as they are to the letter. Both are tried on a copy of the tables first; only if the whole workshop
    still loads are they put in place.

    Parameters
    ----------
    folder : str or Path
        The workshop's folder.
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
        The other columns of recipes.csv by their headings, such as ``"where it goes": "hands"`` and ``"fill": "250 mL"``.
    like : str
        Name of a recipe whose other columns are taken where `about` does not say; empty for none. Its version, note, shop spread and the pH that was read are not taken, nor a scent or
        thickener that is not among the lines; nor its density, where the lines differ: the additive one is written, and that nobody weighed it.
    replace : bool
        Whether a recipe of that name may be replaced; the columns that `about` does not name keep what they hold, but for the pH that was read,
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
        If the name is none for a file, is taken, a column is unknown, or a file cannot be written. Nothing was changed then.
    RecipeError
        If there are no lines, or one is no line.
    WorkshopError
        With every fault that the workshop would have with this recipe, or has already.
    """
    folder = without_tilde(folder)
    _check_name(name)
    workshop = load_workshop(folder)
    taken = next((n for n in workshop.recipes if name_key(n) == name_key(name)), None)
    if taken is not None and not replace:
        msg = f'there is a recipe "{taken}" already, and nothing is overwritten; choose another name, or say that it may be replaced (replace=True)'
        raise NoticeError(msg)
    name = taken or name
    path = folder / RECIPES.file
    raw = _bytes(path)
    cells = {"name": name, "title": title, "source": source, "written on": _day(written_on)} | {
        k: _text(v, k) for k, v in _about(about or {}).items()
    }
    for what in ("title", "source"):
        if not isinstance(cells[what], str) or not cells[what].strip():
            msg = f"the {what} of a recipe is a text; write {'what it is called' if what == 'title' else 'where it is from: a book, a person, your own trials'}"
            raise NoticeError(msg)
    lines = getattr(lines, "lines", lines)
    table = _line_rows(lines, sure)
    held = {name_key(str(row[1])) for row in table[1:]}
    other = workshop.recipe(like) if like else None
    if "density [g/mL]" in cells:
        cells.setdefault("density from", "")
    else:
        cells |= _density(table, other or (workshop.recipes[taken] if taken else None), workshop)
    own = _NEVER_TAKEN | (
        {h for h in ("scent", "thickener") if name_key(getattr(other, h)) not in held} if other else set()
    )
    listed = _Rows.of(raw).with_recipe(name, cells, other.name if other else "", frozenset(own), path)
    with _copy(folder) as copy:
        write_table(copy / line_file(name), table)
        write_bytes(listed, copy / RECIPES.file)
        loaded = load_workshop(copy).recipes[name]
    _put(folder, name, table, listed, raw)
    return loaded


def _density(table: list[list[object]], other: Recipe | None, workshop: Workshop) -> dict[str, str]:
    """The density of new lines, which nobody has weighed yet: by their parts, or else that of the recipe they are kept like; nothing where the lines are the same."""
    if other is None:
        return {}
    levels = {str(row[1]): Decimal(str(row[2]).removesuffix(" sure")) for row in table[1:]}
    if levels == {line.ingredient: Decimal(str(line.percent)) for line in other.lines}:
        return {}
    known = {
        name: workshop.ingredients[name].density_g_per_ml if name in workshop.ingredients else None for name in levels
    }
    found = (
        additive_density([(float(level), known[name]) for name, level in levels.items()])
        if any(levels.values())
        else None
    )
    if found is None or found.density_g_per_ml is None:
        return {
            "density [g/mL]": f"{other.density_g_per_ml:g}",
            "density from": f"{NOT_WEIGHED}: that of {other.title}",
        }
    return {
        "density [g/mL]": f"{found.density_g_per_ml:.3f}",
        "density from": f"{NOT_WEIGHED}: by its parts, as if volumes simply added",
    }


def _check_name(name: str) -> None:
    if not isinstance(name, str) or not _NAME.fullmatch(name) or name.casefold() in _DEVICES:
        msg = f"a recipe cannot be called {short(repr(name))}: its name is a file's name too, of letters a to z, digits, hyphens and underscores, at most 60; write it such as hand-wash"
        raise NoticeError(msg)


def _day(day: date | str) -> str:
    if isinstance(day, datetime):
        day = day.date()
    text = day.isoformat() if isinstance(day, date) else str(day).strip()
    if not text:
        msg = "the day a recipe was written down is missing; write it such as 2026-03-31"
        raise NoticeError(msg)
    return text


def _about(about: Mapping[str, object]) -> dict[str, object]:
    headings = {name_key(c.heading): c.heading for c in RECIPES.columns} | {
        name_key(c.key): c.heading for c in RECIPES.columns
    }
    found: dict[str, object] = {}
    for key, value in about.items():
        heading = headings.get(name_key(str(key)))
        if heading is None or heading in {"name", "title", "source", "written on"}:
            what = "is given on its own" if heading else f"is no column of {RECIPES.file}"
            msg = f'"{short(str(key))}" {what}; say about a recipe: ' + ", ".join(
                c.heading for c in RECIPES.columns if c.key not in {"name", "title", "source", "written_on"}
            )
            raise NoticeError(msg)
        found[heading] = value
    return found


def _text(value: object, heading: str) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float | Decimal):
        number = Decimal(str(value))
        if not number.is_finite():
            msg = f"{heading}: {value} is no number; leave it out if it is not known"
            raise NoticeError(msg)
        return f"{number:f}"
    if isinstance(value, tuple | list):
        return "; ".join(str(v) for v in value)
    return str(value)


def _line_rows(lines: Any, sure: bool) -> list[list[object]]:
    rows: list[list[object]] = [list(LINES.headings)]
    try:
        listed = list(lines)
    except TypeError:
        listed = [lines]
    for line in listed:
        if not isinstance(line, Line):
            msg = f"a recipe is saved by its lines (phase, ingredient, percent), and {short(repr(line))} is none"
            raise RecipeError(msg)
        if (
            isinstance(line.percent, bool)
            or not isinstance(line.percent, int | float | Decimal)
            or not 0 <= line.percent <= 100
        ):
            msg = f"{line.ingredient} stands at {line.percent} %; a line holds 0 to 100 %"
            raise RecipeError(msg)
        number = Decimal(str(line.percent))
        text = f"{number:f}" + (" sure" if sure and 0 < number < LEAST_USUAL_PERCENT else "")
        rows.append([line.phase, line.ingredient, text, "yes" if line.balance else None, None])
    if len(rows) == 1:
        msg = "a recipe without lines cannot be saved; give at least one"
        raise RecipeError(msg)
    return rows


@dataclass(frozen=True)
class _Rows:
    """A table as its file has it: every row as text with its line end, so that it can be written back to the letter."""

    front: str
    texts: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]
    delimiter: str
    comma: bool
    end: str
    bom: bool

    @classmethod
    def of(cls, raw: bytes) -> _Rows:
        table = table_from_bytes(raw, RECIPES.file)
        text = raw.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
        named = _SEPARATOR_ROW.match(text)
        front, text = (named[0], text[named.end() :]) if named else ("", text)
        delimiter = ";" if table.semicolons else ","
        pieces = io.StringIO(text, newline="").readlines() if "\n" in text else re.findall(r"[^\r]*\r|[^\r]+", text)
        reader = csv.reader(pieces, delimiter=delimiter, strict=True)
        texts: list[str] = []
        cells: list[tuple[str, ...]] = []
        start = 0
        for row in reader:
            texts.append("".join(pieces[start : reader.line_num]))
            cells.append(tuple(row))
            start = reader.line_num
        comma = table.semicolons and any(is_comma_number(cell) for _, row in table.rows for cell in row)
        end = "\r\n" if "\r\n" in text else "\r" if "\r" in text and "\n" not in text else "\n"
        return cls(front, tuple(texts), tuple(cells), delimiter, comma, end, raw.startswith(b"\xef\xbb\xbf"))

    def with_recipe(self, name: str, given: Mapping[str, str], like: str, own: frozenset[str], path: Path) -> bytes:
        """The file with the row of one recipe, in its old place or at the end; headings that are missing are put behind the others."""
        head = next(k for k, row in enumerate(self.cells) if any(c.strip() for c in row))
        width = max(len(row) for row in self.cells)
        headings = [" ".join(h.split()) for h in self.cells[head]] + [""] * (width - len(self.cells[head]))
        places = {name_key(h).replace(" ", ""): k for k, h in enumerate(headings) if h}
        wanted = [h for h in given if given[h] and name_key(h).replace(" ", "") not in places]
        places |= {name_key(h).replace(" ", ""): width + k for k, h in enumerate(wanted)}
        named = places["name"]
        by_name = {
            name_key(row[named]): k
            for k, row in enumerate(self.cells)
            if k > head and len(row) > named and row[named].strip()
        }
        old, base = by_name.get(name_key(name)), by_name.get(name_key(like)) if like else None
        row: list[object] = [""] * (width + len(wanted))
        for source in (base, old):
            for k, cell in enumerate(self.cells[source] if source is not None else ()):
                if headings[k] not in (own if source is base else _READ_AGAIN):
                    row[k] = _Raw(cell)
        for heading, text in given.items():
            place = places.get(name_key(heading).replace(" ", ""))
            if place is not None:
                row[place] = self._number(text, heading)
        new = self.delimiter.join(
            _quoted(cell, self.delimiter) if isinstance(cell, _Raw) else row_text([cell], path) for cell in row
        )
        texts = list(self.texts)
        if wanted:
            texts = [
                self._longer(t, width - len(self.cells[k]), wanted if k == head else [""] * len(wanted), path)
                if any(c.strip() for c in self.cells[k])
                else t
                for k, t in enumerate(texts)
            ]
        if old is not None:
            texts[old] = new + self.end
        else:
            texts = [
                *texts[:-1],
                texts[-1] if texts[-1].endswith(("\n", "\r")) else texts[-1] + self.end,
                new + self.end,
            ]
        whole = self.front + "".join(texts)
        try:
            return whole.encode("utf-8-sig" if self.bom or not whole.isascii() else "utf-8")
        except UnicodeEncodeError as error:
            msg = (
                f"{path.name} cannot be written: a cell holds half of a letter ({whole[error.start]!r}); type it again"
            )
            raise NoticeError(msg) from error

    def _longer(self, text: str, missing: int, more: list[str], path: Path) -> str:
        body = text.rstrip("\r\n")
        return (
            body
            + self.delimiter * missing
            + self.delimiter
            + row_text(more, path, self.delimiter)
            + (text[len(body) :] or self.end)
        )

    def _number(self, text: str, heading: str) -> str:
        """A number as this table writes numbers: with a decimal comma where the others have one."""
        column = next(c for c in RECIPES.columns if c.heading == heading)
        return (
            re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", text)
            if self.comma and column.kind in {"number", "amount", "whole"}
            else text
        )


class _Raw(str):
    """A cell as it stood in the file, guard and all."""

    __slots__ = ()


def _quoted(cell: str, delimiter: str) -> str:
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter, lineterminator="").writerow([cell, ""])
    return text.getvalue()[:-1]


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        msg = f"{path} cannot be read: {error.strerror or error}; nothing was changed"
        raise NoticeError(msg) from error


@contextmanager
def _copy(folder: Path) -> Iterator[Path]:
    """A copy of a workshop's tables for the time of a with statement."""
    with tempfile.TemporaryDirectory(prefix="workshop-", ignore_cleanup_errors=True) as made:
        copy = Path(made)
        try:
            (copy / "recipes").mkdir()
            for file in (*folder.glob("*.csv"), *folder.glob("recipes/*.csv")):
                if not file.name.startswith("."):
                    (copy / file.relative_to(folder)).write_bytes(file.read_bytes())
        except OSError as error:
            msg = f"the recipe cannot be tried: {error.strerror or error}; nothing was changed"
            raise NoticeError(msg) from error
        yield copy


def _put(folder: Path, name: str, table: list[list[object]], listed: bytes, before: bytes) -> None:
    """Put both files in place; where the second cannot be, the first is taken back."""
    path, file = folder / RECIPES.file, folder / line_file(name)
    if _bytes(path) != before:
        msg = f"{RECIPES.file} has been changed meanwhile, so nothing was saved; save the recipe again"
        raise NoticeError(msg)
    old = _bytes(file) if file.exists() else None
    write_table(file, table)
    try:
        write_bytes(listed, path)
    except NoticeError:
        with suppress(OSError, NoticeError):
            if old is None:
                file.unlink()
            else:
                write_bytes(old, file)
        raise
