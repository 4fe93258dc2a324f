"""A sheet of our labels as PDF: text set at the legal height or larger, or refused in words; cut marks; a ruler first.

Letters are DejaVu Sans as matplotlib ships it, embedded whole words at a time, so that they can be read out; every size
is in millimetres of the paper.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import matplotlib
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from maker_kit.errors import LabelError, NoticeError, short
from maker_kit.label.sheet import SheetGrid, page_size
from maker_kit.plan.label.our_label import OurLabel
from maker_kit.workbook.paper.drawn import text_width
from maker_kit.workbook.paper.fonts import CAPITAL, SMALL, check_printable, embed_lean

MM_PER_INCH, MM_PER_POINT = 25.4, 25.4 / 72
LEADING = 1.22
"""Line to line, in font sizes."""
PAD_MM = 2.0
"""Room between a label's edge and its words [mm]."""
LEAST_MM = {"EU": Fraction(12, 10), "US": Fraction(254, 160)}
"""Least height of a small letter: in the US 1/16 inch (21 CFR 701.3(b), read in the edition of April 1996, and
740.2, from memory); in the EU the law says easily legible, and 1.2 mm is what food labels
must have (common practice here)."""
LARGEST = 2.5
"""How many times its least a text is set at most."""
DRAFT = "DRAFT, not for use"
ORDER = (
    "identity",
    "net",
    "function",
    "ingredients",
    "warnings",
    "durability",
    "batch",
    "business",
    "contact",
    "origin",
)
FREE = frozenset({"identity", "function", "business", "contact"})
"""Texts that the maker may word shorter; the others are as the law has them."""
SPACE = 0.5
"""Most room between two texts, in lines; as much of it as a label has to spare."""
HEADS = {"batch": "Batch: ", "contact": "Report harm to: ", "origin": "Made in: "}


@dataclass(frozen=True)
class Block:
    """One text of a label: what it is, its words, and the least font size it may be set in [pt]."""

    code: str
    text: str
    least_pt: float


@dataclass(frozen=True)
class SetBlock:
    """A block as it is set: font size [pt] and lines."""

    block: Block
    size_pt: float
    lines: tuple[str, ...]


@dataclass(frozen=True)
class LabelSheet:
    """A sheet of labels. Made by `label_sheet`.

    Attributes
    ----------
    grid : SheetGrid
    blocks : tuple of SetBlock
    draft : bool
        Whether something is still missing; then each label says so.
    """

    grid: SheetGrid
    blocks: tuple[SetBlock, ...]
    draft: bool

    def pdf(self, *, cut_marks: bool = True) -> bytes:
        """The sheet as PDF with its letters embedded."""
        return _pdf(_drawn(self, cut_marks=cut_marks), "Labels")

    def png(self, dpi: int = 60) -> bytes:
        """The sheet as a picture, to look at before it is printed."""
        figure, stream = _drawn(self, cut_marks=True), io.BytesIO()
        FigureCanvasAgg(figure)
        figure.savefig(stream, format="png", dpi=dpi)
        return stream.getvalue()

    @property
    def words(self) -> str:
        """How large the labels are, and in what heights their texts are set."""
        net = next((b for b in self.blocks if b.block.code == "net"), None)
        small = min(b.size_pt for b in self.blocks) * SMALL * MM_PER_POINT
        size = f"{float(self.grid.label_width):.1f} × {float(self.grid.label_height):.1f} mm"
        told = f"{self.grid.columns * self.grid.rows} labels of {size}; small letters at least {small:.2f} mm high"
        return told + (f", figures of the content {net.size_pt * CAPITAL * MM_PER_POINT:.2f} mm" if net else "")


def label_sheet(label: OurLabel, grid: SheetGrid) -> LabelSheet:
    """The texts of a label set into the labels of a sheet, as large as they fit.

    Parameters
    ----------
    label : OurLabel
        Where something is still missing each label says that it is a draft.
    grid : SheetGrid

    Returns
    -------
    LabelSheet

    Raises
    ------
    LabelError
        If the list has a gap, the height of the letters is not known, a sign cannot be printed, or the texts do not fit
        at the legal height: with what to shorten and which size would do.
    """
    gaps = [f for f in label.findings if f.kind == "stop"]
    if gaps:
        raise LabelError(f"this label is not printed as it is: {gaps[0].text}")
    blocks = _blocks(label)
    width = float(grid.label_width) - 2 * PAD_MM
    height = float(grid.label_height) - 2 * PAD_MM
    least = _set(blocks, 1.0, width)
    if least is None:
        word, size = max(((w, b.least_pt) for b in blocks for w in b.text.split()), key=lambda p: text_width(*p))
        wide = text_width(word, size)
        raise LabelError(f'"{short(word)}" is {wide:.1f} mm wide at its least height, and a line has {width:.1f} mm')
    if _height(least) > height:
        raise LabelError(_too_high(least, grid))
    low, high = 1.0, LARGEST
    best = least
    for _ in range(18):
        middle = (low + high) / 2
        tried = _set(blocks, middle, width)
        if tried is not None and _height(tried) <= height:
            low, best = middle, tried
        else:
            high = middle
    return LabelSheet(grid, best, label.unfinished)


def ruler(page: str = "A4") -> bytes:
    """A page to print first: lines of 100 mm across and down, to be measured with a ruler; shorter on a small
    page. Raises LabelError where there is room for none.
    """
    width, height = (float(side) for side in page_size(page))
    figure, axes = _page(width, height)
    across, down = min(100.0, 10 * int((width - 35) / 10)), min(100.0, 10 * int((height - 45) / 10))
    if min(across, down) < 10:
        raise LabelError(f"a page of {width:g} × {height:g} mm has no room for a ruler")
    x, y = 15.0, 35.0
    left, up = x + 10, y - 10  # where the line across begins
    axes.plot([left, left + across], [up, up], color="black", linewidth=0.6, solid_capstyle="butt")
    axes.plot([x, x], [y, y + down], color="black", linewidth=0.6, solid_capstyle="butt")
    for at in range(0, int(across) + 1, 10):
        axes.plot([left + at] * 2, [up - (4 if at % 50 == 0 else 2), up - 0.5], color="black", linewidth=0.3)
    for at in range(0, int(down) + 1, 10):
        axes.plot([x - (4 if at % 50 == 0 else 2), x - 0.5], [y + at] * 2, color="black", linewidth=0.3)
    told = f"{across:.0f} mm across and {down:.0f} mm down: measure both; print at 100 %."
    size = min(9.0, 9.0 * (width - 20) / max(text_width(told, 9.0), 1))
    axes.text(x, 15, told, fontsize=size, family="DejaVu Sans", va="baseline", parse_math=False)
    return _pdf(figure, "Ruler")


def _blocks(label: OurLabel) -> list[Block]:
    net = label.net
    if net.letter_mm is None:
        raise LabelError(
            "how high the net content must be is unknown; tell the panel's height, and the pack's girth or the width"
        )
    small = float(LEAST_MM[label.market]) / MM_PER_POINT / SMALL
    ratio = CAPITAL if label.market == "EU" else SMALL
    texts = {p.code: p.text for p in label.particulars}
    texts.setdefault("identity", label.plan.recipe.title)
    texts.setdefault("batch", label.facts.batch)  # no law asks for it in the US, and a recall does
    blocks = [Block("draft", DRAFT, small)] if label.unfinished else []
    for code in ORDER:
        if texts.get(code):
            least = float(net.letter_mm) / MM_PER_POINT / ratio if code == "net" else small
            blocks.append(Block(code, HEADS.get(code, "") + texts[code], max(least, small)))
    _check_signs(blocks)
    return blocks


def _check_signs(blocks: Iterable[Block]) -> None:
    try:
        check_printable("".join(b.text for b in blocks), "the label")
    except NoticeError as error:
        raise LabelError(str(error)) from error


def _set(blocks: Iterable[Block], scale: float, width: float) -> tuple[SetBlock, ...] | None:
    """All blocks at a scale of their least sizes; None where a word is wider than a line."""
    found = []
    for block in blocks:
        size = block.least_pt * scale
        lines, line = [], ""
        for word in block.text.split():
            if text_width(word, size) > width:
                return None
            longer = f"{line} {word}".strip()
            if line and text_width(longer, size) > width:
                lines.append(line)
                line = word
            else:
                line = longer
        found.append(SetBlock(block, size, (*lines, line)))
    return tuple(found)


def _height(blocks: Iterable[SetBlock]) -> float:
    return sum(len(b.lines) * b.size_pt * LEADING * MM_PER_POINT for b in blocks)


def _too_high(least: tuple[SetBlock, ...], grid: SheetGrid) -> str:
    needed = _height(least) + 2 * PAD_MM
    lines = sum(len(b.lines) for b in least)
    longest = max((b for b in least if b.block.code in FREE), key=lambda b: len(b.lines))
    by_law = max((b for b in least if b.block.code not in FREE), key=lambda b: len(b.lines))
    wide = float(grid.label_width)
    return (
        f"at the least height of its letters the text needs {needed:.1f} mm, and the label is "
        f"{float(grid.label_height):.1f} mm high. Shorten the {longest.block.code} ({len(longest.lines)} of {lines} "
        f"lines; the {by_law.block.code}, {len(by_law.lines)}, must stay whole, on the packaging alone if need be), or "
        f"take labels of {wide:.1f} × {needed:.1f} mm or more"
    )


def _page(width: float, height: float) -> tuple[Figure, Axes]:
    figure = Figure(figsize=(width / MM_PER_INCH, height / MM_PER_INCH))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, width)
    axes.set_ylim(height, 0)
    axes.axis("off")
    return figure, axes


def _drawn(sheet: LabelSheet, *, cut_marks: bool) -> Figure:
    grid = sheet.grid
    figure, axes = _page(float(grid.width), float(grid.height))
    wide, high = float(grid.label_width), float(grid.label_height)
    spare = (high - 2 * PAD_MM - _height(sheet.blocks)) / max(len(sheet.blocks) - 1, 1)
    space = min(spare, SPACE * min(b.size_pt for b in sheet.blocks) * LEADING * MM_PER_POINT)
    for x, y in grid.places():
        at = y + PAD_MM
        for one in sheet.blocks:
            for line in one.lines:
                step = one.size_pt * LEADING * MM_PER_POINT
                base = at + one.size_pt * 0.93 * MM_PER_POINT
                axes.text(
                    x + PAD_MM, base, line, fontsize=one.size_pt, family="DejaVu Sans", va="baseline", parse_math=False
                )
                at += step
            at += space
        if cut_marks:
            _marks(axes, x, y, wide, high)
    return figure


def _marks(axes: Axes, x: float, y: float, wide: float, high: float) -> None:
    """Corners of a label as short hairlines, and its edge faint."""
    edge = Rectangle((x, y), wide, high, fill=False, linewidth=0.2, edgecolor="#bbbbbb", linestyle=(0, (1, 3)))
    axes.add_patch(edge)
    for cx, sx in ((x, 1), (x + wide, -1)):
        for cy, sy in ((y, 1), (y + high, -1)):
            axes.plot([cx, cx + 1.5 * sx], [cy, cy], color="black", linewidth=0.3)
            axes.plot([cx, cx], [cy, cy + 1.5 * sy], color="black", linewidth=0.3)


def _pdf(figure: Figure, title: str) -> bytes:
    embed_lean()
    stream = io.BytesIO()
    with matplotlib.rc_context({"pdf.fonttype": 42}):
        FigureCanvasPdf(figure)
        figure.savefig(stream, format="pdf", metadata={"Title": title, "CreationDate": None})
    return stream.getvalue()
