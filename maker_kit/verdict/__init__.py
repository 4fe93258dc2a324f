"""SHALL I MAKE IT? A recipe with its sliders set, judged and priced in one workshop."""

from maker_kit.verdict.costs import CurveView, Purchase, ShopLine, curve_view, purchase, shop_lines
from maker_kit.verdict.plan import Plan, make_plan, set_recipe

__all__ = ["CurveView", "Plan", "Purchase", "ShopLine", "curve_view", "make_plan", "purchase", "set_recipe", "shop_lines"]
