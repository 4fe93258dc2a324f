"""Amounts: every published factor, every way of writing one, and what is refused."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit.amount_text import FACTORS
from maker_kit.amount_text import UNITS as NAMES
from maker_kit.errors import MakerKitError, QuantityError
from maker_kit.temperature import fahrenheit_to_celsius, parse_temperature, temperatures_in
from maker_kit.units import (
    LEAST_AMOUNT,
    MOST_AMOUNT,
    Amount,
    BasisUnknownError,
    check_density,
    exact_number,
    parse_amount,
    stated_amount,
)

UNIT_ROWS = reference_rows("units.csv")
PAIR_ROWS = reference_rows("net_content_pairs.csv")
LENGTHS = {"mm", "cm", "cm2", "mm2", "m", "in", "in2"}


@pytest.mark.parametrize("row", UNIT_ROWS, ids=lambda r: f"{r['quantity']} in {r['unit']}")
def test_every_published_factor_is_kept(row: dict[str, str]) -> None:
    quantity, value, unit = row["quantity"], row["value"], row["unit"]
    if quantity == "t_C":  # "(t_F-32)/1.8", read off the table and tried on a grid
        zero, step = re.fullmatch(r"\(t_F-([0-9.]+)\)/([0-9.]+)", value).groups()
        for fahrenheit in range(-40, 400, 7):
            assert fahrenheit_to_celsius(fahrenheit) == (fahrenheit - Fraction(zero)) / Fraction(step)
    elif quantity == "T_K":  # "t_C+273.15"
        zero = Fraction(re.fullmatch(r"t_C\+([0-9.]+)", value).group(1))
        for celsius in range(-40, 200, 7):
            assert parse_temperature(f"{float(celsius + zero):.2f} K") == celsius
    elif unit == "degC":
        assert parse_temperature(quantity) == float(value)
    elif unit in LENGTHS:
        with pytest.raises(QuantityError, match="amount"):
            parse_amount(quantity)
    else:
        try:
            found = parse_amount(quantity)
        except QuantityError as error:
            pytest.skip(f"a unit no pack is sold in: {error}")
        if row["exactness"].startswith("exact"):
            assert found.exact_in(unit) == Fraction(value)
        assert float(found.exact_in(unit)) == pytest.approx(float(value), rel=1e-15)


# NIST Handbook 44 (2023), Appendix C, section 4, exact; imperial: UK Weights and Measures Act 1985.
@pytest.mark.parametrize(
    ("text", "grams_or_ml"),
    [
        ("1 lb", "453.59237"),
        ("1 oz wt", "28.349523125"),
        ("1 gallon", "3785.411784"),
        ("1 quart", "946.352946"),
        ("1 pint", "473.176473"),
        ("1 fl oz", "29.5735295625"),
        ("1 cup", "236.5882365"),
        ("1 tbsp", "14.78676478125"),
        ("1 tsp", "4.92892159375"),
        ("1 imp fl oz", "28.4130625"),
        ("1 imp gallon", "4546.09"),
        ("1 imp pint", "568.26125"),
        ("8.5 fl oz", "251.37500128125"),
        ("8.75 fl oz", "258.768383671875"),
        ("3.4 fl oz", "100.5500005125"),
        ("250 g", "250"),
        ("1.5 kg", "1500"),
        ("5 L", "5000"),
        ("10 mL", "10"),
        ("25 cL", "250"),
        ("500 mg", "0.5"),
        ("8 oz av", "226.796185"),
        ("8 oz avoirdupois", "226.796185"),
        ("5 lb", "2267.96185"),
        ("32 fl oz", "946.352946"),
        ("128 fl oz", "3785.411784"),
    ],
)
def test_packs_of_any_unit_come_out_exactly(text: str, grams_or_ml: str) -> None:
    assert parse_amount(text).exact == Fraction(grams_or_ml)
    assert parse_amount(text).value == float(grams_or_ml)


@pytest.mark.parametrize("row", PAIR_ROWS, ids=lambda r: f"{r['declared']} {r['unit']}")
def test_a_declared_content_in_its_other_unit_is_rounded_down(row: dict[str, str]) -> None:
    other = parse_amount(f"{row['declared']} {row['unit']}").exact_in(row["eq_unit"])
    places = len(row["equivalent"].partition(".")[2])
    assert float(other) == pytest.approx(float(row["equivalent"]), abs=0.51 * 10.0**-places)
    shown = Decimal(row["rounded_down"])
    step = Fraction(10) ** int(shown.as_tuple().exponent)
    assert math.floor(other / step) * step == Fraction(shown)


@pytest.mark.parametrize(
    ("text", "basis"),
    [("8.75 fl oz", "volume"), ("8.75 oz wt", "mass"), ("1 cup", "volume"), ("24 pieces", "pieces"), ("1 lb", "mass")],
)
def test_an_amount_knows_whether_it_is_a_mass_a_volume_or_pieces(text: str, basis: str) -> None:
    assert parse_amount(text).basis == basis


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("1,5 kg", "1500 g"),
        ("½ lb", "0.5 lb"),
        ("1½lb", "1.5 lb"),
        ("1 1/2 cups", "1.5 cup"),
        ("3/4 cup", "0.75 cup"),
        ("1⅛ lb", "1.125 lb"),
        (" 250   ML ", "250 mL"),
        ("250ml", "250 mL"),
        ("8 Fl. Oz.", "8 fl oz"),
        ("8 fl.oz", "8 fl oz"),
        ("8floz", "8 fl oz"),
        ("8 fluid ounces", "8 fl oz"),
        ("8 oz (wt)", "8 oz wt"),
        ("8 OZ AV.", "8 oz wt"),
        ("8 ounces by weight", "8 oz wt"),
        ("3 lbs.", "3 lb"),
        ("0,125 kg", "125 g"),
        (".5 g", "0.5 g"),
        ("1 050 g", "1050 g"),
        ("1\u202f050 g", "1050 g"),
        ("1,234.5 g", "1234.5 g"),
        ("1.234,5 g", "1234.5 g"),
        ("1,000,000 mg", "1 kg"),
        ("1e3 g", "1 kg"),
        ("1 U.S. gallon", "1 gallon"),
        ("24pcs", "24 pieces"),
        ("1.250 kg", "1250 g"),
        ("+5 g", "5 g"),
        ("1 litre", "1 L"),
        ("1 imperial fluid ounce", "1 imp fl oz"),
        ("2 net wt oz", "2 oz wt"),
    ],
)
def test_a_maker_may_write_it_many_ways(text: str, plain: str) -> None:
    assert parse_amount(text) == parse_amount(plain)
    assert parse_amount(text).text == text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("250", "has no unit"),
        ("0.8", "has no unit"),
        ("-3 g", "below zero"),
        ("−3 g", "below zero"),
        ("0 g", "nothing at all"),
        ("nan g", "start with a number"),
        ("inf g", "start with a number"),
        ("1e99 g", "look at the number"),
        ("1e400 g", "look at the number"),
        ("0.00001 g", "look at the number"),
        ("5 m", 'a length.*did you mean "mL"'),
        ("3 °C", "a temperature"),
        ("5 %", "a share"),
        ("3 drops", "weighed"),
        ("5 tbps", 'did you mean "tbsp"'),
        ("5 galon", 'did you mean "gallon"'),
        ("5 gr", "grain"),
        ("5 t", "teaspoon"),
        ("", "missing"),
        ("   ", "missing"),
        ("g", "start with a number"),
        ("1,250 kg", "1250 or 1.250"),
        ("1..5 g", "one number"),
        ("1.5.2 g", "one number"),
        ("=1+1 g", "start with a number"),
        ("__import__('os')", "start with a number"),
        ("9**9 g", "more than one number"),
        ("2x250 g", "more than one number"),
        ("1 lb 4 oz", "more than one number"),
        ("8 fl oz (236 mL)", "more than one number"),
        ("1/0 g", "divides by zero"),
        ("2.5 pieces", "counted whole"),
        ("٣ g", "start with a number"),
        ("5² g", "more than one|no unit known"),
        ("<b>5</b> g", "start with a number"),
        ("5 " + "g" * 80, "too long"),
        ("1e5 kg", "look at the number"),
    ],
)
def test_what_is_no_amount_is_refused_with_a_sentence(text: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says) as caught:
        parse_amount(text)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("thing", [None, 3, 2.5, float("nan"), True, ["250 g"]])
def test_what_is_no_text_is_refused(thing: object) -> None:
    with pytest.raises(QuantityError, match="not text"):
        parse_amount(thing)  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["8 oz", "8 OZ.", "8ounces", "8 ozs"])
def test_a_bare_ounce_is_of_unknown_basis_and_says_both_readings(text: str) -> None:
    with pytest.raises(BasisUnknownError, match=r"oz wt.*fl oz") as caught:
        parse_amount(text)
    # NIST Handbook 44, Appendix C: 8 × 28.349523125 g and 8 × 29.5735295625 mL
    assert caught.value.as_mass_g == 226.796185
    assert caught.value.as_volume_ml == 236.5882365
    assert isinstance(caught.value, QuantityError)


def test_a_bare_number_counts_pieces_only_where_pieces_are_asked_for() -> None:
    assert parse_amount("24", bare="pieces") == parse_amount("24 pieces")
    assert parse_amount("24 g", bare="pieces").basis == "mass"


@pytest.mark.parametrize(
    ("amount", "more", "grams_or_pieces"),
    [("31,2", {"bare_grams": True}, "31.2"), (31.2, {}, "31.2"), ("1 kg", {}, "1000"), ("4", {"pieces": True}, "4")],
)
def test_what_is_stated_of_one_thing_is_read_in_one_place(amount: object, more: dict, grams_or_pieces: str) -> None:
    assert stated_amount(amount, "Glycerin", **more).exact == Fraction(grams_or_pieces)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("amount", "more", "says"),
    [
        ("31", {}, "^Glycerin: .*no unit"),
        (-1, {}, "0 or more"),
        ("4 pieces", {}, "weighed or measured"),
        ("4 g", {"pieces": True}, "counted in pieces"),
        ("8 oz", {}, "basis is unknown"),
        (math.nan, {}, "no number"),
        ("2.5", {"pieces": True}, "counted whole"),
        ("1,250", {"bare_grams": True}, "may be 1250 or 1.250"),
    ],
)
def test_what_is_stated_and_cannot_be_is_refused(amount: object, more: dict, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        stated_amount(amount, "Glycerin", **more)  # type: ignore[arg-type]


def test_nothing_is_an_amount_only_where_that_is_fair() -> None:
    assert parse_amount("0 g", zero_ok=True).value == 0


def test_a_volume_becomes_a_mass_only_with_a_density() -> None:
    jug = parse_amount("1 gallon")
    with pytest.raises(QuantityError, match=r"volume.*density"):
        jug.to_grams()
    # the demo workshop: 3 785.4 mL × 1.022 = 3 868.7 g
    assert jug.to_grams(1.022) == pytest.approx(3868.7, abs=0.05)
    assert jug.exact_grams(1.022) == Fraction("3785.411784") * Fraction("1.022")
    assert parse_amount("15 mL").to_grams(0.95) == 14.25


def test_a_mass_becomes_a_volume_only_with_a_density() -> None:
    with pytest.raises(QuantityError, match=r"mass.*density"):
        parse_amount("50 g").to_ml()
    assert parse_amount("50 g").to_ml(0.886) == pytest.approx(
        56.4, abs=0.05
    )  # the demo workshop's tin, poured at 70 °C
    assert parse_amount("50 mL").to_ml() == 50


@pytest.mark.parametrize("density", [0, -1, 998, float("nan"), float("inf"), "heavy", True, 0.01])
def test_a_density_out_of_range_is_refused(density: object) -> None:
    with pytest.raises(QuantityError, match="density"):
        parse_amount("5 mL").to_grams(density)  # type: ignore[arg-type]
    with pytest.raises(QuantityError, match="density"):
        check_density(density)  # type: ignore[arg-type]


def test_pieces_have_neither_mass_nor_volume() -> None:
    for convert in (Amount.to_grams, Amount.to_ml):
        with pytest.raises(QuantityError, match="pieces"):
            convert(parse_amount("24 pieces"), 1.0)


@pytest.mark.parametrize(
    ("text", "density", "units"),
    [
        ("0.3 g", None, 3),
        ("0.7 kg", None, 7000),
        ("1 lb", None, 4535),
        ("24 pieces", None, 24),
        ("1 gallon", 1.022, 38686),
        ("10 mL", 0.93, 93),
        ("32 fl oz", 0.917, 8678),
    ],
)
def test_whole_tenths_of_a_gram_are_rounded_down_without_float_dust(
    text: str, density: float | None, units: int
) -> None:
    assert parse_amount(text).base_units(density) == units


def test_a_unit_of_another_basis_is_refused() -> None:
    with pytest.raises(QuantityError, match=r"mass.*volume"):
        parse_amount("5 g").exact_in("fl oz")
    with pytest.raises(QuantityError, match="oz wt"):
        parse_amount("5 g").exact_in("oz")


@pytest.mark.parametrize(
    ("value", "basis"), [(-1, "mass"), (float("nan"), "mass"), (float("inf"), "volume"), (1, "length"), ("x", "mass")]
)
def test_an_amount_made_by_hand_is_checked_too(value: object, basis: str) -> None:
    with pytest.raises(QuantityError):
        Amount(value, basis)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("75 °C", 75),
        ("167 F", 75),
        ("20C", 20),
        ("293.15 K", 20),
        ("-5 °C", -5),
        ("20 ℃", 20),
        ("68 deg F", 20),
        ("68 degrees Fahrenheit", 20),
        ("−40 F", -40),
        ("20,5 °C", 20.5),
        ("68℉", 20),
        ("40 celsius", 40),
    ],
)
def test_temperatures_are_read_in_any_scale(text: str, celsius: float) -> None:
    assert parse_temperature(text) == celsius


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("75", "no scale"),
        ("75 g", "another unit"),
        ("-400 C", "taken"),
        ("1e400 F", "taken"),
        ("", "missing"),
        ("warm", "start with a number"),
        (75, "not text"),
        ("nan C", "start with"),
    ],
)
def test_what_is_no_temperature_is_refused(text: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        parse_temperature(text)


def test_a_bare_number_is_a_temperature_only_where_its_scale_is_plain() -> None:
    assert parse_temperature("21,5", bare="C") == 21.5
    assert parse_temperature("70 F", bare="C") == pytest.approx(21.1, abs=0.05)


def test_temperatures_are_found_in_a_sentence() -> None:
    # (158 - 32) / 1.8 = 70, exact
    assert temperatures_in("Heat to 70,5 °C (158 F), then cool below 40 degrees C; 3 drops") == (70.5, 70.0, 40.0)


@pytest.mark.parametrize("bad", [math.nan, math.inf, None, "x"])
def test_conversions_refuse_what_is_no_number(bad: object) -> None:
    with pytest.raises(QuantityError):
        fahrenheit_to_celsius(bad)  # type: ignore[arg-type]
    with pytest.raises(QuantityError):
        Amount(bad, "mass")  # type: ignore[arg-type]


def test_conversions_carry_the_published_factors() -> None:
    # NIST Handbook 44, Appendix C, section 4, computed
    assert float(Amount(1, "mass").exact_in("oz wt")) == 0.035273961949580414
    assert Amount(453.59237, "mass").exact_in("lb") == 1
    assert Amount(3785.411784, "volume").exact_in("fl oz") == 128
    assert fahrenheit_to_celsius(212) == 100
    assert fahrenheit_to_celsius(98.6) == 37


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    """Read where it is asked, and not by every process that looks for tests."""
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize(("basis", "name"), sorted(set(NAMES.values()) - {("pieces", "")}))
def test_every_factor_is_the_one_of_an_outside_registry(registry: pint.UnitRegistry, basis: str, name: str) -> None:
    base = {"mass": "gram", "volume": "milliliter"}[basis]
    assert Fraction(registry.Quantity(Fraction(1), name).to(base).magnitude) == FACTORS[name]


def test_every_unit_that_can_be_written_has_a_factor_and_pieces_count_one_each() -> None:
    assert {name for _, name in NAMES.values()} == set(FACTORS)
    assert FACTORS[""] == 1


NUMBERS = st.decimals(min_value=Decimal("0.001"), max_value=Decimal(2000), places=3)
UNITS = st.sampled_from(
    ["g", "kg", "mg", "mL", "L", "lb", "oz wt", "fl oz", "gallon", "quart", "pint", "cup", "tbsp", "tsp", "imp fl oz"]
)


@given(NUMBERS.filter(lambda n: n >= 1), UNITS)
def test_what_is_written_comes_back_exactly_in_its_own_unit(number: Decimal, unit: str) -> None:
    amount = parse_amount(f"{number} {unit}")
    assert amount.exact_in(unit) == Fraction(number)
    assert Amount(amount.exact, amount.basis) == amount


@given(NUMBERS.filter(lambda n: n >= 1), UNITS, st.integers(0, 3), st.booleans())
def test_blanks_and_capitals_do_not_matter(number: Decimal, unit: str, blanks: int, upper: bool) -> None:
    text = f"{' ' * blanks}{number}{' ' * blanks}{unit.upper() if upper else unit}"
    assert parse_amount(text) == parse_amount(f"{number} {unit}")


@given(st.decimals(min_value=1, max_value=2000, places=2), UNITS)
def test_a_decimal_comma_reads_as_a_point(number: Decimal, unit: str) -> None:
    assert parse_amount(f"{number} {unit}".replace(".", ",")) == parse_amount(f"{number} {unit}")


@given(NUMBERS, st.decimals(min_value=Decimal("0.05"), max_value=25, places=3))
def test_a_volume_turned_into_a_mass_and_back_is_the_same(number: Decimal, density: Decimal) -> None:
    volume = Amount(Fraction(number), "volume")
    assert Amount(volume.exact_grams(float(density)), "mass").exact_ml(float(density)) == volume.exact


@given(st.fractions(min_value=LEAST_AMOUNT, max_value=MOST_AMOUNT))
def test_whole_tenths_never_overstate_and_lose_less_than_one(exact: Fraction) -> None:
    units = Amount(exact, "mass").base_units()
    assert 0 <= exact * 10 - units < 1


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_is_taken_by_its_decimal_text(number: float) -> None:
    assert exact_number(number, "it") == Fraction(Decimal(repr(number)))


@given(st.text(max_size=70) | st.from_regex(r"[-+0-9.,/ ½e']{0,12} ?[a-zA-Z°%.]{0,12}", fullmatch=True))
def test_any_text_gives_an_amount_in_range_or_a_sentence(text: str) -> None:
    for parse in (parse_amount, parse_temperature):
        try:
            found = parse(text)
        except MakerKitError as error:
            said = str(error)
        else:
            said = (
                "a good answer, in range"
                if isinstance(found, float) or LEAST_AMOUNT <= found.exact <= MOST_AMOUNT
                else ""
            )
        assert len(said) > 20
