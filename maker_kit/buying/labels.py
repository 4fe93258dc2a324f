"""The cheapest combination of near-cheapest covers that reaches every subtotal and stays in every delivery step: label setting.

Labels are partial baskets; one is dropped when another of the same point costs no more and leaves no more to do (Desrochers and Soumis, INFOR 26 (1988) 191–212), or when its price
with the multipliers is above what is known to be reachable.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.catalogue import NO_WEIGHT
from maker_kit.buying.covers import Table, TooLargeError
from maker_kit.buying.near_covers import Covers, least_goods, near_covers, undominated

MOST_LABELS = 250_000
"""Most partial baskets looked at in one go; beyond it the points are taken in smaller lots."""

MOST_EACH = 60_000
"""Most partial baskets of one point within the room; beyond it the point is given up, as the integer program is sooner done."""


@dataclass(frozen=True)
class Point:
    """What one lot of label setting is asked, an entry a point.

    Attributes
    ----------
    limit : numpy.ndarray of int64
        Largest sum of table prices of an answer that would help.
    subtotal, heaviest : dict of int to numpy.ndarray
        Supplier to the goods still to be reached [cent] and the weight still free [0.1 g]; `NO_WEIGHT` for any.
    needs : list of numpy.ndarray
        Need of every item, in units of its table.
    """

    limit: np.ndarray
    subtotal: dict[int, np.ndarray]
    heaviest: dict[int, np.ndarray]
    needs: list[np.ndarray]

    def only(self, part: np.ndarray) -> Point:
        """Some of the points."""
        return Point(self.limit[part], {s: v[part] for s, v in self.subtotal.items()}, {s: v[part] for s, v in self.heaviest.items()}, [n[part] for n in self.needs])


@dataclass(frozen=True)
class Answer:
    """The cheapest combination of every point.

    Attributes
    ----------
    closed : numpy.ndarray of bool
        Whether the search was complete: no answer then means that none within the limit exists.
    cost : numpy.ndarray of int64
        Goods with tax [0.0001 cent]; `NO_WEIGHT` where there is none.
    counts : numpy.ndarray, points × articles
    """

    closed: np.ndarray
    cost: np.ndarray
    counts: np.ndarray


def set_labels(tables: Sequence[Table], factors: Sequence[int], point: Point, columns: int) -> Answer:
    """The cheapest covers of all items together that reach every subtotal and exceed no weight.

    Points that need too many labels are tried in halves, and at last given up.

    Parameters
    ----------
    tables : sequence of Table
        One an item.
    factors : sequence of int
        Cost of a cent of goods, a supplier [0.0001 cent].
    point : Point
    columns : int
        Number of articles.

    Returns
    -------
    Answer
    """
    size = len(point.limit)
    try:
        return _labels(tables, factors, point, columns)
    except TooLargeError:
        if size == 1:
            return Answer(np.zeros(1, dtype=bool), np.full(1, NO_WEIGHT), np.zeros((1, columns), dtype=np.int64))
    halves = [set_labels(tables, factors, point.only(part), columns) for part in np.array_split(np.arange(size), 2)]
    return Answer(*(np.concatenate([getattr(half, name) for half in halves]) for name in ("closed", "cost", "counts")))


@dataclass(frozen=True)
class _Step:
    """One item of a lot: its covers as runs by need, the cheapest in table price first; which run is each point's, and over that run the ends of what a cover adds."""

    table: Table
    covers: Covers
    run: np.ndarray
    first: np.ndarray
    length: np.ndarray
    extra: np.ndarray
    cheapest: np.ndarray
    weights: dict[int, tuple[np.ndarray, np.ndarray]]


def _step(table: Table, factors: Sequence[int], need: np.ndarray, gap: np.ndarray, wanted: dict[int, np.ndarray], weighed: Sequence[int]) -> _Step:
    values, inverse = np.unique(need, return_inverse=True)
    widest = np.full(len(values), -1, dtype=np.int64)
    np.maximum.at(widest, inverse, gap)
    covers = near_covers(table, factors, values, widest, {s: int(v.max()) for s, v in wanted.items()}, weighed)
    covers = covers.only(np.lexsort((covers.tilted, covers.at)))
    edges = np.searchsorted(covers.at, np.arange(len(values) + 1))
    some = np.diff(edges) > 0

    def by_run(amounts: np.ndarray, pick: np.ufunc) -> np.ndarray:
        best = np.zeros(len(values), dtype=np.int64)
        if some.any():
            best[some] = pick.reduceat(amounts, edges[:-1][some])
        return best[inverse]

    extra = covers.tilted - np.repeat(covers.tilted[edges[:-1][some]], np.diff(edges)[some])
    return _Step(
        table, covers, inverse, edges[:-1][inverse], np.diff(edges)[inverse], extra, by_run(covers.tilted, np.minimum),
        {s: (by_run(covers.weight[s], np.minimum), by_run(covers.weight[s], np.maximum)) for s in weighed},
    )


def _labels(tables: Sequence[Table], factors: Sequence[int], point: Point, columns: int) -> Answer:
    """Find the rows that every near cover keeps anyway, then label each lot of points that has the same rows left."""
    size = len(point.limit)
    none = np.zeros(size, dtype=np.int64)
    busy = [(table, need) for table, need in zip(tables, point.needs, strict=True) if table.articles]
    gap = point.limit - sum((table.price(need) for table, need in busy), none)
    floors = [{s: _least_goods(table, need, gap, s) for s in point.subtotal} for table, need in busy]
    lack = {s: np.maximum(v - sum((floor[s] for floor in floors), none), 0) for s, v in point.subtotal.items()}
    kind = none.copy()
    for bit, v in enumerate([*lack.values(), *(NO_WEIGHT - v for v in point.heaviest.values())]):
        kind |= (v > 0).astype(np.int64) << bit
    found = Answer(np.ones(size, dtype=bool), np.full(size, NO_WEIGHT), np.zeros((size, columns), dtype=np.int64))
    for value in np.unique(kind):
        part = np.flatnonzero((kind == value) & (gap >= 0))
        subtotals = {s: v[part] for bit, (s, v) in enumerate(lack.items()) if value >> bit & 1}
        heaviest = {s: v[part] for bit, (s, v) in enumerate(point.heaviest.items(), len(lack)) if value >> bit & 1}
        if len(part):
            least = [{s: floor[s][part] for s in subtotals} for floor in floors]
            steps = [_step(table, factors, need[part], gap[part], {s: v + low[s] for s, v in subtotals.items()}, list(heaviest)) for (table, need), low in zip(busy, least, strict=True)]
            _walk(steps, least, point.limit[part], subtotals, heaviest, found, part)
    return found


def _least_goods(table: Table, need: np.ndarray, gap: np.ndarray, supplier: int) -> np.ndarray:
    values, inverse = np.unique(need, return_inverse=True)
    widest = np.full(len(values), -1, dtype=np.int64)
    np.maximum.at(widest, inverse, gap)
    return least_goods(table, values, widest, supplier)[inverse]


def _walk(
    steps: list[_Step], floors: list[dict[int, np.ndarray]], limit: np.ndarray, subtotal: dict[int, np.ndarray], heaviest: dict[int, np.ndarray], found: Answer, part: np.ndarray,
) -> None:
    """Item after item, every label with every cover of its point, and what is beaten or cannot be finished is dropped.

    A label's lack is what has to be added beyond the least goods of every item; its load counts only what could still break the bound.
    """
    size = len(limit)
    none = np.zeros(size, dtype=np.int64)
    order = sorted(range(len(steps)), key=lambda k: int(steps[k].length.max(initial=0)))
    gap = limit - sum((step.cheapest for step in steps), none)
    most_left = {s: sum((_most_goods(step, s) - floor[s] for step, floor in zip(steps, floors, strict=True)), none) for s in subtotal}
    slack = {s: v - sum((step.weights[s][0] for step in steps), none) for s, v in heaviest.items()}
    heavy_left = {s: sum((step.weights[s][1] - step.weights[s][0] for step in steps), none) for s in heaviest}
    at, used, cost = np.arange(size), none, none
    lack = dict(subtotal)
    load = dict.fromkeys(heaviest, none)
    trail: list[tuple[np.ndarray, np.ndarray]] = []
    for k in order:
        step, floor = steps[k], floors[k]
        room = np.maximum(gap[at] - used, -1)
        span = int(room.max(initial=0)) + 2
        many = np.searchsorted(step.covers.at * span + np.minimum(step.extra, span - 1), step.run[at] * span + room, side="right") - step.first[at]
        each = np.bincount(at, weights=many, minlength=size)
        if each.max(initial=0) > MOST_EACH:
            found.closed[part[each > MOST_EACH]] = False
            many = np.where(each[at] > MOST_EACH, 0, many)
        total = int(many.sum())
        if total > MOST_LABELS:
            raise TooLargeError
        source = np.repeat(np.arange(len(at)), many)
        cover = np.arange(total) - np.repeat(np.cumsum(many) - many, many) + np.repeat(step.first[at], many)
        at2 = at[source]
        fine = np.ones(total, dtype=bool)
        lack2, load2 = {}, {}
        for s in lack:
            most_left[s] = most_left[s] - (_most_goods(step, s) - floor[s])
            lack2[s] = np.maximum(lack[s][source] - (step.covers.goods[s][cover] - floor[s][at2]), 0)
            fine &= lack2[s] <= most_left[s][at2]
        for s in load:
            least, most = step.weights[s]
            heavy_left[s] = heavy_left[s] - (most - least)
            now = load[s][source] + step.covers.weight[s][cover] - least[at2]
            fine &= now <= slack[s][at2]
            load2[s] = np.where(now + heavy_left[s][at2] <= slack[s][at2], 0, now)
        keep = np.flatnonzero(fine)
        cost2 = cost[source] + step.covers.cost[cover]
        if total > len(at):
            keep = keep[undominated(at2[keep], cost2[keep], [v[keep] for v in lack2.values()] + [v[keep] for v in load2.values()])]
        trail.append((source[keep], cover[keep]))
        at, used, cost = at2[keep], (used[source] + step.extra[cover])[keep], cost2[keep]
        lack, load = {s: v[keep] for s, v in lack2.items()}, {s: v[keep] for s, v in load2.items()}
    done = np.ones(len(at), dtype=bool)
    for v in lack.values():
        done &= v == 0
    label = np.flatnonzero(done)
    label = label[undominated(at[label], cost[label], [])]
    who = part[at[label]]
    found.cost[who] = cost[label]
    for k, (source, cover) in zip(reversed(order), reversed(trail), strict=True):
        for j, article in enumerate(steps[k].table.articles):
            found.counts[who, article.column] = steps[k].covers.counts[cover[label], j]
        label = source[label]


def _most_goods(step: _Step, supplier: int) -> np.ndarray:
    """Most goods at a supplier that one item can add to each point."""
    some = step.length > 0
    best = np.zeros(len(step.length), dtype=np.int64)
    if some.any():
        edges, inverse = np.unique(step.first[some], return_inverse=True)
        best[some] = np.maximum.reduceat(step.covers.goods[supplier], edges)[inverse]
    return best
