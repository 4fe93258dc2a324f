"""The pictures of a cost: one container stacked beside the shop's prices, and what moves the verdict. Each reads without colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.ticker import FormatStrFormatter

from maker_kit.workbook.charts.curve_and_limits import CLAY, INK, LEAF, MUTED, STONE

if TYPE_CHECKING:
    from maker_kit.plan.cost_breakdown import CostBreakdown
    from maker_kit.plan.costs import ShopLine
    from maker_kit.plan.sensitivity import Sensitivity, SensitivityBar

LOOKS = (("#3f7d5c", ""), ("#d9e5dc", "///"), ("#8fa8b3", ""), ("#e7e3da", "..."), ("#c98a6d", "xx"), ("#f1e6c8", "--"))


def cost_breakdown_height(shown: tuple[CostBreakdown, Sequence[ShopLine], str]) -> float:
    """Height of the stacked picture [inch]: a bar for what is made and one for each shop price, and the key."""
    return 1.75 + 0.42 * len(shown[1])


def draw_cost_breakdown(shown: tuple[CostBreakdown, Sequence[ShopLine], str], ax: Axes) -> Axes:
    """The cost of one container, stacked, above a bar for each shop price.

    Parameters
    ----------
    shown : tuple of (CostBreakdown, sequence of ShopLine, str)
        The parts, the shop's prices, and the currency.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    parts, lines, currency = shown
    height = ax.figure.get_figheight()
    ax.figure.subplots_adjust(left=0.2, right=0.9, top=1 - 0.35 / height, bottom=0.95 / height)
    left = 0.0
    for (name, amount), (colour, hatch) in zip(parts.parts, LOOKS, strict=False):
        each = float(amount) / 1e6
        if each > 0:
            ax.barh(
                0,
                each,
                left=left,
                height=0.6,
                facecolor=colour,
                edgecolor=INK,
                linewidth=0.7,
                hatch=hatch,
                label=f"{name} {each:.2f}",
            )
            left += each
    ax.text(left, 0, f" {left:.2f}", va="center", fontsize=9, color=INK)
    for row, line in enumerate(lines, start=1):
        ax.barh(row, line.price, height=0.5, facecolor="white", edgecolor=CLAY, linewidth=1.2)
        ax.text(line.price, row, f" {line.price:.2f}", va="center", fontsize=9, color=INK)
    ax.set_yticks(range(len(lines) + 1), ["made", *(line.name for line in lines)], fontsize=9)
    ax.set_ylim(len(lines) + 0.5, -0.5)
    ax.set_xlim(0, 1.12 * max([left, *(line.price for line in lines)], default=1.0))
    ax.set_title(
        f"One container, part by part, beside the shop's prices [{currency}]", loc="left", fontsize=11, color=INK
    )
    ax.spines[["top", "right"]].set_visible(False)
    ax.xaxis.set_major_formatter(FormatStrFormatter("%.2f"))
    ax.tick_params(labelsize=9)
    ax.figure.legends.clear()
    ax.figure.legend(
        *ax.get_legend_handles_labels(),
        loc="lower left",
        bbox_to_anchor=(0.02, 0.0),
        ncols=3,
        fontsize=8.5,
        frameon=False,
        handlelength=1.6,
        columnspacing=1.2,
    )
    return ax


def sensitivity_height(shown: tuple[Sensitivity, str]) -> float:
    """Height of the picture of what moves the verdict [inch]."""
    return 1.1 + 0.32 * len(shown[0].bars)


def draw_sensitivity(shown: tuple[Sensitivity, str], ax: Axes) -> Axes:
    """One bar an input: what one container costs with that input at its low and its high end, the longest on top.

    Parameters
    ----------
    shown : tuple of (Sensitivity, str)
        What moves, and the currency.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    moves, currency = shown
    height = ax.figure.get_figheight()
    ax.figure.subplots_adjust(left=0.33, right=0.74, top=1 - 0.4 / height, bottom=0.5 / height)
    middle = float(moves.each_micros) / 1e6 if moves.each_micros is not None else 0.0
    values = [_unit(end) for bar in moves.bars for end in (bar.low, bar.high)]
    known = [v for v in values if v is not None] or [middle]
    pad = max(max(known) - min(known), 0.01) * 0.12
    ax.set_xlim(min([*known, middle]) - pad, max([*known, middle]) + pad)
    ax.axvline(middle, color=INK, linewidth=1.2)
    for row, bar in enumerate(moves.bars):
        low, high = _unit(bar.low), _unit(bar.high)
        for value, look in (
            (low, {"facecolor": "white", "edgecolor": INK, "hatch": "///"}),
            (high, {"facecolor": LEAF, "edgecolor": INK}),
        ):
            if value is not None and value != middle:
                ax.barh(row, value - middle, left=middle, height=0.55, linewidth=0.7, **look)
        ax.text(
            1.02,
            row,
            _words(bar),
            transform=ax.get_yaxis_transform(),
            va="center",
            fontsize=8.5,
            color=INK,
            clip_on=False,
        )
    ax.set_yticks(
        range(len(moves.bars)),
        [bar.name if len(bar.name) <= 38 else bar.name[:37] + "…" for bar in moves.bars],
        fontsize=8.5,
    )
    ax.set_ylim(len(moves.bars) - 0.4, -0.6)
    ax.tick_params(axis="y", length=0)
    ax.xaxis.set_major_formatter(FormatStrFormatter("%.2f"))
    ax.grid(axis="x", color=STONE, linewidth=0.4)
    ax.set_axisbelow(True)
    ax.spines[["top", "right", "left"]].set_visible(False)
    ax.set_title(
        f"One container [{currency}] at the low end (striped) and the high end (solid) of each input",
        loc="left",
        fontsize=10.5,
        color=INK,
        x=-0.75,
    )
    ax.text(
        1.02,
        -0.75,
        "pays for good from",
        transform=ax.get_yaxis_transform(),
        va="center",
        fontsize=8.5,
        color=MUTED,
        clip_on=False,
    )
    return ax


def _unit(end: object) -> float | None:
    each = end.each_micros  # type: ignore[attr-defined]
    return None if each is None else float(each) / 1e6


def _words(bar: SensitivityBar) -> str:
    low, high = ("never" if end.first is None else str(end.first) for end in (bar.low, bar.high))
    return low if low == high else f"{low} … {high}"
