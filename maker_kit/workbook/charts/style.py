"""What all pictures share: inks, dashes, hatches, and how a picture is framed. Each reads without colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.ticker import NullFormatter, NullLocator
from matplotlib.transforms import Transform

from maker_kit.workbook.amounts import short

INK, MUTED, PALE = "#22303a", "#6b7780", "#e7e3da"
LEAF, CLAY, STONE = "#3f7d5c", "#b5532f", "#b9bec2"
DASHES = ((0, ()), (0, (6, 2)), (0, (1.5, 1.5)), (0, (8, 2, 2, 2)), (0, (3, 3)), (0, (10, 3)))


def area(face: str, edge: str, hatch: str = "", line: float = 0.8) -> dict[str, Any]:
    """How a bar or an area is filled, edged and hatched, and the width of its lines [pt]."""
    return {"facecolor": face, "edgecolor": edge, "hatch": hatch, "linewidth": line}


SHORT = area("white", CLAY, "////")
"""How a bar looks that is not enough."""
ENOUGH = area(LEAF, INK)


def margins(ax: Axes, left: float, right: float, above_in: float, below_in: float) -> float:
    """Place the axes in their figure; gives the figure's height [inch].

    Left and right are shares of its width, the room above and below is in inches.
    """
    height = ax.figure.get_figheight()
    ax.figure.subplots_adjust(left=left, right=right, top=1 - above_in / height, bottom=below_in / height)
    return height


def frame(ax: Axes, title: str, across: str = "", up: str = "", *, bare: bool = False, **look: Any) -> Axes:
    """Title, names of the axes and spines; a bare picture keeps only the lower one."""
    ax.set_title(title, loc="left", **{"fontsize": 11, "color": INK, **look})
    ax.set_xlabel(across, fontsize=9, color=MUTED)
    ax.set_ylabel(up, fontsize=9, color=MUTED)
    ax.tick_params(labelsize=9)
    ax.spines[["top", "right", "left"] if bare else ["top", "right"]].set_visible(False)
    return ax


def name_rows(ax: Axes, names: Sequence[str], most: int = 30) -> None:
    """Names of the bars, the first on top."""
    ax.set_yticks(range(len(names)), [short(name, most) for name in names])
    ax.set_ylim(max(len(names), 1) - 0.4, -0.6)
    ax.tick_params(axis="y", length=0)


def list_rows(ax: Axes, names: Sequence[str], total: int, ticks: Sequence[float], left: float) -> None:
    """Rows of a list of names on an axis of percent, with the 1 % line; at `left` how many more stand in the table."""
    ax.set_xticks(ticks, [f"{t:g}" for t in ticks])
    ax.xaxis.set_minor_locator(NullLocator())
    ax.xaxis.set_minor_formatter(NullFormatter())
    ax.axvline(1, color=CLAY, linewidth=1.2, linestyle=(0, (4, 2)), zorder=0)
    name_rows(ax, names, 34)
    if total > len(names):
        say(ax, left, len(names) - 0.5, f"and {total - len(names)} more, in the table", color=MUTED)


STILL = "still"
"""Marks words that stand outside the axes and mostly stay as they are: a kept picture keeps them on its paper."""


def say(ax: Axes, x: float, y: float, text: str, **look: Any) -> None:
    """Words in the picture, at a place in the units of its axes."""
    ax.text(x, y, text, **{"fontsize": 8.5, "color": INK, **look})


def say_within(ax: Axes, x: float, y: float, text: str, **look: Any) -> None:
    """Words at shares of the axes' width and height; also outside them."""
    say(ax, x, y, text, transform=ax.transAxes, clip_on=False, **look)


def say_beside(ax: Axes, y: float, text: str, **look: Any) -> None:
    """Words to the right of the axes, at the height of a bar or a line."""
    say(ax, 1.02, y, text, transform=ax.get_yaxis_transform(), va="center", clip_on=False, **look)


def strokes(ax: Axes, ends: Sequence[Sequence[tuple[float, float]]], transform: Transform, **look: Any) -> None:
    """Straight lines of one look, each from end to end, as one drawing; they move no limit and may leave the axes."""
    if ends:
        drawn = LineCollection(ends, transform=transform, clip_on=False, **{"capstyle": "butt", **look})
        ax.add_collection(drawn, autolim=False)


def point(ax: Axes, x: float, y: float, marker: str, size: float, *, edge: str = "", **look: Any) -> None:
    """One mark; open where its edge is named."""
    opened = {"markerfacecolor": "white", "markeredgecolor": edge} if edge else {}
    ax.plot([x], [y], marker=marker, markersize=size, linestyle="none", **{"color": INK, **opened, **look})
