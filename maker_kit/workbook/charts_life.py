"""The pictures of a recipe before the bench: how far each ingredient reaches, the thickness ladder with the shop's ring and the wall, the preservatives awake along the pH. Each reads without colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.offsetbox import AnnotationBbox, DrawingArea
from matplotlib.patches import Circle

from maker_kit.formula.ladder_readings import THICKER_IS
from maker_kit.workbook.charts import CLAY, DASHES, INK, LEAF, MUTED, PALE, STONE

if TYPE_CHECKING:
    from maker_kit.formula.awake_strip import AwakeStrip
    from maker_kit.formula.in_hand import InHand
    from maker_kit.formula.ladder_fit import LadderCurve

INKS = (INK, LEAF, CLAY, MUTED)


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
        ax.barh(at, min(row.unrounded, most), height=0.55, facecolor="white" if short else LEAF, edgecolor=CLAY if short else INK, hatch="////" if short else "", linewidth=0.8)
        ax.text(1.02, at, f"{row.fills} full ({row.unrounded:.2f})" + (" – SHORT" if short else ""), transform=ax.get_yaxis_transform(), va="center", fontsize=8.5, color=INK, clip_on=False)
    ax.axvline(wanted, color=INK, linewidth=2.5)
    ax.set_yticks(range(len(rows)), [row.item for row in rows], fontsize=9)
    ax.set_ylim(len(rows) - 0.4, -0.6)
    ax.set_xlim(0, most * 1.02)
    ax.set_xlabel(f"containers; the wall stands at the {wanted} that are wanted", fontsize=9, color=MUTED)
    ax.set_title("How far each thing reaches", loc="left", fontsize=11, color=INK)
    ax.tick_params(axis="y", length=0)
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax


def draw_ladder(shown: tuple[LadderCurve, float | None, tuple[float, float] | None, float | None], ax: Axes) -> Axes:
    """The thickness ladder: readings, the curve through them, the shop's ring and band, the wall, and where the slider stands.

    Parameters
    ----------
    shown : tuple of (LadderCurve, float or None, tuple or None, float or None)
        The curve, the shop's value, the wanted band, and the level the slider stands at [%].
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    curve, shop, band, level = shown
    ax.figure.subplots_adjust(left=0.09, right=0.74, top=0.9, bottom=0.15)
    drawn = curve.drawn(60)
    ax.plot(drawn.iloc[:, 0], drawn.iloc[:, 1], color=INK, linewidth=1.6)
    for x, y in zip(curve.levels, curve.values, strict=True):
        ax.plot([x], [y], marker="o", color=INK, markersize=6, linestyle="none")
    unit = curve.unit
    if band is not None:
        ax.axhspan(*band, color=PALE, zorder=0)
        ax.text(1.02, sum(band) / 2, f"wanted: {band[0]:g} to {band[1]:g} {unit}" if shop is None else f"the shop's {shop:g} {unit},\nwanted {band[0]:g} to {band[1]:g}", transform=ax.get_yaxis_transform(),
                va="center", fontsize=8.5, color=CLAY, clip_on=False)
    if shop is not None:
        ax.axhline(shop, color=CLAY, linestyle=DASHES[1], linewidth=1.3)
        if band is None:
            ax.text(1.02, shop, f"the shop's {shop:g} {unit}", transform=ax.get_yaxis_transform(), va="center", fontsize=8.5, color=CLAY, clip_on=False)
    low, high = min(curve.values), max(curve.values)
    pad = (high - low) * 0.15
    ax.set_ylim(max(low - pad, 0), high + pad)
    if curve.most_percent is not None:
        ax.axvline(curve.most_percent, color=INK, linewidth=2.5)
        ax.text(curve.most_percent, high + pad * 0.5, f"supplier's most {curve.most_percent:g} % ", ha="right", va="center", fontsize=8.5, color=INK)
    value = None
    if level is not None and not curve.lowest <= level <= curve.highest:
        ax.text(0.5, 0.95, f"{level:g} % lies outside what was tried and is allowed: how thick that is, nobody knows", transform=ax.transAxes, ha="center", va="top", fontsize=9, color=INK,
                bbox={"facecolor": "white", "edgecolor": CLAY, "pad": 3})
    elif level is not None:
        value = curve.value_at(level)
        ax.plot([level], [value], marker="D", markersize=9, markerfacecolor="white", markeredgecolor=CLAY, markeredgewidth=2, linestyle="none", zorder=5)
        right = level > (curve.lowest + curve.highest) / 2
        ax.annotate(f"{level:g} %: {value:.1f} {unit}", (level, value), (-10 if right else 8, -16 if right else 10), textcoords="offset points", fontsize=9, color=INK, ha="right" if right else "left")
    if unit == "cm":
        _rings(ax, shop, value)
    ax.set_xlabel("level [% of the whole]", fontsize=9, color=MUTED)
    ax.set_ylabel(f"{curve.measure} [{unit}]; {'less' if THICKER_IS[curve.measure] < 0 else 'more'} is thicker", fontsize=9, color=MUTED)
    ax.set_title("The thickness ladder", loc="left", fontsize=11, color=INK)
    ax.tick_params(labelsize=9)
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def _rings(ax: Axes, shop: float | None, value: float | None) -> None:
    """Seen from above and to scale: how far the sample spreads (filled), and the shop's ring (dashed)."""
    known = [cm for cm in (shop, value) if cm is not None]
    if not known:
        return
    side, scale = 110.0, 96.0 / max(known)
    area = DrawingArea(side, side)
    for cm, look in ((value, {"facecolor": PALE, "edgecolor": INK, "linewidth": 1.4}), (shop, {"facecolor": "none", "edgecolor": CLAY, "linewidth": 1.6, "linestyle": DASHES[1]})):
        if cm is not None:
            area.add_artist(Circle((side / 2, side / 2), cm * scale / 2, **look))
    low, high = ax.get_ylim()
    beside = shop is not None and (shop - low) / (high - low) > 0.4  # the shop's words stand beside its line; the rings take the other half
    top = 0.36 if beside else 1.04
    ax.add_artist(AnnotationBbox(area, (1.16, top - 0.36), xycoords="axes fraction", frameon=False, box_alignment=(0.5, 0.5), annotation_clip=False))
    words = [f"spreads {value:.1f} cm (filled)" if value is not None else "spread unknown", *([f"shop's ring {shop:g} cm (dashed)"] if shop is not None else [])]
    ax.text(1.02, top, "\n".join(words), transform=ax.transAxes, va="top", fontsize=8.5, color=INK, clip_on=False)


def draw_awake(strip: AwakeStrip, ax: Axes) -> Axes:
    """Each acid's awake share from pH 3 to 9, with the product's band and the reading.

    Parameters
    ----------
    strip : AwakeStrip
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
        ax.text(strip.band_low, 104, f"wanted {strip.band_low:g} to {strip.band_high:g} ", ha="right", fontsize=8.5, color=MUTED)
    for (acid, points), colour, dash in zip(by_acid.items(), INKS * 3, DASHES * 3, strict=False):
        ax.plot([x for x, _ in points], [y for _, y in points], color=colour, linestyle=dash, linewidth=1.7, label=acid)
    if strip.ph_read is not None:
        ax.axvline(strip.ph_read, color=INK, linewidth=2)
        ax.text(strip.ph_read, 92, f" read: {strip.ph_read:g}", fontsize=9, color=INK)
    for row in strip.at_reading():
        ax.plot([row.ph], [row.share_percent], marker="D", markersize=7, markerfacecolor="white", markeredgecolor=INK, linestyle="none", zorder=5)
    if not by_acid:
        ax.text(0.02, 0.5, "no acid preservative with a known pKa in this recipe", transform=ax.transAxes, fontsize=9, color=INK)
    else:
        ax.legend(loc="center left", bbox_to_anchor=(1.01, 0.5), fontsize=8.5, frameon=False, handlelength=3)
    ax.set_xlim(3, 9)
    ax.set_ylim(0, 110)
    ax.set_xlabel("pH", fontsize=9, color=MUTED)
    ax.set_ylabel("awake share of the acid [%]", fontsize=9, color=MUTED)
    ax.set_title("Which share of each preservative is awake", loc="left", fontsize=11, color=INK)
    ax.grid(color=STONE, linewidth=0.3)
    ax.tick_params(labelsize=9)
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def words_of_reach(there: InHand) -> str:
    """The picture's numbers in words."""
    return "; ".join(f"{row.item}: {row.fills}" for row in there.rows if row.fills is not None)
