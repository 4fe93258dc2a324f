"""The base that each scent of a split takes, and what stays over or is short."""

from __future__ import annotations

from matplotlib.axes import Axes

from maker_kit.formula.batch import counted
from maker_kit.formula.changes.split import Split
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import INK, LEAF, SHORT, STONE, area, frame, margins, name_rows, say_beside

HATCHES = ("", "....", "xxxx", "----", "oooo", "++++")


def draw_split(split: Split, ax: Axes) -> Axes:
    """The base that each scent takes, and what stays over or is short, with the numbers beside the bars.

    Parameters
    ----------
    split : Split
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    bars = []
    for k, part in enumerate(split.parts):
        stop = " – ■ stop" if any(f.kind == "stop" for f in part.findings) else ""
        look = area(STONE if k % 2 else LEAF, INK, HATCHES[k % len(HATCHES)])
        bars.append((part.scent, part.base_g, f", {counted(part.containers)}{stop}", look))
    left = split.remainder_g
    if left is not None and left >= 0:
        bars.append(("stays over", left, "", {**area("white", INK), "linestyle": "--"}))
    elif left is not None:
        bars.append(("short of base", -left, " – SHORT", SHORT))
    margins(ax, 0.2, 0.7, 0.45, 0.55)
    for at, (_, mass, words, look) in enumerate(bars):
        ax.barh(at, mass, height=0.6, **look)
        say_beside(ax, at, f"{mass:,.1f} g{words}", fontsize=9)
    name_rows(ax, [name for name, *_ in bars])
    ax.set_xlim(0, 1.04 * max([mass for _, mass, *_ in bars] + [1e-9]))
    return frame(ax, f"The base each scent takes: {split.base_g:,.1f} g together", "base [g]", bare=True)


def split_words(split: Split) -> str:
    """The base of each part, of all together, and what stays over or is short."""
    words = f"{'; '.join(f'{p.scent}: {p.base_g:,.1f} g' for p in split.parts)}; together {split.base_g:,.1f} g"
    left = split.remainder_g
    if left is None:
        return words
    return f"{words}; {abs(left):,.1f} g {'stay over' if left >= 0 else 'short'}"


SPLIT = Chart(draw_split, split_words, lambda split: 1.15 + 0.42 * (len(split.parts) + (split.have_base_g is not None)))
