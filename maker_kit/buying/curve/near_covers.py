"""Near-cheapest covers of one item: all that could be in a basket cheaper than a known one, without those that another
beats in everything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS
from maker_kit.buying.curve.catalogue import Array, Article
from maker_kit.buying.curve.covers import MOST_EACH, MOST_LISTED, Check, Table, TooLargeError
from maker_kit.buying.curve.undominated import undominated

Row = tuple[int, int | None]
"""A supplier, and the subtotal that is wanted of it [cent]; None where its weight counts."""


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
    of: Array

    @property
    def first(self) -> Table:
        """One of them, for what does not depend on prices."""
        return self.tables[0]

    def least(self, which: Array, need: Array, packs: int = -1) -> Array:
        """Least price of needs (in units of the tables) in the table of each, ascending; of the first packs or all."""
        found = np.empty(len(need), np.int64)
        edges = np.searchsorted(which, np.arange(len(self.tables) + 1))
        for table, start, end in zip(self.tables, edges[:-1], edges[1:], strict=True):
            level = table.levels[packs]
            found[start:end] = level.cost[level.rows(need[start:end])]
        return found

    def asked(self, combination: Array, need: Array, gap: Array) -> tuple[Asked, Array]:
        """The different needs of some points at the tables of their multipliers, each with the widest gap; and which is
        each point's.
        """
        most = self.first.most + 1
        values, inverse = np.unique(self.of[combination] * most + need, return_inverse=True)
        widest = np.full(len(values), -1, np.int64)
        np.maximum.at(widest, inverse, gap)
        return Asked(values // most, values % most, widest), inverse


@dataclass(frozen=True)
class Asked:
    """Needs of one item whose covers are wanted: the table of each, the need in its units, and the room above the least
    price.
    """

    which: Array
    need: Array
    gap: Array


@dataclass(frozen=True)
class Covers:
    """Covers of one item for several needs.

    Attributes
    ----------
    at : numpy.ndarray
        To which of the needs each belongs, ascending.
    price : numpy.ndarray of int64
        Price in table units, ascending for every need.
    cost : numpy.ndarray of int64
        Goods with tax [0.0001 cent].
    amounts : list of numpy.ndarray
        Goods before tax [cent] or weight [0.1 g], a row each.
    counts : list of numpy.ndarray
        Copies, an article of the table each.
    full : numpy.ndarray of bool
        Which needs have too many covers to be listed; of theirs some are missing.
    """

    at: Array
    price: Array
    cost: Array
    amounts: list[Array]
    counts: list[Array]
    full: Array


def near_covers(stack: Stack, factors: Sequence[int], asked: Asked, rows: Sequence[Row], check: Check) -> Covers:
    """Covers whose table price is at most the gap above the least, without those that another one beats in everything.

    Pack after pack from the last, every count is kept that leaves room for the cheapest cover of the rest. Copies that
    cover nothing are added only as far as they help to reach a subtotal.

    Parameters
    ----------
    stack : Stack
    factors : sequence of int
        Cost of a cent of goods, a supplier [0.0001 cent].
    asked : Asked
    rows : sequence of (int, int or None)
        Suppliers whose goods count, with the largest subtotal that is wanted of each [cent]; or, with None, whose
        weight counts.
    check : callable
        Called between steps; may raise to end the search.

    Returns
    -------
    Covers

    Raises
    ------
    TooLargeError
        If all needs together have too many.
    """
    size, table = len(asked.need), stack.first
    most_each = MOST_EACH // max(len(rows), 1)
    full, none = np.zeros(size, bool), np.zeros(size, np.int64)
    start = asked.gap + stack.least(asked.which, asked.need)
    at, left, room, cost = np.arange(size), asked.need, start, none
    amounts, counts = [none for _ in rows], []
    for k in range(len(table.packs) - 1, -1, -1):
        check()
        article = table.packs[k].article
        seller = article.supplier
        subtotal = max((wanted or 0 for s, wanted in rows if s == seller), default=0)
        source, many, left, room = _with_pack(stack, k, asked.which, at, left, room, subtotal, most_each, full)
        spent, heavy = article.goods_cents(many), many * article.weight_dg
        added = [0 if s != seller else heavy if wanted is None else spent for s, wanted in rows]
        amounts = [v[source] + more for v, more in zip(amounts, added, strict=True)]
        at, cost, counts = at[source], cost[source] + spent * factors[seller], [*(c[source] for c in counts), many]
        if len(at) > size or not k:
            dims = [v if w is None else np.maximum(w - v, 0) for (_, w), v in zip(rows, amounts, strict=True)]
            best = undominated(at * (table.most + 1) + left, cost, dims)
            at, left, room, cost = at[best], left[best], room[best], cost[best]
            amounts, counts = [v[best] for v in amounts], [c[best] for c in counts]
    price = start[at] - room
    order = np.lexsort((price, at))
    amounts, counts = [v[order] for v in amounts], [c[order] for c in counts[::-1]]
    return Covers(at[order], price[order], cost[order], amounts, counts, full)


def least_goods(stack: Stack, asked: Asked, supplier: int, check: Check) -> tuple[Array, Array]:
    """Least goods at one supplier [cent] in any cover whose table price is at most the gap above the least; and which
    needs have too many covers to tell.
    """
    size, packs = len(asked.need), stack.first.packs
    full, goods = np.zeros(size, bool), np.zeros(size, np.int64)
    if all(pack.article.supplier != supplier for pack in packs):
        return goods, full
    at, left, room = np.arange(size), asked.need, asked.gap + stack.least(asked.which, asked.need)
    for k in range(len(packs) - 1, -1, -1):
        check()
        source, many, left, room = _with_pack(stack, k, asked.which, at, left, room, 0, MOST_EACH, full)
        article = packs[k].article
        at, goods = at[source], goods[source] + (article.goods_cents(many) if article.supplier == supplier else 0)
        best = undominated(at * (stack.first.most + 1) + left, -room, [goods])
        at, left, room, goods = at[best], left[best], room[best], goods[best]
    least = np.full(size, ENDLESS)
    np.minimum.at(least, at, goods)
    return np.where(least < ENDLESS, least, 0), full


def _with_pack(
    stack: Stack, k: int, tables: Array, at: Array, left: Array, room: Array, subtotal: int, most_each: int, full: Array
) -> tuple[Array, Array, Array, Array]:
    """Partial covers with every count of one more pack that leaves room for the cheapest cover of the rest: which each
    came from, the count, what is left to cover, and the room. Needs with more than so many are marked, and dropped.
    """
    article, content, steps = stack.first.packs[k]
    which, prices = tables[at], np.array([[each for *_, each in one.packs[k].steps] for one in stack.tables])
    least = prices.min(axis=1)[which]
    most = most_copies(article, -(-left // content), subtotal)
    most = np.where(least > 0, np.minimum(most, np.maximum(room, 0) // np.maximum(least, 1)), most)
    fewest = np.zeros_like(most) if k else -(-left // content)  # the first pack covers all that is left
    width = np.maximum(most - fewest + 1, 0)
    full |= np.bincount(at, weights=width, minlength=len(full)) > most_each
    source, many = spread(fewest, np.where(full[at], 0, width), MOST_LISTED)
    rest = np.maximum(left[source] - many * content, 0)
    step = np.maximum(np.searchsorted([low for low, _, _ in steps], many, side="right") - 1, 0)
    after = room[source] - many * prices[which[source], step]
    sold = (many == 0) | (many >= article.fewest)
    fine = np.flatnonzero(sold & (stack.least(which[source], rest, k) <= after))
    return source[fine], many[fine], rest[fine], after[fine]


def most_copies(article: Article, enough: Array, subtotal: int) -> Array:
    """Most copies of one pack beyond which one more would cover nothing and reach neither a price step nor a subtotal
    [cent].
    """
    each = max((-(-subtotal // step.price_cents) for step in article.steps if step.price_cents), default=0)
    return np.minimum(np.maximum(enough, max(each, article.steps[-1].low)), article.stock)


def spread(fewest: Array, width: Array, most: int) -> tuple[Array, Array]:
    """Every row as often as it is wide, and the counts from its fewest up.

    Raises
    ------
    TooLargeError
        If that makes more than so many.
    """
    if width.sum() > most:
        raise TooLargeError
    source = np.repeat(np.arange(len(width)), width)
    return source, np.arange(len(source)) - np.repeat(np.cumsum(width) - width - fewest, width)
