"""The whole curve at once: certified lower and upper costs of every count of batches, by branch and bound over how every order is charged."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from maker_kit.buying.catalogue import NO_WEIGHT, price_counts, topped_up
from maker_kit.buying.covers import NEVER, SCALE, Shelves, Tilt, TooLargeError
from maker_kit.buying.kit_counts import States, kit_states, without_kits
from maker_kit.buying.labels import Point, set_labels
from maker_kit.buying.openings import Opening, openings


DEEPER = (1 / 32, 1 / 8, 1 / 2, 1)
"""How far above its lower bound a count is searched, as shares of the distance to the best basket known."""


class StoppedError(Exception):
    """The time was up, or the search was called off."""


@dataclass
class Search:
    """The state of one curve's search.

    Attributes
    ----------
    shelves : Shelves
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    stopped : callable
        Asked between steps.
    upper, lower : numpy.ndarray of int64
        Cost of the best basket known, `NEVER` where none is, and what no basket goes below [0.0001 cent].
    counts : numpy.ndarray, batch counts × articles
        The best baskets.
    """

    shelves: Shelves
    needs: list[np.ndarray]
    stopped: Callable[[], bool]
    upper: np.ndarray = field(init=False)
    lower: np.ndarray = field(init=False)
    counts: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        self.book = self.shelves.book
        self.size = len(self.needs[0])
        self.upper = np.full(self.size, NEVER, dtype=np.int64)
        self.lower = np.zeros(self.size, dtype=np.int64)
        self.counts = np.zeros((self.size, len(self.book.articles)), dtype=np.int64)
        self.openings = openings(self.book)
        self.rows = {item: -(-need // self.shelves.unit[item]) for item, need in enumerate(self.needs)}
        self.prices: dict[tuple, np.ndarray] = {}

    # -- prices of tables at the needs of the curve

    def apart(self, tilts: tuple[Tilt | None, ...], states: States) -> np.ndarray:
        """Least tilted price of all items that are in no kit, a batch count each."""
        total = np.zeros(self.size, dtype=np.int64)
        for item in range(len(self.book.items)):
            if item not in states.needs:
                key = (item, tuple(tilts[s] for s in self.shelves.sellers[item]))
                found = self.prices.get(key)
                if found is None:
                    found = self.prices[key] = self.shelves.table(item, tilts).price(self.rows[item])
                total += found
        return total

    def least(self, tilts: tuple[Tilt | None, ...], states: States, rows: dict[int, np.ndarray]) -> np.ndarray:
        """Least tilted price of every state, `NEVER` or more where there is no cover."""
        total = self.apart(tilts, states)[states.at]
        for item, need in rows.items():
            total = total + self.shelves.table(item, tilts).price(need)
        return total + self.kit_price(tilts, states)

    def kit_price(self, tilts: tuple[Tilt | None, ...], states: States) -> np.ndarray:
        """Tilted price of the kits of every state, `NEVER` where one is sold by a closed supplier."""
        total = np.zeros(len(states.at), dtype=np.int64)
        for k, column in enumerate(self.book.kits):
            kit, many = self.book.articles[column], states.kits[:, k]
            tilt = tilts[kit.supplier]
            if tilt is None:
                total += np.where(many > 0, NEVER, 0)
            else:
                total += kit.goods_cents(many) * self.book.factors[kit.supplier] * tilt.part + SCALE * tilt.per_dg * kit.weight_dg * many
        return total

    def trace(self, tilts: tuple[Tilt | None, ...], states: States, rows: dict[int, np.ndarray]) -> np.ndarray:
        """The baskets behind `least`, only for states that have one."""
        counts = np.zeros((len(states.at), len(self.book.articles)), dtype=np.int64)
        for item in range(len(self.book.items)):
            table = self.shelves.table(item, tilts)
            for article, many in zip(table.articles, table.counts(rows[item] if item in rows else self.rows[item][states.at]), strict=True):
                counts[:, article.column] = many
        for k, column in enumerate(self.book.kits):
            counts[:, column] = states.kits[:, k]
        return counts

    def offer(self, at: np.ndarray, counts: np.ndarray) -> None:
        """Price baskets exactly and keep what is better than what is known."""
        cost, taken = price_counts(self.book, counts)
        helpless = np.flatnonzero(~taken & (self.upper[at] >= NEVER))
        if len(helpless):
            counts = counts.copy()
            counts[helpless] = topped_up(self.book, counts[helpless])
            cost[helpless], taken[helpless] = price_counts(self.book, counts[helpless])
        order = np.lexsort((cost, at))
        order = order[taken[order]]
        first = np.ones(len(order), dtype=bool)
        first[1:] = at[order][1:] != at[order][:-1]
        order = order[first]
        order = order[cost[order] < self.upper[at[order]]]
        self.upper[at[order]] = cost[order]
        self.counts[at[order]] = counts[order]

    def check(self) -> None:
        """Stop when asked to.

        Raises
        ------
        StoppedError
        """
        if self.stopped():
            raise StoppedError

    # -- the search

    def rows_of(self, states: States) -> dict[int, np.ndarray]:
        """Needs of states in units of the tables."""
        return {item: -(-need // self.shelves.unit[item]) for item, need in states.needs.items()}

    def run(self) -> None:
        """Search until every count is proved or the search is stopped; `lower` and `upper` hold whenever it ends."""
        try:
            states = self._states()
            pairs = self._bounds(states)
            self._close(states, pairs)
        except (StoppedError, TooLargeError):
            pass  # what is open stays open
        self._settle()

    def _settle(self) -> None:
        """What a larger count tells of a smaller one, and the other way round."""
        for n in range(self.size - 2, -1, -1):
            if self.upper[n + 1] < self.upper[n]:
                self.upper[n], self.counts[n] = self.upper[n + 1], self.counts[n + 1]
        self.lower = np.minimum(np.maximum.accumulate(self.lower), self.upper)

    def _states(self) -> States:
        """Batch counts with all choices of kits that can be cheapest; on the way the first baskets."""
        plain = without_kits(self.shelves, self.needs)
        rows = self.rows_of(plain)
        flat = not self.book.kits and not any(opening.rows for opening in self.openings)
        if flat:
            return plain
        for opening in self.openings:
            self.check()
            base = self.least(opening.tilts[0], plain, rows)
            fee = min(sum(mode.fee_e4 for mode in modes) for modes in opening.modes)
            good = np.flatnonzero((base < NEVER) & (base // SCALE + fee < self.upper))
            if len(good):
                self.offer(plain.at[good], self.trace(opening.tilts[0], plain.only(good), {item: need[good] for item, need in rows.items()}))
        if not self.book.kits:
            return plain
        least_fee = min(mode.fee_e4 for rates in self.book.tariffs for mode in rates.modes)
        self.try_kits(plain)
        return kit_states(self.shelves, self.needs, least_fee, self.upper)

    def try_kits(self, plain: States) -> None:
        """Baskets with one sort of kit, to know a good cost before the choices are listed."""
        tilts = self.openings[-1].tilts[0]
        for k, column in enumerate(self.book.kits):
            kit = self.book.articles[column]
            most = int(max(-(-int(plain.needs[item][-1]) // units) for item, units in kit.content.items()))
            low = kit.bands[0].low
            most = max(most, low) if kit.stock is None else min(max(most, low), kit.stock)
            some = np.unique(np.linspace(low, most, 64).astype(np.int64))
            many = np.tile(some, self.size)
            at = np.repeat(np.arange(self.size), len(some))
            kits = np.zeros((len(at), len(self.book.kits)), dtype=np.int64)
            kits[:, k] = many
            states = States(at, kits, {item: np.maximum(need[at] - many * kit.content.get(item, 0), 0) for item, need in plain.needs.items()})
            rows = self.rows_of(states)
            price = self.least(tilts, states, rows).reshape(self.size, len(some))
            best = np.argmin(price, axis=1) + np.arange(self.size) * len(some)
            best = best[price.reshape(-1)[best] < NEVER]
            if len(best):
                self.offer(at[best], self.trace(tilts, states.only(best), {item: need[best] for item, need in rows.items()}))

    def _bounds(self, states: States) -> list[Pairs]:
        """Lower bounds of every set of open suppliers, the baskets they come from, and what stays open."""
        rows = self.rows_of(states)
        open_pairs: list[Pairs] = []
        plain: list[tuple[Opening, np.ndarray]] = []
        lowest = np.full(self.size, NEVER, dtype=np.int64)
        for opening in self.openings:
            self.check()
            base = self.least(opening.tilts[0], states, rows)
            fee = min((sum(mode.fee_e4 for mode in modes) for modes in opening.modes), default=0)
            total = np.where(base < NEVER, base // SCALE + fee, NEVER)
            np.minimum.at(lowest, states.at, total)
            plain.append((opening, total))
        self.lower = lowest
        for opening, total in sorted(plain, key=lambda pair: int(pair[1].min(initial=NEVER))):
            if not opening.rows:
                good = np.flatnonzero(total < np.minimum(self.upper[states.at], NEVER))
                best = good[_first_of(states.at[good], total[good])]
                if len(best):
                    self.offer(states.at[best], self.trace(opening.tilts[0], states.only(best), {item: need[best] for item, need in rows.items()}))
        for opening, total in plain:
            if opening.rows:
                self.check()
                good = np.flatnonzero(total < self.upper[states.at])
                if len(good):
                    open_pairs.append(self._tilted(opening, states, rows, good))
        return open_pairs

    def _tilted(self, opening: Opening, states: States, rows: dict[int, np.ndarray], good: np.ndarray) -> Pairs:
        """Bounds with multipliers of one set of open suppliers."""
        part = states.only(good)
        rows = {item: need[good] for item, need in rows.items()}
        charges = opening.charges(self.book.factors)
        least = np.stack([self.least(tilts, part, rows) for tilts in opening.tilts])
        weakest = charges.min(axis=0)  # a state that is too dear in its cheapest mode needs no closer look
        alive = np.flatnonzero((least + weakest[:, None]).max(axis=0) <= SCALE * (self.upper[part.at] - 1))
        bound = np.full((len(opening.modes), len(alive)), -NEVER, dtype=np.int64)
        which = np.zeros(bound.shape, dtype=np.int64)
        for k in range(len(opening.tilts)):
            value = least[k][alive] + charges[:, k, None]
            better = value > bound
            bound, which = np.where(better, value, bound), np.where(better, k, which)
        found = Pairs(opening, good[alive], bound, which, np.zeros(bound.shape, dtype=bool))
        for k in np.unique(which[:, :][found.open_mask(self.upper, states.at)]):
            self.check()
            here = np.flatnonzero(((which == k) & found.open_mask(self.upper, states.at)).any(axis=0))
            if len(here):
                chosen = good[alive[here]]
                self.offer(states.at[chosen], self.trace(opening.tilts[k], states.only(chosen), {item: need[alive[here]] for item, need in rows.items()}))
        return found

    def _close(self, states: States, pairs: list[Pairs]) -> None:
        """Set labels for what is open, each count within a widening distance of its lower bound, so that a cheap answer is met before the dear ones are listed."""
        try:
            for share in DEEPER:
                low = self._lowest(states, pairs)
                limit = SCALE * low + np.ceil(share * SCALE * (np.minimum(self.upper, NEVER // SCALE) - low)).astype(np.int64)
                for found in pairs:
                    self._close_some(states, found, limit)
        finally:
            self.lower = np.maximum(self._lowest(states, pairs), self.lower)

    def _lowest(self, states: States, pairs: list[Pairs]) -> np.ndarray:
        """What no basket of each count goes below, from what is still open."""
        lowest = self.upper.copy()
        for found in pairs:
            np.minimum.at(lowest, np.broadcast_to(states.at[found.state], found.bound.shape), np.where(found.done, NEVER, -(-found.bound // SCALE)))
        return np.minimum(lowest, self.upper)

    def _close_some(self, states: States, found: Pairs, limit: np.ndarray) -> None:
        at = states.at[found.state]
        todo = found.open_mask(self.upper, states.at) & (found.bound <= limit[at])
        for k in np.unique(found.which[todo]):
            self.check()
            modes, places = np.nonzero(todo & (found.which == k) & found.open_mask(self.upper, states.at))
            known = self.upper[at[places]] < NEVER  # without any known basket there is no room to search in
            if known.any():
                self._label(states, found, k, modes[known], places[known], np.minimum(limit, SCALE * (self.upper - 1)))

    def _label(self, states: States, found: Pairs, k: int, modes: np.ndarray, places: np.ndarray, reach: np.ndarray) -> None:
        """Label one set of suppliers under one combination of multipliers."""
        opening, tilts = found.opening, found.opening.tilts[k]
        part = states.only(found.state[places])
        charges = opening.charges(self.book.factors)[modes, k]
        kits = [self.book.articles[c] for c in self.book.kits]
        subtotal, heaviest = {}, {}
        for i, s in enumerate(opening.open):
            least = np.array([ways[i].least_goods_cents for ways in opening.modes], dtype=np.int64)[modes]
            most = np.array([NO_WEIGHT if ways[i].most_dg is None else ways[i].most_dg for ways in opening.modes], dtype=np.int64)[modes]
            for j, kit in enumerate(kits):
                if kit.supplier == s:
                    least = np.maximum(least - kit.goods_cents(part.kits[:, j]), 0)
                    most = np.where(most == NO_WEIGHT, NO_WEIGHT, most - part.kits[:, j] * kit.weight_dg)
            if least.any():
                subtotal[s] = least
            if (most < NO_WEIGHT).any():
                heaviest[s] = most
        total = reach[part.at]
        limit = total - charges - self.kit_price(tilts, part)
        rows = self.rows_of(part)
        needs = [rows[item] if item in rows else self.rows[item][part.at] for item in range(len(self.book.items))]
        tables = [self.shelves.table(item, tilts) for item in range(len(self.shelves.single))]
        needs += [np.zeros(len(part.at), dtype=np.int64)] * (len(tables) - len(needs))
        answer = set_labels(tables, self.book.factors, Point(limit, subtotal, heaviest, needs), len(self.book.articles))
        good = np.flatnonzero(answer.cost < NO_WEIGHT)
        if len(good):
            counts = answer.counts[good]
            for j, column in enumerate(self.book.kits):
                counts[:, column] = part.kits[good, j]
            self.offer(part.at[good], counts)
        claimed = np.where(answer.cost < NO_WEIGHT, answer.cost + self.constant(opening, modes, part), NO_WEIGHT)
        whole = answer.closed & ((claimed >= self.upper[part.at]) | (claimed == NO_WEIGHT))  # a mode that also asks for a weight above a step may claim less than its basket costs
        found.bound[modes[whole], places[whole]] = np.maximum(found.bound[modes[whole], places[whole]], total[whole] + 1)

    def constant(self, opening: Opening, modes: np.ndarray, part: States) -> np.ndarray:
        """Charges of modes and price of kits [0.0001 cent]."""
        fee = np.array([sum(mode.fee_e4 for mode in ways) for ways in opening.modes], dtype=np.int64)[modes]
        for j, column in enumerate(self.book.kits):
            kit = self.book.articles[column]
            fee = fee + kit.goods_cents(part.kits[:, j]) * self.book.factors[kit.supplier]
        return fee


@dataclass
class Pairs:
    """Modes of one set of open suppliers at some states.

    Attributes
    ----------
    opening : Opening
    state : numpy.ndarray
    bound : numpy.ndarray, modes × states
        Lower bounds in table units.
    which : numpy.ndarray, modes × states
        The combination of multipliers that gave it.
    done : numpy.ndarray of bool, modes × states
        Whether nothing cheaper than known is left there.
    """

    opening: Opening
    state: np.ndarray
    bound: np.ndarray
    which: np.ndarray
    done: np.ndarray

    def open_mask(self, upper: np.ndarray, at: np.ndarray) -> np.ndarray:
        """What could still hold something cheaper."""
        return ~self.done & (self.bound <= SCALE * (upper[at[self.state]] - 1))


def _first_of(group: np.ndarray, value: np.ndarray) -> np.ndarray:
    """Place of the least value of every group."""
    order = np.lexsort((value, group))
    first = np.ones(len(order), dtype=bool)
    first[1:] = group[order][1:] != group[order][:-1]
    return order[first]


def until(deadline: float | None, cancelled: Callable[[], bool] | None) -> Callable[[], bool]:
    """Whether a moment has come or somebody called off."""
    return lambda: (deadline is not None and time.monotonic() > deadline) or (cancelled is not None and cancelled())


__all__ = ["Search", "StoppedError", "TooLargeError", "until"]
