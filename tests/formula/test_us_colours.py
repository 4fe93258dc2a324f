"""Colours in the US: listed for a place or not, as 21 CFR 73 and 74 (Subpart C) say it; a colour of which nothing could
be read is told to be unknown.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import BODY, recipe, thing

from maker_kit.findings import Finding
from maker_kit.formula.notes.flags import judge_recipe
from maker_kit.formula.recipe import ProductType

LIPS, EYE = (ProductType((place,), rinse_off=False) for place in ("lips", "eye area"))


def colours(
    inci: str, product: ProductType = BODY, percent: float = 0.1, function: str = "colour", market: str = "US"
) -> list[Finding]:
    made = recipe("x", product, {"It": percent}, extra=(thing("It", inci, function),))
    return [f for f in judge_recipe(made, (), market).findings if f.code.startswith("law.us_colour")]


@pytest.mark.parametrize(
    ("inci", "function", "told"),
    [
        ("CI 16035", "active", True),
        ("FD&C Blue No. 1", "active", True),
        ("D&C Red No. 7", "active", True),
        ("Ext. D&C Yellow No. 7", "active", True),
        ("D and C Yellow 11", "active", True),
        ("Spirulina Platensis Extract", "colour", True),
        ("Glycerin", "humectant", False),
        ("D-Panthenol", "active", False),
    ],
)
def test_a_colour_that_could_not_be_read_is_unknown_by_any_of_its_names(inci: str, function: str, told: bool) -> None:
    assert [(f.code, f.kind, f.level) for f in colours(inci, function=function)] == (
        [("law.us_colours", "look", "unknown")] if told else []
    )
    assert not colours(inci, function=function, market="EU")


# what each section says: 73.2250, 73.2725, 73.2299, 73.2180, 74.2333, 74.2255, 74.2710, 74.2254, 82.304, 74.2602a
@pytest.mark.parametrize(
    ("inci", "on_body", "on_lips", "at_the_eye"),
    [
        ("CI 77491", "listed", "listed", "listed"),
        ("Carmine", "listed", "listed", "listed"),
        ("CI 77007", "listed", "place", "listed"),
        ("CI 77510", "listed", "place", "listed"),
        ("CI 77288", "listed", "place", "listed"),
        ("Guaiazulene", "listed", "place", "place"),
        ("D&C Red No. 33", "listed", "listed", "place"),
        ("CI 45370:1", "listed", "listed", "place"),
        ("D and C Yellow 10", "listed", "listed", "place"),
        ("CI 15510", "listed", "place", "place"),
        ("FD&C Red No. 4", "listed", "place", "place"),
        ("Ext. D&C Violet No. 2", "listed", "place", "place"),
        ("Tartrazine", "listed", "listed", "listed"),
        ("Erythrosine", "not_listed", "not_listed", "not_listed"),
        ("CI 73015", "not_listed", "not_listed", "not_listed"),
        ("Dihydroxyacetone", "condition", "condition", "condition"),
        ("CI 77266", "condition", "condition", "condition"),
    ],
)
def test_a_colour_is_let_where_its_section_lists_it(inci: str, on_body: str, on_lips: str, at_the_eye: str) -> None:
    for product, expected in ((BODY, on_body), (LIPS, on_lips), (EYE, at_the_eye)):
        (found,) = colours(inci, product)
        assert found.code == f"law.us_colour_{expected}", (inci, product)
        assert (found.kind == "stop") is (expected in {"place", "not_listed"})
        assert found.kind != "know" or "certified" not in found.text


def test_most_on_lips_is_three_and_five_percent() -> None:
    """74.2333(b): 3 % of lip products; 74.2255(b): 5 %."""
    for inci, most in (("D&C Red No. 33", 3.0), ("D&C Orange No. 5", 5.0)):
        assert [f.code for f in colours(inci, LIPS, most)] == ["law.us_colour_listed"]
        assert [(f.code, f.kind) for f in colours(inci, LIPS, most + 0.01)] == [("law.us_colour_most", "stop")]
        assert [f.code for f in colours(inci, BODY, most + 0.01)] == ["law.us_colour_listed"]


def test_an_amount_that_nobody_told_on_lips_is_no_listed_colour() -> None:
    mixture = thing("Paste", "Ricinus Communis Seed Oil, CI 17200", "colour")
    made = recipe("x", LIPS, {"Paste": 10}, "Castor oil", extra=(mixture,))
    codes = {f.code: f.kind for f in judge_recipe(made, (), "US").findings}
    assert codes["law.us_colour_most"] == "stop"  # second of two names: up to 5 % of the whole
    less = replace(made, lines=tuple(replace(x, percent=5.0 if x.ingredient == "Paste" else 95.0) for x in made.lines))
    assert {f.code: f.kind for f in judge_recipe(less, (), "US").findings}["law.us_colour_most"] == "look"


def test_where_nobody_told_where_it_goes_the_strictest_place_counts() -> None:
    assert [f.code for f in colours("CI 77007", replace(BODY, places=()))] == ["law.us_colour_place"]


def test_certified_colours_are_looked_at_and_those_exempt_are_not() -> None:
    assert [f.kind for f in colours("D&C Yellow No. 10")] == ["look"]
    assert [f.kind for f in colours("CI 77492")] == ["know"]
