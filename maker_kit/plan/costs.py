"""What a plan costs at every count: its curve, and the shop's prices on the same axis."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.own_time import with_own_time
from maker_kit.buying.stopping import time_for
from maker_kit.plan.marks import CurveMark, ShopLine, curve_marks, lines_that_pay, shop_lines
from maker_kit.plan.notes import used_in_time
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Purchase, list_bought

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
    without : CurveView or None
        The same without the cupboard, where `curve` asks the cupboard first; what was used up is that of it.
    """

    plan: Plan
    curve: CostCurve
    shop_lines: tuple[ShopLine, ...]
    mark: int | None = None
    marks: tuple[CurveMark, ...] = ()
    dear: CostCurve | None = None
    own_batch_micros: Fraction | int = 0
    without: CurveView | None = None

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
        return self._each(self.used_cost_micros)

    @property
    def used_cost_micros(self) -> tuple[int | None, ...]:
        """What every count used up [0.0001 cent], bought or from the cupboard; None likewise."""
        return (self.without or self).curve.used_cost_micros

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
        without = self.without and self.without.with_own_time(own_batch_micros)
        return replace(self, own_batch_micros=own_batch_micros, shop_lines=lines, without=without)

    def _each(self, costs: Iterable[int | None]) -> tuple[float | None, ...]:
        worth = with_own_time(tuple(costs), self.own_batch_micros)
        return tuple(
            None if cost is None else float(cost) / n / MICROS for n, cost in zip(self.containers, worth, strict=True)
        )


def purchase_of(view: CurveView) -> Purchase | None:
    """The list that a curve holds for the count looked at; None where that is not proved."""
    plan = view.plan
    point = view.curve.at(plan.batches) if plan.batches <= view.curve.counts[-1] else None
    return None if point is None or not point.proved or point.basket is None else list_bought(plan, point.basket)


def curve_view(
    plan: Plan,
    upto: int,
    *,
    progress: Callable[[int, int], None] | None = None,
    solver: CurveSolver | None = None,
    seconds: float | None = None,
    close: bool = True,
    cancelled: Callable[[], bool] | None = None,
    close_s: float | None = None,
    bought: Purchase | None = None,
    seen: Callable[[CurveView], None] | None = None,
    start: CostCurve | None = None,
    settle: bool = True,
    marked: bool = True,
) -> CurveView:
    """The cost of every count of batches from 1 to `upto`, with the shop's prices and the counts that pay.

    Parameters
    ----------
    plan : Plan
    upto : int
        Largest count of batches.
    progress : callable, optional
        ``progress(done, total)``, called as points are solved.
    solver, seconds, close, cancelled, close_s, start
        As in `maker_kit.buying.costing.cost_curve`.
    settle : bool
        Whether ties are settled too where it is closed.
    marked : bool
        Whether it is looked for what begins along the curve.
    bought : Purchase, optional
        The list of the count looked at, where it is there already: it is proved, and tells of the counts beside it.
    seen : callable, optional
        Given the view as far as it is known, after every count that was closed.

    Returns
    -------
    CurveView

    Raises
    ------
    QuantityError
        If `upto` is not a whole number of 1 or more.
    """
    market, lines = plan.market, shop_lines(plan.workshop, plan.recipe)
    mark = plan.containers if plan.batches <= upto else None
    given = None if close_s is None else time_for(close_s)

    def view(curve: CostCurve, dear: CostCurve | None = None) -> CurveView:
        marks = curve_marks(market, curve) if marked else ()
        return CurveView(plan, curve, lines_that_pay(lines, curve), mark, marks, dear)

    how = {"containers_per_batch": plan.batch_size, "close": close, "cancelled": cancelled, "first": (plan.batches,)}
    curve = cost_curve(
        market,
        plan.needs,
        upto,
        progress=progress,
        solver=solver,
        seconds=seconds,
        close_s=given and given.left_s,
        start=start,
        known=() if bought is None else ((plan.batches, bought.basket),),
        settle=close and settle,
        seen=seen and (lambda found: seen(view(found))),
        **how,
    )
    dear = None
    if close and not market.delivery_known:
        dear = cost_curve(market.at_high_delivery(), plan.needs, upto, close_s=given and given.left_s, **how)
    return view(curve, dear)


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
        With that count proved, and what its cost tells of the others.

    Raises
    ------
    BasketError
        If the list costs anything else than the curve says.
    """
    curve = view.curve.with_basket(bought.plan.batches, bought.basket)
    return replace(view, curve=curve, shop_lines=lines_that_pay(view.shop_lines, curve, view.own_batch_micros))
