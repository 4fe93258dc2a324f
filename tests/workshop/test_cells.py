from __future__ import annotations

import contextlib
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.units import Amount
from maker_kit.workshop.csv.cells import BareOunces, CellError, Marks, read_cell, read_number
from maker_kit.workshop.csv.columns import Ask, Column

COMMA_TABLE = Marks()
SEMICOLON_TABLE = Marks(comma_ok=True)
MIXED_TABLE = Marks(comma_ok=True, mixed=True)
PERCENT = Column("most [%]", "number", high="100")
PRICE = Column("price", "money", needed=True, above=True)
DENSITY = Column(
    "density [g/mL]",
    "number",
    low="0.05",
    high="25",
    ask=Ask(Decimal("0.6"), Decimal(2), "a density from 0.6 to 2.0 g/mL"),
)


def read(text: str, column: Column, marks: Marks = COMMA_TABLE) -> Any:
    return read_cell(text, column, marks)[0]


def refusal(text: str, column: Column, marks: Marks = COMMA_TABLE) -> str:
    with pytest.raises(CellError) as caught:
        read_cell(text, column, marks)
    return f"{caught.value.allowed} | {caught.value.mend}"


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("0.8", "0.8"),
        (" 12 ", "12"),
        ("+3", "3"),
        (".5", "0.5"),
        ("1e-05", "0.00001"),
        ("0.80 %", "0.8"),
        ("0.80%", "0.8"),
        ("99.999", "99.999"),
    ],
)
def test_numbers_are_taken_exactly(text: str, number: str) -> None:
    assert read(text, PERCENT) == Decimal(number)


def test_a_decimal_comma_stands_only_in_a_table_with_semicolons() -> None:
    assert read("0,8", PERCENT, SEMICOLON_TABLE) == Decimal("0.8")
    assert "write 0.8" in refusal("0,8", PERCENT)


@pytest.mark.parametrize("text", ["1.234,5", "1,234.5", "1 234", "1'234", "1.234.567", "12\u00a0345,6", "1\u202f234"])
@pytest.mark.parametrize("marks", [COMMA_TABLE, SEMICOLON_TABLE])
def test_thousands_are_refused(text: str, marks: Marks) -> None:
    assert "without marks between thousands" in refusal(text, PERCENT, marks)


@pytest.mark.parametrize("text", ["1.250", "1,250"])
def test_where_points_and_commas_are_mixed_three_decimals_ask(text: str) -> None:
    assert "1250 or 1.250" in refusal(text, DENSITY, MIXED_TABLE)


@pytest.mark.parametrize(
    "text",
    [
        "nan",
        "NaN",
        "Infinity",
        "-inf",
        "1/2",
        "about 3",
        "3-5",
        "١٢",
        "0x10",
        "1_000",
        "--1",
        "1e999",
        "#DIV/0!",
        "=1+1",
        "12 g",
        "<b>5</b>",
        "9" * 400,
    ],
)
@pytest.mark.parametrize("marks", [COMMA_TABLE, SEMICOLON_TABLE, MIXED_TABLE])
def test_what_is_no_plain_number_is_refused(text: str, marks: Marks) -> None:
    assert "number" in refusal(text, PERCENT, marks)


@given(st.text(max_size=30))
def test_any_text_is_a_number_or_refused(text: str) -> None:
    try:
        number = read_number(text, SEMICOLON_TABLE)
    except CellError:
        return
    assert number.is_finite()


@given(
    st.text(max_size=30),
    st.sampled_from(["number", "whole", "money", "amount", "yes/no", "date", "list", "one of", "name", "word", "text"]),
    st.booleans(),
)
def test_any_cell_is_read_or_refused(text: str, kind: str, needed: bool) -> None:
    column = Column("x [g]", kind, needed, choices=("alpha", "beta"), bare_oz=True)
    with contextlib.suppress(CellError):
        value, sure = read_cell(text, column, SEMICOLON_TABLE)
        assert value is not None or not text.strip()
        assert isinstance(sure, bool)


@given(st.decimals(0, 100, places=4))
def test_the_decimal_comma_and_the_decimal_point_mean_the_same(number: Decimal) -> None:
    assert read(f"{number:f}", PERCENT) == read(f"{number:f}".replace(".", ","), PERCENT, SEMICOLON_TABLE) == number


@pytest.mark.parametrize("text", ["-0.1", "100.01", "-5"])
def test_a_number_out_of_range(text: str) -> None:
    assert "from 0 to 100 %" in refusal(text, PERCENT)


@pytest.mark.parametrize(("text", "cents"), [("7.40", 740), ("7.4", 740), ("7", 700), ("0.01", 1), ("26.900", 2690)])
def test_money_is_whole_cents(text: str, cents: int) -> None:
    assert read(text, PRICE) == cents
    assert type(read(text, PRICE)) is int


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("0", "above 0"),
        ("-3.10", "negative"),
        ("", "fill it in"),
        ("3.105", "whole cents"),
        ("free", "number"),
        ("1e30", "price above 0"),
        ("3,10", "write 3.10"),
        ("EUR 3", "number"),
    ],
)
def test_a_price_that_is_none(text: str, words: str) -> None:
    assert words in refusal(text, PRICE)


@pytest.mark.parametrize("text", ["998", "0.5", "2.01"])
def test_a_strange_density_is_asked_about_and_not_taken(text: str) -> None:
    told = refusal(text, DENSITY) if text != "998" else refusal("9.98", DENSITY)
    assert "0.6 to 2.0" in told
    assert "sure" in told


def test_the_word_sure_confirms_and_only_that() -> None:
    assert read_cell("2.2 sure", DENSITY, COMMA_TABLE) == (Decimal("2.2"), True)
    assert read_cell("1.0", DENSITY, COMMA_TABLE) == (Decimal("1.0"), False)
    assert "0.05 to 25" in refusal("998 sure", DENSITY)
    assert "number" in refusal("sure", DENSITY)
    assert "number" in refusal("2.2 unsure", DENSITY)


@pytest.mark.parametrize(
    ("text", "marks", "grams"),
    [
        ("250 g", COMMA_TABLE, 250),
        ("1 kg", COMMA_TABLE, 1000),
        ("0,5 kg", SEMICOLON_TABLE, 500),
        ("1 lb", COMMA_TABLE, 453.59237),
        ("1 1/2 kg", COMMA_TABLE, 1500),
    ],
)
def test_amounts(text: str, marks: Marks, grams: float) -> None:
    amount = read(text, Column("size", "amount"), marks)
    assert isinstance(amount, Amount)
    assert (amount.value, amount.basis) == (pytest.approx(grams, rel=1e-12), "mass")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("250", "unit"),
        ("250 gg", "did you mean"),
        ("8 oz", "oz wt"),
        ("1.234,5 g", "thousands"),
        ("-3 g", "below zero"),
        ("0 g", "nothing"),
        ("0,5 kg", "decimal point"),
        ("g", "number"),
        ("1e9 kg", "e9 kg"),
        ("2.5 pieces", "whole"),
    ],
)
def test_amounts_that_are_none(text: str, words: str) -> None:
    assert words in refusal(text, Column("size", "amount"))


def test_a_bare_oz_is_kept_only_where_it_may_stand() -> None:
    assert isinstance(read("6.5 oz", Column("size", "amount", bare_oz=True)), BareOunces)
    assert "a mass or a volume for certain" in refusal("6.5 oz", Column("size", "amount"))


def test_pieces_where_a_volume_is_due() -> None:
    assert "this is a number of pieces" in refusal("4 pieces", Column("fill", "amount", bases=("volume", "mass")))


@pytest.mark.parametrize(
    ("text", "day"),
    [("2026-03-02", date(2026, 3, 2)), ("2.3.2026", date(2026, 3, 2)), ("02.03.2026", date(2026, 3, 2))],
)
def test_dates(text: str, day: date) -> None:
    assert read(text, Column("date", "date")) == day


@pytest.mark.parametrize("text", ["2/3/2026", "2026-02-30", "March", "2026-13-01", "0000-01-01"])
def test_dates_that_are_none_or_can_be_misread(text: str) -> None:
    assert "2026-03-31" in refusal(text, Column("date", "date"))


@pytest.mark.parametrize(("text", "says"), [("yes", True), ("No", False), ("TRUE", True), ("", False)])
def test_yes_and_no(text: str, says: bool) -> None:
    assert read(text, Column("refill", "yes/no", blank=False)) is says
    assert "yes or no" in refusal("maybe", Column("refill", "yes/no"))


def test_lists_hold_each_name_once() -> None:
    column = Column("INCI", "list", needed=True)
    assert read("Aqua;  Glycerin ;", column) == ("Aqua", "Glycerin")
    assert '"aqua"' in refusal("Aqua; Glycerin; aqua", column)
    assert "fill it in" in refusal(" ; ", column)
    assert "120" in refusal("x" * 121, column)


def test_one_of_a_few_gets_the_near_miss() -> None:
    column = Column("kind", "one of", choices=("foamer", "jar"))
    assert read("FOAMER", column) == "foamer"
    assert 'did you mean "foamer"?' in refusal("former", column)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("preservatve", "preservative"),
        ("Preservatives", "preservative"),
        ("scnet", "scent"),
        ("fragrance", "scent"),
        ("thickner", "thickener"),
        ("dye", "colour"),
    ],
)
def test_a_function_that_is_nearly_a_word_that_matters_is_asked_about(text: str, meant: str) -> None:
    column = Column(
        "function",
        "word",
        choices=("preservative", "scent", "thickener", "colour"),
        alike=(("fragrance", "scent"), ("dye", "colour")),
    )
    assert f'"{meant}"' in refusal(text, column)
    assert read_cell(f"{text} sure", column, COMMA_TABLE) == (text, True)


@pytest.mark.parametrize("text", ["exfoliant", "clay", "emollient"])
def test_other_words_are_the_makers_own(text: str) -> None:
    assert read(text, Column("function", "word", choices=("preservative", "scent", "thickener"))) == text


@pytest.mark.parametrize("text", ["=SUM(A1:A9)", "@cmd", "<script>alert(1)</script>", "a\nb"])
def test_markup_and_formulas_are_text(text: str) -> None:
    assert read(text, Column("note", "text")) == text
