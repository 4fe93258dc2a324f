"""Two strengths mixed to a third, against worked examples of an open textbook."""

from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest
from formula.mixing import alligation, mixture_strength, weaker_lot
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit.errors import QuantityError

ROWS = reference_rows("alligation.csv")
PARTS = re.compile(r"([0-9.]+) of ([0-9.]+) % \+ ([0-9.]+) of ([0-9.]+) %")
NUMBER = r"[0-9]+(?: [0-9]+/[0-9]+|\.[0-9]+)?"


def mixed_number(text: str) -> float:
    """ "23 1/3" as a float."""
    return float(sum(Fraction(part) for part in text.split()))


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['strength_high']} and {r['strength_low']} to {r['target']}")
def test_every_worked_example_comes_out(row: dict[str, str]) -> None:
    if "medial" in row["recomputed"]:  # what a mixture comes to: "3000 of 40, 1000 of 60, 1000 of 70"
        parts = [
            (float(amount), float(strength))
            for amount, strength in re.findall(r"([0-9.]+) of ([0-9.]+)", row["recomputed"])
        ]
        assert sum(amount for amount, _ in parts) == float(row["total"])
        assert mixture_strength(parts) == pytest.approx(float(re.match(r"[0-9.]+", row["published"]).group()), abs=0.05)
        return
    high, low, target, total = (float(row[name]) for name in ("strength_high", "strength_low", "target", "total"))
    parts = PARTS.fullmatch(row["recomputed"])
    assert parts is not None, f"the parts cannot be read from {row['recomputed']!r}"
    found = alligation(high, low, target, total)
    assert found == pytest.approx((float(parts[1]), float(parts[3])), abs=0.0006)
    assert (float(parts[2]), float(parts[4])) == (high, low)
    printed = [
        mixed_number(number)
        for number in re.findall(rf"({NUMBER})(?: parts?)?(?: of [0-9.]+ %)?(?: \+|$)", row["published"])
    ]
    if len(printed) == 2:  # the book's own figures, where the excerpt shows them
        assert found == pytest.approx(tuple(printed), abs=1e-9)


def test_most_of_the_books_own_figures_are_read() -> None:
    read = [
        r for r in ROWS if len(re.findall(rf"({NUMBER})(?: parts?)?(?: of [0-9.]+ %)?(?: \+|$)", r["published"])) == 2
    ]
    assert read


STRENGTHS = st.decimals(min_value=0, max_value=100, places=2)


@given(STRENGTHS, STRENGTHS, STRENGTHS, st.decimals(min_value="0.1", max_value=10000, places=1))
def test_what_is_mixed_has_the_strength_and_the_total_that_were_asked_for(
    a: object, b: object, c: object, total: object
) -> None:
    low, target, high = sorted(map(float, (a, b, c)))
    if low == high:
        return
    parts = alligation(high, low, target, float(total))
    assert min(parts) >= 0
    assert math.fsum(parts) == pytest.approx(float(total))
    assert mixture_strength(zip(parts, (high, low), strict=True)) == pytest.approx(target, abs=1e-9)


@pytest.mark.parametrize(
    ("high", "low", "target", "total", "says"),
    [
        (50, 25, 60, 100, "outside"),
        (50, 25, 20, 100, "outside"),
        (25, 50, 30, 100, "stronger one first"),
        (25, 25, 25, 100, "two different"),
        (50, 25, 30, 0, "above 0"),
        (50, 25, 30, -1, "above 0"),
        (150, 25, 30, 100, "between 0 and 100"),
        (50, -1, 30, 100, "between 0 and 100"),
        (50, 25, math.nan, 100, "no number"),
        (50, 25, 30, math.inf, "no number"),
    ],
)
def test_what_cannot_be_mixed_is_refused(high: float, low: float, target: float, total: float, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        alligation(high, low, target, total)


def test_the_targets_own_ends_are_the_lots_themselves() -> None:
    assert alligation(50, 25, 50, 80) == (80, 0)
    assert alligation(50, 25, 25, 80) == (0, 80)


@pytest.mark.parametrize("parts", [[], [(0, 50)], [(-1, 50), (2, 50)], [(1, 101)], [(1, math.nan)]])
def test_a_mixture_of_nothing_is_refused(parts: list[tuple[float, float]]) -> None:
    with pytest.raises(QuantityError):
        mixture_strength(parts)


@pytest.mark.parametrize(("need", "lot"), [(-1, 50), (20, 0), (20, 101), (math.nan, 85)])
def test_a_lot_that_cannot_be_is_refused(need: float, lot: float) -> None:
    with pytest.raises(QuantityError):
        weaker_lot(need, lot)
