"""One base in many scents: the bases add up exactly, and every scent has its own load, allergens and ceilings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import demo_recipes
import pytest
from formula.judged_recipes import R1B, R2, R5, SCENT_1, SCENT_2, SCENT_3, thing
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.formula.changes.split import ScentShare, split_scents
from maker_kit.formula.recipe import Recipe, check_sum
from maker_kit.units import parse_amount

SCENTS = [replace(s, density_g_per_ml=rho) for s, rho in ((SCENT_1, 0.93), (SCENT_2, 0.92), (SCENT_3, 0.95))]
WASH = replace(R1B, fill_ml=250, density_g_per_ml=1.022, loss_percent=2)
# The demo workshop: 24 bottles of one base in three scents
SHARES = [ScentShare(SCENTS[0], 0.8, 10), ScentShare(SCENTS[1], 0.6, 8), ScentShare(SCENTS[2], 1.0, 6)]


def silent(recipe: Recipe, containers: int) -> tuple:
    return ()


def test_three_scents_of_one_base_come_out_as_the_demo_has_them() -> None:
    answer = split_scents(WASH, SHARES)
    found = [
        (round(p.mass_g, 1), round(p.base_g, 1), round(p.scent_g, 1), round(p.load_on_base_percent, 4))
        for p in answer.parts
    ]
    assert found == [(2606.1, 2585.3, 20.8, 0.8065), (2084.9, 2072.4, 12.5, 0.6036), (1563.7, 1548.0, 15.6, 1.0101)]
    assert answer.parts[0].scent_ml == pytest.approx(22.4, abs=0.05)
    assert answer.base_g == pytest.approx(6205.6, abs=0.05)
    assert answer.base_ml / parse_amount("1 gallon").value == pytest.approx(1.60, abs=0.005)
    assert answer.labels == 24


def test_each_scent_has_its_own_allergens_above_the_rinse_off_threshold() -> None:
    parts = split_scents(WASH, SHARES).parts
    assert set(parts[0].on_label) == {
        "Citral",
        "Limonene",
        "Linalool",
    }  # 0.064, 0.32 and 0.04 %; above 0.01 % in what is rinsed off
    assert set(parts[1].on_label) == {"Citronellol", "Geraniol", "Linalool"}  # 0.036, 0.024, 0.06 %
    assert set(parts[2].on_label) == {
        "Hexyl Cinnamal",
        "Linalool",
    }  # 0.05, 0.06 %; coumarin exactly at 0.01 % is not above it
    coumarin = next(a for a in parts[2].allergens if a.substance == "Coumarin")
    assert (coumarin.high_percent, coumarin.threshold_percent, coumarin.level) == (0.01, 0.01, "fine")
    assert "Annex III" in coumarin.source


def test_what_is_left_on_names_them_ten_times_earlier() -> None:
    lotion = split_scents(R5, [ScentShare(SCENT_3, 0.1, 4)], judge=silent).parts[0]
    assert {"Hexyl Cinnamal", "Linalool"} <= set(lotion.on_label)
    assert next(a for a in lotion.allergens if a.substance == "Coumarin").level == "fine"  # 0.001 %, exactly at it
    assert "Coumarin" in split_scents(R5, [ScentShare(SCENT_3, 0.11, 4)], judge=silent).parts[0].on_label


def test_ceilings_are_those_of_each_scent() -> None:
    assert [p.ceiling.percent for p in split_scents(WASH, SHARES).parts] == [
        11.0,
        5.5,
        8.0,
    ]  # certificates, 49th amendment, category 9
    assert [p.ceiling.percent for p in split_scents(R5, SHARES, judge=silent).parts] == [1.8, 1.0, 2.1]


def test_a_load_over_its_ceiling_is_a_stop_of_that_scent_alone() -> None:
    answer = split_scents(R5, [ScentShare(SCENT_2, 1.2, 2), ScentShare(SCENT_3, 1.2, 2)])
    assert any(f.kind == "stop" for f in answer.parts[0].findings)
    assert not any(f.kind == "stop" and f.topic in {"scent", "limit"} for f in answer.parts[1].findings)
    assert any(f.kind == "stop" and f.subject.startswith("Scent 2: ") for f in answer.findings)


def test_the_same_base_is_in_every_part() -> None:
    parts = split_scents(R2, [ScentShare(SCENT_1, 0.4, 2), ScentShare(SCENT_2, 1.0, 2)], judge=silent).parts
    assert parts[0].recipe.percent_of("Preservative P") == 1.0
    assert parts[1].recipe.percent_of("Preservative P") == pytest.approx(1.0 * 99.0 / 99.6, abs=1e-5)
    ratios = [p.recipe.percent_of("Glycerin") / p.recipe.percent_of("Propanediol") for p in parts]
    assert ratios == pytest.approx([0.6, 0.6], abs=1e-6)


def test_a_part_may_stay_unscented() -> None:
    answer = split_scents(R2, [ScentShare(None, 0, 3), ScentShare(SCENT_1, 0.4, 1)], judge=silent)
    assert (answer.parts[0].scent, answer.parts[0].scent_g, answer.parts[0].ceiling, answer.parts[0].recipe.scent) == (
        "unscented",
        0,
        None,
        "",
    )
    check_sum(answer.parts[0].recipe)


def test_what_stays_over_or_is_short_is_told() -> None:
    two = split_scents(WASH, SHARES, parse_amount("2 gallons").exact_grams(1.022), silent)
    assert two.remainder_g == pytest.approx(2 * 3868.7 - 6205.6, abs=0.2)
    assert two.findings[-1].level == "fine"
    one = split_scents(WASH, SHARES, parse_amount("1 gallon").exact_grams(1.022), silent)
    assert one.remainder_g < 0
    assert (one.findings[0].kind, one.findings[0].level) == ("look", "under")
    assert split_scents(WASH, SHARES, judge=silent).remainder_g is None


@pytest.mark.parametrize(
    ("shares", "error", "says"),
    [
        ([], QuantityError, "no parts"),
        ([ScentShare(SCENT_1, 0, 4)], QuantityError, "above 0"),
        ([ScentShare(None, 0.5, 4)], QuantityError, "unscented"),
        ([ScentShare(SCENT_1, 100, 4)], QuantityError, "below 100"),
        ([ScentShare(SCENT_1, float("nan"), 4)], QuantityError, "no number"),
        ([ScentShare(SCENT_1, 0.5, 1.5)], QuantityError, "whole"),
        ([ScentShare(SCENT_1, 0.5, 0)], QuantityError, "container"),
        ([ScentShare(thing("Wash base", "Parfum", "scent"), 0.5, 1)], RecipeError, "part of the base"),
    ],
)
def test_senseless_splits_are_refused_in_a_sentence(shares, error, says) -> None:
    with pytest.raises(error, match=says):
        split_scents(WASH, shares)


def test_a_base_below_zero_is_refused() -> None:
    with pytest.raises(QuantityError, match="0 or more"):
        split_scents(WASH, SHARES, -1)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["R1", "R1b", "R2", "R4", "R5"]),
    st.floats(0, 30),
    st.lists(st.tuples(st.sampled_from(SCENTS), st.integers(1, 500), st.integers(1, 60)), min_size=1, max_size=4),
)
def test_the_bases_add_up_exactly(name: str, film: float, drawn: list) -> None:
    recipe = replace(demo_recipes.ALL[name](), film_g=film)
    answer = split_scents(recipe, [ScentShare(scent, load / 100, count) for scent, load, count in drawn], judge=silent)
    assert answer.exact_base_g == sum(p.exact_base_g for p in answer.parts) == sum(mass for _, mass in answer.base)
    for part, (_, load, count) in zip(answer.parts, drawn, strict=True):
        one = (
            Fraction(str(recipe.fill_ml))
            * Fraction(str(recipe.density_g_per_ml))
            * (1 + Fraction(str(recipe.loss_percent)) / 100)
        )
        assert part.exact_mass_g == count * one + Fraction(str(film))
        assert part.exact_base_g + part.exact_scent_g == part.exact_mass_g
        assert part.exact_scent_g == part.exact_mass_g * load / 10_000
        assert sum(Fraction(str(x.percent)) for x in part.recipe.lines) == 100
        assert part.scent_g == pytest.approx(part.base_g * part.load_on_base_percent / 100)


def test_the_table_has_a_row_a_scent() -> None:
    frame = split_scents(WASH, SHARES).to_frame()
    assert list(frame["scent"]) == ["Scent 1", "Scent 2", "Scent 3"]
    assert frame["labels"].sum() == 24
    assert frame["stops"].sum() == 0
