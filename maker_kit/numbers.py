"""Numbers: as a maker types them, exact fractions, rounding, and how they are written.

A permitted maximum is never rounded up.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from maker_kit.errors import QuantityError, short

HUNDREDTH = Fraction(1, 100)
"""Step to which permitted maxima are rounded down [%]."""
THOUSANDTH = Fraction(1, 1000)
"""Step to which fragrance ceilings are rounded down [%]."""
MOST_DIGITS = 60
"""Longest text that a number is looked for in [characters]."""

MOST = Fraction(10**30)
"""Largest number that is read: far above all that is weighed, counted or paid, far below what a float cannot hold."""

_GAPS = " \u00a0\u2009\u202f"
_NUMBER = re.compile(
    rf"""\s*(?P<sign>[-+−–]?)\s*
    (?: (?:(?P<whole>[0-9]+)\s+)?(?P<over>[0-9]+)\s*[/⁄]\s*(?P<under>[0-9]+)
      | (?P<decimal>[0-9.,'{_GAPS}]*[0-9]\.?(?:[eE][-+]?[0-9]{{1,3}})?) )
    (?P<rest>.*)""",
    re.VERBOSE | re.DOTALL,
)
_PLAIN = re.compile(r"[0-9]*[.,]?[0-9]+|[0-9]+\.")
_GROUPED = re.compile(
    rf"[0-9]{{1,3}}(?P<mark>[,.'{_GAPS}])[0-9]{{3}}(?:(?P=mark)[0-9]{{3}})*(?:(?!(?P=mark))[.,][0-9]+)?"
)
_AMBIGUOUS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def exact_number(number: float | Decimal | Fraction, what: str = "a percentage") -> Fraction:
    """A number as the exact fraction of its decimal text, so that 0.1 is one tenth.

    Parameters
    ----------
    number : float, int, Decimal or Fraction
    what : str
        What it is, for the message.

    Raises
    ------
    QuantityError
        If it is no number, or not a finite one.
    """
    if isinstance(number, Fraction):
        return number
    try:
        decimal = Decimal("nan") if isinstance(number, bool) else Decimal(str(number))
    except ArithmeticError:
        decimal = Decimal("nan")
    if not decimal.is_finite():
        raise QuantityError(f"{what} is {number}, and that is no number to reckon with; write a plain number")
    return Fraction(decimal)


def exact_share(number: float, what: str) -> Fraction:
    """A percentage from 0 to 100, exactly [%].

    Raises
    ------
    QuantityError
        If it is no number or lies outside.
    """
    value = exact_number(number, what)
    if not 0 <= value <= 100:
        raise QuantityError(f"{what} is {number} %; it lies from 0 to 100 %")
    return value


def split_number(text: str, what: str, example: str) -> tuple[Fraction, str]:
    """The number at the start of a text, exactly, and the rest as written.

    Takes a decimal point or comma, thousands in groups where that is not ambiguous, and fractions (``1/2``, ``1 1/2``,
    ``1½``).

    Parameters
    ----------
    text : str
    what, example : str
        What is asked for, for the message: ``an amount``, ``250 g``.

    Raises
    ------
    QuantityError
        If it is no text, empty, longer than 60 characters, starts with no number, or with one that can be read in two
        ways (``1,250``).
    """
    if not isinstance(text, str):
        raise QuantityError(f'{text!r} is not text with a number and a unit; write {what} such as "{example}"')
    if not text.strip():
        raise QuantityError(f'{what} is missing; write it such as "{example}"')
    fault = "is too long" if len(text) > MOST_DIGITS else ""
    # "1½" becomes "1 1⁄2": a blank first, or it would read as eleven halves.
    spaced = "".join(
        f" {unicodedata.normalize('NFKC', c)} " if unicodedata.decomposition(c).startswith("<fraction>") else c
        for c in text
    )
    match = None if fault else _NUMBER.fullmatch(spaced)
    if match is None:
        fault = fault or "does not start with a number"
    elif re.match(r"\s*[0-9.,/⁄]", match["rest"]):
        fault = "cannot be read as one number and one unit"
    elif match["under"] and int(match["under"]) == 0:
        fault = "divides by zero"
    if match is None or fault:
        raise QuantityError(f'"{short(text)}" {fault}; write {what} such as "{example}"')
    sign = -1 if match["sign"] in {"-", "−", "–"} else 1
    if match["under"]:
        number = int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"]))
    else:
        number = _decimal(match["decimal"], text)
    return sign * number, match["rest"]


def typed_number(text: str, what: str, example: str) -> Fraction:
    """A number that a maker typed alone, exactly, as `split_number` reads it.

    Raises
    ------
    QuantityError
        As `split_number` does, if anything follows the number, or if it is above `MOST`.
    """
    number, rest = split_number(text, what, example)
    if rest.strip():
        raise QuantityError(f'"{short(text)}" is more than a number; write {what} such as "{example}"')
    if abs(number) > MOST:
        raise QuantityError(f'"{short(text)}" is too large a number; write {what} such as "{example}"')
    return number


def _decimal(number: str, text: str) -> Fraction:
    mantissa, exponent = re.fullmatch(r"(.*?)([eE].*)?", number.strip(), re.DOTALL).groups(default="")
    point = mantissa.replace(",", ".")
    if _AMBIGUOUS.fullmatch(mantissa):
        raise QuantityError(
            f'"{short(text)}": {mantissa} may be {mantissa.replace(",", "")} or {point}; '
            "write the first without its comma, or the second with a decimal point"
        )
    if grouped := None if _PLAIN.fullmatch(mantissa) else _GROUPED.fullmatch(mantissa):
        point = mantissa.replace(grouped["mark"], "").replace(",", ".")
    elif not _PLAIN.fullmatch(mantissa):
        raise QuantityError(f'"{short(text)}": {mantissa} cannot be read as one number; write it such as 1250.5')
    return Fraction(Decimal(point + exponent))


def floor_to(value: Fraction, step: Fraction) -> Fraction:
    """The largest multiple of the step that is not above the value, exactly."""
    return value // step * step


def round_down(value: Fraction, step: Fraction = HUNDREDTH) -> float:
    """`floor_to` as a float, for what is permitted at most."""
    return float(floor_to(value, step))


def half_up(value: Fraction) -> int:
    """The nearest whole number, half upwards."""
    return (2 * value + 1) // 2


def round_to_step(value: float | Fraction, step: float | Fraction, what: str = "a number") -> Fraction:
    """The nearest multiple of a step, half a step upwards, exactly: ``floor(value / step + 1/2) · step``.

    Raises
    ------
    QuantityError
        If one of them is no number.
    """
    exact_step = exact_number(step, f"the step of {what}")
    return half_up(exact_number(value, what) / exact_step) * exact_step


def parts_that_add_up(parts: Sequence[int | Fraction], unit: int = 1) -> list[int]:
    """Parts in whole units so that they add up to their total rounded half up: the largest remainders go one unit up.

    Parameters
    ----------
    parts : sequence of int or Fraction
    unit : int
        What one unit is, in the measure of the parts.

    Returns
    -------
    list of int
        Each less than one unit from its part.
    """
    total = (2 * sum(parts) + unit) // (2 * unit)
    down = [part // unit for part in parts]
    by_rest = sorted(range(len(parts)), key=lambda k: (down[k] * unit - parts[k], k))
    for k in by_rest[: total - sum(down)]:
        down[k] += 1
    return down


def significant(value: Fraction, digits: int = 5) -> Fraction:
    """The value to so many significant digits, halves away from zero, as a factor of that many digits allows."""
    if value == 0:
        return value
    top, bottom = abs(value.numerator), value.denominator
    place = digits - 1 - (Decimal(top) / Decimal(bottom)).adjusted()
    up, down = 10 ** max(place, 0), 10 ** max(-place, 0)
    size = (2 * top * up + bottom * down) // (2 * bottom * down) * down
    return Fraction(size if value > 0 else -size, up)


def number_text(value: float | Fraction, other: float | Fraction | None = None) -> str:
    """A number as a maker reads it: four significant digits, more where it would look equal to `other` and is not."""
    number, near = exact_number(value), None if other is None else exact_number(other)
    for digits in range(4, 16):
        text = plain_text(significant(number, digits))
        if near in (None, number) or text != plain_text(significant(near, digits)):
            return text
    return text


def plain_text(value: Fraction) -> str:
    """A number in digits, without an exponent and without zeros at its end."""
    text = f"{Decimal(value.numerator) / Decimal(value.denominator):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def with_point(text: str) -> str:
    """The digits of a number whose decimal sign is a comma, with a point for it."""
    return text.replace(",", ".")


def ordinal(number: int) -> str:
    """``51st``, ``52nd``, ``49th``."""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if number % 100 not in {11, 12, 13} else "th"
    return f"{number}{ending}"
