"""What a costing report leaves for other programs: one JSON file and the curve as CSV."""

from __future__ import annotations

import json
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

from maker_kit.buying.costing import CostCurve
from maker_kit.buying.needs import BASE_UNITS_PER_G
from maker_kit.plan.costs import CurveView
from maker_kit.plan.log.cupboard import held
from maker_kit.plan.plan import Plan, Unpriced
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.workbook.amounts import money

WEIGHED = ("phase", "ingredient", "percent", "mass_g", "weighed_g", "note")
NOTED = ("kind", "code", "level", "topic", "found_percent", "limit_percent", "source", "text", "next_step")
COSTS = ("goods", "handling", "delivery", "tax", "total")
PAID = ("cash", "used", "unit_cash", "unit_used")
PRICED = (
    "basket",
    "orders",
    *(f"{name}_cost" for name in PAID),
    "shop_prices",
    "counts_that_pay",
    "counts_not_known",
    "upto",
    "cupboard",
)
"""What is None where the cost is unknown."""


def amount(cost_micros: Any) -> float | None:
    """An amount of money as a number with two decimals; None stays None."""
    return None if cost_micros is None else float(money(cost_micros))


def result(plan: Plan, made: Plan, bought: Purchase | Unpriced, view: CurveView | Unpriced) -> dict[str, Any]:
    """The report's numbers, ready for JSON: masses [g], levels [% of the whole], money in the workshop's currency.

    Parameters
    ----------
    plan : Plan
    made : Plan
        What is made for the whole order: the same, or one batch of all containers where a batch is one container.
    bought : Purchase or Unpriced
    view : CurveView or Unpriced

    Returns
    -------
    dict
        Where the cost is unknown, every figure of it is None and ``cost_unknown`` says why.
    """
    recipe = plan.recipe
    return {
        "recipe": recipe.name,
        "title": recipe.title,
        "version": recipe.version,
        "currency": plan.currency,
        "batch_size": plan.batch_size,
        "batches": plan.batches,
        "containers": plan.containers,
        "batch_mass_g": round(plan.batch_mass_g, 6),
        "fragrance_load": plan.load_on_whole,
        "thickener_level": plan.thickener_level,
        "ph_read": recipe.ph_read,
        "weigh_out": _weighed(plan),
        "made": {
            "batch_size": made.batch_size,
            "batches": made.batches,
            "batch_mass_g": round(made.batch_mass_g, 6),
            "weigh_out": _weighed(made),
        },
        "flags": [_of(f, NOTED) | {"substance": f.subject} for f in (*made.notes, *made.cautions)],
        **_paid(bought, view),
    }


def _paid(bought: Purchase | Unpriced, view: CurveView | Unpriced) -> dict[str, Any]:
    if isinstance(bought, Unpriced) or isinstance(view, Unpriced):
        return dict.fromkeys(PRICED) | {"cost_unknown": Unpriced(bought.plan).why}
    baskets = [
        _of(line, ("supplier", "pack", "count")) | {"cost": amount(line.goods_cents * 10_000)}
        for line in bought.basket.lines
    ]
    return {
        "basket": baskets,
        "orders": [{"supplier": order.supplier} | _costs(order, COSTS) for order in bought.basket.orders],
        **_costs(bought, PAID, "_cost"),
        "shop_prices": {line.name: amount(line.price_cents * 10_000) for line in view.shop_lines},
        "counts_that_pay": {line.name: [list(pair) for pair in line.pays] for line in view.shop_lines},
        "counts_not_known": {line.name: [list(pair) for pair in line.not_known] for line in view.shop_lines},
        "upto": view.curve.counts[-1],
        "cupboard": _cupboard(bought) if view.without else None,
    }


def _cupboard(bought: Purchase) -> dict[str, float]:
    """What the order takes out of the cupboard [g]; a thing of which it holds nothing is left out."""
    return {
        item: min(units, bought.basket.need[item]) / BASE_UNITS_PER_G
        for item, units in held(bought.plan).items()
        if item in bought.basket.need
    }


def _weighed(plan: Plan) -> list[dict[str, Any]]:
    return [_of(row, WEIGHED) | {"mass_g": round(row.mass_g, 6)} for row in plan.weigh_out.rows]


def _of(thing: Any, names: Iterable[str]) -> dict[str, Any]:
    return {name: getattr(thing, name) for name in names}


def _costs(thing: Any, names: Iterable[str], ending: str = "") -> dict[str, float | None]:
    return {f"{name}{ending}": amount(getattr(thing, f"{name}_micros")) for name in names}


def write_results(plan: Plan, made: Plan, bought: Purchase | Unpriced, view: CurveView | Unpriced, folder: str) -> str:
    """Write ``RECIPE.json`` and ``RECIPE-curve.csv`` into a folder.

    Parameters
    ----------
    plan : Plan
    made : Plan
        What is made for the whole order: the same, or one batch of all containers where a batch is one container.
    bought : Purchase or Unpriced
    view : CurveView or Unpriced
    folder : str
        Where to write; nothing is written where it is empty. Where the cost is unknown, the curve has no rows.

    Returns
    -------
    str
        What was written, in words.
    """
    if not folder:
        return "nothing is written when the notebook is run by hand"
    place, name = Path(folder), plan.recipe.name
    (place / f"{name}.json").write_text(
        json.dumps(result(plan, made, bought, view), ensure_ascii=False, indent=1, allow_nan=False) + "\n",
        encoding="utf-8",
    )
    curve = view.curve or CostCurve(plan.batch_size, ())
    used = () if isinstance(view, Unpriced) else view.used_cost_micros
    frame = curve.to_frame()
    for column, costs in (("cash_cost", curve.cost_micros), ("used_cost", used)):
        frame[column] = ["" if cost is None else money(cost) for cost in costs]
        each = zip(costs, curve.containers, strict=True)
        frame[f"unit_{column}"] = ["" if cost is None else money(Fraction(cost, n)) for cost, n in each]
    frame.to_csv(place / f"{name}-curve.csv", index=False)
    return f"the numbers are in {name}.json and {name}-curve.csv, beside this page"
