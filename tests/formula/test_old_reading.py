"""A reading holds for the recipe it was read of. By hand: unacidified, the demo's hand wash stands at pH 7.4, where 100
/ (1 + 10^(7.4 − 4.2)) = 0.063 % of its benzoic acid is undissociated, and not 11.2 % as at 5.1.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import INGREDIENTS, R1, R1B, R2, R4

from maker_kit.formula.changes.shortage_options import MAKE_UP, SHORT, SMALLER, SWAP, shortage_options
from maker_kit.formula.changes.swap import StandIn, swap, with_stand_in
from maker_kit.formula.preservation.old_reading import is_changed, old_reading, without_old_reading
from maker_kit.formula.recipe import Line, check_sum

ACID = "Citric acid 50 %"


def kinds(findings, subject):
    return {f.kind for f in findings if f.topic == "preservation" and f.subject == subject}


def vouched(findings):
    """What is called fine of an acid."""
    return [f for f in findings if f.topic == "preservation" and f.level == "fine" and "acid" in f.subject]


def test_the_acid_swapped_for_water_takes_the_reading_along() -> None:
    answer = swap(R1, ACID, INGREDIENTS["Water"])
    assert answer.before.ph_read == 5.1
    assert answer.after.ph_read is None
    assert not vouched(answer.findings)
    assert any(f.kind == "stop" and "none was read" in f.text for f in answer.new_findings)
    note = next(f for f in answer.new_findings if f.subject == "pH of the changed recipe")
    assert "5.1" in note.text
    assert "read its pH" in note.next_step
    assert any("5.1, was read before the change" in text for text in answer.to_frame()["after"])
    assert len(vouched(answer.gone_findings)) == 2


def test_of_four_ways_only_the_smaller_batch_keeps_it() -> None:
    answer = shortage_options(R1, {ACID: 2.0}, 4, {ACID: StandIn(INGREDIENTS["Glycerin"])})
    assert answer.option(SMALLER).recipe.ph_read == 5.1
    assert len(vouched(answer.option(SMALLER).findings)) == 2
    for name in (MAKE_UP, SWAP, SHORT):
        way = answer.option(name)
        assert way.recipe.ph_read is None, name
        assert not vouched(way.findings)
        assert any(f.kind == "stop" and f.topic == "preservation" for f in way.new_findings)
        assert kinds(way.new_findings, "pH of the changed recipe") == {"look"}
    table = answer.to_frame().set_index("way")
    assert table.loc[SMALLER, "stops"] == 0
    assert "no reading" in table.loc["make up with water", "new flags"]


def test_what_hardly_depends_on_the_ph_is_looked_at_and_not_stopped() -> None:
    answer = swap(R2, "Propanediol", INGREDIENTS["Glycerin"])
    assert answer.after.ph_read is None
    assert not any(f.kind == "stop" for f in answer.findings)
    assert kinds(answer.new_findings, "pH of the changed recipe") == {"look"}


def test_without_a_reading_there_is_nothing_to_take_away() -> None:
    assert not any(
        f.subject == "pH of the changed recipe"
        for f in swap(R4, "Sweet almond oil", INGREDIENTS["Sunflower oil"]).findings
    )
    assert (
        old_reading(
            replace(R1, ph_read=None), with_stand_in(replace(R1, ph_read=None), ACID, StandIn(INGREDIENTS["Water"]))
        )
        == ()
    )


@pytest.mark.parametrize("recipe", [R1, R1B, R2])
def test_the_same_in_another_order_or_split_over_phases_is_the_same(recipe) -> None:
    first, *rest = recipe.lines
    half = replace(first, percent=first.percent / 2)
    other = check_sum(
        replace(recipe, lines=(*rest, half, Line("Z", first.ingredient, first.percent / 2)), title="again", version="9")
    )
    assert not is_changed(recipe, other)
    assert without_old_reading(recipe, other).ph_read == recipe.ph_read


def test_another_content_under_the_same_name_is_another_recipe() -> None:
    weaker = replace(INGREDIENTS[ACID], made_from=(("Citric acid", 20.0), ("Water", 80.0)))
    assert without_old_reading(R1, replace(R1, ingredients={**R1.ingredients, ACID: weaker})).ph_read is None
