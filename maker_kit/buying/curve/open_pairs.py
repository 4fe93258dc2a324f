"""What a lower bound leaves open: ways to charge the orders at some counts, searched by label setting."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.curve.catalogue import NO_WEIGHT
from maker_kit.buying.curve.covers import NEVER, SCALE
from maker_kit.buying.curve.kit_counts import States
from maker_kit.buying.curve.partial_baskets import Point, set_partial_baskets
from maker_kit.buying.curve.prices import Known, Prices, Tilts
from maker_kit.buying.curve.supplier_subsets import SupplierSubset, neighbours

TURNS = (0, 1, 2)
"""How often, and how much nearer each time, multipliers beside the best ones are tried."""

MOST_WIDENED = 6
"""Combinations of multipliers whose neighbours are tried in one turn at one supplier, those of most open pairs first."""


@dataclass
class Pairs:
    """Ways to charge the orders of one set of open suppliers, at states where they could lead to something cheaper; one entry a pair of mode and state.

    Attributes
    ----------
    subset : SupplierSubset
    states : States
    rows : dict of int to numpy.ndarray
        Needs of the states that are in kits, in units of the tables.
    mode, place : numpy.ndarray
        Place of the mode in the subset, and of the state.
    bound : numpy.ndarray of int64
        Lower bounds in table units.
    which : numpy.ndarray
        The combination of multipliers that gave it.
    multipliers : list of tuple of (Multiplier or None)
        All combinations tried.
    """

    subset: SupplierSubset
    states: States
    rows: dict[int, np.ndarray]
    mode: np.ndarray
    place: np.ndarray
    bound: np.ndarray
    which: np.ndarray
    multipliers: list[Tilts]

    @property
    def at(self) -> np.ndarray:
        """Place of the batch count of every pair."""
        return self.states.at[self.place]

    def open_mask(self, upper: np.ndarray) -> np.ndarray:
        """Which pairs could still hold something cheaper."""
        return self.bound <= SCALE * (upper[self.at] - 1)

    def compact(self, upper: np.ndarray) -> None:
        """Forget what is not open; its bounds are above what is known."""
        keep = np.flatnonzero(self.open_mask(upper))
        if len(keep) < len(self.bound):
            used, place = np.unique(self.place[keep], return_inverse=True)
            self.states, self.rows = self.states.only(used), {item: need[used] for item, need in self.rows.items()}
            self.mode, self.place, self.bound, self.which = self.mode[keep], place, self.bound[keep], self.which[keep]

    def lowest(self, into: np.ndarray) -> None:
        """Lower each count's value to the least bound [0.0001 cent] here."""
        np.minimum.at(into, self.at, -(-self.bound // SCALE))

    def multiply_all(self, prices: Prices, upper: np.ndarray, check: Callable[[], None]) -> None:
        """Raise the bounds by every combination of the subset in turn; what closes is dropped on the way."""
        for k in range(1, len(self.subset.multipliers)):
            check()
            least = prices.least(self.multipliers[k], self.states, self.rows)
            self._lift(np.arange(len(self.bound)), least[self.place], prices, k)
            if k < 4 or k % 4 == 0:
                self.compact(upper)
        self.compact(upper)

    def refine(self, prices: Prices, upper: np.ndarray, check: Callable[[], None]) -> None:
        """Raise the bounds of what is open by multipliers beside the best ones so far, nearer at every turn."""
        for finer in TURNS:
            for s in self.subset.open:
                each, many = np.unique(self.which[self.open_mask(upper)], return_counts=True)
                for k in each[np.argsort(-many, kind="stable")][:MOST_WIDENED]:
                    for multiplier in neighbours(self.multipliers[k][s], finer):
                        check()
                        multipliers = (*self.multipliers[k][:s], multiplier, *self.multipliers[k][s + 1 :])
                        if multipliers not in self.multipliers:
                            self.multipliers.append(multipliers)
                        self._raise(
                            prices,
                            np.flatnonzero((self.which == k) & self.open_mask(upper)),
                            self.multipliers.index(multipliers),
                        )

    def _raise(self, prices: Prices, todo: np.ndarray, k: int) -> None:
        """Raise the bounds of some pairs by one combination of multipliers, where it is better."""
        if not len(todo):
            return
        used, place = np.unique(self.place[todo], return_inverse=True)
        self._lift(
            todo,
            prices.least(
                self.multipliers[k], self.states.only(used), {item: need[used] for item, need in self.rows.items()}
            )[place],
            prices,
            k,
        )

    def _lift(self, todo: np.ndarray, least: np.ndarray, prices: Prices, k: int) -> None:
        value = (
            np.where(least < NEVER, least, NEVER * SCALE)
            + self.subset.charge(self.multipliers[k], prices.book.factors)[self.mode[todo]]
        )
        better = value > self.bound[todo]
        self.bound[todo[better]], self.which[todo[better]] = value[better], k

    def label(
        self, prices: Prices, known: Known, reach: np.ndarray, hard: np.ndarray, check: Callable[[], None]
    ) -> None:
        """Search what is open under the combination of multipliers that bounds it best, up to a cost a count.

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
        at = self.at
        limit = np.minimum(reach, SCALE * (known.upper - 1))
        todo = np.flatnonzero(
            (self.bound <= limit[at]) & ~hard[at] & (known.upper[at] < NEVER)
        )  # without any known basket there is no room to search in
        if not len(todo):
            return
        modes, places = self.mode[todo], self.place[todo]
        part = self.states.only(places)
        used, which = np.unique(self.which[todo], return_inverse=True)
        total = limit[part.at]
        room = total.copy()
        for j, k in enumerate(used):
            mine = np.flatnonzero(which == j)
            room[mine] -= self.subset.charge(self.multipliers[k], prices.book.factors)[modes[mine]] + prices.kit_price(
                self.multipliers[k], part.only(mine)
            )
        point = Point(part.at, which, room, *self._rows_left(prices, part, modes), self._needs(prices, places))
        stacks = [
            prices.stack(item, [self.multipliers[k] for k in used]) for item in range(len(prices.tables_kept.single))
        ]
        answer = set_partial_baskets(stacks, prices.book.factors, point, len(prices.book.articles), check)
        good = np.flatnonzero(answer.cost < NO_WEIGHT)
        if len(good):
            counts = answer.counts[good]
            for j, column in enumerate(prices.book.kits):
                counts[:, column] = part.kits[good, j]
            known.offer(part.at[good], counts)
        claimed = np.where(answer.cost < NO_WEIGHT, answer.cost + self._constant(prices, part, modes), NO_WEIGHT)
        whole = answer.closed & ((claimed >= known.upper[part.at]) | (claimed == NO_WEIGHT))
        hard[part.at[~whole]] = (
            True  # too much to search, or a mode that stands for several and claims less than its basket costs
        )
        self.bound[todo[whole]] = np.maximum(self.bound[todo[whole]], total[whole] + 1)

    def _needs(self, prices: Prices, places: np.ndarray) -> list[np.ndarray]:
        """Need of every item, and of what only fills an order up."""
        at = self.states.at[places]
        needs = [self.rows[item][places] if item in self.rows else need[at] for item, need in enumerate(prices.rows)]
        return needs + [np.zeros(len(at), dtype=np.int64)] * (len(prices.tables_kept.single) - len(needs))

    def _rows_left(
        self, prices: Prices, part: States, modes: np.ndarray
    ) -> tuple[dict[int, np.ndarray], dict[int, np.ndarray]]:
        """Goods to be reached and weight still free at every supplier, once the kits are bought."""
        subtotal, heaviest = {}, {}
        goods, weights = (
            self.subset.each(lambda _, mode: mode.least_goods_cents),
            self.subset.each(lambda _, mode: NO_WEIGHT if mode.most_dg is None else mode.most_dg),
        )
        kits = [prices.book.articles[column] for column in prices.book.kits]
        for i, s in enumerate(self.subset.open):
            least, most = goods[modes, i], weights[modes, i]
            for j, kit in enumerate(kits):
                if kit.supplier == s:
                    least = np.maximum(least - kit.goods_cents(part.kits[:, j]), 0)
                    most = np.where(most == NO_WEIGHT, NO_WEIGHT, most - part.kits[:, j] * kit.weight_dg)
            if least.any():
                subtotal[s] = least
            if (most < NO_WEIGHT).any():
                heaviest[s] = most
        return subtotal, heaviest

    def _constant(self, prices: Prices, part: States, modes: np.ndarray) -> np.ndarray:
        """Charges of modes and price of kits [0.0001 cent]."""
        fee = self.subset.fees[modes]
        for j, column in enumerate(prices.book.kits):
            kit = prices.book.articles[column]
            fee = fee + kit.goods_cents(part.kits[:, j]) * prices.book.factors[kit.supplier]
        return fee


def joined(lots: list[Pairs]) -> Pairs:
    """Lots of the same subset and multipliers as one."""
    if len(lots) == 1:
        return lots[0]
    starts = np.cumsum([0, *(len(lot.states.at) for lot in lots)])
    states = States(
        np.concatenate([lot.states.at for lot in lots]),
        np.concatenate([lot.states.kits for lot in lots]),
        {item: np.concatenate([lot.states.needs[item] for lot in lots]) for item in lots[0].states.needs},
    )
    return Pairs(
        lots[0].subset,
        states,
        {item: np.concatenate([lot.rows[item] for lot in lots]) for item in lots[0].rows},
        np.concatenate([lot.mode for lot in lots]),
        np.concatenate([lot.place + start for lot, start in zip(lots, starts, strict=False)]),
        np.concatenate([lot.bound for lot in lots]),
        np.concatenate([lot.which for lot in lots]),
        lots[0].multipliers,
    )
