"""What a maker types, read: lines of names and values, numbers, parts of a split."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

from maker_kit.errors import NoticeError, QuantityError, short
from maker_kit.formula.emulsion.blend_choice import own_value
from maker_kit.numbers import typed_number
from maker_kit.workshop.csv.days import days_meant

Typed = str | Mapping[str, str]
"""Names and values: lines ``name = value``, with ";" or a new line between them, or read already."""
Part = tuple[str, float, int]
"""Scent (empty or "unscented" for none), load of the whole [%], containers."""
_BETWEEN = re.compile(r"[;\n]|,(?!\d)")


_QUOTED = 80
"""How much of what was typed a sentence quotes [characters]."""
AMOUNT = "Propanediol = 32 g"


def read_answers(text: str, example: str = "line 2: amount = 56.7 g") -> dict[str, str]:
    """Names and values, one a line.

    Parameters
    ----------
    text : str
        With ";" or a new line between the lines.
    example : str
        Shown where a line is none.

    Returns
    -------
    dict of str to str

    Raises
    ------
    NoticeError
        If a line has no "=", or a name comes twice.
    """
    found: dict[str, str] = {}
    for line in filter(None, (part.strip() for part in text.replace(";", "\n").splitlines())):
        name, equals, value = (piece.strip() for piece in line.partition("="))
        if not equals or not name:
            raise NoticeError(
                f'"{short(line, _QUOTED)}" is not understood: write a name, "=", and the value, as in "{example}"'
            )
        if name in found:
            raise NoticeError(f'"{short(name, _QUOTED)}" is named twice; leave one of the two lines out')
        found[name] = value
    return found


def read_slip(typed: Typed, example: str = AMOUNT) -> dict[str, str]:
    """Names and amounts; what is blank was not weighed or not read, and is left out. Raises as `read_answers` does."""
    lines = read_answers(typed, example) if isinstance(typed, str) else typed
    return {name: amount for name, amount in lines.items() if amount.strip()}


def read_number(text: str, what: str, example: str) -> float | None:
    """A number as typed, with a point or a comma; None where nothing is.

    Parameters
    ----------
    text : str
    what, example : str
        What it is no such thing of, and one that would be, for the sentence.

    Raises
    ------
    NoticeError
        If it is none.
    """
    try:
        return float(typed_number(text, what, example)) if text.strip() else None
    except QuantityError as error:
        raise NoticeError(
            f'"{short(text.strip(), _QUOTED)}" is no {what}: write a number such as {example}, or leave it empty'
        ) from error


def read_day(text: str, what: str) -> date:
    """A date as typed, ``2027-03-31``, or as a table takes it. Raises NoticeError where it is none, or may be two."""
    days = days_meant(text.strip()) or ()
    if len(days) != 1:
        said = "may be either of two days" if days else f"is no date of {what}"
        raise NoticeError(f'"{short(text.strip(), _QUOTED)}" {said}: write year, month and day, as in 2027-03-31')
    return days[0]


def read_shares(text: str) -> tuple[Part, ...]:
    """Scent, load and containers of each part, from ``Scent 1: 0.8: 10, Scent 2: 0.6: 8``.

    Raises
    ------
    NoticeError
        If a part is not written so.
    """
    shares = []
    for part in filter(None, (p.strip() for p in _BETWEEN.split(text))):
        try:
            name, load, count = (piece.strip() for piece in part.rsplit(":", 2))
            shares.append((name, float(typed_number(load.removesuffix("%"), "a load", "0.8")), int(count)))
        except ValueError as error:
            said = f'"{short(part, _QUOTED)}" is no share'
            raise NoticeError(
                f'{said}: write scent, load in % of the whole and containers, as in "Scent 1: 0.8: 10"'
            ) from error
    return tuple(shares)


def own_of_oils(text: str) -> dict[str, tuple[float, str]]:
    """Required HLB of oils by the maker's own sources, from lines ``Sunflower oil = 7, where it is from``."""
    lines = read_answers(text, "Sunflower oil = 7, the supplier's sheet")
    return {name: own_value(value, name) for name, value in lines.items()}
