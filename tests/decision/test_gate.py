"""The gate: what is unknown, missing or against blocks, each step by itself, and no step is ever called safe."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from complete import DAY, EU_FACTS, FACTS, WASH, complete, gate_of
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.decision.gate_step import APART, NOT_ASKED, STEPS
from maker_kit.decision.need import NOTHING_FOUND
from maker_kit.workshop.csv.paper_tables import ASSESSED
from maker_kit.workshop.papers import Paper

EVERY = {**FACTS, **EU_FACTS}
FULL = complete()


def opened(shop, recipe=WASH) -> set[str]:
    return {step.step for step in gate_of(shop, recipe).steps if step.is_open}


def test_with_every_fact_on_file_own_use_gift_and_sale_are_open() -> None:
    assert opened(FULL) == set(STEPS)


@pytest.mark.parametrize("fact", EVERY)
def test_a_fact_taken_away_closes_its_step_and_all_after_it(fact) -> None:
    take, first = EVERY[fact]
    after = STEPS[STEPS.index(first) :]
    assert opened(take(FULL)) == set(STEPS) - set(after)


@given(st.sets(st.sampled_from(sorted(EVERY)), min_size=1))
@settings(max_examples=10, deadline=None)
def test_the_gate_never_opens_on_an_unknown(taken) -> None:
    shop = FULL
    for fact in sorted(taken):
        shop = EVERY[fact][0](shop)
    first = min(STEPS.index(EVERY[fact][1]) for fact in taken)
    assert opened(shop) <= set(STEPS[:first])


@given(st.integers(0, 10**6))
@settings(max_examples=10, deadline=None)
def test_papers_taken_away_in_any_number_never_open_a_step(seed) -> None:
    kept = tuple(p for place, p in enumerate(FULL.papers) if seed >> place % 20 & 1)
    shop = replace(FULL, papers=kept)
    assert opened(shop) <= opened(FULL)
    for step in gate_of(shop).steps:
        assert step.is_open == (
            step.answer != NOT_ASKED and not step.waits_for and all(n.state == NOTHING_FOUND for n in step.needs)
        )


@pytest.mark.parametrize(
    ("place", "for_whom", "step"),
    [
        ("eye area", "adults", "eyes"),
        ("lips", "adults", "lips"),
        ("baby", "adults", "under three"),
        ("hands", "small children", "under three"),
    ],
)
def test_eyes_lips_and_under_three_stand_apart_and_close_even_own_use(place, for_whom, step) -> None:
    recipe = FULL.recipes[WASH]
    kind = replace(recipe.product_type, places=(place,), for_whom=for_whom)
    shop = replace(FULL, recipes={**FULL.recipes, WASH: replace(recipe, product_type=kind)})
    found = gate_of(shop)
    assert not found.step(step).is_open
    assert step in found.step("own use").waits_for
    assert not opened(shop)


def test_a_spray_is_asked_for_an_assessment_of_what_is_breathed_in() -> None:
    recipe = FULL.recipes[WASH]
    shop = replace(
        FULL, recipes={**FULL.recipes, WASH: replace(recipe, product_type=replace(recipe.product_type, spray=True))}
    )
    assert not opened(shop)
    assert [need.code for need in gate_of(shop).step("spray").unmet] == ["spray.assessment"]
    paper = Paper("spray assessment", DAY, WASH, recipe.version, by="somebody", qualification="invented")
    after = gate_of(replace(shop, papers=(*shop.papers, paper)))
    assert after.step("spray").is_open
    assert after.step("own use").waits_for == ()


def test_a_place_it_does_not_go_to_is_not_open_but_not_asked() -> None:
    for name in APART:
        assert gate_of(FULL).step(name).answer == NOT_ASKED


def test_a_paper_for_another_version_or_without_one_counts_for_nothing() -> None:
    for version in ("", "2"):
        papers = tuple(replace(p, version=version) if p.paper == "patch test" else p for p in FULL.papers)
        assert not opened(replace(FULL, papers=papers))


def test_a_slider_makes_it_another_product_of_which_no_paper_speaks() -> None:
    from maker_kit.plan.plan import set_recipe

    assert not opened(FULL, set_recipe(FULL, WASH, fragrance_load=0.6))


def test_an_open_deviation_closes_the_gift_until_it_is_settled() -> None:
    paper = Paper("deviation", DAY, WASH, "1", about=("batch 02",))
    assert opened(replace(FULL, papers=(*FULL.papers, paper))) == {"own use"}
    settled = replace(paper, closed_on=date(2026, 4, 1))
    assert opened(replace(FULL, papers=(*FULL.papers, settled))) == set(STEPS)


def test_no_paper_answers_a_stop() -> None:
    recipe = FULL.recipes["r3v1-cleansing-water"]
    names = tuple(line.ingredient for line in recipe.lines)
    sheet = Paper("supplier's sheet", DAY, about=names)
    others = [Paper(kind, DAY, recipe.name, recipe.version) for kind in ("patch test", *ASSESSED)]
    shop = replace(FULL, papers=(*FULL.papers, sheet, *others))
    assert "own.stop" in {need.code for need in gate_of(shop, recipe).step("own use").unmet}
    assert not opened(shop, recipe)


def test_someone_who_avoids_what_is_in_it_is_told_before_it_is_given() -> None:
    codes = {need.code for need in gate_of(FULL, "r5-hand-lotion").step("gift").unmet}
    assert "gift.people_told" in codes
    told = Paper("people told", DAY, "r5-hand-lotion", "1", about=("a cleaner",))
    shop = replace(FULL, papers=(*FULL.papers, told))
    assert "gift.people_told" not in {need.code for need in gate_of(shop, "r5-hand-lotion").step("gift").unmet}


def test_the_watch_of_the_demo_stops_the_gel_cream_for_thinning_in_the_warm() -> None:
    """Spread at 40 °C: 6.6 cm on the first day, 7.9 cm after 28, which is 19.7 % more."""
    need = next(n for n in gate_of(FULL, "r2-gel-cream").step("gift").needs if n.code == "gift.watch")
    assert need.state == "against"
    assert need.rests_on == ("watch.csv, row 14",)


def test_in_the_eu_a_safety_assessor_and_in_the_us_adequate_substantiation_is_asked_for() -> None:
    """Regulation (EC) No 1223/2009, Article 10 and Annex I; 21 CFR 740.10 and FD&C Act section 608."""
    eu = {n.code: n for n in gate_of(replace(complete(), papers=())).step("sale").needs}
    us = {n.code: n for n in gate_of(replace(complete("US"), papers=())).step("sale").needs}
    assert "Article 10 and Annex I" in eu["sale.safety_assessment"].source
    assert "safety assessor" in eu["sale.safety_assessment"].who
    assert "740.10" in us["sale.safety_substantiation"].source
    assert "608" in us["sale.safety_substantiation"].source
    assert "sale.safety_assessment" not in us
    assert "sale.notification" not in us


def test_us_law_that_is_not_on_file_leaves_every_step_closed() -> None:
    assert not opened(complete("US"))


def test_gift_and_sale_have_duties_of_their_own_in_words_with_sources() -> None:
    for market in ("EU", "US"):
        words = gate_of(complete(market)).words
        assert {"own use", "gift", "sale"} == {row["step"] for row in words}
        assert all(row["source"] and row["checked"] for row in words)


def test_no_step_is_ever_called_safe() -> None:
    for name in FULL.recipes:
        for step in gate_of(FULL, name).steps:
            assert " safe" not in step.sentence().replace("safety", "")
            for need in step.unmet:
                assert need.next_step
