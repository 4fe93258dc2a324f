"""One bar a limited substance, with its limit as a wall."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes

from maker_kit.formula.limits.bars import LimitBar
from maker_kit.workbook.amounts import percent
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import CLAY, INK, LEAF, PALE, STONE, area, frame, name_rows, say, say_beside

MOST_OF_LIMIT = 160.0
"""Bars end here [% of the limit]; a longer one is cut and says its number."""
UNKNOWN = area("white", STONE, "..")
"""How a bar looks whose amount or limit nobody knows."""
TICKS = {0: "0", 20: "20", 40: "40", 60: "60", 80: "80\nnear", 100: "100\nlimit", 120: "120", 140: "140", 160: "160"}


def draw_limits(bars: Sequence[LimitBar], ax: Axes) -> Axes:
    """One bar per limited substance, as percent of its limit, with the limit as a wall at 100.

    Parameters
    ----------
    bars : sequence of LimitBar
        Solid up to the low end of what is in the product, hatched on to the high end where a supplier gives a range;
        dotted and open where no limit is known.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    height = ax.figure.get_figheight()
    ax.figure.subplots_adjust(left=0.27, right=0.66, top=0.86, bottom=min(0.62 / height, 0.45))
    ax.set_xlim(0, MOST_OF_LIMIT)
    ax.axvspan(80, 100, color=PALE, zorder=0)
    ax.axvline(100, color=INK, linewidth=2.5, zorder=3)
    ax.set_xticks(list(TICKS), list(TICKS.values()))
    name_rows(ax, [bar.substance for bar in bars])
    if not bars:
        text = "nothing in this recipe has a limit on file; that does not mean that all is fine"
        say(ax, 2, 0, text, va="center", fontsize=9)
    for row, bar in enumerate(bars):
        _limit_bar(ax, row, bar)
    return frame(ax, "How near each substance is to its limit", "percent of the limit", bare=True)


def _limit_bar(ax: Axes, row: int, bar: LimitBar) -> None:
    least, most, limit = bar.found_low_percent, bar.found_high_percent, bar.limit_percent
    found = "amount unknown" if most is None else f"{percent(most)} %"

    def block(width: float, look: dict[str, Any], left: float = 0) -> None:
        ax.barh(row, width, height=0.52, left=left, zorder=2, **look)

    if most is None and limit:
        block(MOST_OF_LIMIT, UNKNOWN)
        text = f"at most {percent(limit)} % {bar.counted_as}"
    elif bar.unrestricted:
        text = "no restriction in this category"
    elif limit is None:
        block(MOST_OF_LIMIT, UNKNOWN)
        text = "no limit on file: unknown"
    elif limit == 0:
        block(MOST_OF_LIMIT, area(CLAY, INK))
        text = "not allowed here"
    else:
        low, high = (min(100 * (value or 0) / limit, MOST_OF_LIMIT) for value in (least, most))
        over = most > limit * (1 + 1e-9)
        fill = CLAY if over else LEAF
        block(low, area(fill, INK, line=0.6))
        if high > low:
            block(high - low, area("white", fill, "////"), low)
        say_beside(ax, row, f"{found} of {percent(limit)} % {bar.counted_as}{' – OVER' if over else ''}")
        return
    say_beside(ax, row, f"{found} – {text}")


def limit_words(bars: Sequence[LimitBar]) -> str:
    """The bars' numbers, one after the other."""
    words = []
    for bar in bars:
        found = "amount unknown" if bar.found_high_percent is None else f"up to {percent(bar.found_high_percent)} %"
        limit = f"limit {percent(bar.limit_percent)} % {bar.counted_as}"
        words.append(
            f"{bar.substance}: {found} ({'no limit on file: unknown' if bar.limit_percent is None else limit})"
        )
    return "; ".join(words) or "no substance with a limit on file"


LIMITS = Chart(draw_limits, limit_words, lambda bars: 1.25 + 0.46 * max(len(bars), 1))
