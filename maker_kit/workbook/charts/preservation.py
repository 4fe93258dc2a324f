"""Each acid preservative's part that works (undissociated) along the pH, with the reading."""

from __future__ import annotations

from matplotlib.axes import Axes

from maker_kit.formula.preservation.ph_strip import PhStrip
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    CLAY,
    DASHES,
    INK,
    LEAF,
    MUTED,
    PALE,
    STONE,
    area,
    frame,
    margins,
    point,
    say,
    say_within,
)

INKS = (INK, LEAF, CLAY, MUTED)
LOW, HIGH = 3, 9
"""Where the strip of the pH begins and ends."""
WORDS_AT = 92
"""Height of the words of the reading [%]."""


def draw_ph_strip(strip: PhStrip, ax: Axes) -> Axes:
    """Each acid's undissociated share from pH 3 to 9, what is wanted, and the reading, as far as its tool may be off.

    A reading beyond the strip stands at its edge, in words.

    Parameters
    ----------
    strip : PhStrip
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    margins(ax, 0.09, 0.74, 0.4, 0.6)
    low, high = strip.band_low, strip.band_high
    if low is not None and high is not None:
        ax.axvspan(low, high, color=PALE, zorder=0)
        say(ax, low, 104, f"wanted {low:g} to {high:g} ", ha="right", color=MUTED)
    for acid, ink, dash in zip(strip.acids, INKS * 3, DASHES * 3, strict=False):
        rows = [row for row in strip.rows if row.acid == acid]
        shares = [row.share_percent for row in rows]
        ax.plot([row.ph for row in rows], shares, color=ink, linestyle=dash, linewidth=1.7, label=acid)
    _reading(strip, ax)
    if strip.acids:
        ax.legend(loc="center left", bbox_to_anchor=(1.01, 0.5), fontsize=8.5, frameon=False, handlelength=3)
    else:
        say_within(ax, 0.02, 0.5, "no acid preservative with a known pKa in this recipe", fontsize=9)
    ax.set_xlim(LOW, HIGH)
    ax.set_ylim(0, 110)
    ax.grid(color=STONE, linewidth=0.3)
    return frame(ax, "The part of each acid that works", "pH", "part that works (undissociated) [%]")


def _reading(strip: PhStrip, ax: Axes) -> None:
    """The reading with its shares and how far it may be off, or that there is none or it lies beyond the strip."""
    read, low, high = strip.ph_read, strip.read_low, strip.read_high
    look = {"fontsize": 9, "ha": "right"}
    if read is None:
        say(ax, HIGH - 0.08, WORDS_AT, "no pH was read" if strip.rows else "", **look)
        return
    told = f"read: {read:g}"
    if low is not None and high is not None:
        told += f", may be {low:g} to {high:g}"
        if low < HIGH and high > LOW:
            ax.axvspan(max(low, LOW), min(high, HIGH), zorder=1, **area("none", MUTED, "///", 0.6))
    right = read > (LOW + HIGH) / 2
    if LOW <= read <= HIGH:
        ax.axvline(read, color=INK, linewidth=2)
        look["ha"] = "right" if right else "left"
        say(ax, (low if right else high) or read, WORDS_AT, f" {told} ", **look)
        for row in strip.at_reading():
            point(ax, row.ph, row.share_percent, "D", 7, edge=INK, zorder=5)
    elif right:
        say(ax, HIGH - 0.08, WORDS_AT, f"{told}, beyond this strip →", **look)
    else:
        say(ax, LOW + 0.08, WORDS_AT, f"← {told}, beyond this strip", **{**look, "ha": "left"})


def ph_words(strip: PhStrip) -> str:
    """The share of each acid at the reading."""
    shares = [f"{row.acid}: {row.share_percent:.1f} % at pH {row.ph:g}" for row in strip.at_reading()]
    return "; ".join(shares) or "no reading, or no acid preservative"


PH_STRIP = Chart(draw_ph_strip, ph_words, 3.2)
