"""The purchase as an integer program for HiGHS (scipy.optimize.milp), and the solver's answer with its proof.

The problem is the internet shopping problem (Błażewicz et al., "Internet shopping optimization problem", Int. J. Appl. Math. Comput. Sci. 20 (2010) 385–390): NP-hard in general, small at a
maker's size. Prices are all-units steps that a buyer cannot decline, so each step has a lower and an upper end.
"""

from __future__ import annotations

import math
import time
from collections.abc import Mapping
from dataclasses import dataclass, field

from maker_kit.buying.basket.caps import ENDLESS, Mode, PriceStep, Restriction, Tariff, candidates, price_steps, tariff
from maker_kit.buying.market import Market, Pack
from maker_kit.buying.pricing import threshold_goods_cents
from maker_kit.errors import BasketError

Terms = dict[int, int]
"""A linear expression: column to whole coefficient."""


class NotProvedError(BasketError):
    """The time was up, or the solver's answer did not stand the exact check: nothing is known of the cost."""


class ImpossibleNeedError(BasketError):
    """No basket of the market covers the need."""


@dataclass
class Program:
    """Columns and rows as they are added; every coefficient is a whole number."""

    highest: list[float] = field(default_factory=list)
    rows: list[tuple[Terms, float, float]] = field(default_factory=list)

    def column(self, most: float) -> int:
        """A new whole-number column from 0 to `most`."""
        self.highest.append(most)
        return len(self.highest) - 1

    def row(self, terms: Terms, low: float, high: float) -> None:
        """A new row: low ≤ terms ≤ high, in the largest unit that all coefficients share."""
        unit = math.gcd(*terms.values()) or 1
        self.rows.append(
            (
                {k: v // unit for k, v in terms.items()},
                low if math.isinf(low) else -(-int(low) // unit),
                high if math.isinf(high) else int(high) // unit,
            )
        )

    def minimise(self, objective: Terms, deadline: float) -> tuple[list[int], int]:
        """The least value of a linear expression, and where it is taken.

        Parameters
        ----------
        objective : dict of int to int
        deadline : float
            By time.monotonic() [s].

        Returns
        -------
        list of int, int
            The columns, and the objective computed from them in whole numbers.

        Raises
        ------
        ImpossibleNeedError
            If no values keep all rows.
        NotProvedError
            If the time is up, or the solver's bound and the whole-number objective differ by half a unit or more.
        """
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csc_array

        left = deadline - time.monotonic()
        if left <= 0:
            msg = "the time for it was up"
            raise NotProvedError(msg)
        size = len(self.highest)
        if not size:
            if any(low > 0 or high < 0 for _, low, high in self.rows):
                raise ImpossibleNeedError
            return [], 0
        unit = math.gcd(*objective.values()) or 1
        cost = np.zeros(size)
        for k, v in objective.items():
            cost[k] = v // unit
        at = [(v, row, k) for row, (terms, _, _) in enumerate(self.rows) for k, v in terms.items() if v]
        values, rows, columns = np.array(at, dtype=float).reshape(-1, 3).T
        matrix = csc_array((values, (rows.astype(int), columns.astype(int))), shape=(len(self.rows), size))
        found = milp(
            cost,
            integrality=np.ones(size),
            bounds=Bounds(np.zeros(size), self.highest),
            constraints=LinearConstraint(matrix, [low for _, low, _ in self.rows], [high for *_, high in self.rows]),
            options={"mip_rel_gap": 0.0, "time_limit": left, "presolve": False},
        )
        if found.status == 2:
            raise ImpossibleNeedError
        if found.status != 0 or found.x is None:
            msg = "the time for it was up" if found.status == 1 else "the solver gave no answer"
            raise NotProvedError(msg)
        values = [round(float(v)) for v in found.x]
        exact = sum(v // unit * values[k] for k, v in objective.items())
        if not abs(found.fun - exact) < 0.5 or not exact - found.mip_dual_bound < 0.5:
            msg = "the solver's cost and the exact one differ"
            raise NotProvedError(msg)
        return values, exact * unit


@dataclass(frozen=True)
class BasketProgram:
    """The program of one need, with the columns that mean something.

    Attributes
    ----------
    program : Program
    copies : dict of str to list of int
        Pack name to the columns whose sum is its count.
    cost : dict of int to int
        Cash cost [0.0001 cent].
    opened : dict of str to list of int
        Supplier to the columns whose sum is 1 when it is bought from; suppliers without any fee only where they were asked for.
    """

    program: Program
    copies: dict[str, list[int]]
    cost: Terms
    opened: dict[str, list[int]]

    def counts(self, values: list[int]) -> dict[str, int]:
        """Pack name to count, packs not bought left out."""
        counts = {name: sum(values[k] for k in columns) for name, columns in self.copies.items()}
        return {name: count for name, count in counts.items() if count}


def basket_program(
    market: Market, need: Mapping[str, int], restriction: Restriction, *, count_suppliers: bool = False
) -> BasketProgram:
    """The integer program of one need.

    Each price step of a pack is a column with a lower and an upper end, each way an order can be charged (a step of delivery, free delivery) a column of its own.

    Parameters
    ----------
    market : Market
        Checked.
    need : Mapping of str to int
        Item to base units, all above 0.
    restriction : Restriction
    count_suppliers : bool
        Whether every supplier gets a column that says whether it is bought from.

    Returns
    -------
    BasketProgram
    """
    tariffs = {s.name: tariff(s, restriction) for s in market.suppliers if s.delivery}
    caps = candidates(market, need, tariffs, restriction)
    packs = [pack for pack in market.packs if pack.name in caps]
    built = BasketProgram(Program(), {}, {}, {})
    for name, rates in tariffs.items():
        mine = [pack for pack in packs if pack.supplier == name]
        if mine:
            _add_supplier(built, rates, mine, caps, restriction, count=count_suppliers)
    for item, units in need.items():
        holding = {k: pack.content[item] for pack in packs if item in pack.content for k in built.copies[pack.name]}
        share = math.gcd(*holding.values()) or 1
        least = -(-units // share)
        built.program.row({k: min(v // share, least) for k, v in holding.items()}, least, math.inf)
        sellers = dict.fromkeys(pack.supplier for pack in packs if item in pack.content)
        if all(name in built.opened for name in sellers):
            built.program.row({k: 1 for name in sellers for k in built.opened[name]}, 1, math.inf)
    return built


def _add_supplier(
    built: BasketProgram,
    rates: Tariff,
    mine: list[Pack],
    caps: Mapping[str, int],
    restriction: Restriction,
    *,
    count: bool,
) -> None:
    """The columns of one supplier's packs and modes, and the rows that join them."""
    program, name = built.program, rates.supplier.name
    modes = {} if rates.modes == (Mode(0, 0),) and not count else {program.column(1): mode for mode in rates.modes}
    if modes:
        built.opened[name] = list(modes)
        built.cost.update({k: mode.fee_micros for k, mode in modes.items() if mode.fee_micros})
        if len(modes) > 1:
            program.row(dict.fromkeys(modes, 1), 0, 1)
    goods: Terms = {}
    weight: Terms = {}
    for pack in mine:
        for k, step in _add_pack(built, pack, caps[pack.name], list(modes)):
            goods[k] = step.price_cents
            built.cost[k] = step.price_cents * rates.tax_factor
            weight[k] = pack.shipping_dg
    share = math.gcd(*goods.values()) or 1
    least = {k: -(-(-m.least_goods_cents // share) * share) for k, m in modes.items() if m.least_goods_cents}
    if least:
        program.row(goods | least, 0, math.inf)
    if name in restriction.below_free:
        free_from = threshold_goods_cents(rates.supplier, rates.supplier.free_from_cents or 0)
        program.row(dict(goods), -math.inf, free_from - 1)
    if any(mode.most_dg < ENDLESS for mode in modes.values()):
        most = sum(pack.shipping_dg * caps[pack.name] for pack in mine)
        program.row(weight | {k: -min(mode.most_dg, most) for k, mode in modes.items()}, -math.inf, 0)
    if rates.heavier_pays:
        program.row(weight | {k: -(mode.over_dg + 1) for k, mode in modes.items()}, 0, math.inf)


def _add_pack(built: BasketProgram, pack: Pack, most: int, modes: list[int]) -> list[tuple[int, PriceStep]]:
    """A column a price step, at most one step used, none of it without an order."""
    program = built.program
    steps = [PriceStep(s.low, min(s.high, most), s.price_cents) for s in price_steps(pack) if s.low <= most]
    columns = [(program.column(step.high), step) for step in steps]
    built.copies[pack.name] = [k for k, _ in columns]
    if len(steps) == 1 and steps[0].low == 1:
        if modes:
            program.row({columns[0][0]: 1, **dict.fromkeys(modes, -steps[0].high)}, -math.inf, 0)
        return columns
    chosen = []
    for k, step in columns:
        chosen.append(program.column(1))
        program.row({k: 1, chosen[-1]: -step.high}, -math.inf, 0)
        program.row({k: 1, chosen[-1]: -step.low}, 0, math.inf)
    program.row(dict.fromkeys(chosen, 1) | dict.fromkeys(modes, -1), -math.inf, 0 if modes else 1)
    return columns


def cheapest_counts(
    market: Market, need: Mapping[str, int], restriction: Restriction, deadline: float
) -> tuple[dict[str, int], int]:
    """The counts of a cheapest basket and its cost [0.0001 cent], as the solver proves them.

    Raises
    ------
    ImpossibleNeedError, NotProvedError
        See `Program.minimise`.
    """
    built = basket_program(market, need, restriction)
    values, cost = built.program.minimise(built.cost, deadline)
    return built.counts(values), cost
