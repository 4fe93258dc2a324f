"""Ways to charge the orders at some counts that could still hold something cheaper: bounded by multipliers, then
searched.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS
from maker_kit.buying.curve.catalogue import Array
from maker_kit.buying.curve.covers import NEVER, SCALE, Check
from maker_kit.buying.curve.kit_counts import States
from maker_kit.buying.curve.partial_baskets import Lot, cheapest_together
from maker_kit.buying.curve.prices import Known, Prices, cheapest_of
from maker_kit.buying.curve.supplier_subsets import Multipliers, SupplierSubset

MOST_REFINED = 6
"""Multipliers are refined beside the combinations that bound most pairs, so many of them. Beside two or three, 32
counts of six medium markets stayed open instead of 17; beside all of them it took twice as long and closed no
more."""


@dataclass
class Pairs:
    """Ways to charge the orders of one set of open suppliers at states; one entry a pair of mode and state.

    Attributes
    ----------
    subset : SupplierSubset
    states : States
        Needs in units of the tables.
    mode, place : numpy.ndarray
        Place of the mode in the subset, and of the state.
    bound : numpy.ndarray of int64
        Lower bounds in table units.
    which : numpy.ndarray
        The combination of multipliers that gave it.
    multipliers : list of Multipliers
        All combinations tried.
    """

    subset: SupplierSubset
    states: States
    mode: Array
    place: Array
    bound: Array
    which: Array
    multipliers: list[Multipliers]

    @property
    def at(self) -> Array:
        """Place of the batch count of every pair."""
        return self.states.at[self.place]

    def compact(self, upper: Array) -> None:
        """Forget what cannot hold anything cheaper than what is known [0.0001 cent, a batch count each]."""
        keep = np.flatnonzero(self.bound <= SCALE * (upper[self.at] - 1))
        if len(keep) < len(self.bound):
            used, self.place = np.unique(self.place[keep], return_inverse=True)
            self.states = self.states.only(used)
            self.mode, self.bound, self.which = self.mode[keep], self.bound[keep], self.which[keep]

    def lowest(self, into: Array) -> None:
        """Lower each count's value to the least bound [0.0001 cent] here."""
        np.minimum.at(into, self.at, -(-self.bound // SCALE))

    def multiply(self, prices: Prices, known: Known, check: Check) -> None:
        """Raise the bounds by every combination of multipliers in turn, offer the baskets behind the least, and refine
        what stays open.
        """
        for k in range(1, len(self.multipliers)):
            check()
            self._raise(prices, k, slice(None), self.states, self.place)
            self.compact(known.upper)
        for k in np.unique(self.which):
            check()
            here = np.flatnonzero(self.which == k)
            some = self.states.only(self.place[here[cheapest_of(self.at[here], self.bound[here])]])
            known.offer_covers(prices, self.multipliers[k], some)
        self._refine(prices, known, check)

    def _refine(self, prices: Prices, known: Known, check: Check) -> None:
        """Raise the bounds by multipliers beside the best ones of every supplier, nearer at every turn."""
        for turn, s in itertools.product(range(SCALE.bit_length() - 3), self.subset.open):
            self.compact(known.upper)
            if len(self.bound) <= prices.size:
                break
            best, many = np.unique(self.which, return_counts=True)
            for k in best[np.argsort(-many, kind="stable")][:MOST_REFINED]:
                todo = np.flatnonzero(self.which == k)
                used, place = np.unique(self.place[todo], return_inverse=True)
                states = self.states.only(used)
                for multiplier in self.multipliers[k][s].neighbours(turn):
                    check()
                    self.multipliers.append((*self.multipliers[k][:s], multiplier, *self.multipliers[k][s + 1 :]))
                    self._raise(prices, len(self.multipliers) - 1, todo, states, place)

    def _raise(self, prices: Prices, k: int, todo: Array | slice, states: States, place: Array) -> None:
        """Raise the bounds of some pairs, at these states, by one combination of multipliers, where it is better."""
        least = np.minimum(prices.least(self.multipliers[k], states), NEVER * SCALE)[place]
        value = least + self.subset.charge(self.multipliers[k], prices.book.factors)[self.mode[todo]]
        better = value > self.bound[todo]
        self.which[todo] = np.where(better, k, self.which[todo])
        self.bound[todo] = np.maximum(value, self.bound[todo])

    def search(self, prices: Prices, known: Known, reach: Array, hard: Array, check: Check) -> None:
        """Search every pair under the combination of multipliers that bounds it best, up to a cost a count.

        Parameters
        ----------
        prices : Prices
        known : Known
            Better baskets go there.
        reach : numpy.ndarray of int64
            Cost to search up to, a count each, in table units.
        hard : numpy.ndarray of bool
            Counts that are given up; more are marked.
        check : callable
            Called between steps; may raise to end the search.
        """
        limit = np.minimum(reach, SCALE * (known.upper - 1))
        tried = ~hard & (known.upper < NEVER)  # without any known basket there is no room to search in
        todo = np.flatnonzero((self.bound <= limit[self.at]) & tried[self.at])
        if not len(todo):
            return
        modes, part, factors = self.mode[todo], self.states.only(self.place[todo]), prices.book.factors
        used, which = np.unique(self.which[todo], return_inverse=True)
        combinations = [self.multipliers[k] for k in used]
        room = limit[part.at]
        for k, multipliers in enumerate(combinations):
            mine = np.flatnonzero(which == k)
            room[mine] -= self.subset.charge(multipliers, factors)[modes[mine]]
            room[mine] -= prices.kit_price(multipliers, part.only(mine))
        fixed = self.subset.fees[modes]
        bounds = list(self.subset.bounds[modes].T)
        for kit, many in zip(prices.book.kits, part.kits.T, strict=True):
            goods = kit.goods_cents(many)
            fixed = fixed + goods * factors[kit.supplier]
            if kit.supplier in self.subset.open:
                row = 2 * self.subset.open.index(kit.supplier)
                bounds[row] = np.maximum(bounds[row] - goods, 0)
                heavy = bounds[row + 1] - many * kit.weight_dg
                bounds[row + 1] = np.where(bounds[row + 1] < ENDLESS, heavy, ENDLESS)
        lot = Lot(part.at, which, room, self.subset.open, bounds, prices.needs(part))
        answer = cheapest_together(prices.stacks(combinations), factors, lot, len(prices.book.articles), check)
        good = np.flatnonzero(answer.cost < ENDLESS)
        if len(good):
            known.offer(part.at[good], prices.with_kits(answer.counts[good], part.only(good)))
        claimed = np.where(answer.cost < ENDLESS, answer.cost + fixed, ENDLESS)
        whole = answer.closed & (claimed >= known.upper[part.at])
        hard[part.at[~whole]] = True  # too much to search, or a mode that stands for several and claims too little
        self.bound[todo[whole]] = np.maximum(self.bound[todo[whole]], limit[part.at[whole]] + 1)
