"""Colours in the US: the lists (21 CFR 73, 74, 82) are not on file, so each colour is told to be unknown."""

from __future__ import annotations

import pytest
from formula.judged_recipes import BODY, recipe, thing

from maker_kit.formula.notes.flags import judge_recipe


@pytest.mark.parametrize(
    ("inci", "function", "told"),
    [
        ("CI 77491", "active", True),
        ("FD&C Blue No. 1", "active", True),
        ("D&C Red No. 33", "active", True),
        ("Ext. D&C Violet No. 2", "active", True),
        ("D and C Yellow 10", "active", True),
        ("Carmine", "colour", True),
        ("Glycerin", "humectant", False),
        ("D-Panthenol", "active", False),
    ],
)
def test_a_colour_is_unknown_in_the_us_by_any_of_its_names(inci: str, function: str, told: bool) -> None:
    made = recipe("x", BODY, {"It": 0.1}, extra=(thing("It", inci, function),))
    assert ("law.us_colours" in {f.code for f in judge_recipe(made, (), "US").findings}) is told
    assert "law.us_colours" not in {f.code for f in judge_recipe(made, (), "EU").findings}
