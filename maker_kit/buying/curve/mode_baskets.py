"""The cheapest basket that is found where every order is charged in a given way, put together from covers of the
tables.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS, Mode
from maker_kit.buying.basket.highs import PROVED, Program, solve
from maker_kit.buying.curve.catalogue import Array, price_counts
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier
from maker_kit.buying.curve.kit_counts import States
from maker_kit.buying.curve.linear import Linear, Rows
from maker_kit.buying.curve.mode_program import CENT, KG
from maker_kit.buying.curve.prices import Prices
from maker_kit.buying.curve.supplier_subsets import Multipliers

MOST_TURNS = 6
"""How often covers are priced anew for one way to charge the orders; mostly the prices come again after two or three
turns."""


class ModeBaskets:
    """Covers of every item at one state under one way to charge every order, by column generation: a linear program
    mixes the covers that are known, and the prices of its rows ask the tables for better ones.

    Parameters
    ----------
    prices : Prices
    state : States
        A single one, in units of the tables.
    modes : sequence of Mode or None
        One a supplier; None where it is closed.
    """

    def __init__(self, prices: Prices, state: States, modes: Sequence[Mode | None]) -> None:
        self.prices, self.book, self.state = prices, prices.book, state
        self.open = {s: mode for s, mode in enumerate(modes) if mode is not None}
        self.groups = [[a.column for a in group] for group in prices.cache.groups[: len(self.book.items)]]
        self.whole: list[Array] = []
        self.covers: dict[tuple[int, tuple[int, ...]], tuple[int, Array]] = {}
        rows = [(s, "goods", mode.least_goods_cents) for s, mode in self.open.items() if mode.least_goods_cents]
        self.rows = rows + [(s, "weight", m.most_dg) for s, m in self.open.items() if m.most_dg < ENDLESS]

    def _amounts(self, columns: Sequence[int], counts: Array) -> tuple[int, Array]:
        """Cost of some packs [0.0001 cent], and what they add to every row."""
        cost, amounts = 0, np.zeros(len(self.rows))
        for column, many in zip(columns, counts, strict=True):
            if many:
                article = self.book.articles[column]
                goods = int(article.goods_cents(many))
                cost += goods * self.book.factors[article.supplier]
                for row, (s, kind, _) in enumerate(self.rows):
                    if s == article.supplier:
                        amounts[row] += goods if kind == "goods" else int(many) * article.weight_dg
        return cost, amounts

    def _price(self, multipliers: Multipliers) -> None:
        """Put in the cheapest cover of every item at some multipliers."""
        if self.prices.least(multipliers, self.state)[0] < NEVER:
            self.whole.append(self.prices.trace(multipliers, self.state)[0])
            for item, group in enumerate(self.groups):
                key = item, tuple(self.whole[-1][group].tolist())
                if key not in self.covers:
                    self.covers[key] = self._amounts(group, self.whole[-1][group])

    def _program(self) -> tuple[list[float], Rows]:
        """One cover of every item, and what the modes ask for."""
        kits = [kit.column for kit in self.book.kits]
        _, there = self._amounts(kits, self.whole[0][kits])
        place = dict(enumerate(self.covers.items()))
        rows = [
            ({k: 1.0 for k, ((i, _), _) in place.items() if i == item}, 1.0, 1.0) for item in range(len(self.groups))
        ]
        for row, (_, kind, wanted) in enumerate(self.rows):
            unit = 1 if kind == "goods" else KG
            terms = {k: amounts[row] / unit for k, (_, (_, amounts)) in place.items() if amounts[row]}
            end = (wanted - there[row]) / unit
            rows.append((terms, end, math.inf) if kind == "goods" else (terms, -math.inf, end))
        return [cost / CENT for cost, _ in self.covers.values()], rows

    def priced(self, multipliers: Sequence[Multipliers]) -> Multipliers | None:
        """Price covers from these multipliers on until they come again.

        Returns
        -------
        Multipliers or None
            The last ones; None where there is no cover, or nothing is asked for that they could tell.
        """
        tried: set[Multipliers] = set()
        for _ in range(MOST_TURNS):
            for each in multipliers:
                self._price(each)
            tried |= set(multipliers)
            if not self.whole or not self.rows:
                return None
            multipliers = [self._duals()]
            if multipliers[0] in tried:
                break
        return multipliers[0]

    def _duals(self) -> Multipliers:
        """The prices of the rows when covers may be mixed, and what is lacked bought or carried dearly."""
        cost, rows = self._program()
        first, size = len(self.groups), len(cost)
        for row, (s, kind, _) in enumerate(self.rows):
            terms, low, high = rows[first + row]
            rows[first + row] = (terms | {size + row: 1.0 if kind == "goods" else -1.0}, low, high)
            cost.append(self.book.factors[s] / CENT if kind == "goods" else 1e3)
        found = Linear(Program(cost, [1.0] * size + [1e9] * len(self.rows), rows)).least()
        multipliers = {s: Multiplier() for s in self.open}
        for (s, kind, _), dual in zip(self.rows, found.duals[first:] if found else [0.0] * len(self.rows), strict=True):
            part, per_dg = multipliers[s].part, multipliers[s].per_dg
            if kind == "goods":
                part = min(max(round(SCALE * (1 - dual * CENT / self.book.factors[s])), 1), SCALE)
            else:
                per_dg = max(round(-dual), 0)
            multipliers[s] = Multiplier(part, per_dg)
        return tuple(multipliers.get(s) for s in range(len(self.book.tariffs)))

    def cheapest(self, upper: float) -> tuple[int, Array] | None:
        """Cost [0.0001 cent] and counts of the best basket found: of all covers at one price, or of a choice of them by
        a small integer program, where it costs no more than so much [cent].
        """
        if not self.whole:
            return None
        cost, rows = self._program()
        found = solve(Program(cost, [1.0] * len(cost), rows, upper, gap=5e-4), 0.3)
        baskets = list(self.whole)
        if found.ended == PROVED:
            counts = self.whole[0].copy()
            for (item, key), value in zip(self.covers, found.values, strict=True):
                if value > 0.5:
                    counts[self.groups[item]] = key
            baskets.append(counts)
        cost, taken = price_counts(self.book, np.array(baskets))
        best = int(np.where(taken, cost, NEVER).argmin())
        return (int(cost[best]), baskets[best]) if taken[best] else None
