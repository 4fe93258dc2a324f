"""Thickness as a maker reads it: the curve, the verdict, the levels that would do, what else sets it.

Where nothing can be said, that, and why.
"""

from __future__ import annotations

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.thickness.curve import ThicknessCurve, straight_band, straight_for
from maker_kit.formula.thickness.levels import level_band, level_for, thickness_levers
from maker_kit.formula.thickness.readings import NOUNS, said
from maker_kit.workbook.asked import Thickness
from maker_kit.workbook.charts.thickness import Range, Shown
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, frame_sheet

ALONG = "along the logarithms of the readings, which judge and are drawn"
PARABOLA = "the parabola of their logarithms, which judges and is drawn"
STRAIGHT = "straight lines between the readings"
"""The ways to read a level off the readings."""
BY_HAND = "by hand on squared paper; the difference to the row above is how little the readings say between them"


def thickness_shown(found: Thickness) -> Shown | None:
    """Curve, shop's value, wanted range and the recipe's level [%], for the picture; None where there is no curve."""
    return (found.curve, *found.wanted, found.level_percent) if found.curve else None


def thickness_answer(found: Thickness) -> str:
    """How thick it comes out, beside what is wanted, and the level for what the shop's shows, in one sentence."""
    title, curve = found.recipe.title, found.curve
    if not curve:
        return f"{title}: how thick it comes out is unknown. {_sentence(found.why_not)}"
    told = (found.findings or (_nothing_wanted(found),))[0].text
    goal, _ = found.wanted
    try:
        level = None if goal is None else level_for(curve, goal).level_percent
    except QuantityError:  # said among the levels
        level = None
    would = "" if level is None else f" {level:.3f} % would give the shop's {goal:g} {curve.unit}."
    return f"{title}: {told}{would}"


def thickness_sheet(found: Thickness) -> Sheet:
    """How thick the recipe comes out beside what is wanted, the level that would do, and the curve that is read off."""
    curve = found.curve
    if not curve:
        return findings_sheet(found.findings or (_unknown(found),))
    apart = ", ".join(curve.kept_apart)
    text = _sentence(curve.chosen) + (
        f" Readings at {apart} are kept apart: thickness changes with both." if apart else ""
    )
    chosen = know("thickness.curve", "curve", text, source=curve.source)
    return findings_sheet((*(found.findings or (_nothing_wanted(found),)), chosen))


def levels_sheet(found: Thickness) -> Sheet:
    """The levels for the shop's value and for the wanted range, how sure they are, where the tried or allowed ends."""
    if not found.curve:
        return findings_sheet((_unknown(found),))
    shop, wanted = found.wanted
    rows = [] if shop is None else _value_rows(found.curve, shop)
    rows += [] if wanted is None else _range_rows(found.curve, wanted)
    if not rows:
        return findings_sheet((_nothing_wanted(found),))
    columns = ["wanted", "level [% of the whole]", "read off", "how sure"]
    return Sheet(rows, widths={"how sure": "46%"}, columns=columns)


def levers_sheet() -> Sheet:
    """What else sets thickness, with sources."""
    return frame_sheet(thickness_levers())


def _sentence(clause: object) -> str:
    text = str(clause)
    return f"{text[:1].upper()}{text[1:]}."


def _unknown(found: Thickness) -> Finding:
    return look(
        "thickness.unknown",
        found.recipe.title,
        f"How thick it comes out is unknown. {_sentence(found.why_not)}",
        level="unknown",
        next_step="make samples at three levels or more and measure them",
    )


def _nothing_wanted(found: Thickness) -> Finding:
    thickener, curve, noun = found.recipe.thickener, found.curve, NOUNS[found.curve.measure]
    try:
        value = f"a {noun} of {said(curve.value_at(found.level_percent), curve.measure)} {curve.unit}"
    except QuantityError as error:
        value = f"unknown: {error}"
    wish = f"shop {curve.measure} [{curve.unit}]"
    return look(
        "thickness.nothing_wanted",
        thickener,
        f"{thickener} at {found.level_percent:g} %: {value}. No wanted {noun} is on file, so nothing is compared.",
        level="unknown",
        next_step=f"measure the shop product in the same way and write it into recipes.csv, under {wish}",
        source=curve.source,
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
