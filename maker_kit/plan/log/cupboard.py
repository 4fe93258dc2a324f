"""What is still to buy when the cupboard is asked first: *what you pay* falls, *what this batch used up* does not.

The cupboard stands in the market as one more supplier, who asks nothing: of each thing the recipe takes one pack, of
all that there is. So the shopping list and the curve count it like everything else, exactly; what is left of it stays.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date

import pandas as pd

from maker_kit.bench.log import BenchLog
from maker_kit.bench.stock import stock
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.market import Pack, Supplier
from maker_kit.buying.needs import BASE_UNITS_PER_G
from maker_kit.errors import QuantityError
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, number_text
from maker_kit.plan.costs import MICROS, CurveView, curve_view, settled_view
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Purchase, purchase

CUPBOARD = "Your cupboard"


@dataclass(frozen=True)
class CupboardList:
    """The shopping list with the cupboard asked first, beside the one without.

    Attributes
    ----------
    with_cupboard : Purchase
        What you pay is what is still to be bought; what is used up is that of `without`.
    without : Purchase
    taken_g : Mapping of str to float
        What the batches take out of the cupboard [g].
    """

    with_cupboard: Purchase
    without: Purchase
    taken_g: Mapping[str, float]

    def to_frame(self) -> pd.DataFrame:
        """The tie to the tables: what each thing needs, what of it the cupboard holds, and what is bought [g]."""
        plan, there = self.with_cupboard.plan, _there(self.with_cupboard.plan)
        rows = []
        for item, amount in self.with_cupboard.basket.need.items():
            if item in plan.market.pieces or item not in plan.workshop.ingredients:
                continue
            need, held = amount / BASE_UNITS_PER_G, there.get(item, 0) / BASE_UNITS_PER_G
            rows.append((item, need, held, min(need, held), max(need - held, 0.0)))
        return pd.DataFrame(rows, columns=["what", "needed g", "in the cupboard g", "taken g", "still to buy g"])


@dataclass(frozen=True)
class CupboardCurve:
    """The curve with the cupboard asked first, beside the one without.

    Attributes
    ----------
    with_cupboard, without : CurveView
        What was used up is the same in both: that of the curve without.
    """

    with_cupboard: CurveView
    without: CurveView

    def to_frame(self) -> pd.DataFrame:
        """One row a count: containers, what you pay with and without the cupboard, what is used up [currency]; what is
        not proved is blank.
        """
        columns = {
            "you pay": self.with_cupboard.curve.cost_micros,
            "without the cupboard": self.without.curve.cost_micros,
            "used up": self.without.used_cost_micros,
        }
        frame = pd.DataFrame({"containers": self.without.containers})
        for name, costs in columns.items():
            frame[name] = [None if c is None else float(c) / MICROS for c in costs]
        return frame


def cupboard_of(log: BenchLog | None, today: date) -> dict[str, float]:
    """What the cupboard holds by the log [g]; nothing where there is no log. What is past its date is not stock."""
    return {} if log is None else stock(log, today)


def stocked(plan: Plan, there_g: Mapping[str, float]) -> Plan:
    """The plan with the cupboard among its suppliers.

    Parameters
    ----------
    plan : Plan
    there_g : Mapping of str to float
        Ingredient → what there is [g]; capitals make no difference, and what the recipe does not take is passed over.

    Raises
    ------
    QuantityError
        If an amount is no number or below 0.
    """
    known = {name_key(item): item for item in plan.needs if item in plan.workshop.ingredients}
    units: dict[str, int] = {}
    for name, grams in there_g.items():
        exact = exact_number(grams, f"what there is of {name}")
        if exact < 0:
            raise QuantityError(f"of {name} there is 0 g or more, not {number_text(grams)} g")
        amount = int(exact * BASE_UNITS_PER_G)
        if name_key(name) in known and amount:
            units[known[name_key(name)]] = units.get(known[name_key(name)], 0) + amount
    if not units:
        return plan
    packs = tuple(
        Pack(f"{CUPBOARD}: {item}", CUPBOARD, {item: amount}, ((1, 0),), stock=1) for item, amount in units.items()
    )
    market = plan.workshop.market
    market = replace(
        market, suppliers=(*market.suppliers, Supplier(CUPBOARD, ((None, 0),))), packs=(*market.packs, *packs)
    )
    return replace(plan, workshop=replace(plan.workshop, market=market))


def held(plan: Plan) -> dict[str, int]:
    """What the cupboard of a stocked plan holds of each item that the recipe takes [0.1 g]; nothing of another plan."""
    return _there(plan) if is_stocked(plan) else {}


def is_stocked(plan: Plan) -> bool:
    """Whether the cupboard is among a plan's suppliers."""
    return any(supplier.name == CUPBOARD for supplier in plan.workshop.market.suppliers)


def _there(plan: Plan) -> dict[str, int]:
    return {item: n for pack in plan.market.packs if pack.supplier == CUPBOARD for item, n in pack.content.items()}


def cupboard_list(
    plan: Plan,
    there_g: Mapping[str, float],
    *,
    without: Purchase | None = None,
    cancelled: Callable[[], bool] | None = None,
    solver: CurveSolver | None = None,
) -> CupboardList:
    """The cheapest shopping list of what the cupboard does not hold.

    Parameters
    ----------
    plan : Plan
    there_g : Mapping of str to float
        As in `stocked`.
    without : Purchase, optional
        The list without the cupboard, where it is there already.
    cancelled, solver
        As in `maker_kit.plan.shopping.purchases.purchase`; the solver is of the stocked plan.

    Returns
    -------
    CupboardList

    Raises
    ------
    BasketError
        As `maker_kit.plan.shopping.purchases.purchase`.
    QuantityError
        As `stocked`.
    """
    without, asked = without or purchase(plan, cancelled=cancelled), stocked(plan, there_g)
    found = purchase(asked, cancelled=cancelled, solver=solver)
    there = _there(asked)
    taken = {
        item: min(amount, there[item]) / BASE_UNITS_PER_G for item, amount in found.basket.need.items() if item in there
    }
    return CupboardList(replace(found, used_micros=without.used_micros), without, taken)


def cupboard_curve(plan: Plan, there_g: Mapping[str, float], upto: int) -> CupboardCurve:
    """What every count of batches costs with the cupboard asked first, and without. Raises as `cupboard_list`."""
    without = curve_view(plan, upto)
    return CupboardCurve(replace(curve_view(stocked(plan, there_g), upto), without=without), without)


def asked_first(
    bought: Purchase, view: CurveView, there_g: Mapping[str, float], *, seconds: float = 60.0
) -> tuple[CupboardList, CurveView]:
    """A list and a curve that are there already, with the cupboard asked first.

    Parameters
    ----------
    bought : Purchase
    view : CurveView
        Of the same plan.
    there_g : Mapping of str to float
        As in `stocked`.
    seconds : float
        Most time for the curve [s].

    Returns
    -------
    tuple of (CupboardList, CurveView)
        The view holds the one without the cupboard.

    Raises
    ------
    BasketError, QuantityError
        As `cupboard_list`.
    """
    asked = stocked(bought.plan, there_g)
    if asked is bought.plan:
        return CupboardList(bought, bought, {}), view
    found = cupboard_list(bought.plan, there_g, without=bought)
    curve = curve_view(asked, view.curve.counts[-1], close_s=seconds, bought=found.with_cupboard)
    shown = settled_view(curve, found.with_cupboard) if asked.batches <= view.curve.counts[-1] else curve
    return found, replace(shown.with_own_time(view.own_batch_micros), without=view)
