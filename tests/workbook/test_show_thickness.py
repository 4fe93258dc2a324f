"""Thickness in the notebooks: one verdict in all of them, the curve that is chosen, what each way of reading shows."""

from __future__ import annotations

import pytest

from maker_kit.verdict import make_plan
from maker_kit.workbook import show_thickness
from maker_kit.workshop import find_workshop

GEL = "r2-gel-cream"


@pytest.fixture(scope="module")
def shop():
    return find_workshop("")


@pytest.mark.parametrize("level", [0.3, 0.4, 0.6, 0.8, 0.825, 0.826, 0.827, 0.828, 0.829, 0.88, 0.886, 0.938, 0.94, 0.943, 0.944, 1.0, 1.1, 1.3, 2.0])
def test_both_notebooks_say_the_same_of_a_level(shop, level: float) -> None:
    plan = make_plan(shop, GEL, thickener_level=level)
    (told,) = [f for f in plan.findings if f.topic == "thickness"]
    shown = show_thickness.ladder_sheet(shop, plan.recipe).frame
    assert f"{told.text}\n→ {told.next_step}".removesuffix("\n→ ") in set(shown["what was found"])


def test_the_advice_at_0_60_names_both_ways(shop) -> None:
    (told,) = [f for f in make_plan(shop, GEL).findings if f.topic == "thickness"]
    # by hand: 0.80 + 0.20·(7.0 − 6.4)/(7.0 − 5.6) = 0.886; 0.80 + 0.20·ln(7.0/6.4)/ln(7.0/5.6) = 0.880
    assert "thinner than the shop's 6.4 cm" in told.text
    assert told.next_step.startswith("raise to 0.886 % (straight line between readings; 0.880 % along their logarithms; wall 1.00)")
