"""What the cover tables say at the needs of one curve, and the best baskets known of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from maker_kit.buying.curve.catalogue import Array, Catalogue, price_counts, topped_up
from maker_kit.buying.curve.covers import NEVER, Check, Table
from maker_kit.buying.curve.kit_counts import States
from maker_kit.buying.curve.near_covers import Stack
from maker_kit.buying.curve.supplier_subsets import Multipliers
from maker_kit.buying.curve.table_cache import TableCache
from maker_kit.buying.curve.undominated import starts


class Prices:
    """Least prices at the needs of a curve.

    Parameters
    ----------
    cache : TableCache
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    check : callable
        Called before every table; may raise to end the search. Another may be put in its place.
    """

    def __init__(self, cache: TableCache, needs: list[Array], check: Check) -> None:
        self.cache, self.book, self.size, self.check = cache, cache.book, len(needs[0]), check
        self.rows = [-(-need // cache.unit[item]) for item, need in enumerate(needs)]
        self.in_kits = sorted({item for kit in self.book.kits for item in kit.content})
        self._found: dict[int, Array] = {}
        self._sums: dict[Multipliers, Array] = {}

    def in_units(self, states: States) -> States:
        """The states with their needs in units of the tables, as all below take them."""
        return replace(states, needs={item: -(-need // self.cache.unit[item]) for item, need in states.needs.items()})

    def _sum(self, tables: dict[int, Table]) -> Array:
        """Prices of some tables at the curve's own needs, added up."""
        total = np.zeros(self.size, np.int64)
        for item, table in tables.items():
            if table.serial not in self._found:
                self._found[table.serial] = table.price(self.rows[item])
            total += self._found[table.serial]
        return total

    def _apart(self, multipliers: Multipliers) -> Array:
        """Least price of the items that are in no kit, a batch count each."""
        if multipliers not in self._sums:
            tables: dict[int, Table] = {}
            for item in range(len(self.book.items)):
                if item not in self.in_kits:
                    self.check()
                    tables[item] = self.cache.table(item, multipliers)
            self._sums[multipliers] = self._sum(tables)
        return self._sums[multipliers]

    def relaxed(self, multipliers: Multipliers) -> Array:
        """A lower bound of the price of all items with any kits, a batch count each; the least price where there are
        none.
        """
        parts = {item: self.cache.with_parts(item, multipliers) for item in self.in_kits}
        return self._apart(multipliers) + self._sum(parts)

    def least(self, multipliers: Multipliers, states: States) -> Array:
        """Least price of every state, `NEVER` or more where there is no cover."""
        total = self._apart(multipliers)[states.at] + self.kit_price(multipliers, states)
        for item, need in states.needs.items():
            total += self.cache.table(item, multipliers).price(need)
        return total

    def kit_price(self, multipliers: Multipliers, states: States) -> Array:
        """Price of the kits of every state, `NEVER` where one is sold by a closed supplier."""
        total = np.zeros(len(states.at), np.int64)
        for kit, many in zip(self.book.kits, states.kits.T, strict=True):
            multiplier = multipliers[kit.supplier]
            if multiplier is None:
                total += np.where(many > 0, NEVER, 0)
            else:
                goods = kit.goods_cents(many) * self.book.factors[kit.supplier]
                total += multiplier.price(goods, kit.weight_dg * many)
        return total

    def stacks(self, combinations: Sequence[Multipliers]) -> list[Stack]:
        """The tables of every item at several combinations of multipliers."""
        found = []
        for item in range(len(self.cache.groups)):
            tables = [self.cache.table(item, multipliers) for multipliers in combinations]
            each = {table.serial: table for table in tables}
            place = {serial: k for k, serial in enumerate(each)}
            found.append(Stack(list(each.values()), np.array([place[table.serial] for table in tables])))
        return found

    def needs(self, states: States) -> list[Array]:
        """Need of every item, and none of what only fills an order up."""
        rows = enumerate(self.rows)
        found = [states.needs[item] if item in states.needs else need[states.at] for item, need in rows]
        return found + [np.zeros_like(states.at)] * (len(self.cache.groups) - len(found))

    def trace(self, multipliers: Multipliers, states: States) -> Array:
        """The baskets behind `least`, states × articles; only for states that have one."""
        counts = np.zeros((len(states.at), len(self.book.articles)), np.int64)
        for item, need in enumerate(self.needs(states)[: len(self.book.items)]):
            self.check()
            table = self.cache.table(item, multipliers)
            for pack, many in zip(table.packs, table.counts(need), strict=True):
                counts[:, pack.article.column] = many
        return self.with_kits(counts, states)

    def with_kits(self, counts: Array, states: States) -> Array:
        """Baskets with the kits of their states put in."""
        counts[:, [kit.column for kit in self.book.kits]] = states.kits
        return counts


class Known:
    """The best baskets known of a curve.

    Parameters
    ----------
    book : Catalogue
    size : int
        Number of batch counts.

    Attributes
    ----------
    upper : numpy.ndarray of int64
        Their cost [0.0001 cent]; `NEVER` where none is known.
    counts : numpy.ndarray, batch counts × articles
    """

    def __init__(self, book: Catalogue, size: int) -> None:
        self.book = book
        self.upper = np.full(size, NEVER, np.int64)
        self.counts = np.zeros((size, len(book.articles)), np.int64)

    def offer_covers(self, prices: Prices, multipliers: Multipliers, states: States) -> None:
        """The baskets behind the least prices of some states; see `offer`."""
        if len(states.at):
            self.offer(states.at, prices.trace(multipliers, states))

    def offer(self, at: Array, counts: Array) -> None:
        """Price baskets exactly; keep what is cheaper than what is known, or as cheap from fewer suppliers, or in fewer
        packs.
        """
        cost, taken = price_counts(self.book, counts)
        helpless = ~taken & (self.upper[at] >= NEVER)
        if helpless.any():
            counts[helpless] = topped_up(self.book, counts[helpless])
            cost[helpless], taken[helpless] = price_counts(self.book, counts[helpless])
        good = np.flatnonzero(taken & (cost <= self.upper[at]))
        rank = self._rank(counts[good])
        order = np.lexsort((rank, cost[good], at[good]))
        order = order[starts(at[good[order]])]
        best, rank = good[order], rank[order]
        who = at[best]
        better = (cost[best] < self.upper[who]) | (rank < self._rank(self.counts[who]))
        best, who = best[better], who[better]
        self.upper[who], self.counts[who] = cost[best], counts[best]

    def _rank(self, counts: Array) -> Array:
        """What comes later among baskets at one cost: more suppliers, which no number of packs outweighs, then more
        packs.
        """
        sellers = np.array([article.supplier for article in self.book.articles], np.int64)
        many = sum(counts[:, sellers == s].any(axis=1) for s in range(len(self.book.tariffs)))
        return NEVER * many + counts.sum(axis=1)

    def settle(self) -> None:
        """A basket for a larger count serves a smaller one, where it is cheaper than what is known there."""
        for n in range(len(self.upper) - 2, -1, -1):
            if self.upper[n + 1] < self.upper[n]:
                self.upper[n], self.counts[n] = self.upper[n + 1], self.counts[n + 1]


def cheapest_of(group: Array, value: Array) -> Array:
    """Place of the least value of every group."""
    order = np.lexsort((value, group))
    return order[starts(group[order])]
