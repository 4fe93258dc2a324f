"""Every row of the check tables (EU preservatives, IFRA materials, salt-to-acid factors, undissociated shares) through
the judge, whatever rows the folder holds.
"""

from __future__ import annotations

import csv
import re
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from chemicals.elements import molecular_weight, nested_formula_parser
from formula.judged_recipes import alone
from reference_tables import reference_folder, reference_rows

from maker_kit import reference
from maker_kit.formula.limits.counting import own_names, salt_factors
from maker_kit.formula.limits.judging import judgements
from maker_kit.formula.limits.limit import load_limits
from maker_kit.formula.preservation.agents import figures
from maker_kit.formula.preservation.undissociated import undissociated_fraction
from maker_kit.formula.recipe import ProductType
from maker_kit.names import name_key

LAW = reference_rows("eu_preservative_limits.csv")
IFRA = reference_rows("ifra_limits.csv")
LIMITS = load_limits(reference_folder())
OWN_TABLES = [p.name for p in sorted(reference.package_folder().glob("*.csv"))]


def product_for(scope: str) -> ProductType:
    """A plain product that a scope's words cover, read apart from the code under test."""
    low = scope.casefold()
    if "soap" not in low and "deodorant" in low:
        return ProductType(("underarm",), rinse_off=False)
    place = next((p for p in ("hair", "face") if re.search(rf"\b{p}\b", low.partition("not")[0])), "hands")
    return ProductType((place,), rinse_off="rinse-off" in low or "soap" in low or "shampoo" in low.partition("not")[0])


def figure(text: str) -> Fraction | None:
    return Fraction(found[1]) if (found := re.fullmatch(r"(\d+(?:\.\d+)?)\s*%?", text)) else None


def is_barred(text: str) -> bool:
    return re.match(r"(?i)prohibited|banned|forbidden", text) is not None


def of_row(judged, row):
    entry = f"entry {row['entry']}"
    return [
        j
        for j in judged
        if j.limit.kind == "law"
        and j.limit.substance == row["substance"]
        and j.limit.conditions == row["scope"]
        and j.limit.source.endswith(entry)
    ]


def members_of(row):
    """INCI names and factors of one row, those of a group whose substances count singly taken each by itself."""
    found = [
        x
        for x in LIMITS
        if x.kind == "law"
        and x.substance == row["substance"]
        and x.conditions == row["scope"]
        and x.source.endswith(f"entry {row['entry']}")
    ]
    assert found, f"no limit was read from the row {row}"
    return [
        (name, factor)
        for x in found
        for name, factor in x.counts
        if not x.needs or name in {x.needs, *own_names(x.substance)}
    ]


@pytest.mark.parametrize("row", LAW, ids=lambda r: f"{r['entry']} {r['substance']}, {r['scope']}")
def test_each_preservative_at_its_most_is_not_over_and_a_little_more_is(row) -> None:
    most = figure(row["max_pct"])
    product = product_for(row["scope"])
    if most is None or is_barred(row["scope"]):
        name, level = (
            members_of(row)[0][0],
            "over" if is_barred(row["scope"] + row["max_pct"]) or is_barred(row["max_pct"]) else "unknown",
        )
        assert {j.level for j in of_row(judgements(alone(name, 0.001, product), LIMITS), row)} == {level}
        return
    for name, factor in members_of(row):
        at = float(most) if factor == 1 else float(int(most / Fraction(str(factor)) * 10**7) / 10**7)
        more = round(float(most / Fraction(str(factor)) * Fraction(1001, 1000)), 9)
        for percent, over in ((at, False), (more, True)):
            judged = of_row(judgements(alone(name, percent, product), LIMITS), row)
            assert judged, f"{name} is not judged by {row['substance']}"
            assert all((j.level == "over") is over for j in judged), (name, percent, [j.level for j in judged])
            assert all(j.level != "fine" for j in judged)  # at the most it is near, or waits for a condition
        assert all(j.exactly_at for j in of_row(judgements(alone(name, at, product), LIMITS), row)) or factor != 1


@pytest.mark.parametrize(
    "row", [r for r in LAW if r["equivalent_pct"]], ids=lambda r: f"{r['entry']} {r['equivalent_as']}"
)
def test_each_equivalent_agrees_with_the_factor_within_its_rounding(row) -> None:
    name = re.sub("^as (anhydrous )?", "", row["equivalent_as"])
    factor = {name_key(n): f for n, f in members_of(row)}[name_key(name)]
    equivalent = Decimal(row["equivalent_pct"])
    slack = float(Decimal(1).scaleb(equivalent.as_tuple().exponent)) * 0.55 * factor
    assert float(equivalent) * factor == pytest.approx(float(row["max_pct"]), abs=slack)


@pytest.mark.parametrize("row", reference_rows("salt_to_acid_factors.csv"), ids=lambda r: r["conversion"])
def test_each_salt_to_acid_factor_is_used(row) -> None:
    salt = name_key(re.sub(r"\(.*?\)", " ", row["conversion"].partition("->")[0]))
    acid, factor = salt_factors(reference_folder())[salt]
    assert factor == float(row["mass_factor"])
    if not any(name_key(n) == acid for x in LIMITS if x.kind == "law" for n, _ in x.counts):
        return  # an acid that no table of preservatives names
    used = {{name_key(n): f for n, f in x.counts}.get(salt) for x in LIMITS if x.kind == "law"} - {None}
    assert float(row["mass_factor"]) in used


@pytest.mark.parametrize(
    "row", [r for r in reference.rows("counted_as.csv") if r["formula"]], ids=lambda r: f"{r['substance']}: {r['inci']}"
)
def test_each_factor_is_the_ratio_of_molar_masses(row) -> None:
    # molar masses from the elements of the `chemicals` library (MIT), formulas from the table; acids a molecule by
    # counting metal atoms or the text
    acid, several = re.search(r"acid (\w+) over", row["source"]), re.search(r"\((\d) acids", row["source"])
    if acid is None:
        assert float(row["factor"]) == 1
        return
    mass = {f: molecular_weight(nested_formula_parser(f)) for f in (acid[1], row["formula"])}
    assert float(row["factor"]) == pytest.approx(
        (int(several[1]) if several else 1) * mass[acid[1]] / mass[row["formula"]], abs=6e-6
    )


@pytest.mark.parametrize(
    ("conversion", "salt", "acid"),
    [
        ("sodium benzoate -> benzoic acid", "C7H5NaO2", "C7H6O2"),
        ("potassium sorbate -> sorbic acid", "C6H7KO2", "C6H8O2"),
        ("sodium dehydroacetate (anhydrous) -> DHA", "C8H7NaO4", "C8H8O4"),
        ("methylparaben -> 4-hydroxybenzoic acid", "C8H8O3", "C7H6O3"),
        ("propylparaben -> 4-hydroxybenzoic acid", "C10H12O3", "C7H6O3"),
    ],
)
def test_the_published_factors_are_ratios_of_molar_masses(conversion, salt, acid) -> None:
    row = next((r for r in reference_rows("salt_to_acid_factors.csv") if r["conversion"] == conversion), None)
    if row is None:
        pytest.skip("not in this folder")
    mass = {f: molecular_weight(nested_formula_parser(f)) for f in (salt, acid)}
    assert float(row["mass_factor"]) == pytest.approx(mass[acid] / mass[salt], abs=2e-5)


@pytest.mark.parametrize("row", IFRA, ids=lambda r: f"{r['material']} {r['category']}")
def test_each_material_in_each_category(row) -> None:
    product = ProductType(("hands",), rinse_off=False)
    most = figure(row["max_pct_in_finished_product"])
    category = "5C" if row["category"] == "all" else row["category"]

    def judged(percent):
        found = [
            j
            for j in judgements(alone(row["material"], percent, product), LIMITS, (category,))
            if j.limit.kind == "standard" and j.limit.category == row["category"]
        ]
        assert found
        return found[0]

    if most is not None:
        assert judged(float(most)).level == "near"
        assert judged(float(most)).exactly_at
        assert judged(float(most * Fraction(1001, 1000))).level == "over"
        assert judged(float(most * Fraction(79, 100))).level == "fine"
        assert judged(float(most * Fraction(80, 100))).level == "near"
    elif row["max_pct_in_finished_product"] == "no restriction":
        assert judged(50.0).level == "fine"
        assert judged(50.0).limit.unrestricted
    else:
        assert judged(0.000001).level == ("over" if is_barred(row["max_pct_in_finished_product"]) else "unknown")


@pytest.mark.parametrize("row", reference_rows("undissociated_fraction.csv"), ids=lambda r: f"{r['acid']} at {r['pH']}")
def test_each_undissociated_share_within_its_rounding(row) -> None:
    assert 100 * undissociated_fraction(float(row["pH"]), float(row["pKa"])) == pytest.approx(
        float(row["percent_undissociated"]), abs=0.00051
    )


@pytest.mark.parametrize("acid", ["Benzoic acid", "Sorbic acid", "Dehydroacetic acid", "Salicylic acid"])
def test_our_pka_is_that_of_the_published_shares(acid) -> None:
    found = {float(r["pKa"]) for r in reference_rows("undissociated_fraction.csv") if r["acid"] == acid}
    assert not found or found == {figures(acid).pka}


@pytest.mark.parametrize("name", [n for n in OWN_TABLES if n != "sources.csv"])
def test_every_row_of_every_table_says_where_it_is_from_and_how_it_was_checked(name) -> None:
    for row in reference.rows(name, columns=("source", "checked")):
        assert row["source"], row
        assert row["checked"], row


def test_every_table_is_listed_among_the_sources() -> None:
    listed = {t.strip() for r in reference.rows("sources.csv") for t in r["tables"].split(";")}
    assert set(OWN_TABLES) - {"sources.csv"} == listed


@pytest.mark.parametrize(
    "name", ["eu_preservative_limits.csv", "ifra_limits.csv", "ifra_categories.csv", "salt_to_acid_factors.csv"]
)
def test_the_workbooks_own_tables_are_the_published_ones(name) -> None:
    with (Path(__file__).parents[1] / "reference" / name).open(encoding="utf-8", newline="") as file:
        published = [{k: v.strip() for k, v in row.items()} for row in csv.DictReader(file)]
    assert [dict(row) for row in reference.rows(name)] == published
