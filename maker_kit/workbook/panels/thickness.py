"""The thickener's level on the thickness curve: how the readings were taken, which curve, where the level stands."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as w

from maker_kit.formula.recipe import Recipe
from maker_kit.formula.setting import with_thickener_level
from maker_kit.formula.thickness.curve import AUTOMATIC, CHOICES
from maker_kit.plan.thickness import readings_of, ways_of_reading
from maker_kit.workbook.asked import thickness_of
from maker_kit.workbook.charts.thickness import THICKNESS
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import Slider, dropdown, sentence
from maker_kit.workbook.panels.recipe_sliders import level_of
from maker_kit.workbook.shown import thickness as shown
from maker_kit.workshop import Workshop

NOTHING_READ = "nothing was read"
AT_THE_WALL = "The thickener alone goes no further. What else sets thickness:"


def thickness_panel(workshop: Workshop, recipe: str, curve: str = AUTOMATIC, read_as: str = "") -> CallPanel:
    """The thickener's level on its curve: what it predicts, what the shop's shows, the levels that would do, the wall.

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
    way = dropdown("read as", ways or (NOTHING_READ,), read_as or (*ways, NOTHING_READ)[0])
    own, reach = level_of(made, made.thickener), _reach(workshop, made)
    level = Slider("thickener level", "% of the whole", own, 0.0, reach, 0.01, css="maker-thickness-level")
    level.enable(bool(made.thickener))
    way.disabled = len(ways) < 2
    shape.add_class("maker-thickness-curve")

    def call() -> Shown:
        chosen = (shape.value, way.value if ways else "")
        as_written = thickness_of(workshop, made, *chosen)
        if as_written.why_not:  # before the level is set: without readings there is nothing to set
            raise as_written.why_not
        moved = replace(as_written, recipe=with_thickener_level(made, level.value))
        words = (shown.thickness_sheet(moved), shown.levels_sheet(moved))
        if shown.at_the_wall(moved):
            words += (sentence(AT_THE_WALL), shown.levers_sheet())
        return {"picture": shown.thickness_shown(moved), "words": words}

    rows = [level.row, w.HBox([shape, way])]
    return CallPanel("maker-thickness", (level, shape, way), call, THICKNESS, rows)


def _reach(workshop: Workshop, recipe: Recipe) -> float:
    """How far the slider goes [%]: half as far again as was tried or is allowed, at least to the recipe's own level."""
    most = recipe.ingredients[recipe.thickener].most_percent if recipe.thickener else None
    tried = max((reading.level_percent for reading in readings_of(workshop, recipe)), default=1.0)
    far = round(1.5 * (tried if most is None else min(tried, most)), 2)
    return min(max(far, level_of(recipe, recipe.thickener)), 100.0)
