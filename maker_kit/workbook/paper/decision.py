"""The page of a decision on paper: the same parts and numbers, on A4 or Letter."""

from __future__ import annotations

import datetime

from maker_kit.workbook.linked import Linked
from maker_kit.workbook.paper.drawn import Pages

SIZE, SMALL = 8.5, 7.0
"""Of words and of tables [pt]."""


def decision_paper(shown: Linked, title: str, on: datetime.date, paper: str = "A4") -> bytes:
    """A decision's page as PDF.

    Parameters
    ----------
    shown : Linked
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
    pages = Pages(paper, f"Decision: {title}", f"written on {on.isoformat()}")
    pages.heading(title)
    pages.text(shown.answer, 11, bold=True)
    pages.space(1)
    for part in shown.parts:
        if part.new_page:
            pages.turn()
        if part.heading:
            pages.space(1.5)
            pages.keep(24)
            pages.heading(part.heading, 10.5)
        for cell in part.sentences:
            pages.text(shown.numbered(cell), SIZE)
        if part.rows:
            pages.space(1)
            pages.table(part.columns, [[shown.numbered(c) for c in row] for row in part.rows], part.shares, SMALL)
    pages.keep(24)
    pages.heading(shown.where, 10.5)
    for place, number in shown.numbers.items():
        pages.text(f"[{number}] {place}", SMALL)
    return pages.pdf()
