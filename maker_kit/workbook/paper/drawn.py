"""Pages to print, laid out in millimetres from top to bottom, on A4 or Letter, as PDF with its letters embedded.

matplotlib draws them with its own fonts (DejaVu, free to embed), so that nothing has to be installed and a line of
100 mm is 100 mm on paper that is printed at 100 %.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import lru_cache

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from maker_kit.workbook.charts.glyphs import font
from maker_kit.workbook.paper.fonts import embed_lean, printable
from maker_kit.workbook.paper.papers import paper_size

MARGIN_MM, FOOT_MM = 18.0, 4.0
MM_IN, PT_MM = 25.4, 25.4 / 72
LEADING = 1.4
PADS_MM = (3.0, 2.2, 1.4)
"""Room in the height of a table's row besides its letters; the most with which the table takes fewest pages [mm]."""
INK, GREY = "#000000", "#6b7780"


class Pages:
    """Pages that fill from top to bottom; what does not fit begins on the next.

    Parameters
    ----------
    paper : {'A4', 'Letter'}
    title : str
        Of the document, and the first words of every foot.
    foot : str
        The rest of every foot.

    Raises
    ------
    UnknownNameError
        If there is no such paper.
    """

    def __init__(self, paper: str, title: str, foot: str = "") -> None:
        self.width, self.height = paper_size(paper)
        self.title, self.foot = title, foot
        self._pages: list[tuple[Figure, Axes]] = []
        self.top = 0.0
        self.turn()

    @property
    def room(self) -> float:
        """Width between the margins [mm]."""
        return self.width - 2 * MARGIN_MM

    @property
    def left(self) -> float:
        """Height that is left on this page [mm]."""
        return self.top - MARGIN_MM - FOOT_MM

    @property
    def whole(self) -> float:
        """Height of an empty page [mm]."""
        return self.height - 2 * MARGIN_MM - FOOT_MM

    def turn(self) -> None:
        """Begin a new page."""
        figure = Figure(figsize=(self.width / MM_IN, self.height / MM_IN))
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_xlim(0, self.width)
        axes.set_ylim(0, self.height)
        axes.set_axis_off()
        self._pages.append((figure, axes))
        self.top = self.height - MARGIN_MM

    def keep(self, height_mm: float) -> None:
        """Begin a new page unless so much room is left [mm]."""
        if height_mm > self.left:
            self.turn()

    def tallest(self, count: int, heights_mm: Sequence[float]) -> float:
        """The first of some heights, tallest first, with which so many strips from here take fewest pages [mm]."""

        def more(height: float) -> int:
            return -(-max(count - int(self.left // height), 0) // int(self.whole // height))

        return min(heights_mm, key=more)

    def space(self, height_mm: float) -> None:
        """Leave some room [mm]."""
        self.top -= height_mm

    def heading(self, text: str, size: float = 14) -> None:
        """A heading [pt]."""
        self.text(text, size, bold=True)
        self.space(1.5)

    def text(self, text: str, size: float = 10, *, bold: bool = False, indent: float = 0.0) -> None:
        """Words over as many lines as they take [pt, mm]."""
        for line in wrapped(text, self.room - indent, size, bold=bold):
            step = size * PT_MM * LEADING
            self.keep(step)
            self.top -= step
            self.put(MARGIN_MM + indent, self.top, line, size, bold=bold)

    def put(self, x: float, y: float, text: str, size: float = 10, *, bold: bool = False, **look: str) -> None:
        """Words at a place on this page, on one line [mm, pt]."""
        weight = "bold" if bold else "normal"
        look = {"color": INK, "va": "baseline", **look}
        self._pages[-1][1].text(
            x,
            y,
            printable(" ".join(text.split())),
            fontsize=size,
            family="DejaVu Sans",
            fontweight=weight,
            parse_math=False,
            **look,
        )

    def line(self, x0: float, y0: float, x1: float, y1: float, width: float = 0.6) -> None:
        """A straight line [mm, pt]."""
        self._pages[-1][1].plot([x0, x1], [y0, y1], color=INK, linewidth=width, solid_capstyle="butt")

    def box(self, x: float, y: float, side: float = 4.0) -> None:
        """A square to tick [mm]."""
        self._pages[-1][1].add_patch(Rectangle((x, y), side, side, fill=False, edgecolor=INK, linewidth=0.8))

    def table(self, columns: Sequence[str], rows: Sequence[Sequence[str]], shares: Sequence[float], size: float = 9):
        """A ruled table; its headings stand again on every page.

        Parameters
        ----------
        columns : sequence of str
        rows : sequence of sequence of str
        shares : sequence of float
            Of the width, one a column.
        size : float
            Of the letters [pt].
        """
        widths = [self.room * share / sum(shares) for share in shares]
        step = size * PT_MM * LEADING
        self.keep(30)
        heads = [wrapped(c, w - 3, size, bold=True) for c, w in zip(columns, widths, strict=True)]
        told = [[wrapped(c, w - 3, size) for c, w in zip(row, widths, strict=True)] for row in rows]
        head, *heights = (max(map(len, lines)) * step for lines in (heads, *told))

        def pages(pad: float) -> int:
            count, room = 1, self.left - head - pad
            for height in heights:
                if height + pad > room:
                    count, room = count + 1, self.whole - head - pad
                room -= height + pad
            return count

        pad = min(PADS_MM, key=pages)
        self._row(heads, widths, head + pad, size, bold=True)
        for lines, height in zip(told, heights, strict=True):
            if height + pad > self.left:
                self.turn()
                self._row(heads, widths, head + pad, size, bold=True)
            self._row(lines, widths, height + pad, size)
        self.space(3)

    def _row(
        self, lines: Sequence[list[str]], widths: Sequence[float], height: float, size: float, *, bold: bool = False
    ) -> None:
        step, x = size * PT_MM * LEADING, MARGIN_MM
        for cell, width in zip(lines, widths, strict=True):
            for k, line in enumerate(cell, 1):
                self.put(x + 1.5, self.top - k * step, line, size, bold=bold)
            self._pages[-1][1].add_patch(
                Rectangle((x, self.top - height), width, height, fill=False, edgecolor=INK, linewidth=0.5)
            )
            x += width
        self.top -= height

    def pdf(self) -> bytes:
        """All pages as one PDF, the same bytes whenever it is made; letters are embedded."""
        for number, (_, axes) in enumerate(self._pages, 1):
            words = " · ".join(filter(None, (self.title, self.foot, f"page {number} of {len(self._pages)}")))
            line = wrapped(words, self.room, 8)
            for k, part in enumerate(reversed(line)):
                axes.text(MARGIN_MM, 10 + k * 4, part, fontsize=8, color=GREY, family="DejaVu Sans", parse_math=False)
        embed_lean()
        stream = io.BytesIO()
        with rc_context({"pdf.fonttype": 42}):
            about = {"Title": self.title, "CreationDate": None, "ModDate": None}
            with PdfPages(stream, metadata=about) as kept:
                for figure, _ in self._pages:
                    FigureCanvasPdf(figure)
                    kept.savefig(figure)
        return stream.getvalue()


def wrapped(text: str, width_mm: float, size: float, *, bold: bool = False) -> list[str]:
    """The words in lines that are no wider than so much; a word that is wider alone is cut [mm, pt]."""
    lines, line = [], ""
    for word in printable(text).split():
        while text_width(word, size, bold=bold) > width_mm and len(word) > 1:
            fits = max(k for k in range(1, len(word)) if k == 1 or text_width(word[:k], size, bold=bold) <= width_mm)
            lines += [line] if line else []
            lines, line, word = [*lines, word[:fits]], "", word[fits:]
        tried = f"{line} {word}".strip()
        if line and text_width(tried, size, bold=bold) > width_mm:
            lines, tried = [*lines, line], word
        line = tried
    return [*lines, line] if line or not lines else lines


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of some words on one line [mm]."""
    return _width_64(text, bold) / 64 * size / 100 * PT_MM


@lru_cache(8192)
def _width_64(text: str, bold: bool) -> int:
    """Width of some words at a size of 100 pt [1/64 pt]; it grows with the size, of which a label tries many."""
    measured = font(bold=bold)
    measured.set_size(100, 72)
    measured.set_text(text)
    return measured.get_width_height()[0]
