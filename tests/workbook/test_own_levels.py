"""A recipe whose levels have more digits than a slider's steps, and no balance, as pasted texts give them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from maker_kit.errors import RecipeError
from maker_kit.workbook.panels.own import report
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.panels.thickness import thickness_panel
from maker_kit.workshop import Workshop, find_workshop

NAME, SCENT, GUM = "r5-hand-lotion", "Scent 3", "Xanthan gum"
LEVELS = {SCENT: 0.4941, GUM: 0.3023, "Water": 69.7036}
"""The water gives what scent and gum take beside the demo's 0.5 and 0.3: 69.70 + 0.0059 - 0.0023."""


@pytest.fixture(scope="module")
def shop() -> Workshop:
    demo = find_workshop("")
    recipe = demo.recipe(NAME)
    lines = tuple(
        replace(line, balance=False, percent=LEVELS.get(line.ingredient, line.percent)) for line in recipe.lines
    )
    return replace(demo, recipes={NAME: replace(recipe, lines=lines)})


def test_sliders_that_were_not_moved_leave_the_recipe_as_it_is(shop: Workshop) -> None:
    plan = RecipeSliders(shop, NAME).plan()
    assert {name: plan.recipe.percent_of(name) for name in LEVELS} == LEVELS


def test_a_slider_that_was_moved_says_what_is_missing(shop: Workshop) -> None:
    sliders = RecipeSliders(shop, NAME)
    begun = sliders.load.value
    sliders.load.slider.value = 0.6
    with pytest.raises(RecipeError, match="balance"):
        sliders.plan()
    sliders.load.slider.value = begun  # as far as the box shows it
    assert sliders.plan().recipe.percent_of(SCENT) == LEVELS[SCENT]
    sliders.load.slider.value = 0.5  # where the page moves the handle by itself: it knows only whole steps
    assert sliders.plan().recipe.percent_of(SCENT) == LEVELS[SCENT]


def test_the_thickness_of_a_recipe_without_a_balance_is_looked_up(shop: Workshop) -> None:
    gel = find_workshop("").recipe("r2-gel-cream")
    lines = tuple(replace(line, balance=False) for line in gel.lines)
    panel = thickness_panel(replace(shop, recipes={gel.name: replace(gel, lines=lines)}))
    assert panel.fault.value == ""
    assert "a spread of 9.1 cm" in panel.places["answer"].value  # as read at 0.6 %


def test_with_a_balance_what_was_moved_is_what_counts(shop: Workshop) -> None:
    sliders = RecipeSliders(find_workshop(""), NAME)
    sliders.load.slider.value, sliders.thickener.slider.value = 0.6, 0.4
    recipe = sliders.plan().recipe
    assert (recipe.percent_of(SCENT), recipe.percent_of(GUM)) == (0.6, 0.4)


def test_the_report_is_asked_for_no_level_that_was_not_moved(
    shop: Workshop, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    asked: list[list[str]] = []
    monkeypatch.setattr(report, "own_folder", lambda _: tmp_path)
    monkeypatch.setattr(
        report.subprocess, "run", lambda words, **_: asked.append(words) or SimpleNamespace(returncode=0, stdout="a\nb")
    )
    report.write_report(RecipeSliders(shop, NAME).plan(), 4)
    assert not [word for word in asked[0] if word.startswith(("fragrance_load", "thickener_level"))]
