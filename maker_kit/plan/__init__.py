"""SHALL I MAKE IT? A recipe with its sliders set, judged and priced in one workshop."""

from maker_kit.plan.costs import (
    CurveView,
    Purchase,
    ShopLine,
    Solvers,
    curve_view,
    purchase,
    quick_purchase,
    reasons_of,
    settled_view,
    shop_lines,
)
from maker_kit.plan.plan import Plan, make_plan, set_recipe

__all__ = [
    "CurveView",
    "Plan",
    "Purchase",
    "ShopLine",
    "Solvers",
    "curve_view",
    "make_plan",
    "purchase",
    "quick_purchase",
    "reasons_of",
    "set_recipe",
    "settled_view",
    "shop_lines",
]
