"""Near-cheapest covers of one item: all that could be in a basket cheaper than a known one, without those that another beats in everything."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.curve.catalogue import NO_WEIGHT
from maker_kit.buying.curve.covers import Table, TooLargeError
from maker_kit.buying.curve.undominated import undominated

MOST_STATES = 500_000
"""Most partial covers looked at in one step."""

MOST_EACH = 120_000
"""Most partial covers of one need in one step, shared by the dimensions they are compared in; beyond it the need is given up, as the integer program is sooner done."""

LEAST_PART = 1e-9
"""Differences of price, as a part of it, that are taken for none, as floats may not tell them from it."""


@dataclass(frozen=True)
class Covers:
    """Covers of one item for several needs.

    Attributes
    ----------
    at : numpy.ndarray
        To which of the needs each belongs, ascending.
    with_multiplier : numpy.ndarray of int64
        Price in table units.
    cost : numpy.ndarray of int64
        Goods with tax [0.0001 cent].
    goods, weight : dict of int to numpy.ndarray
        Supplier to goods before tax [cent] and weight [0.1 g], of the suppliers asked for.
    counts : numpy.ndarray, covers × articles of the table
    """

    at: np.ndarray
    with_multiplier: np.ndarray
    cost: np.ndarray
    goods: dict[int, np.ndarray]
    weight: dict[int, np.ndarray]
    counts: np.ndarray

    def only(self, keep: np.ndarray) -> Covers:
        """Some of the covers, by a mask or in an order."""
        return Covers(
            self.at[keep],
            self.with_multiplier[keep],
            self.cost[keep],
            {s: v[keep] for s, v in self.goods.items()},
            {s: v[keep] for s, v in self.weight.items()},
            self.counts[keep],
        )


@dataclass(frozen=True)
class Stack:
    """Tables of one item at several multipliers: the same packs in the same order, at other prices.

    Attributes
    ----------
    tables : list of Table
        No table twice.
    of : numpy.ndarray
        Which of them belongs to each combination of multipliers.
    """

    tables: list[Table]
    of: np.ndarray

    @property
    def first(self) -> Table:
        """One of them, for what does not depend on prices."""
        return self.tables[0]

    def least(self, which: np.ndarray, need: np.ndarray, packs: int | None = None) -> np.ndarray:
        """Least price of needs (in units of the tables) in the table of each, ascending, from the first few packs alone or from all."""
        found = np.empty(len(need), dtype=np.int64)
        edges = np.searchsorted(which, np.arange(len(self.tables) + 1))
        for table, start, end in zip(self.tables, edges[:-1], edges[1:], strict=True):
            if start < end:
                level = table.levels[-1 if packs is None else packs]
                found[start:end] = level.cost[level.rows(need[start:end])]
        return found

    def prices(self, k: int) -> np.ndarray:
        """Prices each of one pack, tables × price steps."""
        return np.array([[each for _, _, each in table.priced[k]] for table in self.tables], dtype=np.int64)

    def density(self, k: int) -> np.ndarray:
        """A lower bound of the price of one unit from the first `k` packs, a table each."""
        return np.array(
            [
                min(
                    (
                        min(each for _, _, each in bands) / size
                        for bands, size in zip(table.priced[:k], table.sizes[:k], strict=True)
                    ),
                    default=0.0,
                )
                for table in self.tables
            ]
        )


@dataclass(frozen=True)
class Asked:
    """Needs of one item whose covers are wanted.

    Attributes
    ----------
    which : numpy.ndarray
        Table of each need, ascending.
    need, gap : numpy.ndarray of int64
        Needs in units of the tables, and room above the least price of each.
    """

    which: np.ndarray
    need: np.ndarray
    gap: np.ndarray


def near_covers(
    stack: Stack,
    factors: Sequence[int],
    asked: Asked,
    subtotals: dict[int, int],
    weighed: Sequence[int],
    check: Callable[[], None],
) -> tuple[Covers, np.ndarray]:
    """Covers whose table price is at most the gap above the least, without those that another one beats in everything.

    Copies that cover nothing are added only as far as they help to reach a subtotal.

    Parameters
    ----------
    stack : Stack
    factors : sequence of int
        Cost of a cent of goods, a supplier [0.0001 cent].
    asked : Asked
    subtotals : dict of int to int
        Suppliers whose goods count, and the largest subtotal that is wanted of each [cent].
    weighed : sequence of int
        Suppliers whose weight counts.
    check : callable
        Called between steps; may raise to end the search.

    Returns
    -------
    Covers, numpy.ndarray of bool
        And which needs have too many to be listed; of theirs some are missing.
    """
    size, most = len(asked.need), stack.first.most
    at, left = np.arange(size), asked.need
    start = room = stack.least(asked.which, asked.need) + asked.gap
    full = np.zeros(size, dtype=bool)
    most_each = MOST_EACH // max(len(subtotals) + len(weighed), 1)
    none = np.zeros(size, dtype=np.int64)
    cost, goods, weight = none, dict.fromkeys(subtotals, none), dict.fromkeys(weighed, none)
    chosen: list[np.ndarray] = []
    for k in range(len(stack.first.articles) - 1, -1, -1):
        check()
        article = stack.first.articles[k]
        seller = article.supplier
        source, many, left, room = _expanded(
            stack, k, asked.which, at, left, room, subtotals.get(seller, 0), most_each, full
        )
        spent = article.goods_cents(many)
        at, cost = at[source], cost[source] + spent * factors[seller]
        goods = {s: v[source] + spent if s == seller else v[source] for s, v in goods.items()}
        weight = {s: v[source] + many * article.weight_dg if s == seller else v[source] for s, v in weight.items()}
        chosen = [c[source] for c in chosen] + [many]
        if len(at) > size or not k:
            best = undominated(
                at * (most + 1) + left,
                cost,
                [np.maximum(wanted - goods[s], 0) for s, wanted in subtotals.items()] + list(weight.values()),
            )
            at, left, room, cost = at[best], left[best], room[best], cost[best]
            goods, weight, chosen = (
                {s: v[best] for s, v in goods.items()},
                {s: v[best] for s, v in weight.items()},
                [c[best] for c in chosen],
            )
    counts = np.stack(chosen[::-1], axis=1) if chosen else np.zeros((size, 0), dtype=np.int64)
    with_multiplier = start[at] - room
    order = np.lexsort((with_multiplier, at))
    return Covers(at, with_multiplier, cost, goods, weight, counts).only(order), full


def least_goods(stack: Stack, asked: Asked, supplier: int, check: Callable[[], None]) -> tuple[np.ndarray, np.ndarray]:
    """Least goods at one supplier [cent] in any cover whose table price is at most the gap above the least; and which needs have too many covers to tell."""
    size, most = len(asked.need), stack.first.most
    full, none = np.zeros(size, dtype=bool), np.zeros(size, dtype=np.int64)
    if not any(article.supplier == supplier for article in stack.first.articles):
        return none, full
    at, left, room, goods = np.arange(size), asked.need, stack.least(asked.which, asked.need) + asked.gap, none
    for k in range(len(stack.first.articles) - 1, -1, -1):
        check()
        article = stack.first.articles[k]
        source, many, left, room = _expanded(stack, k, asked.which, at, left, room, 0, MOST_EACH, full)
        at, goods = at[source], goods[source]
        if article.supplier == supplier:
            goods = goods + article.goods_cents(many)
        best = undominated(at * (most + 1) + left, -room, [goods])
        at, left, room, goods = at[best], left[best], room[best], goods[best]
    least = np.full(size, NO_WEIGHT)
    np.minimum.at(least, at, goods)
    return np.where(least == NO_WEIGHT, 0, least), full


def _expanded(
    stack: Stack,
    k: int,
    tables: np.ndarray,
    at: np.ndarray,
    left: np.ndarray,
    room: np.ndarray,
    subtotal: int,
    most_each: int,
    full: np.ndarray,
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """States with every count of one more pack that leaves room for the cheapest cover of the rest: the state each came from, the count, what is left to cover, and the room.

    Needs with more than so many are marked in `full` and dropped.
    """
    which, prices = tables[at], stack.prices(k)
    fewest, most = _counts_within(stack, k, which, prices, left, room, subtotal)
    width = np.maximum(most - fewest + 1, 0)
    total = int(width.sum())
    if total > most_each:
        full |= np.bincount(at, weights=width, minlength=len(full)) > most_each
        width = np.where(full[at], 0, width)
        total = int(width.sum())
    if total > MOST_STATES:
        raise TooLargeError
    source = np.repeat(np.arange(len(left)), width)
    many = np.arange(total) - np.repeat(np.cumsum(width) - width - fewest, width)
    bands = stack.first.priced[k]
    if bands[0][0] > 1:
        sold = (many == 0) | (many >= bands[0][0])
        many, source = many[sold], source[sold]
    rest = np.maximum(left[source] - many * stack.first.sizes[k], 0)
    mine = which[source]
    step = np.maximum(np.searchsorted([low for low, _, _ in bands], many, side="right") - 1, 0) if len(bands) > 1 else 0
    after = room[source] - many * prices[mine, step]
    fine = np.flatnonzero(stack.least(mine, rest, k) <= after)
    return source[fine], many[fine], rest[fine], after[fine]


def _counts_within(
    stack: Stack, k: int, which: np.ndarray, prices: np.ndarray, left: np.ndarray, room: np.ndarray, subtotal: int
) -> tuple[np.ndarray, np.ndarray]:
    """Fewest and most of one pack that may be in a cover within the room, a state each; a few too many, never one too few."""
    size, article = stack.first.sizes[k], stack.first.articles[k]
    least = prices.min(axis=1)
    enough = -(-left // size)
    most = enough.copy()
    for low, _, each in ((b.low, b.high, b.price_cents) for b in article.bands):
        most = np.maximum(
            most, max(low, -(-subtotal // each) if subtotal and each else 0)
        )  # one more copy would cover nothing and reach nothing
    if article.stock is not None:
        most = np.minimum(most, article.stock)
    if least.any():
        each = least[which]
        most = np.where(each > 0, np.minimum(most, np.maximum(room, 0) // np.maximum(each, 1)), most)
    if not k:
        return enough, most
    fewest = np.zeros_like(most)
    density = stack.density(k)
    per = (least - density * size)[which]
    dense = density[which]
    if density.any():  # the packs before this one cost at least so much a unit
        slack = room - np.ceil(dense * left * (1 - 1e-9)).astype(np.int64) + 1
        none = LEAST_PART * least[which] + LEAST_PART
        dear, cheap = (dense > 0) & (per > none), (dense > 0) & (per < -none)
        bound = np.floor(np.maximum(slack, 0) / np.where(dear, per, 1) * (1 + 1e-6)).astype(np.int64) + 1
        most = np.where(dear & (bound < left // size), np.minimum(most, bound), most)
        fewest = np.where(
            cheap,
            np.maximum(np.floor(np.maximum(-slack, 0) / np.where(cheap, -per, 1) * (1 - 1e-6)).astype(np.int64) - 1, 0),
            0,
        )
    return fewest, most
