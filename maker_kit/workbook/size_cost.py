"""What one container costs against how many are made at once, and at the batch size that is chosen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from maker_kit.buying.costing import cost_curve
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.needs import needs_per_batch
from maker_kit.formula.batch import LABEL
from maker_kit.plan.costs import MICROS, CurveView, curve_view
from maker_kit.plan.plan import Plan

UPTO = 48
"""Largest count of the curve [containers]."""


@dataclass(frozen=True)
class SizeCost:
    """The cost of one container along the containers made, and at the chosen count.

    Attributes
    ----------
    plan : Plan
        With the chosen batch size.
    view : CurveView
        Each container a batch of its own: the batch size is 1.
    point : CurvePoint
        Of the whole plan, its batches as they are: what stays on the tools is lost once a batch.
    """

    plan: Plan
    view: CurveView
    point: CurvePoint

    @property
    def each(self) -> tuple[float, float] | None:
        """One container of the plan costs at least and at most [currency]; the same twice where that is proved; None
        where nothing on sale covers it, or nothing is known yet.
        """
        ends = self.point.lower_micros, self.point.upper_micros
        if self.point.proved and self.point.cost_micros is not None:
            ends = self.point.cost_micros, self.point.cost_micros
        return None if None in ends else tuple(end / self.plan.containers / MICROS for end in ends)

    @property
    def settled(self) -> bool:
        """Whether every count is proved, or known to be impossible."""
        return not self.view.curve.open_counts and (self.point.proved or self.point.impossible)


def size_cost(
    plan: Plan,
    *,
    solver: CurveSolver | None = None,
    seconds: float | None = None,
    close: bool = True,
    cancelled: Callable[[], bool] | None = None,
    known: CurveView | None = None,
) -> SizeCost:
    """The cost of one container for 1 to `UPTO` containers, and at the plan's own count.

    Parameters
    ----------
    plan : Plan
    solver, seconds, close, cancelled
        As in `maker_kit.buying.costing.cost_curve`.
    known : CurveView, optional
        A curve of an earlier call; taken again where it is of the same needs and all of it is proved.

    Returns
    -------
    SizeCost

    Raises
    ------
    MakerKitError
        If the market has a fault.
    """
    recipe, how = plan.recipe, {"solver": solver, "seconds": seconds, "close": close, "cancelled": cancelled}
    needs = needs_per_batch(recipe, 1, recipe.container, LABEL)
    single = replace(plan, batch_size=1, batches=plan.containers, needs=needs)
    view = None
    if known is not None and not known.curve.open_counts:
        same = known.plan.recipe.name == recipe.name and known.plan.needs == needs
        view = replace(known, plan=single, mark=plan.containers) if same else None
    view = view or curve_view(single, UPTO, marked=False, **how)
    if not recipe.film_g and plan.containers <= UPTO:
        return SizeCost(plan, view, view.curve.at(plan.containers))
    whole = {item: amount * plan.batches for item, amount in plan.needs.items()}
    curve = cost_curve(plan.market, whole, 1, containers_per_batch=plan.containers, **how)
    return SizeCost(plan, view, curve.at(1))
