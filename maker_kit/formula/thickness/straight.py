"""Straight lines between the readings of a fitted ladder, to name beside the curve that runs along the logarithms."""

from __future__ import annotations

from fractions import Fraction

from maker_kit.formula.thickness.fit import ThicknessCurve
from maker_kit.formula.thickness.levels import NEAR_ENOUGH, stretches
from maker_kit.formula.thickness.straight_lines import straight_levels, straight_value
from maker_kit.units import exact_number


def straight_at(curve: ThicknessCurve, level_percent: float) -> float:
    """What straight lines between the means of the same readings give at a level within what was tried [cm, s or mPa·s]."""
    return float(straight_value(_rungs(curve), exact_number(level_percent, "the level in %")))


def straight_for(curve: ThicknessCurve, value: float) -> tuple[float, ...]:
    """The tried and allowed levels at which straight lines between the means of the same readings have a value [cm, s or mPa·s], rising [% of the whole]."""
    return tuple(
        float(level)
        for level in straight_levels(_rungs(curve), exact_number(value, "the wanted value"))
        if level <= curve.highest
    )


def straight_band(curve: ThicknessCurve, low_value: float, high_value: float) -> tuple[tuple[float, float], ...]:
    """The stretches of tried and allowed levels at which the straight lines lie within a band, rising [% of the whole]."""
    marks = {
        curve.lowest,
        curve.highest,
        *(level for level in curve.levels if level <= curve.highest),
        *straight_for(curve, low_value),
        *straight_for(curve, high_value),
    }
    return stretches(
        marks,
        lambda level: low_value * (1 - NEAR_ENOUGH) <= straight_at(curve, level) <= high_value * (1 + NEAR_ENOUGH),
    )


def _rungs(curve: ThicknessCurve) -> tuple[tuple[Fraction, Fraction], ...]:
    return tuple(
        (exact_number(level, "a level"), exact_number(value, "a value"))
        for level, value in zip(curve.levels, curve.values, strict=True)
    )
