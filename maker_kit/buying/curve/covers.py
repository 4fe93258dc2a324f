"""Cheapest covers of one item for every need at once: a dynamic programme over its packs, kept between slider moves.

The covering problem is the unbounded knapsack in its covering form (Martello and Toth, Knapsack Problems, Wiley 1990,
chapter 3), extended by price steps and stock. A table holds, for every need from 0 up, the least price; it depends
neither on a recipe nor on a count of batches. Where the packs share no large unit (ounces beside grams), only the needs
at which the price changes are kept.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from maker_kit.buying.curve.catalogue import Array, Article

SCALE = 64
"""Prices in a table are counted in 64ths of 0.0001 cent, so that a part of a price is a whole number."""

NEVER = 1 << 48
"""Price of a need that no packs cover; every real price stays below an eighth of it, and thousands of it fit into 64
bits."""

DENSE_ROWS = 20_000
"""Longest table that keeps every need. With lists of changes everywhere, six markets with flat delivery took 2 to 3
times as long; a dense table for ounces beside grams would have 872,100 rows a pack."""

MOST_LISTED = 1_000_000
"""Most that is listed in one go (needs at which a price changes, choices of kits, covers, partial baskets): about 100
MB by reckoning. Beyond it what can be halved is, and the rest is left to the integer program. Half as much left 50
counts of 16 medium markets open instead of 42, in the same time; twice as much closed no more."""

MOST_EACH = 200_000
"""Most covers or partial baskets of one count; beyond it the count is given up, as the integer program is sooner done.
Half as much left 19 counts of six medium markets open instead of 14, in the same time; five times as much 16 of four
instead of 26, in twice the time."""

Priced = list[tuple[int, int, int]]
"""Price steps of an article in a table: from, to, price each in table units."""


Check = Callable[[], None]
"""Called between steps; may raise to end the search."""


class Packed(NamedTuple):
    """A pack in a table: its content in units of the table, and its price steps there."""

    article: Article
    size: int
    steps: Priced


class TooLargeError(Exception):
    """A table or a list would grow beyond what is kept in memory."""


@dataclass(frozen=True)
class Multiplier:
    """How the prices of one supplier are changed in a table: Lagrange multipliers on the rows that couple the items.

    Attributes
    ----------
    part : int
        64ths of the price that count; the rest pays for reaching a subtotal.
    per_dg : int
        Price of weight [0.0001 cent per 0.1 g].
    """

    part: int = SCALE
    per_dg: int = 0

    def price(self, goods_micros: Array | int, weight_dg: Array | int) -> Array | int:
        """Goods and their weight in table units."""
        return goods_micros * self.part + weight_dg * (SCALE * self.per_dg)

    def neighbours(self, turn: int) -> list[Multiplier]:
        """Multipliers beside this one: at first an eighth of the price more or less, and half as much again of a price
        of weight or two thirds of it; at every turn about half as far.
        """
        step, more = max(SCALE // 8 >> turn, 1), 4 << turn
        parts = [part for part in (self.part - step, self.part + step) if 0 < part <= SCALE]
        weights = [self.per_dg * more // (more + 2), self.per_dg * (more + 2) // more] if self.per_dg else []
        return [replace(self, part=part) for part in parts] + [replace(self, per_dg=weight) for weight in weights]

    def steps(self, article: Article, factor: int) -> Priced:
        """Price steps of an article, at so much a cent of goods [0.0001 cent]."""
        return [(s.low, s.high, self.price(s.price_cents * factor, article.weight_dg)) for s in article.steps]


@dataclass
class Level:
    """The table after one more pack.

    Attributes
    ----------
    cost : numpy.ndarray of int64
        Least price in table units.
    count : numpy.ndarray of int32 or None
        Copies of the last pack in that cover; None where they are worked out only for a table that is traced.
    capacity : numpy.ndarray of int64 or None
        Needs at which the price changes; None where every need has its row.
    """

    cost: Array
    count: Array | None = None
    capacity: Array | None = None

    @property
    def size(self) -> int:
        """Bytes it takes, with its copies."""
        return self.cost.nbytes * 3 // 2 + (0 if self.capacity is None else self.capacity.nbytes)

    def rows(self, need: Array) -> Array:
        """Rows of the table that belong to needs (in units of the table)."""
        return need if self.capacity is None else np.searchsorted(self.capacity, need)


@dataclass
class Table:
    """Cheapest covers of one item from some packs.

    Attributes
    ----------
    unit : int
        Base units in one unit of the table.
    most : int
        Largest need it holds, in units of the table.
    packs : tuple of Packed
    levels : tuple of Level
        One more than packs; the last is the table of all of them.
    shared : int
        How many of them are those of another table.
    serial : int
        Its number; no two tables have the same.
    """

    unit: int
    most: int
    packs: tuple[Packed, ...] = ()
    levels: tuple[Level, ...] = ()
    shared: int = 0
    serial: int = field(default_factory=itertools.count().__next__)

    def __post_init__(self) -> None:
        if not self.levels:  # of no packs: a need of 0 costs nothing, all others have no cover
            capacity = None if self.most < DENSE_ROWS else np.array([0, self.most], np.int64)
            cost = np.full(self.most + 1 if capacity is None else 2, NEVER, np.int64)
            cost[0] = 0
            self.levels = (Level(cost, np.zeros(len(cost), dtype=np.int32), capacity),)

    @property
    def own_bytes(self) -> int:
        """Bytes of the levels that it does not share."""
        return sum(level.size for level in self.levels[self.shared :])

    def price(self, need: Array) -> Array:
        """Least price of needs (in units of the table); at least `NEVER` where there is no cover."""
        last = self.levels[-1]
        return last.cost[last.rows(need)]

    def counts(self, need: Array) -> list[Array]:
        """Copies of every pack in the cover of each need; only for needs that have one."""
        found, left = [], need
        for k, (_, size, steps) in reversed(list(enumerate(self.packs))):
            level = self.levels[k + 1]
            if level.count is None:
                level.count = _copies(self.levels[k].cost, level.cost, size, steps)
            many = level.count[level.rows(left)].astype(np.int64)
            found.append(many)
            left = np.maximum(left - many * size, 0)
        return found[::-1]

    def grown(self, packs: Sequence[Packed]) -> Table:
        """The table with more packs; what there is stays shared."""
        levels = list(self.levels)
        for _, size, steps in packs:
            last = levels[-1]
            dense = last.capacity is None
            levels.append(_dense(last.cost, size, steps) if dense else _sparse(last, size, steps, self.most))
        return Table(self.unit, self.most, (*self.packs, *packs), tuple(levels), len(self.levels))


def _dense(before: Array, size: int, steps: Priced) -> Level:
    """One more pack in a table with a row for every need: a running minimum over the needs that differ by whole packs.

    A price step needs no upper end here unless the stock ends the last: more copies at an earlier price are dearer than
    the same copies at the price they reach, and so never taken.
    """
    if size >= len(before):  # one copy covers every need
        return Level(np.minimum(before, min(low * price for low, _, price in steps)))
    cost = before
    for value, _ in _by_step(before, size, steps, bits=0):
        cost = np.minimum(cost, value, out=value)
    return Level(np.minimum(cost, NEVER))


def _copies(before: Array, after: Array, size: int, steps: Priced) -> Array:
    """Copies of the last pack in the cheapest covers of `_dense`, from the first price step that reaches them and there
    the fewest.
    """
    count = np.zeros(len(before), dtype=np.int32)
    left = after < before
    for value, copies in _by_step(before, size, steps, bits=(len(before) // size + 1).bit_length()):
        found = left & (value == after)
        count[found] = copies[found]
        left &= ~found
    return count


def _by_step(before: Array, size: int, steps: Priced, bits: int) -> Iterator[tuple[Array, Array]]:
    """For every price step the least price of every need with one copy or more at that price, and how many copies.

    The table is folded by whole packs, below a row of nothing needed; the row that a least price came from rides in its
    lowest bits, without which the copies mean nothing.
    """
    length = len(before)
    height = -(-length // size)
    folded = np.empty((height + 1, size), np.int64)
    flat = folded.reshape(-1)
    flat[:size], flat[size : size + length], flat[size + length :] = 0, before, NEVER
    row = np.arange(height + 1)[:, None]
    for low, high, price in steps:
        value = np.empty_like(folded)
        value[:low] = low * price
        copies = np.full(folded.shape, low, np.int64) if bits else value
        if low <= height:
            ridden = folded - row * price
            if bits:
                ridden = (ridden << bits) | (height - row)
            least = _running_least(ridden, high - low if steps[-1][1] < height else None)[: height + 1 - low]
            np.add(least >> bits if bits else least, row[low:] * price, out=value[low:])
            if bits:
                copies[low:] = row[low:] - height + (least & ((1 << bits) - 1))
        yield value.reshape(-1)[size : size + length], copies.reshape(-1)[size : size + length]


def _running_least(rows: Array, window: int | None) -> Array:
    """The least of each row and those before it, all of them (in their place) or at most `window` of them."""
    if window is None:
        return np.minimum.accumulate(rows, axis=0, out=rows)
    found, width = rows, 1
    while width < window + 1:
        by = min(width, window + 1 - width)
        moved = found.copy()
        moved[by:] = np.minimum(found[by:], found[:-by])
        found, width = moved, width + by
    return found


def _sparse(before: Level, size: int, steps: Priced, most: int) -> Level:
    """One more pack in a table that keeps only the needs at which the price changes: copies are added in doubling lots,
    and what is dearer and covers less is dropped.
    """
    none = np.stack([before.capacity, before.cost, np.zeros_like(before.cost)])
    found, enough = none, -(-most // size)
    for low, high, price in steps:
        end = min(high, max(low, enough))
        lot, more = _with_copies(none, low, size, price, most), 1
        left = end - low
        while left > 0:
            take = min(more, left)
            lot = _undominated_rows(lot, _with_copies(lot, take, size, price, most))
            left, more = left - take, 2 * more
        found = _undominated_rows(found, lot)
    return Level(np.minimum(found[1], NEVER), found[2].astype(np.int32), found[0])


def _with_copies(rows: Array, many: int, size: int, price: int, most: int) -> Array:
    added = rows + np.array([[many * size], [many * price], [many]])
    added[0] = np.minimum(added[0], most)
    return added


def _undominated_rows(one: Array, other: Array) -> Array:
    """Rows of capacity, cost and count of both lists without what covers no more and costs no less than another."""
    rows = np.concatenate([one, other], axis=1)
    if rows.shape[1] > MOST_LISTED:
        raise TooLargeError
    rows = rows[:, np.lexsort((rows[2], rows[1], -rows[0]))]
    keep = np.ones(rows.shape[1], bool)
    keep[1:] = rows[1, 1:] < np.minimum.accumulate(rows[1])[:-1]
    return rows[:, keep][:, ::-1]
