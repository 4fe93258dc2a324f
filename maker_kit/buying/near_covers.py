"""Near-cheapest covers of one item: all that could be in a basket cheaper than a known one, without those that another beats in everything."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.catalogue import NO_WEIGHT
from maker_kit.buying.covers import Table, TooLargeError

MOST_STATES = 500_000
"""Most partial covers looked at in one step."""


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
    if total > MOST_STATES:
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
