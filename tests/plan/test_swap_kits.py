"""What a swap costs beside a kit: a kit in another number on the two shopping lists is said: it moves the cost."""

from __future__ import annotations

import pytest

from maker_kit.plan.swap import likely_swap, plan_swap
from maker_kit.workbook.shown.swap import swap_answer
from maker_kit.workshop import find_workshop

GEL, WASH = "r2-gel-cream", "r1b-hand-wash"


@pytest.mark.parametrize("containers", [1, 4, 8])
def test_a_kit_that_is_bought_in_another_number_before_than_after_is_said(containers: int) -> None:
    shop = find_workshop("")
    planned = plan_swap(shop, GEL, "Propanediol", "Glycerin", containers)
    before, after = (
        {(line.pack, line.count) for line in cost.basket.lines if "Kit" in line.pack}
        for cost in (planned.cost_before, planned.cost_after)
    )
    assert {name for finding in planned.findings for name in finding.about} == {name for name, _ in before ^ after}
    assert {finding.code for finding in planned.findings} <= {"swap.kit_changes"}
    assert bool(planned.findings) == (containers != 1)  # 4 jars take two kits before the swap and one after it
    assert ("kits" in swap_answer(planned)) == bool(planned.findings)


def test_a_swap_to_look_at_first_is_one_that_the_workshop_lists_else_another_scent() -> None:
    shop = find_workshop("")
    assert likely_swap(shop, shop.recipe(GEL)) == ("Propanediol", "Glycerin")  # swaps.csv
    old, new = likely_swap(shop, shop.recipe(WASH))
    assert old == "Scent 3"
    assert new in {"Scent 1", "Scent 2"}
