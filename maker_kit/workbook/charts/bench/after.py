"""After the day in pictures: fills against what the label states, a watch as small pictures, a batch in its band."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.axes import Axes

from maker_kit.bench.fills import FillCheck
from maker_kit.bench.observed import MEASURED
from maker_kit.bench.watching import BatchBand, Observation, Watch
from maker_kit.bench.yields import LossProposal
from maker_kit.workbook.charts import style
from maker_kit.workbook.charts.picture import Chart

Series = dict[tuple[str, str], dict[float, Observation]]


def draw_fills(check: FillCheck, ax: Axes) -> Axes:
    """A mark a container, their mean, what the label states, and the least that one may hold."""
    style.margins(ax, 0.09, 0.76, 0.42, 0.6)
    least = None if check.may_lack_g is None else check.target_g - check.may_lack_g
    for k, mass in enumerate(check.masses_g, 1):
        low = {"color": style.CLAY} if k in check.lacking else {}
        style.point(ax, k, mass, "X" if low else "o", 8, **low)
    lines = [("states", check.target_g, style.CLAY, 1), ("mean", check.mean_g, style.INK, 0)]
    lines += [] if least is None else [("one may hold", least, style.MUTED, 2)]
    values = [*check.masses_g, *(value for _, value, _, _ in lines)]
    pad = (max(values) - min(values)) * 0.12 or 1.0
    low, high = min(values) - pad, max(values) + pad
    ax.set_ylim(low, high)
    ax.set_xlim(0.4, len(check.masses_g) + 0.6)
    spots: list[float] = []
    for name, value, colour, dash in sorted(lines, key=lambda line: line[1]):
        ax.axhline(value, color=colour, linestyle=style.DASHES[dash], linewidth=1.3)
        spots.append(max(value, spots[-1] + (high - low) * 0.09 if spots else value))
        style.say_beside(ax, spots[-1], f"{name} {value:.2f} g", color=colour)
    ax.set_xticks([k for k in range(1, len(check.masses_g) + 1) if len(check.masses_g) <= 24 or k % 10 == 0])
    return style.frame(ax, "What is in them", "container", "g")


def fills_words(check: FillCheck) -> str:
    """Mean and lowest beside what the label states."""
    return f"mean {check.mean_g:.2f} g, lowest {check.lowest_g:.1f} g, stated {check.target_g:.1f} g"


def _series(watch: Watch) -> Series:
    rows: Series = {}
    for o in watch.observations:
        rows.setdefault((o.place, o.kind), {})[o.day] = o
    return rows


def draw_watch(watch: Watch, ax: Axes) -> Axes:
    """A row for each place and what was looked at, a column a day: circles as large as the value was beside the first,
    with the value; words where nothing is measured; a heavy edge and ▲ where it had changed.
    """
    style.margins(ax, 0.2, 0.98, 0.42, 0.45)
    rows, days = _series(watch), sorted({o.day for o in watch.observations})
    changed = {f.about for f in watch.findings if f.code in ("watch.changed", "watch.bad")}
    for y, (key, seen) in enumerate(rows.items()):
        first = next((seen[d].value for d in days if d in seen and seen[d].value), None)
        for x, day in enumerate(days):
            if day not in seen:
                continue
            o = seen[day]
            size = 15.0 if o.value is None or not first else 15.0 * min(max(o.value / first, 0.2), 2.0)
            last = key in changed and day == max(seen)
            edge = {"edge": style.CLAY, "markeredgewidth": 2.5} if last else {"edge": style.INK}
            style.point(ax, x, y, "o" if o.value is not None else "s", size, **edge)
            text = o.words if o.value is None else f"{o.value:g}"
            style.say(ax, x + 0.17, y, ("▲ " if last else "") + text, va="center", fontsize=10)
    units = {kind: f" [{unit}]" for kind, unit in MEASURED.items() if unit}
    style.name_rows(ax, [f"{kind}{units.get(kind, '')}, {place}" for place, kind in rows])
    ax.set_xticks(range(len(days)), [f"day {d:g}" for d in days])
    ax.set_xlim(-0.4, max(len(days) - 1, 0) + 0.7)
    return style.frame(ax, "Watched", "circle: the value beside the first day's", "", bare=True)


def watch_words(watch: Watch) -> str:
    """Each row's first and last value."""
    told = []
    for (place, kind), seen in _series(watch).items():
        first, last = seen[min(seen)], seen[max(seen)]
        ends = (o.words if o.value is None else f"{o.value:g}" for o in (first, last))
        told.append(f"{kind} at {place} {' to '.join(ends)}")
    return "; ".join(told)


@dataclass(frozen=True)
class Batches:
    """One reading over batches.

    Attributes
    ----------
    what : str
    numbers : tuple of str
        Of the batches.
    band : BatchBand
    """

    what: str
    numbers: tuple[str, ...]
    band: BatchBand


def draw_band(shown: Batches, ax: Axes) -> Axes:
    """A mark a batch in order of making, and the band of those before the last."""
    style.margins(ax, 0.09, 0.8, 0.42, 0.5)
    band = shown.band
    for k, value in enumerate(band.values):
        last = k == len(band.values) - 1
        out = last and band.low is not None and not band.low <= value <= band.high
        more = {"color": style.CLAY} if out else {}
        style.point(ax, k, value, "X" if out else "D" if last else "o", 9 if last else 7, **more)
    known = list(band.values)
    if band.low is not None:
        ax.axhspan(band.low, band.high, zorder=0, **style.area(style.PALE, style.MUTED))
        ax.axhline(band.mean, color=style.MUTED, linestyle=style.DASHES[1], linewidth=1.2)
        known += [band.low, band.high]
        for value in (band.low, band.high):
            style.say_beside(ax, value, f"{value:.4g}", color=style.MUTED)
    pad = (max(known) - min(known)) * 0.15 or 0.5
    ax.set_ylim(min(known) - pad, max(known) + pad)
    ax.set_xlim(-0.5, len(band.values) - 0.5)
    ax.set_xticks(range(len(shown.numbers)), shown.numbers)
    return style.frame(ax, f"{shown.what}, batch against batch", "shaded: where the batches before lie", shown.what)


def band_words(shown: Batches) -> str:
    """Values of the batches."""
    values = (f"{n} {v:g}" for n, v in zip(shown.numbers, shown.band.values, strict=True))
    return f"{shown.what}: {'; '.join(values)}"


def draw_loss(found: LossProposal, ax: Axes) -> Axes:
    """What each batch lost against what it filled, and the line of film and loss."""
    style.margins(ax, 0.09, 0.8, 0.42, 0.55)
    far = max(y.filled_g for y in found.yields) * 1.1
    for y in found.yields:
        style.point(ax, y.filled_g, y.lost_g, "o", 7)
    if found.film_g is not None:
        ends = [found.film_g, found.film_g + far * found.loss_percent / 100]
        ax.plot([0, far], ends, color=style.LEAF, linewidth=1.6)
        style.say_beside(ax, ends[1], f"film {found.film_g:.1f} g\n+ {found.loss_percent:.2f} %", color=style.LEAF)
    most = max([0.0, *(y.lost_g for y in found.yields)])
    ax.set_xlim(0, far)
    ax.set_ylim(min([0.0, *(y.lost_g for y in found.yields)]), most * 1.15 or 1.0)
    return style.frame(ax, "What stayed on the tools", "filled [g]", "lost [g]")


def loss_words(found: LossProposal) -> str:
    """What each batch lost."""
    return "lost " + "; ".join(f"{y.batch} {y.lost_g:.1f} g of {y.made_g:.0f}" for y in found.yields)


FILLS = Chart(draw_fills, fills_words, 3.0)
WATCH = Chart(draw_watch, watch_words, lambda w: 1.1 + 0.55 * max(len(_series(w)), 2))
BAND = Chart(draw_band, band_words, 3.6)
LOSS = Chart(draw_loss, loss_words, 3.6)
