"""What a lower bound leaves open: ways to charge the orders at some counts, searched by label setting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from maker_kit.buying.catalogue import NO_WEIGHT
from maker_kit.buying.covers import NEVER, SCALE
from maker_kit.buying.curve_prices import Known, Prices
from maker_kit.buying.kit_counts import States
from maker_kit.buying.labels import Point, set_labels
from maker_kit.buying.openings import Opening


@dataclass
class Pairs:
    """Modes of one set of open suppliers at some states.

    Attributes
    ----------
    opening : Opening
    states : States
    rows : dict of int to numpy.ndarray
        Needs of the states that are in kits, in units of the tables.
    bound : numpy.ndarray, modes × states
        Lower bounds in table units.
    which : numpy.ndarray, modes × states
        The combination of multipliers that gave it.
    """

    opening: Opening
    states: States
    rows: dict[int, np.ndarray]
    bound: np.ndarray
    which: np.ndarray

    def open_mask(self, upper: np.ndarray) -> np.ndarray:
        """What could still hold something cheaper."""
        return self.bound <= SCALE * (upper[self.states.at] - 1)

    def lowest(self, into: np.ndarray) -> None:
        """Lower each count's value to the least bound [0.0001 cent] here."""
        if self.bound.size:
            np.minimum.at(into, self.states.at, -(-self.bound.min(axis=0) // SCALE))

    def label(self, prices: Prices, known: Known, reach: np.ndarray, hard: np.ndarray, k: int) -> None:
        """Search what is open under one combination of multipliers, up to a cost a count.

        Parameters
        ----------
        prices : Prices
        known : Known
            Better baskets go there.
        reach : numpy.ndarray of int64
            Cost to search up to, a count each, in table units.
        hard : numpy.ndarray of bool
            Counts that are given up; more are marked.
        k : int
            The combination.
        """
        at = self.states.at
        limit = np.minimum(reach, SCALE * (known.upper - 1))
        todo = (self.which == k) & (self.bound <= limit[at]) & ~hard[at] & (known.upper[at] < NEVER)  # without any known basket there is no room to search in
        modes, places = np.nonzero(todo)
        if not len(modes):
            return
        part = self.states.only(places)
        tilts = self.opening.tilts[k]
        total = limit[part.at]
        point = Point(total - self.opening.charges(prices.book.factors)[modes, k] - prices.kit_price(tilts, part), *self._rows_left(prices, part, modes), self._needs(prices, places))
        tables = [prices.shelves.table(item, tilts) for item in range(len(prices.shelves.single))]
        answer = set_labels(tables, prices.book.factors, point, len(prices.book.articles))
        good = np.flatnonzero(answer.cost < NO_WEIGHT)
        if len(good):
            counts = answer.counts[good]
            for j, column in enumerate(prices.book.kits):
                counts[:, column] = part.kits[good, j]
            known.offer(part.at[good], counts)
        claimed = np.where(answer.cost < NO_WEIGHT, answer.cost + self._constant(prices, part, modes), NO_WEIGHT)
        hard[part.at[~answer.closed]] = True
        whole = answer.closed & ((claimed >= known.upper[part.at]) | (claimed == NO_WEIGHT))  # a mode that also asks for a weight above a step may claim less than its basket costs
        self.bound[modes[whole], places[whole]] = np.maximum(self.bound[modes[whole], places[whole]], total[whole] + 1)

    def _needs(self, prices: Prices, places: np.ndarray) -> list[np.ndarray]:
        """Need of every item, and of what only fills an order up."""
        at = self.states.at[places]
        needs = [self.rows[item][places] if item in self.rows else need[at] for item, need in enumerate(prices.rows)]
        return needs + [np.zeros(len(at), dtype=np.int64)] * (len(prices.shelves.single) - len(needs))

    def _rows_left(self, prices: Prices, part: States, modes: np.ndarray) -> tuple[dict[int, np.ndarray], dict[int, np.ndarray]]:
        """Goods to be reached and weight still free at every supplier, once the kits are bought."""
        subtotal, heaviest = {}, {}
        kits = [prices.book.articles[column] for column in prices.book.kits]
        for i, s in enumerate(self.opening.open):
            least = np.array([ways[i].least_goods_cents for ways in self.opening.modes], dtype=np.int64)[modes]
            most = np.array([NO_WEIGHT if ways[i].most_dg is None else ways[i].most_dg for ways in self.opening.modes], dtype=np.int64)[modes]
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
        fee = self.opening.fees[modes]
        for j, column in enumerate(prices.book.kits):
            kit = prices.book.articles[column]
            fee = fee + kit.goods_cents(part.kits[:, j]) * prices.book.factors[kit.supplier]
        return fee
