"""Saving into a workbook: the changed cells and nothing else, tried on a copy first, put in place in one step."""

from __future__ import annotations

import csv
import io
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from difflib import SequenceMatcher
from pathlib import Path

from maker_kit.errors import NoticeError
from maker_kit.guarded import unguard
from maker_kit.workshop.csv.columns import bare
from maker_kit.workshop.csv.tables import RUN_FOLDER
from maker_kit.workshop.csv.writing import BOM, row_text, write_bytes
from maker_kit.workshop.xlsx.book import Sheet, TableBook
from maker_kit.workshop.xlsx.patching import CellValue, with_edits
from maker_kit.workshop.xlsx.reading import read_book
from maker_kit.workshop.xlsx.sheets import OF_RECIPE, SHEETS, sheet_of

_NUMBERS = ("number", "whole", "money")
Row = dict[str, str]


@dataclass(frozen=True)
class BookToSave:
    """A workbook that is saved into.

    Attributes
    ----------
    path : Path
    book : TableBook
        As it was read at the beginning.
    """

    path: Path
    book: TableBook

    @classmethod
    def of(cls, path: Path) -> BookToSave:
        """The workbook, read.

        Raises
        ------
        NoticeError
            If it is open in a spreadsheet program.
        WorkshopError
            If it cannot be read.
        """
        path = path.resolve()
        refuse_open(path)
        return cls(path, read_book(path))

    def view(self, file: str) -> bytes:
        """One table as the text that a file of it would hold: headings, then its rows. Raises WorkshopError."""
        table = self.book.table(file)
        rows = (table.header, *(cells for _, cells in table.rows))
        return "".join(row_text(row, self.path) + "\r\n" for row in rows).encode("utf-8")

    def with_tables(self, after: Mapping[str, bytes]) -> bytes:
        """The workbook with some tables changed.

        Parameters
        ----------
        after : Mapping of str to bytes
            The tables' files to what they shall hold, as `view` writes it.

        Raises
        ------
        NoticeError
            If a sheet is missing, or cannot be changed in place so that it is read again as it should be.
        """
        wanted = {file: _rows(raw) for file, raw in after.items()}
        edits: dict[str, dict[int, dict[int, CellValue]]] = {}
        below: dict[str, int] = {}
        for file, rows in wanted.items():
            name, recipe = sheet_of(file)
            sheet = self.book.sheets.get(name)
            if not isinstance(sheet, Sheet):
                raise NoticeError(f"there is no sheet {name} that can be read, so nothing was saved; put it back")
            below.setdefault(name, max((n for n, _ in sheet.table.rows), default=sheet.head) + 1)
            _edit(edits.setdefault(name, {}), sheet, name, recipe, self._numbered(file), rows, below)
        titles = {name: sheet.title for name, sheet in self.book.sheets.items() if isinstance(sheet, Sheet)}
        parts = {self.book.parts[titles[name]]: cells for name, cells in edits.items()}
        for styled in (True, False):
            made = with_edits(self.book.raw, parts, styled=styled)
            if self._reads_as(made, wanted):
                return made
        raise NoticeError(
            f"{self.path.name} would not be read again as it was saved, so nothing was saved; look at the formats of "
            "its cells, or write the change in your spreadsheet program"
        )

    def with_cells(self, cells: Iterable[tuple[str, int, str, str]]) -> bytes:
        """The workbook with single cells changed to a text: file of the table, row, heading (row 1 for the heading
        itself) and text of each. Raises NoticeError as `with_tables` does.
        """
        edits: dict[str, dict[int, dict[int, CellValue]]] = {}
        for file, row, heading, text in cells:
            sheet = self.book.sheets.get(sheet_of(file)[0])
            headings = [bare(h) for h in sheet.table.header] if isinstance(sheet, Sheet) else []
            if not isinstance(sheet, Sheet) or bare(heading) not in headings:
                raise NoticeError(
                    f"{self.path.name} has no cell for {heading!r} in row {row} any more; nothing was written"
                )
            at = sheet.columns[headings.index(bare(heading))]
            rows = edits.setdefault(self.book.parts[sheet.title], {})
            rows.setdefault(sheet.head if row == 1 else row, {})[at] = CellValue(text)
        return with_edits(self.book.raw, edits)

    def _numbered(self, file: str) -> list[tuple[int, Row]]:
        table = self.book.table(file)
        headings = [bare(h) for h in table.header]
        return [(number, dict(zip(headings, cells, strict=True))) for number, cells in table.rows]

    def _reads_as(self, made: bytes, wanted: Mapping[str, list[Row]]) -> bool:
        with tempfile.TemporaryDirectory(prefix="workbook-", ignore_cleanup_errors=True) as room:
            path = Path(room) / self.path.name
            path.write_bytes(made)
            again = BookToSave(path, read_book(path))
            for file, rows in wanted.items():
                read = [row for _, row in again._numbered(file)]
                if len(read) != len(rows) or not all(map(_same_row, _in_order(read), _in_order(rows))):
                    return False
        return True

    @contextmanager
    def tried(self, made: bytes) -> Iterator[Path]:
        """A copy of the workshop with a changed workbook, for the time of a with statement. Raises NoticeError."""
        with tempfile.TemporaryDirectory(prefix="workshop-", ignore_cleanup_errors=True) as room:
            copy = Path(room) / self.path.name
            try:
                copy.write_bytes(made)
                if (runs := self.path.parent / RUN_FOLDER).is_dir():
                    shutil.copytree(runs, copy.parent / RUN_FOLDER)
            except OSError as error:
                raise NoticeError(f"it cannot be tried: {error.strerror or error}; nothing was changed") from error
            yield copy

    def put(self, made: bytes, backup: Path | None = None) -> None:
        """Put the changed workbook in place in one step, the old one kept in the folder `backup` where that is given.

        Raises
        ------
        NoticeError
            If it is open in a spreadsheet program, has changed since it was read, or cannot be written.
        """
        self.check_unchanged()
        if backup is not None:
            write_bytes(self.book.raw, backup / self.path.name)
        write_bytes(made, self.path)

    def check_unchanged(self) -> None:
        """Raises NoticeError where the workbook is open elsewhere or has changed since it was read."""
        refuse_open(self.path)
        try:
            now = self.path.read_bytes()
        except OSError as error:
            raise NoticeError(f"{self.path} cannot be read: {error.strerror or error}; nothing was changed") from error
        if now != self.book.raw:
            raise NoticeError(f"{self.path.name} has been changed meanwhile, so nothing was saved; try again")


def refuse_open(path: Path) -> None:
    """Raise NoticeError where a spreadsheet program says, by the file it puts beside, that it has a workbook open."""
    for mark in (path.with_name(f".~lock.{path.name}#"), path.with_name(f"~${path.name}")):
        if mark.exists():
            raise NoticeError(
                f"{path.name} is open in a spreadsheet program, so nothing was saved: save and close it there, then "
                f"try again. If it is open nowhere, delete the file {mark.name} beside it"
            )


def _rows(raw: bytes) -> list[Row]:
    """The rows of a file's bytes that are not blank, cells by their bare heading."""
    text = raw.removeprefix(BOM).decode("utf-8")
    read = [row for row in csv.reader(io.StringIO(text, newline=""), strict=True) if any(c.strip() for c in row)]
    headings = [bare(h) for h in read[0]]
    return [dict(zip(headings, map(unguard, row), strict=False)) for row in read[1:]]


def _edit(
    edits: dict[int, dict[int, CellValue]],
    sheet: Sheet,
    name: str,
    recipe: str,
    old: list[tuple[int, Row]],
    new: list[Row],
    below: dict[str, int],
) -> None:
    """Write down the cells of a sheet that change; a row that goes is emptied, a new one stands below the others."""
    spec = {bare(c.heading): c for c in SHEETS[name].columns}
    places = {bare(h): at for h, at in zip(sheet.table.header, sheet.columns, strict=True)}
    for heading in dict.fromkeys(h for row in new for h in row if row[h].strip() and h in spec):
        if heading not in places:
            places[heading] = max(places.values()) + 1
            edits.setdefault(sheet.head, {})[places[heading]] = CellValue(spec[heading].heading)

    def write(number: int, before: Row, after: Row) -> None:
        for heading, at in places.items():
            text = after.get(heading, "")
            if text != before.get(heading, ""):
                is_number = heading in spec and spec[heading].kind in _NUMBERS and _decimal(text) is not None
                edits.setdefault(number, {})[at] = CellValue(text.strip() if is_number else text, is_number)

    own = {bare(OF_RECIPE): recipe} if recipe else {}
    keys = [tuple(sorted((h, t) for h, t in row.items() if t)) for _, row in old]
    wanted = [tuple(sorted((h, t) for h, t in row.items() if t)) for row in new]
    for what, a, b, c, d in SequenceMatcher(None, keys, wanted, autojunk=False).get_opcodes():
        if what == "equal":
            continue
        for k in range(max(b - a, d - c)):
            if k < b - a:
                number, before = old[a + k]
                after = new[c + k] if k < d - c else {}
                write(number, {**before, **own}, {**after, **own} if after else {})
            else:
                write(below[name], {}, {**new[c + k], **own})
                below[name] += 1


def _decimal(text: str) -> Decimal | None:
    try:
        number = Decimal(text.strip())
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def _same_row(one: Row, other: Row) -> bool:
    return all(_same(one.get(h, ""), other.get(h, "")) for h in {*one, *other})


def _same(one: str, other: str) -> bool:
    number = _decimal(one)
    return one.strip() == other.strip() or (number is not None and number == _decimal(other))


def _in_order(rows: list[Row]) -> list[Row]:
    """The rows in an order that does not hang on where they stand: a new row may come after others."""
    return sorted(rows, key=lambda row: sorted((h, _sort(t)) for h, t in row.items() if t.strip()))


def _sort(text: str) -> str:
    number = _decimal(text)
    return text.strip() if number is None else f"{number.normalize():f}"
