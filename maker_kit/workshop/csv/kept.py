"""A table kept as its file has it, so that one row is changed and every other is written back to the letter."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Container, Mapping
from dataclasses import dataclass
from pathlib import Path

from maker_kit.guarded import unguard
from maker_kit.names import name_key
from maker_kit.workshop.csv.cells import is_comma_number
from maker_kit.workshop.csv.columns import TableSpec, bare
from maker_kit.workshop.csv.reading import SEPARATOR_ROW, table_from_bytes
from maker_kit.workshop.csv.writing import BOM, encoded, row_text

_WITH_COMMA = ("number", "amount", "whole")


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

    def _number(self, text: str, heading: str) -> str:
        """A number as this table writes numbers: with a decimal comma where the others have one."""
        kind = next(c.kind for c in self.spec.columns if c.heading == heading)
        return re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", text) if self.comma and kind in _WITH_COMMA else text
