"""What the cover tables say at the needs of one curve, and the best baskets known of it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from maker_kit.buying.curve.catalogue import Catalogue, price_counts, topped_up
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier, Table
from maker_kit.buying.curve.kit_counts import States
from maker_kit.buying.curve.near_covers import Stack
from maker_kit.buying.curve.table_cache import TableCache

Tilts = tuple[Multiplier | None, ...]
"""Multipliers, one entry a supplier; None where it is closed."""


class Prices:
    """Least prices at the needs of a curve.

    Parameters
    ----------
    tables_kept : TableCache
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    """

    def __init__(self, tables_kept: TableCache, needs: list[np.ndarray]) -> None:
        self.tables_kept, self.book, self.size = tables_kept, tables_kept.book, len(needs[0])
        self.rows = [-(-need // tables_kept.unit[item]) for item, need in enumerate(needs)]
        self.in_kits = sorted({item for k in self.book.kits for item in self.book.articles[k].content})
        self._found: dict[int, np.ndarray] = {}

    def rows_of(self, states: States) -> dict[int, np.ndarray]:
        """Needs of states in units of the tables."""
        return {item: -(-need // self.tables_kept.unit[item]) for item, need in states.needs.items()}

    def _of(self, table: Table, item: int) -> np.ndarray:
        """Price of one table at the curve's own needs."""
        found = self._found.get(table.serial)
        if found is None:
            found = self._found[table.serial] = table.price(self.rows[item])
        return found

    def apart(self, multipliers: Tilts) -> np.ndarray:
        """Least with_multiplier price of all items that are in no kit, a batch count each."""
        total = np.zeros(self.size, dtype=np.int64)
        for item in range(len(self.book.items)):
            if item not in self.in_kits:
                total += self._of(self.tables_kept.table(item, multipliers), item)
        return total

    def relaxed(self, multipliers: Tilts) -> np.ndarray:
        """A lower bound of the with_multiplier price of all items with any kits, a batch count each; the least price where there are none."""
        total = self.apart(multipliers)
        for item in self.in_kits:
            total = total + self._of(self.tables_kept.with_parts(item, multipliers), item)
        return total

    def least(self, multipliers: Tilts, states: States, rows: dict[int, np.ndarray]) -> np.ndarray:
        """Least with_multiplier price of every state, `NEVER` or more where there is no cover."""
        total = self.apart(multipliers)[states.at]
        for item, need in rows.items():
            total = total + self.tables_kept.table(item, multipliers).price(need)
        return total + self.kit_price(multipliers, states)

    def kit_price(self, multipliers: Tilts, states: States) -> np.ndarray:
        """Tilted price of the kits of every state, `NEVER` where one is sold by a closed supplier."""
        total = np.zeros(len(states.at), dtype=np.int64)
        for k, column in enumerate(self.book.kits):
            kit, many = self.book.articles[column], states.kits[:, k]
            multiplier = multipliers[kit.supplier]
            if multiplier is None:
                total += np.where(many > 0, NEVER, 0)
            else:
                total += (
                    kit.goods_cents(many) * self.book.factors[kit.supplier] * multiplier.part
                    + SCALE * multiplier.per_dg * kit.weight_dg * many
                )
        return total

    def stack(self, item: int, combinations: Sequence[Tilts]) -> Stack:
        """The tables of one item at several combinations of multipliers."""
        tables = [self.tables_kept.table(item, multipliers) for multipliers in combinations]
        each = {table.serial: table for table in tables}
        place = {serial: j for j, serial in enumerate(each)}
        return Stack(list(each.values()), np.array([place[table.serial] for table in tables]))

    def trace(self, multipliers: Tilts, states: States, rows: dict[int, np.ndarray]) -> np.ndarray:
        """The baskets behind `least`, states × articles; only for states that have one."""
        counts = np.zeros((len(states.at), len(self.book.articles)), dtype=np.int64)
        for item in range(len(self.book.items)):
            table = self.tables_kept.table(item, multipliers)
            for article, many in zip(
                table.articles, table.counts(rows[item] if item in rows else self.rows[item][states.at]), strict=True
            ):
                counts[:, article.column] = many
        for k, column in enumerate(self.book.kits):
            counts[:, column] = states.kits[:, k]
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
        self.upper = np.full(size, NEVER, dtype=np.int64)
        self.counts = np.zeros((size, len(book.articles)), dtype=np.int64)
        self._columns = [[a.column for a in book.articles if a.supplier == s] for s in range(len(book.tariffs))]

    def offer(self, at: np.ndarray, counts: np.ndarray) -> None:
        """Price baskets exactly and keep what is cheaper than what is known, or as cheap from fewer suppliers, or in fewer packs."""
        cost, taken = price_counts(self.book, counts)
        helpless = np.flatnonzero(~taken & (self.upper[at] >= NEVER))
        if len(helpless):
            counts = counts.copy()
            counts[helpless] = topped_up(self.book, counts[helpless])
            cost[helpless], taken[helpless] = price_counts(self.book, counts[helpless])
        sellers, packs = self._sellers(counts), counts.sum(axis=1)
        order = np.lexsort((packs, sellers, cost, at))
        order = order[taken[order]]
        order = order[_first(at[order])]
        who = at[order]
        better = cost[order] < self.upper[who]
        tied = np.flatnonzero(cost[order] == self.upper[who])
        if len(tied):
            held = self.counts[who[tied]]
            mine, theirs = sellers[order[tied]], self._sellers(held)
            better[tied] = (mine < theirs) | ((mine == theirs) & (packs[order[tied]] < held.sum(axis=1)))
        order = order[better]
        self.upper[at[order]] = cost[order]
        self.counts[at[order]] = counts[order]

    def _sellers(self, counts: np.ndarray) -> np.ndarray:
        found = np.zeros(len(counts), dtype=np.int64)
        for columns in self._columns:
            found += counts[:, columns].any(axis=1)
        return found

    def settle(self) -> None:
        """A basket for a larger count serves a smaller one, where it is cheaper than what is known there."""
        for n in range(len(self.upper) - 2, -1, -1):
            if self.upper[n + 1] < self.upper[n]:
                self.upper[n], self.counts[n] = self.upper[n + 1], self.counts[n + 1]


def _first(group: np.ndarray) -> np.ndarray:
    """Whether each entry is the first of its group, in a sorted array."""
    first = np.ones(len(group), dtype=bool)
    first[1:] = group[1:] != group[:-1]
    return first


def cheapest_of(group: np.ndarray, value: np.ndarray) -> np.ndarray:
    """Place of the least value of every group."""
    order = np.lexsort((value, group))
    return order[_first(group[order])]
