"""One picture from lots to batches to places."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from matplotlib.axes import Axes

from maker_kit.bench.followed import Made, Unit, WentIn
from maker_kit.bench.trace import Trace
from maker_kit.workbook.amounts import short
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.charts.style import CLAY, INK, MUTED, PALE, area, frame, margins, say

MOST = 12
"""Rows of a column that are drawn; the rest is counted."""
NO_LOT = "no lot"
COLUMNS = (0.0, 1.0, 2.0)
WIDE = 0.52


@dataclass(frozen=True)
class _Drawn:
    """What is drawn of a trace: the names of its columns, and what ties the first of them."""

    lots: list[str]
    batches: list[str]
    places: list[str]
    links: list[tuple[Made, tuple[WentIn, ...], tuple[Unit, ...]]]


def _drawn(found: Trace) -> _Drawn:
    links = list(found.links(MOST))
    first = dict.fromkeys(w.lot for _, went_in, _ in links for w in went_in if w.lot)
    lots = list(dict.fromkeys([*first, *found.lots]))
    bare = any(not went_in or any(not w.lot for w in went_in) for _, went_in, _ in links)
    return _Drawn(
        [*lots[: MOST - 1], NO_LOT, *lots[MOST - 1 :]] if bare else lots,
        list(found.batches),
        list(found.places) or ["no unit is numbered"],
        links,
    )


def _height(found: Trace) -> float:
    rows = max(len(found.lots) + 1, len(found.made), len(found.places))
    return 1.1 + 0.42 * max(min(rows, MOST + 1), 3)


def draw_trace(found: Trace, ax: Axes) -> Axes:
    """Lots left, batches in the middle, places right; a line from a batch to a place is as thick as units went there.
    What was asked about has a heavy edge.
    """
    margins(ax, 0.02, 0.98, 0.42, 0.1)
    drawn = _drawn(found)
    lots, batches, places = drawn.lots, drawn.batches, drawn.places
    tall = max(min(max(map(len, (lots, batches, places))), MOST + 1), 1)
    spots = [_spots(names, tall) for names in (lots, batches, places)]
    for made, went_in, units in drawn.links:
        for lot in {w.lot or NO_LOT for w in went_in} or {NO_LOT}:
            _line(ax, 0, spots[0].get(lot), spots[1].get(made.batch), 1.5)
        for place, count in Counter(unit.place for unit in units).items():
            _line(ax, 1, spots[1].get(made.batch), spots[2].get(place), 1.0 + min(count, 24) / 3)
    by_batch = {made.batch: len(units) for made, _, units in drawn.links}
    titles = {made.batch: made.recipe for made in found.made[:MOST]}
    items = {w.lot: w.item for _, went_in, _ in drawn.links for w in went_in}
    several = {w.item for _, went_in, _ in drawn.links for w in went_in if not w.lot}
    say_of = (
        lambda name: f"{name}\n{short(items.get(name, ''), 24) if name != NO_LOT else f'{len(several)} ingredients'}",
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
    told = [f"{count} {place}" for place, count in found.places.items()]
    rest = len(told) - MOST
    where = ", ".join(told[:MOST] + ([f"and {rest} more places"] if rest > 0 else [])) or "none numbered"
    batches = len(found.batches)
    said = f"{batches} batch{'' if batches == 1 else 'es'}, {_units(found.numbered)}"
    return f"{found.kind} {found.asked}: {said}: {where}"


def _units(count: int) -> str:
    return f"{count} unit{'' if count == 1 else 's'}"


TRACE = Chart(draw_trace, trace_words, _height)
