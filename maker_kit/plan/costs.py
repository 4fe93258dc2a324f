"""What a plan costs: its shopping list, its curve over counts, and the shop's prices on the same axis."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.basket.reasons import reasons
from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.needs import need_of
from maker_kit.buying.own_time import with_own_time
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.errors import BasketError
from maker_kit.plan.marks import CurveMark, ShopLine, curve_marks, lines_that_pay, shop_lines
from maker_kit.plan.notes import used_in_time
from maker_kit.plan.plan import Plan

MICROS = 10**6
"""Ten-thousandths of a cent in one unit of currency."""


@dataclass(frozen=True)
class CurveView:
    """A curve with all that is drawn beside it.

    Attributes
    ----------
    plan : Plan
    curve : CostCurve
    shop_lines : tuple of ShopLine
    mark : int or None
        Count looked at, in containers.
    marks : tuple of CurveMark
        Counts of batches at which a larger pack, a supplier or free delivery begins.
    dear : CostCurve or None
        The curve if every delivery costs its dear end; None where delivery is known to the cent, or it was not asked.
    own_batch_micros : Fraction or int
        One's own time for one batch [0.0001 cent]: in every cost of one container here, and in the counts that pay of
        the shop lines, but not in `curve`, which is what is paid to others. `with_own_time` sets it.
    """

    plan: Plan
    curve: CostCurve
    shop_lines: tuple[ShopLine, ...]
    mark: int | None = None
    marks: tuple[CurveMark, ...] = ()
    dear: CostCurve | None = None
    own_batch_micros: Fraction | int = 0

    @property
    def currency(self) -> str:
        """The workshop's currency."""
        return self.plan.currency

    @property
    def containers(self) -> tuple[int, ...]:
        """Containers of every count."""
        return self.curve.containers

    @property
    def unit_cash(self) -> tuple[float | None, ...]:
        """What you pay for one container of every count [currency], and own time; None where no basket is proved."""
        return self._each(self.curve.cost_micros)

    @property
    def unit_used(self) -> tuple[float | None, ...]:
        """What one container of every count used up [currency]; None likewise."""
        return self._each(self.curve.used_cost_micros)

    @property
    def unit_dear(self) -> tuple[float | None, ...]:
        """What you pay for one container at the dear end of delivery [currency]; empty where `dear` is none."""
        return self._each(self.dear.cost_micros) if self.dear else ()

    @property
    def unit_bounds(self) -> tuple[tuple[float, float] | None, ...]:
        """What one container costs at least and at most where a count is not proved [currency]; None where it is, or
        nothing is known.
        """
        low, high = (
            self._each([None if p.proved else getattr(p, end) for p in self.curve.points])
            for end in ("lower_micros", "upper_micros")
        )
        return tuple(None if None in ends else ends for ends in zip(low, high, strict=True))

    @property
    def keeps_containers(self) -> float | None:
        """Most containers that are used up within the keeping time; None where that is unknown."""
        most = used_in_time(self.plan.recipe)
        return None if most is None else float(most)

    def with_own_time(self, own_batch_micros: Fraction | int) -> CurveView:
        """The view with so much own time in every batch [0.0001 cent], as `own_time_micros` gives it; 0 for none."""
        if own_batch_micros == self.own_batch_micros:
            return self
        lines = lines_that_pay(self.shop_lines, self.curve, own_batch_micros)
        return replace(self, own_batch_micros=own_batch_micros, shop_lines=lines)

    def _each(self, costs: Iterable[int | None]) -> tuple[float | None, ...]:
        worth = with_own_time(tuple(costs), self.own_batch_micros)
        return tuple(
            None if cost is None else float(cost) / n / MICROS for n, cost in zip(self.containers, worth, strict=True)
        )


@dataclass(frozen=True)
class Purchase:
    """The shopping list of a plan and its two costs.

    Attributes
    ----------
    plan : Plan
    basket : Basket
    cash_micros, used_micros : int
        What you pay, and what the count used up [0.0001 cent].
    """

    plan: Plan
    basket: Basket
    cash_micros: int
    used_micros: int

    @property
    def unit_cash_micros(self) -> Fraction:
        """What you pay for one container [0.0001 cent]."""
        return Fraction(self.cash_micros, self.plan.containers)

    @property
    def unit_used_micros(self) -> Fraction:
        """What one container used up [0.0001 cent]."""
        return Fraction(self.used_micros, self.plan.containers)

    def reasons(self) -> tuple[str, ...]:
        """Why this list and no other, in sentences; worked out when asked for, by
        `maker_kit.buying.basket.reasons.reasons`.

        Raises
        ------
        BasketError
            If the list was made at other prices than the market's.
        """
        return reasons(self.basket, self.plan.market)


class Solvers:
    """Curve solvers, one for each set of bought items, kept so that a moved slider finds their tables ready."""

    def __init__(self) -> None:
        self._kept: dict[frozenset[str], CurveSolver] = {}

    def of(self, plan: Plan) -> CurveSolver:
        """The solver for what a plan buys."""
        key = frozenset(plan.needs)
        if key not in self._kept:
            self._kept[key] = CurveSolver(plan.market)
        return self._kept[key]


def purchase(plan: Plan) -> Purchase:
    """The cheapest shopping list for a plan's count; ties are settled in a fixed order, so that the list never
    flickers.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    Purchase

    Raises
    ------
    BasketError
        If nothing on sale covers the need, or the list could not be proved the cheapest.
    """
    basket = cheapest_basket(plan.market, need_of(plan.needs, plan.batches))
    return Purchase(plan, basket, basket.cost_micros, used_cost_micros(plan.market, basket))


def quick_purchase(plan: Plan, solver: CurveSolver) -> Purchase:
    """A cheapest shopping list for a plan's count, quickly, under a slider: of several lists that cost the same, any
    may come.

    Parameters
    ----------
    plan : Plan
    solver : CurveSolver
        One of `Solvers`.

    Returns
    -------
    Purchase

    Raises
    ------
    BasketError
        As `purchase` does.
    """
    needs = {item: amount * plan.batches for item, amount in plan.needs.items()}
    point = cost_curve(plan.market, needs, 1, containers_per_batch=plan.containers, solver=solver).at(1)
    if point.basket is None or point.cost_micros is None or point.used_cost_micros is None:
        raise BasketError(point.why)
    return Purchase(plan, point.basket, point.cost_micros, point.used_cost_micros)


def curve_view(
    plan: Plan,
    upto: int,
    *,
    progress: Callable[[int, int], None] | None = None,
    solver: CurveSolver | None = None,
    seconds: float | None = None,
    close: bool = True,
    cancelled: Callable[[], bool] | None = None,
) -> CurveView:
    """The cost of every count of batches from 1 to `upto`, with the shop's prices and the counts that pay.

    Parameters
    ----------
    plan : Plan
    upto : int
        Largest count of batches.
    progress : callable, optional
        ``progress(done, total)``, called as points are solved.
    solver, seconds, close, cancelled
        As in `maker_kit.buying.costing.cost_curve`.

    Returns
    -------
    CurveView

    Raises
    ------
    QuantityError
        If `upto` is not a whole number of 1 or more.
    """
    market = plan.market
    curve = cost_curve(
        market,
        plan.needs,
        upto,
        containers_per_batch=plan.batch_size,
        progress=progress,
        solver=solver,
        seconds=seconds,
        close=close,
        cancelled=cancelled,
        first=(plan.batches,),
    )
    dear = None
    if close and not market.delivery_known:
        dear = cost_curve(
            market.at_high_delivery(), plan.needs, upto, containers_per_batch=plan.batch_size, cancelled=cancelled
        )
    return CurveView(
        plan,
        curve,
        lines_that_pay(shop_lines(plan.workshop, plan.recipe), curve),
        plan.containers if plan.batches <= upto else None,
        curve_marks(market, curve),
        dear,
    )


def settled_view(view: CurveView, bought: Purchase) -> CurveView:
    """The view with the settled list at the count that was bought: where several lists cost the same, everything beside
    the curve then speaks of that one.

    Parameters
    ----------
    view : CurveView
    bought : Purchase
        Of the plan of the view.

    Returns
    -------
    CurveView
        As it was, where the curve does not reach the count or has not proved it.

    Raises
    ------
    BasketError
        If the list costs anything else than the curve says.
    """
    at, points = bought.plan.batches - 1, list(view.curve.points)
    if at >= len(points) or not points[at].proved:
        return view
    if points[at].cost_micros != bought.cash_micros:
        msg = (
            f"the curve and the shopping list differ about {bought.plan.batches} batches, so neither is shown; "
            "one of the two is wrong"
        )
        raise BasketError(msg)
    points[at] = replace(points[at], packs=bought.basket.counts)
    return replace(view, curve=replace(view.curve, points=tuple(points)))
