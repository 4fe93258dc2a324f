"""What the law says of a recipe, in findings. Expected: entries of Regulation (EC) No 1223/2009 as in the check tables
eu_annex_ii.csv to _vi.csv (the Commission's export, state of August 2026).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import BODY, HANDS, R2, R5, WASH, alone, recipe, thing
from reference_tables import reference_rows

from maker_kit.findings import Finding
from maker_kit.formula.limits.law import MOST_QUOTED, law_findings, law_limits, law_verdicts, limits_of
from maker_kit.formula.limits.limit import Limit, load_limits
from maker_kit.formula.notes.flags import judge_recipe
from maker_kit.formula.recipe import ProductType, Recipe

FACE = ProductType(("face",), rinse_off=False)


def meant(substance: str, percent: float, product: ProductType, function: str) -> Recipe:
    made = alone(substance, percent, product)
    return replace(made, ingredients={**made.ingredients, "It": replace(made.ingredients["It"], function=function)})


def said(made: Recipe, market: str = "EU") -> tuple[Finding, ...]:
    return law_findings(made, law_verdicts(made), market)


def of(made: Recipe, code: str, market: str = "EU") -> Finding:
    (found,) = [f for f in said(made, market) if f.code == code]
    return found


def listed(annex: str, entry: str) -> list[dict[str, str]]:
    return [r for r in reference_rows(f"eu_annex_{annex}.csv") if r["entry"] == entry]


@pytest.mark.parametrize(
    ("substance", "entry"),
    [
        ("Hydroquinone", "1339"),
        ("Boric Acid", "1395"),
        ("Butylphenyl Methylpropional", "1666"),
        ("Formaldehyde", "1577"),
    ],
)
def test_a_prohibited_substance_stops_with_its_entry_its_date_and_its_record(substance, entry) -> None:
    finding = of(alone(substance, 0.1, FACE), "law.prohibited")
    assert (finding.kind, finding.level, finding.about) == ("stop", "over", (substance,))
    assert f"Annex II entry {entry}" in finding.text
    assert finding.next_step == "Leave it out."
    (row,) = listed("ii", entry)
    assert f"Annex II, entry {entry}" in finding.source
    assert f"record of {row['updated']}" in finding.source
    assert "law as of 2026-08-28" in finding.source


def test_a_use_that_is_not_listed_stops_and_names_what_is_listed() -> None:
    # Annex III entry 22: resorcinol is listed for hair dyes, lashes and shampoos
    finding = of(meant("Resorcinol", 0.5, FACE, "active"), "law.use_not_listed")
    assert (finding.kind, finding.about) == ("stop", ("Resorcinol",))
    uses = [row["product_type_or_body_part"] for row in listed("iii", "22")]
    assert [use for use in uses if " ".join(use.split())[:30] in finding.text]
    assert "Annex III, entry 22" in finding.source


def test_a_use_whose_product_the_export_left_blank_is_named_by_its_figure() -> None:
    # Annex V entry 57, (EU) 2017/1224: "0,0015 % Rinse-off products" stands in the column of the figure
    finding = of(meant("Methylisothiazolinone", 0.001, HANDS, "preservative"), "law.use_not_listed")
    assert finding.kind == "stop"
    assert "Rinse-off products" in finding.text
    assert "2017/1224" in finding.source


@pytest.mark.parametrize(
    ("made", "code"),
    [
        (meant("Dehydroacetic Acid", 0.1, replace(BODY, spray=True), "preservative"), "law.spray_barred"),
        (meant("Salicylic Acid", 0.1, replace(HANDS, for_whom="small children"), "preservative"), "law.age_barred"),
    ],
)
def test_a_spray_or_an_age_that_is_barred_stops_and_quotes_the_law(made, code) -> None:
    finding = of(made, code)
    assert finding.kind == "stop"
    assert "Not to be used" in finding.text


def test_a_condition_that_nothing_tells_is_a_look_that_quotes_it() -> None:
    # Annex V entry 21, other conditions
    (row,) = listed("v", "21")
    finding = of(meant("2-Bromo-2-Nitropropane-1,3-Diol", 0.05, HANDS, "preservative"), "law.nitrosamines")
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert f"“{row['other_conditions']}”" in finding.text
    assert "unknown, not fine" in finding.next_step


def test_a_long_quote_is_cut_and_says_so() -> None:
    long = [f for f in said(meant("Salicylic Acid", 0.1, HANDS, "preservative")) if "…" in f.text]
    assert long
    for finding in long:
        assert len(finding.text.partition("“")[2].partition("”")[0]) <= MOST_QUOTED


def test_a_warning_and_what_is_to_be_declared_are_good_to_know() -> None:
    (row,) = listed("v", "54")
    finding = of(meant("Benzalkonium Chloride", 0.05, WASH, "preservative"), "law.needs_warning")
    assert finding.kind == "know"
    assert row["wording_of_warnings"] in finding.text
    # Annex III 70 and 84 and 88: above 0.001 % in what is left on
    declared = of(R2, "law.declare")
    assert declared.kind == "know"
    assert set(declared.about) == {"Citral", "Linalool", "Limonene"}
    assert "2023/1545" in declared.source


@pytest.mark.parametrize(
    "made",
    [
        meant("Hydroquinone", 0.1, FACE, "active"),
        meant("Methylisothiazolinone", 0.001, HANDS, "preservative"),
        meant("2-Bromo-2-Nitropropane-1,3-Diol", 0.05, HANDS, "preservative"),
    ],
)
def test_for_the_us_the_annexes_are_looks_for_comparison(made) -> None:
    found = [f for f in said(made, "US") if f.code in {g.code for g in said(made) if g.kind != "know"}]
    assert found
    assert {f.kind for f in found} == {"look"}
    assert all("for comparison" in f.text and "not US law" in f.text for f in found)


def test_a_figure_over_the_most_is_a_look_for_comparison_in_the_us() -> None:
    over = meant("Phenoxyethanol", 1.5, HANDS, "preservative")
    here, there = (
        next(f for f in judge_recipe(over, market=market).findings if f.code == "limit.law_over")
        for market in ("EU", "US")
    )
    assert (here.kind, there.kind) == ("stop", "look")
    assert "for comparison" in there.text


def test_what_us_law_prohibits_stops_there() -> None:
    # 21 CFR 700.18: chloroform
    finding = of(alone("Chloroform", 0.1, HANDS), "law.us_prohibited", "US")
    assert (finding.kind, finding.about) == ("stop", ("Chloroform",))
    assert "700.18" in finding.source
    assert not [f for f in said(alone("Chloroform", 0.1, HANDS)) if f.code == "law.us_prohibited"]


def test_us_colours_are_unknown_and_said_to_be() -> None:
    made = meant("CI 16035", 0.5, BODY, "colour")
    assert of(made, "law.us_colours", "US").level == "unknown"
    assert not [f for f in said(made) if f.code == "law.us_colours"]


def test_the_law_s_limits_bound_the_amount_and_nothing_at_all_where_a_use_is_barred() -> None:
    bounds = {x.substance: x for x in law_limits(law_verdicts(R5))}
    assert (bounds["Benzyl Alcohol"].most_percent, bounds["Benzyl Alcohol"].region) == (1.0, "EU")  # Annex V entry 34
    assert dict(bounds["Dehydroacetic Acid"].counts)["Dehydroacetic Acid"] == 1.0
    (barred,) = law_limits(law_verdicts(meant("Phenoxyisopropanol", 0.1, HANDS, "preservative")))  # Annex V entry 43
    assert (barred.most_percent, barred.by_law) == (0.0, "use_not_listed")


def test_the_maker_s_own_limits_stand_beside_the_law_s_and_the_trade_s() -> None:
    own = Limit("Glycerin", 3.0, kind="practice", source="test")
    found = limits_of(R5, [own])
    assert found[-1] == own
    assert set(load_limits()) < set(found)
    assert {x.kind for x in found} == {"law", "standard", "practice"}


def test_an_undisclosed_amount_of_a_prohibited_substance_stops_too() -> None:
    base = thing("Base", "Aqua, Glycerin, Hydroquinone")
    finding = of(recipe("x", FACE, {"Base": 10}, extra=(base,)), "law.prohibited")
    assert finding.kind == "stop"
    assert finding.found_percent is None
    assert "nobody has told" in finding.text


def test_the_ends_of_a_reading_are_both_judged() -> None:
    # Annex III entry 15 a (d): hydroxides as a pH adjuster up to pH 11
    made = replace(meant("Sodium Hydroxide", 0.3, HANDS, "acid regulator"), ph_read=10.9)
    sure, unsure = ({f.code for f in said(replace(made, ph_error=e)) if f.kind == "stop"} for e in (0.0, 0.2))
    assert "law.ph_outside" not in sure
    assert "law.ph_outside" in unsure
