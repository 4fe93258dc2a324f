"""Every figure of Annexes III–VI that a recipe can meet: at the most it is within, just above it is over."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from annex_products import BY_WORDS, LEAVE, NO_MAKERS_WORDS, RINSE
from chemicals import MW
from chemicals.elements import molecular_weight, nested_formula_parser
from reference_tables import reference_rows

from maker_kit import reference
from maker_kit.formula.annexes.counted import factor_of
from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.verdict import Content
from maker_kit.formula.annexes.verdicts import verdicts
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance_key
from maker_kit.numbers import significant

PURPOSE = {"III": "active", "IV": "colour", "V": "preservative", "VI": "UV filter"}
SPECIAL: dict[tuple[str, str], ProductType | None] = {
    ("V", "57"): RINSE["body"], ("III", "96c"): LEAVE["body"], ("III", "97c"): LEAVE["body"],
    ("III", "182b"): RINSE["body"],
    # figures that a stricter one of the same entry hides, or that stand for professionals or another use: tried in
    # test_annex_conditions.py where they bind
    ("III", "2bb"): None, ("III", "3"): None, ("III", "64"): None, ("III", "96a"): None, ("III", "96b"): None,
    ("III", "97a"): None, ("III", "97b"): None, ("III", "22c"): RINSE["hair"], ("VI", "4c"): LEAVE["underarm"],
}  # fmt: skip
"""Uses whose product does not stand in the product column."""


def rows_with_a_figure() -> list[tuple[str, dict[str, str], ProductType]]:
    found = []
    for annex, file in (
        ("III", "eu_annex_iii.csv"),
        ("IV", "eu_annex_iv.csv"),
        ("V", "eu_annex_v.csv"),
        ("VI", "eu_annex_vi.csv"),
    ):
        for row in reference_rows(file):
            if not row["max_percent"]:
                continue
            words = row["product_type_or_body_part"]
            product = (
                SPECIAL[annex, row["entry"] + row["letter"]]
                if (annex, row["entry"] + row["letter"]) in SPECIAL
                else BY_WORDS.get(words)
            )
            if product is None:
                assert (annex, row["entry"] + row["letter"]) in SPECIAL or re.search(NO_MAKERS_WORDS, words), (
                    annex,
                    row["entry"],
                    words,
                )
                continue
            found.append((annex, row, product))
    return found


ROWS = rows_with_a_figure()


def member_of(annex: str, number: str, substance: str) -> tuple[str, Fraction]:
    """A substance of the entry whose factor is on file, with the factor."""
    for entry in law().entries:
        if (entry.annex, entry.number, entry.substance) == (annex, number, substance):
            for name in entry.names:
                places = law().by_key.get(substance_key(name), ())
                factor = factor_of(entry, substance_key(name))
                if factor is not None and any(law().entries[p] is entry for p in places):
                    return name, factor
    raise AssertionError((annex, number))


@pytest.mark.parametrize(("annex", "row", "product"), ROWS, ids=[f"{a}-{r['entry']}{r['letter']}" for a, r, _ in ROWS])
def test_at_the_most_within_and_just_above_over(annex: str, row: dict[str, str], product: ProductType) -> None:
    if annex == "III" and row["entry"] == "381":
        name, factor = "Aluminum Chlorohydrate", Fraction("0.30935")
    else:
        name, factor = member_of(annex, row["entry"], row["substance"].strip())
    most = Fraction(row["max_percent"])
    for amount, codes in (
        (most / factor, {"within"}),
        (most / factor * Fraction(1001, 1000), {"over_most", "prohibited"}),
    ):
        if amount > 100:
            continue
        said = verdicts((Content(name, amount, amount, (PURPOSE[annex],)),), product, 7.0)
        here = [
            v
            for v in said
            if v.annex == annex
            and v.entry == row["entry"]
            and v.substance == row["substance"].strip()
            and v.about == ""
            and v.code not in {"declare", "needs_warning"}
        ]
        assert here, said
        assert {v.code for v in here} <= codes, (name, float(amount), here)


def test_few_rows_with_a_figure_are_left_out() -> None:
    """Of the rows with a figure, those of hair dyes, teeth, nails, make-up, perfume and professionals aside, every
    one is tried.
    """
    assert len([1 for a, _, _ in ROWS if a == "V"]) >= 55
    assert len([1 for a, _, _ in ROWS if a == "VI"]) >= 33
    assert len([1 for a, _, _ in ROWS if a == "III"]) >= 115


def test_the_factors_are_ratios_of_molar_masses() -> None:
    """Against the molar masses of the library chemicals (MIT)."""
    for row in reference.rows("annex_factors.csv"):
        if row["factor"]:
            salt = molecular_weight(nested_formula_parser(row["formula"]))
            acid = molecular_weight(nested_formula_parser(row["counted_as"])) * int(row["times"])
            assert float(row["factor"]) == pytest.approx(acid / salt, rel=2e-4), row["inci"]


# molar masses of substances by CAS, from the library's own table of compounds: the formulas on file are those of the
# substances
@pytest.mark.parametrize(
    ("inci", "cas"),
    [
        ("Retinol", "68-26-8"),
        ("Retinyl Palmitate", "79-81-2"),
        ("Retinyl Acetate", "127-47-9"),
        ("Zinc Sulfate", "7733-02-0"),
        ("Zinc Chloride", "7646-85-7"),
        ("Urea Peroxide", "124-43-6"),
        ("Sodium Sulfite", "7757-83-7"),
        ("Thioglycolic Acid", "68-11-1"),
        ("Chlorhexidine", "55-56-1"),
        ("Alumina", "1344-28-1"),
    ],
)
def test_the_formulas_are_those_of_the_substances(inci: str, cas: str) -> None:
    row = next(r for r in reference.rows("annex_factors.csv") if r["inci"] == inci and r["formula"])
    try:
        known = MW(cas)
    except ValueError:
        pytest.skip(f"the library does not hold {cas}")
    assert molecular_weight(nested_formula_parser(row["formula"])) == pytest.approx(known, rel=1e-3)


def test_rounding_to_five_digits() -> None:
    assert significant(Fraction("0.50000140")) == Fraction("0.5")
    assert significant(Fraction("0.500006")) == Fraction("0.50001")
    assert significant(Fraction("12.34565")) == Fraction("12.346")
    assert significant(Fraction("12.3455") - Fraction(1, 10**40)) == Fraction("12.345")  # not first to 28 digits
    assert significant(-Fraction("12.3455")) == -Fraction("12.346")
