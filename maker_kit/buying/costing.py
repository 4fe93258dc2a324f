"""The cost of every count of batches: what you pay, what the batch used up, and the counts at which making pays."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import pandas as pd

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market
from maker_kit.buying.needs import check_per_batch
from maker_kit.buying.stopping import time_for
from maker_kit.errors import QuantityError
from maker_kit.money import MICROS_PER_CENT

MOST_COUNTS = 5_000
"""Longest curve that is worked out [counts of batches]."""

LEAST_SECONDS, COUNTS_A_SECOND = 2, 10
"""How long all counts at once may take where nobody says: so many seconds, and one more for every so many counts."""


@dataclass(frozen=True)
class CostCurve:
    """The cheapest basket of every count from 1 on.

    Attributes
    ----------
    containers_per_batch : int
    points : tuple of CurvePoint
        One a count of batches, 1 to N.
    """

    containers_per_batch: int
    points: tuple[CurvePoint, ...]

    @property
    def counts(self) -> tuple[int, ...]:
        """Counts of batches, 1 to N."""
        return tuple(point.count for point in self.points)

    @property
    def containers(self) -> tuple[int, ...]:
        """Containers of every count."""
        return tuple(point.count * self.containers_per_batch for point in self.points)

    @property
    def cost_micros(self) -> tuple[int | None, ...]:
        """What you pay [0.0001 cent]; None where there is no basket, or none that was proved."""
        return tuple(point.cost_micros for point in self.points)

    @property
    def used_cost_micros(self) -> tuple[int | None, ...]:
        """What every count used up [0.0001 cent]; None likewise."""
        return tuple(point.used_cost_micros for point in self.points)

    @property
    def open_counts(self) -> tuple[int, ...]:
        """Counts whose cost is not proved; whether one pays may be known all the same, see `pays_at`."""
        return tuple(point.count for point in self.points if not point.proved and not point.impossible)

    @property
    def settled(self) -> bool:
        """Whether every count that can be bought is proved, with the basket that comes first of all at its cost."""
        return all(point.impossible or (point.proved and point.settled) for point in self.points)

    def at(self, count: int) -> CurvePoint:
        """What is known of one count of batches.

        Raises
        ------
        QuantityError
            If the curve does not reach it.
        """
        if not 1 <= count <= len(self.points):
            msg = f"a count of {count}: the curve holds 1 to {len(self.points)}"
            raise QuantityError(msg)
        return self.points[count - 1]

    def with_basket(self, count: int, basket: Basket) -> CostCurve:
        """The curve once a cheapest basket of one count is proved, with what its cost tells of the others: it serves
        every smaller count, and no larger one costs less.

        Parameters
        ----------
        count : int
            One beyond the curve tells of all its counts.
        basket : Basket

        Raises
        ------
        BasketError
            If it costs anything else than the curve says.
        """
        points = tuple(
            p.bought(basket) if p.count == count else p.narrowed(basket.cost_micros, count, basket.counts)
            for p in self.points
        )
        return replace(self, points=points)

    def to_frame(self) -> pd.DataFrame:
        """The curve as a table: batches, containers, cash_cost, unit_cash_cost, used_cost, unit_used_cost [currency],
        proved.
        """
        table: dict[str, Sequence[object]] = {"batches": self.counts, "containers": self.containers}
        for name, values in (("cash_cost", self.cost_micros), ("used_cost", self.used_cost_micros)):
            paid = [None if value is None else value / (100 * MICROS_PER_CENT) for value in values]
            table[name] = paid
            table[f"unit_{name}"] = [p if p is None else p / n for p, n in zip(paid, self.containers, strict=True)]
        return pd.DataFrame(table | {"proved": [point.proved for point in self.points]})


def with_ties_settled(
    curve: CostCurve,
    solver: CurveSolver,
    *,
    first: Sequence[int] = (),
    seconds: float | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> CostCurve:
    """The curve with the basket of every proved count that comes first of all at its cost, so that its used cost is
    that of the shopping list; as far as the time reaches. What is given is as in `cost_curve`.
    """
    points = solver.close(curve.points, first=first, seconds=seconds, cancelled=cancelled, settle=True)
    return replace(curve, points=points)


def check_upto(upto: int) -> int:
    """The largest count of a curve, whole and from 1 to `MOST_COUNTS`.

    Raises
    ------
    QuantityError
        If it is anything else.
    """
    if isinstance(upto, (bool, str)) or not 1 <= upto <= MOST_COUNTS or int(upto) != upto:
        msg = f"a curve up to {upto}: the largest count is whole, from 1 to {MOST_COUNTS:,}"
        raise QuantityError(msg)
    return int(upto)


def cost_curve(
    market: Market,
    per_batch: Mapping[str, Fraction],
    upto: int,
    *,
    containers_per_batch: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    solver: CurveSolver | None = None,
    seconds: float | None = None,
    close: bool = True,
    first: Sequence[int] = (),
    close_s: float | None = None,
    settle: bool = False,
    seen: Callable[[CostCurve], None] | None = None,
    known: Sequence[tuple[int, Basket]] = (),
    start: CostCurve | None = None,
) -> CostCurve:
    """The cheapest basket of every count of batches from 1 to `upto`.

    All counts are worked out at once by `CurveSolver`; those that stay open are closed by the integer program.

    Parameters
    ----------
    market : Market
    per_batch : Mapping of str to Fraction
        What one batch takes of every item [0.1 g or pieces], exactly.
    upto : int
        Largest count, 1 to 5,000.
    containers_per_batch : int
    progress : callable, optional
        ``progress(done, total)``: how many counts are settled, of how many.
    cancelled : callable, optional
        Asked often; soon after it is true, the counts left are ``not proved``, with what is known of them.
    solver : CurveSolver, optional
        One made for this market before; its tables are kept, so that a moved slider finds them ready.
    seconds : float, optional
        How long all counts at once may take [s]; without it, a second for every ten counts and two more.
    close : bool
        Whether open counts are closed by the integer program; without it they stay ``not proved``, with the best basket
        known and a certified lower bound.
    first : sequence of int
        Counts to close before all others: those that are looked at.
    close_s : float, optional
        How long all of it may take, closing too [s]; without it, a minute for each count that is closed. A count that
        is still open then says so.
    settle : bool
        Whether, after closing and within its time, the basket of every count is made the one that comes first of all at
        its cost, so that its used cost is that of the shopping list.
    seen : callable, optional
        Given the curve as far as it is known: first before anything is closed, then after every count.
    known : sequence of (int, Basket)
        Counts whose cheapest basket is proved already; beyond the curve they tell of its last counts.
    start : CostCurve, optional
        A curve of the same market and needs to go on from: the counts are then not searched all at once again.

    Returns
    -------
    CostCurve

    Raises
    ------
    QuantityError
        If `upto` is out of range, a batch holds no whole number of containers from 1 on, or as `check_per_batch` does.
    BasketError
        If the largest count needs more of an item than is worked out, or the market has a fault.
    """
    last = check_upto(upto)
    check_per_batch(per_batch)
    if isinstance(containers_per_batch, (bool, float)) or containers_per_batch < 1:
        msg = f"{containers_per_batch!r} containers in one batch: a batch fills a whole number of them, 1 or more"
        raise QuantityError(msg)
    working = solver or CurveSolver(market)
    given = time_for(1e9 if close_s is None else close_s)
    seconds = min(LEAST_SECONDS + last / COUNTS_A_SECOND if seconds is None else seconds, given.left_s)
    again = start and tuple(point.again() for point in start.points)
    points = again or working.curve(per_batch, last, seconds=seconds, cancelled=cancelled)
    for count, basket in known:
        points = CostCurve(containers_per_batch, points).with_basket(count, basket).points
    if close and seen:
        seen(CostCurve(containers_per_batch, points))
    if close:
        points = working.close(
            points,
            first=first,
            progress=progress,
            cancelled=cancelled,
            seconds=given.left_s,
            settle=settle,
            seen=seen and (lambda found: seen(CostCurve(containers_per_batch, found))),
        )
    if progress:
        progress(last, last)
    return CostCurve(containers_per_batch, points)
