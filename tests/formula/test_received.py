"""Recipe against kit list, kit list against label, label against scale."""

from __future__ import annotations

import re
from fractions import Fraction

import demo_recipes
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_folder, reference_rows

from maker_kit import reference
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.formula.changes.received import check_received
from maker_kit.formula.changes.standing import Standing, allowance
from maker_kit.units import Amount, parse_amount


def test_the_propanediol_pack_of_100_g_nets_83_4_g_beyond_twice_the_allowance() -> None:
    answer = check_received(demo_recipes.gel_cream(), 4, label={"Propanediol": "100 g"}, weighed={"Propanediol": 83.4})
    row = answer.row("Propanediol")
    assert (row.scale_to_pack, row.may_lack) == ("far short", 4.5)  # Directive 76/211/EEC Annex I 2.4
    finding = next(f for f in answer.findings if "scale" in f.text)
    assert "16.6 %" in finding.text
    assert "Annex I sec. 2.4 (e-mark) (read)" in finding.source
    assert finding.kind == "look"


def test_rose_water_of_8_fl_oz_that_nets_236_9_g_is_fine() -> None:
    answer = check_received(
        demo_recipes.cleansing_water(), 4, label={"Rose floral water": "8 fl oz"}, weighed={"Rose floral water": 236.9}
    )
    row = answer.row("Rose floral water")
    assert row.label == pytest.approx(236.4, abs=0.06)
    assert row.scale_to_pack == "fine"
    assert all(f.kind == "know" for f in answer.findings)


def test_a_pack_of_56_7_g_short_by_9_9_g_is_beyond_any_allowance() -> None:
    for market in ("EU", "US"):
        answer = check_received(
            demo_recipes.gel_cream(), 1, label={"Glycerin": 56.7}, weighed={"Glycerin": 46.8}, market=market
        )
        assert answer.row("Glycerin").scale_to_pack in {"short", "far short"}


def test_the_kit_list_is_short_against_the_recipe() -> None:
    answer = check_received(demo_recipes.gel_cream(), 4, listed={"Propanediol": 32, "Glycerin": 30})
    assert (
        answer.row("Propanediol").list_to_recipe,
        answer.row("Glycerin").list_to_recipe,
        answer.row("Water").list_to_recipe,
    ) == ("short", "fine", "not listed")
    assert any("8.77 g more" in f.next_step for f in answer.findings)


def test_a_label_that_differs_from_the_kit_list_is_looked_at() -> None:
    answer = check_received(
        demo_recipes.gel_cream(),
        4,
        listed={"Glycerin": 30, "Propanediol": 45},
        label={"Glycerin": "25 g", "Propanediol": "45 g"},
    )
    assert (answer.row("Glycerin").label_to_list, answer.row("Propanediol").label_to_list) == ("short", "fine")
    assert sum("Kit list against label" in f.text for f in answer.findings) == 1


def test_a_slip_is_never_believed_in_place_of_the_scale() -> None:
    answer = check_received(
        demo_recipes.gel_cream(), 4, listed={"Propanediol": 45}, label={"Propanediol": 45}, weighed={"Propanediol": 40}
    )
    assert answer.row("Propanediol").list_to_recipe == "fine"
    assert any("Recipe against scale" in f.text for f in answer.findings)


def test_no_allowance_on_file_is_unknown_not_fine() -> None:
    by_volume = check_received(
        demo_recipes.cleansing_water(),
        1,
        label={"Rose floral water": "8 fl oz"},
        weighed={"Rose floral water": 230},
        market="US",
    )
    assert by_volume.row("Rose floral water").scale_to_pack == "unknown"
    assert any(f.level == "unknown" for f in by_volume.findings)
    tiny = check_received(demo_recipes.gel_cream(), 1, label={"Glycerin": 3}, weighed={"Glycerin": 2.9})
    assert tiny.row("Glycerin").scale_to_pack == "unknown"


def _middle(text: str) -> list[Fraction]:
    low, _, high = text.replace("–", "-").split(" ")[0].partition("-")
    return [Fraction(low), (Fraction(low) + Fraction(high)) / 2, Fraction(high)]


@pytest.mark.parametrize("row", reference_rows("eu_tolerable_negative_error.csv"), ids=lambda r: r["nominal_g_or_mL"])
def test_every_row_of_the_european_table(row: dict[str, str]) -> None:
    value, percent = re.match(r"([\d.]+) ?(%?)", row["tolerable_negative_error"]).groups()
    for nominal in _middle(row["nominal_g_or_mL"]):
        for basis in ("mass", "volume"):
            found = allowance(Amount(nominal, basis), "EU", reference_folder())
            assert found.amount == (nominal * Fraction(value) / 100 if percent else Fraction(value))
            assert row["checked"] in found.source


@pytest.mark.parametrize(
    "row",
    [
        r
        for r in reference_rows("net_weight_allowances.csv")
        if r["mav_g"][0].isdigit() and r["labelled_range"][0].isdigit()
    ],
    ids=lambda r: r["labelled_range"],
)
def test_every_row_of_the_american_table(row: dict[str, str]) -> None:
    assert allowance(Amount(_middle(row["labelled_range"])[1], "mass"), "US", reference_folder()).amount == Fraction(
        row["mav_g"]
    )


@pytest.mark.parametrize("name", ["eu_tolerable_negative_error.csv", "net_weight_allowances.csv"])
def test_the_workbooks_own_tables_say_where_they_are_from(name: str) -> None:
    assert all(row["source"] and row["checked"] for row in reference.rows(name))


def test_a_small_american_pack_may_lack_a_tenth() -> None:
    assert allowance(parse_amount("20 g"), "US").amount == 2


@pytest.mark.parametrize(
    ("call", "says"),
    [
        ({}, "nothing to compare"),
        ({"weighed": {"Glycerin": -1}}, "0 or more"),
        ({"weighed": {"Glycerin": float("nan")}}, "no number"),
        ({"label": {"Glycerin": "8 oz"}}, "basis is unknown"),
        ({"label": {"container": "4 pieces"}}, "containers and labels"),
        ({"label": {"Unheard": "8 fl oz"}, "weighed": {"Unheard": 200}}, "density"),
    ],
)
def test_senseless_slips_are_refused_in_a_sentence(call, says) -> None:
    with pytest.raises(QuantityError, match=says):
        check_received(demo_recipes.gel_cream(), 4, **call)


def test_a_row_that_is_not_there_names_the_near_miss() -> None:
    with pytest.raises(UnknownNameError, match="market"):
        check_received(demo_recipes.gel_cream(), 4, label={"Glycerin": 30}, market="UK")
    with pytest.raises(UnknownNameError, match='did you mean "Glycerin"'):
        check_received(demo_recipes.gel_cream(), 4, listed={"Glycerin": 30}).row("Glycerine")


@given(st.integers(5, 9999), st.integers(0, 12000))
def test_more_on_the_scale_is_never_worse(label: int, shown: int) -> None:
    order = ("far short", "short", "fine")
    a, b = (
        check_received(demo_recipes.gel_cream(), 1, label={"Glycerin": label}, weighed={"Glycerin": g})
        .row("Glycerin")
        .scale_to_pack
        for g in (shown, shown + 1)
    )
    assert order.index(a) <= order.index(b)


def test_the_table_has_all_three_comparisons() -> None:
    frame = check_received(demo_recipes.gel_cream(), 4, listed={"Glycerin": 30}).to_frame().set_index("what")
    assert {"list against recipe", "label against list", "scale against pack", "scale against recipe"} <= set(
        frame.columns
    )
    assert frame["on the scale"].isna().all()


def test_a_standing_is_a_value_with_words_beside() -> None:
    assert (Standing.FAR_SHORT, str(Standing.FAR_SHORT)) == ("far short", "far short: more than twice what it may lack")
    assert all(str(standing) for standing in Standing)
    answer = check_received(demo_recipes.gel_cream(), 4, weighed={"Glycerin": 9})
    assert {f.code for f in answer.findings} == {"kit.scale_short"}
    assert [f.about for f in answer.findings] == [("Glycerin",)]


def test_containers_are_counted_where_they_are_named_as_such() -> None:
    answer = check_received(
        demo_recipes.gel_cream(),
        4,
        listed={"container": 4},
        weighed={"container": "3"},
        pieces={"container"},
        list_is_label=True,
    )
    row = answer.row("container")
    assert (row.unit, row.need, row.listed, row.found, row.may_lack) == ("pieces", 4, 4, 3, 0)
    assert (row.scale_to_pack, row.scale_to_recipe) == ("short", "short")
    assert {f.code for f in answer.findings if f.about == ("container",)} == {"kit.came_short", "kit.too_few"}
