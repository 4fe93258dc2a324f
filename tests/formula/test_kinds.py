"""What a thing is, decided once: wet, dry or unknown; a scent; an oil. Common practice, no source, unless a test says
otherwise.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import ALL, HANDS, R2, R3_V1, R4, preservation_stop, recipe, thing
from hypothesis import given
from hypothesis import strategies as st

from maker_kit import reference
from maker_kit.formula.kinds import DRY, UNKNOWN, WET, holds_many, is_essential_oil, is_fatty, is_scent, wetness
from maker_kit.formula.notes.cautions import cautions
from maker_kit.formula.preservation.agents import is_preservative
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import LEAST_USUAL_PERCENT, Certificate, Share
from maker_kit.formula.setting import with_level


@pytest.mark.parametrize(
    "inci",
    [
        "Goat Milk",
        "Caprae Milk",
        "Rosa Damascena Flower Water",
        "Lavandula Angustifolia Hydrolate",
        "Aqua (Water)",
        "Maris Aqua",
        "Eau",
        "Aloe Barbadensis Leaf Juice",
        "Hamamelis Virginiana Distillate",
        "Nymphaea Alba Water Lily Extract",
    ],
)
def test_whatever_is_wet_by_its_name_is_wet_for_everybody(inci: str) -> None:
    # each of these was water for one list and no water for another: the recipe said "no water in it" beside a stop
    it = thing("It", inci)
    made = recipe("x", HANDS, {"It": 5}, "Sunflower oil", extra=(it,))
    assert wetness(it) == made.wetness == WET
    assert made.holds_water
    assert preservation_stop(made).code == "preservation.missing"


@pytest.mark.parametrize(
    "inci",
    ["Goat Milk Powder", "Aloe Barbadensis Leaf Juice Powder", "Glycerin", "Cera Alba", "Citronellal", "Coumarin"],
)
def test_what_is_dry_by_its_name_stays_dry(inci: str) -> None:
    assert wetness(thing("It", inci)) == DRY


@pytest.mark.parametrize("name", ["Aquaxyl", "Zyxwor Filtrate"])
def test_what_no_table_knows_is_not_taken_for_dry(name: str) -> None:
    assert wetness(thing("It", name)) == UNKNOWN


def test_a_name_that_stands_for_water_is_wet_beside_an_ingredient_of_that_name() -> None:
    # the INCI cell said "Water" and another ingredient was called so: the recipe said "no water in it"
    it = thing("It", "Water")
    assert wetness(it, {"Water": thing("Water", "Aqua"), "It": it}) == WET


def test_what_nobody_has_told_is_neither_wet_nor_dry_unless_its_name_says_water() -> None:
    assert wetness(thing("Base", "")) == UNKNOWN
    assert wetness(thing("Spring water", "")) == WET
    balm = recipe("x", HANDS, {"Base": 5}, "Sunflower oil", extra=(thing("Base", ""),))
    assert balm.wetness == UNKNOWN
    assert not balm.holds_water
    assert [(f.kind, f.code, f.about) for f in judge_preservation(balm)] == [
        ("look", "preservation.water_unknown", ("Base",))
    ]


def test_wetness_is_read_through_what_a_thing_is_made_from_and_holds() -> None:
    water, milk, base = thing("Water", "Aqua"), thing("Goat milk", "Goat Milk"), thing("Base", "")
    known = {i.name: i for i in (water, milk, base)}
    mixed = thing("Mix", "Citric Acid", made_from=(("Citric acid", 50.0), ("Water", 50.0)))
    assert (wetness(mixed, known), wetness(mixed)) == (WET, DRY)
    assert wetness(replace(mixed, made_from=(("Citric acid", 100.0), ("Water", 0.0))), known) == DRY
    assert wetness(replace(mixed, made_from=(("Base", 100.0),)), known) == UNKNOWN
    assert wetness(replace(mixed, inside=(Share("goat milk", 1.0, 2.0),)), known) == WET
    circle = replace(water, inci=("Glycerin",), made_from=(("Mix", 100.0),))
    assert wetness(replace(mixed, made_from=(("Water", 100.0),)), {"Water": circle, "Mix": mixed}) == DRY


def test_the_demo_s_balm_is_the_only_dry_recipe() -> None:
    assert {name for name, r in ALL.items() if r.wetness == DRY} == {"R4"}


@given(st.sampled_from(["Aqua", "Goat Milk", "Rosa Canina Hydrosol"]), st.floats(0.01, 90))
def test_adding_what_is_wet_never_leaves_a_recipe_dry(inci: str, percent: float) -> None:
    made = recipe("x", HANDS, {"It": round(percent, 2)}, "Sunflower oil", extra=(thing("It", inci),))
    assert made.wetness == WET
    assert not any(f.code == "preservation.no_water" for f in judge_preservation(made))


@pytest.mark.parametrize(
    ("it", "scent"),
    [
        (thing("It", "Parfum"), True),
        (thing("It", "Fragrance", "active"), True),
        (thing("It", "Lavandula Angustifolia Oil", "Essential Oil"), True),
        (thing("It", "Glycerin", certificates=(Certificate(49, "9", 1.0),)), True),
        (thing("It", "Glycerin", "humectant"), False),
    ],
)
def test_a_scent_is_told_once(it, scent: bool) -> None:
    assert is_scent(it) is scent
    made = recipe("x", HANDS, {"It": 0.5}, extra=(it,))
    assert made.scents == (("It",) if scent else ())
    assert replace(made, scent="It").scents == ("It",)  # or by the recipe's own word


def test_a_pressed_oil_beside_a_scent_is_no_scent_of_plants() -> None:
    carried = thing("It", "Parfum, Prunus Amygdalus Dulcis Oil", "scent")
    assert is_fatty("Prunus Amygdalus Dulcis Oil")
    assert not holds_many("Prunus Amygdalus Dulcis Oil")
    assert "caution.essential_oil" not in {f.code for f in cautions(recipe("x", HANDS, {"It": 0.5}, extra=(carried,)))}
    plant = replace(carried, inci=("Parfum", "Lavandula Angustifolia Oil"))
    assert is_essential_oil("Lavandula Angustifolia Oil")
    (found,) = [
        f for f in cautions(recipe("x", HANDS, {"It": 0.5}, extra=(plant,))) if f.code == "caution.essential_oil"
    ]
    assert found.about == ("It",)


@pytest.mark.parametrize("r", [r for r in ALL.values() if preservation_stop(r)], ids=lambda r: r.title)
def test_the_stop_says_for_whom_it_holds_wherever_it_is_shown(r) -> None:
    first, *rest = judge_preservation(r)
    assert preservation_stop(r) == first
    assert "own use" in first.text
    assert not any("own use" in f.text for f in rest)


def test_findings_of_one_recipe_are_told_apart_by_code_and_what_they_are_about() -> None:
    for r in (*ALL.values(), replace(R3_V1, ph_read=None), with_level(R2, "Preservative P", 0.1), R4):
        found = [(f.kind, f.code, f.about) for f in judge_preservation(r)]
        assert len(set(found)) == len(found)


def test_what_preserves_is_told_by_a_code_of_the_table() -> None:
    rows = reference.rows("preservatives.csv")
    assert {row["code"] for row in rows} == {"acid", "steady", "none"}
    assert all(bool(row["acid"]) is (row["code"] == "acid") for row in rows)
    assert [is_preservative(n) for n in ("Sodium Benzoate", "Phenoxyethanol", "Tocopherol", "Glycerin")] == [
        True,
        True,
        False,
        False,
    ]


def test_one_level_below_which_is_asked() -> None:
    from maker_kit.formula.pasted import amounts
    from maker_kit.plan.plan import asked_level

    assert amounts.LEAST_USUAL_PERCENT is LEAST_USUAL_PERCENT
    assert asked_level(0.01, "a level") == 0.01  # exactly the bound: the float 0.01 is not below it
