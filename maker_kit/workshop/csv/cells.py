"""Reading one cell by its column. A suspicious value is asked about, not taken; the word ``sure`` confirms it. Behind a
price the word ``invented`` says that nobody asks it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from maker_kit.errors import QuantityError
from maker_kit.formula.substances.cells import parts_of_cell
from maker_kit.formula.substances.near import near_names
from maker_kit.names import name_key, near_miss
from maker_kit.units import BasisUnknownError, parse_amount
from maker_kit.visible import steering
from maker_kit.workshop.csv.cell_numbers import GROUP, Marks, read_number
from maker_kit.workshop.csv.columns import MOST_NAME, Column
from maker_kit.workshop.csv.days import read_date
from maker_kit.workshop.csv.faults import CellError, shown

_SURE = re.compile(r"(?s)(.*\S)\s+sure!?")
INVENTED = "invented"
"""Behind a price: it came with the demo, and nobody asks it."""
_INVENTED = re.compile(rf"(?is)(.*[0-9.,]\s*)\b{INVENTED}\b[.!]?(.*)")
CLOSE_WORD = 0.8
"""Least likeness of a word that is asked about to a usual one."""
_NUMBERS = ("number", "whole", "money")
_SUBSTANCES = ("INCI", "substance")
_MAY_BE_SURE = frozenset({*_NUMBERS, *_SUBSTANCES, "amount", "word", "date", "list"})


def is_invented(text: str, column: Column) -> bool:
    """Whether a cell holds a price that is marked as invented."""
    return column.kind == "money" and _INVENTED.fullmatch(text) is not None


def without_sure(text: str) -> str:
    """A cell without the word that confirms it."""
    text = text.strip()
    return found[1] if (found := _SURE.fullmatch(text)) else text


@dataclass(frozen=True)
class BareOunces:
    """An amount of unknown basis: a bare "oz" on a shop product.

    Attributes
    ----------
    text : str
        As written, with a decimal point: ``6.5 oz``.
    as_mass_g, as_volume_ml : float
        Both readings [g, mL].
    """

    text: str
    as_mass_g: float
    as_volume_ml: float


def read_cell(text: str, column: Column, marks: Marks) -> tuple[Any, bool]:
    """What a cell says.

    Parameters
    ----------
    text : str
        The cell, blank or not.
    column : Column
    marks : Marks

    Returns
    -------
    value : object
        What a blank means for a blank cell; a Decimal, int (whole numbers; money in cents), Amount, BareOunces (where
        they may stand), bool, date, tuple of str, or str.
    sure : bool
        Whether the maker confirmed it with the word ``sure``.

    Raises
    ------
    CellError
        If the value cannot be taken as it is.
    """
    if sign := steering(text):
        allowed = f"letters, digits and signs that can be seen, not {sign}"
        raise CellError(allowed, "type the cell again")
    text, sure = text.strip(), False
    if is_invented(text, column) and (marked := _INVENTED.fullmatch(text)):
        text = f"{marked[1].strip()} {marked[2].strip()}".strip()
    if column.kind in _MAY_BE_SURE and (found := _SURE.fullmatch(text)):
        text, sure = found[1], True
    if not text:
        if column.needed:
            raise CellError(column.allows(), "fill it in")
        return column.blank, False
    value = _READERS[column.kind](text, column, marks)
    if column.kind in _NUMBERS:
        _in_range(value, text, column, sure)
    if column.kind == "word" and not sure:
        _near_word(value, column)
    if column.kind in _SUBSTANCES and not sure:
        _near_substance(text, column)
    return value, sure


def _number(text: str, column: Column, marks: Marks) -> Decimal:
    unit = column.unit
    if unit and name_key(text).endswith(name_key(unit)):
        text = text.strip()[: -len(unit)]
    return read_number(text, marks)


def _whole(text: str, column: Column, marks: Marks) -> int:
    return _integer(_number(text, column, marks), column, "write a whole number")


def _money(text: str, column: Column, marks: Marks) -> int:
    if other := marks.habits.other_currency(text):
        raise CellError(
            allowed=f"a price in {marks.habits.currency}, as the setting 'currency' has it",
            mend=f"this one is in {other}: write what it is in the workshop's currency",
        )
    number = read_number(marks.habits.without_currency(text), marks)
    if abs(number) > Decimal(column.high):
        raise CellError(column.allows(), "correct the number")
    return _integer(number * 100, column, "round it to whole cents yourself")


def _integer(number: Decimal, column: Column, mend: str) -> int:
    if number != number.to_integral_value():
        raise CellError(column.allows(), mend)
    return int(number)


def _in_range(value: Decimal | int, text: str, column: Column, sure: bool) -> None:
    number = Decimal(value) / 100 if column.kind == "money" else Decimal(value)
    low, high = Decimal(column.low), Decimal(column.high)
    if number < low or number > high or (column.above and number == low):
        negative = ". It is negative: look at the sign." if number < 0 <= low else ""
        raise CellError(column.allows(), f"correct the number{negative}")
    if column.ask and not sure and not column.ask.low <= number <= column.ask.high:
        raise CellError(
            allowed=f"{column.ask.why}, or a value you are sure of",
            mend=f"correct the number; if {text} is meant, write: {text} sure",
        )


def _amount(text: str, column: Column, marks: Marks) -> Any:
    if not column.bare_oz:
        text = marks.habits.ounces(text)
    number = re.match(rf"[+−-]?[0-9.,]([0-9.,]|[{GROUP}](?=[0-9]))*", text)
    try:
        in_parts = re.search(r"[/⁄]", text)
        if number and not in_parts and not re.match(r"\s*[¼½¾⅓⅔⅛⅜⅝⅞]", text[number.end() :]):
            text = f"{read_number(number[0], marks):f} {text[number.end() :].strip()}"
        amount = parse_amount(text)
    except BasisUnknownError as error:
        if column.bare_oz:
            return BareOunces(" ".join(text.split()), error.as_mass_g, error.as_volume_ml)
        raise CellError(allowed="an amount that is a mass or a volume for certain", mend=str(error)) from error
    except QuantityError as error:
        raise CellError(column.allows(), str(error)) from error
    if amount.basis not in column.bases:
        words = {"mass": "a mass", "volume": "a volume", "pieces": "a number of pieces"}
        raise CellError(
            " or ".join(words[b] for b in column.bases), f"this is {words[amount.basis]}: write {column.allows()}"
        )
    return amount


def _yes_no(text: str, column: Column, marks: Marks) -> bool:
    word = name_key(text)
    if word not in {"yes", "no", "true", "false", "y", "n"}:
        raise CellError(column.allows(), "write yes, or no, or leave the cell blank for no")
    return word[0] in "yt"


def _list(text: str, column: Column, marks: Marks) -> tuple[str, ...]:
    names = [" ".join(part.split()) for part in text.split(";")]
    names = [n for n in names if n]
    twice = next((n for i, n in enumerate(names) if name_key(n) in {name_key(m) for m in names[:i]}), None)
    if twice:
        raise CellError(allowed="each name once", mend=f"take the second {shown(twice)} out")
    if any(len(n) > MOST_NAME for n in names):
        raise CellError(allowed=f"names of at most {MOST_NAME} characters", mend="separate the names by semicolons")
    if not names and column.needed:
        raise CellError(column.allows(), "fill it in")
    return tuple(names)


def _one_of(text: str, column: Column, marks: Marks) -> str:
    known = {name_key(c): c for c in column.choices}
    if name_key(text) not in known:
        near = near_miss(text, column.choices)
        raise CellError(column.allows(), f"{near.sentence} Write it as listed", "".join(near.close))
    return known[name_key(text)]


def _name(text: str, column: Column, marks: Marks) -> str:
    name = " ".join(text.split())
    if len(name) > MOST_NAME:
        raise CellError(column.allows(), "shorten the name, and put the rest into the note")
    return name


def _word(text: str, column: Column, marks: Marks) -> str:
    """A word, in the capitals of the list where it stands in it."""
    word = _name(text, column, marks)
    return {name_key(c): c for c in column.choices}.get(name_key(word), word)


def _near_word(word: str, column: Column) -> None:
    meant = dict(column.alike).get(name_key(word), "")
    if not meant and name_key(word) not in map(name_key, column.choices):
        meant = "".join(near_miss(word, column.choices, CLOSE_WORD).close)
    if meant:
        raise CellError(
            allowed=f'"{meant}", or another word you are sure of',
            mend=f'limits and sliders go by the word "{meant}"; if {shown(word)} is meant, write: {word} sure',
            meant=meant,
        )


def _near_substance(text: str, column: Column) -> None:
    """A list that stands with something else than semicolons, and a name that is a letter or two off a published one,
    are asked about: what is not recognised is not counted.
    """
    found = parts_of_cell(text)
    if found.asked:
        apart = f"separate the names by semicolons: {'; '.join(found.parts)}"
        if column.kind == "substance":
            apart = f"give each its own row: {', '.join(found.parts)}"
        raise CellError(
            allowed=f"{column.allows()}, or one name you are sure of",
            mend=f"{apart}; if it is one name, write: {text} sure",
        )
    for name in found.parts:
        if near := near_names(name):
            meant = " or ".join(f'"{n}"' for n in near)
            raise CellError(
                allowed="a published name, or another name you are sure of",
                mend=(
                    f"did you mean {meant}? No table knows {shown(name)}: correct it; if it is meant, write: "
                    f"{text} sure"
                ),
                meant=text.replace(name, near[0], 1) if len(near) == 1 and text.count(name) == 1 else "",
            )


_READERS: dict[str, Callable[[str, Column, Marks], Any]] = {
    "name": _name,
    "text": lambda text, column, marks: text,
    "word": _word,
    "number": _number,
    "whole": _whole,
    "money": _money,
    "amount": _amount,
    "yes/no": _yes_no,
    "date": lambda text, column, marks: read_date(text, column, marks.habits.date_order),
    "list": _list,
    "INCI": _list,
    "substance": _name,
    "one of": _one_of,
}
