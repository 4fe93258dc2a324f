"""How thick a recipe comes out beside what is wanted: one verdict, off the thickness curve.

Straight lines between the readings are named where they say otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.thickness.curve import Shape, ThicknessCurve, straight_at, straight_for
from maker_kit.formula.thickness.fit import choose_curve
from maker_kit.formula.thickness.levels import (
    LOOSE,
    checked_wish,
    level_for,
    worst_miss,
)
from maker_kit.formula.thickness.lines import NEAR_ENOUGH, side
from maker_kit.formula.thickness.readings import MEASURES, NOUNS, THICKER_IS, ThicknessReading, half_step, said
from maker_kit.numbers import number_text

_SOURCE = "the maker's own readings"
Band = tuple[float, float]


def thickness_finding(
    recipe: Recipe,
    readings: Iterable[ThicknessReading],
    wanted: float | None,
    band: Band | None = None,
    temperature_c: float = 20.0,
    hours: float = 24.0,
    shape: Shape | None = None,
    measure: str = "spread",
) -> Finding | None:
    """How thick a recipe comes out by the maker's readings, beside what is wanted.

    Parameters
    ----------
    recipe : Recipe
        Its thickener and that ingredient's most count.
    readings : iterable of ThicknessReading
        Of this recipe and its thickener.
    wanted : float or None
        Wanted value, such as the shop product's [cm, s or mPa·s]; None aims at the middle of the band.
    band : tuple of (float, float), optional
        Values that will do, the smaller first; without it, the wanted one to half of the step that is read.
    temperature_c, hours : float
        Temperature [°C] and age [h] to judge at.
    shape : Shape, optional
        The curve that the maker chose; the readings choose unless given.
    measure : {'spread', 'funnel', 'viscosity'}

    Returns
    -------
    Finding or None
        As `curve_finding`; unknown also where the readings allow no curve, in words.

    Raises
    ------
    QuantityError
        If the wanted value or the band is senseless.
    """
    if not recipe.thickener:
        return None
    _wish(wanted, band, measure)
    name, level = recipe.thickener, recipe.percent_of(recipe.thickener)
    most = recipe.ingredients[name].most_percent
    try:
        curve = choose_curve(readings, shape, most, temperature_c, hours, measure)
    except QuantityError as error:
        if most is not None and level > most:
            return _over(name, level, most, _SOURCE)
        samples = "make samples at three levels or more and measure them"
        return look(
            "thickness.unknown",
            name,
            f"{name} at {level:g} %: how thick that is, is unknown. {str(error)[:1].upper()}{str(error)[1:]}.",
            level="unknown",
            next_step=samples if shape is None else "choose another curve, or make more samples and measure them",
            found_percent=level,
            limit_percent=most,
            source=f"{_SOURCE}, {temperature_c:g} °C, {hours:g} h",
        )
    return curve_finding(recipe, curve, wanted, band)


def curve_finding(
    recipe: Recipe, curve: ThicknessCurve, wanted: float | None, band: Band | None = None
) -> Finding | None:
    """How thick a recipe comes out by a fitted curve, beside what is wanted.

    The curve alone gives the verdict. Where straight lines between the same readings give another, that is said, and no
    figure is shown so coarsely that it hides on which side of the band it lies.

    Parameters
    ----------
    recipe : Recipe
    curve : ThicknessCurve
        Of this recipe and its thickener.
    wanted : float or None
        Wanted value, such as the shop product's [cm, s or mPa·s]; None aims at the middle of the band.
    band : tuple of (float, float), optional
        Values that will do, the smaller first; without it, the wanted one to half of the step that is read.

    Returns
    -------
    Finding or None
        None for a recipe without a thickener. Kind ``look`` where it is thinner or thicker, unknown or above the
        supplier's most; ``know`` where it will do, of the level ``near`` where the two ways disagree, or the curve
        misses the reading there, or may miss by more than what is left to the edge.

    Raises
    ------
    QuantityError
        If the wanted value or the band is senseless.
    """
    if not recipe.thickener:
        return None
    name, level, unit, most = recipe.thickener, recipe.percent_of(recipe.thickener), curve.unit, curve.most_percent
    goal, low, high = _wish(wanted, band, curve.measure)

    def found(make: Callable[..., Finding], code: str, state: str, text: str, step: str = "") -> Finding:
        about = {"level": state, "next_step": step, "found_percent": level, "limit_percent": most}
        return make(f"thickness.{code}", name, text, source=curve.source, **about)

    if most is not None and level > most:
        return _over(name, level, most, curve.source, curve)
    if not curve.lowest <= level <= curve.levels[-1]:
        tried = f"{curve.lowest:g} to {curve.levels[-1]:g} % at {curve.temperature_c:g} °C after {curve.hours:g} h"
        text = f"{name} at {level:g} % lies outside what was tried ({tried}): how thick that is, nobody knows."
        return found(look, "untried", "unknown", text, "make a sample at that level and measure it")
    value = curve.value_at(level)
    verdict = side(value, low, high)
    aim = f"the shop's {wanted:g} {unit}" if wanted is not None else f"the wanted {low:g} to {high:g} {unit}"
    will_do = f" ({low:g} to {high:g} will do)" if band is not None and wanted is not None else ""
    sign = THICKER_IS[curve.measure]
    words = "as wanted" if verdict == 0 else f"{'thicker' if verdict * sign > 0 else 'thinner'} than {aim}{will_do}"
    if verdict == 0:
        words += (
            f" ({wanted:g} {unit}{'' if band is None else f', {low:g} to {high:g} will do'})"
            if wanted is not None
            else f" ({low:g} to {high:g} {unit})"
        )
    shown = f"a {NOUNS[curve.measure]} of {said(value, curve.measure, (low, high))} {unit}"
    doubt = _other_way(curve, level, verdict, low, high) + _loose(curve, value, level, low, high)
    text = f"{name} at {level:g} %: {shown}, {words}.{_scatter(curve, level, low, high)}{doubt}"
    if verdict:
        code = "thicker" if verdict * sign > 0 else "thinner"
        return found(look, code, "near" if doubt else "note", text, _advice(curve, level, goal, low, high))
    step = "make a sample at this level and measure it" if doubt else ""
    return found(know, "fine", "near" if doubt else "fine", text, step)


def _wish(wanted: float | None, band: Band | None, measure: str) -> tuple[float, float, float]:
    """What is aimed at, and the lowest and highest value that will do."""
    if wanted is None and band is None:
        raise QuantityError(f"neither a wanted {NOUNS[measure]} nor a band of it is given")
    ends = None if band is None else (checked_wish(band[0], measure), checked_wish(band[1], measure))
    goal = checked_wish(wanted, measure) if wanted is not None else sum(ends or ()) / 2
    low, high = ends or (max(goal - half_step(measure, goal), goal / 2), goal + half_step(measure, goal))
    if not low <= goal <= high:
        unit = MEASURES[measure]
        raise QuantityError(
            f"a wanted {NOUNS[measure]} of {goal:g} {unit} within {low:g} to {high:g} {unit}: write the smaller figure "
            "first, and the wanted one between"
        )
    return goal, low, high


def _over(name: str, level: float, most: float, source: str, curve: ThicknessCurve | None = None) -> Finding:
    limit = number_text(most, level)
    beyond = (
        f", and outside what was tried ({curve.lowest:g} to {curve.levels[-1]:g} %)"
        if curve is not None and level > curve.levels[-1]
        else ""
    )
    return look(
        "thickness.over",
        name,
        f"{name} at {level:g} % is above the supplier's most, {limit} %{beyond}: how thick that is, is not said.",
        level="over",
        next_step=f"bring it down to {limit} % or less; electrolyte, pH, temperature and a second thickener set "
        "thickness too",
        found_percent=level,
        limit_percent=most,
        source=source,
    )


def _scatter(curve: ThicknessCurve, level: float, low: float, high: float) -> str:
    between = curve.value_interval(level)
    if between is None:
        return ""
    ends = " and ".join(said(end, curve.measure, (low, high), 2) for end in between)
    return f" By the repeated readings it lies between {ends} {curve.unit} (95 % trust)."


def _other_way(curve: ThicknessCurve, level: float, verdict: int, low: float, high: float) -> str:
    """Said where straight lines between the readings give another verdict."""
    if curve.parabola:
        return ""
    value = straight_at(curve, level)
    other = side(value, low, high)
    if other == verdict:
        return ""
    words = (
        "which would do"
        if other == 0
        else f"which would be {'thicker' if other * THICKER_IS[curve.measure] > 0 else 'thinner'} than will do"
    )
    return (
        " This is at the edge: straight lines between the readings, instead of between their logarithms, give "
        f"{said(value, curve.measure, (low, high))} {curve.unit}, {words}."
    )


def _loose(curve: ThicknessCurve, value: float, level: float, low: float, high: float) -> str:
    """Said where the curve misses its readings, and whether that may turn the verdict."""
    miss = worst_miss(curve)
    if miss < LOOSE:
        return ""
    tried = next(
        (read for at, read in zip(curve.levels, curve.values, strict=True) if abs(at - level) <= NEAR_ENOUGH), None
    )
    if tried is not None and abs(value / tried - 1) >= LOOSE:
        otherwise = ", which says otherwise" if side(tried, low, high) != side(value, low, high) else ""
        shown = said(tried, curve.measure, (low, high))
        return f" The curve misses the reading at this level, {shown} {curve.unit}{otherwise}."
    if len({side(value * (1 + part), low, high) for part in (-miss, 0.0, miss)}) > 1:
        return (
            f" The curve misses a reading by up to {number_text(float(f'{100 * miss:.2g}'))} %, so this may be wrong."
        )
    return ""


def _level_said(level: float, highest: float) -> str:
    """A level to a thousandth, and never rounded above what was tried and is allowed."""
    return f"{level:.3f}" if float(f"{level:.3f}") <= highest else f"{math.floor(highest * 1000) / 1000:.3f}"


def _advice(curve: ThicknessCurve, level: float, goal: float, low: float, high: float) -> str:
    most = curve.most_percent
    wall = "" if most is None else f"wall {most:.2f}" if round(most, 2) == most else f"wall {number_text(most)}"
    try:
        found = level_for(curve, goal)
    except QuantityError as error:
        return str(error)
    along = _level_said(found.level_percent, curve.highest)
    move = "raise" if found.level_percent > level else "lower"
    straight = (
        []
        if curve.parabola
        else [
            at
            for at in straight_for(curve, goal)
            if side(curve.value_at(at), low, high) == 0 and (at > level) == (found.level_percent > level)
        ]
    )
    plain = _level_said(straight[0], curve.highest) if straight else along
    ways = f"straight line between readings; {along} % along their logarithms" if plain != along else ""
    both = f" ({'; '.join(filter(None, (ways, wall)))})" if ways or wall else ""
    other = (
        ""
        if found.other_level_percent is None
        else f"; {found.other_level_percent:.3f} % gives the same beyond the maximum"
    )
    return f"{move} to {plain} %{both}{other}; {found.how_sure}"
