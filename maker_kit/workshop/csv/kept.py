"""A table kept as its file has it, so that one row is changed and every other is written back to the letter."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from maker_kit.errors import NoticeError
from maker_kit.guarded import unguard
from maker_kit.names import name_key
from maker_kit.workshop.csv.cell_numbers import is_comma_number
from maker_kit.workshop.csv.columns import TableSpec, bare
from maker_kit.workshop.csv.reading import SEPARATOR_ROW, table_from_bytes
from maker_kit.workshop.csv.writing import BOM, encoded, row_text

_WITH_COMMA = ("number", "amount", "whole", "money")


@dataclass(frozen=True)
class KeptTable:
    """A table as its file has it.

    Attributes
    ----------
    spec : TableSpec
    front : str
        A row that names the separator, where there is one.
    texts : tuple of str
        Every row as text with its line end.
    cells : tuple of tuple of str
        Every row cell by cell.
    delimiter : str
    comma : bool
        Whether numbers have a decimal comma.
    end : str
        The line end.
    bom : bool
        Whether a byte-order mark stands in front.
    """

    spec: TableSpec
    front: str
    texts: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]
    delimiter: str
    comma: bool
    end: str
    bom: bool

    @classmethod
    def of(cls, raw: bytes, spec: TableSpec) -> KeptTable:
        """The table in some bytes. Raises WorkshopError if they are none; see `table_from_bytes`."""
        table = table_from_bytes(raw, spec.file)
        text = raw.removeprefix(BOM).decode("utf-8")
        named = SEPARATOR_ROW.match(text)
        front, text = (named[0], text[named.end() :]) if named else ("", text)
        delimiter = ";" if table.semicolons else ","
        pieces = io.StringIO(text, newline="").readlines()
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
        return cls(spec, front, tuple(texts), tuple(cells), delimiter, comma, end, raw.startswith(BOM))

    def with_row(
        self,
        given: Mapping[str, str],
        path: Path,
        *,
        not_kept: Container[str] = (),
        like: str = "",
        not_taken: Container[str] = (),
    ) -> bytes:
        """The file with one row, in its old place or at the end; headings that are missing are put behind the others.

        Parameters
        ----------
        given : Mapping of str to str
            Cells by their headings; that under ``name`` says which row it is.
        path : Path
            The file, for a message.
        not_kept : container of str
            Headings of cells that an old row of that name does not keep where they are not given; all others do.
        like : str
            Name of the row whose cells are taken where neither `given` nor an old row says; empty for none.
        not_taken : container of str
            Headings of cells that are not taken from that row.

        Raises
        ------
        NoticeError
            If a cell cannot stand in a table.
        """
        head = next(k for k, row in enumerate(self.cells) if any(c.strip() for c in row))
        width = max(len(row) for row in self.cells)
        headings = [" ".join(h.split()) for h in self.cells[head]]
        known = {bare(h) for h in headings if h}
        added = [h for h in given if given[h] and bare(h) not in known]
        headings += [*[""] * (width - len(headings)), *added]
        places = {bare(h): k for k, h in enumerate(headings) if h}
        name = places["name"]
        rows = {
            name_key(r[name]): k for k, r in enumerate(self.cells) if k > head and len(r) > name and r[name].strip()
        }
        old, row = rows.get(name_key(given["name"])), [""] * len(headings)
        for source, without in ((rows.get(name_key(like)), not_taken), (old, not_kept)):
            for k, cell in enumerate(self.cells[source] if source is not None else ()):
                if headings[k] not in without:
                    row[k] = unguard(cell)
        for heading, text in given.items():
            if bare(heading) in places:
                row[places[bare(heading)]] = self._number(text, heading)
        new = row_text(row, path, self.delimiter) + self.end
        texts = list(self.texts)
        for k, cells in enumerate(self.cells if added else ()):
            if any(c.strip() for c in cells):
                body = texts[k].rstrip("\r\n")
                more = [*[""] * (width - len(cells)), *(added if k == head else [""] * len(added))]
                texts[k] = f"{body}{self.delimiter}{row_text(more, path, self.delimiter)}"
                texts[k] += self.texts[k][len(body) :] or self.end
        if old is not None:
            texts[old] = new
        else:
            if not texts[-1].endswith(("\n", "\r")):
                texts[-1] += self.end
            texts.append(new)
        return encoded(self.front + "".join(texts), path, bom=self.bom)

    def with_rows(self, new: Iterable[Mapping[str, str]], path: Path, *, gone: Container[int] = ()) -> bytes:
        """The file with new rows at its end, and without some of the old.

        Parameters
        ----------
        new : iterable of Mapping of str to str
            Cells by their headings; headings that the file does not have are put behind the others.
        path : Path
            The file, for a message.
        gone : container of int
            Places in `cells` of the rows that are left out.

        Raises
        ------
        NoticeError
            If a cell cannot stand in a table.
        """
        new = tuple(new)
        head = next(k for k, row in enumerate(self.cells) if any(c.strip() for c in row))
        headings = [bare(h) for h in self.cells[head]]
        added = [h for h in dict.fromkeys(h for row in new for h in row if row[h]) if bare(h) not in headings]
        texts = []
        for k, (text, cells) in enumerate(zip(self.texts, self.cells, strict=True)):
            if k in gone:
                continue
            if added and any(c.strip() for c in cells):
                body = text.rstrip("\r\n")
                more = added if k == head else [""] * len(added)
                text = f"{body}{self.delimiter}{row_text(more, path, self.delimiter)}{text[len(body) :] or self.end}"
            texts.append(text if text.endswith(("\n", "\r")) else text + self.end)
        for row in new:
            given = {bare(h): self._number(text, h) for h, text in row.items()}
            cells = [given.get(h, "") for h in (*headings, *map(bare, added))]
            texts.append(row_text(cells, path, self.delimiter) + self.end)
        return encoded(self.front + "".join(texts), path, bom=self.bom)

    def with_cell(self, row: int, heading: str, text: str, path: Path) -> bytes:
        """The file with one cell changed, and its other rows to the letter.

        Parameters
        ----------
        row : int
            As a spreadsheet shows it; 1 for the heading itself.
        heading : str
            The column's, as it stands.
        text : str
        path : Path
            The file, for a message.

        Raises
        ------
        NoticeError
            If there is no such cell.
        """
        head = next(k for k, cells in enumerate(self.cells) if any(c.strip() for c in cells))
        headings = [bare(unguard(h)) for h in self.cells[head]]
        at = head if row == 1 else row - 1
        if bare(heading) not in headings or at >= len(self.cells):
            raise NoticeError(f"{path.name} has no row {row} with a column {heading!r} any more; nothing was written")
        cells = [unguard(c) for c in self.cells[at]]
        cells[headings.index(bare(heading))] = text
        end = self.texts[at][len(self.texts[at].rstrip("\r\n")) :]
        texts = [*self.texts[:at], row_text(cells, path, self.delimiter) + end, *self.texts[at + 1 :]]
        return encoded(self.front + "".join(texts), path, bom=self.bom)

    def headings_only(self, path: Path) -> bytes:
        """The file without its rows; `path` as in `with_row`."""
        return encoded(self.front + self.texts[0], path, bom=self.bom)

    def with_word(self, word: str, kind: str, path: Path, *, without: str = "") -> bytes:
        """The file with a word behind every cell of one kind of column that holds something.

        Parameters
        ----------
        word : str
        kind : str
            As `maker_kit.workshop.csv.columns.Column` has it, such as ``money``.
        path : Path
            The file, for a message.
        without : str
            Words that are taken out of the last column, the note.
        """
        wanted = {bare(c.heading) for c in self.spec.columns if c.kind == kind}
        places = {k for k, heading in enumerate(self.cells[0]) if bare(heading) in wanted}
        texts = [self.texts[0]]
        for row in self.cells[1:]:
            new = [f"{c.strip()} {word}" if k in places and c.strip() else unguard(c) for k, c in enumerate(row)]
            new[-1] = new[-1].removesuffix(without).rstrip("; ") if without else new[-1]
            texts.append(row_text(new, path, self.delimiter) + self.end)
        return encoded(self.front + "".join(texts), path, bom=self.bom)

    def _number(self, text: str, heading: str) -> str:
        """A number as this table writes numbers: with a decimal comma where the others have one."""
        kind = next(c.kind for c in self.spec.columns if c.heading == heading)
        return re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", text) if self.comma and kind in _WITH_COMMA else text
