"""The whole curve at once: certified lower and upper costs of every count of batches, by branch and bound over how
every order is charged.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator

import numpy as np

from maker_kit.buying.curve.catalogue import Array
from maker_kit.buying.curve.covers import MOST_LISTED, NEVER, SCALE, TooLargeError
from maker_kit.buying.curve.kit_counts import States, kit_states, without_kits
from maker_kit.buying.curve.open_pairs import Pairs
from maker_kit.buying.curve.prices import Known, Prices, cheapest_of
from maker_kit.buying.curve.supplier_subsets import SupplierSubset
from maker_kit.buying.curve.table_cache import TableCache

WIDER = 4
"""How many times as far above its lower bound a count is searched at every turn, up to the best basket known: a cheap
answer is met before the dear ones are listed. All the way at once took four times as long; eight times as far at every
turn left 27 counts of six medium markets open instead of 17."""


class StoppedError(Exception):
    """The time was up, or the search was called off."""


class Search:
    """The search of one curve.

    Parameters
    ----------
    cache : TableCache
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    stopped : callable
        Asked between steps, once there is something to draw.
    off : callable
        Asked from the first table on: whether nobody wants any of it.

    Attributes
    ----------
    known : Known
        The best baskets.
    lower : numpy.ndarray of int64
        What no basket goes below [0.0001 cent]; holds whenever the search ends.
    """

    def __init__(
        self, cache: TableCache, needs: list[Array], stopped: Callable[[], bool], off: Callable[[], bool]
    ) -> None:
        self.cache, self.needs, self.stopped, self.off = cache, needs, stopped, off
        self.book, self.subsets = cache.book, cache.subsets
        self.prices, self.size = Prices(cache, needs, self._check_off), len(needs[0])
        self.known, self.lower = Known(self.book, self.size), np.zeros(self.size, np.int64)
        self.floor = np.full(self.size, NEVER)  # the bound of counts with too many choices of kits to be listed
        self.hard = np.zeros(self.size, bool)

    def run(self) -> None:
        """Search until every count is proved or nothing more can be done, or until stopped."""
        with contextlib.suppress(StoppedError, TooLargeError):  # what is open stays open
            self._close(self._bounds(self._states()))
        self.known.settle()
        self.lower = np.minimum(np.maximum.accumulate(self.lower), self.known.upper)

    def _check_off(self) -> None:
        if self.off():
            raise StoppedError

    def _check(self) -> None:
        if self.stopped():
            raise StoppedError

    def _states(self) -> States:
        """Every count with every choice of kits that could lead to something cheaper than the baskets that are met on
        the way.
        """
        plain = without_kits(self.cache, self.needs)
        states = self.prices.in_units(plain)
        if not self.book.kits and all(subset.exact for subset in self.subsets):
            return states
        least = self.prices.relaxed(self.subsets[-1].multipliers[0])
        cheapest = min(mode.fee_micros for rates in self.book.tariffs for mode in rates.modes)
        self.lower = np.where(least < NEVER, -(-least // SCALE) + cheapest, NEVER)
        for subset in self.subsets[::-1]:  # the first of them before any stop, so that there is something to draw
            total = self.prices.least(subset.multipliers[0], states) // SCALE + subset.fees.min()
            some = states.only(np.flatnonzero(total < np.minimum(self.known.upper, NEVER // SCALE)))
            self.known.offer_covers(self.prices, subset.multipliers[0], some)
            self.prices.check = self._check
            self._check()
        for k in range(len(self.book.kits)):
            self._check()
            plain = self._try_kit(k, plain)
        fees, lowest = np.full(self.size, NEVER // SCALE), np.full(self.size, NEVER)
        for subset in self.subsets:
            self._check()
            bound = np.full((len(subset.fees), self.size), -NEVER)
            for multipliers in subset.multipliers:
                least = np.minimum(self.prices.relaxed(multipliers), NEVER * SCALE)
                bound = np.maximum(bound, least + subset.charge(multipliers, self.book.factors)[:, None])
            bound = np.minimum(-(-bound // SCALE), NEVER)
            lowest = np.minimum(lowest, bound.min(axis=0))
            alive = np.where(bound < self.known.upper, subset.fees[:, None], NEVER // SCALE)
            fees = np.minimum(fees, alive.min(axis=0))
        self.lower = np.minimum(lowest, self.known.upper)
        found, left_out = kit_states(self.cache, self.needs, fees, self.known.upper, self._check)
        self.floor[left_out] = self.lower[left_out]
        return self.prices.in_units(found)

    def _try_kit(self, k: int, plain: States) -> States:
        """One more sort of kit, of every count about the cheapest number of it: from none, by steps that halve."""
        multipliers, kit = self.subsets[-1].multipliers[0], self.book.kits[k]
        best, price = np.zeros(self.size, np.int64), self.prices.least(multipliers, self.prices.in_units(plain))
        most = np.minimum(np.maximum(plain.enough(kit), kit.fewest), kit.stock)
        step = 1 << int(most.max()).bit_length()
        while step := step // 2:
            for many in (best + step, best - step):
                many = np.where(many < kit.fewest, 0, np.minimum(many, most))
                value = self.prices.least(multipliers, self.prices.in_units(plain.with_kit(k, kit, plain.at, many)))
                best, price = np.where(value < price, many, best), np.minimum(value, price)
        found = plain.with_kit(k, kit, plain.at, best)
        sold = self.prices.in_units(found).only(np.flatnonzero(price < NEVER))
        self.known.offer_covers(self.prices, multipliers, sold)
        return found

    def _bounds(self, states: States) -> list[Pairs]:
        """Lower bounds of every set of open suppliers, the baskets they come from, and what stays open."""
        found: list[tuple[SupplierSubset, Array, Array]] = []
        lowest = self.floor.copy()
        for subset in self.subsets:
            self._check()
            base = self.prices.least(subset.multipliers[0], states)
            total = np.where(base < NEVER, -(-base // SCALE) + subset.fees.min(), NEVER)
            np.minimum.at(lowest, states.at, total)
            found.append((subset, base, total))
        self.lower = np.minimum(np.maximum(self.lower, lowest), self.known.upper)
        for subset, _, total in found:
            if subset.exact:
                good = np.flatnonzero(total <= np.minimum(self.known.upper[states.at], NEVER - 1))
                best = states.only(good[cheapest_of(states.at[good], total[good])])
                self.known.offer_covers(self.prices, subset.multipliers[0], best)
        pairs: list[Pairs] = []
        for subset, base, total in found:
            good = np.flatnonzero(total < self.known.upper[states.at])
            if not subset.exact and len(good):
                pairs += self._pairs(subset, states.only(good), base[good])
        return pairs

    def _pairs(self, subset: SupplierSubset, states: States, base: Array) -> Iterator[Pairs]:
        """Pairs of one set of open suppliers, in lots, bounded with multipliers; a pair takes a quarter of a cover's
        room.
        """
        fees = SCALE * subset.fees
        for lot in np.array_split(np.arange(len(base)), 1 + len(base) * len(fees) // (4 * MOST_LISTED)):
            self._check()
            some, least = states.only(lot), base[lot]
            room = SCALE * (self.known.upper[some.at] - 1) - least
            row, place = np.nonzero(fees[:, None] <= room)
            parts = row, place, least[place] + fees[row], np.zeros_like(place)
            found = Pairs(subset, some, *parts, list(subset.multipliers))
            found.multiply(self.prices, self.known, self._check)
            yield found

    def _close(self, pairs: list[Pairs]) -> None:
        """Search what is open, each count within a widening distance of its lower bound."""
        try:
            for near in (WIDER**2, WIDER, 1):
                self.known.settle()
                low = self._lowest(pairs)
                if (self.hard | (np.maximum.accumulate(low) >= self.known.upper)).all():
                    break
                gap = np.minimum(self.known.upper, NEVER // SCALE) - low
                reach = SCALE * low + -(-SCALE * gap // near)
                for found in pairs:
                    self._check()
                    found.compact(self.known.upper)
                    found.search(self.prices, self.known, reach, self.hard, self._check)
        finally:
            self.lower = np.maximum(self._lowest(pairs), self.lower)

    def _lowest(self, pairs: list[Pairs]) -> Array:
        """What no basket of each count goes below, from what is still open."""
        lowest = np.minimum(self.known.upper, self.floor)
        for found in pairs:
            found.lowest(lowest)
        return lowest
