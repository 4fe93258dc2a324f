"""The pictures: one bar per limited substance with its wall, and the saw curve with the shop's prices. Each reads without colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.ticker import FuncFormatter, MaxNLocator

from maker_kit.workbook.shown.sheets import percent

if TYPE_CHECKING:
    from maker_kit.plan.costs import CurveView

INK, MUTED, PALE = "#22303a", "#6b7780", "#e7e3da"
LEAF, CLAY, STONE = "#3f7d5c", "#b5532f", "#b9bec2"
DASHES = ((0, ()), (0, (6, 2)), (0, (1.5, 1.5)), (0, (8, 2, 2, 2)), (0, (3, 3)), (0, (10, 3)))
MOST_OF_LIMIT = 160.0
"""Bars end here [% of the limit]; a longer one is cut and says its number."""


def limit_bars_height(bars: Sequence[Any]) -> float:
    """Height of the bar picture [inch] for so many bars."""
    return 1.25 + 0.46 * max(len(bars), 1)


def draw_limit_bars(bars: Sequence[Any], ax: Axes) -> Axes:
    """One bar per limited substance, as percent of its limit, with the limit as a wall at 100.

    Parameters
    ----------
    bars : sequence of LimitBar
        Solid up to the low end of what is in the product, hatched on to the high end where a supplier gives a range; grey and open where no limit is known.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    ax.figure.subplots_adjust(left=0.27, right=0.66, top=0.86, bottom=min(0.62 / ax.figure.get_figheight(), 0.45))
    ax.set_title("How near each substance is to its limit", loc="left", color=INK, fontsize=11)
    ax.set_xlim(0, MOST_OF_LIMIT)
    ax.set_ylim(max(len(bars), 1) - 0.4, -0.6)
    ax.axvspan(80, 100, color=PALE, zorder=0)
    ax.axvline(100, color=INK, linewidth=2.5, zorder=3)
    ax.set_xticks(
        [0, 20, 40, 60, 80, 100, 120, 140, 160],
        ["0", "20", "40", "60", "80\nnear", "100\nlimit", "120", "140", "160"],
        fontsize=9,
    )
    ax.set_xlabel("percent of the limit", fontsize=9, color=MUTED)
    ax.set_yticks(range(len(bars)), [_short(bar.substance, 30) for bar in bars], fontsize=9)
    ax.spines[["top", "right", "left"]].set_visible(False)
    ax.tick_params(axis="y", length=0)
    if not bars:
        ax.text(
            2,
            0,
            "nothing in this recipe has a limit on file; that does not mean that all is fine",
            va="center",
            fontsize=9,
        )
        ax.set_yticks([])
    for row, bar in enumerate(bars):
        _limit_bar(ax, row, bar)
    return ax


def _limit_bar(ax: Axes, row: int, bar: Any) -> None:
    beside = {"x": MOST_OF_LIMIT + 3, "y": row, "va": "center", "fontsize": 8.5, "color": INK, "clip_on": False}
    found = "amount unknown" if bar.found_high_percent is None else f"{percent(bar.found_high_percent)} %"
    if bar.found_high_percent is None and bar.limit_percent:
        ax.barh(
            row, MOST_OF_LIMIT, height=0.52, facecolor="white", edgecolor=STONE, hatch="..", linewidth=0.8, zorder=1
        )
        ax.text(s=f"{found} – at most {percent(bar.limit_percent)} % {bar.counted_as}", **beside)
        return
    if bar.unrestricted:
        ax.text(s=f"{found} – no restriction in this category", **beside)
        return
    if bar.limit_percent is None:
        ax.barh(
            row, MOST_OF_LIMIT, height=0.52, facecolor="white", edgecolor=STONE, hatch="..", linewidth=0.8, zorder=1
        )
        ax.text(s=f"{found} – no limit on file: unknown", **beside)
        return
    if bar.limit_percent == 0:
        ax.barh(row, MOST_OF_LIMIT, height=0.52, facecolor=CLAY, edgecolor=INK, zorder=2)
        ax.text(s=f"{found} – not allowed here", **beside)
        return
    low, high = (
        min(100 * (value or 0) / bar.limit_percent, MOST_OF_LIMIT)
        for value in (bar.found_low_percent, bar.found_high_percent)
    )
    over = bar.found_high_percent is not None and bar.found_high_percent > bar.limit_percent * (1 + 1e-9)
    fill = CLAY if over else LEAF
    ax.barh(row, low, height=0.52, facecolor=fill, edgecolor=INK, linewidth=0.6, zorder=2)
    if high > low:
        ax.barh(
            row,
            high - low,
            left=low,
            height=0.52,
            facecolor="white",
            edgecolor=fill,
            hatch="////",
            linewidth=0.8,
            zorder=2,
        )
    word = " – OVER" if over else ""
    ax.text(s=f"{found} of {percent(bar.limit_percent)} % {bar.counted_as}{word}", **beside)


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def curve_height(view: CurveView) -> float:
    """Height of the curve picture [inch]: room for one strip a shop price."""
    return 4.6 + 0.24 * len(view.shop_lines)


def draw_curve(view: CurveView, ax: Axes) -> Axes:
    """What one container costs against how many are made from one order: the saw, the shop's prices, and the counts that pay as strips under it.

    Parameters
    ----------
    view : CurveView
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    height, strips = ax.figure.get_figheight(), len(view.shop_lines)
    ax.figure.subplots_adjust(
        left=0.085, right=0.77, top=1 - 0.42 / height, bottom=(0.62 + 0.24 * strips + (0.2 if strips else 0)) / height
    )
    last = view.containers[-1]
    first = view.containers[0]
    half = (view.containers[1] - first) / 2 if len(view.containers) > 1 else 0.5
    cash = [(n, c) for n, c in zip(view.containers, view.unit_cash, strict=True) if c is not None]
    used = [(n, c) for n, c in zip(view.containers, view.unit_used, strict=True) if c is not None]
    shop = [line.price for line in view.shop_lines]
    top = (
        min(
            max([*(c for _, c in cash), *(bounds[1] for bounds in view.unit_bounds if bounds)] or [1.0]),
            max([2.6 * max(shop)] if shop else [0.0]) or float("inf"),
        )
        * 1.06
    )
    ax.set_xlim(first - half, last + half)
    ax.set_ylim(0, top)
    if view.keeps_containers is not None and view.keeps_containers < last:
        edge = max(view.keeps_containers, first - half)
        ax.axvspan(edge, last + half, facecolor="#f4f3f0", edgecolor="#d9d6cf", hatch="\\\\", linewidth=0, zorder=0)
        ax.text(
            last + half * 0.6,
            top * 0.985,
            "longer than it keeps",
            ha="right",
            va="top",
            fontsize=8.5,
            color=INK,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 2},
        )
    ax.add_collection(
        PolyCollection(_bands(view, half), facecolor="white", edgecolor=MUTED, hatch="xxx", linewidth=0.6, zorder=3),
        autolim=False,
    )
    if view.unit_dear:
        dear = [
            (n, c, d)
            for n, c, d in zip(view.containers, view.unit_cash, view.unit_dear, strict=True)
            if c is not None and d is not None
        ]
        ax.fill_between(
            [n for n, _, _ in dear],
            [c for _, c, _ in dear],
            [d for _, _, d in dear],
            step="mid",
            facecolor="none",
            edgecolor=INK,
            hatch="...",
            linewidth=0.5,
            zorder=3,
        )
    ax.plot(*_saw(view, half), color=INK, linewidth=1.8, zorder=4)
    ax.plot(
        view.containers,
        [float("nan") if c is None else c for c in view.unit_used],
        color=LEAF,
        linewidth=1.4,
        linestyle=(0, (2, 1.2)),
        zorder=3,
    )
    for n, c in cash:
        if c > top:
            ax.text(n + half * 1.2, top * 0.97, f"{c:.2f} at {n} ↑", fontsize=8.5, color=INK, va="top", ha="left")
            break
    by_count = dict(cash)
    for mark in view.marks:
        n = mark.count * first
        if by_count.get(n, top + 1) <= top * 0.94:
            ax.plot(
                [n],
                [by_count[n] + top * 0.035],
                marker="v",
                markersize=5,
                color=INK,
                markerfacecolor="white",
                linestyle="none",
                zorder=5,
            )
    labels = [("what you pay", cash[-1][1] if cash else 0, INK), ("what was used up", used[-1][1] if used else 0, LEAF)]
    for dash, line in zip(DASHES * 4, view.shop_lines, strict=False):
        ax.axhline(line.price, color=CLAY, linewidth=1.3, linestyle=dash, zorder=2)
        labels.append((f"{line.name}: {line.price:.2f}", line.price, CLAY))
    _labels_apart(ax, labels, top)
    if view.mark is not None:
        ax.axvline(view.mark, color=INK, linewidth=0.9, linestyle=(0, (1, 2)), zorder=1)
        right = view.mark > (view.containers[0] + last) / 2
        ax.text(
            view.mark,
            top * 0.9,
            f"looked at: {view.mark} " if right else f" looked at: {view.mark}",
            ha="right" if right else "left",
            fontsize=8.5,
            color=INK,
        )
    _strips(ax, view, half, height)
    ax.set_title(f"What one container costs [{view.currency}]", loc="left", color=INK, fontsize=11, y=1.0)
    ax.xaxis.set_major_locator(MaxNLocator(nbins=12, integer=True))
    ax.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:.2f}"))
    ax.spines[["top", "right"]].set_visible(False)
    ax.tick_params(labelsize=9)
    ax.set_xlabel("containers made from one order", fontsize=9, color=MUTED, ha="left")
    ax.xaxis.set_label_coords(0, -0.3 / (height * ax.get_position().height))
    return ax


def _saw(view: CurveView, half: float) -> tuple[list[float], list[float]]:
    """The saw as a line: level over the width of each count, and broken where a cost is not known, so that nothing is drawn across what nobody proved."""
    across: list[float] = []
    up: list[float] = []
    for n, cost in zip(view.containers, view.unit_cash, strict=True):
        across += [n - half, n + half]
        up += [float("nan")] * 2 if cost is None else [cost] * 2
    return across, up


def _bands(view: CurveView, half: float) -> list[list[tuple[float, float]]]:
    """Outlines of what lies between the lower and the upper cost, one for each run of counts that are not proved."""
    outlines: list[list[tuple[float, float]]] = []
    under: list[tuple[float, float]] = []
    over: list[tuple[float, float]] = []
    for n, bounds in zip((*view.containers, 0), (*view.unit_bounds, None), strict=True):
        if bounds is not None:
            under += [(n - half, bounds[0]), (n + half, bounds[0])]
            over += [(n - half, bounds[1]), (n + half, bounds[1])]
        elif under:
            outlines.append(under + over[::-1])
            under, over = [], []
    return outlines


def _labels_apart(ax: Axes, labels: list[tuple[str, float, str]], top: float) -> None:
    """Labels at the right edge, as near to their lines as they get without covering each other."""
    room = top * 0.055
    ranked = sorted(labels, key=lambda item: item[1])
    for (text, value, colour), y in zip(
        ranked, spread_out([min(value, top) for _, value, _ in ranked], room), strict=True
    ):
        ax.plot(
            [1.0, 1.018],
            [min(value, top), max(y, 0.0)],
            transform=ax.get_yaxis_transform(),
            color=MUTED,
            linewidth=0.6,
            clip_on=False,
        )
        ax.text(
            1.02,
            max(y, 0.0),
            _short(text, 34),
            transform=ax.get_yaxis_transform(),
            fontsize=8.5,
            color=colour,
            va="center",
            clip_on=False,
        )


def spread_out(values: Sequence[float], room: float) -> list[float]:
    """Places at least `room` apart and in the same order, as near to some rising values as least squares gets them (pooled neighbours, from 0 up)."""
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
    """Under the axis, a strip for each shop price: solid where making pays."""
    if not view.shop_lines:
        return
    box = ax.get_position()
    inches = height * box.height
    size = view.containers[0]
    for row, line in enumerate(view.shop_lines):
        y = -(0.56 + 0.24 * row) / inches
        ax.plot([0, 1], [y, y], transform=ax.transAxes, color=STONE, linewidth=1, clip_on=False)
        for start, end in line.pays:
            left, right = (
                (n * size - view.containers[0] + half) / (view.containers[-1] - view.containers[0] + 2 * half)
                for n in (start, end)
            )
            pad = half / (view.containers[-1] - view.containers[0] + 2 * half) * 0.9
            ax.plot(
                [left - pad, right + pad],
                [y, y],
                transform=ax.transAxes,
                color=INK,
                linewidth=6,
                solid_capstyle="butt",
                clip_on=False,
            )
        ax.text(
            1.015,
            y,
            _short(f"pays against {line.name}", 34),
            transform=ax.transAxes,
            va="center",
            fontsize=8.5,
            color=INK,
        )
