"""The thickness curve: readings, the curve and how sure it is, what the shop's shows, the wall, the level looked at."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.offsetbox import AnnotationBbox, DrawingArea
from matplotlib.patches import Circle

from maker_kit.formula.thickness.curve import ThicknessCurve
from maker_kit.formula.thickness.readings import NOUNS, THICKER_IS, said
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    CLAY,
    DASHES,
    INK,
    MUTED,
    PALE,
    area,
    frame,
    margins,
    point,
    say,
    say_beside,
    say_within,
)

Range = tuple[float, float]
Shown = tuple[ThicknessCurve, float | None, Range | None, float | None]
"""The curve, the shop's value, the wanted range, and the level looked at [%]."""
BOX = {"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1}


def draw_thickness(shown: Shown, ax: Axes) -> Axes:
    """The thickness curve through the readings, the shop's value and what is wanted, the wall, and the level looked at.

    The stretch within which the curve lies by the repeated readings is hatched; without repeats there is none. A spread
    is drawn from above too, as rings to scale; a time through a funnel and a viscosity have their values beside.

    Parameters
    ----------
    shown : tuple of (ThicknessCurve, float or None, tuple or None, float or None)
        The curve, the shop's value, the wanted range, and the level looked at [%].
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    curve, shop, wanted, level = shown
    noun, unit = NOUNS[curve.measure], curve.unit
    margins(ax, 0.09, 0.74, 0.42, 0.63)
    between = _draw_curve(curve, ax)
    known = [*curve.values, *between, *(() if shop is None else (shop,)), *(wanted or ())]
    low, high = min(known), max(known)
    pad = (high - low) * 0.15
    ax.set_ylim(max(low - pad, 0), high + pad)
    _draw_wish(shop, wanted, unit, ax)
    most = curve.most_percent
    if most is not None and most <= 1.5 * curve.levels[-1]:
        ax.axvline(most, color=INK, linewidth=2.5)
        say(ax, most, high + pad * 0.5, f"supplier's most {most:g} % ", ha="right", va="center")
    value = None if level is None else _draw_level(curve, wanted, level, ax)
    (_rings if unit == "cm" else _values)(shown, value, ax)
    by_repeats = "; dotted: where the curve lies by the repeated readings, 95 % trust" if between else ""
    thicker = "less" if THICKER_IS[curve.measure] < 0 else "more"
    return frame(
        ax, "The thickness curve", f"level [% of the whole]{by_repeats}", f"{noun} [{unit}]; {thicker} is thicker"
    )


def _draw_curve(curve: ThicknessCurve, ax: Axes) -> list[float]:
    """The curve, its readings, its maximum, and the stretch by the repeats; gives the ends of that stretch."""
    drawn = curve.drawn(60)
    levels = drawn.iloc[:, 0].tolist()
    stretch = [ends for ends in map(curve.value_interval, levels) if ends is not None]
    if stretch:
        ax.fill_between(levels, *zip(*stretch, strict=True), zorder=1, **area("none", MUTED, "....", 0.6))
    ax.plot(levels, drawn.iloc[:, 1], color=INK, linewidth=1.6)
    for level, value in zip(curve.levels, curve.values, strict=True):
        point(ax, level, value, "o", 6)
    if (peak := _peak(curve)) is not None:
        point(ax, *peak, "^" if THICKER_IS[curve.measure] > 0 else "v", 9, edge=INK, zorder=4)
    return [end for ends in stretch for end in ends]


def _peak(curve: ThicknessCurve) -> Range | None:
    """Level and value of the maximum of thickness, where it lies within what was tried and is allowed."""
    level = curve.peak_percent
    return None if level is None or level > curve.highest else (level, curve.value_at(level))


def _wish_words(shop: float | None, wanted: Range | None, unit: str) -> list[str]:
    """The shop's value and what is wanted."""
    words = [] if shop is None else [f"the shop's {shop:g} {unit}"]
    return words + ([] if wanted is None else [f"wanted {wanted[0]:g} to {wanted[1]:g}{'' if words else f' {unit}'}"])


def _draw_wish(shop: float | None, wanted: Range | None, unit: str, ax: Axes) -> None:
    words = _wish_words(shop, wanted, unit)
    if wanted is not None:
        ax.axhspan(*wanted, color=PALE, zorder=0)
    if shop is not None:
        ax.axhline(shop, color=CLAY, linestyle=DASHES[1], linewidth=1.3)
    if words:
        say_beside(ax, shop if wanted is None else sum(wanted) / 2, ",\n".join(words), color=CLAY)


def _draw_level(curve: ThicknessCurve, wanted: Range | None, level: float, ax: Axes) -> float | None:
    """The level looked at and its value; in words where it lies outside what was tried or allowed."""
    rises = THICKER_IS[curve.measure] > 0
    if not curve.lowest <= level <= curve.highest:
        over = curve.most_percent is not None and level > curve.most_percent
        why = ["outside what was tried"] if not over or level > curve.levels[-1] else []
        why += ["above the supplier's most"] if over else []
        text = f"{level:g} % lies {' and '.join(why)}:\nhow thick that is, nobody knows"
        free = {"y": 0.96, "va": "top"} if rises else {"y": 0.05, "va": "bottom"}  # the corner without a curve
        say_within(
            ax, 0.02, text=text, fontsize=9, zorder=6, bbox={**BOX, "edgecolor": CLAY, "alpha": 1, "pad": 3}, **free
        )
        return None
    value = curve.value_at(level)
    point(ax, level, value, "D", 9, edge=CLAY, markeredgewidth=2, zorder=5)
    right = level > (curve.lowest + curve.highest) / 2
    above = rises == right if curve.parabola is None else not rises  # the words go where the curve does not
    text = f"{level:g} %: {said(value, curve.measure, wanted or ())} {curve.unit}"
    side = {"ha": "right" if right else "left", "textcoords": "offset points"}
    nudge = (-10 if right else 8, 10 if above else -16)
    ax.annotate(text, (level, value), nudge, fontsize=9, color=INK, bbox=BOX, zorder=6, **side)
    return value


def _values(shown: Shown, value: float | None, ax: Axes) -> None:
    """The values in words, where nothing is seen from above."""
    curve, shop, _, level = shown
    lines = [f"{NOUNS[curve.measure]} unknown"]
    if value is not None:
        lines = [f"at {level:g} %: {said(value, curve.measure)} {curve.unit}"]
        if between := curve.value_interval(level):
            lines.append("by the repeats " + " to ".join(said(end, curve.measure, (), 2) for end in between))
    if (peak := _peak(curve)) is not None:
        lines.append(f"thickest near {peak[0]:.3g} %: {said(peak[1], curve.measure)} {curve.unit}")
    say_within(ax, 1.02, _free(ax, shop), "\n".join(lines), va="top", linespacing=1.6)


def _free(ax: Axes, shop: float | None) -> float:
    """Where words may begin: the shop's words stand beside its line, and these take the other half."""
    low, high = ax.get_ylim()
    return 0.36 if shop is not None and (shop - low) / (high - low) > 0.4 else 1.04


def _rings(shown: Shown, value: float | None, ax: Axes) -> None:
    """Seen from above and to scale: how far the sample spreads (filled), and the shop's ring (dashed)."""
    curve, shop, wanted, _ = shown
    looks = area(PALE, INK, line=1.4), {**area("none", CLAY, line=1.6), "linestyle": DASHES[1]}
    rings = [(cm, look) for cm, look in zip((value, shop), looks, strict=True) if cm is not None]
    if not rings:
        return
    side, scale = 110.0, 96.0 / max(cm for cm, _ in rings)
    drawn = DrawingArea(side, side)
    for cm, look in rings:
        drawn.add_artist(Circle((side / 2, side / 2), cm * scale / 2, **look))
    top = _free(ax, shop)
    place = {"xycoords": "axes fraction", "frameon": False, "box_alignment": (0.5, 0.5), "annotation_clip": False}
    ax.add_artist(AnnotationBbox(drawn, (1.16, top - 0.36), **place))
    spread = "spread unknown" if value is None else f"spreads {said(value, curve.measure, wanted or ())} cm (filled)"
    words = [spread, *([] if shop is None else [f"shop's ring {shop:g} cm (dashed)"])]
    say_within(ax, 1.02, top, "\n".join(words), va="top")


def thickness_words(shown: Shown) -> str:
    """What the level looked at gives, beside what is wanted, and the readings."""
    curve, shop, wanted, level = shown
    told = []
    if level is not None:
        known = curve.lowest <= level <= curve.highest
        value = f"{said(curve.value_at(level), curve.measure, wanted or ())} {curve.unit}" if known else "not known"
        told.append(f"{NOUNS[curve.measure]} at {level:g} %: {value}")
    told += _wish_words(shop, wanted, curve.unit)
    readings = (f"{x:g} %: {y:g} {curve.unit}" for x, y in zip(curve.levels, curve.values, strict=True))
    return "; ".join((*told, f"your readings: {'; '.join(readings)}"))


THICKNESS = Chart(draw_thickness, thickness_words, 4.0)
