"""How thick a recipe of the workshop comes out: its own thickness curve and what is wanted, by every way of reading."""

from __future__ import annotations

from maker_kit.errors import NoticeError
from maker_kit.findings import Finding
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.thickness.curve import AUTOMATIC, ThicknessCurve, read_shape
from maker_kit.formula.thickness.fit import choose_curve
from maker_kit.formula.thickness.judge import thickness_finding
from maker_kit.formula.thickness.readings import MEASURES, ThicknessReading
from maker_kit.names import near_miss
from maker_kit.workshop import Workshop

COLD_C, RESTED_H = 20.0, 24.0
"""Temperature [°C] and age [h] at which thickness is judged: cold, and after a night's rest."""


def readings_of(workshop: Workshop, recipe: Recipe) -> tuple[ThicknessReading, ...]:
    """What was read of a recipe and its thickener, by all ways of reading, temperatures and ages."""
    return tuple(r for r in workshop.thickness_readings if r.recipe == recipe.name and r.ingredient == recipe.thickener)


def ways_of_reading(workshop: Workshop, recipe: Recipe) -> tuple[str, ...]:
    """The ways in which a recipe's thickness was read, those with a wanted value first."""
    read = {reading.measure for reading in readings_of(workshop, recipe)}
    return tuple(
        sorted(
            (way for way in MEASURES if way in read),
            key=lambda way: workshop.wanted_thickness(recipe, way) is None,
        )
    )


def thickness_curve(workshop: Workshop, recipe: Recipe, choice: str = AUTOMATIC, measure: str = "") -> ThicknessCurve:
    """The curve through a recipe's own readings, judged cold and after a night's rest.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
    choice : {'automatic', 'steady', 'with a maximum'}
    measure : {'', 'spread', 'funnel', 'viscosity'}
        The way of reading; without it, the first of `ways_of_reading`.

    Raises
    ------
    NoticeError
        If the recipe has no thickener, or nothing was read of it, or nothing in that way.
    QuantityError
        As `choose_curve` does.
    UnknownNameError
        If there is no such curve.
    """
    readings, ways = readings_of(workshop, recipe), ways_of_reading(workshop, recipe)
    if not recipe.thickener:
        raise NoticeError(
            f"{recipe.title} names no thickener in recipes.csv, so there is no thickness curve to look at"
        )
    if not readings:
        raise NoticeError(
            f"no reading of thickness is on file for {recipe.title} with {recipe.thickener}: make samples at "
            "three levels or more, measure them in one way, and write them into thickness.csv"
        )
    if measure and measure not in ways:
        raise NoticeError(f"the thickness of {recipe.title} was not read by {measure}: {near_miss(measure, ways)}")
    most = recipe.ingredients[recipe.thickener].most_percent
    return choose_curve(readings, read_shape(choice), most, COLD_C, RESTED_H, measure or ways[0])


def thickness_findings(
    workshop: Workshop, recipe: Recipe, choice: str = AUTOMATIC, measure: str = ""
) -> tuple[Finding, ...]:
    """How thick a recipe comes out beside what is wanted: one finding for each way of reading that something is wanted
    of.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
    choice : {'automatic', 'steady', 'with a maximum'}
    measure : {'', 'spread', 'funnel', 'viscosity'}
        Only this way of reading; without it, all.
    """
    found, shape = [], read_shape(choice)
    for way in MEASURES:
        wanted = workshop.wanted_thickness(recipe, way) if not measure or way == measure else None
        if wanted is not None:
            found.append(
                thickness_finding(
                    recipe, readings_of(workshop, recipe), wanted.shop, wanted.band, COLD_C, RESTED_H, shape, way
                )
            )
    return tuple(f for f in found if f is not None)
