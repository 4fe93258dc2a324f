"""What one container costs part by part, and what moves the verdict, as pictures."""

from __future__ import annotations

from matplotlib.axes import Axes

from maker_kit.plan.sensitivity import BarEnd
from maker_kit.workbook.amounts import money, short
from maker_kit.workbook.charts.make_or_buy import TWO_DECIMALS, Costed, Moved
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    CLAY,
    ENOUGH,
    INK,
    MUTED,
    STONE,
    area,
    frame,
    margins,
    name_rows,
    say,
    say_beside,
)

LOOKS = (("#3f7d5c", ""), ("#d9e5dc", "///"), ("#8fa8b3", ""), ("#e7e3da", "..."), ("#c98a6d", "xx"), ("#f1e6c8", "--"))


def draw_breakdown(shown: Costed, ax: Axes) -> Axes:
    """The cost of one container, stacked, above a bar for each shop price.

    Parameters
    ----------
    shown : tuple of (CostBreakdown, sequence of ShopLine, str, str)
        The parts, the shop's prices, the currency, and the recipe's title.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    parts, lines, currency, recipe = shown
    margins(ax, 0.2, 0.9, 0.35, 0.95)
    made = 0.0
    for (name, amount), (fill, hatch) in zip(parts.parts, LOOKS, strict=False):
        each = float(amount) / 1e6
        if each > 0:
            ax.barh(0, each, left=made, height=0.6, label=f"{name} {each:.2f}", **area(fill, INK, hatch))
            made += each
    totals = [made, *(line.price for line in lines)]
    ax.barh(range(1, len(totals)), totals[1:], height=0.5, **area("white", CLAY, line=1.2))
    for row, total in enumerate(totals):
        say(ax, total, row, f" {total:.2f}", va="center", fontsize=9)
    name_rows(ax, ["made", *(line.name for line in lines)])
    ax.set_xlim(0, 1.12 * max(totals))
    ax.xaxis.set_major_formatter(TWO_DECIMALS)
    frame(ax, f"{short(recipe, 36)}: one container in parts, beside the shop [{currency}]")
    ax.figure.legends.clear()
    place = {"loc": "lower left", "bbox_to_anchor": (0.02, 0.0), "ncols": 3}
    look = {"fontsize": 8.5, "frameon": False, "handlelength": 1.6, "columnspacing": 1.2}
    ax.figure.legend(*ax.get_legend_handles_labels(), **place, **look)
    return ax


def breakdown_words(shown: Costed) -> str:
    """The parts of one container."""
    return f"one container: {'; '.join(f'{name} {money(amount)}' for name, amount in shown[0].parts)}"


def draw_sensitivity(shown: Moved, ax: Axes) -> Axes:
    """One bar an input: what one container costs with that input at its low and its high end, the longest on top.

    Parameters
    ----------
    shown : tuple of (Sensitivity, str, str)
        What moves, the currency, and the recipe's title.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    moves, currency, recipe = shown
    margins(ax, 0.33, 0.74, 0.6, 0.5)
    middle = float(moves.each_micros or 0) / 1e6
    known = [v for bar in moves.bars for end in (bar.low, bar.high) if (v := _unit(end)) is not None] + [middle]
    pad = max(max(known) - min(known), 0.01) * 0.12
    ax.set_xlim(min(known) - pad, max(known) + pad)
    ax.axvline(middle, color=INK, linewidth=1.2)
    for row, bar in enumerate(moves.bars):
        for end, look in ((bar.low, area("white", INK, "///")), (bar.high, ENOUGH)):
            value = _unit(end)
            if value is not None and value != middle:
                ax.barh(row, value - middle, left=middle, height=0.55, **look)
        ends = dict.fromkeys(_for_good(end) for end in (bar.low, bar.high))
        say_beside(ax, row, " … ".join(ends))
    name_rows(ax, [bar.name for bar in moves.bars], 38)
    ax.xaxis.set_major_formatter(TWO_DECIMALS)
    ax.grid(axis="x", color=STONE, linewidth=0.4)
    ax.set_axisbelow(True)
    say_beside(ax, -0.75, f"pays for good from, in {moves.counted}", color=MUTED)
    title = f"{short(recipe, 36)}: one container [{currency}], low end striped, high end solid"
    return frame(ax, title, bare=True, fontsize=10.5, x=-0.47, pad=20)


def _for_good(end: BarEnd) -> str:
    if not end.first_known:
        return "not known"
    return "never" if end.first is None else str(end.first)


def _unit(end: BarEnd) -> float | None:
    return None if end.each_micros is None else float(end.each_micros) / 1e6


def sensitivity_words(shown: Moved) -> str:
    """The ends of the longest bars."""
    bars = (f"{b.name}: {money(b.low.each_micros)} to {money(b.high.each_micros)}" for b in shown[0].bars[:6])
    return f"one container at the low and the high end: {'; '.join(bars)}"


BREAKDOWN = Chart(draw_breakdown, breakdown_words, lambda shown: 1.75 + 0.42 * len(shown[1]))
SENSITIVITY = Chart(draw_sensitivity, sensitivity_words, lambda shown: 1.3 + 0.32 * len(shown[0].bars))
