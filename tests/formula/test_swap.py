"""A swap: the sum stays 100, the new one's own limits count, and it is marked untested."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import demo_recipes
import pytest
from formula.judged_recipes import BODY, HANDS, INGREDIENTS, R1B, R2, R4, R5, SCENT_1, SCENT_2, recipe, thing
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, RecipeError, UnknownNameError
from maker_kit.formula.changes.swap import StandIn, swap, with_stand_in
from maker_kit.formula.recipe import Recipe, check_sum
from maker_kit.formula.setting import with_level


def silent(recipe: Recipe, containers: int) -> tuple:
    return ()


def test_another_scent_brings_its_own_limit() -> None:
    strong = with_level(R2, "Scent 1", 1.2)  # scent 1 may go to 1.8 on hands, scent 2 only to 1.0
    answer = swap(strong, "Scent 1", SCENT_2)
    assert answer.after.scent == "Scent 2"
    assert answer.after.percent_of("Scent 2") == 1.2
    assert any(f.kind == "stop" and f.topic == "scent" and f.limit_percent == 1.0 for f in answer.new_findings)
    assert any(f.kind == "stop" and f.subject.startswith("Citronellal") for f in answer.new_findings)
    assert not any("Scent 1" in f.text and f.topic == "scent" for f in answer.findings)


def new_on_label(here, there) -> set[str]:
    """Allergens that one label names and the other does not."""
    return {a.substance for a in here if a.on_label} - {a.substance for a in there if a.on_label}


def test_allergens_that_come_and_go_are_named() -> None:
    answer = swap(R2, "Scent 1", SCENT_2)
    assert set(new_on_label(answer.allergens_after, answer.allergens_before)) == {"Citronellol", "Geraniol"}
    assert set(new_on_label(answer.allergens_before, answer.allergens_after)) == {"Citral", "Limonene"}
    back = swap(answer.after, "Scent 2", SCENT_1)
    assert set(new_on_label(back.allergens_before, back.allergens_after)) == {"Citronellol", "Geraniol"}


def test_every_swap_is_marked_untested() -> None:
    answer = swap(R4, "Sweet almond oil", StandIn(INGREDIENTS["Sunflower oil"], 1, "no nut oil; keeps less long"))
    finding = next(f for f in answer.findings if f.topic == "swap")
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert "untested" in finding.text
    assert "no nut oil; keeps less long" in finding.text


def test_the_balance_may_be_swapped_gram_for_gram_and_stays_the_balance() -> None:
    after = swap(R4, "Sweet almond oil", INGREDIENTS["Sunflower oil"]).after
    assert next(x.ingredient for x in after.lines if x.balance) == "Sunflower oil"
    assert after.percent_of("Sunflower oil") == R4.percent_of("Sweet almond oil")
    with pytest.raises(RecipeError, match="gram for gram"):
        swap(R4, "Sweet almond oil", StandIn(INGREDIENTS["Sunflower oil"], 0.9))


def test_a_ratio_is_paid_by_the_balance() -> None:
    after = with_stand_in(R2, "Propanediol", StandIn(INGREDIENTS["Glycerin"], 0.6))
    assert after.percent_of("Glycerin") == pytest.approx(3 + 5 * 0.6)
    assert after.percent_of("Water") == pytest.approx(R2.percent_of("Water") + 5 * 0.4)
    assert len([x for x in after.lines if x.ingredient == "Glycerin"]) == 1
    with pytest.raises(UnknownNameError):
        after.percent_of("Propanediol")


def test_density_is_that_of_the_new_recipe() -> None:
    before = demo_recipes.gel_cream()
    answer = swap(before, "Propanediol", before.ingredients["Glycerin"], silent)
    expected = 100 / (
        sum(x.percent / before.ingredients[x.ingredient].density_g_per_ml for x in before.lines) - 5 / 1.053 + 5 / 1.261
    )
    assert answer.density_after.density_g_per_ml == pytest.approx(expected)
    unknown = swap(
        before, "Propanediol", replace(before.ingredients["Glycerin"], name="New", density_g_per_ml=None), silent
    )
    assert unknown.density_after.density_g_per_ml is None
    assert "New not known" in " ".join(unknown.to_frame()["after"])


def test_a_known_clash_appears_with_its_kind_and_source() -> None:
    salt = thing("Salt", "Sodium Chloride")
    answer = swap(R2, "Glycerin", salt)
    clash = next(f for f in answer.new_findings if f.topic == "clash")
    assert (clash.kind, clash.source) == ("look", "common practice, no source")
    assert "Salt" in clash.text
    assert answer.clashes == (clash,)


def test_losing_the_preservative_in_a_swap_is_a_stop() -> None:
    answer = swap(R2, "Preservative P", INGREDIENTS["Glycerin"])
    assert any(f.kind == "stop" and f.topic == "preservation" for f in answer.new_findings)


def test_a_scent_of_unknown_inside_is_unknown_not_free_of_allergens() -> None:
    answer = swap(R5, "Scent 3", thing("Mystery", "Parfum", "scent"))
    assert "Mystery" in new_on_label(answer.allergens_after, answer.allergens_before)
    assert any(f.level == "unknown" and f.topic == "scent" for f in answer.new_findings)


@pytest.mark.parametrize(
    ("old", "stand_in", "error", "says"),
    [
        ("Propandiol", INGREDIENTS["Glycerin"], UnknownNameError, 'did you mean "Propanediol"'),
        ("Propanediol", INGREDIENTS["Propanediol"], RecipeError, "stand in for itself"),
        ("Propanediol", StandIn(INGREDIENTS["Glycerin"], 0), QuantityError, "above 0"),
        ("Propanediol", StandIn(INGREDIENTS["Glycerin"], float("nan")), QuantityError, "no number"),
        ("Propanediol", StandIn(INGREDIENTS["Glycerin"], 99), RecipeError, "below zero"),
    ],
)
def test_senseless_swaps_are_refused_in_a_sentence(old, stand_in, error, says) -> None:
    with pytest.raises(error, match=says):
        swap(R2, old, stand_in)


def test_a_recipe_without_a_balance_swaps_only_gram_for_gram() -> None:
    fixed = replace(R2, lines=tuple(replace(x, balance=False) for x in R2.lines))
    check_sum(swap(fixed, "Propanediol", INGREDIENTS["Xanthan gum"], silent).after)
    with pytest.raises(RecipeError, match="no line marked as the balance"):
        swap(fixed, "Propanediol", StandIn(INGREDIENTS["Xanthan gum"], 0.5), silent)


@settings(max_examples=80, deadline=None)
@given(st.sampled_from([R1B, R2, R4, R5]), st.data())
def test_a_swap_keeps_the_sum_whatever_is_swapped(before: Recipe, data: st.DataObject) -> None:
    old = data.draw(st.sampled_from([x.ingredient for x in before.lines]))
    new = data.draw(st.sampled_from([n for n in INGREDIENTS if n != old]))
    balance = next(x.ingredient for x in before.lines if x.balance)
    ratio = data.draw(st.floats(0.1, 1.5)) if balance not in {old, new} else 1.0
    held = before.percent_of(old)
    assume(old == balance or new == balance or before.percent_of(balance) + held * (1 - ratio) >= 0)
    after = swap(before, old, StandIn(INGREDIENTS[new], ratio), silent).after
    assert sum(Fraction(str(x.percent)) for x in after.lines) == 100
    assert old not in {x.ingredient for x in after.lines}
    assert all(x.percent >= 0 for x in after.lines)
    if ratio == 1:
        mine = sum(x.percent for x in before.lines if x.ingredient == new)
        assert after.percent_of(new) == pytest.approx(before.percent_of(old) + mine, abs=1e-5)


def test_only_new_places_bring_new_limits() -> None:
    body = recipe("body lotion", BODY, {"Scent 2": 1.2, "Glycerin": 3}, scent="Scent 2")
    hands = recipe("hand lotion", HANDS, {"Scent 1": 1.2, "Glycerin": 3}, scent="Scent 1")
    assert not any(
        f.kind == "stop" and f.topic == "scent" for f in swap(hands, "Glycerin", INGREDIENTS["Propanediol"]).findings
    )
    assert not any(f.kind == "stop" and f.topic == "scent" for f in swap(body, "Scent 2", SCENT_1).findings)
    assert any(f.kind == "stop" and f.topic == "scent" for f in swap(hands, "Scent 1", SCENT_2).findings)
