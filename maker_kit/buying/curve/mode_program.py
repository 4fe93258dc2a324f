"""One count as a linear program in which only the modes of the suppliers are to be whole."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS, Restriction, candidates
from maker_kit.buying.basket.highs import Program
from maker_kit.buying.curve.catalogue import Array
from maker_kit.buying.curve.covers import NEVER, SCALE
from maker_kit.buying.curve.linear import Linear, Rows
from maker_kit.buying.curve.prices import Prices
from maker_kit.buying.curve.supplier_subsets import Multipliers
from maker_kit.buying.market import Market

CENT = KG = 10_000
"""0.0001 cent, and 0.1 g, in what the programs count in, so that their numbers are of one size."""

MOST_MULTIPLIERS = 12
"""Multipliers whose least prices are kept: more than one count asks for. Each takes about 2 MB for 200 counts of 60
items."""

NO_COVER = NEVER / (2 * SCALE * CENT)
"""Least price above which there is no cover [cent]; every real one stays far below."""


@dataclass(frozen=True)
class Part:
    """A column for what one supplier covers of an item, as a part of its need, at its best price a unit.

    Attributes
    ----------
    item, supplier, column : int
    price : float
        Of a base unit [cent].
    weight : float
        Of a base unit [kg].
    """

    item: int
    supplier: int
    column: int
    price: float
    weight: float


class Layout:
    """The columns that the programs of all counts share, and least prices of every item from every set of suppliers.

    Parameters
    ----------
    prices : Prices
    market : Market

    Attributes
    ----------
    modes : list of list of int
        Columns of each supplier's modes.
    used : list of dict of tuple to int
        Of each item, every set of suppliers to the column that says that the item comes from them.
    also : list of dict of int to int
        Of each item, supplier to the column that says that it may come from there besides its set.
    goods, weight : list of dict of int to int
        Of each item, supplier to the column of what is paid [cent], or weighs [kg], above the best price of a unit; of
        goods where a subtotal counts, else with −1 for all suppliers together.
    kits : list of list of int
        Columns of each kit's price steps.
    parts : list of list of Part
        Of each item.
    least : dict of Multipliers to list of numpy.ndarray
        Least prices of each item, sets × counts [cent].
    """

    def __init__(self, prices: Prices, market: Market) -> None:
        self.prices, self.book, self.market = prices, prices.book, market
        self.cost: list[float] = []
        tariffs, articles = self.book.tariffs, self.book.articles
        self.by_goods = [s for s, rates in enumerate(tariffs) if rates.threshold_cents]
        self.by_weight = [s for s, rates in enumerate(tariffs) if any(m.most_dg < ENDLESS for m in rates.modes)]
        self.modes = [[self._column(mode.fee_micros / CENT) for mode in rates.modes] for rates in tariffs]
        items = range(len(self.book.items))
        self.sellers = [sorted({a.supplier for a in articles if item in a.content}) for item in items]
        self.used = [
            {each: self._column() for size in range(len(some)) for each in itertools.combinations(some, size + 1)}
            for some in self.sellers
        ]
        self.also = [{s: self._column() for s in some} for some in self.sellers]
        apart = [dict.fromkeys(s if s in self.by_goods else -1 for s in some) for some in self.sellers]
        self.goods = [{s: self._column(1.0) for s in some} for some in apart]
        self.weight = [{s: self._column() for s in some if s in self.by_weight} for some in self.sellers]
        self.kits = [
            [self._column(step.price_cents * self.book.factors[kit.supplier] / CENT) for step in kit.steps]
            for kit in self.book.kits
        ]
        self.parts = [[part for s in self.sellers[item] for part in self._best_units(item, s)] for item in items]
        self.least: dict[Multipliers, list[Array]] = {}

    def _column(self, cost: float = 0.0) -> int:
        self.cost.append(cost)
        return len(self.cost) - 1

    def _best_units(self, item: int, supplier: int) -> list[Part]:
        """What a unit of an item costs and weighs at least at one supplier: from the cheapest to the lightest."""
        mine = [a for a in self.book.articles if a.supplier == supplier and set(a.content) == {item}]
        each = [(int(a.prices.min()) / a.content[item], a.weight_dg / a.content[item] / KG) for a in mine]
        found: list[Part] = []
        for price, weight in sorted(each):
            if not found or weight < found[-1].weight:
                cents = price * self.book.factors[supplier] / CENT
                found.append(Part(item, supplier, self._column(), cents, weight))
        return found

    def learn(self, multipliers: Multipliers) -> None:
        """Have the least prices at some multipliers; those that were asked for long ago are forgotten."""
        if multipliers in self.least:
            self.least[multipliers] = self.least.pop(multipliers)
            return
        found = []
        for item, sets in enumerate(self.used):
            self.prices.check()
            some = [tuple(m if s in each else None for s, m in enumerate(multipliers)) for each in sets]
            prices = [self.prices.cache.with_parts(item, one).price(self.prices.rows[item]) for one in some]
            found.append(np.minimum(np.array(prices), NEVER) / (SCALE * CENT))
        self.least[multipliers] = found
        for old in [*self.least][:-MOST_MULTIPLIERS]:
            del self.least[old]


class CountProgram:
    """The program of one count.

    An item comes from one set of suppliers, which are all open; an order is charged in one mode. What is paid for an
    item and what it weighs at each supplier keeps below no part of its need at the best price of a unit, and, at some
    multipliers, below no cheapest cover from its set, with its parts of the kits. All of this holds for every basket;
    so the least cost is a lower bound, and the better, the more multipliers there are.

    Parameters
    ----------
    layout : Layout
    at : int
        Place of the count.
    need : Mapping of str to int
    upper : float
        What a basket costs [cent]; only what is cheaper is asked for.
    """

    def __init__(self, layout: Layout, at: int, need: Mapping[str, int], upper: float) -> None:
        self.layout, self.at, self.book = layout, at, layout.book
        self.units = [need.get(item, 0) for item in self.book.items]
        rates = {rates.supplier.name: rates for rates in self.book.tariffs}
        self._caps = candidates(layout.market, need, rates, Restriction())
        self._pool: list[Multipliers] = []
        cost, high = list(layout.cost), [1.0] * len(layout.cost)
        heaviest = [0] * len(rates)
        for article in self.book.articles:
            heaviest[article.supplier] += self._caps.get(article.name, 0) * article.weight_dg
        for item, units in enumerate(self.units):
            for part in layout.parts[item]:
                cost[part.column] = part.price * units
            for column in layout.goods[item].values():
                high[column] = upper
            for s, column in layout.weight[item].items():
                high[column] = heaviest[s] / KG
        for kit, columns in zip(self.book.kits, layout.kits, strict=True):
            for column, step in zip(columns, kit.steps, strict=True):
                high[column] = min(step.high, self._caps.get(kit.name, 0))
        rows = [(dict.fromkeys(modes, 1.0), 0.0, 1.0) for modes in layout.modes]
        self.bought = {s: self._bought(s) for s in layout.by_goods}
        self.heavy = {s: self._heavy(s) for s in layout.by_weight}
        for s, terms in self.bought.items():
            modes = zip(layout.modes[s], self.book.tariffs[s].modes, strict=True)
            rows.append((terms | {k: -mode.least_goods_cents for k, mode in modes}, 0.0, math.inf))
        for s, terms in self.heavy.items():
            modes = zip(layout.modes[s], self.book.tariffs[s].modes, strict=True)
            rows.append((terms | {k: -min(m.most_dg, heaviest[s]) / KG for k, m in modes}, -math.inf, 0.0))
        for item, units in enumerate(self.units):
            rows += self._covered(item) if units else []
        self.linear = Linear(Program(cost, high, rows))

    def _kits(self, supplier: int) -> list[tuple[int, int, int]]:
        """Columns of kits of a supplier, each with its price [cent] and weight [0.1 g]."""
        kits = zip(self.book.kits, self.layout.kits, strict=True)
        mine = [(k, step, kit) for kit, columns in kits for k, step in zip(columns, kit.steps, strict=True)]
        return [(k, step.price_cents, kit.weight_dg) for k, step, kit in mine if kit.supplier == supplier]

    def _parts(self, supplier: int) -> list[Part]:
        return [part for some in self.layout.parts for part in some if part.supplier == supplier]

    def _bought(self, supplier: int) -> dict[int, float]:
        """Goods at a supplier before tax [cent]."""
        share = CENT / self.book.factors[supplier]
        terms = {some[supplier]: share for some in self.layout.goods if supplier in some}
        terms |= {part.column: part.price * self.units[part.item] * share for part in self._parts(supplier)}
        return terms | {k: float(cents) for k, cents, _ in self._kits(supplier)}

    def _heavy(self, supplier: int) -> dict[int, float]:
        """Weight of the order at a supplier [kg]."""
        terms = {some[supplier]: 1.0 for some in self.layout.weight if supplier in some}
        terms |= {part.column: part.weight * self.units[part.item] for part in self._parts(supplier)}
        return terms | {k: weight / KG for k, _, weight in self._kits(supplier)}

    def _covered(self, item: int) -> Rows:
        """The need of an item is covered, from one set of open suppliers."""
        used, parts = self.layout.used[item], self.layout.parts[item]
        terms = {part.column: 1.0 for part in parts}
        for kit, columns in zip(self.book.kits, self.layout.kits, strict=True):
            if item in kit.content:
                terms |= dict.fromkeys(columns, kit.content[item] / self.units[item])
        rows = [(dict.fromkeys(used.values(), 1.0), 1.0, 1.0), (terms, 1.0, math.inf)]
        for s in self.layout.sellers[item]:
            mine = {column: 1.0 for each, column in used.items() if s in each}
            mine[self.layout.also[item][s]] = 1.0
            rows.append((mine | dict.fromkeys(self.layout.modes[s], -1.0), -math.inf, 0.0))
            here = {part.column: 1.0 for part in parts if part.supplier == s}
            rows.append((here | dict.fromkeys(mine, -1.0), -math.inf, 0.0))
        return rows

    def priced(self, multipliers: Multipliers) -> bool:
        """Put in the cheapest covers at some multipliers; False where they are in."""
        if multipliers in self._pool:
            return False
        self.layout.learn(multipliers)
        self._pool.append(multipliers)
        rows = [self._tangent(item, multipliers) for item, units in enumerate(self.units) if units]
        self.linear.add(rows)
        return True

    def _tangent(self, item: int, multipliers: Multipliers) -> tuple[dict[int, float], float, float]:
        layout, terms = self.layout, {}
        for s, column in layout.goods[item].items():
            terms[column] = multipliers[s].part / SCALE if s >= 0 else 1.0
        for s, column in layout.weight[item].items():
            terms[column] = float(multipliers[s].per_dg)
        for part in layout.parts[item]:
            price = part.price * multipliers[part.supplier].part / SCALE
            price += part.weight * multipliers[part.supplier].per_dg
            terms[part.column] = price * self.units[item]
        kits = zip(self.book.kits, layout.kits, layout.prices.cache.shares, strict=True)
        for kit, columns, shares in kits:
            if item in kit.content:
                steps = multipliers[kit.supplier].steps(kit, self.book.factors[kit.supplier])
                share = shares[item] / sum(shares.values()) / (SCALE * CENT)
                terms |= {k: price * share for k, (*_, price) in zip(columns, steps, strict=True)}
        least = layout.least[multipliers][item][:, self.at] * (1 - 1e-12)  # floats may not tell smaller differences
        prices = zip(layout.used[item].values(), least, strict=True)
        terms |= {k: -float(price) for k, price in prices if price < NO_COVER}
        return terms, 0.0, math.inf

    def sets(self) -> dict[int, float]:
        """Largest values that keep the program small: 0 of a set that covers nothing, and of one that saves nothing
        against a smaller one, at no multipliers. What comes from it is told as of the smaller one, and may then come
        from the others of it also.
        """
        found: dict[int, float] = {}
        for item, (used, also) in enumerate(zip(self.layout.used, self.layout.also, strict=True)):
            least = np.array([self.layout.least[each][item][:, self.at] for each in self._pool])
            kept: list[tuple[set[int], int]] = []
            found |= dict.fromkeys(also.values(), 0.0)
            for k, (each, column) in enumerate(used.items()):
                never = least[0, k] > NO_COVER
                beaten = any((least[:, q] <= least[:, k]).all() for some, q in kept if some < set(each))
                found[column] = float(not never and not beaten)
                if found[column]:
                    kept.append((set(each), k))
                elif beaten:
                    found |= {also[s]: 1.0 for s in each}
        return found

    def charges(self, values: Array) -> tuple[list[float], list[list[int]]]:
        """How much less the program pays of every supplier's fee than its cheapest mode that fits [cent], and the modes
        that fit, the cheapest first.
        """
        lack, fits = [], []
        for s, (columns, rates) in enumerate(zip(self.layout.modes, self.book.tariffs, strict=True)):
            goods, weight = (
                sum(value * values[k] for k, value in terms[s].items()) if s in terms else 0.0
                for terms in (self.bought, self.heavy)
            )
            taken = [m.least_goods_cents <= goods + 1e-4 and m.most_dg >= weight * KG - 1e-3 for m in rates.modes]
            some = [place for place, fine in enumerate(taken) if fine and values[columns].sum() > 1e-6]
            fits.append(sorted(some, key=lambda place: rates.modes[place].fee_micros))
            paid = sum(mode.fee_micros * values[k] for k, mode in zip(columns, rates.modes, strict=True))
            fee = rates.modes[fits[-1][0]].fee_micros if some else NEVER if values[columns].sum() > 1e-6 else paid
            lack.append((fee - paid) / CENT)
        return lack, fits
