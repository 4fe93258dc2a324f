"""The page of a decision on paper: the whole decision on the first page, the details behind it, on A4 or Letter."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from maker_kit.workbook.linked import Linked, Part
from maker_kit.workbook.paper.pages import Pages

SIZES = (9.0, 8.5, 8.0, 7.5, 7.0)
"""Of plain text on the first page [pt]: the largest with which it is one page."""
DETAILS = (8.5, 8.0, 7.5)
"""Of plain text behind it [pt]: the largest with which they are fewest pages."""
MARGIN_MM = 13.0


def decision_paper(shown: Linked, title: str, on: datetime.date, paper: str = "A4") -> bytes:
    """A decision's page as PDF.

    Parameters
    ----------
    shown : Linked
        Its parts up to the first that begins a new page are the first page.
    title : str
        What it is about: the product.
    on : datetime.date
        The day that is written in its foot.
    paper : {'A4', 'Letter'}

    Returns
    -------
    bytes
        The same for the same page and day.

    Raises
    ------
    UnknownNameError
        If there is no such paper.
    """
    cut = next((number for number, part in enumerate(shown.parts) if part.new_page), len(shown.parts))
    foot = f"Decision: {title} · written on {on.isoformat()}"

    def first(size: float) -> Pages:
        pages = Pages(f"Decision: {title}", paper, foot, MARGIN_MM, size)
        pages.heading(title, 2)
        pages.text(shown.answer, bold=True, scale=1.2)
        _parts(pages, shown, shown.parts[:cut])
        return pages

    def whole(details: float) -> Pages:
        pages = first(size)
        pages.turn()
        pages.size = details
        _parts(pages, shown, shown.parts[cut:])
        pages.heading(shown.where, 3)
        for place, number in shown.numbers.items():
            pages.text(f"[{number}] {place}", scale=0.8)
        return pages

    size = next((size for size in SIZES if first(size).fits_one), SIZES[-1])
    return min((whole(details) for details in DETAILS), key=lambda pages: pages.count).pdf()


def _parts(pages: Pages, shown: Linked, parts: Iterable[Part]) -> None:
    for part in parts:
        if part.heading:
            pages.heading(part.heading, 3)
        for cell in part.sentences:
            pages.text(shown.numbered(cell))
        if part.rows:
            rows = [[shown.numbered(cell) for cell in row] for row in part.rows]
            pages.table(part.columns, rows, size_pt=max(pages.size - 1, 7.0), shares=part.shares)
