"""Near-cheapest covers of one item, and the cheapest combination of them that reaches a subtotal or stays in a delivery step: label setting.

Labels are partial baskets; one is dropped when another of the same point costs no more and leaves no more to do (Desrochers and Soumis, INFOR 26 (1988) 191–212), or when its price
with the multipliers is above what is known to be reachable.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.catalogue import NO_WEIGHT
from maker_kit.buying.covers import Table, TooLargeError

MOST_LABELS = 400_000
"""Most partial baskets looked at in one go; beyond it the points are taken in smaller lots."""


@dataclass(frozen=True)
class Covers:
    """Covers of one item for several needs.

    Attributes
    ----------
    at : numpy.ndarray
        To which of the needs each belongs, ascending.
    tilted : numpy.ndarray of int64
        Price in table units.
    cost : numpy.ndarray of int64
        Goods with tax [0.0001 cent].
    goods, weight : dict of int to numpy.ndarray
        Supplier to goods before tax [cent] and weight [0.1 g], of the suppliers asked for.
    counts : numpy.ndarray, covers × articles of the table
    """

    at: np.ndarray
    tilted: np.ndarray
    cost: np.ndarray
    goods: dict[int, np.ndarray]
    weight: dict[int, np.ndarray]
    counts: np.ndarray

    def only(self, keep: np.ndarray) -> Covers:
        """Some of the covers, by a mask or in an order."""
        return Covers(
            self.at[keep], self.tilted[keep], self.cost[keep], {s: v[keep] for s, v in self.goods.items()}, {s: v[keep] for s, v in self.weight.items()}, self.counts[keep],
        )


def near_covers(table: Table, factors: Sequence[int], need: np.ndarray, gap: np.ndarray, subtotals: dict[int, int], weighed: Sequence[int]) -> Covers:
    """Every cover whose table price is at most `gap` above the least, without those that another one beats in everything.

    Parameters
    ----------
    table : Table
    factors : sequence of int
        Cost of a cent of goods, a supplier [0.0001 cent].
    need, gap : numpy.ndarray of int64
        Needs in units of the table, and room above the least price of each.
    subtotals : dict of int to int
        Suppliers whose goods count, and the largest subtotal that is wanted of each [cent].
    weighed : sequence of int
        Suppliers whose weight counts.

    Returns
    -------
    Covers
    """
    at, left, room = np.arange(len(need)), need, table.price(need) + gap
    start = room
    chosen: list[np.ndarray] = []
    for k in range(len(table.articles) - 1, -1, -1):
        many, source = _counts_within(table, k, left, room, subtotals.get(table.articles[k].supplier, 0))
        price = _price(table.priced[k], many)
        rest = np.maximum(left[source] - many * table.sizes[k], 0)
        level = table.levels[k]
        after = room[source] - price
        fine = level.cost[level.rows(rest)] <= after
        source = source[fine]
        chosen = [c[source] for c in chosen] + [many[fine]]
        at, left, room = at[source], rest[fine], after[fine]
    counts = np.stack(chosen[::-1], axis=1) if chosen else np.zeros((len(at), 0), dtype=np.int64)
    tilted = start[at] - room
    goods: dict[int, np.ndarray] = {s: np.zeros(len(at), dtype=np.int64) for s in {a.supplier for a in table.articles} | set(subtotals)}
    weight: dict[int, np.ndarray] = {s: np.zeros(len(at), dtype=np.int64) for s in weighed}
    for k, article in enumerate(table.articles):
        goods[article.supplier] += article.goods_cents(counts[:, k])
        if article.supplier in weight:
            weight[article.supplier] += counts[:, k] * article.weight_dg
    cost = sum((factors[s] * g for s, g in goods.items()), np.zeros(len(at), dtype=np.int64))
    covers = Covers(at, tilted, cost, {s: goods[s] for s in subtotals}, weight, counts)
    lacking = [np.maximum(most - covers.goods[s], 0) for s, most in subtotals.items()]
    return covers.only(undominated(at, cost, lacking + list(weight.values())))


def _price(bands: list[tuple[int, int | None, int]], many: np.ndarray) -> np.ndarray:
    starts, prices = np.array([b[0] for b in bands]), np.array([b[2] for b in bands])
    return many * prices[np.maximum(np.searchsorted(starts, many, side="right") - 1, 0)]


def _counts_within(table: Table, k: int, left: np.ndarray, room: np.ndarray, subtotal: int) -> tuple[np.ndarray, np.ndarray]:
    """Counts of one pack that may be in a cover within the room, and the state each belongs to; a few too many, never one too few."""
    bands, size, article = table.priced[k], table.sizes[k], table.articles[k]
    least = min(price for _, _, price in bands)
    enough = -(-left // size)
    most = enough.copy()
    for low, _, each in ((b.low, b.high, b.price_cents) for b in article.bands):
        most = np.maximum(most, max(low, -(-subtotal // each) if subtotal and each else 0))  # one more copy would cover nothing and reach nothing
    if article.stock is not None:
        most = np.minimum(most, article.stock)
    if least:
        most = np.minimum(most, np.maximum(room, 0) // least)
    fewest = np.zeros_like(most)
    dense = _density(table, k)
    if not k:
        fewest = enough
    elif dense > 0:  # the packs before this one cost at least so much a unit
        slack = room - np.ceil(dense * left * (1 - 1e-9)).astype(np.int64) + 1
        per = least - dense * size
        if per > 0:
            bound = np.floor(np.maximum(slack, 0) / per * (1 + 1e-9)).astype(np.int64) + 1
            most = np.where(bound < left // size, np.minimum(most, bound), most)
        elif per < 0:
            fewest = np.maximum(np.floor(np.maximum(-slack, 0) / -per * (1 - 1e-9)).astype(np.int64) - 1, 0)
    many_of = np.maximum(most - fewest + 1, 0)
    total = int(many_of.sum())
    if total > 4 * MOST_LABELS:
        raise TooLargeError
    source = np.repeat(np.arange(len(left)), many_of)
    ends = np.cumsum(many_of)
    many = np.arange(total) - np.repeat(ends - many_of, many_of) + np.repeat(fewest, many_of)
    first = bands[0][0]
    if first > 1:
        fine = (many == 0) | (many >= first)
        many, source = many[fine], source[fine]
    return many, source


def _density(table: Table, k: int) -> float:
    """A lower bound of the price of one unit from the first `k` packs of a table."""
    return min((min(price for _, _, price in bands) / size for bands, size in zip(table.priced[:k], table.sizes[:k], strict=True)), default=0.0)


def undominated(group: np.ndarray, cost: np.ndarray, dims: Sequence[np.ndarray]) -> np.ndarray:
    """Places of what nothing of the same group beats: no dearer and nowhere more in `dims`. With more than one dimension a few that are beaten may stay."""
    order = np.lexsort((*dims[::-1], cost, group))
    if len(order) < 2:
        return order
    for turn in range(max(len(dims), 1)):
        first, others = (dims[turn], [d for k, d in enumerate(dims) if k != turn]) if dims else (cost, [])
        if turn or others:
            order = order[np.lexsort((first[order], cost[order], *(d[order] for d in others), group[order]))]
        g = group[order]
        new = np.empty(len(order), dtype=bool)
        new[0] = True
        new[1:] = g[1:] != g[:-1]
        for d in others:
            new[1:] |= d[order][1:] != d[order][:-1]
        if not dims:
            return order[new]
        run = np.cumsum(new)
        value = first[order] - run * (int(first.max()) + 1)
        best = np.minimum.accumulate(value)
        keep = new
        keep[1:] |= value[1:] < best[:-1]
        order = order[keep]
    if len(dims) > 1:
        order = _beaten_by_neighbours(order[np.lexsort((*(d[order] for d in dims[::-1]), cost[order], group[order]))], group, dims)
    return order


def _beaten_by_neighbours(order: np.ndarray, group: np.ndarray, dims: Sequence[np.ndarray]) -> np.ndarray:
    for reach in (1, 2, 3, 5, 8):
        if len(order) <= reach:
            break
        beaten = group[order][reach:] == group[order][:-reach]
        for d in dims:
            beaten &= d[order][reach:] >= d[order][:-reach]
        keep = np.ones(len(order), dtype=bool)
        keep[reach:] = ~beaten
        order = order[keep]
    return order


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


@dataclass
class _Step:
    """One item of a lot: its covers as runs by need, and what each point's run is."""

    covers: Covers
    first: np.ndarray
    length: np.ndarray
    table: Table


def _labels(tables: Sequence[Table], factors: Sequence[int], point: Point, columns: int) -> Answer:
    size = len(point.limit)
    cheapest = [table.price(need) for table, need in zip(tables, point.needs, strict=True)]
    gap = point.limit - sum(cheapest, np.zeros(size, dtype=np.int64))
    wanted = {s: int(v.max()) for s, v in point.subtotal.items()}
    steps = []
    for table, need in zip(tables, point.needs, strict=True):
        if not table.articles:
            continue
        values, inverse = np.unique(need, return_inverse=True)
        widest = np.full(len(values), -1, dtype=np.int64)
        np.maximum.at(widest, inverse, gap)
        covers = near_covers(table, factors, values, widest, wanted, list(point.heaviest))
        starts = np.searchsorted(covers.at, np.arange(len(values) + 1))
        steps.append(_Step(covers, starts[:-1][inverse], np.diff(starts)[inverse], table))
    steps.sort(key=lambda step: int(step.length.max(initial=0)))
    bounds = [_reach(step, point) for step in steps]
    gap = point.limit - sum((b[2] for b in bounds), np.zeros(size, dtype=np.int64))
    return _walk(steps, bounds, point, gap, columns, size)


def _reach(step: _Step, point: Point) -> tuple[dict[int, np.ndarray], dict[int, np.ndarray], np.ndarray]:
    """Most goods and least weight that one item can add to each point, and its least table price."""
    c = step.covers
    some = step.length > 0
    runs = np.where(some, step.first, 0)

    def by_run(values: np.ndarray, pick: np.ufunc) -> np.ndarray:
        if not len(values):
            return np.zeros(len(runs), dtype=np.int64)
        edges = np.unique(runs[some])
        best = pick.reduceat(values, edges)
        return np.where(some, best[np.minimum(np.searchsorted(edges, runs), len(edges) - 1)], 0)

    return ({s: by_run(c.goods[s], np.maximum) for s in point.subtotal}, {s: by_run(c.weight[s], np.minimum) for s in point.heaviest}, by_run(c.tilted, np.minimum))


def _walk(steps: list[_Step], bounds: list, point: Point, gap: np.ndarray, columns: int, size: int) -> Answer:
    """Item after item, every label with every cover of its point, and what is beaten or cannot be finished is dropped."""
    goods_left = {s: sum((b[0][s] for b in bounds), np.zeros(size, dtype=np.int64)) for s in point.subtotal}
    weight_left = {s: sum((b[1][s] for b in bounds), np.zeros(size, dtype=np.int64)) for s in point.heaviest}
    at, used, cost = np.arange(size), np.zeros(size, dtype=np.int64), np.zeros(size, dtype=np.int64)
    lack = {s: v.copy() for s, v in point.subtotal.items()}
    load = {s: np.zeros(size, dtype=np.int64) for s in point.heaviest}
    bounded = {s: v < NO_WEIGHT for s, v in point.heaviest.items()}
    trail: list[tuple[np.ndarray, np.ndarray]] = []
    for step, (most, least, cheapest) in zip(steps, bounds, strict=True):
        many = step.length[at]
        total = int(many.sum())
        if total > MOST_LABELS:
            raise TooLargeError
        source = np.repeat(np.arange(len(at)), many)
        cover = np.arange(total) - np.repeat(np.cumsum(many) - many, many) + np.repeat(step.first[at], many)
        at2 = at[source]
        used2 = used[source] + step.covers.tilted[cover] - cheapest[at2]
        fine = used2 <= gap[at2]
        lack2, load2 = {}, {}
        for s in lack:
            goods_left[s] = goods_left[s] - most[s]
            lack2[s] = np.maximum(lack[s][source] - step.covers.goods[s][cover], 0)
            fine &= lack2[s] <= goods_left[s][at2]
        for s in load:
            weight_left[s] = weight_left[s] - least[s]
            load2[s] = load[s][source] + np.where(bounded[s][at2], step.covers.weight[s][cover], 0)
            fine &= load2[s] + weight_left[s][at2] <= point.heaviest[s][at2]
        keep = np.flatnonzero(fine)
        cost2 = cost[source] + step.covers.cost[cover]
        if total > len(at):
            keep = keep[undominated(at2[keep], cost2[keep], [v[keep] for v in lack2.values()] + [v[keep] for v in load2.values()])]
        trail.append((source[keep], cover[keep]))
        at, used, cost = at2[keep], used2[keep], cost2[keep]
        lack, load = {s: v[keep] for s, v in lack2.items()}, {s: v[keep] for s, v in load2.items()}
    done = np.ones(len(at), dtype=bool)
    for s in lack:
        done &= lack[s] == 0
    final = np.flatnonzero(done)
    final = final[undominated(at[final], cost[final], [])]
    found = np.full(size, NO_WEIGHT)
    found[at[final]] = cost[final]
    counts = np.zeros((size, columns), dtype=np.int64)
    label, who = final, at[final]
    for step, (source, cover) in zip(reversed(steps), reversed(trail), strict=True):
        for k, article in enumerate(step.table.articles):
            counts[who, article.column] = step.covers.counts[cover[label], k]
        label = source[label]
    return Answer(np.ones(size, dtype=bool), found, counts)
