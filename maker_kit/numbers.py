"""Percentages as exact numbers: what a maker typed is what is compared, and a permitted maximum is never rounded up."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from maker_kit.errors import QuantityError

HUNDREDTH = Fraction(1, 100)
"""Step to which permitted maxima are rounded down [%]."""
THOUSANDTH = Fraction(1, 1000)
"""Step to which fragrance ceilings are rounded down [%]."""


def exact(number: float, what: str = "a percentage") -> Fraction:
    """The number as its shortest decimal text has it: 0.1 is one tenth.

    Raises
    ------
    QuantityError
        If it is no finite number.
    """
    if isinstance(number, Fraction):
        return number
    try:
        finite = math.isfinite(number)
    except TypeError:
        finite = False
    if not finite:
        msg = f"{what} is a number, not {number!r}"
        raise QuantityError(msg)
    return Fraction(str(number))


def exact_share(number: float, what: str) -> Fraction:
    """A percentage from 0 to 100, exactly [%].

    Raises
    ------
    QuantityError
        If it is no number or lies outside.
    """
    value = exact(number, what)
    if not 0 <= value <= 100:
        msg = f"{what} is {number} %; it lies from 0 to 100 %"
        raise QuantityError(msg)
    return value


def round_down(value: Fraction, step: Fraction = HUNDREDTH) -> float:
    """The largest multiple of the step that is not above the value."""
    return float((value // step) * step)


def significant(value: Fraction, digits: int = 5) -> Fraction:
    """The value to so many significant digits (halves away from zero), as precise as a conversion factor of that many digits allows."""
    if value == 0:
        return value
    size = Decimal(value.numerator) / Decimal(value.denominator)
    return Fraction(size.quantize(Decimal(1).scaleb(size.adjusted() - digits + 1), ROUND_HALF_UP))


def in_words(value: float | Fraction, other: float | Fraction | None = None) -> str:
    """A percentage as a maker reads it, without an exponent: four significant digits, more where it would look equal to `other` and is not."""
    number = exact(value)
    for digits in range(4, 16):
        text = _plain(significant(number, digits))
        if other is None or number == exact(other) or text != _plain(significant(exact(other), digits)):
            return text
    return text


def _plain(value: Fraction) -> str:
    text = f"{Decimal(value.numerator) / Decimal(value.denominator):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
