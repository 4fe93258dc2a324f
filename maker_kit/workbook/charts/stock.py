"""How far each thing that is there reaches, beside what is wanted."""

from __future__ import annotations

from matplotlib.axes import Axes

from maker_kit.formula.changes.in_hand import InHand, InHandRow
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import ENOUGH, INK, SHORT, frame, margins, name_rows, say_beside


def draw_reach(shown: tuple[InHand, int], ax: Axes) -> Axes:
    """How many containers each thing that is there fills, with a wall at how many are wanted.

    Parameters
    ----------
    shown : tuple of (InHand, int)
        What is there, and how many containers are wanted.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    rows, wanted = _drawn(shown[0]), shown[1]
    margins(ax, 0.24, 0.72, 0.4, 0.55)
    most = max([wanted * 1.6, *(min(row.unrounded, wanted * 3) for row in rows)])
    for at, row in enumerate(rows):
        short = row.unrounded < wanted
        ax.barh(at, min(row.unrounded, most), height=0.55, **(SHORT if short else ENOUGH))
        say_beside(ax, at, f"{row.fills} full ({row.unrounded:.2f}){' – SHORT' if short else ''}")
    ax.axvline(wanted, color=INK, linewidth=2.5)
    name_rows(ax, [row.item for row in rows])
    ax.set_xlim(0, most * 1.02)
    across = f"containers; the wall stands at the {wanted} that are wanted"
    return frame(ax, "How far each thing reaches", across, bare=True)


def reach_words(shown: tuple[InHand, int]) -> str:
    """How many are wanted, and the full containers of each thing."""
    full = "; ".join(
        f"{row.item} {row.fills}{' – SHORT' if row.unrounded < shown[1] else ''}" for row in _drawn(shown[0])
    )
    return f"{shown[1]} are wanted; full containers by each thing: {full}"


def _drawn(there: InHand) -> list[InHandRow]:
    return [row for row in there.rows if row.fills is not None]


REACH = Chart(draw_reach, reach_words, lambda shown: 1.05 + 0.25 * len(_drawn(shown[0])))
