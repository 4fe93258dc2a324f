"""The shopping list of a plan's count, and what it costs: settled among its ties, or quickly under a slider."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.basket.reasons import reasons
from maker_kit.buying.costing import cost_curve
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.needs import exact_need
from maker_kit.buying.proved_list import proved_list
from maker_kit.buying.stopping import Asked, callable_off
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.errors import BasketError
from maker_kit.plan.plan import Plan

NOT_SETTLED = (
    "Other lists may cost exactly as much. Which of them comes first was not proved in time, so another one may be "
    "shown next time."
)
NOT_COMPARED = "Not compared with other lists, for want of time."


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

    def reasons(self, cancelled: Callable[[], bool] | None = None) -> tuple[str, ...]:
        """Why this list and no other, in sentences; worked out when asked for, by
        `maker_kit.buying.basket.reasons.reasons`.

        Parameters
        ----------
        cancelled : callable, optional
            Asked often; soon after it is true, what is left is said not to be compared.

        Raises
        ------
        BasketError
            If the list was made at other prices than the market's.
        """
        told = () if self.basket.settled else (NOT_SETTLED,)

        def work(asked: Asked) -> tuple[str, ...]:
            return reasons(self.basket, self.plan.market, stopped=cancelled and asked)

        return (*told, *callable_off(work, cancelled, lambda: (NOT_COMPARED,)))


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


def purchase(
    plan: Plan,
    *,
    seconds: float = 60.0,
    cancelled: Callable[[], bool] | None = None,
    solver: CurveSolver | None = None,
) -> Purchase:
    """The cheapest shopping list for a plan's count; ties are settled in a fixed order, so that the list never
    flickers.

    Parameters
    ----------
    plan : Plan
    seconds, cancelled, solver
        As in `maker_kit.buying.proved_list.proved_list`.

    Returns
    -------
    Purchase

    Raises
    ------
    BasketError
        If nothing on sale covers the need, or the list could not be proved the cheapest.
    """
    how = {"seconds": seconds, "cancelled": cancelled, "solver": solver}
    return list_bought(plan, proved_list(plan.market, plan.needs, plan.batches, **how))


def list_bought(plan: Plan, basket: Basket) -> Purchase:
    """A plan's shopping list with what it costs and what the count used up of it."""
    used = used_cost_micros(plan.market, basket, exact_need(plan.needs, plan.batches))
    return Purchase(plan, basket, basket.cost_micros, used)


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
    needs = exact_need(plan.needs, plan.batches)  # the plan's own count as a curve of one batch
    point = cost_curve(plan.market, needs, 1, containers_per_batch=plan.containers, solver=solver).at(1)
    if point.basket is None or not point.proved:
        raise BasketError(point.why)
    return list_bought(plan, point.basket)
