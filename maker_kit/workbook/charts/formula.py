"""One bar a limited substance, with its limit as a wall; and small, what one container costs along the batch size."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, nan
from typing import Any

from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from maker_kit.formula.batch import counted
from maker_kit.formula.limits.bars import LimitBar
from maker_kit.workbook.amounts import between, percent, short
from maker_kit.workbook.charts.make_or_buy import cross_open, labels_apart
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    CLAY,
    DASHES,
    INK,
    LEAF,
    PALE,
    STONE,
    area,
    frame,
    margins,
    name_rows,
    point,
    say,
    say_beside,
)
from maker_kit.workbook.size_cost import SizeCost

MOST_OF_LIMIT = 160.0
"""Bars end here [% of the limit]; a longer one is cut and says its number."""
UNKNOWN = area("white", STONE, "..")
"""How a bar looks whose amount or limit nobody knows."""
TICKS = {0: "0", 20: "20", 40: "40", 60: "60", 80: "80 near", 100: "100", 120: "120", 140: "140", 160: "160 %"}
MOST_BARS = 5
"""How many bars stand on the first screen; the rest is counted in its title and stands under the notes."""


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
    margins(ax, 0.27, 0.66, 0.32, 0.3)
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
    title = "Percent of each limit (the wall)"
    return frame(ax, title, bare=True)


def gravest_bars(bars: Sequence[LimitBar]) -> tuple[LimitBar, ...]:
    """The bars, the gravest first: not allowed, then over, then unknown, then how near the limit is."""

    def rank(bar: LimitBar) -> float:
        if bar.unrestricted:
            return 0.0
        if bar.limit_percent is None or bar.found_high_percent is None:
            return 1.0
        return bar.found_high_percent / bar.limit_percent if bar.limit_percent else inf

    return tuple(sorted(bars, key=rank, reverse=True))


def draw_gravest(bars: Sequence[LimitBar], ax: Axes) -> Axes:
    """The gravest of the bars, few enough for a screen; how many more there are stands in the title."""
    draw_limits(gravest_bars(bars)[:MOST_BARS], ax)
    if len(bars) > MOST_BARS:
        frame(ax, f"The {MOST_BARS} nearest to their limit; {len(bars) - MOST_BARS} more under notes", bare=True)
    return ax


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
        over = bar.level == "over"
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


def draw_size_cost(found: SizeCost, ax: Axes) -> Axes:
    """What one container costs along the containers made at once, the shop's prices, and the chosen batch size.

    Where a count is not proved, the room between its bounds is crossed.

    Parameters
    ----------
    found : SizeCost
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    view, many, each = found.view, found.plan.containers, found.each
    width = ax.figure.get_figwidth()
    height = margins(ax, 0.65 / width, 1 - 2.25 / width, 0.32, 0.46) - 0.78
    known = [cost for cost in view.unit_cash if cost is not None]
    known += [ends[1] for ends in view.unit_bounds if ends]
    shop = [line.price for line in view.shop_lines]
    top = 1.08 * min(max([*known, *shop], default=1.0), 2.2 * max(shop, default=inf))
    ax.set_xlim(0.5, max(view.containers[-1], many) + 0.5)
    ax.set_ylim(0, top)
    paid = [nan if cost is None else cost for cost in view.unit_cash]
    ax.step(view.containers, paid, where="mid", color=INK, linewidth=1.6, zorder=4)
    cross_open(view, 0.5, ax)
    labels = []
    for dash, line in zip(DASHES * 4, view.shop_lines, strict=False):
        ax.axhline(line.price, color=CLAY, linewidth=1.2, linestyle=dash, zorder=2)
        labels.append((f"shop, {line.name}: {line.price:.2f}", line.price, CLAY))
    labels_apart(ax, labels, top, top * 0.16 / height)
    ax.axvline(many, color=INK, linewidth=0.9, linestyle=(0, (1, 2)), zorder=1)
    if each:
        y = min(each[1], top)
        point(ax, many, y, "o", 7, edge=INK, zorder=6)
        side, gap = ("right", " ") if many > ax.get_xlim()[1] / 2 else ("left", " ")
        above = y < 0.6 * top
        place = {"ha": side, "va": "bottom" if above else "top", "zorder": 7, "fontweight": "bold"}
        paper = {"facecolor": "white", "edgecolor": "none", "pad": 0.6, "alpha": 0.85}
        text = f"{gap}{many}: {between(each)}{gap}"
        say(ax, many, y + (0.1 if above else -0.1) * top / height, text, bbox=paper, **place)
    ax.xaxis.set_major_locator(MaxNLocator(nbins=12, integer=True))
    ax.yaxis.set_major_locator(MaxNLocator(nbins=4))
    ax.yaxis.set_major_formatter("{x:.2f}")
    apart = ", each in a batch of its own" if found.plan.recipe.film_g else ""
    title = f"{short(view.plan.recipe.title, 40)}: what one container costs [{view.currency}]"
    return frame(ax, title, f"containers made from one order{apart}")


def size_cost_words(found: SizeCost) -> str:
    """What one container costs at the chosen batch size and at both ends of the curve, and the shop's prices."""
    view = found.view
    known = [(n, cost) for n, cost in zip(view.containers, view.unit_cash, strict=True) if cost is not None]
    ends = [known[0], known[-1]] if known else []
    here = [f"{between(found.each)} {view.currency} at {counted(found.plan.containers)}"] if found.each else []
    costs = [*here, *(f"{cost:.2f} {view.currency} at {counted(n)}" for n, cost in ends)]
    shop = [f"shop, {line.name}: {line.price:.2f} {view.currency}" for line in view.shop_lines]
    cost = f"one container costs {', '.join(costs)}" if costs else "the cost is not known yet"
    return "; ".join((f"{view.plan.recipe.title}: {cost}", *shop))


LIMITS = Chart(draw_limits, limit_words, lambda bars: 0.66 + 0.33 * max(len(bars), 1))
GRAVEST = Chart(draw_gravest, limit_words, lambda bars: 0.62 + 0.3 * min(max(len(bars), 1), MOST_BARS))
SIZE_COST = Chart(draw_size_cost, size_cost_words, 1.8)
TALL_COST = Chart(draw_size_cost, size_cost_words, 3.4, 6.8)
