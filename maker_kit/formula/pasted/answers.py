"""The answers a maker gives to what a pasted recipe leaves open."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from maker_kit.amount_text import folded
from maker_kit.errors import QuantityError, short
from maker_kit.formula.pasted.amounts import amounts_in
from maker_kit.formula.pasted.names import plain
from maker_kit.numbers import split_number
from maker_kit.units import check_density, parse_amount

LEAVE_OUT = "leave out"
"""The answer that takes a line out of the recipe."""
REST = "rest"
"""The answer that makes a line take what the others leave."""
SUM = "sum"
"""The answer that takes the sum of the lines and not the total that is written."""
WHOLE = "whole"
"""The answer that percents beside weights are percents of the whole."""


def read_answers(answers: Mapping[str, object]) -> dict[str, str]:
    """The answers as plain text, by their keys.

    Raises
    ------
    QuantityError
        If an answer is no text and no number, is blank, or is not of its question's kind.
    """
    given: dict[str, str] = {}
    for key, answer in answers.items():
        if isinstance(answer, bool) or not isinstance(answer, str | int | float | Fraction):
            msg = (
                f'{short(str(key))}: an answer is a text or a number, not {short(repr(answer))}; write it such as "5 g"'
            )
            raise QuantityError(msg)
        words = plain(f"{float(answer):.12g}" if isinstance(answer, Fraction) else str(answer))
        if not words:
            msg = f"{short(str(key))}: the answer is blank; leave the question out, or answer it"
            raise QuantityError(msg)
        given[str(key)] = LEAVE_OUT if words.casefold() == LEAVE_OUT else words
    if "total" in given and given["total"].casefold() != SUM and given["total"].rstrip(" %") != "100":
        answered_mass(given["total"], "total")
    if "percent of" in given and not is_whole(given["percent of"]):
        answered_mass(given["percent of"], "percent of")
    for key, words in given.items():
        if key.startswith("density of "):
            answered_density(words, key)
    return given


def is_whole(answer: str) -> bool:
    """Whether percents beside weights are said to be of the whole."""
    return answer.casefold().removeprefix("of ").removeprefix("the ") == WHOLE


def answered_amount(
    answer: str, key: str, basis: str, count: Fraction | None
) -> tuple[Fraction | None, Fraction | None, str, bool]:
    """An amount that was answered: low and high, basis, and whether the line takes the rest.

    Parameters
    ----------
    answer : str
        Such as ``5 g``, ``2 %``, ``rest``; for a bare ounce also ``oz wt`` or ``fl oz``; for bare numbers and parts a unit, or what one of them is (``10 g``).
    key : str
        Of the question, for the message.
    basis : str
        Basis as the text has it.
    count : Fraction or None
        Number as the text has it.

    Raises
    ------
    QuantityError
        If it is no single amount with a unit.
    """
    if answer.casefold() == REST:
        return None, None, "none", True
    times = Fraction(1)
    one = plain(answer)
    if (
        not re.match(r"[0-9.,]", one)
        and count is not None
        and (key in {"bare numbers", "parts"} or (basis == "ounces" and folded(one) in _OUNCES))
    ):
        one = f"1 {_OUNCES.get(folded(one), one)}"
        times = count
    elif key in {"bare numbers", "parts"} and count is not None:
        times = count
    found = amounts_in(one)
    if (
        len(found) != 1
        or found[0].start
        or found[0].end != len(one)
        or found[0].low != found[0].high
        or found[0].basis not in {"mass", "volume", "percent"}
    ):
        why = (
            found[0].fault
            if len(found) == 1 and found[0].fault
            else f'"{short(answer)}" is not one amount with its unit'
        )
        msg = f'{key}: {why}; answer a weight, a volume or a percent, such as "5 g", "10 mL" or "2 %"'
        raise QuantityError(msg)
    value = found[0].low * times
    if found[0].basis == "percent" and value > 100:
        msg = f"{key}: {float(value):g} % is more than the whole; answer another amount"
        raise QuantityError(msg)
    return value, value, found[0].basis, False


_OUNCES = {
    "oz wt": "oz wt",
    "weight": "oz wt",
    "mass": "oz wt",
    "by weight": "oz wt",
    "fl oz": "fl oz",
    "volume": "fl oz",
    "by volume": "fl oz",
    "floz": "fl oz",
}


def answered_density(answer: str, key: str) -> Fraction:
    """A density that was answered [g/mL], with or without its unit. Raises QuantityError where it is none."""
    number = re.fullmatch(r"([0-9.,]+) ?(?:g/ml|g/cm3|g/cm³)?", answer, re.IGNORECASE)
    if not number:
        msg = f'{key}: "{short(answer)}" is no density; answer what 1 mL weighs in g, such as "0.92"'
        raise QuantityError(msg)
    value = split_number(number[1], key, "0.92")[0]
    check_density(float(value), key.removeprefix("density of "))
    return value


def answered_mass(answer: str, key: str) -> Fraction:
    """A mass that was answered [g]. Raises QuantityError where it is none."""
    try:
        amount = parse_amount(answer)
    except QuantityError as error:
        msg = f"{key}: {error}"
        raise QuantityError(msg) from error
    if amount.basis != "mass":
        msg = f'{key}: "{short(answer)}" is no weight; answer one such as "500 g"'
        raise QuantityError(msg)
    return amount.exact
