"""What the first notebook shows: the workshop's recipes and a small picture of each notebook."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd

from maker_kit.errors import MakerKitError
from maker_kit.plan.costs import curve_view
from maker_kit.plan.plan import make_plan
from maker_kit.workbook.charts import curve_and_limits as charts
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.shown import show
from maker_kit.workbook.shown.sheets import Sheet
from maker_kit.workshop import Workshop

FEW = 24


def recipes_sheet(workshop: Workshop) -> Sheet:
    """The workshop's recipes: name, title, where each goes, what the shop sells instead, and how many notes stand against it as written."""
    rows = []
    for recipe in workshop.recipes.values():
        plan = make_plan(workshop, recipe.name)
        rows.append(
            {
                "name": recipe.name,
                "recipe": recipe.title,
                "where it goes": ", ".join(recipe.product_type.places)
                + (", rinsed off" if recipe.product_type.rinse_off else ", left on"),
                "shop product": recipe.shop_product or "–",
                "■ stop": str(len(plan.of_kind("stop"))),
                "▲ look": str(len(plan.of_kind("look"))),
            }
        )
    return Sheet(pd.DataFrame(rows), left=("name", "recipe", "where it goes", "shop product"))


def formula_picture(workshop: Workshop) -> Still:
    """The limit bars of the recipe that has most of them."""
    plans = [make_plan(workshop, name) for name in workshop.recipes]
    plan = max(plans, key=lambda p: len(p.bars))
    return Still(
        Picture(charts.draw_limit_bars, 9.4, charts.limit_bars_height).png(plan.bars),
        f"{plan.recipe.title}: {show.limit_words(plan)}",
    )


def curve_picture(workshop: Workshop) -> Still:
    """The saw curve of the recipe with the fewest lines that can be bought, up to 24 containers."""
    for recipe in sorted(workshop.recipes.values(), key=lambda r: len(r.lines)):
        try:
            view = replace(curve_view(make_plan(workshop, recipe.name), FEW), mark=None)
        except MakerKitError:
            continue
        return Still(
            Picture(charts.draw_curve, 9.4, charts.curve_height).png(view), f"{recipe.title}: {show.curve_words(view)}"
        )
    msg = "no recipe of this workshop can be bought from its suppliers, so there is no curve to show"
    raise MakerKitError(msg)
