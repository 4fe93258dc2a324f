"""A plan opens its mixtures once, and its findings are told apart by their code and what they are about."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from maker_kit.formula.inside import composition
from maker_kit.formula.notes.once import as_told
from maker_kit.plan import make_plan
from maker_kit.workshop import demo_folder, load_workshop

RECIPES = ("r1b-hand-wash", "r2-gel-cream", "r5-hand-lotion")


@pytest.fixture(scope="module")
def shop():
    return load_workshop(demo_folder())


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


@pytest.mark.parametrize("name", ["r1-hand-wash", "r4-balm"])
def test_the_avoid_list_is_one_row_a_code_without_repeating_itself(shop, name) -> None:
    told = [f for f in as_told(make_plan(shop, name).findings) if f.topic == "avoid"]
    assert len({f.code for f in told}) == len(told)
    for row in told:
        sentences = [s.strip() for s in row.text.replace("is told, so", ".").split(".") if s.strip()]
        assert len(set(sentences)) == len(sentences), row.text
