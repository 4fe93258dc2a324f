"""Cheapest covers of one item for every need at once: a dynamic programme over its packs, kept between slider moves.

The covering problem is the unbounded knapsack in its covering form (Martello and Toth, Knapsack Problems, Wiley 1990, chapter 3), extended by price steps and stock. A table holds, for
every need from 0 up, the least price; it depends neither on a recipe nor on a count of batches. Where the packs share no large unit (ounces beside grams), only the needs at which
the price changes are kept.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from maker_kit.buying.curve.catalogue import Article

SCALE = 64
"""Prices in a table are counted in 64ths of 0.0001 cent, so that a share of a price is a whole number."""

NEVER = 1 << 48
"""Price of a need that no packs cover; every real price stays below half of it."""

DENSE_ROWS = 6_000
"""Longest table that keeps every need; longer ones keep only the needs at which the price changes."""


MOST_ROWS = 400_000
"""Longest list of needs at which a price changes."""


class TooLargeError(Exception):
    """A table would grow beyond what is kept in memory."""


@dataclass(frozen=True)
class Multiplier:
    """How the prices of one supplier are with_multiplier in a table: Lagrange multipliers on the rows that couple the items.

    Attributes
    ----------
    part : int
        64ths of the price that count; the rest pays for reaching a subtotal.
    per_dg : int
        Price of weight [0.0001 cent per 0.1 g].
    """

    part: int = SCALE
    per_dg: int = 0


def with_multiplier(article: Article, factor: int, multiplier: Multiplier) -> list[tuple[int, int | None, int]]:
    """Bands of an article as (from, to, price each in table units)."""
    return [
        (
            band.low,
            band.high,
            band.price_cents * factor * multiplier.part + SCALE * multiplier.per_dg * article.weight_dg,
        )
        for band in article.bands
    ]


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

    cost: np.ndarray
    count: np.ndarray | None = None
    capacity: np.ndarray | None = None

    @property
    def size(self) -> int:
        """Bytes it takes, with its copies."""
        return self.cost.nbytes * 3 // 2 + (0 if self.capacity is None else self.capacity.nbytes)

    def rows(self, need: np.ndarray) -> np.ndarray:
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
    articles : list of Article
    sizes : list of int
        Content of each, in units of the table.
    priced : list of list of (int, int or None, int)
        Their bands as `with_multiplier` gives them.
    levels : list of Level
        One more than articles.
    serial : int
        Its number; no two tables have the same.
    """

    unit: int
    most: int
    articles: list[Article]
    sizes: list[int]
    priced: list[list[tuple[int, int | None, int]]]
    levels: list[Level] = field(default_factory=list)
    serial: int = field(default_factory=itertools.count().__next__)

    @property
    def last(self) -> Level:
        """The table of all packs."""
        return self.levels[-1]

    def price(self, need: np.ndarray) -> np.ndarray:
        """Least price of needs (in units of the table); at least `NEVER` where there is no cover."""
        return self.last.cost[self.last.rows(need)]

    def counts(self, need: np.ndarray) -> list[np.ndarray]:
        """Copies of every pack in the cover of each need; only for needs that have one."""
        found, left = [], need
        for k in range(len(self.articles) - 1, -1, -1):
            level = self.levels[k + 1]
            if level.count is None:
                level.count = _copies(self.levels[k], level, self.sizes[k], self.priced[k])
            many = level.count[level.rows(left)].astype(np.int64)
            found.append(many)
            left = np.maximum(left - many * self.sizes[k], 0)
        return found[::-1]

    def grown(
        self, articles: Sequence[Article], sizes: Sequence[int], priced: Sequence[list[tuple[int, int | None, int]]]
    ) -> Table:
        """The table with more packs; what there is stays shared."""
        bigger = Table(
            self.unit,
            self.most,
            [*self.articles, *articles],
            [*self.sizes, *sizes],
            [*self.priced, *priced],
            list(self.levels),
        )
        for size, rows in zip(sizes, priced, strict=True):
            bigger.levels.append(
                _dense(bigger.last, size, rows)
                if bigger.last.capacity is None
                else _sparse(bigger.last, size, rows, self.most)
            )
        return bigger


def empty_table(unit: int, most: int) -> Table:
    """The table of no packs: a need of 0 costs nothing, all others have no cover."""
    if most + 1 <= DENSE_ROWS:
        cost = np.full(most + 1, NEVER, dtype=np.int64)
        cost[0] = 0
        return Table(unit, most, [], [], [], [Level(cost)])
    both = np.array([0, most], dtype=np.int64)
    return Table(
        unit, most, [], [], [], [Level(np.array([0, NEVER], dtype=np.int64), np.zeros(2, dtype=np.int32), both)]
    )


def _dense(before: Level, size: int, bands: list[tuple[int, int | None, int]]) -> Level:
    """One more pack in a table with a row for every need: a running minimum over the needs that differ by whole packs.

    A band needs no upper end here unless the stock ends the last: more copies at an earlier price are dearer than the same copies at the price they reach, and so never taken.
    """
    length = len(before.cost)
    height = -(-length // size)
    cost = before.cost
    if height == 1:  # one copy covers every need
        return Level(np.minimum(cost, min(low * price for low, _, price in bands)))
    padded, limited = _padded(before, size, bands)
    step = np.arange(height + 1, dtype=np.int64)[:, None]
    for low, high, price in bands:
        value = np.empty((height + 1, size), dtype=np.int64)
        value[:low] = low * price
        if low <= height:
            least = _running_least(padded - step * price, high - low if limited else None)
            np.add(least[: height + 1 - low], step[low:] * price, out=value[low:])
        cost = np.minimum(cost, value[1:].reshape(-1)[:length])
    return Level(np.minimum(cost, NEVER))


def _copies(before: Level, after: Level, size: int, bands: list[tuple[int, int | None, int]]) -> np.ndarray:
    """Copies of the last pack in the cheapest covers of `_dense`, from the first price step that reaches them and there the fewest."""
    length = len(before.cost)
    height = -(-length // size)
    count = np.zeros(length, dtype=np.int32)
    left = after.cost < before.cost
    padded, limited = _padded(before, size, bands)
    step = np.arange(height + 1, dtype=np.int64)[:, None]
    bits = int(height).bit_length()
    for low, high, price in bands:
        value = np.full((height + 1, size), low * price, dtype=np.int64)
        copies = np.full((height + 1, size), low, dtype=np.int64)
        if low <= height:
            drop = step * price
            top = _running_least(((padded - drop) << bits) | (height - step), high - low if limited else None)[
                : height + 1 - low
            ]  # the row it came from rides in the lowest bits
            value[low:] = (top >> bits) + drop[low:]
            copies[low:] = step[low:] - (height - (top & ((1 << bits) - 1)))
        found = left & (value[1:].reshape(-1)[:length] == after.cost)
        count[found] = copies[1:].reshape(-1)[:length][found]
        left &= ~found
    return count


def _padded(before: Level, size: int, bands: list[tuple[int, int | None, int]]) -> tuple[np.ndarray, bool]:
    """A table with a row for every need folded by whole packs, below a row of nothing needed; and whether the stock bounds the copies."""
    length = len(before.cost)
    height = -(-length // size)
    padded = np.empty((height + 1, size), dtype=np.int64)
    padded[0] = 0
    padded[1:].reshape(-1)[:length] = before.cost
    padded.reshape(-1)[size + length :] = NEVER
    return padded, bands[-1][1] is not None and bands[-1][1] < height


def _running_least(rows: np.ndarray, window: int | None) -> np.ndarray:
    """The least of each row and those before it, all of them or at most `window` of them."""
    if window is None:
        return np.minimum.accumulate(rows, axis=0)
    found, width = rows, 1
    while width < window + 1:
        by = min(width, window + 1 - width)
        moved = found.copy()
        moved[by:] = np.minimum(found[by:], found[:-by])
        found, width = moved, width + by
    return found


def _sparse(before: Level, size: int, bands: list[tuple[int, int | None, int]], most: int) -> Level:
    """One more pack in a table that keeps only the needs at which the price changes: copies are added in doubling lots, and what is dearer and covers less is dropped."""
    found = (before.capacity, before.cost, np.zeros(len(before.cost), dtype=np.int64))
    enough = -(-most // size)
    for low, high, price in bands:
        end = max(low, enough) if high is None else min(high, max(low, enough))
        lot = (
            np.minimum(before.capacity + low * size, most),
            before.cost + low * price,
            np.full(len(before.cost), low, dtype=np.int64),
        )
        left, more = end - low, 1
        while left > 0:
            take = min(more, left)
            lot = _cheapest(lot, (np.minimum(lot[0] + take * size, most), lot[1] + take * price, lot[2] + take))
            left, more = left - take, 2 * more
        found = _cheapest(found, lot)
    return Level(found[1], found[2].astype(np.int32), found[0])


def _cheapest(
    one: tuple[np.ndarray, np.ndarray, np.ndarray], other: tuple[np.ndarray, np.ndarray, np.ndarray]
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Both lists without what covers no more and costs no less than another."""
    if len(one[0]) + len(other[0]) > MOST_ROWS:
        raise TooLargeError
    capacity, cost, count = (np.concatenate(pair) for pair in zip(one, other, strict=True))
    order = np.lexsort((count, cost, -capacity))
    capacity, cost, count = capacity[order], cost[order], count[order]
    best = np.minimum.accumulate(cost)
    keep = np.ones(len(cost), dtype=bool)
    keep[1:] = cost[1:] < best[:-1]
    keep[0] = True
    return capacity[keep][::-1], np.minimum(cost[keep][::-1], NEVER), count[keep][::-1]


def shared_unit(sizes: Sequence[int]) -> int:
    """Largest unit that all pack sizes are whole multiples of."""
    return math.gcd(*sizes) or 1
