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
    """Covers whose table price is at most `gap` above the least, without those that another one beats in everything.

    Copies that cover nothing are added only as far as they help to reach a subtotal.

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
    room = table.price(need) + gap
    size = len(need)
    at, left, start = np.arange(size), need, room
    none = np.zeros(size, dtype=np.int64)
    cost, goods, weight = none, dict.fromkeys(subtotals, none), dict.fromkeys(weighed, none)
    chosen: list[np.ndarray] = []
    for k in range(len(table.articles) - 1, -1, -1):
        article = table.articles[k]
        seller = article.supplier
        source, many, left, room = _expanded(table, k, left, room, subtotals.get(seller, 0))
        spent = article.goods_cents(many)
        at, cost = at[source], cost[source] + spent * factors[seller]
        goods = {s: v[source] + spent if s == seller else v[source] for s, v in goods.items()}
        weight = {s: v[source] + many * article.weight_dg if s == seller else v[source] for s, v in weight.items()}
        chosen = [c[source] for c in chosen] + [many]
        if len(at) > size or not k:
            best = undominated(at * (table.most + 1) + left, cost, [np.maximum(most - goods[s], 0) for s, most in subtotals.items()] + list(weight.values()))
            at, left, room, cost = at[best], left[best], room[best], cost[best]
            goods, weight, chosen = {s: v[best] for s, v in goods.items()}, {s: v[best] for s, v in weight.items()}, [c[best] for c in chosen]
    counts = np.stack(chosen[::-1], axis=1) if chosen else np.zeros((size, 0), dtype=np.int64)
    covers = Covers(at, start[at] - room, cost, goods, weight, counts)
    return covers if np.all(at[1:] >= at[:-1]) else covers.only(np.argsort(at, kind="stable"))


def least_goods(table: Table, need: np.ndarray, gap: np.ndarray, supplier: int) -> np.ndarray:
    """Least goods at one supplier [cent] in any cover whose table price is at most `gap` above the least."""
    if not any(article.supplier == supplier for article in table.articles):
        return np.zeros(len(need), dtype=np.int64)
    at, left, room, goods = np.arange(len(need)), need, table.price(need) + gap, np.zeros(len(need), dtype=np.int64)
    for k in range(len(table.articles) - 1, -1, -1):
        article = table.articles[k]
        source, many, left, room = _expanded(table, k, left, room, 0)
        at, goods = at[source], goods[source]
        if article.supplier == supplier:
            goods = goods + article.goods_cents(many)
        best = undominated(at * (table.most + 1) + left, -room, [goods])
        at, left, room, goods = at[best], left[best], room[best], goods[best]
    least = np.full(len(need), NO_WEIGHT)
    np.minimum.at(least, at, goods)
    return np.where(least == NO_WEIGHT, 0, least)


def _expanded(table: Table, k: int, left: np.ndarray, room: np.ndarray, subtotal: int) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """States with every count of one more pack that leaves room for the cheapest cover of the rest: the state each came from, the count, what is left to cover, and the room."""
    many, source = _counts_within(table, k, left, room, subtotal)
    rest = np.maximum(left[source] - many * table.sizes[k], 0)
    after = room[source] - _price(table.priced[k], many)
    level = table.levels[k]
    fine = level.cost[level.rows(rest)] <= after
    return source[fine], many[fine], rest[fine], after[fine]


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


@dataclass(frozen=True)
class _Step:
    """One item of a lot: its covers as runs by need, which run is each point's, and over that run the ends of what a cover adds."""

    table: Table
    covers: Covers
    first: np.ndarray
    length: np.ndarray
    cheapest: np.ndarray
    weights: dict[int, tuple[np.ndarray, np.ndarray]]


def _step(table: Table, factors: Sequence[int], need: np.ndarray, gap: np.ndarray, wanted: dict[int, np.ndarray], weighed: Sequence[int]) -> _Step:
    values, inverse = np.unique(need, return_inverse=True)
    widest = np.full(len(values), -1, dtype=np.int64)
    np.maximum.at(widest, inverse, gap)
    covers = near_covers(table, factors, values, widest, {s: int(v.max()) for s, v in wanted.items()}, weighed)
    edges = np.searchsorted(covers.at, np.arange(len(values) + 1))
    some = np.diff(edges) > 0

    def by_run(amounts: np.ndarray, pick: np.ufunc) -> np.ndarray:
        best = np.zeros(len(values), dtype=np.int64)
        if some.any():
            best[some] = pick.reduceat(amounts, edges[:-1][some])
        return best[inverse]

    return _Step(
        table, covers, edges[:-1][inverse], np.diff(edges)[inverse], by_run(covers.tilted, np.minimum),
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
    load = {s: none for s in heaviest}
    trail: list[tuple[np.ndarray, np.ndarray]] = []
    for k in order:
        step, floor = steps[k], floors[k]
        many = step.length[at]
        total = int(many.sum())
        if total > MOST_LABELS:
            raise TooLargeError
        source = np.repeat(np.arange(len(at)), many)
        cover = np.arange(total) - np.repeat(np.cumsum(many) - many, many) + np.repeat(step.first[at], many)
        at2 = at[source]
        used2 = used[source] + step.covers.tilted[cover] - step.cheapest[at2]
        fine = used2 <= gap[at2]
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
        at, used, cost = at2[keep], used2[keep], cost2[keep]
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
