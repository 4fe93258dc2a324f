"""The purchase as an integer program for HiGHS, and the solver's answer with its proof.

The problem is the internet shopping problem (Błażewicz et al., "Internet shopping optimization problem", Int. J.
Appl. Math. Comput. Sci. 20 (2010) 385–390): NP-hard in general, small at a maker's size. Prices are all-units steps
that a buyer cannot decline, so each step has a lower and an upper end.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from maker_kit.buying.basket import highs
from maker_kit.buying.basket.caps import ENDLESS, Mode, PriceStep, Restriction, Tariff, candidates, price_steps, tariff
from maker_kit.buying.market import Market, Pack
from maker_kit.buying.pricing import threshold_goods_cents
from maker_kit.errors import BasketError

TIME_UP = "the time for it was up"

FIRST_PART_S, MORE_TIME = 0.5, 4
"""How long the solver runs at first where it may be called off [s], and how many times as long whenever that was not
enough: what is called off ends by itself after at most four times as long as it had run, and nine in ten programs of
medium markets end in the first part."""

Terms = dict[int, int]
"""A linear expression: column to whole coefficient."""


class NotProvedError(BasketError):
    """The time was up, or the solver's answer did not stand the exact check.

    Attributes
    ----------
    least : int
        What the objective was proved not to go below until then; 0 where nothing was.
    """

    def __init__(self, message: str, least: int = 0) -> None:
        super().__init__(message)
        self.least = least


class ImpossibleNeedError(BasketError):
    """No basket of the market covers the need."""


@dataclass(frozen=True)
class Problem:
    """What is to be bought.

    Attributes
    ----------
    market : Market
        Checked.
    need : Mapping of str to int
        Item to base units, all above 0.
    restriction : Restriction
    deadline : float
        By time.monotonic() [s].
    stopped : callable, optional
        Asked between steps; once true, the search is given up.
    """

    market: Market
    need: Mapping[str, int]
    restriction: Restriction
    deadline: float
    stopped: Callable[[], bool] | None = None


class BasketProgram:
    """The integer program of one need; every coefficient is a whole number.

    Each price step of a pack is a column with a lower and an upper end, each way an order can be charged (a step of
    delivery, free delivery) a column of its own.

    Parameters
    ----------
    problem : Problem
    count_suppliers : bool
        Whether every supplier gets a column that says whether it is bought from.

    Attributes
    ----------
    highest : list of int
        Largest value of every column; the least is 0.
    rows : list of (dict of int to int, float, float)
        Terms, and the least and the most they add up to.
    copies : dict of str to list of int
        Pack name to the columns whose sum is its count.
    cost : dict of int to int
        Cash cost [0.0001 cent].
    opened : dict of str to list of int
        Supplier to the columns whose sum is 1 when it is bought from; suppliers without any fee only where they were
        asked for.
    """

    def __init__(self, problem: Problem, *, count_suppliers: bool = False) -> None:
        self.problem = problem
        self.highest: list[int] = []
        self.rows: list[tuple[Terms, float, float]] = []
        self.copies: dict[str, list[int]] = {}
        self.cost: Terms = {}
        self.opened: dict[str, list[int]] = {}
        market, restriction = problem.market, problem.restriction
        tariffs = {s.name: tariff(s, restriction) for s in market.suppliers if s.delivery}
        caps = candidates(market, problem.need, tariffs, restriction)
        packs = [pack for pack in market.packs if pack.name in caps]
        for name, rates in tariffs.items():
            mine = [(pack, caps[pack.name]) for pack in packs if pack.supplier == name]
            if mine:
                self._add_supplier(rates, mine, charged=count_suppliers or rates.modes != (Mode(0, 0),))
        for item, units in problem.need.items():
            holding = {k: pack.content[item] for pack in packs if item in pack.content for k in self.copies[pack.name]}
            share = math.gcd(*holding.values()) or 1
            least = -(-units // share)
            self.row({k: min(v // share, least) for k, v in holding.items()}, least, math.inf)
            sellers = dict.fromkeys(pack.supplier for pack in packs if item in pack.content)
            if all(name in self.opened for name in sellers):
                self.row({k: 1 for name in sellers for k in self.opened[name]}, 1, math.inf)

    def _add_supplier(self, rates: Tariff, mine: list[tuple[Pack, int]], *, charged: bool) -> None:
        """The columns of one supplier's packs (up to so many of each) and modes, and the rows that join them."""
        name, restriction = rates.supplier.name, self.problem.restriction
        modes = {self.column(1): mode for mode in rates.modes} if charged else {}
        if modes:
            self.opened[name] = list(modes)
            self.cost |= {k: mode.fee_micros for k, mode in modes.items() if mode.fee_micros}
            if len(modes) > 1:
                self.row(dict.fromkeys(modes, 1), 0, 1)
        goods: Terms = {}
        weight: Terms = {}
        for pack, most in mine:
            for k, step in self._add_pack(pack, most, list(modes)):
                goods[k], weight[k] = step.price_cents, pack.shipping_dg
        self.cost |= {k: cents * rates.tax_factor for k, cents in goods.items()}
        share = math.gcd(*goods.values()) or 1
        least = {k: -(-(-m.least_goods_cents // share) * share) for k, m in modes.items() if m.least_goods_cents}
        if least:
            self.row(goods | least, 0, math.inf)
        if name in restriction.below_free:
            free_from = threshold_goods_cents(rates.supplier, rates.supplier.free_from_cents or 0)
            self.row(goods, -math.inf, free_from - 1)
        if any(mode.most_dg < ENDLESS for mode in modes.values()):
            heaviest = sum(pack.shipping_dg * most for pack, most in mine)
            self.row(weight | {k: -min(mode.most_dg, heaviest) for k, mode in modes.items()}, -math.inf, 0)
        if rates.heavier_pays:
            self.row(weight | {k: -(mode.over_dg + 1) for k, mode in modes.items()}, 0, math.inf)

    def _add_pack(self, pack: Pack, most: int, modes: list[int]) -> list[tuple[int, PriceStep]]:
        """A column a price step, at most one step used, none of it without an order."""
        columns = [(self.column(min(s.high, most)), s) for s in price_steps(pack) if s.low <= most]
        self.copies[pack.name] = [k for k, _ in columns]
        if len(columns) == 1 and columns[0][1].low == 1:
            k = columns[0][0]
            if modes:
                self.row({k: 1, **dict.fromkeys(modes, -self.highest[k])}, -math.inf, 0)
            return columns
        chosen = []
        for k, step in columns:
            chosen.append(self.column(1))
            self.row({k: 1, chosen[-1]: -self.highest[k]}, -math.inf, 0)
            self.row({k: 1, chosen[-1]: -step.low}, 0, math.inf)
        self.row(dict.fromkeys(chosen, 1) | dict.fromkeys(modes, -1), -math.inf, 0 if modes else 1)
        return columns

    def column(self, most: int) -> int:
        """A new whole-number column from 0 to `most`."""
        self.highest.append(most)
        return len(self.highest) - 1

    def row(self, terms: Terms, low: float, high: float) -> None:
        """A new row: low ≤ terms ≤ high, in the largest unit that all coefficients share."""
        unit = math.gcd(*terms.values()) or 1
        least = low if math.isinf(low) else -(-int(low) // unit)
        most = high if math.isinf(high) else int(high) // unit
        self.rows.append(({k: v // unit for k, v in terms.items()}, least, most))

    def most(self, name: str) -> int:
        """Most copies of a pack that the program can hold."""
        return max(self.highest[k] for k in self.copies[name])

    def counts(self, values: list[int]) -> dict[str, int]:
        """Pack name to count, packs not bought left out."""
        counts = {name: sum(values[k] for k in columns) for name, columns in self.copies.items()}
        return {name: count for name, count in counts.items() if count}

    def minimise(self, objective: Terms, at_most: float = math.inf) -> tuple[list[int], int]:
        """The least value of a linear expression, and where it is taken.

        Parameters
        ----------
        objective : dict of int to int
        at_most : float
            Greater values are of no interest, which makes the search shorter: a value that is known to be reached, or
            one above which it does not matter.

        Returns
        -------
        list of int, int
            The columns, and the objective computed from them in whole numbers.

        Raises
        ------
        ImpossibleNeedError
            If no values keep all rows, or none that is at most so much.
        NotProvedError
            If the time is up, or the solver's bound and the whole-number objective differ by half a unit or more.
        """
        size = len(self.highest)
        self._check_time()
        if not size:
            if any(low > 0 or high < 0 for _, low, high in self.rows):
                raise ImpossibleNeedError
            return [], 0
        unit = math.gcd(*objective.values()) or 1
        cost = [0.0] * size
        for k, v in objective.items():
            cost[k] = float(v // unit)
        program = highs.Program(cost, self.highest, self.rows, at_most / unit + 0.5)
        # the solver cannot be called off, so it is asked again with more time as long as nobody has called it off
        part, least = math.inf if self.problem.stopped is None else FIRST_PART_S, 0
        while True:
            left = self._check_time(least)
            found = highs.solve(program, min(left, part))
            if found.ended == highs.TIME_UP and math.isfinite(found.bound):
                least = max(least, math.ceil(found.bound - 0.5) * unit)
            if found.ended != highs.TIME_UP or left <= part:
                break
            part *= MORE_TIME
        if found.ended == highs.IMPOSSIBLE:
            raise ImpossibleNeedError
        if found.ended == highs.REFUSED:
            msg = "the solver does not take amounts as large as these"
            raise NotProvedError(msg)
        if found.ended != highs.PROVED or not all(map(math.isfinite, found.values)):
            msg = TIME_UP if found.ended == highs.TIME_UP else "the solver gave no answer"
            raise NotProvedError(msg, least)
        values = [round(v) for v in found.values]
        exact = sum(v // unit * values[k] for k, v in objective.items())
        if not abs(found.cost - exact) < 0.5 or not exact - found.bound < 0.5:
            msg = "the solver's cost and the exact one differ"
            raise NotProvedError(msg)
        return values, exact * unit

    def _check_time(self, least: int = 0) -> float:
        """Time that is left [s]; raises NotProvedError, with what is proved, where none is, or it was called off."""
        left = self.problem.deadline - time.monotonic()
        if left <= 0:
            raise NotProvedError(TIME_UP, least)
        if self.problem.stopped is not None and self.problem.stopped():
            msg = "it was called off"
            raise NotProvedError(msg, least)
        return left


def cheapest_counts(problem: Problem, at_most_micros: float = math.inf) -> tuple[dict[str, int], int]:
    """The counts of a cheapest basket and its cost [0.0001 cent], as the solver proves them.

    A cost at which a basket is known may be given; the search is shorter then.

    Raises
    ------
    ImpossibleNeedError, NotProvedError
        See `BasketProgram.minimise`.
    """
    built = BasketProgram(problem)
    values, cost = built.minimise(built.cost, at_most_micros)
    return built.counts(values), cost
