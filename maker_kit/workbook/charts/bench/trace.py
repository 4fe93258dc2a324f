"""One picture from lots to batches to places."""

from __future__ import annotations

from matplotlib.axes import Axes

from maker_kit.bench.trace import Trace
from maker_kit.workbook.amounts import short
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import CLAY, INK, MUTED, PALE, area, frame, margins, say

MOST = 12
"""Rows of a column that are drawn; the rest is counted."""
COLUMNS = (0.0, 1.0, 2.0)
WIDE = 0.52


def _columns(found: Trace) -> tuple[list[str], list[str], list[str]]:
    lots = list(dict.fromkeys(row.lot or "no lot" for row in found.rows))
    places = list(found.places) or ["no unit is numbered"]
    return lots, list(found.batches), places


def _height(found: Trace) -> float:
    return 1.1 + 0.42 * max(min(max(map(len, _columns(found))), MOST + 1), 3)


def draw_trace(found: Trace, ax: Axes) -> Axes:
    """Lots left, batches in the middle, places right; a line from a batch to a place is as thick as units went there.
    What was asked about has a heavy edge.
    """
    margins(ax, 0.02, 0.98, 0.42, 0.1)
    lots, batches, places = _columns(found)
    tall = max(min(max(map(len, (lots, batches, places))), MOST + 1), 1)
    spots = [_spots(names, tall) for names in (lots, batches, places)]
    units = {(row.batch, row.place, row.unit) for row in found.rows if row.unit}
    for lot, batch in {(row.lot or "no lot", row.batch) for row in found.rows}:
        _line(ax, 0, spots[0].get(lot), spots[1].get(batch), 1.5)
    went: dict[tuple[str, str], int] = {}
    for batch, place, _ in units:
        went[batch, place] = went.get((batch, place), 0) + 1
    for (batch, place), count in went.items():
        _line(ax, 1, spots[1].get(batch), spots[2].get(place), 1.0 + min(count, 24) / 3)
    by_batch = {b: sum(1 for x, _, _ in units if x == b) for b in batches}
    titles = {row.batch: row.recipe for row in found.rows}
    items = {row.lot or "no lot": row.item for row in found.rows}
    several = {r.item for r in found.rows if not r.lot}
    say_of = (
        lambda name: f"{name}\n{short(items[name], 24) if name != 'no lot' else f'{len(several)} ingredients'}",
        lambda name: f"{name}, {_units(by_batch[name])}\n{short(titles[name], 22)}",
        lambda name: f"{name}\n{_units(found.places.get(name, 0))}",
    )
    for column, names in enumerate((lots, batches, places)):
        for name in names[:MOST]:
            y = spots[column][name]
            asked = name.casefold() == found.asked.casefold()
            look = area("white" if not asked else PALE, CLAY if asked else INK, "", 2.5 if asked else 0.9)
            ax.bar(COLUMNS[column], 0.8, WIDE, y - 0.4, zorder=3, **look)
            say(ax, COLUMNS[column], y, say_of[column](name), ha="center", va="center", zorder=4, fontsize=9)
        if len(names) > MOST:
            words = f"and {len(names) - MOST} more in the table"
            say(ax, COLUMNS[column], MOST, words, ha="center", va="center", color=MUTED)
    ax.set_xlim(-0.35, 2.35)
    ax.set_ylim(tall - 0.4, -0.6)
    ax.set_xticks([])
    ax.set_yticks([])
    frame(ax, f"{found.kind} {found.asked}: lots, batches, places", bare=True)
    ax.spines["bottom"].set_visible(False)
    return ax


def _spots(names: list[str], tall: int) -> dict[str, float]:
    shown = names[:MOST]
    gap = (tall - min(len(names), MOST + 1)) / 2
    return {name: k + gap for k, name in enumerate(shown)}


def _line(ax: Axes, column: int, left: float | None, right: float | None, wide: float) -> None:
    if left is None or right is None:
        return
    ends = COLUMNS[column] + WIDE / 2, COLUMNS[column + 1] - WIDE / 2
    ax.plot(ends, [left, right], color=MUTED, linewidth=wide, alpha=0.6, zorder=1, solid_capstyle="butt")


def trace_words(found: Trace) -> str:
    """Batches, units and places."""
    where = ", ".join(f"{count} {place}" for place, count in found.places.items()) or "none numbered"
    batches = len(found.batches)
    said = f"{batches} batch{'' if batches == 1 else 'es'}, {_units(len(found.units))}"
    return f"{found.kind} {found.asked}: {said}: {where}"


def _units(count: int) -> str:
    return f"{count} unit{'' if count == 1 else 's'}"


TRACE = Chart(draw_trace, trace_words, _height)
