"""The questions that a pasted recipe leaves open, what each is about, and the answers a maker gives to them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from maker_kit.amount_text import folded
from maker_kit.errors import QuantityError, short
from maker_kit.formula.pasted.amounts import amounts_in
from maker_kit.formula.pasted.names import plain
from maker_kit.names import name_key
from maker_kit.numbers import typed_number
from maker_kit.units import check_density, stated_amount

LEAVE_OUT, REST, SUM, WHOLE, STRETCH = "leave out", "rest", "sum", "whole", "stretch"
"""Answers: the line is left out; it takes what the others leave; the sum of the lines counts and not the total that is
written; percents beside weights are of the whole; every line is multiplied so that they make 100."""


@dataclass(frozen=True)
class Key:
    """What a question is about; as text, what to answer it under.

    Attributes
    ----------
    about : str
        ``amount`` or ``ingredient`` of a line, ``density``, ``total``, ``percent of``, ``sum``, ``bare numbers``,
        ``parts``.
    line : int
        Of the recipe, from 1; 0 for what is about no line.
    name : str
        Of what the density is asked; capitals and blanks do not matter.
    """

    about: str
    line: int = 0
    name: str = field(default="", compare=False)
    folded: str = field(default="", init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "folded", name_key(self.name))

    def __str__(self) -> str:
        return (
            f"line {self.line}: {self.about}" if self.line else f"density of {self.name}" if self.name else self.about
        )

    @classmethod
    def read(cls, text: str) -> Key:
        """The key that a maker typed: ``line 2: amount``, ``density of shea``, ``total``."""
        if line := re.fullmatch(r"line ([0-9]{1,4}): (amount|ingredient)", name_key(text)):
            return cls(line[2], int(line[1]))
        density = re.fullmatch(r"\s*density of (.+)", text, re.IGNORECASE | re.DOTALL)
        return cls("density", name=density[1]) if density else cls(name_key(text))


TOTAL, PERCENT_OF, SUM_OF, BARE_NUMBERS, PARTS = map(Key, ("total", "percent of", "sum", "bare numbers", "parts"))
OF_THE_WHOLE = Key("density", name="the whole")


@dataclass(frozen=True)
class Question:
    """Something the text does not say.

    Attributes
    ----------
    about : Key
    text : str
        The question, with what was found.
    answer : str
        What an answer looks like.
    """

    about: Key
    text: str
    answer: str

    @property
    def key(self) -> str:
        """What to answer under."""
        return str(self.about)


def read_answers(answers: Mapping[str, object]) -> dict[Key, str]:
    """The answers as plain text, by what they are about.

    Raises
    ------
    QuantityError
        If an answer is no text and no number, is blank, or is not of its question's kind.
    """
    given: dict[Key, str] = {}
    for typed, answer in answers.items():
        if isinstance(answer, bool) or not isinstance(answer, str | int | float | Fraction):
            raise QuantityError(
                f"{short(str(typed))}: an answer is a text or a number, not {short(repr(answer))}; "
                'write it such as "5 g"'
            )
        text = plain(f"{float(answer):.12g}" if isinstance(answer, Fraction) else str(answer))
        if not text:
            raise QuantityError(f"{short(str(typed))}: the answer is blank; leave the question out, or answer it")
        given[Key.read(str(typed))] = LEAVE_OUT if name_key(text) == LEAVE_OUT else text
    for key, text in given.items():
        if (key == TOTAL and name_key(text) != SUM and not is_hundred(text)) or (
            key == PERCENT_OF and not is_whole(text)
        ):
            answered_mass(text, key)
        elif key.about == "density":
            answered_density(text, key)
    return given


def is_hundred(answer: str) -> bool:
    """Whether the whole is said to be 100 %."""
    return answer.rstrip(" %") == "100"


def is_whole(answer: str) -> bool:
    """Whether percents beside weights are said to be of the whole."""
    return name_key(answer).removeprefix("of ").removeprefix("the ") == WHOLE


def answered_amount(answer: str, key: Key, basis: str, count: Fraction | None) -> tuple[Fraction | None, str, bool]:
    """An amount that was answered: how much, basis, and whether the line takes the rest.

    Parameters
    ----------
    answer : str
        Such as ``5 g``, ``2 %``, ``rest``; for a bare ounce also ``oz wt`` or ``fl oz``, for a
        cup or pint whose it is (``US``, ``imperial``); for bare numbers and parts a
        unit, or what one of them is (``10 g``).
    key : Key
    basis : str
        Basis as the text has it.
    count : Fraction or None
        Number as the text has it.

    Raises
    ------
    QuantityError
        If it is no single amount with a unit.
    """
    if name_key(answer) == REST:
        return None, "none", True
    one, which = plain(answer), _WHICH.get(basis, {}).get(folded(answer), "")
    shared = key in {BARE_NUMBERS, PARTS}
    times = count if count is not None and shared else Fraction(1)
    if not re.match(r"[0-9.,]", one) and count is not None and (shared or which):
        one, times = which or f"1 {one}", count
    found = amounts_in(one)
    only = found[0] if len(found) == 1 else None
    whole = only is not None and (only.start, only.end) == (0, len(one)) and only.low == only.high
    if not whole or only.basis not in {"mass", "volume", "percent"}:
        why = str(only.doubt) if only and only.doubt else f'"{short(answer)}" is not one amount with its unit'
        raise QuantityError(f'{key}: {why}; answer a weight, a volume or a percent, such as "5 g", "10 mL" or "2 %"')
    value = only.low * times
    if only.basis == "percent" and value > 100:
        raise QuantityError(f"{key}: {float(value):g} % is more than the whole; answer another amount")
    return value, only.basis, False


_WHICH = {
    "ounces": {
        **dict.fromkeys(("oz wt", "weight", "mass", "by weight"), "1 oz wt"),
        **dict.fromkeys(("fl oz", "volume", "by volume", "floz"), "1 fl oz"),
    },
    "cups": {
        **dict.fromkeys(("us", "us cup", "us cups", "us customary", "customary"), "1 us cup"),
        **dict.fromkeys(("us label", "us legal", "label"), "240 mL"),
        **dict.fromkeys(("metric", "metric cup", "metric cups"), "250 mL"),
        **dict.fromkeys(("imperial", "uk", "imperial cup", "imperial cups", "uk cup"), "10 imp fl oz"),
    },
    "pints": {
        **dict.fromkeys(("us", "us pint", "us pints", "us liquid pint"), "1 us pint"),
        **dict.fromkeys(("imperial", "uk", "imperial pint", "imperial pints", "uk pint"), "1 imperial pint"),
    },
}
"""Basis of an amount that may be of several sizes → what may be answered, and what one of them then is. US customary
measures: NIST Handbook 44; 240 mL: 21 CFR 101.9(b)(5)(viii); imperial pint: Weights and Measures Act 1985; 250 mL is
common practice.
"""


def answered_density(answer: str, key: Key) -> Fraction:
    """A density that was answered [g/mL], with or without its unit. Raises QuantityError where it is none."""
    number = re.fullmatch(r"([0-9.,]+) ?(?:g/ml|g/cm3|g/cm³)?", answer, re.IGNORECASE)
    if not number:
        raise QuantityError(f'{key}: "{short(answer)}" is no density; answer what 1 mL weighs in g, such as "0.92"')
    return check_density(typed_number(number[1], str(key), "0.92"), key.name)


def answered_mass(answer: str, key: Key) -> Fraction:
    """A mass that was answered [g]. Raises QuantityError where it is none."""
    amount = stated_amount(answer, str(key))
    if amount.basis != "mass" or not amount.exact:
        raise QuantityError(f'{key}: "{short(answer)}" is no weight; answer one such as "500 g"')
    return amount.exact
