"""Cautions: each is set off by what a recipe says, and by nothing less. Allergen thresholds: Regulation (EC) 1223/2009
Annex III, 0.001 % left on, 0.01 % rinsed off.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import ALL, HANDS, R1, R2, R3_V1, R4, R5, WASH, recipe, thing

from maker_kit.formula.notes.cautions import cautions
from maker_kit.formula.recipe import ProductType
from maker_kit.formula.substances.naming import published_name


def subjects(r) -> set[str]:
    return {f.subject for f in cautions(r)}


def of(r, subject: str):
    return next(f for f in cautions(r) if f.subject == subject)


@pytest.mark.parametrize(
    ("product", "subject"),
    [
        (ProductType(("face", "eye area"), False), "eye area"),
        (ProductType(("lips",), False), "lips"),
        (ProductType(("baby",), False), "small children"),
        (ProductType(("intimate area",), True), "intimate area"),
        (ProductType(("body",), True, for_whom="small children"), "small children"),
        (ProductType(("body",), False, spray=True), "spray"),
    ],
)
def test_where_it_goes(product, subject) -> None:
    finding = of(replace(R2, product_type=product), subject)
    assert finding.kind == "look"
    assert subject not in subjects(R2)


def test_a_spray_container_makes_a_spray() -> None:
    assert "spray" in subjects(replace(R2, container="100 mL spray bottle"))


@pytest.mark.parametrize("r", ALL.values(), ids=ALL)
def test_every_caution_has_its_source_and_defers(r) -> None:
    for finding in cautions(r):
        assert finding.topic == "caution"
        assert finding.source
        assert "Local law and a qualified safety assessor decide" in finding.next_step
        assert "{" not in finding.text


def test_cautions_of_the_demo_workshop() -> None:
    assert {"hot phases", "nut oils", "scent allergens"} <= subjects(R4)
    assert {"acids", "neat preservatives"} <= subjects(R1)
    assert "hot phases" not in subjects(R1)  # 20–25 °C is cold
    assert "hot phases" in subjects(R5)
    assert {"eye area", "acids"} <= subjects(R3_V1)
    assert "scent allergens" not in subjects(R3_V1)


@pytest.mark.parametrize(
    ("step", "hot"),
    [
        ("Warm to 75 °C", True),
        ("Warm to 75°C", True),
        ("Bring to 167 °F", True),
        ("Melt the wax", True),
        ("Stir at 20–25 °C", False),
        ("Rest 24 h at 20 °C", False),
        ("Chill to 40 °F", False),
    ],
)
def test_hot_phases_from_the_steps(step, hot) -> None:
    assert ("hot phases" in subjects(recipe("x", HANDS, {"Glycerin": 3}, steps=(step,)))) is hot


def test_allergens_over_their_threshold_left_on_and_rinsed_off() -> None:
    # 0.01 % of scent 1: linalool 5 % → 0.0005; limonene 40 % → 0.004
    tiny = recipe("x", HANDS, {"Scent 1": 0.01})
    assert "Limonene" in of(tiny, "scent allergens").text
    assert "Linalool" not in of(tiny, "scent allergens").text
    assert "scent allergens" not in subjects(replace(tiny, product_type=WASH))
    at = recipe("x", HANDS, {"Only": 0.01}, extra=(thing("Only", "Parfum", "scent", {"Linalool": (10, 10)}),))
    assert "scent allergens" not in subjects(at)  # exactly at 0.001 is not over it


def test_a_scent_of_which_nothing_is_known() -> None:
    finding = of(recipe("x", HANDS, {"Plain": 0.5}, extra=(thing("Plain", "Parfum", "scent"),)), "scent allergens")
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert "Plain" in finding.text


@pytest.mark.parametrize(
    ("inci", "listed"),
    [
        ("Lavandula Angustifolia Oil", True),
        ("Rosa Damascena Flower Oil", True),
        ("Cymbopogon Schoenanthus Oil", True),
        ("Citrus Limon Peel Oil", True),
        ("Glycerin", False),
        ("Rosa Damascena Flower Water", False),
    ],
)
def test_allergens_among_essential_oils(inci, listed) -> None:
    r = recipe("x", HANDS, {"It": 0.5}, extra=(thing("It", inci, "essential oil"),))
    assert (
        any(published_name(inci) in f.text for f in cautions(r) if f.subject == "scent allergens" and f.level == "note")
        is listed
    )
    assert "essential oils" in subjects(r)


@pytest.mark.parametrize(
    ("inci", "subject"),
    [
        ("Prunus Amygdalus Dulcis Oil", "nut oils"),
        ("Corylus Avellana Seed Oil", "nut oils"),
        ("Sesamum Indicum Seed Oil", "food allergens"),
        ("Cera Alba", "hot phases"),
        ("Sodium Hydroxide", "alkalis"),
        ("Lactic Acid", "acids"),
        ("Alcohol Denat.", "flammable liquids"),
        ("Phenoxyethanol", "neat preservatives"),
    ],
)
def test_what_a_substance_sets_off(inci, subject) -> None:
    assert subject in subjects(recipe("x", HANDS, {"It": 1}, extra=(thing("It", inci),)))
    assert subject not in subjects(recipe("x", HANDS, {"Glycerin": 1}))


def test_a_nut_oil_inside_a_mixture_is_found() -> None:
    mix = thing(
        "Mix",
        "Tocopherol, Prunus Amygdalus Dulcis Oil",
        "",
        {"Tocopherol": (50, 50), "Prunus Amygdalus Dulcis Oil": (50, 50)},
    )
    assert "nut oils" in subjects(recipe("x", HANDS, {"Mix": 0.2}, extra=(mix,)))


def test_stearic_acid_is_no_acid_to_burn_with() -> None:
    assert "acids" not in subjects(recipe("x", HANDS, {"It": 2}, extra=(thing("It", "Stearic Acid"),)))


def test_nobody_is_told_to_taste_or_try_on_the_eye() -> None:
    for r in ALL.values():
        for finding in cautions(replace(r, product_type=ProductType(("eye area", "lips", "baby"), False, spray=True))):
            assert "taste" not in (finding.text + finding.next_step).casefold()
