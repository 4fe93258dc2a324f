"""Every recipe of the demo as it is first looked at, when hardly anything is proved: what is said then is never taken
back, and what is open is said to be open.
"""

from __future__ import annotations

from functools import cache

import pytest
from demo_figures import DEMO_RECIPES, WASH_PAYS

from maker_kit.plan import CurveView, curve_view, make_plan
from maker_kit.workbook.shown.counts import counts_in_words
from maker_kit.workbook.shown.make_or_buy import runs_in_containers
from maker_kit.workshop import find_workshop

UPTO = 48
LOOKS_S = (1e-9, 0.035)
"""The least there is, and the first look at a screen [s]."""


@cache
def shop() -> object:
    return find_workshop("")


def look(recipe: str, seconds: float) -> CurveView:
    return curve_view(make_plan(shop(), recipe), UPTO, seconds=seconds, close=False)


def counts(runs: tuple[tuple[int, int], ...]) -> set[int]:
    return {n for first, last in runs for n in range(first, last + 1)}


def test_these_are_the_recipes_of_the_demo_but_one_that_is_bought_like_another() -> None:
    assert set(shop().recipes) - set(DEMO_RECIPES) == {"r3v3-cleansing-water"}  # bought from the packs of version 2


@pytest.mark.parametrize("recipe", DEMO_RECIPES)
def test_what_is_said_at_the_first_look_is_never_taken_back(recipe: str) -> None:
    later = look(recipe, 5)
    for seconds in LOOKS_S:
        first = look(recipe, seconds)
        for line, after in zip(first.shop_lines, later.shop_lines, strict=True):
            pays, still = (counts(runs) for runs in runs_in_containers(first, line))
            pays_later, still_later = (counts(runs) for runs in runs_in_containers(later, after))
            assert pays <= pays_later
            assert pays_later | still_later <= pays | still
            words = counts_in_words(*runs_in_containers(first, line))
            assert bool(words) == bool(pays | still)  # else "none up to 48" would be said
            assert ("not known yet" in words) == bool(still)


def test_at_the_first_look_at_the_hand_wash_no_count_that_pays_is_told_not_to() -> None:
    # the demo workshop's own table, solved by two other integer programs
    open_ = set()
    for seconds in LOOKS_S:
        view = look("r1b-hand-wash", seconds)
        for line in view.shop_lines:
            pays, still = (counts(runs) for runs in runs_in_containers(view, line))
            assert pays <= counts(WASH_PAYS[f"{line.price:.2f}"]) <= pays | still
            open_ |= still
    assert open_  # else nothing was tried
