"""Amounts in words, where a chart, a table and a file say them alike."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.money import money as money


def spans(runs: Iterable[tuple[int, int]]) -> str:
    """Intervals of counts in words: ``8, 10–48``."""
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs)


def percent(value: float | None) -> str:
    """A percentage with two decimals, and more (up to six) only where two would be off by over 0.2 % of the number."""
    if value is None:
        return "–"
    digits = next((d for d in range(2, 6) if abs(round(value, d) - value) <= 0.002 * abs(value)), 6)
    return f"{value:.{digits}f}"


def between(ends: tuple[float, float]) -> str:
    """An amount of money known as least and most: ``8.18``, ``8.10 to 8.18``, ``at most 8.18``."""
    low, high = (f"{end:.2f}" for end in ends)
    return high if low == high else f"{low} to {high}" if ends[0] > 0 else f"at most {high}"


def short(text: str, most: int) -> str:
    """A text of at most so many signs; what is longer ends in an ellipsis."""
    return text if len(text) <= most else text[: most - 1] + "…"
