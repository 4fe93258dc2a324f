"""What the first notebook shows: the workshop's recipes."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.plan.plan import Plan
from maker_kit.workbook.shown.sheets import SIGNS, Sheet


def recipes_sheet(plans: Iterable[Plan]) -> Sheet:
    """A line a recipe: name, title, where it goes, what the shop sells instead, and how many notes stand against it."""
    words = ("name", "recipe", "where it goes", "shop product")
    rows = [
        (
            plan.recipe.name,
            plan.recipe.title,
            f"{', '.join(product.places)}, {'rinsed off' if product.rinse_off else 'left on'}",
            plan.recipe.shop_product or "–",
            len(plan.of_kind("stop")),
            len(plan.of_kind("look")),
        )
        for plan in plans
        for product in (plan.recipe.product_type,)
    ]
    return Sheet(rows, words, columns=[*words, SIGNS["stop"], SIGNS["look"]])
