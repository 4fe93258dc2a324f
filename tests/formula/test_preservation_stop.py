"""Water without a working preservative is a stop that nothing hides. Expected: the demo workshop's findings; the
published amounts named in test_preservation.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import (
    ALL,
    BODY,
    FACE_AND_EYES,
    HANDS,
    INGREDIENTS,
    R1,
    R1B,
    R2,
    R3_V1,
    R3_V2,
    R4,
    R5,
    WASH,
    preservation_stop,
    recipe,
    thing,
)
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.formula.limits.limit import load_limits
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import ProductType
from maker_kit.formula.setting import with_level

BARE = recipe(
    "bare lotion",
    HANDS,
    {"Glycerin": 4, "Sunflower oil": 8, "Antioxidant blend": 0.3, "Scent 3": 0.5},
    scent="Scent 3",
    ph=(5.0, 5.5),
    read=5.2,
)
PRODUCTS = st.builds(
    ProductType,
    st.sampled_from([("hands",), ("body",), ("face", "eye area"), ("lips",), ("hair",), ("baby",)]),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["adults", "small children"]),
)
READINGS = st.one_of(st.none(), st.floats(3, 10))


def test_the_demo_stops_where_it_should_and_only_there() -> None:
    assert {name for name, r in ALL.items() if preservation_stop(r)} == {"R3 v1"}


@given(PRODUCTS, READINGS, READINGS, st.sampled_from([None, 1.0, 24.0]))
def test_no_preservative_stops_whatever_is_set(product, read, edge, months) -> None:
    for changed in (
        replace(
            BARE,
            product_type=product,
            ph_read=read,
            ph_low=edge,
            ph_high=None,
            keeps_months=months,
            title="for own use",
            name="own-use",
        ),
        replace(BARE, ph_read=read, scent="", steps=()),
    ):
        found = preservation_stop(changed)
        assert found is not None
        assert (found.kind, found.level, found.topic) == ("stop", "missing", "preservation")
        assert "own use" in found.text
        assert "every market" in found.text
        assert found.next_step


@given(PRODUCTS, st.one_of(st.none(), st.floats(6.0, 10)), READINGS, READINGS)
def test_a_preservative_that_hardly_works_stops_with_or_without_its_reading_and_band(product, read, low, high) -> None:
    found = preservation_stop(replace(R3_V1, product_type=product, ph_read=read, ph_low=low, ph_high=high))
    assert found is not None
    assert found.kind == "stop"


@pytest.mark.parametrize("r", [r for name, r in ALL.items() if name in {"R1", "R1b", "R3 v1"}], ids=lambda r: r.title)
def test_taking_the_reading_away_never_clears_a_product_that_only_acids_preserve(r) -> None:
    for blank in (replace(r, ph_read=None), replace(r, ph_read=None, ph_low=None, ph_high=None)):
        found = preservation_stop(blank)
        assert found is not None
        assert (found.kind, found.level) in {("stop", "unknown"), ("stop", "under")}
    assert preservation_stop(replace(r, ph_read=7.4)).level == "under"


def test_a_band_in_which_the_acids_sleep_is_said_before_anything_is_read() -> None:
    found = preservation_stop(replace(R3_V1, ph_read=None))
    assert found.level == "under"
    assert "6.4" in found.text


@pytest.mark.parametrize(
    "limits",
    [(), tuple(x for x in load_limits() if x.region != "EU")],
    ids=["no limits at all", "another market than the EU"],
)
def test_the_market_makes_no_difference(limits) -> None:
    for r in (BARE, R3_V1):
        assert any(f.kind == "stop" for f in judge_preservation(r, limits))
        assert preservation_stop(r) is not None


def test_names_do_not_hide_the_water() -> None:
    plain = thing("Spring water", "")
    assert preservation_stop(recipe("mist", BODY, {"Glycerin": 5}, "Spring water", extra=(plain,))).kind == "stop"
    floral = recipe("mist", FACE_AND_EYES, {"Glycerin": 5}, "Rose floral water")
    assert preservation_stop(floral).level == "missing"
    solution = thing("Acid solution", "Citric Acid", made_from=(("Citric acid", 50.0), ("Water", 50.0)))
    assert (
        preservation_stop(
            recipe("balm with a splash", HANDS, {"Acid solution": 2}, "Sunflower oil", extra=(solution,))
        ).kind
        == "stop"
    )


def test_scent_vitamin_e_and_a_trace_of_preservative_do_not_count() -> None:
    assert (
        preservation_stop(recipe("lotion", HANDS, {"Antioxidant blend": 1.0, "Scent 1": 1.0}, scent="Scent 1")).level
        == "missing"
    )
    trace = {
        **INGREDIENTS,
        "Preservative P": replace(INGREDIENTS["Preservative P"], least_percent=0.8, most_percent=1.1),
    }
    assert preservation_stop(with_level(replace(R2, ingredients=trace), "Preservative P", 0.1)).level == "under"
    assert preservation_stop(with_level(replace(R2, ingredients=trace), "Preservative P", 1.0)) is None


def test_what_holds_no_water_or_is_preserved_does_not_stop() -> None:
    for r in (
        R1,
        R1B,
        R2,
        R3_V2,
        R4,
        R5,
        replace(R4, ph_read=None),
        replace(R2, ph_read=None),
        replace(R5, ph_read=None),
    ):
        assert preservation_stop(r) is None
    alcohol = recipe("tonic", WASH, {"Spirit": 60, "Sodium benzoate": 0.1}, extra=(thing("Spirit", "Alcohol"),))
    assert preservation_stop(alcohol) is None  # above 20 % alcohol: low risk by ISO 29621


# agents of Annex V of Regulation (EC) No 1223/2009 that are seldom used: known as preservatives, never "none at all"
@pytest.mark.parametrize(
    "name",
    ["Climbazole", "Chloroxylenol", "Chlorocresol", "o-Phenylphenol", "Hexetidine", "Glutaral", "Silver Citrate"],
)
def test_every_agent_of_annex_v_is_known_as_one(name: str) -> None:
    found = judge_preservation(recipe("wash", WASH, {"Agent": 0.1}, extra=(thing("Agent", name, "preservative"),)))
    assert not {"preservation.missing", "preservation.agent_unknown"} & {f.code for f in found}
    assert any(f.kind == "look" for f in found)


def test_isopropyl_alcohol_lets_nothing_grow_either() -> None:
    spirit = thing("Spirit", "Isopropyl Alcohol", "solvent")
    found = judge_preservation(recipe("rub", HANDS, {"Spirit": 70}, extra=(spirit,)))
    assert not [f for f in found if f.kind == "stop"]


@pytest.mark.parametrize(("read", "stops"), [(9.8, True), (10.7, False)])
def test_liquid_soap_keeps_itself_only_surely_above_ph_10(read: float, stops: bool) -> None:
    """ISO 29621: a pH above 10 is one of low risk; the error of the reading counts."""
    soap = thing("Soap", "Potassium Cocoate", "soap")
    found = judge_preservation(recipe("liquid soap", WASH, {"Soap": 25}, extra=(soap,), read=read))
    missing = next(f for f in found if f.code.startswith("preservation.missing"))
    assert (missing.kind == "stop") is stops
    assert ("ISO 29621" in missing.text) is stops
