"""A number in a cell: in digits, exactly, with the decimal mark of its table; whatever can be read in two ways is asked
about.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal

from maker_kit.numbers import with_point
from maker_kit.workshop.csv.faults import CellError
from maker_kit.workshop.csv.habits import Habits

GROUP = " .,'’\u00a0\u2009\u202f"
"""Marks that stand between thousands."""
_PLAIN = re.compile(r"[+-]?([0-9]{1,15}(\.[0-9]{0,20})?|\.[0-9]{1,20})([eE][+-]?[0-9]{1,2})?")
_COMMA = re.compile(r"[+-]?([0-9]{1,15}|),[0-9]{1,20}([eE][+-]?[0-9]{1,2})?")
_GROUPED = re.compile(rf"[+-]?[0-9]{{1,3}}([{GROUP}][0-9]{{3}})+([.,][0-9]+)?")


@dataclass(frozen=True)
class Marks:
    """How numbers are written in one table.

    Attributes
    ----------
    comma_ok : bool
        Whether a decimal comma may stand (cells are separated by semicolons).
    mixed : bool
        Whether both decimal points and decimal commas occur, so that 1.250 can be read in two ways.
    habits : Habits
        What the workshop's settings say of numbers, dates, weights and prices.
    """

    comma_ok: bool = False
    mixed: bool = False
    habits: Habits = field(default_factory=Habits)


def read_number(text: str, marks: Marks) -> Decimal:
    """A number in digits, exactly, with a decimal point or (where it may stand) a decimal comma.

    Raises
    ------
    CellError
        For anything else: thousands separators, fractions, words, infinity.
    """
    plain = text.strip().replace("−", "-")
    if marks.mixed and re.fullmatch(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}", plain):
        whole, point = re.sub("[.,]", "", plain), with_point(plain)
        raise CellError(
            allowed="a number that can be read in one way",
            mend="this table holds decimal points and decimal commas, so this may be "
            f"{whole} or {point}: write {whole}, or {point}0",
        )
    if _PLAIN.fullmatch(plain):
        return Decimal(plain)
    if _COMMA.fullmatch(plain):
        if not marks.comma_ok:
            raise CellError(
                allowed="a decimal point where cells are separated by commas",
                mend=f"write {with_point(plain)}, or {plain.replace(',', '')} if the comma marks thousands",
            )
        return Decimal(with_point(plain))
    if _GROUPED.fullmatch(plain):
        raise CellError(
            allowed="a number without marks between thousands", mend="write all digits together, such as 1234.5"
        )
    if re.search(r"(?i)inf|nan|#", plain):
        raise CellError(
            allowed="a number in digits", mend="write the number, or leave the cell blank if it is not known"
        )
    raise CellError(allowed="one number in digits, such as 0.8", mend="write the number alone; put words into the note")


def is_comma_number(text: str) -> bool | None:
    """Whether a cell starts with a number with a decimal comma (True) or a decimal point (False); else None."""
    found = re.match(r"[+-]?[0-9]+([.,])[0-9]+(?![0-9.,])", text.strip())
    return None if found is None else found[1] == ","
