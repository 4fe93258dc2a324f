"""The pictures of a recipe before the bench: how far each ingredient reaches, and the preservatives awake along the pH. Each reads without colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matplotlib.axes import Axes

from maker_kit.workbook.charts.curve_and_limits import CLAY, DASHES, INK, LEAF, MUTED, PALE, STONE

if TYPE_CHECKING:
    from maker_kit.formula.changes.in_hand import InHand
    from maker_kit.formula.preservation.ph_strip import PhStrip

INKS = (INK, LEAF, CLAY, MUTED)
STRIP = (3, 9)
"""Where the strip of the pH begins and ends."""


def reach_height(shown: tuple[InHand, int]) -> float:
    """Height of the picture of what is there [inch]."""
    return 1.1 + 0.32 * len([row for row in shown[0].rows if row.fills is not None])


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
    there, wanted = shown
    rows = [row for row in there.rows if row.fills is not None]
    height = ax.figure.get_figheight()
    ax.figure.subplots_adjust(left=0.24, right=0.72, top=1 - 0.4 / height, bottom=0.55 / height)
    most = max([wanted * 1.6, *(min(row.unrounded, wanted * 3) for row in rows)])
    for at, row in enumerate(rows):
        short = row.unrounded < wanted
        ax.barh(
            at,
            min(row.unrounded, most),
            height=0.55,
            facecolor="white" if short else LEAF,
            edgecolor=CLAY if short else INK,
            hatch="////" if short else "",
            linewidth=0.8,
        )
        ax.text(
            1.02,
            at,
            f"{row.fills} full ({row.unrounded:.2f})" + (" – SHORT" if short else ""),
            transform=ax.get_yaxis_transform(),
            va="center",
            fontsize=8.5,
            color=INK,
            clip_on=False,
        )
    ax.axvline(wanted, color=INK, linewidth=2.5)
    ax.set_yticks(range(len(rows)), [row.item for row in rows], fontsize=9)
    ax.set_ylim(len(rows) - 0.4, -0.6)
    ax.set_xlim(0, most * 1.02)
    ax.set_xlabel(f"containers; the wall stands at the {wanted} that are wanted", fontsize=9, color=MUTED)
    ax.set_title("How far each thing reaches", loc="left", fontsize=11, color=INK)
    ax.tick_params(axis="y", length=0)
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax


def draw_ph_strip(strip: PhStrip, ax: Axes) -> Axes:
    """Each acid's awake share from pH 3 to 9, with the product's band and the reading, as far as its tool may be off; one beyond the strip stands at its edge, in words.

    Parameters
    ----------
    strip : PhStrip
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    ax.figure.subplots_adjust(left=0.09, right=0.74, top=0.9, bottom=0.15)
    by_acid: dict[str, list[tuple[float, float]]] = {}
    for row in strip.rows:
        by_acid.setdefault(row.acid, []).append((row.ph, row.share_percent))
    if strip.band_low is not None and strip.band_high is not None:
        ax.axvspan(strip.band_low, strip.band_high, color=PALE, zorder=0)
        ax.text(
            strip.band_low,
            104,
            f"wanted {strip.band_low:g} to {strip.band_high:g} ",
            ha="right",
            fontsize=8.5,
            color=MUTED,
        )
    for (acid, points), colour, dash in zip(by_acid.items(), INKS * 3, DASHES * 3, strict=False):
        ax.plot([x for x, _ in points], [y for _, y in points], color=colour, linestyle=dash, linewidth=1.7, label=acid)
    _reading(strip, ax)
    if not by_acid:
        ax.text(
            0.02,
            0.5,
            "no acid preservative with a known pKa in this recipe",
            transform=ax.transAxes,
            fontsize=9,
            color=INK,
        )
    else:
        ax.legend(loc="center left", bbox_to_anchor=(1.01, 0.5), fontsize=8.5, frameon=False, handlelength=3)
    ax.set_xlim(*STRIP)
    ax.set_ylim(0, 110)
    ax.set_xlabel("pH", fontsize=9, color=MUTED)
    ax.set_ylabel("awake share of the acid [%]", fontsize=9, color=MUTED)
    ax.set_title("Which share of each preservative is awake", loc="left", fontsize=11, color=INK)
    ax.grid(color=STONE, linewidth=0.3)
    ax.tick_params(labelsize=9)
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def _reading(strip: PhStrip, ax: Axes) -> None:
    """The reading with its shares awake and how far it may be off, or that there is none, or that it lies beyond the strip."""
    low, high = STRIP
    if strip.ph_read is None:
        ax.text(high - 0.08, 92, "no pH was read" if strip.rows else "", ha="right", fontsize=9, color=INK)
        return
    if strip.read_low is not None and strip.read_high is not None and strip.read_low < high and strip.read_high > low:
        ax.axvspan(
            max(strip.read_low, low),
            min(strip.read_high, high),
            facecolor="none",
            edgecolor=MUTED,
            hatch="///",
            linewidth=0.6,
            zorder=1,
        )
    off = (
        ""
        if strip.read_low is None or strip.read_high is None
        else f", may be {strip.read_low:g} to {strip.read_high:g}"
    )
    if not low <= strip.ph_read <= high:
        left = strip.ph_read < low
        ax.text(
            low + 0.08 if left else high - 0.08,
            92,
            f"{'← ' if left else ''}read: {strip.ph_read:g}{off}, beyond this strip{'' if left else ' →'}",
            ha="left" if left else "right",
            fontsize=9,
            color=INK,
        )
        return
    ax.axvline(strip.ph_read, color=INK, linewidth=2)
    right = strip.ph_read > (low + high) / 2
    beside = (strip.read_low if right else strip.read_high) or strip.ph_read
    ax.text(
        beside,
        92,
        f"read: {strip.ph_read:g}{off} " if right else f" read: {strip.ph_read:g}{off}",
        ha="right" if right else "left",
        fontsize=9,
        color=INK,
    )
    for row in strip.at_reading():
        ax.plot(
            [row.ph],
            [row.share_percent],
            marker="D",
            markersize=7,
            markerfacecolor="white",
            markeredgecolor=INK,
            linestyle="none",
            zorder=5,
        )


def words_of_reach(there: InHand) -> str:
    """The picture's numbers in words."""
    return "; ".join(f"{row.item}: {row.fills}" for row in there.rows if row.fills is not None)
