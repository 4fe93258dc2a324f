"""The first screens without a browser: what one container costs along the batch size, and the recipes of a workshop."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from demo_workshop import demo

from maker_kit.plan import make_plan, purchase
from maker_kit.workbook.panels.formula import formula_panel
from maker_kit.workbook.panels.start import start_panel
from maker_kit.workbook.size_cost import size_cost

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"


@pytest.fixture(scope="module")
def shop():
    return demo()


@pytest.mark.parametrize("size", [1, 12, 50])
def test_the_chosen_size_costs_what_its_own_shopping_list_costs(shop, size: int) -> None:
    plan = make_plan(shop, "r2-gel-cream", batch_size=size)
    cost = size_cost(plan)
    assert cost.settled
    assert cost.each == pytest.approx([float(purchase(plan).unit_cash_micros) / 1e6] * 2)


def test_what_stays_on_the_tools_is_lost_once_a_batch(shop) -> None:
    recipe = replace(shop.recipe("r2-gel-cream"), film_g=40.0)
    plan = make_plan(shop, recipe, batch_size=12)
    cost = size_cost(plan)
    assert cost.each == pytest.approx([float(purchase(plan).unit_cash_micros) / 1e6] * 2)
    assert cost.point.cost_micros <= cost.view.curve.at(12).cost_micros  # twelve batches of one lose twelve films


def test_an_empty_name_is_the_first_recipe_of_any_workshop(shop) -> None:
    other = replace(shop, recipes={"mine": replace(shop.recipe("r4-balm"), name="mine", title="Mine")})
    assert "Mine" in formula_panel(other).answer.value
    assert "1 recipe:" in start_panel(other).answer.value


def test_the_first_notebook_tells_every_recipe_once_and_leads_to_the_notebooks(shop, monkeypatch) -> None:
    monkeypatch.setenv("MAKER_KIT_HEADLESS", "1")  # everything is worked out
    panel = start_panel(shop, folder=NOTEBOOKS)
    assert [plan.recipe.name for plan in panel.plans.values()] == list(shop.recipes)
    assert "8 recipes: ■ 2 stopped" in panel.answer.value  # versions 1 and 2 of the cleansing water: methyl eugenol
    for path in NOTEBOOKS.glob("*.ipynb"):
        assert f'href="{path.name}"' in panel.map.value
    assert "unknown, never fine" in panel.trust.value
