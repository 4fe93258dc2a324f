"""Clashes and the avoid-list among a plan's notes: there, of the right kind, and each thing said once."""

from __future__ import annotations

from dataclasses import replace

import pytest
from demo_figures import DEMO_RECIPES

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.findings import KINDS
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.setting import with_ingredient
from maker_kit.plan.needs_cost import judge_in
from maker_kit.plan.notes import avoid_findings, used_in_time
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.plan.shopping.leftovers import further_batches
from maker_kit.workshop import Workshop, find_workshop
from maker_kit.workshop.things import Avoided

GEL, BALM, LOTION, WASH = "r2-gel-cream", "r4-balm", "r5-hand-lotion", "r1-hand-wash"


@pytest.fixture(scope="module")
def workshop() -> Workshop:
    return find_workshop("")


def planned(workshop: Workshop, recipe: Recipe) -> Plan:
    return make_plan(workshop, recipe)


def of_topic(plan: Plan, topic: str) -> list:
    return [f for f in plan.findings if f.topic == topic]


def test_the_guests_almond_and_the_cleaners_alcohol_are_notes_of_a_plan(workshop) -> None:
    # the demo's avoid-list: a guest avoids almond, a cleaner benzyl alcohol; the balm holds sweet almond oil, the
    # lotion's preservative holds benzyl alcohol
    balm = {f.subject: f for f in of_topic(make_plan(workshop, BALM), "avoid")}
    lotion = {f.subject: f for f in of_topic(make_plan(workshop, LOTION), "avoid")}
    assert set(balm) == set(lotion) == {"a guest: almond", "a cleaner: benzyl alcohol"}
    assert "Sweet almond oil" in balm["a guest: almond"].text
    assert "Preservative B" in lotion["a cleaner: benzyl alcohol"].text
    assert {balm["a guest: almond"].kind, lotion["a cleaner: benzyl alcohol"].kind} == {"look"}


def test_a_scent_that_nobody_has_told_all_of_leaves_it_unknown_and_never_fine(workshop) -> None:
    found = of_topic(make_plan(workshop, GEL), "avoid")
    assert [(f.kind, f.level) for f in found] == [("look", "unknown")]  # the whole avoid-list in one row
    assert {row.avoid for row in workshop.avoid} <= set(found[0].about)


def test_a_gel_former_that_meets_a_salt_is_a_note_of_the_plan(workshop) -> None:
    # the betaine solution brings 4 to 6 % sodium chloride, and an electrolyte thins an acrylic gel (common practice)
    recipe = with_ingredient(workshop.recipe(GEL), "Propanediol", workshop.ingredient("Betaine 30 % solution"))
    assert [(f.kind, f.subject) for f in of_topic(planned(workshop, recipe), "clash")] == [
        ("look", "acrylic gel former with salt")
    ]
    assert not of_topic(make_plan(workshop, GEL), "clash")


@pytest.mark.parametrize("ph", [6.6, None])
def test_a_benzoate_that_hardly_works_or_is_unread_is_said_by_the_preservation_alone(workshop, ph) -> None:
    plan = planned(workshop, replace(workshop.recipe(WASH), ph_read=ph))
    assert any(f.kind != "know" for f in of_topic(plan, "preservation"))
    assert not of_topic(plan, "clash")
    assert clashes(plan.recipe)  # without those notes the clash is said


def test_a_thick_gel_in_a_foamer_is_said_once(workshop) -> None:
    recipe = replace(workshop.recipe(GEL), container="250 mL foamer")
    plan = planned(workshop, recipe)
    assert sum("foamer" in f.text.casefold() for f in plan.findings) == 1
    assert [f.subject for f in clashes(recipe)] == ["thick product in a foamer"]


def test_an_empty_avoid_list_says_nothing_and_a_row_said_twice_is_said_once(workshop) -> None:
    assert avoid_findings(replace(workshop, avoid=()), workshop.recipe(BALM)) == ()
    twice = replace(workshop, avoid=(workshop.avoid[0], workshop.avoid[0]))
    assert len(avoid_findings(twice, workshop.recipe(BALM))) == 1


def test_a_row_without_a_word_is_a_sentence(workshop) -> None:
    with pytest.raises(QuantityError, match="write a word"):
        make_plan(replace(workshop, avoid=(Avoided("a guest", "!", ""),)), BALM)


@pytest.mark.parametrize("name", DEMO_RECIPES)
def test_the_gravest_stands_first_and_a_judge_says_what_a_plan_says(workshop, name) -> None:
    plan = make_plan(workshop, name, batch_size=4)
    order = [KINDS.index(f.kind) for f in plan.findings]
    assert order == sorted(order)
    assert judge_in(workshop)(workshop.recipe(name), 4) == plan.findings
    assert len(set(plan.findings)) == len(plan.findings)


@pytest.mark.parametrize(("containers", "code"), [(434, "keeping.fine"), (435, "keeping.fine"), (436, "keeping.over")])
def test_keeping_time_against_use_is_one_exact_rule_for_everybody(workshop, containers, code) -> None:
    # 4.35 months at 100 a month are 435 to the piece; in binary floats 4.35 · 100 is a little less
    recipe = replace(workshop.recipe(WASH), keeps_months=4.35, use_per_month=100.0)
    plan = make_plan(workshop, recipe, batch_size=containers)
    assert [f.code for f in plan.findings if f.topic == "keeping"] == [code]
    assert used_in_time(recipe) == 435
    assert further_batches(make_plan(workshop, recipe, batch_size=5), 7) == 435 // 5 - 7
    assert used_in_time(replace(recipe, use_per_month=None)) is None


def test_a_scent_is_looked_up_in_one_way(workshop) -> None:
    assert workshop.scent("SCENT  2") is workshop.ingredient("Scent 2")
    for ask in (lambda: workshop.scent("Glycerin"), lambda: make_plan(workshop, WASH, scent="Glycerin")):
        with pytest.raises(UnknownNameError, match='no scent "Glycerin"'):
            ask()


def test_a_recipe_that_is_there_already_needs_no_name(workshop) -> None:
    recipe = replace(workshop.recipe(WASH), title="changed")
    assert make_plan(workshop, recipe).recipe is recipe
