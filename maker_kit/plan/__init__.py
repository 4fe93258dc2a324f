"""SHALL I MAKE IT? A recipe with its sliders set, judged and priced in one workshop."""

from maker_kit.plan.costs import CurveView, ShopLine, curve_view, settled_view, shop_lines
from maker_kit.plan.plan import Plan, Unpriced, make_plan, priced, set_recipe
from maker_kit.plan.shopping.purchases import Purchase, Solvers, purchase, quick_purchase

__all__ = [
    "CurveView",
    "Plan",
    "Purchase",
    "ShopLine",
    "Solvers",
    "Unpriced",
    "curve_view",
    "make_plan",
    "priced",
    "purchase",
    "quick_purchase",
    "set_recipe",
    "settled_view",
    "shop_lines",
]
