"""The thickener's level on the thickness curve: how the readings were taken, which curve, where the level stands."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from maker_kit.formula.recipe import Recipe
from maker_kit.formula.setting import with_thickener_level
from maker_kit.formula.thickness.curve import AUTOMATIC, CHOICES
from maker_kit.plan.thickness import readings_of, ways_of_reading
from maker_kit.workbook.asked import thickness_of
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.thickness import THICKNESS
from maker_kit.workbook.fitting import first_recipe, has_readings
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import Slider, dropdown, look, recipe_choice
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.recipe_sliders import level_moved, level_of
from maker_kit.workbook.panels.screen import SLIDER
from maker_kit.workbook.shown import thickness as shown
from maker_kit.workshop import Workshop

NOTHING_READ = "nothing was read"
WIDE = look("26em", "8em")


@once_begun
def thickness_panel(workshop: Workshop, recipe: str = "", curve: str = AUTOMATIC, read_as: str = "") -> LateScreen:
    """The thickener's level on its curve: what it predicts, what the shop's shows, the levels that would do, the wall.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Empty for the first whose thickness was read.
    curve : {'automatic', 'steady', 'with a maximum'}
        Which curve it begins with.
    read_as : {'', 'spread', 'funnel', 'viscosity'}
        Which way of reading it begins with; empty for one that something is wanted of.

    Raises
    ------
    UnknownNameError
        If there is no such recipe, curve or way of reading.
    """
    first = first_recipe(workshop, recipe, has_readings)
    which = recipe_choice(workshop, first.name)
    shape = dropdown("curve", CHOICES, curve, **WIDE)
    way = dropdown("read as", _ways(workshop, first), read_as or _ways(workshop, first)[0], **WIDE)
    level = Slider("thickener", "% of the whole", 0.0, 0.0, 1.0, 0.01, css="maker-thickness-level", widths=SLIDER)
    shape.add_class("maker-thickness-curve")

    def fit(*_: Any) -> None:
        made, ways = workshop.recipe(which.value), _ways(workshop, workshop.recipe(which.value))
        level.reach(level_of(made, made.thickener), 0.0, _reach(workshop, made), 0.01)
        level.enable(bool(made.thickener))
        if way.options != ways:
            way.options = ways
        way.disabled = len(ways) < 2

    def call() -> Shown:
        made = workshop.recipe(which.value)
        as_written = thickness_of(workshop, made, shape.value, "" if way.value == NOTHING_READ else way.value)
        moved = as_written
        set_to = level_moved(level, made, made.thickener)
        if as_written.curve and set_to is not None:  # without readings there is nothing to set
            moved = replace(as_written, recipe=with_thickener_level(made, set_to))
        return {
            "answer": shown.thickness_answer(moved),
            "stops": "",
            "picture": moved.curve and Of(made.title, shown.thickness_shown(moved)),
            "words": shown.thickness_sheet(moved),
            "levels": lambda: shown.levels_sheet(moved),
            "levers": shown.levers_sheet,
        }

    fit()
    which.observe(fit, names="value")
    return LateScreen(
        "maker-thickness",
        (level, shape, way, which),
        call,
        {"picture": THICKNESS},
        {
            "verdict": "words",
            "levels": "levels",
            "what else": "levers",
        },
        rows=[which, level.row, shape, way],
    )


def _ways(workshop: Workshop, recipe: Recipe) -> tuple[str, ...]:
    return ways_of_reading(workshop, recipe) or (NOTHING_READ,)


def _reach(workshop: Workshop, recipe: Recipe) -> float:
    """How far the slider goes [%]: half as far again as was tried or is allowed, at least to the recipe's own level."""
    most = recipe.ingredients[recipe.thickener].most_percent if recipe.thickener else None
    tried = max((reading.level_percent for reading in readings_of(workshop, recipe)), default=1.0)
    far = round(1.5 * (tried if most is None else min(tried, most)), 2)
    return min(max(far, level_of(recipe, recipe.thickener)), 100.0)
