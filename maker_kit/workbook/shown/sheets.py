"""Tables as a maker reads them: units in the headings, money with two decimals, every typed name shown as text and never run."""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping

import pandas as pd

from maker_kit.findings import Finding, in_order
from maker_kit.money import money as money

SIGNS = {"stop": "■ stop", "look": "▲ look", "know": "● know"}


class Sheet:
    """A table that shows itself in a notebook, a page or a text, escaped.

    Parameters
    ----------
    frame : pandas.DataFrame
        What to show; numbers should already be texts with their decimals.
    left : iterable of str
        Columns that are set to the left, as words are; others are set to the right, as numbers are.
    widths : Mapping of str to str
        Widths of columns, such as ``50%``; the others take what they need.
    """

    def __init__(self, frame: pd.DataFrame, left: Iterable[str] = (), widths: Mapping[str, str] | None = None) -> None:
        self.frame = frame.astype(object).where(frame.notna(), "").map(str)
        self.left = frozenset(left)
        self.widths = dict(widths or {})

    def html(self) -> str:
        """The table as HTML, every text escaped."""

        def cell(tag: str, column: str, text: str) -> str:
            side = "left" if column in self.left else "right"
            whole = "; white-space:nowrap" if text in SIGNS.values() else ""
            wide = f"; width:{self.widths[column]}" if tag == "th" and column in self.widths else ""
            return f'<{tag} style="text-align:{side}; vertical-align:top; padding:.2em .7em; line-height:1.35{whole}{wide}">{html.escape(text).replace(chr(10), "<br>")}</{tag}>'

        head = "".join(cell("th", c, str(c)) for c in self.frame.columns)
        body = "".join(
            "<tr>" + "".join(cell("td", c, t) for c, t in zip(self.frame.columns, row, strict=True)) + "</tr>"
            for row in self.frame.itertuples(index=False, name=None)
        )
        return f'<table style="margin:.4em 0 1em"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'

    def _repr_html_(self) -> str:
        return self.html()

    def __repr__(self) -> str:
        return self.frame.to_string(index=False, max_colwidth=None)


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


def in_currency(frame: pd.DataFrame, columns: Iterable[str], currency: str) -> pd.DataFrame:
    """The frame with the currency behind the headings of its money columns."""
    return frame.rename(columns={column: f"{column} [{currency}]" for column in columns})


def percent(value: float | None) -> str:
    """A percentage as a maker writes it: two decimals, and more (up to six) only where two would be off by over 0.2 % of the number."""
    if value is None:
        return "–"
    digits = next((d for d in range(2, 6) if abs(round(value, d) - value) <= 0.002 * abs(value)), 6)
    return f"{value:.{digits}f}"


def findings_sheet(findings: Iterable[Finding]) -> Sheet:
    """The findings, gravest first, with a sign and a word for the kind, the numbers, the next step and the source."""
    rows = [
        {
            "note": SIGNS[f.kind],
            "about": f.subject,
            "what was found": f.text + (f"\n→ {f.next_step}" if f.next_step else ""),
            "source": f.source,
        }
        for f in in_order(findings)
    ]
    columns = ["note", "about", "what was found", "source"]
    return Sheet(
        pd.DataFrame(rows, columns=columns),
        left=columns,
        widths={"about": "16%", "what was found": "52%", "source": "26%"},
    )
