"""Preservation. Expected values: Henderson–Hasselbalch by hand; J. Soc. Cosmet. Chem. 18 no. 4, table IV (un-ionised
benzoic acid 0.019 to 0.027 %, one mould, 25 °C); ISO 29621; the demo workshop's sums.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import ALL, HANDS, INGREDIENTS, R1, R1B, R2, R3_V1, R3_V2, R4, R5, WASH, recipe, thing
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.preservation.undissociated import preservation_rows, undissociated_fraction
from maker_kit.formula.setting import with_level

TOGETHER = {"preservation.reach", "preservation.outside_ph"}
"""Findings on what all preservatives reach together; test_reach.py tries them."""
BENZOIC, SORBIC, DHA = "Benzoic acid", "Sorbic acid", "Dehydroacetic acid"


def one(r, subject):
    found = [f for f in judge_preservation(r) if f.subject == subject and f.code not in TOGETHER]
    assert len(found) == 1, [(f.subject, f.text) for f in judge_preservation(r)]
    return found[0]


def row(r, substance):
    return {x.substance: x for x in preservation_rows(r)}[substance]


def ranged(name, least, most=None):
    return replace(INGREDIENTS[name], least_percent=least, most_percent=most)


@pytest.mark.parametrize(
    ("pka", "ph", "percent"),
    [
        (4.20, 6.6, 0.397),
        (4.76, 6.6, 1.425),
        (5.27, 5.2, 54.0),
        (5.27, 6.5, 5.6),
        (4.20, 5.1, 11.2),
        (4.76, 5.1, 31.4),
        (4.2, 4.2, 50.0),
    ],
)
def test_undissociated_share(pka, ph, percent) -> None:
    assert 100 * undissociated_fraction(ph, pka) == pytest.approx(percent, abs=0.06 if percent > 2 else 0.0006)


@given(st.floats(0, 14), st.floats(0, 14), st.floats(1, 10))
def test_less_is_undissociated_the_higher_the_ph(a, b, pka) -> None:
    low, high = sorted((a, b))
    assert 0 < undissociated_fraction(high, pka) <= undissociated_fraction(low, pka) < 1


@pytest.mark.parametrize("ph", [-0.1, 14.1, float("nan"), float("inf")])
def test_a_ph_outside_its_scale_is_refused(ph) -> None:
    for r in (replace(R1, ph_read=ph), replace(R1, ph_high=ph), replace(R1, ph_low=ph)):
        with pytest.raises(QuantityError):
            judge_preservation(r)
    with pytest.raises(QuantityError):
        undissociated_fraction(ph, 4.2)


def test_a_wash_at_its_reading_is_protected_as_far_as_the_tables_tell() -> None:
    # 0.42373 % × 11.2 % = 0.0474 and 0.223929 % × 31.4 % = 0.0702
    benzoic, sorbic = one(R1, BENZOIC), one(R1, SORBIC)
    assert (benzoic.kind, benzoic.level) == (sorbic.kind, sorbic.level) == ("know", "fine")
    assert round(benzoic.found_percent, 4) == 0.0474
    assert round(sorbic.found_percent, 4) == 0.0702
    assert all("No challenge test" in f.text for f in (benzoic, sorbic))
    assert "11.2 % of 0.424 %" in benzoic.text
    assert "31.4 % of 0.224 %" in sorbic.text


def test_a_cleansing_water_at_6_6_is_legal_and_unprotected() -> None:
    benzoic, sorbic = one(R3_V1, BENZOIC), one(R3_V1, SORBIC)
    for finding in (benzoic, sorbic):
        assert (finding.kind, finding.level) == ("stop", "under")
        assert "Legal all the same" in finding.text
    assert "0.397 % of 0.339 %" in benzoic.text
    assert "0.0013 %" in benzoic.text
    assert "14–20 times under" in benzoic.text
    assert "1.425 % of 0.149 %" in sorbic.text
    assert "0.0021 %" in sorbic.text
    assert (round(benzoic.found_percent, 4), benzoic.limit_percent) == (0.0013, 0.019)


def test_the_same_water_at_5_0_has_enough_benzoic_acid_undissociated() -> None:
    r = replace(R3_V1, ph_read=5.0, ph_low=4.8, ph_high=5.2)
    assert row(r, BENZOIC).undissociated_percent == pytest.approx(0.046, abs=0.0005)
    assert row(r, SORBIC).undissociated_percent == pytest.approx(0.055, abs=0.0005)
    assert one(r, BENZOIC).level == "fine"
    assert (one(r, SORBIC).level, one(r, SORBIC).kind) == (
        "unknown",
        "know",
    )  # under the published 0.0645, another works beside it


def test_an_unacidified_wash_is_not_preserved() -> None:
    # at pH 7.4 only 0.063 % of the benzoic and 0.229 % of the sorbic acid is undissociated
    r = replace(R1, ph_read=7.4)
    assert row(r, BENZOIC).undissociated_share_percent == pytest.approx(0.063, abs=0.0005)
    assert row(r, SORBIC).undissociated_share_percent == pytest.approx(0.229, abs=0.0005)
    assert {f.kind for f in judge_preservation(r) if f.level == "under"} == {"stop"}


def test_legal_is_not_said_of_what_is_over_its_limit() -> None:
    finding = one(with_level(R3_V1, "Sodium benzoate", 0.7), BENZOIC)
    assert finding.level == "under"
    assert "Legal" not in finding.text


def test_between_the_published_figures_is_little_to_spare() -> None:
    # 0.339 × f: at pH 5.3 f = 7.36 %, 0.0249; at 5.4 f = 5.94 %, 0.0201; at 5.45 f = 5.32 %, 0.0180
    assert [one(replace(R3_V1, ph_read=ph), BENZOIC).level for ph in (5.2, 5.3, 5.4, 5.45)] == [
        "fine",
        "near",
        "near",
        "under",
    ]


def test_above_5_5_benzoate_and_sorbate_are_not_trusted() -> None:
    # common practice, no source: a wash may hold so much that the published figure is met, and is still looked at
    much = with_level(R1, "Sodium benzoate", 2.5)
    assert one(replace(much, ph_read=5.6), BENZOIC).kind == "look"
    assert one(replace(much, ph_read=5.5), BENZOIC).level == "fine"
    assert one(replace(R1, ph_read=5.6), SORBIC).level == "under"


def test_no_reading_is_unknown_never_fine() -> None:
    for r in (replace(R1, ph_read=None), replace(R5, ph_read=None)):
        findings = judge_preservation(r)
        assert not any(f.level == "fine" for f in findings if f.subject in {BENZOIC, SORBIC, DHA})
        assert any(f.level == "unknown" and f.kind == "look" and "nothing computes it" in f.next_step for f in findings)
        assert any(f.subject == "pH" and f.kind == "look" for f in findings)
    assert row(replace(R1, ph_read=None), BENZOIC).undissociated_percent is None


def test_a_reading_outside_the_recipes_band() -> None:
    assert one(replace(R1, ph_read=5.4), "pH").kind == "look"
    assert not [f for f in judge_preservation(R1) if f.subject == "pH"]
    assert not [f for f in judge_preservation(replace(R1, ph_read=5.3)) if f.subject == "pH"]


def test_water_without_a_preservative_stops() -> None:
    r = recipe("x", HANDS, {"Glycerin": 3, "Scent 1": 0.4, "Antioxidant blend": 1, "Chelator": 0.2})
    finding = one(r, "preservative")
    assert (finding.kind, finding.level) == ("stop", "missing")
    for name in ("Tocopherol", "Tetrasodium Glutamate Diacetate", "Parfum"):
        assert name in finding.text


@pytest.mark.parametrize(
    "water",
    ["Aqua", "Water", "Rosa Damascena Flower Water", "Aloe Barbadensis Leaf Juice", "Aqua (Water)", "Goat Milk"],
)
def test_any_water_needs_a_preservative(water) -> None:
    r = recipe("x", HANDS, {"Wet": 5}, "Sweet almond oil", extra=(thing("Wet", water),))
    assert one(r, "preservative").kind == "stop"


def test_water_hidden_in_a_bench_made_mixture_is_found() -> None:
    r = recipe("x", HANDS, {"Citric acid 50 %": 1}, "Sweet almond oil")
    assert one(r, "preservative").kind == "stop"


@pytest.mark.parametrize(
    "fake",
    [
        thing("Vitamin E", "Tocopherol", "preservative"),
        thing("Booster", "Ethylhexylglycerin", "preservative"),
        thing("Perfume", "Parfum", "preservative"),
    ],
)
def test_what_is_no_preservative_does_not_pass_for_one(fake) -> None:
    assert one(recipe("x", HANDS, {fake.name: 1}, extra=(fake,)), "preservative").kind == "stop"


def test_benzyl_alcohol_inside_a_scent_does_not_count() -> None:
    scent = thing("Scent 9", "Parfum", "scent", {"Benzyl Alcohol": (50, 60)})
    assert one(recipe("x", HANDS, {"Scent 9": 1}, extra=(scent,)), "preservative").level == "missing"


def test_a_preservative_no_table_knows_stops_until_another_is_there() -> None:
    # nothing known preserves it, whatever the maker's own table calls it: water without a working preservative is a
    # stop
    odd = thing("Ferment", "Zyxwor Ferment", "preservative")
    finding = one(recipe("x", HANDS, {"Ferment": 2}, extra=(odd,)), "Ferment")
    assert (finding.kind, finding.level) == ("stop", "missing")
    assert "no table on file knows it as one" in finding.text
    beside = one(recipe("x", HANDS, {"Ferment": 2, "Preservative P": 1.0}, extra=(odd,)), "Ferment")
    assert (beside.kind, beside.level) == ("look", "unknown")


@pytest.mark.parametrize("inci", ["Lactobacillus Ferment", "Leuconostoc/Radish Root Ferment Filtrate"])
def test_a_ferment_that_a_table_knows_for_no_preservative_is_named_beside_the_stop(inci) -> None:
    # common practice, no source: what a ferment holds back depends on what was added to it
    ferment = thing("Ferment", inci, "preservative")
    finding = one(recipe("x", HANDS, {"Ferment": 2}, extra=(ferment,)), "preservative")
    assert (finding.kind, finding.level) == ("stop", "missing")
    assert inci in finding.text


def test_a_balm_needs_none_and_says_why() -> None:
    findings = judge_preservation(R4)
    assert [(f.kind, f.level) for f in findings] == [("know", "fine")]
    assert "no water" in findings[0].text
    assert "Wet fingers" in findings[0].text
    assert "ISO 29621" in findings[0].source


def test_an_ingredient_without_names_may_hold_water() -> None:
    r = recipe("x", HANDS, {"Mystery": 5}, "Sweet almond oil", extra=(thing("Mystery", ""),))
    assert [(f.kind, f.level) for f in judge_preservation(r)] == [("look", "unknown")]


def test_a_preservative_in_a_base_is_unknown_and_diluted() -> None:
    for subject in (BENZOIC, SORBIC):
        finding = one(R1B, subject)
        assert (finding.kind, finding.level) == ("look", "unknown")
        assert "dilutes" in finding.next_step
        assert "supplier of Wash base" in finding.next_step
    assert one(replace(R1B, ph_read=6.6), BENZOIC).kind == "stop"  # dissociated however much it is
    assert row(R1B, BENZOIC).total_percent is None


@pytest.mark.parametrize(
    ("least", "kind", "level"),
    [(None, "look", "unknown"), (0.5, "know", "fine"), (1.0, "know", "fine"), (1.1, "stop", "under")],
)
def test_what_hardly_depends_on_ph_is_judged_by_its_suppliers_range(least, kind, level) -> None:
    r = recipe("x", HANDS, {"Preservative P": 1.0}, extra=(ranged("Preservative P", least, 1.2),), read=6.6)
    finding = one(r, "Phenoxyethanol")
    assert (finding.kind, finding.level) == (kind, level)
    assert "hardly depends on the pH" in finding.text


def test_a_range_of_a_base_is_not_the_range_of_its_preservative() -> None:
    base = thing("Base", "Aqua, Phenoxyethanol", "base", {"Phenoxyethanol": (0.5, 0.9)}, least=10, most=100)
    assert one(recipe("x", WASH, {"Base": 50}, extra=(base,)), "Phenoxyethanol").level == "unknown"


def test_the_second_cleansing_water_is_unknown_until_its_supplier_has_spoken() -> None:
    assert one(R3_V2, "Phenoxyethanol").kind == "look"
    assert one(R2, "Phenoxyethanol").kind == "look"


def test_dehydroacetic_acid_at_its_reading() -> None:
    # 0.90 × 7 % = 0.063, 54.0 % undissociated at 5.2
    assert row(R5, DHA).total_percent == pytest.approx(0.063)
    assert row(R5, DHA).undissociated_share_percent == pytest.approx(54.0, abs=0.05)
    assert one(R5, DHA).level == "unknown"
    assert "from memory" in one(R5, DHA).source
    # benzyl alcohol stands beside it, of which no range says whether it is enough: unknown, and no proof of nothing
    dissociated = one(replace(R5, ph_read=6.5), DHA)
    assert (dissociated.kind, dissociated.level) == ("look", "under")


def test_an_acid_that_hardly_works_beside_one_that_works_is_looked_at() -> None:
    r = replace(R5, ingredients={**R5.ingredients, "Preservative B": ranged("Preservative B", 0.6, 1.1)}, ph_read=6.5)
    assert one(r, DHA).kind == "look"
    assert one(r, "Benzyl Alcohol").kind == "know"
    assert one(replace(r, ph_read=5.2), DHA).level == "fine"  # within its supplier's range


@pytest.mark.parametrize(
    "r",
    [
        recipe("x", HANDS, {"Spirit": 60}, extra=(thing("Spirit", "Alcohol Denat."),)),
        recipe("x", WASH, {"Glycerin": 3}, read=10.5),
        recipe("x", WASH, {"Glycerin": 3}, read=2.5),
    ],
)
def test_low_risk_by_iso_29621_is_looked_at_and_not_called_fine(r) -> None:
    finding = one(r, "preservative")
    assert (finding.kind, finding.level) == ("look", "missing")


@pytest.mark.parametrize("r", ALL.values(), ids=ALL)
def test_every_verdict_has_a_source_and_no_challenge_test_is_claimed(r) -> None:
    findings = judge_preservation(r)
    assert all(f.source and f.topic == "preservation" for f in findings)
    assert any("No challenge test was made" in f.text for f in findings)


@given(st.floats(5.51, 10), st.integers(1, 50).map(lambda n: n / 100), st.integers(0, 60).map(lambda n: n / 100))
def test_acids_alone_above_5_5_are_never_all_fine(ph, benzoate, sorbate) -> None:
    r = recipe("x", WASH, {"Sodium benzoate": benzoate, "Potassium sorbate": sorbate}, read=ph)
    assert all(f.kind != "know" for f in judge_preservation(r) if f.subject in {BENZOIC, SORBIC})


@given(
    st.integers(0, 300).map(lambda n: n / 100),
    st.integers(0, 300).map(lambda n: n / 100),
    st.one_of(st.none(), st.floats(0, 14)),
)
def test_water_never_passes_in_silence(benzoate, sorbate, ph) -> None:
    """Whatever the acids and the reading: either something is undissociated enough to be named fine, or a finding asks
    for more than knowing.
    """
    r = recipe("x", WASH, {"Sodium benzoate": benzoate, "Potassium sorbate": sorbate}, read=ph)
    findings = judge_preservation(r)
    undissociated = [x for x in preservation_rows(r) if x.level == "fine"]
    assert any(f.kind in {"stop", "look"} for f in findings) or undissociated
    assert all(x.undissociated_percent is not None and x.undissociated_percent >= 0.027 for x in undissociated)
