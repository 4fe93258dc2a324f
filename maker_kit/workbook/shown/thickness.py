"""What the notebooks call for thickness: the curve through the maker's ladder, the verdict, the levels that would do, what else sets it; where nothing can be said, that, and why."""

from __future__ import annotations

import pandas as pd

from maker_kit.errors import MakerKitError, NoticeError, QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.thickness.curve import AUTOMATIC, ThicknessCurve, straight_band, straight_for
from maker_kit.formula.thickness.judge import wall_reached
from maker_kit.formula.thickness.levels import level_band, level_for, thickness_levers
from maker_kit.formula.thickness.readings import MEASURES, NOUNS, said
from maker_kit.plan.thickness import thickness_curve, thickness_findings
from maker_kit.workbook.charts import thickness as charts_ladder
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.shown.life import frame_sheet
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet
from maker_kit.workshop import Workshop

Shown = tuple[ThicknessCurve, float | None, tuple[float, float] | None, float | None]
ALONG = "along the logarithms of the readings"
STRAIGHT = "straight lines between the readings"
"""The two ways to read a level off a steady ladder."""


def curve_of(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> ThicknessCurve:
    """The curve through the maker's own ladder, judged cold and after a night's rest; see `thickness_curve`, also for what it raises."""
    return thickness_curve(workshop, recipe, curve, read_as)


def ladder_shown(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Shown:
    """Curve, shop's value, wanted band and the recipe's level [%], for the picture. Raises as `thickness_curve` does."""
    fitted = curve_of(workshop, recipe, curve, read_as)
    return (fitted, *_wanted(workshop, recipe, fitted.measure), recipe.percent_of(recipe.thickener))


def ladder_on_file(workshop: Workshop, recipe: Recipe) -> Shown | None:
    """`ladder_shown`, or nothing for a recipe of which no ladder was read, or none that a curve goes through."""
    try:
        return ladder_shown(workshop, recipe)
    except (NoticeError, QuantityError):
        return None


def thickness_picture(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Still | Sheet:
    """The thickness ladder with what the shop's shows and the wall; in words why there is none, where there is none."""
    try:
        shown = ladder_shown(workshop, recipe, curve, read_as)
    except MakerKitError as error:
        return findings_sheet((_unknown(recipe, error),))
    words = "; ".join(f"{x:g} %: {y:g} {shown[0].unit}" for x, y in zip(shown[0].levels, shown[0].values, strict=True))
    return Still(Picture(charts_ladder.draw_thickness, 9.4, 4.2).png(shown), f"ladder of {recipe.title}: {words}")


def thickness_sheet(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Sheet:
    """How thick the recipe comes out beside what is wanted, the level that would do, and which curve that is read off, with the reason."""
    try:
        fitted = curve_of(workshop, recipe, curve, read_as)
    except MakerKitError as error:
        judged = thickness_findings(workshop, recipe, curve, read_as if read_as in MEASURES else "")
        return findings_sheet(judged or (_unknown(recipe, error),))
    found = thickness_findings(workshop, recipe, curve, fitted.measure) or (_nothing_wanted(recipe, fitted),)
    apart = (
        f" Readings at {', '.join(fitted.kept_apart)} are kept apart: thickness changes with both."
        if fitted.kept_apart
        else ""
    )
    chosen = know(
        "thickness.note", "curve", f"{fitted.chosen[:1].upper()}{fitted.chosen[1:]}.{apart}", source=fitted.source
    )
    return findings_sheet((*found, chosen))


def levels_sheet(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> Sheet:
    """The levels for the shop's value and for the wanted band, how sure they are by the repeats, and where what was tried or is allowed cuts them off."""
    try:
        fitted = curve_of(workshop, recipe, curve, read_as)
    except MakerKitError as error:
        return findings_sheet((_unknown(recipe, error),))
    shop, band = _wanted(workshop, recipe, fitted.measure)
    rows = [
        *(_value_rows(fitted, shop) if shop is not None else ()),
        *(_band_rows(fitted, band) if band is not None else ()),
    ]
    if not rows:
        return findings_sheet((_nothing_wanted(recipe, fitted),))
    columns = ["wanted", "level [% of the whole]", "read off", "how sure"]
    return Sheet(pd.DataFrame(rows, columns=columns), left=columns, widths={"how sure": "46%"})


def levers_sheet() -> Sheet:
    """What else sets thickness, with sources."""
    return frame_sheet(thickness_levers())


def at_the_wall(workshop: Workshop, recipe: Recipe, curve: str = AUTOMATIC, read_as: str = "") -> bool:
    """Whether the thickener alone goes no further, so that what else sets thickness is worth a look. Raises as `thickness_curve` does."""
    fitted = curve_of(workshop, recipe, curve, read_as)
    return wall_reached(recipe, fitted, *_wanted(workshop, recipe, fitted.measure))


def _wanted(workshop: Workshop, recipe: Recipe, measure: str) -> tuple[float | None, tuple[float, float] | None]:
    wanted = workshop.wanted_thickness(recipe.name, measure)
    return (None, None) if wanted is None else (wanted.shop, wanted.band)


def _unknown(recipe: Recipe, why: MakerKitError) -> Finding:
    return look(
        "thickness.unknown",
        recipe.title,
        f"How thick it comes out is unknown. {str(why)[:1].upper()}{str(why)[1:]}.",
        level="unknown",
        next_step="make samples at three levels or more and measure them",
    )


def _nothing_wanted(recipe: Recipe, fitted: ThicknessCurve) -> Finding:
    level, measure, unit = recipe.percent_of(recipe.thickener), fitted.measure, fitted.unit
    try:
        value = f"a {NOUNS[measure]} of {said(fitted.value_at(level), measure)} {unit}"
    except QuantityError as error:
        value = f"unknown: {error}"
    return look(
        "thickness.unknown",
        recipe.thickener,
        f"{recipe.thickener} at {level:g} %: {value}. No wanted {NOUNS[measure]} is on file, so nothing is compared.",
        level="unknown",
        next_step=f"measure the shop product in the same way and write it into recipes.csv, under shop {measure} [{unit}]",
        source=fitted.source,
    )


def _value_rows(fitted: ThicknessCurve, shop: float) -> list[tuple[str, str, str, str]]:
    what = f"{shop:g} {fitted.unit}, the shop's"
    try:
        found = level_for(fitted, shop)
    except QuantityError as error:
        return [(what, "none", _read_off(fitted), str(error))]
    other = "" if found.other_level_percent is None else f", and {found.other_level_percent:.3f} beyond the maximum"
    rows = [(what, f"{found.level_percent:.3f}{other}", _read_off(fitted), found.how_sure)]
    if not fitted.parabola:
        rows += [
            (
                what,
                f"{level:.3f}",
                STRAIGHT,
                "by hand on squared paper; the difference to the row above is how little the readings say between them",
            )
            for level in straight_for(fitted, shop)
        ]
    return rows


def _band_rows(fitted: ThicknessCurve, band: tuple[float, float]) -> list[tuple[str, str, str, str]]:
    what = f"{band[0]:g} to {band[1]:g} {fitted.unit}"
    try:
        found = level_band(fitted, *band)
    except QuantityError as error:
        return [(what, "none", _read_off(fitted), str(error))]
    rows = []
    for low, high in found.ranges:
        ends = {end.level_percent: end.how_sure for end in found.ends}
        told = [f"{name} end {ends[level]}" for name, level in (("lower", low), ("upper", high)) if level in ends]
        if len({ends[level] for level in (low, high) if level in ends}) == 1:
            told = [next(ends[level] for level in (low, high) if level in ends)]
        rows.append((what, f"{low:.3f} to {high:.3f}", _read_off(fitted), "; ".join((*told, *found.cut))))
    if not fitted.parabola:
        rows += [(what, f"{low:.3f} to {high:.3f}", STRAIGHT, "as above") for low, high in straight_band(fitted, *band)]
    return rows


def _read_off(fitted: ThicknessCurve) -> str:
    return (
        "the parabola of their logarithms, which judges and is drawn"
        if fitted.parabola
        else f"{ALONG}, which judge and are drawn"
    )
