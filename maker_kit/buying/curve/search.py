"""The whole curve at once: certified lower and upper costs of every count of batches, by branch and bound over how every order is charged."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from maker_kit.buying.curve.covers import NEVER, SCALE, TooLargeError
from maker_kit.buying.curve.kit_counts import States, kit_states, without_kits
from maker_kit.buying.curve.open_pairs import Pairs, joined
from maker_kit.buying.curve.prices import Known, Prices, cheapest_of
from maker_kit.buying.curve.supplier_subsets import SupplierSubset, supplier_subsets
from maker_kit.buying.curve.table_cache import TableCache

DEEPER = (1 / 32, 1 / 8, 1 / 3, 1)
"""How far above its lower bound a count is searched, as shares of the distance to the best basket known."""

MORE_TURNS = 1
"""How often it is searched all the way again where that took too much, as long as it comes nearer."""

NEARER = 4
"""Part of a distance that is searched where the whole took too much."""

REFINED = 1
"""After how many of these searches the multipliers of what is still open are refined."""

FEW_PAIRS = 150
"""With so few open pairs a search is sooner done than their multipliers refined."""

MOST_STATES = 400_000
"""Most choices of kits listed for a whole curve; a count that takes more than its part of them is left to the integer program."""

MOST_PAIRS = 2_000_000
"""Most pairs of mode and state taken in one lot."""


class StoppedError(Exception):
    """The time was up, or the search was called off."""


class Search:
    """The search of one curve.

    Parameters
    ----------
    tables_kept : TableCache
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    stopped : callable
        Asked between steps.

    Attributes
    ----------
    known : Known
        The best baskets.
    lower : numpy.ndarray of int64
        What no basket goes below [0.0001 cent]; holds whenever the search ends.
    """

    def __init__(self, tables_kept: TableCache, needs: list[np.ndarray], stopped: Callable[[], bool]) -> None:
        self.tables_kept, self.needs, self.stopped = tables_kept, needs, stopped
        self.book = tables_kept.book
        self.prices = Prices(tables_kept, needs)
        self.size = len(needs[0])
        self.known = Known(self.book, self.size)
        self.lower = np.zeros(self.size, dtype=np.int64)
        self.floor = np.full(
            self.size, NEVER, dtype=np.int64
        )  # the bound of counts with too many choices of kits to be listed
        self.hard = np.zeros(self.size, dtype=bool)
        self.supplier_subsets = supplier_subsets(self.book, tables_kept.most_dg)

    def run(self) -> None:
        """Search until every count is proved or nothing more can be done, or until stopped."""
        with contextlib.suppress(StoppedError, TooLargeError):  # what is open stays open
            self._search()
        self.known.settle()
        self.lower = np.minimum(np.maximum.accumulate(self.lower), self.known.upper)

    def _check(self) -> None:
        if self.stopped():
            raise StoppedError

    def _search(self) -> None:
        plain = without_kits(self.tables_kept, self.needs)
        if self.book.kits or any(subset.rows for subset in self.supplier_subsets):
            everywhere = self.supplier_subsets[-1]
            least, cheapest = (
                self.prices.relaxed(everywhere.multipliers[0]),
                min(mode.fee_micros for rates in self.book.tariffs for mode in rates.modes),
            )
            self.lower = np.where(least < NEVER, -(-least // SCALE) + cheapest, NEVER)
            for subset in (everywhere, *self.supplier_subsets[:-1]):
                self._try(subset, plain)  # the first of them before any stop, so that there is something to draw
                self._check()
            for k in range(len(self.book.kits)):
                self._try_kit(k, plain)
            fees, alive = self._ways()
            plain, left_out = kit_states(
                self.tables_kept, self.needs, fees, self.known.upper, self._check, max(MOST_STATES // self.size, 20)
            )
            self.floor[left_out] = self.lower[left_out]
        else:
            fees, alive = (
                np.zeros(self.size, dtype=np.int64),
                [np.ones((1, self.size), dtype=bool) for _ in self.supplier_subsets],
            )
        pairs = self._bounds(plain, alive)
        self._close(pairs)

    def _try(self, subset: SupplierSubset, plain: States) -> None:
        """The baskets of one set of suppliers without kits."""
        rows = self.prices.rows_of(plain)
        base = self.prices.least(subset.multipliers[0], plain, rows)
        good = np.flatnonzero((base < NEVER) & (base // SCALE + subset.fees.min() < self.known.upper))
        if len(good):
            self.known.offer(
                plain.at[good],
                self.prices.trace(
                    subset.multipliers[0], plain.only(good), {item: need[good] for item, need in rows.items()}
                ),
            )

    def _try_kit(self, k: int, plain: States) -> None:
        """Baskets with one sort of kit, to know a good cost before the choices are listed."""
        self._check()
        multipliers = self.supplier_subsets[-1].multipliers[0]
        kit = self.book.articles[self.book.kits[k]]
        low = kit.bands[0].low
        most = max(low, *(-(-int(plain.needs[item][-1]) // units) for item, units in kit.content.items()))
        some = np.unique(np.linspace(low, most if kit.stock is None else min(most, kit.stock), 64).astype(np.int64))
        at, many = np.repeat(np.arange(self.size), len(some)), np.tile(some, self.size)
        kits = np.zeros((len(at), len(self.book.kits)), dtype=np.int64)
        kits[:, k] = many
        states = States(
            at,
            kits,
            {item: np.maximum(need[at] - many * kit.content.get(item, 0), 0) for item, need in plain.needs.items()},
        )
        rows = self.prices.rows_of(states)
        price = self.prices.least(multipliers, states, rows)
        best = np.argmin(price.reshape(self.size, len(some)), axis=1) + np.arange(self.size) * len(some)
        best = best[price[best] < NEVER]
        if len(best):
            self.known.offer(
                at[best],
                self.prices.trace(multipliers, states.only(best), {item: need[best] for item, need in rows.items()}),
            )

    def _ways(self) -> tuple[np.ndarray, list[np.ndarray]]:
        """Which ways to charge the orders could lead to something cheaper, whatever kits are bought, and what they charge at least, a count each."""
        plain = [
            (self.prices.relaxed(subset.multipliers[0]), int(subset.fees.min())) for subset in self.supplier_subsets
        ]
        self.lower = np.minimum(
            np.min([np.where(least < NEVER, -(-least // SCALE) + fee, NEVER) for least, fee in plain], axis=0),
            self.known.upper,
        )
        lowest = np.full(self.size, NEVER, dtype=np.int64)
        fees = np.full(self.size, NEVER // SCALE, dtype=np.int64)
        alive = []
        for subset in self.supplier_subsets:
            self._check()
            bound = np.full((len(subset.modes), self.size), -NEVER, dtype=np.int64)
            charges = subset.charges(self.book.factors)
            for k, multipliers in enumerate(subset.multipliers):
                least = self.prices.relaxed(multipliers)
                bound = np.maximum(bound, np.where(least < NEVER, least + charges[:, k, None], NEVER * SCALE))
                if not k:
                    lowest_here = -(-bound // SCALE)
                    if (lowest_here.min(axis=0) >= self.known.upper).all():
                        break
            bound = np.minimum(-(-bound // SCALE), NEVER)
            lowest = np.minimum(lowest, bound.min(axis=0))
            mask = bound < self.known.upper
            alive.append(mask)
            fees = np.minimum(fees, np.where(mask, subset.fees[:, None], NEVER // SCALE).min(axis=0))
        self.lower = np.minimum(lowest, self.known.upper)
        return fees, alive

    def _bounds(self, states: States, alive: list[np.ndarray]) -> list[Pairs]:
        """Lower bounds of every set of open suppliers, the baskets they come from, and what stays open."""
        rows = self.prices.rows_of(states)
        found: list[tuple[SupplierSubset, np.ndarray, np.ndarray]] = []
        lowest = np.full(self.size, NEVER, dtype=np.int64)
        for subset, mask in zip(self.supplier_subsets, alive, strict=True):
            self._check()
            fee = np.where(mask, subset.fees[:, None], NEVER // SCALE).min(axis=0)
            base = self.prices.least(subset.multipliers[0], states, rows)
            total = np.where(base < NEVER, -(-base // SCALE) + fee[states.at], NEVER)
            np.minimum.at(lowest, states.at, total)
            found.append((subset, mask, total))
        self.lower = np.minimum(np.maximum(self.lower, np.minimum(lowest, self.floor)), self.known.upper)
        for subset, _, total in found:
            if not subset.rows:
                good = np.flatnonzero(total <= np.minimum(self.known.upper[states.at], NEVER - 1))
                best = good[cheapest_of(states.at[good], total[good])]
                if len(best):
                    self.known.offer(
                        states.at[best],
                        self.prices.trace(
                            subset.multipliers[0], states.only(best), {item: need[best] for item, need in rows.items()}
                        ),
                    )
        pairs = []
        for subset, mask, total in found:
            if subset.rows:
                self._check()
                good = np.flatnonzero(total < self.known.upper[states.at])
                if len(good):
                    pairs.append(
                        self._tilted(subset, mask, states.only(good), {item: need[good] for item, need in rows.items()})
                    )
        return pairs

    def _tilted(self, subset: SupplierSubset, mask: np.ndarray, states: States, rows: dict[int, np.ndarray]) -> Pairs:
        """Bounds with multipliers of one set of open suppliers, and the baskets behind the best of them."""
        some = np.flatnonzero(mask.any(axis=1))
        subset, mask = replace(subset, modes=subset.modes[some]), mask[some]
        lots = np.array_split(np.arange(len(states.at)), 1 + len(states.at) * len(subset.modes) // MOST_PAIRS)
        found = joined(
            [
                self._lot(subset, mask, states.only(lot), {item: need[lot] for item, need in rows.items()})
                for lot in lots
            ]
        )
        for k in np.unique(found.which):
            self._check()
            here = np.flatnonzero((found.which == k) & found.open_mask(self.known.upper))
            here = found.place[here[cheapest_of(found.at[here], found.bound[here])]]
            if len(here):
                self.known.offer(
                    found.states.at[here],
                    self.prices.trace(
                        subset.multipliers[k],
                        found.states.only(here),
                        {item: need[here] for item, need in found.rows.items()},
                    ),
                )
        return found

    def _lot(self, subset: SupplierSubset, mask: np.ndarray, states: States, rows: dict[int, np.ndarray]) -> Pairs:
        """Some of the states with all ways to charge the orders that are not too dear with any of the multipliers."""
        base = self.prices.least(subset.multipliers[0], states, rows)
        room = SCALE * (self.known.upper[states.at] - 1) - base
        places = [np.flatnonzero(mask[m, states.at] & (SCALE * fee <= room)) for m, fee in enumerate(subset.fees)]
        mode, place = np.repeat(np.arange(len(places)), [len(p) for p in places]), np.concatenate(places)
        found = Pairs(
            subset,
            states,
            rows,
            mode,
            place,
            base[place] + SCALE * subset.fees[mode],
            np.zeros(len(mode), dtype=np.int64),
            list(subset.multipliers),
        )
        found.multiply_all(self.prices, self.known.upper, self._check)
        return found

    def _close(self, pairs: list[Pairs]) -> None:
        """Set labels for what is open, each count within a widening distance of its lower bound, so that a cheap answer is met before the dear ones are listed."""
        try:
            for turn, share in enumerate((*DEEPER, *(DEEPER[-1],) * MORE_TURNS)):
                self._spread(pairs)
                if turn == REFINED:
                    for found in pairs:
                        if len(found.bound) > FEW_PAIRS:
                            found.refine(self.prices, self.known.upper, self._check)
                low = self._lowest(pairs)
                if (self.hard | (low >= self.known.upper)).all():
                    break
                far = np.ceil(share * SCALE * (np.minimum(self.known.upper, NEVER // SCALE) - low)).astype(np.int64)
                before = self.hard.copy()
                self._label(pairs, SCALE * low + far)
                failed = self.hard & ~before
                if (
                    failed.any()
                ):  # nearer is often near enough for a cheaper basket, from which on there is less to search
                    self.hard[failed] = False
                    self._label(pairs, np.where(failed, SCALE * low + far // NEARER, -NEVER))
        finally:
            self.lower = np.maximum(self._lowest(pairs), self.lower)

    def _spread(self, pairs: list[Pairs]) -> None:
        """Let every basket serve the smaller counts and every lower bound hold for the larger ones, and forget what that settles."""
        self.known.settle()
        settled = np.maximum.accumulate(self._lowest(pairs)) >= self.known.upper
        for found in pairs:
            found.compact(np.where(settled, 0, self.known.upper))

    def _label(self, pairs: list[Pairs], reach: np.ndarray) -> None:
        for found in pairs:
            found.compact(self.known.upper)
            self._check()
            found.label(self.prices, self.known, reach, self.hard, self._check)

    def _lowest(self, pairs: list[Pairs]) -> np.ndarray:
        """What no basket of each count goes below, from what is still open."""
        lowest = np.minimum(self.known.upper, self.floor)
        for found in pairs:
            found.lowest(lowest)
        return lowest


def until(deadline: float | None, cancelled: Callable[[], bool] | None) -> Callable[[], bool]:
    """Whether a moment has come or somebody called off."""
    return lambda: (deadline is not None and time.monotonic() > deadline) or (cancelled is not None and cancelled())
