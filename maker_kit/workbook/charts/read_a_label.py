"""A bar for each name of a label from least to most, the 1 % line, and the guess as a faint dot."""

from __future__ import annotations

from collections.abc import Mapping

from matplotlib.axes import Axes

from maker_kit.label.reading import LabelReading, LabelRow
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    INK,
    LEAF,
    MUTED,
    STONE,
    area,
    frame,
    list_rows,
    margins,
    say_beside,
)

Shown = tuple[LabelReading, Mapping[str, float]]
"""A label as it was read, and the guess [%] by name; empty while it is not asked for."""
MOST_ROWS = 30
"""Longest list that is drawn; the table holds the rest."""
TICKS = (0, 0.5, 1, 2, 5, 10, 20, 50, 100)


def draw_label(shown: Shown, ax: Axes) -> Axes:
    """A bar a name from least to most, wide by all rules and a line by the order alone; the 1 % line; the guess faint.

    The axis is even up to 1 % and runs by ratios above it, so that both sides of the line can be seen.

    Parameters
    ----------
    shown : tuple of (LabelReading, Mapping of str to float)
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    reading, guess = shown
    rows = reading.rows[:MOST_ROWS]
    margins(ax, 0.27, 0.76, 0.4, 0.55)
    ax.set_xscale("symlog", linthresh=1, linscale=0.8)
    ax.set_xlim(0, 110)
    for at, row in enumerate(rows):
        if row.bare_most is not None:
            ax.plot([row.bare_least.percent, row.bare_most.percent], [at, at], color=MUTED, linewidth=1, zorder=1)
        if row.most is not None:
            look = area(LEAF if row.place else STONE, INK, "" if row.place else "////")
            ax.barh(at, row.most.percent - row.least.percent, left=row.least.percent, height=0.55, zorder=2, **look)
        if row.name in guess:
            ax.plot(
                [guess[row.name]], [at], "o", color="white", markeredgecolor=INK, markersize=6, alpha=0.75, zorder=3
            )
        say_beside(ax, at, range_words(row), fontsize=8.5)
    list_rows(ax, [row.name for row in rows], len(reading.rows), TICKS, 0.05)
    title = "Least and most of each name" + ("; ○ a guess that knows only the label" if guess else "")
    return frame(
        ax, title, "% by mass; dashed: the 1 % line; thin line: by the order alone; hatched: in no order", bare=True
    )


def range_words(row: LabelRow) -> str:
    """The range of one name in words; by the order alone where all rules cannot be true."""
    low, high = (row.least, row.most) if row.most is not None else (row.bare_least, row.bare_most)
    if high is None:
        return "contradiction"
    small, large = f"{low.percent:.3g}", f"{high.percent:.3g}"
    if small == large and low.exact == high.exact:
        return f"{large} %"
    return f"up to {large} %" if low.exact == 0 else f"{small} to {large} %"


def label_words(shown: Shown) -> str:
    """The range of every name."""
    return "; ".join(f"{row.name} {range_words(row)}" for row in shown[0].rows[:MOST_ROWS])


def _height(shown: Shown) -> float:
    return 1.05 + 0.225 * min(max(len(shown[0].rows), 3), MOST_ROWS)


READ_LABEL = Chart(draw_label, label_words, _height)
