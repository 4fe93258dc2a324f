"""A plan opens its mixtures once, and its findings are told apart by their code and what they are about."""

from __future__ import annotations

from collections import Counter

import pytest

from maker_kit.formula.inside import composition
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
