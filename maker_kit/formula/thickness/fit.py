"""The curve that readings take: the one that the maker names, or the one that the readings ask for."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import replace

from maker_kit.errors import QuantityError
from maker_kit.formula.thickness.curve import Shape, ThicknessCurve
from maker_kit.formula.thickness.lines import fit_parabola, monotone_values
from maker_kit.formula.thickness.readings import LEAST_LEVELS, THICKER_IS, ThicknessReading, pick_readings
from maker_kit.numbers import exact_number

WRONG_WAY_PERCENT = 5.0
"""How far readings without repeats may go the wrong way and still count as one level of thickness [% of the figure].

Common practice, no source.
"""


class TurnsError(QuantityError):
    """Readings that go both ways, for a curve that goes one way."""


def choose_curve(
    readings: Iterable[ThicknessReading],
    shape: Shape | None = None,
    most_percent: float | None = None,
    temperature_c: float | None = None,
    hours: float | None = None,
    measure: str | None = None,
) -> ThicknessCurve:
    """The curve through some readings, by choice or by the readings.

    Without a choice it is the steady one where the readings go one way (a small step back is levelled, see
    `fit_thickness_curve`), and the one with a maximum where they turn and their parabola has its maximum of thickness
    within what was tried.

    Parameters
    ----------
    readings, most_percent, temperature_c, hours, measure
        As `fit_thickness_curve` takes them.
    shape : Shape, optional
        The curve that the maker chose.

    Returns
    -------
    ThicknessCurve

    Raises
    ------
    QuantityError, UnknownNameError
        As `fit_thickness_curve` does.
    """
    every, picked = tuple(readings), (most_percent, temperature_c, hours, measure)
    if shape is not None:
        return fit_thickness_curve(every, shape, *picked)
    try:
        return replace(fit_thickness_curve(every, Shape.STEADY, *picked), asked=False)
    except TurnsError as turned:
        try:
            curve = fit_thickness_curve(every, Shape.MAXIMUM, *picked)
        except QuantityError as error:
            raise QuantityError(f"{turned}; but that fits no better: {error}") from error
        if curve.peak_percent is None:
            raise QuantityError(f"{turned}; but the maximum of that one would lie outside what was tried") from turned
        return replace(curve, asked=False)


def fit_thickness_curve(
    readings: Iterable[ThicknessReading],
    shape: Shape = Shape.STEADY,
    most_percent: float | None = None,
    temperature_c: float | None = None,
    hours: float | None = None,
    measure: str | None = None,
) -> ThicknessCurve:
    """A curve through some readings.

    ``steady`` runs straight between neighbours in ``(level, ln value)``: ``value = v₁^(1−t) · v₂^t`` with ``t``
    the share of the way. It passes through every level's geometric mean and never bulges beyond two neighbours; a
    small step the wrong way is levelled (`monotone_values`). ``maximum`` is the least-squares parabola of ``ln value``
    in the level, and has to have its maximum of thickness. Holds between the lowest and the highest level tried, at
    the temperature and age of the readings, and nowhere else.

    Parameters
    ----------
    readings : iterable of ThicknessReading
        Several of one level are repeats.
    shape : Shape
    most_percent : float, optional
        The supplier's most [% of the whole]. Samples above it steer the curve and are never recommended.
    temperature_c, hours : float, optional
        Which readings to use [°C, h]; without them, all have to be of one temperature and one age.
    measure : {'spread', 'funnel', 'viscosity'}, optional

    Returns
    -------
    ThicknessCurve

    Raises
    ------
    QuantityError
        If readings are senseless or of several temperatures, ages or ways of reading; if fewer than three levels were
        tried, all lie above the supplier's most, or readings for the curve with a maximum show none.
    TurnsError
        If readings for the steady curve turn.
    UnknownNameError
        If there is no such way of reading.
    """
    picked = pick_readings(readings, temperature_c, hours, measure)
    most = None if most_percent is None else float(exact_number(most_percent, "the supplier's most in %"))
    groups = {
        level: [math.log(r.value) for r in rows]
        for level, rows in itertools.groupby(picked.readings, key=lambda r: r.level_percent)
    }
    if len(groups) < LEAST_LEVELS:
        raise QuantityError(
            f"a curve takes three levels or more; at {picked.temperature_c:g} °C after {picked.hours:g} h there are "
            f"{len(groups)} ({', '.join(f'{level:g} %' for level in groups)}); make more samples and measure them"
        )
    if most is not None and min(groups) > most:
        raise QuantityError(
            f"every level tried is above the supplier's most, {most:g} % (the lowest is {min(groups):g} %); "
            "make samples below it"
        )
    means = {level: math.fsum(logs) / len(logs) for level, logs in groups.items()}
    free = sum(len(logs) - 1 for logs in groups.values())
    squares = math.fsum((log - means[level]) ** 2 for level, logs in groups.items() for log in logs)
    scatter = math.sqrt(squares / free) if free else None
    counts = tuple(len(logs) for logs in groups.values())
    parabola, logs = None, tuple(means.values())
    if shape is Shape.MAXIMUM:
        pairs = [(level, log) for level, found in groups.items() for log in found]
        parabola = fit_parabola([level for level, _ in pairs], [log for _, log in pairs])
        if parabola.b2 * THICKER_IS[picked.measure] >= 0 or not math.isfinite(parabola.turns_at):
            raise QuantityError(
                "these readings show no maximum of thickness: use the steady curve, or make samples further out"
            )
    else:
        logs = _levelled(tuple(groups), logs, counts, scatter)
    return ThicknessCurve(
        shape,
        picked.measure,
        tuple(groups),
        tuple(math.exp(m) for m in means.values()),
        counts,
        logs,
        parabola,
        scatter,
        free,
        most,
        picked.temperature_c,
        picked.hours,
        picked.kept_apart,
    )


def _levelled(
    levels: tuple[float, ...], logs: tuple[float, ...], counts: tuple[int, ...], scatter: float | None
) -> tuple[float, ...]:
    smooth = monotone_values(logs, counts)
    slack = [max(math.log1p(WRONG_WAY_PERCENT / 100), 2 * (scatter or 0) / math.sqrt(n)) for n in counts]
    off = [level for level, a, b, most in zip(levels, smooth, logs, slack, strict=True) if abs(a - b) > most]
    if off:
        raise TurnsError(
            f"the readings turn near {off[0]:g} %: some levels make it thicker and others thinner. Measure that level "
            "again; for surfactant thickened with salt, take the curve with a maximum"
        )
    return smooth
