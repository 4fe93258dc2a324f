"""The thickener's level against the maker's own ladder: how it was read, which curve, and where it stands."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.formula.recipe import Recipe
from maker_kit.formula.setting import with_thickener_level
from maker_kit.formula.thickness.choice import AUTOMATIC, CHOICES
from maker_kit.plan.thickness import readings_of, ways_of_reading
from maker_kit.workbook.charts import thickness as charts_ladder
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.call import CallPanel, dropdown
from maker_kit.workbook.panels.controls import Level, sentence
from maker_kit.workbook.shown import thickness as show_thickness
from maker_kit.workshop import Workshop


def thickness_panel(workshop: Workshop, recipe: str, curve: str = AUTOMATIC, read_as: str = "") -> CallPanel:
    """The thickener's level against the ladder: predicted thickness, what the shop's shows, the levels that would do, the wall.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
    curve : {'automatic', 'steady', 'with a maximum'}
        Which curve it begins with.
    read_as : {'', 'spread', 'funnel', 'viscosity'}
        Which way of reading it begins with; empty for one that something is wanted of.

    Raises
    ------
    UnknownNameError
        If there is no such recipe, curve or way of reading.
    """
    made = workshop.recipe(recipe)
    ways = ways_of_reading(workshop, made)
    shape = dropdown("curve", CHOICES, curve)
    way = dropdown("read as", ways or ("nothing was read",), read_as or (ways or ("nothing was read",))[0])
    level = Level(
        "thickener level",
        "% of the whole",
        made.percent_of(made.thickener) if made.thickener else 0.0,
        0.0,
        _reach(workshop, made),
        0.01,
    )
    level.enable(bool(made.thickener))
    way.disabled = len(ways) < 2
    level.row.add_class("maker-ladder-level")
    shape.add_class("maker-ladder-curve")

    def call() -> tuple[str, Any]:
        chosen = (shape.value, way.value if ways else "")
        shown = show_thickness.ladder_shown(
            workshop, made, *chosen
        )  # before the level is set: without a ladder there is nothing to set
        moved = with_thickener_level(made, level.value)
        words = (
            show_thickness.thickness_sheet(workshop, moved, *chosen).html()
            + show_thickness.levels_sheet(workshop, moved, *chosen).html()
        )
        if show_thickness.at_the_wall(workshop, moved, *chosen):
            words += (
                sentence("The thickener alone goes no further. What else sets thickness:")
                + show_thickness.levers_sheet().html()
            )
        return words, (*shown[:-1], level.value)

    rows = [level.row, w.HBox([shape, way])]
    return CallPanel(
        "maker-ladder", (level, shape, way), call, Picture(charts_ladder.draw_thickness, 9.4, 4.2), rows=rows
    )


def _reach(workshop: Workshop, recipe: Recipe) -> float:
    """How far the slider goes: half as far again as what was tried or is allowed, and at least to the recipe's own level [%]."""
    most = recipe.ingredients[recipe.thickener].most_percent if recipe.thickener else None
    tried = max((reading.level_percent for reading in readings_of(workshop, recipe)), default=1.0)
    own = recipe.percent_of(recipe.thickener) if recipe.thickener else 0.0
    return min(max(round(1.5 * (tried if most is None else min(tried, most)), 2), own), 100.0)
