"""Pages that flow: headings, sentences, tables whose texts are measured first, ticks and pictures, and a foot that
tells on every page what it belongs to.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import black
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Frame,
    Image,
    KeepTogether,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)

from maker_kit.errors import NoticeError
from maker_kit.workbook.paper.column_widths import PAD, Column, by_content, by_shares
from maker_kit.workbook.paper.fonts import BOLD, PLAIN, printable, use_fonts, width_pt
from maker_kit.workbook.paper.papers import paper_size
from maker_kit.workshop.csv.writing import write_bytes

LEAST_PT = 7.0
"""No table is set smaller [pt]."""
BROKEN = 12
"""Longer words are broken where a table would be too wide even so [letters]."""
FOOT_MM = 6.0
"""Room of the foot [mm]."""


class Pages:
    """A document of one paper size, filled from top to bottom.

    Parameters
    ----------
    title : str
        Of the document.
    paper : {'A4', 'Letter'}
    foot : str
        Stands on every page, before its number.
    margin_mm : float
    size_pt : float
        Of plain text.

    Raises
    ------
    UnknownNameError
        If there is no such paper.
    """

    def __init__(
        self, title: str, paper: str = "A4", foot: str = "", margin_mm: float = 14, size_pt: float = 10
    ) -> None:
        sides = paper_size(paper)
        use_fonts()
        self.title, self.foot, self.size = printable(title), printable(foot), size_pt
        self.page = tuple(side * mm for side in sides)
        self.margin = margin_mm * mm
        self.width = self.page[0] - 2 * self.margin
        self.flow: list[Any] = []
        self._done: tuple[int, bytes, int] | None = None

    def heading(self, text: str, level: int = 1) -> None:
        """A heading; it stays with what follows."""
        size = self.size * {1: 1.7, 2: 1.3}.get(level, 1.1)
        style = self._style(size, bold=True, spaceBefore=size * 0.5, spaceAfter=size * 0.3, keepWithNext=1)
        self.flow.append(Paragraph(_said(text), style))

    def text(self, text: str, *, bold: bool = False, scale: float = 1.0) -> None:
        """A paragraph."""
        size = self.size * scale
        self.flow.append(Paragraph(_said(text), self._style(size, bold=bold, spaceAfter=size * 0.4)))

    def space(self, high_mm: float) -> None:
        """Empty room [mm]."""
        self.flow.append(Spacer(1, high_mm * mm))

    def turn(self) -> None:
        """Begin a new page."""
        self.flow.append(PageBreak())

    @property
    def fits_one(self) -> bool:
        """Whether all that was added so far stands on one page."""
        room = self.page[1] - 2 * self.margin - FOOT_MM * mm
        high = 0.0
        for number, piece in enumerate(self.flow):
            high += piece.wrap(self.width, 10**6)[1] + (piece.getSpaceBefore() if number else 0) + piece.getSpaceAfter()
        return high <= room

    def ticks(self, texts: Iterable[str]) -> None:
        """Sentences with a box before each, to tick with a pen."""
        rows = [["", text] for text in texts]
        if rows:
            size = self.size * 1.2
            box = Table(
                [[""]], colWidths=[size], rowHeights=[size], style=[*_font(size), ("BOX", (0, 0), (-1, -1), 1, black)]
            )
            cells = [[box, Paragraph(_said(t), self._style(self.size))] for _, t in rows]
            look = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0), *_font(self.size)]
            self.flow.append(Table(cells, colWidths=[size * 1.7, self.width - size * 1.7], style=look, hAlign="LEFT"))

    def table(
        self,
        columns: Sequence[Column | str],
        rows: Iterable[Sequence[object]],
        *,
        size_pt: float = 0,
        high_mm: float = 0,
        shares: Sequence[float] = (),
    ) -> None:
        """A table whose rows are never split and whose head stands on every page.

        Parameters
        ----------
        columns : sequence of Column or str
        rows : iterable of sequences
            Cells as text; None is blank.
        size_pt : float
            Of its letters; as plain text unless given, and smaller down to `LEAST_PT` where a word would not fit.
        high_mm : float
            Least height of a row, for room to write [mm].
        shares : sequence of float
            Of the width, one a column, where every word fits so; by what stands in them unless given.

        Raises
        ------
        NoticeError
            If the longest words of its columns do not stand side by side on this paper.
        """
        heads = [c if isinstance(c, Column) else Column(c) for c in columns]
        cells = [["" if c is None else printable(str(c)) for c in row] for row in rows]
        size = size_pt or self.size
        while (widths := by_content(self.width, heads, cells, size)) is None:
            size -= 0.5
            if size < LEAST_PT:
                size = LEAST_PT
                if (widths := by_content(self.width, heads, cells, size, BROKEN)) is not None:
                    break
                raise NoticeError(
                    f"the table of {', '.join(h.head for h in heads)} is too wide for this paper: leave a column out"
                )
        if shares and (wide := by_shares(self.width, heads, cells, size, shares)):
            widths = wide
        top = [
            Paragraph(_said(h.head), self._style(size, bold=True, alignment=TA_RIGHT if h.right else 0)) for h in heads
        ]
        body = [
            [
                Paragraph(_said(c), self._style(size, alignment=TA_RIGHT if h.right else 0))
                for h, c in zip(heads, row, strict=True)
            ]
            for row in cells
        ]
        lines = [("LINEBELOW", (0, 0), (-1, 0), 0.8, black), ("LINEBELOW", (0, 1), (-1, -1), 0.25, black)]
        pads = [("LEFTPADDING", (0, 0), (-1, -1), PAD), ("RIGHTPADDING", (0, 0), (-1, -1), PAD)]
        pads += [("TOPPADDING", (0, 0), (-1, -1), 1.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5)]
        look = [*_font(size), ("VALIGN", (0, 0), (-1, -1), "TOP"), *lines, *pads]
        low = [None] + [self._row_height(row, widths, high_mm * mm) for row in body]
        made = Table(
            [top, *body], colWidths=widths, rowHeights=low, style=look, repeatRows=1, hAlign="LEFT", splitInRow=0
        )
        self.flow += [made, Spacer(1, size * 0.6)]

    def picture(self, png: bytes, width_mm: float = 0) -> None:
        """A picture in its own proportions, as wide as the text unless its width is given [mm]; never split."""
        image = Image(io.BytesIO(png))
        wide = min(width_mm * mm or self.width, self.width)
        scale = min(wide / image.imageWidth, 0.8 * (self.page[1] - 2 * self.margin) / image.imageHeight)
        image.drawWidth, image.drawHeight = image.imageWidth * scale, image.imageHeight * scale
        image.hAlign = "LEFT"
        self.flow += [image, Spacer(1, 4)]

    def together(self, fill: Callable[[], None]) -> None:
        """What `fill` adds stays on one page where it fits on one."""
        before, self.flow = self.flow, []
        fill()
        kept, self.flow = self.flow, before
        self.flow.append(KeepTogether(kept))

    def pdf(self) -> bytes:
        """The document; the same facts give the same bytes."""
        return self._built()[0]

    def _built(self) -> tuple[bytes, int]:
        """The document and its pages; laid out once, until something is added (a piece that was put off to a new page
        remembers it, and is refused when it is laid out again).
        """
        if self._done is not None and self._done[0] == len(self.flow):
            return self._done[1:]
        for piece in self.flow:
            piece.__dict__.pop("_postponed", None)
        out = io.BytesIO()
        inner = Frame(
            self.margin,
            self.margin + FOOT_MM * mm,
            self.width,
            self.page[1] - 2 * self.margin - FOOT_MM * mm,
            0,
            0,
            0,
            0,
            id="text",
        )
        document = BaseDocTemplate(
            out, pagesize=self.page, title=self.title, author="", creator="", subject="", invariant=1, pageCompression=1
        )
        document.addPageTemplates([PageTemplate(id="page", frames=[inner], pagesize=self.page)])
        document.build(list(self.flow), canvasmaker=self._canvas)
        self._done = (len(self.flow), out.getvalue(), document.page)
        return self._done[1:]

    @property
    def count(self) -> int:
        """How many pages there are."""
        return self._built()[1]

    def write(self, path: str | Path) -> Path:
        """Write the document, whole or not at all. Raises NoticeError where the file cannot be written."""
        return write_bytes(self.pdf(), Path(path))

    def _canvas(self, *given: Any, **more: Any) -> Canvas:
        pages = self

        class Numbered(Canvas):
            """Keeps its pages until their number is known, for "page 1 of 3"."""

            def __init__(self, *a: Any, **k: Any) -> None:
                super().__init__(*a, **{**k, "initialFontName": PLAIN, "lang": "en"})
                self._kept: list[dict[str, Any]] = []

            def showPage(self) -> None:  # noqa: N802  (the library's name)
                self._kept.append(dict(self.__dict__))
                self._startPage()

            def save(self) -> None:
                for number, state in enumerate(self._kept, 1):
                    self.__dict__.update(state)
                    self.setFont(PLAIN, 8)
                    room = pages.width - width_pt(f"page {number} of {len(self._kept)}", 8) - 8
                    foot = pages.foot
                    while width_pt(foot, 8) > room and len(foot) > 2:
                        foot = foot[:-2].rstrip() + "…"
                    self.drawString(pages.margin, pages.margin, foot)
                    self.drawRightString(
                        pages.page[0] - pages.margin, pages.margin, f"page {number} of {len(self._kept)}"
                    )
                    super().showPage()
                super().save()

        return Numbered(*given, **more)

    def _style(self, size: float, *, bold: bool = False, **more: Any) -> ParagraphStyle:
        font = BOLD if bold else PLAIN
        return ParagraphStyle("", fontName=font, fontSize=size, leading=size * 1.28, bulletFontName=font, **more)

    def _row_height(self, row: Sequence[Paragraph], widths: Sequence[float], least: float) -> float | None:
        if not least:
            return None
        needed = max(p.wrap(w - 2 * PAD, 10_000)[1] for p, w in zip(row, widths, strict=True)) + 4
        return max(least, needed)


def _said(text: str) -> str:
    """Typed text as the paragraph takes it: nothing of it is markup, and its lines stay lines."""
    return escape(printable(text)).replace("\n", "<br/>")


def _font(size: float) -> list[tuple[Any, ...]]:
    return [("FONT", (0, 0), (-1, -1), PLAIN, size, size * 1.28)]
