"""Which blend of two emulsifiers to start with for a recipe."""

from __future__ import annotations

from dataclasses import replace

import pytest

from maker_kit.errors import NoticeError, QuantityError, UnknownNameError
from maker_kit.formula.emulsion.blend_choice import choose_blend, own_value
from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe

OILS = {"Castor oil": 20.0, "Stearic acid": 5.0, "Cetyl alcohol": 5.0}
"""A cream with 30 % of oils: required HLB 14 (from memory), 15 and 15 (read)."""


def cream(oils: dict[str, float] = OILS, water: str = "Aqua") -> Recipe:
    things = {name: Ingredient(name, (), "oil", None) for name in oils} | {
        "Water": Ingredient("Water", (water,), "solvent", 0.998)
    }
    lines = (
        Line("A", "Water", 100 - sum(oils.values()), balance=True),
        *(Line("B", name, percent) for name, percent in oils.items()),
    )
    return Recipe("cream", "Cream", "1", lines, things, ProductType(("hands",), rinse_off=False), "jar", 100, 0.98)


def test_the_share_follows_from_the_mean_of_the_oil_phase() -> None:
    # by hand: (20·14 + 5·15 + 5·15) / 30 = 430 / 30 = 14.333; sorbitan oleate 4.3 and polysorbate 80 15: share of
    # the first (14.333 − 15) / (4.3 − 15) = 6.23 %
    answer = choose_blend(cream(), "Sorbitan oleate", "Polysorbate 80", total_percent=4)
    assert answer.aimed_at == pytest.approx(430 / 30)
    assert not answer.own_aim
    assert answer.blend.first_percent == pytest.approx(6.2305, abs=1e-3)
    assert answer.blend.first_of_whole == pytest.approx(0.24922, abs=1e-4)
    assert answer.blend.first_of_whole + answer.blend.second_of_whole == pytest.approx(4)
    frame = answer.to_frame()
    assert list(frame["HLB"]) == [4.3, 15.0]
    assert frame["source"].str.contains("Griffin").all()


def test_an_unknown_oil_gives_no_blend_until_it_is_given_or_an_hlb_is_aimed_at() -> None:
    recipe = cream({"Castor oil": 10.0, "Unheard oil": 10.0})
    unknown = choose_blend(recipe, "Sorbitan oleate", "Polysorbate 80")
    assert (unknown.blend, unknown.aimed_at, unknown.own_aim) == (None, None, False)
    assert {f.level for f in unknown.findings if f.kind == "look"} == {"unknown"}
    assert unknown.to_frame()["of the blend %"].isna().all()
    # (10·14 + 10·6) / 20 = 10
    assert choose_blend(
        recipe, "Sorbitan oleate", "Polysorbate 80", own_oils={"Unheard oil": (6, "its supplier")}
    ).aimed_at == pytest.approx(10)
    aimed = choose_blend(recipe, "Sorbitan oleate", "Polysorbate 80", 9.65)
    assert aimed.blend.first_percent == pytest.approx(50)  # half way between 4.3 and 15
    assert aimed.own_aim
    assert any(f.level == "unknown" for f in aimed.findings)


def test_sources_that_differ_are_shown_with_what_they_would_change() -> None:
    # beeswax: 12 as read, 9 in an older list from memory; polysorbate 80 15 and sorbitan oleate 4.3:
    # (12 − 15) / (4.3 − 15) = 28.0 %, (9 − 15) / (4.3 − 15) = 56.1 %
    answer = choose_blend(cream({"Beeswax": 10.0}), "Sorbitan oleate", "Polysorbate 80")
    texts = [f.text for f in answer.findings if f.kind == "look"]
    assert any("Sources differ on the required HLB of Beeswax" in t for t in texts)
    assert any("9.0 to 12.0" in t and "56.1 %" in t and "28.0 %" in t for t in texts)


def test_an_own_value_of_an_emulsifier_wins_and_the_published_one_stands_beside_it() -> None:
    answer = choose_blend(
        cream(), "Sorbitan oleate", "Polysorbate 80", 10, own_emulsifiers={"Sorbitan oleate": (5.0, "its supplier")}
    )
    assert answer.blend.first_percent == pytest.approx(50)  # half way between 5 and 15
    frame = answer.to_frame()
    assert list(frame["use"]) == ["used", "other source", "used"]
    assert any("Sources differ on the HLB of Sorbitan oleate" in f.text for f in answer.findings)


def test_another_aim_than_the_oil_phase_asks_for_is_looked_at() -> None:
    answer = choose_blend(cream(), "Sorbitan oleate", "Polysorbate 80", 10)
    assert any("asks for 14.3, and 10 is aimed at" in f.text for f in answer.findings)


def test_no_water_leaves_nothing_to_emulsify() -> None:
    balm = cream({"Beeswax": 100.0})
    balm = replace(balm, lines=tuple(line for line in balm.lines if line.percent))
    assert any("holds no water" in f.text for f in choose_blend(balm, "Sorbitan oleate", "Polysorbate 80").findings)


def test_a_value_for_what_is_not_there_is_said_not_dropped() -> None:
    answer = choose_blend(cream(), "Sorbitan oleate", "Polysorbate 80", own_oils={"Castor oyl": 5})
    assert any("Castor oyl is not in this oil phase" in f.text for f in answer.findings)


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        ({"first": "Sorbitan oleate", "second": "Sorbitan stearate"}, QuantityError, "lies outside"),
        ({"first": "Polysorbate 80", "second": "Polysorbate 80"}, QuantityError, "named twice"),
        ({"first": "Sorbitan oleat", "second": "Polysorbate 80"}, UnknownNameError, 'did you mean "Sorbitan oleate"'),
        ({"first": "Sorbitan oleate", "second": "Polysorbate 80", "aim": 60}, QuantityError, "between 0 and 50"),
        ({"first": "Sorbitan oleate", "second": "Polysorbate 80", "total_percent": 0}, QuantityError, "above 0"),
        ({"first": "Sorbitan oleate", "second": "Polysorbate 80", "aim": float("nan")}, QuantityError, "no number"),
    ],
)
def test_senseless_pairs_are_refused_in_a_sentence(call, error, says) -> None:
    with pytest.raises(error, match=says):
        choose_blend(cream(), **call)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7", (7.0, "the maker's own")),
        ("7,5", (7.5, "the maker's own")),
        ("7.5, supplier's sheet", (7.5, "supplier's sheet")),
        (" 7 (a leaflet) ", (7.0, "a leaflet")),
    ],
)
def test_an_own_value_is_read_with_where_it_is_from(text, value) -> None:
    assert own_value(text, "Castor oil") == value


@pytest.mark.parametrize("text", ["", "seven", "about 7", "7 8"])
def test_what_is_no_value_is_a_sentence(text) -> None:
    with pytest.raises(NoticeError, match="is no HLB of Castor oil"):
        own_value(text, "Castor oil")
