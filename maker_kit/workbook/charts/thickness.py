"""The picture of the thickness ladder: readings, the curve and how sure it is, what the shop's shows, the wall, the level looked at; for a spread also its rings. It reads without colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.offsetbox import AnnotationBbox, DrawingArea
from matplotlib.patches import Circle

from maker_kit.formula.thickness.readings import NOUNS, THICKER_IS, said
from maker_kit.workbook.charts.curve_and_limits import CLAY, DASHES, INK, MUTED, PALE

if TYPE_CHECKING:
    from maker_kit.formula.thickness.curve import ThicknessCurve


def draw_thickness(
    shown: tuple[ThicknessCurve, float | None, tuple[float, float] | None, float | None], ax: Axes
) -> Axes:
    """The thickness ladder: readings, the curve through them, the shop's value and the wanted band, the wall, and the level looked at.

    The stretch within which the curve lies by the repeated readings is hatched; without repeats there is none. A spread is drawn from above too, as rings to scale; a time through a funnel and a
    viscosity have their values beside.

    Parameters
    ----------
    shown : tuple of (ThicknessCurve, float or None, tuple or None, float or None)
        The curve, the shop's value, the wanted band, and the level looked at [%].
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    curve, shop, band, level = shown
    unit = curve.unit
    ax.figure.subplots_adjust(left=0.09, right=0.74, top=0.9, bottom=0.15)
    between = _draw_curve(curve, ax)
    known = [*curve.values, *between, *([shop] if shop is not None else []), *(band or ())]
    low, high = min(known), max(known)
    pad = (high - low) * 0.15
    ax.set_ylim(max(low - pad, 0), high + pad)
    _draw_wish(shop, band, unit, ax)
    if curve.most_percent is not None and curve.most_percent <= 1.5 * curve.levels[-1]:
        ax.axvline(curve.most_percent, color=INK, linewidth=2.5)
        ax.text(
            curve.most_percent,
            high + pad * 0.5,
            f"supplier's most {curve.most_percent:g} % ",
            ha="right",
            va="center",
            fontsize=8.5,
            color=INK,
        )
    value = None if level is None else _draw_level(curve, band, level, ax)
    if unit == "cm":
        _rings(
            ax,
            shop,
            value,
            "spread unknown" if value is None else f"spreads {said(value, curve.measure, band or ())} cm (filled)",
        )
    else:
        _beside(curve, shop, value, level, ax)
    ax.set_xlabel(
        "level [% of the whole]"
        + ("; dotted: where the curve lies by the repeated readings, 95 % trust" if between else ""),
        fontsize=9,
        color=MUTED,
    )
    ax.set_ylabel(
        f"{NOUNS[curve.measure]} [{unit}]; {'less' if THICKER_IS[curve.measure] < 0 else 'more'} is thicker",
        fontsize=9,
        color=MUTED,
    )
    ax.set_title("The thickness ladder", loc="left", fontsize=11, color=INK)
    ax.tick_params(labelsize=9)
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def _draw_curve(curve: ThicknessCurve, ax: Axes) -> list[float]:
    """The curve, its readings, its maximum, and the stretch by the repeats; gives the ends of that stretch."""
    drawn = curve.drawn(60)
    levels = drawn.iloc[:, 0].tolist()
    stretch = [ends for ends in map(curve.value_interval, levels) if ends is not None]
    if stretch:
        ax.fill_between(
            levels,
            [low for low, _ in stretch],
            [high for _, high in stretch],
            facecolor="none",
            edgecolor=MUTED,
            hatch="....",
            linewidth=0.6,
            zorder=1,
        )
    ax.plot(levels, drawn.iloc[:, 1], color=INK, linewidth=1.6)
    for x, y in zip(curve.levels, curve.values, strict=True):
        ax.plot([x], [y], marker="o", color=INK, markersize=6, linestyle="none")
    peak = curve.peak_percent
    if peak is not None and peak <= curve.highest:
        ax.plot(
            [peak],
            [curve.value_at(peak)],
            marker="^" if THICKER_IS[curve.measure] > 0 else "v",
            color=INK,
            markersize=9,
            markerfacecolor="white",
            linestyle="none",
            zorder=4,
        )
    return [end for ends in stretch for end in ends]


def _draw_wish(shop: float | None, band: tuple[float, float] | None, unit: str, ax: Axes) -> None:
    words = "" if shop is None else f"the shop's {shop:g} {unit}"
    if band is not None:
        ax.axhspan(*band, color=PALE, zorder=0)
        wanted = f"wanted {band[0]:g} to {band[1]:g}"
        words = f"{words},\n{wanted}" if words else f"{wanted} {unit}"
    if shop is not None:
        ax.axhline(shop, color=CLAY, linestyle=DASHES[1], linewidth=1.3)
    if words:
        ax.text(
            1.02,
            sum(band) / 2 if band is not None else shop,
            words,
            transform=ax.get_yaxis_transform(),
            va="center",
            fontsize=8.5,
            color=CLAY,
            clip_on=False,
        )


def _draw_level(curve: ThicknessCurve, band: tuple[float, float] | None, level: float, ax: Axes) -> float | None:
    """The level looked at and its value; in words where it lies outside what was tried or allowed."""
    if not curve.lowest <= level <= curve.highest:
        over = curve.most_percent is not None and level > curve.most_percent
        tried = (
            "above the supplier's most"
            if over and level <= curve.levels[-1]
            else "outside what was tried" + (" and above the supplier's most" if over else "")
        )
        low_is_thick = THICKER_IS[curve.measure] < 0  # then the lower left is free, else the upper left
        ax.text(
            0.02,
            0.05 if low_is_thick else 0.96,
            f"{level:g} % lies {tried}:\nhow thick that is, nobody knows",
            transform=ax.transAxes,
            va="bottom" if low_is_thick else "top",
            fontsize=9,
            color=INK,
            bbox={"facecolor": "white", "edgecolor": CLAY, "pad": 3},
            zorder=6,
        )
        return None
    value = curve.value_at(level)
    ax.plot(
        [level],
        [value],
        marker="D",
        markersize=9,
        markerfacecolor="white",
        markeredgecolor=CLAY,
        markeredgewidth=2,
        linestyle="none",
        zorder=5,
    )
    right, rises = level > (curve.lowest + curve.highest) / 2, THICKER_IS[curve.measure] > 0
    above = rises == right if curve.parabola is None else not rises  # the words go where the curve does not
    ax.annotate(
        f"{level:g} %: {said(value, curve.measure, band or ())} {curve.unit}",
        (level, value),
        (-10 if right else 8, 10 if above else -16),
        textcoords="offset points",
        fontsize=9,
        color=INK,
        ha="right" if right else "left",
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1},
        zorder=6,
    )
    return value


def _beside(curve: ThicknessCurve, shop: float | None, value: float | None, level: float | None, ax: Axes) -> None:
    """The values in words, where nothing is seen from above."""
    lines = [
        f"at {level:g} %: {said(value, curve.measure)} {curve.unit}"
        if value is not None
        else f"{NOUNS[curve.measure]} unknown"
    ]
    between = curve.value_interval(level) if value is not None and level is not None else None
    if between is not None:
        lines.append(
            f"by the repeats {said(between[0], curve.measure, (), 2)} to {said(between[1], curve.measure, (), 2)}"
        )
    peak = curve.peak_percent
    if peak is not None and peak <= curve.highest:
        lines.append(f"thickest near {peak:.3g} %: {said(curve.value_at(peak), curve.measure)} {curve.unit}")
    ax.text(
        1.02,
        _free(ax, shop),
        "\n".join(lines),
        transform=ax.transAxes,
        va="top",
        fontsize=8.5,
        color=INK,
        clip_on=False,
        linespacing=1.6,
    )


def _free(ax: Axes, shop: float | None) -> float:
    """Where words may begin: the shop's words stand beside its line, and these take the other half."""
    low, high = ax.get_ylim()
    return 0.36 if shop is not None and (shop - low) / (high - low) > 0.4 else 1.04


def _rings(ax: Axes, shop: float | None, value: float | None, spreads: str) -> None:
    """Seen from above and to scale: how far the sample spreads (filled), and the shop's ring (dashed)."""
    known = [cm for cm in (shop, value) if cm is not None]
    if not known:
        return
    side, scale = 110.0, 96.0 / max(known)
    area = DrawingArea(side, side)
    for cm, look in (
        (value, {"facecolor": PALE, "edgecolor": INK, "linewidth": 1.4}),
        (shop, {"facecolor": "none", "edgecolor": CLAY, "linewidth": 1.6, "linestyle": DASHES[1]}),
    ):
        if cm is not None:
            area.add_artist(Circle((side / 2, side / 2), cm * scale / 2, **look))
    top = _free(ax, shop)
    ax.add_artist(
        AnnotationBbox(
            area,
            (1.16, top - 0.36),
            xycoords="axes fraction",
            frameon=False,
            box_alignment=(0.5, 0.5),
            annotation_clip=False,
        )
    )
    words = [spreads, *([f"shop's ring {shop:g} cm (dashed)"] if shop is not None else [])]
    ax.text(1.02, top, "\n".join(words), transform=ax.transAxes, va="top", fontsize=8.5, color=INK, clip_on=False)
