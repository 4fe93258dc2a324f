"""What a curve says of all its counts, for the tests."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from maker_kit.buying.curve_point import CurvePoint


def told(points: Sequence[CurvePoint], what: str) -> tuple[Any, ...]:
    """One attribute of every point."""
    return tuple(getattr(point, what) for point in points)


def open_counts(points: Sequence[CurvePoint]) -> tuple[int, ...]:
    """The counts that are not proved."""
    return tuple(point.count for point in points if point.status == "not proved")


def between(points: Sequence[CurvePoint], others: Sequence[CurvePoint]) -> bool:
    """Whether both say of every count what can be true at once."""
    return all(
        (b.upper_micros is None or a.lower_micros <= b.upper_micros)
        and (a.upper_micros is None or b.lower_micros <= a.upper_micros)
        for a, b in zip(points, others, strict=True)
    )
