"""Money: whole ten-thousandths of a cent until it is shown, and then units of currency with two decimals."""

from __future__ import annotations

from fractions import Fraction

from maker_kit.numbers import exact_number, half_up, parts_that_add_up

MICROS_PER_CENT = 10_000
"""Ten-thousandths of a cent in a cent."""
CENTS = 100
"""Cents in one unit of currency."""
MICROS = MICROS_PER_CENT * CENTS
"""Ten-thousandths of a cent in one unit of currency."""


def money(amount_micros: int | Fraction | None, currency: str = "", digits: int = 2) -> str:
    """An amount in words, halves of its last decimal away from zero.

    Parameters
    ----------
    amount_micros : int, Fraction or None
        Ten-thousandths of a cent; None gives a dash.
    currency : str
        Put behind it.
    digits : int
        Decimals.

    Returns
    -------
    str
        ``money(3_580_000) == '3.58'``
    """
    if amount_micros is None:
        return "–"
    one = 10**digits
    parts = half_up(Fraction(abs(amount_micros) * one, MICROS))
    sign = "-" if amount_micros < 0 and parts else ""
    return f"{sign}{parts // one}.{parts % one:0{digits}d} {currency}".strip()


def money_of(units: float | Fraction, currency: str = "") -> str:
    """As `money`, of an amount in units of currency. Raises QuantityError if it is no number."""
    return money(exact_number(units, "an amount of money") * MICROS, currency)


def cents_that_add_up(parts_micros: list[int] | tuple[int, ...]) -> list[int]:
    """Parts [0.0001 cent] in whole cents, so that the column adds up to its rounded total; see `parts_that_add_up`."""
    return parts_that_add_up(parts_micros, MICROS_PER_CENT)
