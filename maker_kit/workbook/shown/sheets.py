"""Tables as a maker reads them: units in the headings, words to the left, typed names shown as text and never run."""

from __future__ import annotations

import base64
import html
from collections.abc import Collection, Iterable, Mapping
from typing import Any

import pandas as pd

from maker_kit.findings import Finding, in_order
from maker_kit.visible import NO_FORMULA


class Sign(str):
    """A kind of note as it is shown; a table keeps it in one line."""


SIGN = {"stop": "■", "look": "▲", "know": "●"}
SIGNS = {kind: Sign(f"{sign} {kind}") for kind, sign in SIGN.items()}


class Pictured(str):
    """Words of a cell with a small picture over them; in a text they stand alone."""

    __slots__ = ("alt", "jpeg")

    def __new__(cls, words: str, jpeg: bytes, alt: str) -> Pictured:
        """Words, the picture as JPEG, and what it is of."""
        made = super().__new__(cls, words)
        made.jpeg, made.alt = jpeg, alt
        return made

    def html(self) -> str:
        """The picture and the words, escaped."""
        inside = base64.b64encode(self.jpeg).decode("ascii")
        look = "display:block; max-width:110px; max-height:110px"
        image = f'<img alt="{html.escape(self.alt)}" style="{look}" src="data:image/jpeg;base64,{inside}">'
        return image + html.escape(self)


class Sheet:
    """A table that shows itself in a notebook, a page or a text, escaped.

    Parameters
    ----------
    rows : pandas.DataFrame, or iterable of tuples or dicts
        What to show; numbers should already be texts with their decimals. What is missing is blank; a `Pictured` has
        its picture.
    left : iterable of str, optional
        Columns that are set to the left, as words are; others stand to the right, as numbers do. All are words unless
        given.
    widths : Mapping of str to str
        Widths of columns, such as ``50%``; the others take what they need.
    columns : sequence of str, optional
        Headings; those of the frame or of the first row unless given.
    """

    def __init__(
        self,
        rows: Any,
        left: Iterable[str] | None = None,
        widths: Mapping[str, str] | None = None,
        columns: Iterable[str] | None = None,
    ) -> None:
        if isinstance(rows, pd.DataFrame):
            rows = rows if columns is None else rows[list(columns)]
            columns, rows = rows.columns, rows.itertuples(index=False, name=None)
        self.columns = list(rows[0] if columns is None else columns)
        cells = (map(row.get, self.columns) if isinstance(row, dict) else row for row in rows)
        self.rows = [tuple(map(_text, row)) for row in cells]
        self.left = frozenset(self.columns if left is None else left)
        self.widths = dict(widths or {})

    @property
    def frame(self) -> pd.DataFrame:
        """The table as texts."""
        return pd.DataFrame(self.rows, columns=self.columns)

    def html(self) -> str:
        """The table as HTML, every text escaped."""

        def cell(tag: str, column: str, text: str) -> str:
            side = "left" if column in self.left else "right"
            whole = "; white-space:nowrap" if isinstance(text, Sign) else ""
            wide = f"; width:{self.widths[column]}" if tag == "th" and column in self.widths else ""
            style = f"text-align:{side}; vertical-align:top; padding:.2em .7em; line-height:1.35{whole}{wide}"
            inside = text.html() if isinstance(text, Pictured) else html.escape(text).replace(chr(10), "<br>")
            return f'<{tag} style="{style}">{inside}</{tag}>'

        def line(tag: str, texts: Iterable[str]) -> str:
            return f"<tr>{''.join(cell(tag, c, t) for c, t in zip(self.columns, texts, strict=True))}</tr>"

        head, body = line("th", self.columns), "".join(line("td", row) for row in self.rows)
        return (
            f'<table class="{NO_FORMULA}" style="margin:.4em 0 1em"><thead>{head}</thead><tbody>{body}</tbody></table>'
        )

    def _repr_html_(self) -> str:
        return self.html()

    def __repr__(self) -> str:
        return self.frame.to_string(index=False, max_colwidth=None)


def _text(value: Any) -> str:
    return value if isinstance(value, (Pictured, Sign)) else "" if pd.isna(value) else str(value)


class Sheets:
    """Tables one below the other.

    Parameters
    ----------
    sheets : iterable of Sheet
    """

    def __init__(self, sheets: Iterable[Sheet]) -> None:
        self.sheets = tuple(sheets)

    def html(self) -> str:
        """All of them as HTML, every text escaped."""
        return "".join(sheet.html() for sheet in self.sheets)

    def _repr_html_(self) -> str:
        return self.html()

    def __repr__(self) -> str:
        return "\n\n".join(map(repr, self.sheets))


def words_sheet(heading: str, *sentences: str) -> Sheet:
    """Sentences under one heading."""
    return Sheet(((text,) for text in sentences), columns=[heading])


def frame_sheet(frame: pd.DataFrame, digits: int = 2, right: Collection[str] = ()) -> Sheet:
    """Any table: numbers with so many decimals, words to the left but for columns that are to stand to the right."""
    kinds = pd.api.types
    shown, left = {}, []
    for column, values in frame.items():
        if kinds.is_bool_dtype(values.dtype):
            shown[column], words = values.map({True: "yes", False: "no"}), True
        elif kinds.is_float_dtype(values.dtype):
            shown[column], words = ["" if pd.isna(v) else f"{v:.{digits}f}" for v in values], False
        else:
            shown[column], words = values, not kinds.is_integer_dtype(values.dtype)
        left += [column] if words and column not in right else []
    return Sheet(zip(*shown.values(), strict=True), left, columns=shown)


def in_currency(frame: pd.DataFrame, columns: Iterable[str], currency: str, left: Iterable[str]) -> Sheet:
    """A table with the currency behind the headings of its money columns, and its words to the left."""
    return Sheet(frame.rename(columns={column: f"{column} [{currency}]" for column in columns}), left)


def findings_sheet(findings: Iterable[Finding]) -> Sheet:
    """The findings, gravest first, with a sign and a word for the kind, the numbers, the next step and the source."""
    rows = [
        (SIGNS[f.kind], f.subject, f.text + (f"\n→ {f.next_step}" if f.next_step else ""), f.source)
        for f in in_order(findings)
    ]
    widths = {"about": "16%", "what was found": "52%", "source": "26%"}
    return Sheet(rows, widths=widths, columns=["note", *widths])
