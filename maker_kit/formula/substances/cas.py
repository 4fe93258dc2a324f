"""Registry numbers of the Chemical Abstracts Service: found in a text, their check digit tested."""

from __future__ import annotations

import re
from functools import lru_cache

_NUMBER = re.compile(r"(?<![\d-])([1-9]\d{1,6})-(\d{2})-(\d)(?![\d-])")
_ALONE = re.compile(
    r"(?i)^\s*(?:cas(?:[ -]*(?:rn|no|nr|number))?\.?[:\s]*)?([1-9]\d{1,6})\s*[-–‐]\s*(\d{2})\s*[-–‐]\s*(\d)\s*$"
)


def check_digit_holds(number: str) -> bool:
    """Whether the last digit of a CAS number is its check digit: the other digits, counted from the right and each
    times its place, add up to it (modulo 10).

    Parameters
    ----------
    number : str
        Such as ``122-99-6``.

    Returns
    -------
    bool
        Rule as the Chemical Abstracts Service publishes it (check digit verification of CAS Registry Numbers); from
        memory.
    """
    digits = number.replace("-", "")
    if not digits.isdigit() or len(digits) < 5:
        return False
    return sum(place * int(digit) for place, digit in enumerate(reversed(digits[:-1]), start=1)) % 10 == int(digits[-1])


def cas_number(text: str) -> str | None:
    """The CAS number that a text is, with or without "CAS" before it; None where it is no such number. The check
    digit is not tested.
    """
    found = _ALONE.match(text)
    return f"{found[1]}-{found[2]}-{found[3]}" if found else None


@lru_cache(maxsize=8192)
def cas_numbers(cell: str) -> tuple[str, ...]:
    """Every CAS number in a cell of a table, whatever stands between them, with a check digit that holds."""
    return tuple(dict.fromkeys(n for n in ("-".join(found) for found in _NUMBER.findall(cell)) if check_digit_holds(n)))
