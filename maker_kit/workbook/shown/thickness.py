"""Thickness as a maker reads it: the curve through the readings, the verdict, the levels that would do, what else sets it.

Where nothing can be said, that, and why.
"""

from __future__ import annotations

from maker_kit.errors import MakerKitError, NoticeError, QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.thickness.choice import AUTOMATIC
from maker_kit.formula.thickness.fit import ThicknessCurve
from maker_kit.formula.thickness.judge import said, wall_reached
from maker_kit.formula.thickness.levels import level_band, level_for, thickness_levers
from maker_kit.formula.thickness.readings import MEASURES, NOUNS
from maker_kit.formula.thickness.straight import straight_band, straight_for
from maker_kit.plan.thickness import thickness_curve, thickness_findings
from maker_kit.workbook.charts.picture import Still
from maker_kit.workbook.charts.thickness import THICKNESS, Range, Shown
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, frame_sheet
from maker_kit.workshop import Workshop

ALONG = "along the logarithms of the readings, which judge and are drawn"
PARABOLA = "the parabola of their logarithms, which judges and is drawn"
STRAIGHT = "straight lines between the readings"
"""The ways to read a level off the readings."""
BY_HAND = "by hand on squared paper; the difference to the row above is how little the readings say between them"


def thickness_shown(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Shown:
    """Curve, shop's value, wanted range and the recipe's level [%], for the picture. Raises as `thickness_curve` does."""
    fitted = thickness_curve(workshop, recipe, curve, read_as)
    return (fitted, *_wanted(workshop, recipe, fitted.measure), recipe.percent_of(recipe.thickener))


def thickness_on_file(workshop: Workshop, recipe: Recipe) -> Shown | None:
    """`thickness_shown`, or nothing for a recipe without readings, or none that a curve goes through."""
    try:
        return thickness_shown(workshop, recipe)
    except (NoticeError, QuantityError):
        return None


def thickness_picture(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Still | Sheet:
    """The thickness curve with what the shop's shows and the wall; in words why there is none, where there is none."""
    try:
        return THICKNESS.still(thickness_shown(workshop, recipe, curve, read_as), recipe.title)
    except MakerKitError as error:
        return findings_sheet((_unknown(recipe, error),))


def thickness_sheet(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Sheet:
    """How thick the recipe comes out beside what is wanted, the level that would do, and which curve that is read off, with the reason."""
    try:
        fitted = thickness_curve(workshop, recipe, curve, read_as)
    except MakerKitError as error:
        judged = thickness_findings(workshop, recipe, curve, read_as if read_as in MEASURES else "")
        return findings_sheet(judged or (_unknown(recipe, error),))
    found = thickness_findings(workshop, recipe, curve, fitted.measure) or (_nothing_wanted(recipe, fitted),)
    apart = ", ".join(fitted.kept_apart)
    text = f"{_sentence(fitted.chosen)}{f' Readings at {apart} are kept apart: thickness changes with both.' if apart else ''}"
    return findings_sheet((*found, know("thickness.curve", "curve", text, source=fitted.source)))


def levels_sheet(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Sheet:
    """The levels for the shop's value and for the wanted range, how sure they are by the repeats, and where they are cut off.

    What cuts them off is what was tried, or what is allowed.
    """
    try:
        fitted = thickness_curve(workshop, recipe, curve, read_as)
    except MakerKitError as error:
        return findings_sheet((_unknown(recipe, error),))
    shop, wanted = _wanted(workshop, recipe, fitted.measure)
    rows = [] if shop is None else _value_rows(fitted, shop)
    rows += [] if wanted is None else _range_rows(fitted, wanted)
    if not rows:
        return findings_sheet((_nothing_wanted(recipe, fitted),))
    columns = ["wanted", "level [% of the whole]", "read off", "how sure"]
    return Sheet(rows, widths={"how sure": "46%"}, columns=columns)


def levers_sheet() -> Sheet:
    """What else sets thickness, with sources."""
    return frame_sheet(thickness_levers())


def at_the_wall(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> bool:
    """Whether the thickener alone goes no further, so that what else sets thickness is worth a look. Raises as `thickness_curve` does."""
    fitted = thickness_curve(workshop, recipe, curve, read_as)
    return wall_reached(recipe, fitted, *_wanted(workshop, recipe, fitted.measure))


def _wanted(workshop: Workshop, recipe: Recipe, measure: str) -> tuple[float | None, Range | None]:
    wanted = workshop.wanted_thickness(recipe.name, measure)
    return (None, None) if wanted is None else (wanted.shop, wanted.band)


def _sentence(clause: object) -> str:
    text = str(clause)
    return f"{text[:1].upper()}{text[1:]}."


def _unknown(recipe: Recipe, why: MakerKitError) -> Finding:
    return look(
        "thickness.unknown",
        recipe.title,
        f"How thick it comes out is unknown. {_sentence(why)}",
        level="unknown",
        next_step="make samples at three levels or more and measure them",
    )


def _nothing_wanted(recipe: Recipe, fitted: ThicknessCurve) -> Finding:
    level, measure, noun = recipe.percent_of(recipe.thickener), fitted.measure, NOUNS[fitted.measure]
    try:
        value = f"a {noun} of {said(fitted.value_at(level), measure)} {fitted.unit}"
    except QuantityError as error:
        value = f"unknown: {error}"
    step = (
        f"measure the shop product in the same way and write it into recipes.csv, under shop {measure} [{fitted.unit}]"
    )
    return look(
        "thickness.nothing_wanted",
        recipe.thickener,
        f"{recipe.thickener} at {level:g} %: {value}. No wanted {noun} is on file, so nothing is compared.",
        level="unknown",
        next_step=step,
        source=fitted.source,
    )


Row = tuple[str, str, str, str]


def _value_rows(fitted: ThicknessCurve, shop: float) -> list[Row]:
    what, read_off = f"{shop:g} {fitted.unit}, the shop's", PARABOLA if fitted.parabola else ALONG
    try:
        found = level_for(fitted, shop)
    except QuantityError as error:
        return [(what, "none", read_off, str(error))]
    other = "" if found.other_level_percent is None else f", and {found.other_level_percent:.3f} beyond the maximum"
    straight = [] if fitted.parabola else straight_for(fitted, shop)
    first = (what, f"{found.level_percent:.3f}{other}", read_off, found.how_sure)
    return [first, *((what, f"{level:.3f}", STRAIGHT, BY_HAND) for level in straight)]


def _range_rows(fitted: ThicknessCurve, wanted: Range) -> list[Row]:
    what, read_off = "{:g} to {:g} {}".format(*wanted, fitted.unit), PARABOLA if fitted.parabola else ALONG
    try:
        found = level_band(fitted, *wanted)
    except QuantityError as error:
        return [(what, "none", read_off, str(error))]
    sure = {end.level_percent: end.how_sure for end in found.ends}
    rows = []
    for ends in found.ranges:
        told = [f"{name} end {sure[end]}" for name, end in zip(("lower", "upper"), ends, strict=True) if end in sure]
        alike = {sure[end] for end in ends if end in sure}
        rows.append((what, _from_to(ends), read_off, "; ".join((*(alike if len(alike) == 1 else told), *found.cut))))
    straight = [] if fitted.parabola else straight_band(fitted, *wanted)
    return [*rows, *((what, _from_to(ends), STRAIGHT, "as above") for ends in straight)]


def _from_to(ends: Range) -> str:
    return "{:.3f} to {:.3f}".format(*ends)
