"""Trials as pictures: one dot a result with its interval and the two lines; and what a plan is able to tell."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from maker_kit.trial.binomial import clopper_pearson
from maker_kit.trial.power_curve import PowerCurve
from maker_kit.trial.run_result import RunResult
from maker_kit.trial.verdict import IN_WORDS
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    CLAY,
    DASHES,
    INK,
    MUTED,
    PALE,
    frame,
    margins,
    point,
    say,
    say_within,
)

DOTS_A_ROW = 60
"""Most dots of answers beside each other."""


def draw_run(found: RunResult, ax: Axes) -> Axes:
    """One dot a result, the interval, and the two lines *different* and *the same*.

    Pairs lie along the difference: the interval has to lie between the two dashed lines for sameness, and off the
    straight line for a difference. Answers are counted along: filled where right, open where wrong.

    Parameters
    ----------
    found : RunResult
        Of anything but a kind.
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    margins(ax, 0.07, 0.97, 0.62, 0.62)
    ax.set_yticks([])
    ax.xaxis.set_major_locator(MaxNLocator(nbins=10, integer=found.right is not None))
    ax.set_ylim(0, 1)
    title = f"{found.must_have}: {IN_WORDS[found.answer]}"
    return (_draw_pairs if found.right is None else _draw_answers)(found, title, ax)


def _draw_pairs(found: RunResult, title: str, ax: Axes) -> Axes:
    reach = 1.15 * max(*map(abs, found.dots), abs(found.low), abs(found.high), found.gap)
    ax.set_xlim(-reach, reach)
    ax.axvspan(-found.gap, found.gap, color=PALE, zorder=0)
    ax.axvline(0, color=INK, linewidth=1.6)
    for side in (-1, 1):
        ax.axvline(side * found.gap, color=CLAY, linestyle=DASHES[1], linewidth=1.6)
    say(ax, 0, 1.03, "different: the whole interval is off this line", ha="center", color=INK)
    beside = "left" if found.gap > reach / 2 else "right"  # within the band, or left of it where that is narrow
    say(ax, -found.gap, 0.92, f" the same: thick part inside ± {found.gap:g} ", ha=beside, color=CLAY)
    heights: dict[float, int] = {}
    for dot in found.dots:
        near = round(dot / reach * 40)
        level = heights[near] = heights.get(near, -1) + 1
        point(ax, dot, 0.3 + min(0.07 * level, 0.5), "o", 7, edge=INK)
    ax.plot([found.same_low, found.same_high], [0.14, 0.14], color=INK, linewidth=7, solid_capstyle="butt")
    _interval(found.low, found.estimate, found.high, ax)
    across = f"ours less the shop's [{found.unit}]; dots: pairs; diamond: mean with {_sure(found)} interval"
    return frame(ax, title, across, bare=True, pad=18)


def _draw_answers(found: RunResult, title: str, ax: Axes) -> Axes:
    n = found.results
    ax.set_xlim(-0.6, n + 0.6)
    same, needed = found.most_right_same, found.needed_right
    if same is not None:
        ax.axvspan(-0.6, same + 0.5, color=PALE, zorder=0)
        ax.axvline(same + 0.5, color=CLAY, linestyle=DASHES[1], linewidth=1.6)
        say(ax, same + 0.4, 0.93, f"same: up to {same} ", ha="right", color=CLAY)
    if needed is not None:
        ax.axvline(needed - 0.5, color=INK, linewidth=1.6)
        say(ax, needed - 0.4, 1.03, f" different: from {needed}", color=INK)
        if found.two_sided:
            ax.axvline(n - needed + 0.5, color=INK, linewidth=1.6)
    for number, dot in enumerate(sorted(found.dots, reverse=True)):
        step = max(n / DOTS_A_ROW, 1)
        x, y = (number // int(step) if step > 1 else number) + 0.5, 0.45 + 0.07 * (number % int(step))
        point(ax, x * (step if step > 1 else 1), y, "o", 7, **({} if dot else {"edge": INK}))
    low, high = clopper_pearson(found.right, n, 1 - found.confidence)
    _interval(low * n, float(found.right), high * n, ax)
    across = f"answers of {n}: filled right, open wrong; diamond: {found.right} right with {_sure(found)} interval"
    return frame(ax, title, across, bare=True, pad=18)


def _interval(low: float, middle: float, high: float, ax: Axes) -> None:
    ax.plot([low, high], [0.14, 0.14], color=INK, linewidth=2.4, solid_capstyle="butt")
    for end in (low, high):
        ax.plot([end, end], [0.09, 0.19], color=INK, linewidth=2.0)
    point(ax, middle, 0.14, "D", 9, edge=INK, zorder=5)


def _sure(found: RunResult) -> str:
    return f"{100 * found.confidence:.3g} %"


def run_words(found: RunResult) -> str:
    """The answer and its figures."""
    if found.right is not None:
        told = f"{found.right} of {found.results} right; different from {found.needed_right}"
        return f"{IN_WORDS[found.answer]}: {told}, the same up to {found.most_right_same}"
    dots = ", ".join(f"{dot:g}" for dot in found.dots)
    ends = f"{found.low:.3g} to {found.high:.3g}"
    return f"{IN_WORDS[found.answer]}: differences {dots} {found.unit}; mean {found.estimate:.3g}, interval {ends}"


def draw_power(curve: PowerCurve, ax: Axes) -> Axes:
    """The chance of each answer by what is truly so, with the gap; thin, the chance of it by each look along the way.

    Parameters
    ----------
    curve : PowerCurve
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    margins(ax, 0.09, 0.97, 0.42, 0.63)
    scale = 1 if curve.unit else 100
    truths = [truth * scale for truth in curve.truths]
    last = len(curve.looks) - 1
    for look, (different, same) in enumerate(zip(curve.different_by, curve.same_by, strict=True)):
        wide = 2 if look == last else 0.8
        ax.plot(truths, [100 * p for p in different], color=INK, linewidth=wide)
        ax.plot(truths, [100 * p for p in same], color=CLAY, linestyle=DASHES[1], linewidth=wide)
    gap = curve.gap * scale
    ax.axvline(gap, color=MUTED, linewidth=1.2)
    ax.set_xlim(0, truths[-1])
    ax.set_ylim(0, 103)
    different, same = (100 * p for p in curve.at_gap())
    point(ax, gap, different, "D", 8, edge=INK, zorder=5)
    point(ax, gap, same, "s", 8, edge=CLAY, zorder=5)
    unit = curve.unit or "% of tasters"
    say(ax, gap, 58, f" gap {gap:g} {unit}", color=MUTED)
    say(ax, truths[-1] * 0.99, 100 * curve.different[-1] - 3, "says different", ha="right", va="top", color=INK)
    below = curve.same[0] > 0.5  # over the line it would lie in the title
    say_within(
        ax,
        0.02,
        0.97 * curve.same[0] + (-0.03 if below else 0.01),
        "says the same",
        va="top" if below else "bottom",
        color=CLAY,
    )
    noun = "pairs" if curve.unit else "tasters"
    across = f"truly apart [{unit}]" if curve.unit else "tasters who can truly tell [%]"
    along = f"; thin: by the looks after {', '.join(map(str, curve.looks[:-1]))}" if last else ""
    return frame(ax, f"What {curve.count} {noun} can show{along}", across, "chance [%]")


def power_words(curve: PowerCurve) -> str:
    """The chances at the gap and without a difference."""
    different, same = (100 * p for p in curve.at_gap())
    noun = "pairs" if curve.unit else "tasters"
    return (
        f"{curve.count} {noun}: at the gap a difference is found {different:.0f} % of the time and the same said "
        f"{same:.1f} %; where nothing differs, the same is said {100 * curve.same[0]:.0f} %"
    )


TRIAL = Chart(draw_run, run_words, 3.1)
POWER = Chart(draw_power, power_words, 3.4)
