"""Which suppliers are open and how each order is charged: modes, their constant charges, and multipliers on the rows
that join the items.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS, Mode
from maker_kit.buying.curve.catalogue import Array, Catalogue
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier

MOST_WAYS = 256
"""Most sets of open suppliers (so no more than eight suppliers). Of combinations of multipliers to begin with all sets
together have no more than four times as many. A quarter of it did the same on nine small markets; with 16, half of
their counts stayed open. With as many of each of 64 sets, 15 items, 400 packs and steps of weight (seed 910) took more
than 22 s and left a middle count known to 5 %; now the search ends after 12 s, and 200 counts are known to 1 % on
average, the worst to 2.1 %. Of combinations of modes of one set six times as many: with more, each supplier gets one
mode below all of its own, which bounds the cost and proves little. With no more than 256 of them 46 of 48 counts of a
maker's market with six suppliers stayed open, and with 1,536 one."""

Multipliers = tuple[Multiplier | None, ...]
"""One a supplier; None where it is closed."""


@dataclass(frozen=True)
class SupplierSubset:
    """A set of open suppliers with every combination of the ways to charge their orders.

    Attributes
    ----------
    open : tuple of int
    fees : numpy.ndarray of int64
        What all orders are charged, a mode each [0.0001 cent].
    bounds : numpy.ndarray of int64, modes × rows
        Two rows an open supplier: goods that each mode takes [cent], and weight that it bears [0.1 g]; `ENDLESS` for
        any.
    multipliers : tuple of Multipliers
        Combinations to try; the first changes nothing.
    exact : bool
        Whether no mode asks for a subtotal, bounds a weight or stands for several, so that the cheapest covers are the
        answer.
    """

    open: tuple[int, ...]
    fees: Array
    bounds: Array
    multipliers: tuple[Multipliers, ...]
    exact: bool

    def charge(self, multipliers: Multipliers, factors: tuple[int, ...]) -> Array:
        """What every mode adds to the least price with multipliers [table units]; hopelessly low where a multiplier
        means nothing in it.

        Goods beyond the subtotal are paid for by the part of their price that does not count, and weight below the
        heaviest by its price.
        """
        found = SCALE * self.fees
        for s, subtotal, heaviest in zip(self.open, self.bounds.T[::2], self.bounds.T[1::2], strict=True):
            multiplier = multipliers[s] or Multiplier()
            found = found + (SCALE - multiplier.part) * factors[s] * subtotal
            if multiplier.per_dg:
                price = SCALE * multiplier.per_dg * np.minimum(heaviest, NEVER // SCALE)
                found = np.where(heaviest < ENDLESS, found - price, -NEVER)
        return found


def supplier_subsets(book: Catalogue, most_dg: int) -> list[SupplierSubset]:
    """All sets of open suppliers, from none to all.

    Parameters
    ----------
    book : Catalogue
    most_dg : int
        Heaviest purchase of one pack that comes up [0.1 g]; a price of weight that would make its table overflow is not
        tried.
    """
    sellers = range(len(book.tariffs))
    sets = itertools.chain.from_iterable(itertools.combinations(sellers, size) for size in range(len(sellers) + 1))
    return [_subset(book, chosen, most_dg) for chosen in sets]


def _subset(book: Catalogue, chosen: tuple[int, ...], most_dg: int) -> SupplierSubset:
    ways = [book.tariffs[s].modes for s in chosen]
    coarse = math.prod(len(modes) for modes in ways) > 6 * MOST_WAYS
    if coarse:
        ways = [(Mode(min(m.fee_micros for m in way), min(m.least_goods_cents for m in way)),) for way in ways]
    modes = list(itertools.product(*ways))
    fees = np.array([sum(mode.fee_micros for mode in each) for each in modes], np.int64)
    bounds = [[bound for mode in each for bound in (mode.least_goods_cents, mode.most_dg)] for each in modes]
    choices = {s: multiplier_choices(way, most_dg) for s, way in zip(chosen, ways, strict=True)}
    while math.prod(len(some) for some in choices.values()) > 4 * MOST_WAYS >> len(book.tariffs):
        max(choices.values(), key=len).pop()
    combinations = (dict(zip(chosen, each, strict=True)) for each in itertools.product(*choices.values()))
    multipliers = tuple(tuple(each.get(s) for s in range(len(book.tariffs))) for each in combinations)
    exact = not coarse and all(set(each[::2]) <= {0} and set(each[1::2]) <= {ENDLESS} for each in bounds)
    return SupplierSubset(chosen, fees, np.array(bounds, np.int64).reshape(len(modes), -1), multipliers, exact)


def multiplier_choices(modes: Sequence[Mode], most_dg: int) -> list[Multiplier]:
    """Multipliers to begin with at one supplier that charges in these ways, the plain one first.

    Half of the price where a subtotal may be reached; where delivery goes by weight, prices of weight about the slope
    of its steps. What lies between is found by refining.
    """
    parts = [Multiplier(SCALE // 2)] if any(mode.least_goods_cents for mode in modes) else []
    bounded = [mode for mode in modes if mode.most_dg < ENDLESS]
    slopes: list[int] = []
    if bounded:
        dearest, cheapest = max(mode.fee_micros for mode in modes), min(mode.fee_micros for mode in bounded)
        slope = max((dearest - cheapest) // max(*(mode.most_dg for mode in bounded), 1), 1)
        slopes = [x for x in (slope, 3 * slope, -(-slope // 3)) if SCALE * x * most_dg <= NEVER // 8]
    pairs = itertools.zip_longest(parts, [Multiplier(SCALE, x) for x in slopes])
    return [Multiplier(), *(found for pair in pairs for found in pair if found is not None)]
