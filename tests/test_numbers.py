"""Numbers as makers type them, rounding that adds up, and money in words; against hand arithmetic and Python's own
decimals.
"""

from __future__ import annotations

import ast
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.frames import frame_of
from maker_kit.money import cents_that_add_up, money, money_of
from maker_kit.names import by_key, look_up, name_key
from maker_kit.numbers import floor_to, number_text, parts_that_add_up, round_to_step, typed_number

PACKAGE = Path(__file__).parents[1] / "maker_kit"
GROUND = {"names.py", "numbers.py", "money.py", "errors.py"}


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("5,2", "5.2"),
        (" 5.2 ", "5.2"),
        (".5", "0.5"),
        ("1/2", "1/2"),
        ("1 1/2", "3/2"),
        ("1½", "3/2"),
        ("−3", "-3"),
        ("1.250,5", "1250.5"),
        ("1'250", "1250"),
    ],
)
def test_a_typed_number_is_read_exactly(text: str, number: str) -> None:
    assert typed_number(text, "a pH", "5.2") == Fraction(number)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1,250", "may be 1250 or 1.250"),
        ("five", "start with a number"),
        ("5 g", "more than a number"),
        ("", "missing"),
        ("nan", "start with a number"),
        ("1e999 x", "more than a number"),
        ("1e400", "too large"),
        ("-1e31", "too large"),
    ],
)
def test_what_is_no_number_or_two_is_refused(text: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        typed_number(text, "a pH", "5.2")


MICROS = st.integers(-(10**12), 10**12)


@given(MICROS)
def test_money_is_pythons_half_up_and_never_minus_nothing(micros: int) -> None:
    exact = (Decimal(micros) / 10**6).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert money(micros, "EUR") == f"{exact if exact else abs(exact)} EUR"
    assert money_of(Fraction(micros, 10**6)) == money(micros)


def test_money_by_hand() -> None:
    assert (money(1_234_567, digits=4), money(-50, digits=4), money(-49, digits=4)) == ("1.2346", "-0.0001", "0.0000")
    assert (money(None), money(5000), money(-4999), money(-5000), money_of(2.675)) == (
        "–",
        "0.01",
        "0.00",
        "-0.01",
        "2.68",
    )


@given(st.lists(st.integers(0, 10**8), min_size=1, max_size=20))
def test_cents_add_up_to_their_rounded_total(parts: list[int]) -> None:
    cents = cents_that_add_up(parts)
    assert sum(cents) == int((Decimal(sum(parts)) / 10**4).quantize(Decimal(1), ROUND_HALF_UP))
    assert all(abs(c * 10**4 - p) < 10**4 for c, p in zip(cents, parts, strict=True))


@given(st.lists(st.fractions(0, 100), min_size=1, max_size=12))
def test_fractions_add_up_too(parts: list[Fraction]) -> None:
    assert sum(parts_that_add_up(parts)) == (2 * sum(parts) + 1) // 2


@given(st.fractions(0, 1000), st.fractions(Fraction(1, 100), 10))
def test_a_step_is_met_from_below_or_as_near_as_can_be(value: Fraction, step: Fraction) -> None:
    assert floor_to(value, step) <= value < floor_to(value, step) + step
    assert abs(round_to_step(value, step) - value) <= step / 2
    assert (round_to_step(value, step) / step).denominator == 1


def test_a_number_is_written_with_the_digits_that_tell_it_from_another() -> None:
    assert (number_text(0.00001234), number_text(1.00004), number_text(1.00004, 1)) == ("0.00001234", "1", "1.00004")


def test_a_lookup_that_finds_nothing_names_the_near_miss() -> None:
    assert look_up("a", {"a": 1}, "there is none") == 1
    with pytest.raises(UnknownNameError, match="there is none: did you mean"):
        look_up("glycerine", {"glycerin": 1}, "there is none")
    assert by_key({"Shea  Butter": 1})[name_key("shea butter")] == 1


def test_a_table_of_records_knows_unknown_from_nothing() -> None:
    frame = frame_of(
        [Fraction(1, 2)], {"over": "numerator", "half": lambda r: None, "n": lambda r: None}, ["half"], ["n"]
    )
    assert list(map(str, frame.dtypes)) == ["int64", "Float64", "Int64"]
    assert frame["half"].isna().all()


def calls(tree: ast.AST) -> set[str]:
    """The dotted text of everything that is called."""
    return {ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}


def test_no_room_reads_numbers_rounds_money_or_folds_names_by_itself() -> None:
    found = []
    for path in sorted(p for p in PACKAGE.rglob("*.py") if p.name not in GROUND):
        text = path.read_text(encoding="utf-8")
        found += [(path.name, n) for n in calls(ast.parse(text)) if n.endswith((".quantize", "get_close_matches"))]
        if path.name != "columns.py":  # cells of a table: its marks say what a comma is
            found += [(path.name, m) for m in re.findall(r"""\.replace\(["'],["'], ["']\.["']\)""", text)]
        found += [(path.name, m) for m in re.findall(r'" "\.join\(\w+\.casefold\(\)\.split\(\)\)', text)]
    assert not found
