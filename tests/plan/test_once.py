"""A plan opens its mixtures once, and its findings are told apart by their code and what they are about."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from demo_workshop import demo
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.findings import KINDS, look
from maker_kit.formula.inside import composition
from maker_kit.formula.notes.once import as_told
from maker_kit.plan import make_plan

RECIPES = ("r1b-hand-wash", "r2-gel-cream", "r5-hand-lotion")


@pytest.fixture(scope="module")
def shop():
    return demo()


@pytest.mark.parametrize("name", RECIPES)
def test_a_plan_opens_each_ingredient_once(shop, name, monkeypatch) -> None:
    opened: Counter[str] = Counter()
    open_one = composition.open_ingredient

    def counting(ingredient, known=None):
        opened[ingredient.name] += 1
        return open_one(ingredient, known)

    monkeypatch.setattr(composition, "open_ingredient", counting)
    make_plan(shop, name)
    assert opened == Counter({line.ingredient for line in shop.recipe(name).lines})


@pytest.mark.parametrize("name", RECIPES)
def test_findings_are_told_apart_without_their_words(shop, name) -> None:
    found = Counter((f.code, f.about) for f in make_plan(shop, name).findings)
    assert {k: n for k, n in found.items() if n > 1} == {}


def test_no_challenge_test_is_said_once_and_by_no_work_on_sentences(shop) -> None:
    plan = make_plan(shop, "r2-gel-cream")
    raw = [f for f in plan.findings if f.topic == "preservation" and f.brief]
    assert raw
    assert all("challenge test" in f.text and "challenge test" not in f.brief for f in raw)
    assert sum("No challenge test was made" in f.text for f in as_told(plan.findings)) == 1
    reworded = [replace(f, text=f"{f.text} x") if f.brief else f for f in plan.findings]
    assert sum("No challenge test was made" in f.text for f in as_told(reworded)) == 1


@pytest.mark.parametrize("name", ["r1-hand-wash", "r4-balm", "r5-hand-lotion"])
def test_the_avoid_list_is_one_row_without_repeating_itself(shop, name) -> None:
    plan = make_plan(shop, name)
    (row,) = (f for f in as_told(plan.findings) if f.topic == "avoid")
    assert row.kind == min((f.kind for f in plan.findings if f.topic == "avoid"), key=KINDS.index)
    assert {entry.avoid for entry in shop.avoid} <= set(row.about)
    assert row.code == ("avoid.undisclosed" if name == "r1-hand-wash" else "avoid.found")
    sentences = [s.strip() for s in row.text.replace("is told, so", ".").split(".") if s.strip()]
    assert len(set(sentences)) == len(sentences), row.text


def test_what_is_found_stays_apart_for_the_gate_where_it_is_shown_in_one_row(shop) -> None:
    plan = make_plan(shop, "r5-hand-lotion")
    assert {"avoid.found", "avoid.undisclosed"} == {f.code for f in plan.findings if f.topic == "avoid"}


WEAK = look("preservation.reach", ("Phenoxyethanol",), "Weak.", level="under")
UNDISCLOSED = look(
    "preservation.undisclosed", ("Phenoxyethanol", "Blend"), "Undisclosed.", level="unknown", next_step="Ask."
)
WORSE = look(
    "preservation.undisclosed_and_dissociated", ("Benzoic acid", "Blend"), "Too high.", next_step="Ask, and acid."
)
NO_PAPER = look("scent.no_ceiling", ("Lavender", "9"), "No ceiling.", level="unknown")
NO_LIST = look("caution.allergens_unknown", ("Lavender",), "No list.", level="unknown")
NO_LAW = look("limit.no_law_on_file", "US", "No limits.", level="unknown")
NO_COLOURS = look("law.us_colours", "CI 77491", "No colours.", level="unknown")


def test_rows_that_ask_one_thing_are_shown_as_one_and_nothing_is_left_out() -> None:
    found = (WEAK, NO_LAW, UNDISCLOSED, NO_PAPER, WORSE, NO_COLOURS, NO_LIST)
    shown = as_told(found)
    assert [f.about for f in shown] == [
        ("Phenoxyethanol", "Blend", "Benzoic acid"),
        ("US", "CI 77491"),
        ("Lavender", "9"),
    ]
    assert all(any(f.text in row.text for row in shown) for f in found)
    assert shown[0].next_step == "Ask, and acid."


@given(st.permutations([WEAK, UNDISCLOSED, WORSE, NO_PAPER, NO_LIST, NO_LAW, NO_COLOURS]), st.integers(0, 7))
def test_the_order_of_findings_changes_no_row(order, stops) -> None:
    found = tuple(replace(f, kind="stop") if k < stops else f for k, f in enumerate(order))
    rows = as_told(found)
    assert {f.text for f in rows if f.kind == "stop"} == {f.text for f in found if f.kind == "stop"}
    if not stops:
        assert len(rows) == 3
