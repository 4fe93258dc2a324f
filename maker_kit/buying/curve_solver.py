"""Whole cost curves, exact and live: tables of covers that are kept between slider moves, and a certified band where a count is not proved yet."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from maker_kit.buying.catalogue import catalogue
from maker_kit.buying.covers import NEVER, Shelves
from maker_kit.buying.curve_search import Search, until
from maker_kit.buying.market import Market
from maker_kit.buying.pricing import check_market

HEADROOM = 1.5
"""How much larger than the first need the tables are made, so that a moved slider finds them ready."""


@dataclass(frozen=True)
class CurveBand:
    """What is known of the cost of every count of batches from 1 on.

    Attributes
    ----------
    counts : tuple of int
    lower_e4 : tuple of int
        What no basket goes below [0.0001 cent].
    upper_e4 : tuple of (int or None)
        Cost of the best basket known; None where none is known.
    packs : tuple of str
        Pack names of the columns of `basket_counts`.
    basket_counts : numpy.ndarray, counts × packs
    """

    counts: tuple[int, ...]
    lower_e4: tuple[int, ...]
    upper_e4: tuple[int | None, ...]
    packs: tuple[str, ...]
    basket_counts: np.ndarray
    status: tuple[str, ...]


def needs_of(per_batch: Mapping[str, Fraction], upto: int) -> dict[str, np.ndarray]:
    """``ceil(n · per batch)`` of every item for n = 1 … `upto`, exactly."""
    found = {}
    steps = np.arange(1, upto + 1, dtype=np.int64)
    for item, amount in per_batch.items():
        exact = Fraction(amount)
        if exact.numerator * upto < 2**62:
            found[item] = -(-exact.numerator * steps // exact.denominator)
        else:
            found[item] = np.array([-(-exact.numerator * n // exact.denominator) for n in range(1, upto + 1)], dtype=np.int64)
    return found


class CurveSolver:
    """Curves of one market."""

    def __init__(self, market: Market) -> None:
        check_market(market)
        self.market = market
        self._shelves: dict[tuple[str, ...], Shelves] = {}

    def shelves(self, needs: Mapping[str, np.ndarray]) -> Shelves:
        items = tuple(sorted(needs))
        most = [int(needs[item][-1]) for item in items]
        found = self._shelves.get(items)
        if found is None or any(m > have for m, have in zip(most, found.most, strict=False)):
            found = Shelves(catalogue(self.market, items), [int(m * HEADROOM) + 1 for m in most])
            self._shelves[items] = found
        return found

    def curve(self, per_batch: Mapping[str, Fraction], upto: int, *, seconds: float | None = None, cancelled: Callable[[], bool] | None = None) -> CurveBand:
        needs = {item: need for item, need in needs_of(per_batch, upto).items() if need[-1] > 0}
        shelves = self.shelves(needs)
        search = Search(shelves, [needs[item] for item in shelves.book.items], until(None if seconds is None else time.monotonic() + seconds, cancelled))
        search.run()
        self.last = search
        upper = tuple(int(u) if u < NEVER else None for u in search.upper)
        status = tuple("proved" if u is not None and u == l else "not proved" for u, l in zip(upper, search.lower, strict=True))
        return CurveBand(tuple(range(1, upto + 1)), tuple(int(x) for x in search.lower), upper, tuple(a.name for a in shelves.book.articles), search.counts, status)
