"""Where a blend stands between its two emulsifiers."""

from __future__ import annotations

from matplotlib.axes import Axes

from maker_kit.formula.emulsion.blend_choice import BlendChoice
from maker_kit.formula.emulsion.hlb import HlbValue
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import CLAY, INK, PALE, frame, point, say, say_within


def draw_blend(choice: BlendChoice, ax: Axes) -> Axes:
    """A line from one emulsifier's HLB to the other's, with the HLB that is aimed at, and the range of other sources.

    Parameters
    ----------
    choice : BlendChoice
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    ax.figure.subplots_adjust(left=0.05, right=0.95, top=0.82, bottom=0.26)
    oils, aim = choice.oils, choice.aimed_at
    (low, low_words), (high, high_words) = sorted(_pair(choice), key=lambda pair: pair[0].hlb)
    sources = [] if oils.unknown or None in (oils.lowest, oils.highest) else [oils.lowest, oils.highest]
    ends = [low.hlb, high.hlb, *sources, *([] if aim is None else [aim])]
    first, last = min(ends), max(ends)
    pad = max((last - first) * 0.08, 1.0)
    ax.set_xlim(first - pad, last + pad)
    ax.set_ylim(-1, 1)
    if sources and sources[1] > sources[0]:
        ax.axvspan(*sources, color=PALE, zorder=0)
        words = "sources of the oil phase: {:.1f} to {:.1f}".format(*sources)
        say(ax, sources[1], -0.9, words, ha="right", color=CLAY)
    ax.plot([low.hlb, high.hlb], [0, 0], color=INK, linewidth=2)
    near = {"textcoords": "offset points", "color": INK}
    for value, words, marker, side, nudge in (
        (low, low_words, "o", "left", (-8, -22)),
        (high, high_words, "s", "right", (8, -36)),
    ):
        point(ax, value.hlb, 0, marker, 11)
        ax.annotate(words, (value.hlb, 0), nudge, ha=side, fontsize=9, **near)
    if aim is None:
        say_within(ax, 0.5, 0.85, "what HLB to aim at is unknown", ha="center", fontsize=9.5, color=CLAY)
    else:
        point(ax, aim, 0, "D", 12, edge=CLAY, markeredgewidth=2, zorder=5)
        by = "your aim" if choice.own_aim else "what the oil phase asks for"
        side, nudge = ("right", (8, 16)) if aim > (first + last) / 2 else ("left", (-8, 16))
        ax.annotate(f"{by}: HLB {aim:.1f}", (aim, 0), nudge, ha=side, fontsize=9.5, **near)
    ax.set_yticks([])
    title, across = "Where the blend stands between the two", "HLB, from loves oil (low) to loves water (high)"
    return frame(ax, title, across, bare=True)


def blend_words(choice: BlendChoice) -> str:
    """What is aimed at, and the share of each emulsifier."""
    unknown = choice.aimed_at is None
    aim = "what HLB to aim at is unknown" if unknown else f"aimed at HLB {choice.aimed_at:.1f}"
    return "; ".join((aim, *(words for _, words in _pair(choice))))


def _pair(choice: BlendChoice) -> list[tuple[HlbValue, str]]:
    """Both emulsifiers, each with its HLB and its share of the blend in words."""
    blend = choice.blend
    shares = [f": {p:.1f} % of the blend" for p in (blend.first_percent, blend.second_percent)] if blend else ["", ""]
    used = (values[0] for values in choice.on_file)
    return [(v, f"{v.name}, HLB {v.hlb:g}{share}") for v, share in zip(used, shares, strict=True)]


BLEND = Chart(draw_blend, blend_words, 2.6)
