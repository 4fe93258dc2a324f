"""Controls dragged at random while the background works: what stands there at last is what a panel begun with the same
values shows. The same in Chromium, over every slider of every notebook: `tests/browser/drags.py`, by hand.
"""

from __future__ import annotations

import random
from time import sleep

import pytest
from demo_workshop import demo

from maker_kit.workbook.panels.formula import formula_panel
from maker_kit.workbook.panels.make_or_buy import make_or_buy_panel

RECIPES = ("r1b-hand-wash", "r2-gel-cream", "r4-balm")


@pytest.fixture(scope="module")
def shop():
    return demo()


def drag(rng: random.Random, sliders: list, recipe: object, moves: int) -> None:
    """Move controls, some at once after another and some after a rest."""
    for _ in range(moves):
        control = rng.choice([*sliders, recipe])
        if control is recipe:
            recipe.value = rng.choice(RECIPES)
        elif not control.slider.disabled:
            wide = round((control.slider.max - control.slider.min) / control.slider.step)
            control.slider.value = control.slider.min + rng.randint(0, wide) * control.slider.step
        sleep(rng.choice((0, 0, 0.03, 0.15, 0.3)))


def levels(sliders: object) -> dict[str, float]:
    """What the sliders of a recipe stand at."""
    both = {"fragrance_load": sliders.load, "thickener_level": sliders.thickener}
    return {name: slider.value for name, slider in both.items() if not slider.slider.disabled}


@pytest.mark.parametrize("seed", range(4))
def test_the_formula_at_last_is_that_of_its_controls(shop, seed: int) -> None:
    rng, panel = random.Random(seed), formula_panel(shop, RECIPES[seed % 3], batch_size=4)
    panel.tabs.selected_index = seed
    moved = [panel.sliders.size, panel.sliders.load, panel.sliders.thickener]
    panel.sliders.size.reach(4, 1, 12, 1)
    drag(rng, moved, panel.sliders.recipe, 8)
    assert panel.wait()
    recipe, size = panel.sliders.recipe.value, panel.sliders.size.value
    fresh = formula_panel(shop, recipe, batch_size=size, **levels(panel.sliders))
    assert fresh.wait()
    fresh.tabs.selected_index = seed
    for place in ("answer", "stops"):
        assert getattr(panel, place).value == getattr(fresh, place).value
    for place in ("picture", "curve"):
        assert getattr(panel, place).image.value == getattr(fresh, place).image.value


@pytest.mark.parametrize("seed", range(4))
def test_the_curve_at_last_is_that_of_its_controls(shop, seed: int) -> None:
    rng, panel = random.Random(100 + seed), make_or_buy_panel(shop, RECIPES[seed % 3], batches=4, upto=6)
    panel.tabs.selected_index = seed % 2  # the shopping list, or part by part
    of_recipe = [panel.sliders.load, panel.sliders.thickener]
    drag(rng, [*of_recipe, panel.count, panel.minutes, panel.rate], panel.sliders.recipe, 8)
    assert panel.wait()
    begun = make_or_buy_panel(shop, panel.sliders.recipe.value, batches=panel.count.value, upto=6)
    for here, there in zip((panel.minutes, panel.rate), (begun.minutes, begun.rate), strict=True):
        there.slider.value = here.value
    for name, slider in (("fragrance_load", begun.sliders.load), ("thickener_level", begun.sliders.thickener)):
        if name in levels(panel.sliders):
            slider.slider.value = levels(panel.sliders)[name]
    begun.tabs.selected_index = seed % 2
    assert begun.wait()
    for place in ("answer", "stops", "words", "state", ("basket", "parts")[seed % 2]):
        assert getattr(panel, place).value == getattr(begun, place).value, place
    assert panel.picture.image.value == begun.picture.image.value
