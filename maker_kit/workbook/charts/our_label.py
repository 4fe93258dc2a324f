"""The names of our list in their order, each from least to most, with the 1 % line."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.ticker import LogLocator

from maker_kit.label.declared import ABOVE, ALLERGEN, COLOUR, MAYBE_UNDER, UNDER, Declaration, Declared
from maker_kit.workbook.amounts import percent
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    CLAY,
    INK,
    LEAF,
    PALE,
    STONE,
    area,
    frame,
    list_rows,
    margins,
    say_beside,
)

MOST_ROWS = 32
LEAST_DRAWN = 0.001
"""Where the axis begins [%]: what is less is drawn there."""
LOOKS = {
    ABOVE: area(LEAF, INK),
    MAYBE_UNDER: area(LEAF, CLAY, "xxxx"),
    UNDER: area(PALE, INK),
    ALLERGEN: area(STONE, INK, "////"),
    COLOUR: area("white", INK, "...."),
}
SHORT = {ABOVE: "", MAYBE_UNDER: "may fall under 1 %", UNDER: "any order", ALLERGEN: "allergen", COLOUR: "colour"}


def draw_our_label(declaration: Declaration, ax: Axes) -> Axes:
    """A mark a name from least to most on an axis by ratios; how it is filled says where it stands in the list.

    Parameters
    ----------
    declaration : Declaration
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    rows = declaration.rows[:MOST_ROWS]
    margins(ax, 0.27, 0.72, 0.4, 0.55)
    ax.set_xscale("log")
    ax.set_xlim(LEAST_DRAWN, 110)
    ax.xaxis.set_major_locator(LogLocator(numticks=8))
    for at, row in enumerate(rows):
        low, high = max(float(row.low), LEAST_DRAWN), max(float(row.high), LEAST_DRAWN * 1.05)
        low, high = min(low, high / 1.05), high
        ax.barh(at, high - low, left=low, height=0.6, zorder=2, **LOOKS[row.group])
        note = "; ".join(n for n in (f"tie of {len(row.ties) + 1}" if row.ties else "", SHORT[row.group]) if n)
        say_beside(ax, at, f"{amount_words(row)}{f'  {note}' if note else ''}", fontsize=8.5)
    list_rows(ax, [row.name for row in rows], len(declaration.rows), (0.001, 0.01, 0.1, 1, 10, 100), 0.002)
    across = "% by mass, by ratios; dashed: the 1 % line; under it any order is right"
    return frame(ax, "Our list in the order to be printed", across, bare=True)


def amount_words(row: Declared) -> str:
    """Least and most of one name in words."""
    low, high = percent(float(row.low)), percent(float(row.high))
    return f"{high} %" if low == high else f"{low} to {high} %"


def our_label_words(declaration: Declaration) -> str:
    """The list in its order, with each amount."""
    named = [f"{row.name} {amount_words(row)}" for row in declaration.rows[:MOST_ROWS]]
    return "; ".join([*named, *(f"not told: {gap}" for gap in declaration.gaps)])


def _height(declaration: Declaration) -> float:
    return 1.05 + 0.215 * min(max(len(declaration.rows), 3), MOST_ROWS)


OUR_LABEL = Chart(draw_our_label, our_label_words, _height)
