"""What a count costs: the curve beside the shop's prices, one container part by part, and what moves the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from math import inf, nan

from matplotlib.axes import Axes
from matplotlib.collections import PathCollection
from matplotlib.path import Path
from matplotlib.ticker import MaxNLocator

from maker_kit.formula.batch import counted
from maker_kit.plan.cost_breakdown import CostBreakdown
from maker_kit.plan.costs import CurveView, ShopLine
from maker_kit.plan.sensitivity import Sensitivity
from maker_kit.workbook.amounts import short, spans
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    CLAY,
    DASHES,
    INK,
    LEAF,
    MUTED,
    STILL,
    STONE,
    area,
    frame,
    margins,
    point,
    say,
    say_beside,
    say_within,
    strokes,
)

Costed = tuple[CostBreakdown, Sequence[ShopLine], str, str]
"""The parts, the shop's prices, the currency, and the recipe's title."""
Moved = tuple[Sensitivity, str, str]
"""What moves the verdict, the currency, and the recipe's title."""
Runs = tuple[tuple[int, int], ...]
"""Runs of counts, from–to."""
STRIP_IN = 0.24
"""Height of the strip of a shop price [inch]."""
LABEL_IN = 0.165
"""Room of one label beside the curve [inch]."""
TWO_DECIMALS = "{x:.2f}"


def draw_curve(view: CurveView, ax: Axes) -> Axes:
    """What one container costs against how many are made from one order, the shop's prices, and the counts that pay.

    Where a count is not proved, the room between its bounds is crossed; the shop's prices have a dashed line each, and
    under the axis a strip that is solid where making pays, and broken, with a question mark, where that is not known
    yet.

    Parameters
    ----------
    view : CurveView
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    strips = STRIP_IN * len(view.shop_lines)
    height = margins(ax, 0.06, 0.76, 0.3, 0.6 + strips)
    first, last = view.containers[0], view.containers[-1]
    half = (view.containers[1] - first) / 2 if len(view.containers) > 1 else 0.5
    cash = {n: c for n, c in zip(view.containers, view.unit_cash, strict=True) if c is not None}
    used = [c for c in view.unit_used if c is not None]
    highest = max([*cash.values(), *(bounds[1] for bounds in view.unit_bounds if bounds)], default=1.0)
    top = 1.06 * min(highest, 2.6 * max((line.price for line in view.shop_lines), default=inf) or inf)
    ax.set_xlim(first - half, last + half)
    ax.set_ylim(0, top)
    _keeping(view, half, ax)
    _costs(view, half, ax)
    over = next((n for n, c in cash.items() if c > top), None)
    if over is not None:
        clear = next((n for n, c in cash.items() if n > over and c <= top * 0.86), over)
        say(ax, clear + half * 0.2, top * 0.98, f"{cash[over]:.2f} at {over} ↑", va="top")
    for n in (mark.count * first for mark in view.marks):
        if cash.get(n, inf) <= top * 0.94:
            point(ax, n, cash[n] + top * 0.035, "v", 5, edge=INK, zorder=5)
    own = " and own time" if view.own_batch_micros else ""
    first_asked = ", cupboard first" if view.without else ""
    labels = [(f"what you pay{own}{first_asked}", [*cash.values()][-1] if cash else 0, INK)]
    labels.append((f"what was used up{own}", used[-1] if used else 0, LEAF))
    for dash, line in zip(DASHES * 4, view.shop_lines, strict=False):
        ax.axhline(line.price, color=CLAY, linewidth=1.3, linestyle=dash, zorder=2)
        labels.append((f"{line.name}: {line.price:.2f}", line.price, CLAY))
    labels_apart(ax, labels, top, top * LABEL_IN / (ax.figure.get_figheight() * ax.get_position().height))
    if view.mark is not None:
        ax.axvline(view.mark, color=INK, linewidth=0.9, linestyle=(0, (1, 2)), zorder=1)
        side = "right" if view.mark > (first + last) / 2 else "left"
        say(ax, view.mark, top * 0.78, f" looked at: {view.mark} ", ha=side)
    _strips(ax, view, half, height)
    ax.xaxis.set_major_locator(MaxNLocator(nbins=12, integer=True))
    ax.yaxis.set_major_formatter(TWO_DECIMALS)
    title = f"{short(view.plan.recipe.title, 60)}: what one container costs [{view.currency}]"
    frame(ax, title, f"containers made from one order{_in_batches(view)}", y=1.0)
    ax.xaxis.label.set_horizontalalignment("left")
    ax.xaxis.set_label_coords(0, -0.3 / (height * ax.get_position().height))
    return ax


def _in_batches(view: CurveView) -> str:
    """How many containers a batch holds, in words, where it is more than one."""
    return f", in batches of {view.plan.batch_size}" if view.plan.batch_size > 1 else ""


def runs_in_containers(view: CurveView, line: ShopLine) -> tuple[Runs, Runs]:
    """The counts that pay against a shop price [containers], from–to in steps of a batch; and those of which that is
    not known yet.
    """
    size = view.plan.batch_size
    return tuple(tuple((a * size, b * size) for a, b in runs) for runs in (line.pays, line.not_known))


def _keeping(view: CurveView, half: float, ax: Axes) -> None:
    """The counts that are not used up while they keep."""
    last, keeps = view.containers[-1], view.keeps_containers
    if keeps is None or keeps >= last:
        return
    look = area("#f4f3f0", "#d9d6cf", "\\\\", 0)
    ax.axvspan(max(keeps, view.containers[0] - half), last + half, zorder=0, **look)
    paper = {"facecolor": "white", "edgecolor": "none", "pad": 2}
    say(ax, last + half * 0.6, ax.get_ylim()[1] * 0.985, "longer than it keeps", ha="right", va="top", bbox=paper)


def _costs(view: CurveView, half: float, ax: Axes) -> None:
    """The saw, what was used up, and the dear end of deliveries; no line is drawn across what nobody proved."""
    across = [edge for n in view.containers for edge in (n - half, n + half)]
    paid = [nan if cost is None else cost for cost in view.unit_cash]
    used = [nan if cost is None else cost for cost in view.unit_used]
    cross_open(view, half, ax)
    dear = [row for row in zip(view.containers, view.unit_cash, view.unit_dear, strict=False) if None not in row]
    if dear:
        ax.fill_between(*zip(*dear, strict=True), step="mid", zorder=3, **area("none", INK, "...", 0.5))
    ax.plot(across, [cost for cost in paid for _ in "ab"], color=INK, linewidth=1.8, zorder=4)
    ax.plot(view.containers, used, color=LEAF, linewidth=1.4, linestyle=(0, (2, 1.2)), zorder=3)


def cross_open(view: CurveView, half: float, ax: Axes) -> None:
    """Cross what lies between the lower and the upper cost, in one outline for each run of counts that are not proved.

    All outlines are one path: a pattern is drawn afresh for every path that it fills.
    """
    outlines = []
    for known, run in groupby(
        zip(view.containers, view.unit_bounds, strict=True), key=lambda point: point[1] is not None
    ):
        if known:
            edges = [(n + side, *bounds) for n, bounds in run for side in (-half, half)]
            around = [(x, low) for x, low, _ in edges] + [(x, high) for x, _, high in reversed(edges)]
            outlines.append(Path([*around, around[0]], closed=True))
    if outlines:
        crossed = PathCollection([Path.make_compound_path(*outlines)], zorder=3, **area("white", MUTED, "xxx", 0.5))
        ax.add_collection(crossed, autolim=False)


def labels_apart(ax: Axes, labels: Sequence[tuple[str, float, str]], top: float, room: float) -> None:
    """Labels at the right edge (text, value, ink), as near to their lines as they get without covering each other.

    A line leads from each value, cut at `top`, to its label; labels stand at least `room` apart.
    """
    ranked = [(text, min(value, top), ink) for text, value, ink in sorted(labels, key=lambda item: item[1])]
    heights = [min(max(y, 0.0), top) for y in spread_out([value for _, value, _ in ranked], room)]
    leads = [[(1.0, value), (1.018, y)] for (_, value, _), y in zip(ranked, heights, strict=True)]
    strokes(ax, leads, ax.get_yaxis_transform(), color=MUTED, linewidth=0.6)
    for (text, _, ink), y in zip(ranked, heights, strict=True):
        say_beside(ax, y, short(text, 34), color=ink)


def spread_out(values: Sequence[float], room: float) -> list[float]:
    """Places at least `room` apart and in the same order, as near to some rising values as least squares gets them.

    By pooled neighbours, from 0 up.
    """
    pools: list[list[float]] = []  # sum and number of the values that share one shift
    for rank, value in enumerate(values):
        pools.append([value - rank * room, 1])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] >= pools[-1][0] / pools[-1][1]:
            total, count = pools.pop()
            pools[-1][0] += total
            pools[-1][1] += count
    shifts = [max(total / count, 0.0) for total, count in pools for _ in range(int(count))]
    return [shift + rank * room for rank, shift in enumerate(shifts)]


def _strips(ax: Axes, view: CurveView, half: float, height: float) -> None:
    """Under the axis, a strip for each shop price: solid where making pays, broken where that is not known yet."""
    first = view.containers[0]
    wide = view.containers[-1] - first + 2 * half
    pad = 0.9 * half / wide
    paper = {"facecolor": "white", "edgecolor": "none", "pad": 0.5}
    lines, solid, broken = [], [], []
    for row, line in enumerate(view.shop_lines):
        y = -(0.52 + STRIP_IN * row) / (height * ax.get_position().height)
        lines.append([(0, y), (1, y)])
        for runs, found in ((line.pays, solid), (line.not_known, broken)):
            for run in runs:
                left, right = ((n * first - first + half) / wide for n in run)
                found.append([(left - pad, y), (right + pad, y)])
                if found is broken:
                    say_within(ax, (left + right) / 2, y, "?", ha="center", va="center", bbox=paper)
        say_within(ax, 1.015, y, short(f"pays against {line.name}", 34), va="center", gid=STILL)
    strokes(ax, lines, ax.transAxes, color=STONE, linewidth=1)
    strokes(ax, solid, ax.transAxes, color=INK, linewidth=6)
    strokes(ax, broken, ax.transAxes, color=MUTED, linewidth=5, linestyle=(0, (0.4, 0.6)))


def curve_words(view: CurveView) -> str:
    """What one container costs at the count looked at and at the curve's ends, and the counts that pay, in words that
    begin with the recipe.
    """
    costs = dict(zip(view.containers, view.unit_cash, strict=True))
    known = [n for n, cost in costs.items() if cost is not None]
    if not known:
        return f"{view.plan.recipe.title}: no count can be bought"
    looked_at = [view.mark] if view.mark in costs else []
    told = ", ".join(
        f"not known at {counted(n)}" if costs[n] is None else f"{costs[n]:.2f} {view.currency} at {counted(n)}"
        for n in dict.fromkeys((*looked_at, known[0], known[-1]))
    )
    pays = [
        f"pays against {line.name} ({line.price:.2f} {view.currency}): "
        + (", ".join(filter(None, (spans(pays), unknown and f"not known yet at {spans(unknown)}"))) or "none")
        for line in view.shop_lines
        for pays, unknown in [runs_in_containers(view, line)]
    ]
    own = ", own time included," if view.own_batch_micros else ""
    return "; ".join((f"{view.plan.recipe.title}: one container{own} costs {told}{_in_batches(view)}", *pays))


CURVE = Chart(draw_curve, curve_words, lambda view: 3.2 + STRIP_IN * len(view.shop_lines))
