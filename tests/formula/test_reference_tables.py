"""Every row of the check tables (EU preservatives, IFRA materials, salt-to-acid factors, undissociated shares) through
the judge, whatever rows the folder holds.
"""

from __future__ import annotations

import csv
import re
from dataclasses import replace
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
from maker_kit.formula.limits.law import limits_of
from maker_kit.formula.limits.limit import load_limits
from maker_kit.formula.preservation.agents import figures, is_preservative
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


NAMES = {
    "Other benzoate salts and esters": ("Potassium Benzoate", "Methyl Benzoate"),
    "Salicylic acid and salts": ("Salicylic Acid", "Sodium Salicylate"),
    "4-Hydroxybenzoates (methyl-, ethyl-)": ("Methylparaben", "Ethylparaben"),
    "Propyl-/butylparaben sum": ("Propylparaben", "Butylparaben", "Sodium Propylparaben"),
    "Dehydroacetic acid and salts": ("Dehydroacetic Acid", "Sodium Dehydroacetate"),
    "Formic acid and sodium salt": ("Formic Acid", "Sodium Formate"),
    "Undecylenic acid and salts": ("Undecylenic Acid",),
    "Bronopol": ("2-Bromo-2-Nitropropane-1,3-Diol",),
    "Dichlorobenzyl alcohol": ("Dichlorobenzyl Alcohol",),
    "MCI/MI 3:1 mixture": ("Methylchloroisothiazolinone",),
    "Benzalkonium chloride etc.": ("Benzalkonium Chloride",),
    "IPBC": ("Iodopropynyl Butylcarbamate",),
}
"""INCI names of what the older table writes in other words (from memory); other rows go by their own names."""
NO_FIGURE_OF_ONE = {
    "4-Hydroxybenzoates, mixture total": "a sum of several: tried in test_limits.py with two of them",
    "Formaldehyde-releaser label trigger": "a label and no most: tried in test_limits.py as law.formaldehyde",
}
"""Rows that are no figure of one substance alone, and where they are tried."""
STILL_LAW = {r["entry"] for r in reference_rows("eu_annex_v.csv")}
"""Entries of Annex V in August 2026. The figures of the older table all hold; what a newer law changed is the scope of
entry 3 (no exception for shampoos for small children since Regulation (EU) 2019/1966), the entry of formaldehyde (in
Annex II since) and the label for what releases it (Regulation (EU) 2022/1181)."""


def names_of(row):
    return NAMES.get(row["substance"], own_names(row["substance"])[1:] or own_names(row["substance"]))


def preserving(name, percent, product):
    """One substance in water, there as a preservative."""
    made = alone(name, percent, product)
    return replace(
        made, ingredients={**made.ingredients, "It": replace(made.ingredients["It"], function="preservative")}
    )


def by_law(name, percent, row, product=None):
    """The law's own judgements of one substance by the figure of a row."""
    made = preserving(name, percent, product or product_for(row["scope"]))
    judged = judgements(made, limits_of(made))
    return [j for j in judged if j.limit.kind == "law" and j.limit.most_percent == float(row["max_pct"])]


def factor_by_law(name, row):
    (judged,) = by_law(name, 0.0001, row)
    return {name_key(n): f for n, f in judged.limit.counts}[name_key(name)]


@pytest.mark.parametrize(
    "row",
    [r for r in LAW if r["substance"] not in NO_FIGURE_OF_ONE],
    ids=lambda r: f"{r['entry']} {r['substance']}, {r['scope']}",
)
def test_each_preservative_at_its_most_is_not_over_and_a_little_more_is(row) -> None:
    """The figures of the older table, by the law of today."""
    assert row["entry"] in STILL_LAW
    most = Fraction(row["max_pct"])
    for name in names_of(row):
        factor = Fraction(str(factor_by_law(name, row)))
        at = float(most) if factor == 1 else float(int(most / factor * 10**7) / 10**7)
        for percent, level in ((at, "near"), (round(float(most / factor * Fraction(1001, 1000)), 9), "over")):
            judged = by_law(name, percent, row)
            assert judged, f"{name} is not judged by {row['substance']}"
            assert {j.level for j in judged} == {level}, (name, percent)
            assert f"entry {row['entry']}" in judged[0].limit.source
        assert all(j.exactly_at for j in by_law(name, at, row)) or factor != 1


@pytest.mark.parametrize(
    "row", [r for r in LAW if r["equivalent_pct"]], ids=lambda r: f"{r['entry']} {r['equivalent_as']}"
)
def test_each_equivalent_agrees_with_the_factor_within_its_rounding(row) -> None:
    name = re.sub("^as (anhydrous )?", "", row["equivalent_as"])
    factor = factor_by_law(name, row)
    equivalent = Decimal(row["equivalent_pct"])
    slack = float(Decimal(1).scaleb(equivalent.as_tuple().exponent)) * 0.55 * factor
    assert float(equivalent) * factor == pytest.approx(float(row["max_pct"]), abs=slack)


@pytest.mark.parametrize("row", reference_rows("salt_to_acid_factors.csv"), ids=lambda r: r["conversion"])
def test_each_salt_to_acid_factor_is_used(row) -> None:
    salt = name_key(re.sub(r"\(.*?\)", " ", row["conversion"].partition("->")[0]))
    acid, factor = salt_factors(reference_folder())[salt]
    assert factor == float(row["mass_factor"])
    made = preserving(salt, 0.0001, ProductType(("hands",), rinse_off=True))
    counted = [
        dict(x.counts)[n]
        for x in limits_of(made)
        if x.counted_as == "as acid"
        for n, _ in x.counts
        if name_key(n) == salt
    ]
    assert counted == pytest.approx([factor] * len(counted), abs=2e-5)  # both are rounded to five digits
    assert counted or not is_preservative(acid)


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


@pytest.mark.parametrize("name", [n for n in OWN_TABLES if n != "sources.csv"])
def test_a_row_that_says_from_memory_is_marked_so(name) -> None:
    for row in reference.rows(name):
        assert (row.get("memory") == "yes") is ("memory" in f"{row['checked']} {row['source']}"), row


def test_every_table_is_listed_among_the_sources() -> None:
    listed = {t.strip() for r in reference.rows("sources.csv") for t in r["tables"].split(";")}
    assert set(OWN_TABLES) - {"sources.csv"} == listed


def figures_of(table):
    """The rows of a table without how they were checked, and without what the workbook reads out of the source."""
    ours = ("source", "checked", "amendment", "date")
    return [{k: v for k, v in row.items() if k not in ours} for row in table]


@pytest.mark.parametrize("name", ["ifra_limits.csv", "ifra_categories.csv", "salt_to_acid_factors.csv"])
def test_the_workbooks_own_tables_are_the_published_ones(name) -> None:
    with (Path(__file__).parents[1] / "reference" / name).open(encoding="utf-8", newline="") as file:
        published = [{k: v.strip() for k, v in row.items()} for row in csv.DictReader(file)]
    assert figures_of(reference.rows(name)) == figures_of(published)
