"""A sheet of labels: page, margins and grid as the maker types them; where each label stands; all in millimetres."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.errors import LabelError, short
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, number_text, typed_number

PAGES = {"a4": (Fraction(210), Fraction(297)), "letter": (Fraction("215.9"), Fraction("279.4"))}
"""Width and height [mm]: ISO 216; ANSI/ASME Y14.1 (size A)."""
LEAST_LABEL_MM = 10
"""Smallest side of a label [mm]: nothing that must stand on it fits on less (common practice, no source)."""
MOST_PAGE_MM, MOST_LABELS = 1000, 600


@dataclass(frozen=True)
class SheetGrid:
    """Where the labels of a page stand. Made by `sheet_grid`.

    Attributes
    ----------
    width, height : Fraction
        Page [mm].
    columns, rows : int
    left, top, right, bottom : Fraction
        Margins [mm].
    across, down : Fraction
        Gaps between labels [mm].
    """

    width: Fraction
    height: Fraction
    columns: int
    rows: int
    left: Fraction
    top: Fraction
    right: Fraction
    bottom: Fraction
    across: Fraction
    down: Fraction

    @property
    def label_width(self) -> Fraction:
        """Width of one label [mm]."""
        return (self.width - self.left - self.right - (self.columns - 1) * self.across) / self.columns

    @property
    def label_height(self) -> Fraction:
        """Height of one label [mm]."""
        return (self.height - self.top - self.bottom - (self.rows - 1) * self.down) / self.rows

    def places(self) -> Iterator[tuple[float, float]]:
        """Left and top edge of each label [mm], measured from the page's upper left corner."""
        for row in range(self.rows):
            for column in range(self.columns):
                x = self.left + column * (self.label_width + self.across)
                yield float(x), float(self.top + row * (self.label_height + self.down))


def page_size(text: str) -> tuple[Fraction, Fraction]:
    """Width and height of a page [mm] from its name or its sides: ``A4``, ``Letter``, ``100 x 150``.

    Raises
    ------
    LabelError
        If it is neither, or larger than a metre.
    """
    known = PAGES.get(name_key(text))
    if known:
        return known
    sides = re.split(r"\s*[x×X*]\s*", text.replace("mm", "").strip())
    if len(sides) != 2:
        raise LabelError(f'"{short(text)}" is no page; write A4, Letter, or width and height in mm such as 100 x 150')
    width, height = (typed_number(side, "a side of the page", "100") for side in sides)
    if min(width, height) <= 0 or max(width, height) > MOST_PAGE_MM:
        raise LabelError(f'"{short(text)}" is no page: its sides lie above 0 and at most {MOST_PAGE_MM} mm')
    return width, height


def sheet_grid(
    page: str = "A4",
    *,
    columns: int = 2,
    rows: int = 4,
    margin_mm: float | tuple[float, float, float, float] = 10,
    gap_mm: float | tuple[float, float] = 0,
) -> SheetGrid:
    """A grid of labels on a page; the labels take what margins and gaps leave.

    Parameters
    ----------
    page : str
        As `page_size` takes it.
    columns, rows : int
    margin_mm : float, or (left, top, right, bottom)
        [mm]
    gap_mm : float, or (across, down)
        [mm]

    Returns
    -------
    SheetGrid

    Raises
    ------
    LabelError
        If there is room for no label of `LEAST_LABEL_MM`, or a figure is no size.
    QuantityError
        If a size is no number.
    """
    width, height = page_size(page)
    margins = margin_mm if isinstance(margin_mm, tuple) else (margin_mm,) * 4
    gaps = gap_mm if isinstance(gap_mm, tuple) else (gap_mm,) * 2
    sizes = [exact_number(v, "a margin or gap in mm") for v in (*margins, *gaps)]
    if min(sizes) < 0:
        raise LabelError("a margin or a gap is below 0; each is 0 mm or more")
    if columns < 1 or rows < 1 or columns * rows > MOST_LABELS:
        raise LabelError(f"{columns} × {rows} labels; a page holds 1 to {MOST_LABELS}")
    made = SheetGrid(width, height, columns, rows, *sizes)
    if min(made.label_width, made.label_height) < LEAST_LABEL_MM:
        raise LabelError(
            f"a page of {number_text(width)} × {number_text(height)} mm has no room for {columns} × {rows} labels "
            f"with these margins and gaps: each would be {_mm(made.label_width)} × {_mm(made.label_height)} mm, and "
            f"{LEAST_LABEL_MM} mm is the least; take fewer, or smaller margins"
        )
    return made


def typed_count(text: str, what: str) -> int:
    """How many columns or rows, as typed. Raises LabelError where it is no whole number, QuantityError for none."""
    count = typed_number(text, what, "4")
    if count.denominator != 1:
        raise LabelError(f'"{short(text)}" {what}: a page has a whole number of them')
    return int(count)


def typed_sizes(text: str, what: str, *counts: int) -> tuple[Fraction, ...]:
    """Sizes as they are typed, one for all sides or one for each [mm]: ``10``, or ``7, 12, 7, 15``.

    Parameters
    ----------
    text : str
    what : str
        What they are, for a sentence.
    *counts : int
        How many may be typed besides one; the last is how many are given back, a pair for four sides taken twice.

    Raises
    ------
    LabelError
        If there are more or fewer.
    QuantityError
        If one is no number.
    """
    sizes = tuple(typed_number(part, what, "10") for part in re.split(r"\s*[,;/]\s+|\s*[;/]\s*|\s+", text.strip()))
    if len(sizes) not in {1, *counts}:
        raise LabelError(
            f'"{short(text)}" are {len(sizes)} figures for {what}; write 1 or {" or ".join(map(str, counts))}'
        )
    return sizes * (counts[-1] // len(sizes))


def _mm(side: Fraction) -> str:
    return number_text(side) if side > 0 else "less than 0"
