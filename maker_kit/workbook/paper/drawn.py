"""Pages to print, laid out in millimetres from top to bottom, on A4 or Letter, as PDF with its letters embedded.

matplotlib draws them with its own fonts (DejaVu, free to embed), so that nothing has to be installed and a line of
100 mm is 100 mm on paper that is printed at 100 %.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache, lru_cache

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages
from matplotlib.figure import Figure
from matplotlib.ft2font import FT2Font
from matplotlib.patches import Rectangle

from maker_kit.workbook.paper.fonts import BOLD, PLAIN, face_file, printable
from maker_kit.workbook.paper.papers import paper_size

MARGIN_MM, FOOT_MM = 18.0, 14.0
MM_IN, PT_MM = 25.4, 25.4 / 72
LEADING = 1.4
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
        if self.top - height_mm < MARGIN_MM + FOOT_MM:
            self.turn()

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
        self.keep(30)
        self._row(columns, widths, size, bold=True)
        for row in rows:
            height = max(len(wrapped(c, w - 3, size)) for c, w in zip(row, widths, strict=True))
            needed = height * size * PT_MM * LEADING + 3
            if self.top - needed < MARGIN_MM + FOOT_MM:
                self.turn()
                self._row(columns, widths, size, bold=True)
            self._row(row, widths, size)
        self.space(3)

    def _row(self, cells: Sequence[str], widths: Sequence[float], size: float, *, bold: bool = False) -> None:
        step, x = size * PT_MM * LEADING, MARGIN_MM
        lines = [wrapped(c, w - 3, size, bold=bold) for c, w in zip(cells, widths, strict=True)]
        height = max(map(len, lines)) * step + 3
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


@lru_cache(4096)
def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of some words on one line [mm]."""
    font = _font(bold=bold)
    font.set_size(100, 72)
    font.set_text(text)
    return font.get_width_height()[0] / 64 * size / 100 * PT_MM


@cache
def _font(*, bold: bool) -> FT2Font:
    return FT2Font(str(face_file(BOLD if bold else PLAIN)))
