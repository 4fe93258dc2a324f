"""Which curve a ladder takes: the one that the maker names, or the one that its readings ask for, with a sentence why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from maker_kit.errors import QuantityError
from maker_kit.formula.thickness.fit import SHAPES, ThicknessCurve, fit_thickness_curve
from maker_kit.formula.thickness.readings import ThicknessReading
from maker_kit.formula.thickness.straight_lines import LadderPoint
from maker_kit.names import near_miss

AUTOMATIC = "automatic"
"""The choice that is left to the readings."""
SHAPE_WORDS = {"monotone": "steady", "maximum": "with a maximum"}
"""The curves as a maker reads them."""
CHOICES = (AUTOMATIC, *SHAPE_WORDS.values())
"""What may be chosen."""


def choose_curve(
    readings: Iterable[ThicknessReading | LadderPoint],
    choice: str = AUTOMATIC,
    most_percent: float | None = None,
    temperature_c: float | None = None,
    hours: float | None = None,
    measure: str | None = None,
) -> ThicknessCurve:
    """The curve through a ladder, by choice or by its readings.

    ``automatic`` takes the steady curve where the readings go one way (a small step back is levelled, see `fit_thickness_curve`), and the one with a maximum where they turn and their parabola
    has its maximum of thickness within what was tried.

    Parameters
    ----------
    readings, most_percent, temperature_c, hours, measure
        As `fit_thickness_curve` takes them.
    choice : {'automatic', 'steady', 'with a maximum'}
        The names of `fit_thickness_curve`, ``monotone`` and ``maximum``, are taken too.

    Returns
    -------
    ThicknessCurve
        With the reason in ``chosen``.

    Raises
    ------
    QuantityError
        As `fit_thickness_curve` does, or if there is no such choice.
    """
    every = tuple(readings)
    shape = next((shape for shape, words in SHAPE_WORDS.items() if choice in (shape, words)), None)
    if shape is None and choice != AUTOMATIC:
        msg = f'there is no curve "{choice}" for a ladder: {near_miss(str(choice), CHOICES)}'
        raise QuantityError(msg)
    if shape is not None:
        curve = fit_thickness_curve(every, shape, most_percent, temperature_c, hours, measure)
        return replace(curve, chosen=f"the curve is {SHAPE_WORDS[shape]}, as chosen: {SHAPES[shape]}")
    try:
        curve = fit_thickness_curve(every, "monotone", most_percent, temperature_c, hours, measure)
        return replace(curve, chosen=f"the curve is steady, since the readings go one way: {SHAPES['monotone']}")
    except QuantityError as error:
        turned = str(error)
    try:
        curve = fit_thickness_curve(every, "maximum", most_percent, temperature_c, hours, measure)
    except QuantityError as error:
        if str(error) == turned or "turns near" not in turned:
            raise QuantityError(turned) from error
        msg = f"{turned}; but that fits no better: {error}"
        raise QuantityError(msg) from error
    if curve.peak_percent is None:
        msg = f"{turned}; but the maximum of that one would lie outside what was tried"
        raise QuantityError(msg)
    return replace(
        curve,
        chosen=f"the curve is with a maximum, since the readings turn: thickest near {curve.peak_percent:.3g} %, and more makes it thinner; {SHAPES['maximum']}",
    )
