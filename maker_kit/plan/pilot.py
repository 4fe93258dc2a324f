"""Trying a recipe for the least money: the cheapest pilot of 100–300 g, beside the batch that costs least a container
and is used up in time.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError
from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.needs import BASE_UNITS_PER_G, need_of, needs_per_batch
from maker_kit.errors import BasketError
from maker_kit.findings import Finding
from maker_kit.formula.batch import LABEL, as_bought, counted, exact_batch_mass
from maker_kit.formula.scale import weigh_out
from maker_kit.money import money
from maker_kit.plan.notes import used_in_time
from maker_kit.plan.plan import Plan

PILOT_G = (100, 200, 300)
"""Masses of a pilot without a container [g]: enough to weigh out, to fill and to watch (common practice, no source)."""


@dataclass(frozen=True)
class Pilot:
    """One way to try a recipe.

    Attributes
    ----------
    containers : int
        Containers and labels bought for it; 0 for a pilot in a beaker.
    mass_g : Fraction
        What is made [g], exactly.
    basket : Basket
    findings : tuple of Finding
        What the scale has to say of so little.
    """

    containers: int
    mass_g: Fraction
    basket: Basket
    findings: tuple[Finding, ...]

    @property
    def title(self) -> str:
        """In words: ``200 g in a beaker``, ``1 container, 260.6 g``."""
        return (
            f"{counted(self.containers)}, {float(self.mass_g):.1f} g"
            if self.containers
            else f"{float(self.mass_g):g} g in a beaker"
        )


@dataclass(frozen=True)
class PilotChoice:
    """The cheapest pilot and the cheapest batch.

    Attributes
    ----------
    pilots : tuple of Pilot
        Every pilot that can be bought for, the cheapest first; among equals the one that makes more.
    best : CurvePoint or None
        Count of batches that costs least a container and is used up in time; None where none is known.
    best_containers : int or None
        The same in containers.
    keeping_known : bool
        Whether use per month and keeping time are on file; where not, every count of the curve was looked at.
    open_counts : tuple of int
        Counts of batches that were looked at and are not proved: one of them may be cheaper still.
    """

    pilots: tuple[Pilot, ...]
    best: CurvePoint | None
    best_containers: int | None
    keeping_known: bool
    open_counts: tuple[int, ...] = ()

    @property
    def pilot(self) -> Pilot:
        """The cheapest pilot."""
        return self.pilots[0]

    @property
    def best_cost_micros(self) -> int | None:
        """What you pay for the cheapest batch [0.0001 cent]; None where none is known."""
        return self.best.cost_micros if self.best else None

    @property
    def best_each_micros(self) -> Fraction | None:
        """What one container of it costs [0.0001 cent]; None likewise."""
        return Fraction(self.best_cost_micros, self.best_containers) if self.best else None

    def sentence(self) -> str:
        """Both in words."""
        text = f"The cheapest pilot is {self.pilot.title}, for {money(self.pilot.basket.cost_micros)}."
        if not self.best:
            what = (
                "known to be used up within the keeping time" if self.keeping_known else "known that can be bought for"
            )
            return f"{text} No batch is {what}."
        in_time = "used up in time" if self.keeping_known else "whether they are used up in time is unknown"
        text += (
            f" Cheapest a container: {counted(self.best_containers)} for {money(self.best_cost_micros)}, "
            f"{money(round(self.best_each_micros))} each ({in_time})."
        )
        return text + (" Some counts are not proved, and one of them may be cheaper." if self.open_counts else "")

    def to_frame(self) -> pd.DataFrame:
        """Pilots and the cheapest batch as a table: what, containers, grams, you pay, for one container."""
        rows = [
            (f"pilot: {p.title}", p.containers, round(float(p.mass_g), 1), p.basket.cost_micros) for p in self.pilots
        ]
        if self.best:
            keeping = "within the keeping time" if self.keeping_known else "keeping time unknown"
            rows.append((f"cheapest a container, {keeping}", self.best_containers, None, self.best_cost_micros))
        return pd.DataFrame(
            [(*row, money(cost), money(round(Fraction(cost, row[1]))) if row[1] else "") for *row, cost in rows],
            columns=["what", "containers", "grams", "you pay", "for one container"],
        )


def pilot_choice(
    plan: Plan,
    upto: int,
    *,
    curve: Callable[..., CostCurve] | CostCurve = cost_curve,
    basket: Callable[..., Basket] = cheapest_basket,
) -> PilotChoice:
    """The cheapest way to try a recipe, beside the cheapest batch.

    Tried are 100, 200 and 300 g in a beaker, with neither container nor label, and the fewest and the most whole
    containers whose batch weighs 100 to 300 g. The batch mass is what is made: what stays in
    the beaker is part of it.

    Parameters
    ----------
    plan : Plan
    upto : int
        Largest count of batches looked at.
    curve : callable or CostCurve
        The plan's curve if it is there already, or what works it out: ``curve(market, needs, upto,
        containers_per_batch=…)``.
    basket : callable
        Finds a cheapest basket as `maker_kit.buying.basket.basket.cheapest_basket` does: ``basket(market, need,
        tie_break=…)``.

    Returns
    -------
    PilotChoice

    Raises
    ------
    QuantityError
        If `upto` is out of range.
    BasketError
        If nothing on sale covers any pilot, or a list could not be proved the cheapest.
    """
    worked = (
        curve
        if isinstance(curve, CostCurve)
        else curve(plan.market, plan.needs, upto, containers_per_batch=plan.batch_size)
    )
    most = used_in_time(plan.recipe)
    looked = [
        (point, each)
        for point, each in zip(worked.points, worked.containers, strict=True)
        if point.count <= upto and (most is None or each <= most)
    ]
    costs = [(Fraction(p.cost_micros, each), p.count, p, each) for p, each in looked if p.cost_micros is not None]
    *_, best, containers = min(costs, default=(None, None))
    return PilotChoice(
        pilots(plan, basket=basket),
        best,
        containers,
        most is not None,
        tuple(point.count for point, _ in looked if point.count in worked.open_counts),
    )


def pilots(plan: Plan, *, basket: Callable[..., Basket] = cheapest_basket) -> tuple[Pilot, ...]:
    """Every pilot that can be bought for, the cheapest first and, among equals, the one that makes more; see
    `pilot_choice`.

    Raises
    ------
    BasketError
        If there is none, or a list could not be proved the cheapest.
    """
    recipe, found, why = plan.recipe, [], ""
    for containers, mass in (*((0, Fraction(grams)) for grams in PILOT_G), *_whole_containers(plan)):
        needs = (
            needs_per_batch(recipe, containers, recipe.container, LABEL)
            if containers
            else {item: mass * share / 100 * BASE_UNITS_PER_G for item, share in as_bought(recipe).items()}
        )
        try:
            bought = basket(plan.workshop.market.for_items(needs), need_of(needs, 1), tie_break=True)
        except ImpossibleNeedError as error:
            why = why or str(error)
            continue
        found.append(Pilot(containers, mass, bought, weigh_out(recipe, mass, plan.workshop.settings.scale).findings))
    if not found:
        raise BasketError(f"No pilot of {recipe.title} can be bought for: {why}")
    return tuple(sorted(found, key=lambda pilot: (pilot.basket.cost_micros, -pilot.mass_g, -pilot.containers)))


def _whole_containers(plan: Plan) -> list[tuple[int, Fraction]]:
    """The fewest and the most containers whose batch weighs 100 to 300 g, with its mass; none where not even one
    container does.
    """
    first = exact_batch_mass(plan.recipe, 1)
    each = exact_batch_mass(plan.recipe, 2) - first
    fixed = first - each
    fewest, most = max(1, int(-(-(PILOT_G[0] - fixed) // each))), int((PILOT_G[-1] - fixed) // each)
    return [(count, fixed + count * each) for count in dict.fromkeys((fewest, most))] if fewest <= most else []
