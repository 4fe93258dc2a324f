"""What came with a kit: needed, on the kit list, and on the scale."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.patches import Patch

from maker_kit.formula.batch import counted
from maker_kit.formula.changes.received import Received, ReceivedRow
from maker_kit.formula.changes.standing import Standing
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import (
    ENOUGH,
    INK,
    MUTED,
    SHORT,
    STONE,
    area,
    frame,
    margins,
    name_rows,
    point,
    say_beside,
    say_within,
)

MOST_OF_NEED = 200.0
"""Bars end here [% of what is needed]; a longer one is cut and ends in an arrow."""
NEEDED, LISTED = area("white", INK), area(STONE, INK, "....")
FIGURES = "needed / listed / on the scale"
KEYS = {"needed": NEEDED, "kit list": LISTED, "scale": ENOUGH, "scale, short": SHORT}


def draw_received(kit: Received, ax: Axes) -> Axes:
    """Three bars a thing, in percent of what is needed: needed, on the kit list, on the scale.

    A thing that was not weighed has an empty place and says so.

    Parameters
    ----------
    kit : Received
    ax : matplotlib.axes.Axes

    Returns
    -------
    matplotlib.axes.Axes
    """
    rows = _drawn(kit)
    margins(ax, 0.2, 0.66, 0.7, 0.55)
    for at, row in enumerate(rows):
        look = SHORT if row.scale_to_recipe == "short" else ENOUGH
        for up, amount, bar in ((-0.27, row.need, NEEDED), (0, row.listed, LISTED), (0.27, row.found, look)):
            if amount is None:
                continue
            share = 100 * amount / row.need
            ax.barh(at + up, min(share, MOST_OF_NEED), height=0.24, **bar)
            if share > MOST_OF_NEED:
                point(ax, MOST_OF_NEED * 1.015, at + up, ">", 5)
        say_beside(ax, at, _figures(row))
    if not rows:
        say_within(ax, 0.02, 0.5, "nothing of this kit is in the recipe", fontsize=9)
    say_within(ax, 1.02, 1.0, FIGURES, va="bottom", color=MUTED)
    ax.axvline(100, color=INK, linewidth=2.5)
    name_rows(ax, [row.item for row in rows], 28)
    ax.set_xlim(0, MOST_OF_NEED * 1.04)
    keys = [Patch(label=label, **look) for label, look in KEYS.items()]
    place = {"loc": "lower left", "bbox_to_anchor": (0, 1), "ncols": 4, "borderaxespad": 0.2}
    ax.legend(handles=keys, fontsize=8.5, frameon=False, handlelength=1.8, columnspacing=1.2, **place)
    across = f"percent of what {counted(kit.makes)} need; the wall stands at 100"
    return frame(ax, "Needed, listed, on the scale", across, bare=True, pad=24)


def received_words(kit: Received) -> str:
    """What is needed, listed and on the scale of each thing."""
    return f"{FIGURES}: " + "; ".join(f"{row.item} {_figures(row)}" for row in _drawn(kit))


def _drawn(kit: Received) -> list[ReceivedRow]:
    """What came or should have, and is needed; the others are in the table."""
    return [row for row in kit.rows if row.need and (row.listed is not None or row.found is not None)]


def _figures(row: ReceivedRow) -> str:
    """Needed, listed and on the scale, with what is short."""
    digits, verb = (0, "counted") if row.unit == "pieces" else (2, "weighed")
    need, listed, found = (
        "?" if amount is None else f"{amount:.{digits}f}" for amount in (row.need, row.listed, row.found)
    )
    if row.found is None:
        return f"{need} / {listed} / not {verb}"
    less = " – less than the pack says" if row.scale_to_pack in {Standing.SHORT, Standing.FAR_SHORT} else ""
    return f"{need} / {listed} / {found} {row.unit}{' – SHORT' if row.scale_to_recipe == 'short' else less}"


RECEIVED = Chart(
    draw_received,
    received_words,
    lambda kit: 1.35 + max(0.52 - 0.025 * len(_drawn(kit)), 0.25) * max(len(_drawn(kit)), 1),
)
