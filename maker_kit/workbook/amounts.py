"""Amounts in words, where a chart, a table and a file say them alike."""

from __future__ import annotations

from fractions import Fraction

from maker_kit.buying import pricing


def money(cost_micros: int | Fraction | None, currency: str = "") -> str:
    """An amount of money with two decimals, half a cent rounded away from zero: ``money(3_580_000) == '3.58'``.

    Parameters
    ----------
    cost_micros : int, Fraction or None
        Ten-thousandths of a cent; None gives a dash.
    currency : str
        Put behind it.

    Returns
    -------
    str
    """
    return "–" if cost_micros is None else f"{pricing.money(cost_micros)} {currency}".strip()


def percent(value: float | None) -> str:
    """A percentage with two decimals, and more (up to six) only where two would be off by over 0.2 % of the number."""
    if value is None:
        return "–"
    digits = next((d for d in range(2, 6) if abs(round(value, d) - value) <= 0.002 * abs(value)), 6)
    return f"{value:.{digits}f}"


def short(text: str, most: int) -> str:
    """A text of at most so many signs; what is longer ends in an ellipsis."""
    return text if len(text) <= most else text[: most - 1] + "…"
