"""Temperatures as makers write them, in any scale, become °C once, here."""

from __future__ import annotations

import re
from fractions import Fraction

from maker_kit.errors import QuantityError, short
from maker_kit.names import near_miss
from maker_kit.numbers import exact_number, split_number
from maker_kit.units import figure_text

LEAST_CELSIUS, MOST_CELSIUS = -100.0, 400.0
"""Temperatures that are taken [°C]."""
_SCALES = {"c": ["c", "celsius", "centigrade"], "f": ["f", "fahrenheit"], "k": ["k", "kelvin"]}
_IN_WORDS = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*(?:°|º|degrees?\s*)?\s*([CF])\b")


def parse_temperature(text: str, *, bare: str = "") -> float:
    """A temperature [°C] from text: ``75 °C``, ``167 F``, ``20 C``, ``293.15 K``.

    ``t_C = (t_F − 32) / 1.8`` and ``t_C = T_K − 273.15``, exact (NIST SP 811 (2008), App. B).

    Parameters
    ----------
    text : str
    bare : {'', 'C'}
        The scale of a number without one; empty where a scale is due.

    Raises
    ------
    QuantityError
        If there is no number, no scale, another unit, or it lies outside `LEAST_CELSIUS` to `MOST_CELSIUS`.
    """
    number, unit = split_number(text, "a temperature", "75 °C")
    unit = unit if unit.strip() else bare
    signs = {"℃": "c", "℉": "f"}
    plain = re.sub(r"[°º˚\s.]|degrees?|deg|℃|℉", lambda m: signs.get(m.group(), ""), unit.casefold())
    scale = next((scale for scale, names in _SCALES.items() if plain in names), "")
    if not scale:
        raise QuantityError(
            f'"{short(text)}" has {"another unit" if plain else "no scale"}; write a temperature in °C, °F or K: '
            f"{near_miss(unit.strip() or 'C', ['75 °C', '167 °F', '348 K'])}"
        )
    celsius = {"c": number, "f": fahrenheit_to_celsius(number), "k": number - Fraction(27315, 100)}[scale]
    if not LEAST_CELSIUS <= celsius <= MOST_CELSIUS:
        raise QuantityError(
            f'"{short(text)}" is {figure_text(celsius)} °C; temperatures from {LEAST_CELSIUS:g} to {MOST_CELSIUS:g} '
            "°C are taken"
        )
    return float(celsius)


def temperatures_in(text: str) -> tuple[float, ...]:
    """Every temperature that stands in a sentence with its scale, ``75 °C`` or ``167 F`` [°C], whatever its size."""
    return tuple(
        float(number if scale == "C" else fahrenheit_to_celsius(number))
        for number, scale in ((split_number(n, "a temperature", "75")[0], s) for n, s in _IN_WORDS.findall(text))
    )


def fahrenheit_to_celsius(fahrenheit: float | Fraction) -> Fraction:
    """°C from °F: ``(t_F − 32) / 1.8``, exact (NIST SP 811 (2008), App. B); QuantityError for what is no number."""
    return (exact_number(fahrenheit, "a temperature in °F") - 32) / Fraction(9, 5)
