"""Pictures of what is shared out and what came: the base that each scent takes, a kit's things needed, listed and on the scale, and where a blend stands between its two emulsifiers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.patches import Patch

from maker_kit.workbook.charts.curve_and_limits import CLAY, INK, LEAF, MUTED, PALE, STONE

if TYPE_CHECKING:
    from maker_kit.formula.changes.received import Received, ReceivedRow
    from maker_kit.formula.changes.split import Split
    from maker_kit.formula.emulsion.blend_choice import BlendChoice

HATCHES = ("", "....", "xxxx", "----", "oooo", "++++")
MOST_OF_NEED = 200.0
"""Bars end here [% of what is needed]; a longer one is cut and ends in an arrow."""
NAME = 28


def split_height(split: Split) -> float:
    """Height of the picture of a split [inch]."""
    return 1.15 + 0.42 * (len(split.parts) + (split.have_base_g is not None))


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
    left = split.remainder_g
    rows = [
        (
            _cut(part.scent),
            part.base_g,
            f"{part.base_g:,.1f} g, {_containers(part.containers)}"
            + (" – ■ stop" if any(f.kind == "stop" for f in part.findings) else ""),
        )
        for part in split.parts
    ]
    looks = [(LEAF if k % 2 == 0 else STONE, INK, HATCHES[k % len(HATCHES)], "-") for k in range(len(rows))]
    if left is not None and left >= 0:
        rows.append(("stays over", left, f"{left:,.1f} g"))
        looks.append(("white", INK, "", "--"))
    elif left is not None:
        rows.append(("short of base", -left, f"{-left:,.1f} g – SHORT"))
        looks.append(("white", CLAY, "////", "-"))
    height = ax.figure.get_figheight()
    ax.figure.subplots_adjust(left=0.2, right=0.7, top=1 - 0.45 / height, bottom=0.55 / height)
    most = max([mass for _, mass, _ in rows] + [1e-9])
    for at, ((_, mass, words), (fill, edge, hatch, line)) in enumerate(zip(rows, looks, strict=True)):
        ax.barh(at, mass, height=0.6, facecolor=fill, edgecolor=edge, hatch=hatch, linestyle=line, linewidth=0.9)
        ax.text(1.02, at, words, transform=ax.get_yaxis_transform(), va="center", fontsize=9, color=INK, clip_on=False)
    ax.set_yticks(range(len(rows)), [name for name, _, _ in rows], fontsize=9)
    ax.set_ylim(len(rows) - 0.4, -0.6)
    ax.set_xlim(0, most * 1.04)
    ax.set_xlabel("base [g]", fontsize=9, color=MUTED)
    ax.set_title(f"The base each scent takes: {split.base_g:,.1f} g together", loc="left", fontsize=11, color=INK)
    _bare(ax)
    return ax


def words_of_split(split: Split) -> str:
    """The picture's numbers in words."""
    parts = "; ".join(f"{part.scent}: {part.base_g:,.1f} g" for part in split.parts)
    left = split.remainder_g
    return f"{parts}; together {split.base_g:,.1f} g" + (
        "" if left is None else f"; {left:,.1f} g stay over" if left >= 0 else f"; {-left:,.1f} g short"
    )


def received_height(kit: Received) -> float:
    """Height of the picture of a kit that came [inch]."""
    return 1.5 + 0.52 * max(len(_drawn(kit)), 1)


def draw_received(kit: Received, ax: Axes) -> Axes:
    """Three bars a thing, in percent of what is needed: needed, on the kit list, on the scale; a thing that was not weighed has an empty place and says so.

    Parameters
    ----------
    kit : Received
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    rows = _drawn(kit)
    height = ax.figure.get_figheight()
    ax.figure.subplots_adjust(left=0.2, right=0.66, top=1 - 0.7 / height, bottom=0.55 / height)
    for at, row in enumerate(rows):
        short = row.scale_to_recipe == "short"
        _bar(ax, at - 0.27, 100.0, "white", INK, "")
        _bar(ax, at, _share(row, row.listed), STONE, INK, "....")
        _bar(
            ax,
            at + 0.27,
            _share(row, row.found),
            "white" if short else LEAF,
            CLAY if short else INK,
            "////" if short else "",
        )
        ax.text(
            1.02,
            at,
            _figures(row),
            transform=ax.get_yaxis_transform(),
            va="center",
            fontsize=8.5,
            color=INK,
            clip_on=False,
        )
    if not rows:
        ax.text(0.02, 0.5, "nothing of this kit is in the recipe", transform=ax.transAxes, fontsize=9, color=INK)
    ax.text(
        1.02,
        1.0,
        "needed / listed / on the scale",
        transform=ax.transAxes,
        va="bottom",
        fontsize=8.5,
        color=MUTED,
        clip_on=False,
    )
    ax.axvline(100, color=INK, linewidth=2.5)
    ax.set_yticks(range(len(rows)), [_cut(row.item) for row in rows], fontsize=9)
    ax.set_ylim(max(len(rows), 1) - 0.4, -0.6)
    ax.set_xlim(0, MOST_OF_NEED * 1.04)
    ax.set_xlabel(f"percent of what {_containers(kit.makes)} need; the wall stands at 100", fontsize=9, color=MUTED)
    ax.set_title("Needed, listed, on the scale", loc="left", fontsize=11, color=INK, pad=24)
    keys = [
        Patch(facecolor="white", edgecolor=INK, label="needed"),
        Patch(facecolor=STONE, edgecolor=INK, hatch="....", label="kit list"),
        Patch(facecolor=LEAF, edgecolor=INK, label="scale"),
        Patch(facecolor="white", edgecolor=CLAY, hatch="////", label="scale, short"),
    ]
    ax.legend(
        handles=keys,
        loc="lower left",
        bbox_to_anchor=(0, 1),
        ncols=4,
        fontsize=8.5,
        frameon=False,
        borderaxespad=0.2,
        handlelength=1.8,
        columnspacing=1.2,
    )
    _bare(ax)
    return ax


def words_of_received(kit: Received) -> str:
    """The picture's numbers in words."""
    return "; ".join(f"{row.item}: {_figures(row)}" for row in _drawn(kit))


def draw_blend(choice: BlendChoice, ax: Axes) -> Axes:
    """A line from one emulsifier's HLB to the other's, with the HLB that is aimed at between them, and the range that other sources of the oil phase give.

    Parameters
    ----------
    choice : BlendChoice
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    ax.figure.subplots_adjust(left=0.05, right=0.95, top=0.82, bottom=0.26)
    first, second = (values[0] for values in choice.on_file)
    low, high = sorted((first, second), key=lambda v: v.hlb)
    oils = choice.oils
    spread = (
        [oils.lowest, oils.highest] if not oils.unknown and oils.lowest is not None and oils.highest is not None else []
    )
    ends = [low.hlb, high.hlb, *spread, *([] if choice.aimed_at is None else [choice.aimed_at])]
    pad = max((max(ends) - min(ends)) * 0.08, 1.0)
    ax.set_xlim(min(ends) - pad, max(ends) + pad)
    ax.set_ylim(-1, 1)
    if spread and spread[1] > spread[0]:
        ax.axvspan(spread[0], spread[1], color=PALE, zorder=0)
        ax.text(
            spread[1],
            -0.9,
            f"sources of the oil phase: {spread[0]:.1f} to {spread[1]:.1f}",
            ha="right",
            fontsize=8.5,
            color=CLAY,
        )
    ax.plot([low.hlb, high.hlb], [0, 0], color=INK, linewidth=2)
    for value, side, nudge in ((low, "left", -8), (high, "right", 8)):
        ax.plot([value.hlb], [0], marker="o" if value is low else "s", markersize=11, color=INK, linestyle="none")
        ax.annotate(
            f"{value.name}, HLB {value.hlb:g}{_share_words(choice, value is first)}",
            (value.hlb, 0),
            (nudge, -22 if value is low else -36),
            textcoords="offset points",
            ha=side,
            fontsize=9,
            color=INK,
        )
    if choice.aimed_at is None:
        ax.text(
            0.5, 0.85, "what HLB to aim at is unknown", transform=ax.transAxes, ha="center", fontsize=9.5, color=CLAY
        )
    else:
        ax.plot(
            [choice.aimed_at],
            [0],
            marker="D",
            markersize=12,
            markerfacecolor="white",
            markeredgecolor=CLAY,
            markeredgewidth=2,
            linestyle="none",
            zorder=5,
        )
        by = "your aim" if choice.own_aim else "what the oil phase asks for"
        right = choice.aimed_at > (min(ends) + max(ends)) / 2
        ax.annotate(
            f"{by}: HLB {choice.aimed_at:.1f}",
            (choice.aimed_at, 0),
            (8 if right else -8, 16),
            textcoords="offset points",
            ha="right" if right else "left",
            fontsize=9.5,
            color=INK,
        )
    ax.set_yticks([])
    ax.tick_params(axis="x", labelsize=9)
    ax.set_xlabel("HLB, from loves oil (low) to loves water (high)", fontsize=9, color=MUTED)
    ax.set_title("Where the blend stands between the two", loc="left", fontsize=11, color=INK)
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax


def words_of_blend(choice: BlendChoice) -> str:
    """The picture's numbers in words."""
    first, second = (values[0] for values in choice.on_file)
    aim = "what HLB to aim at is unknown" if choice.aimed_at is None else f"aimed at HLB {choice.aimed_at:.1f}"
    return f"{aim}; {first.name}, HLB {first.hlb:g}{_share_words(choice, True)}; {second.name}, HLB {second.hlb:g}{_share_words(choice, False)}"


def _share_words(choice: BlendChoice, first: bool) -> str:
    if choice.blend is None:
        return ""
    return f": {choice.blend.first_percent if first else choice.blend.second_percent:.1f} % of the blend"


def _drawn(kit: Received) -> list[ReceivedRow]:
    """What came or should have, and is needed; the others are in the table."""
    return [row for row in kit.rows if row.need and (row.listed is not None or row.found is not None)]


def _share(row: ReceivedRow, amount: float | None) -> float | None:
    return None if amount is None or not row.need else 100 * amount / row.need


def _bar(ax: Axes, at: float, share: float | None, fill: str, edge: str, hatch: str) -> None:
    if share is None:
        return
    ax.barh(at, min(share, MOST_OF_NEED), height=0.24, facecolor=fill, edgecolor=edge, hatch=hatch, linewidth=0.8)
    if share > MOST_OF_NEED:
        ax.plot([MOST_OF_NEED * 1.015], [at], marker=">", markersize=5, color=INK, linestyle="none")


def _figures(row: ReceivedRow) -> str:
    """Needed, listed and on the scale, with what is short."""

    def said(amount: float | None) -> str:
        return "?" if amount is None else f"{amount:.0f}" if row.unit == "pieces" else f"{amount:.2f}"

    said_short = (
        " – SHORT"
        if row.scale_to_recipe == "short"
        else " – less than the pack says"
        if row.scale_to_pack in {"short", "far short"}
        else ""
    )
    found = said(row.found) if row.found is not None else "not weighed" if row.unit == "g" else "not counted"
    return (
        f"{said(row.need)} / {said(row.listed)} / {found}"
        + ("" if row.found is None and row.unit == "g" else f" {row.unit}")
        + said_short
    )


def _containers(count: int) -> str:
    return f"{count} container" + ("" if count == 1 else "s")


def _cut(name: str) -> str:
    return name if len(name) <= NAME else name[: NAME - 1] + "…"


def _bare(ax: Axes) -> None:
    ax.tick_params(axis="y", length=0)
    ax.tick_params(axis="x", labelsize=9)
    ax.spines[["top", "right", "left"]].set_visible(False)
