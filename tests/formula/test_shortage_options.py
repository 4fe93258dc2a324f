"""A short bottle: four ways side by side, and none of them needs more than there is."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction

import demo_figures
import demo_recipes
import pytest
from formula.judged_recipes import R2
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit.errors import QuantityError, RecipeError, UnknownNameError
from maker_kit.formula.batch import needs_g
from maker_kit.formula.changes.shortage_options import MAKE_UP, SHORT, SMALLER, SWAP, Shortage, shortage_options
from maker_kit.formula.changes.swap import StandIn
from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe, check_sum
from maker_kit.formula.setting import with_thickener_level

# The demo workshop: kit 2, with its jars
KIT_2 = {**demo_figures.KIT_2, "container": 4}
GLYCERIN = StandIn(demo_recipes.gel_cream().ingredients["Glycerin"], 1.0, "tackier")


def silent(recipe: Recipe, containers: int) -> tuple:
    return ()


def kit_2(have=KIT_2, level: float | None = None, judge=silent) -> Shortage:
    recipe = demo_recipes.gel_cream() if level is None else with_thickener_level(demo_recipes.gel_cream(), level)
    return shortage_options(recipe, have, 4, {"Propanediol": GLYCERIN}, judge)


def test_kit_2_has_four_ways_in_their_order() -> None:
    answer = kit_2()
    assert [w.code for w in answer.options] == [SMALLER, MAKE_UP, SWAP, SHORT]
    assert all(w.possible for w in answer.options)
    assert answer.short == ("Propanediol",)


def test_a_smaller_batch_is_three_jars_as_written() -> None:
    way = kit_2().option(SMALLER)
    assert way.containers == 3
    assert way.batch_mass_g == pytest.approx(3 * 200 * 0.98 * 1.04)
    assert way.recipe == demo_recipes.gel_cream()
    assert "0.785" in way.text
    assert "3.14" in way.text


def test_made_up_with_water_the_humectant_falls_to_3_9_percent_and_the_preservative_stays() -> None:
    way = kit_2().option(MAKE_UP)
    assert way.containers == 4
    assert way.recipe.percent_of("Propanediol") == pytest.approx(100 * 32 / 815.36, abs=1e-5)
    assert round(way.recipe.percent_of("Propanediol"), 1) == 3.9
    assert way.recipe.percent_of("Preservative P") == 1.0
    assert way.recipe.percent_of("Water") == pytest.approx(78.7 + 5 - 100 * 32 / 815.36, abs=1e-5)


def test_a_part_swap_takes_8_8_g_of_glycerin_and_brings_it_to_4_1_percent() -> None:
    way = shortage_options(demo_recipes.gel_cream(), {"Propanediol": 32}, 4, {"Propanediol": GLYCERIN}, silent).option(
        SWAP
    )
    assert way.containers == 4
    assert round(way.recipe.percent_of("Glycerin"), 1) == 4.1
    assert "8.8 g of Glycerin for 8.8 g of Propanediol (tackier)" in way.text
    assert float(way.exact_needs_g["Glycerin"]) == pytest.approx(0.03 * 815.36 + 40.768 - 32, abs=1e-4)
    assert any(f.subject == "Glycerin" and "untested" in f.text for f in way.findings)


def test_when_the_kit_lacks_the_stand_in_too_the_swap_says_so_and_shrinks() -> None:
    way = kit_2().option(SWAP)  # 33.2 g of glycerin for four jars, 30 in the kit
    assert way.containers == 3
    assert way.exact_needs_g["Glycerin"] <= 30
    assert "Then Glycerin is what runs out (30 g there)" in way.text
    assert round(way.recipe.percent_of("Glycerin"), 1) == 4.1


def test_left_short_the_batch_is_lighter_and_the_rest_rises() -> None:
    way = kit_2().option(SHORT)
    mass = 815.36 - (40.768 - 32)
    assert way.batch_mass_g == pytest.approx(mass, abs=1e-3)
    assert way.containers == 3
    assert way.recipe.percent_of("Propanediol") == pytest.approx(100 * 32 / mass, abs=1e-4)
    assert way.recipe.percent_of("Preservative P") == pytest.approx(815.36 / mass, abs=1e-5)


def test_the_second_shortage_seen_after_the_slider_is_made_up_at_0_858_percent() -> None:
    answer = kit_2(level=0.886)
    assert answer.short == ("Propanediol", "Gel former")
    assert math.floor(answer.option(MAKE_UP).recipe.percent_of("Gel former") * 1000) / 1000 == 0.858
    assert answer.option(MAKE_UP).containers == 4
    assert "may stand in for Gel former" in answer.option(SWAP).text


def test_flags_run_again_a_risen_preservative_may_break_its_limit() -> None:
    cream = replace(
        R2,
        lines=tuple(
            replace(x, percent=1.08)
            if x.ingredient == "Preservative P"
            else replace(x, percent=78.62)
            if x.balance
            else x
            for x in R2.lines
        ),
    )
    check_sum(cream)
    way = shortage_options(cream, {"Light triglyceride": 0}, 4).option(
        SHORT
    )  # 6 % left out: 1.08 → 1.149 %, phenoxyethanol 1.057 > 1.0
    assert any(f.kind == "stop" and f.subject.startswith("Phenoxyethanol") for f in way.new_findings)
    assert not any(
        f.kind == "stop" for f in shortage_options(cream, {"Light triglyceride": 0}, 4).option(MAKE_UP).findings
    )


def test_without_its_preservative_every_way_that_holds_water_is_stopped() -> None:
    answer = shortage_options(R2, {"Preservative P": 0}, 4)
    for name in (MAKE_UP, SHORT):
        assert any(f.kind == "stop" and f.topic == "preservation" for f in answer.option(name).new_findings)
    assert not answer.option(SMALLER).possible


def test_the_balance_itself_cannot_be_made_up() -> None:
    answer = shortage_options(demo_recipes.ready_base_wash(), {"Wash base": 800, "Scent 3": 14}, 4, judge=silent)
    assert [w.possible for w in answer.options] == [True, False, False, True]
    assert (
        shortage_options(demo_recipes.balm(), {"Beeswax": 30}, 4, judge=silent).options[1].name
        == "make up with Sweet almond oil"
    )
    assert "itself what is short" in answer.option(MAKE_UP).text
    assert answer.option(SMALLER).containers == 3


def test_a_recipe_without_a_balance_line_is_told_so() -> None:
    recipe = replace(
        demo_recipes.gel_cream(), lines=tuple(replace(x, balance=False) for x in demo_recipes.gel_cream().lines)
    )
    assert (
        "no line marked as the balance"
        in shortage_options(recipe, {"Propanediol": 32}, 4, judge=silent).options[1].text
    )


def test_short_of_jars_only_a_smaller_batch_is_left() -> None:
    answer = shortage_options(demo_recipes.gel_cream(), {**KIT_2, "Propanediol": 50, "container": 2}, 4, judge=silent)
    assert [w.possible for w in answer.options] == [True, False, False, False]
    assert answer.option(SMALLER).containers == 2


def test_enough_has_no_ways() -> None:
    answer = shortage_options(demo_recipes.gel_cream(), {**KIT_2, "Propanediol": 50}, 4)
    assert (answer.options, answer.short) == ((), ())
    with pytest.raises(UnknownNameError, match="nothing is short"):
        answer.option(SMALLER)


@pytest.mark.parametrize(
    ("have", "makes", "says"),
    [
        ({"Propanediol": -1}, 4, "0 or more"),
        ({"Propanediol": math.nan}, 4, "no number"),
        ({"Sand": 3}, 4, "holds nothing"),
        ({"Propanediol": 32}, 0, "container"),
        ({"Propanediol": "32 fl"}, 4, "32 fl"),
        ({"Propanediol": "3 pieces"}, 4, "weighed or measured"),
    ],
)
def test_senseless_stock_is_refused_in_a_sentence(have, makes, says) -> None:
    with pytest.raises(QuantityError, match=says):
        shortage_options(demo_recipes.gel_cream(), have, makes)


def test_a_stand_in_that_the_balance_cannot_pay_for_is_refused() -> None:
    with pytest.raises(RecipeError, match="below zero"):
        shortage_options(
            demo_recipes.gel_cream(), {"Propanediol": 0}, 4, {"Propanediol": StandIn(GLYCERIN.ingredient, 40.0)}, silent
        )


@pytest.mark.parametrize(
    "row",
    [r for r in reference_rows("rescale_when_short.csv") if r["example"].startswith("formula")],
    ids=lambda r: r["example"],
)
def test_the_worked_example_of_a_smaller_batch_comes_out(row: dict[str, str]) -> None:
    found = re.fullmatch(
        r"formula ([0-9./]+) %, plan ([0-9.]+) g; have only ([0-9.]+) g of the ([0-9.]+) % item \(needs ([0-9.]+)\)",
        row["example"],
    )
    result = re.fullmatch(r"factor [0-9./]+=([0-9.]+) -> ([0-9.]+) g batch: ([0-9./]+)", row["result"])
    assert found
    assert result
    percents = found[1].split("/")
    things = {p: Ingredient(p, (f"Thing {p}",), "") for p in percents}
    recipe = Recipe(
        "x",
        "x",
        "1",
        tuple(Line("A", p, float(p)) for p in percents),
        things,
        ProductType(("hands",), rinse_off=True),
        "box",
        1,
        1.0,
        fill_g=1.0,
    )
    way = shortage_options(recipe, {found[4]: float(found[3])}, int(found[2]), judge=silent).option(SMALLER)
    assert way.batch_mass_g == pytest.approx(float(result[2]))
    assert [float(mass) for mass in way.exact_needs_g.values()] == pytest.approx(
        [float(m) for m in result[3].split("/")]
    )


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(["R1", "R2", "R4", "R5"]), st.integers(1, 30), st.floats(0, 30), st.data())
def test_no_way_needs_more_than_there_is_and_every_sum_stays_100(
    name: str, makes: int, film: float, data: st.DataObject
) -> None:
    recipe = replace(demo_recipes.ALL[name](), film_g=film)
    needs = needs_g(recipe, makes)
    items = data.draw(st.lists(st.sampled_from(sorted(needs)), min_size=1, unique=True))
    have = {
        item: needs[item] * data.draw(st.fractions(min_value=0, max_value=Fraction(3, 2), max_denominator=50))
        for item in items
    }
    lines = [line.ingredient for line in recipe.lines if not line.balance]
    other = data.draw(st.sampled_from(lines))
    stand_ins = {
        n: StandIn(recipe.ingredients[other])
        for n in data.draw(st.lists(st.sampled_from(lines), unique=True))
        if n != other
    }
    for way in shortage_options(recipe, have, makes, stand_ins, silent).options:
        if not way.possible:
            assert way.recipe is None
            continue
        check_sum(way.recipe)
        assert sum(Fraction(str(line.percent)) for line in way.recipe.lines) == 100
        assert all(way.exact_needs_g.get(item, 0) <= have[item] for item in have)
        assert sum(way.exact_needs_g.values()) == way.exact_batch_g
        assert way.containers <= makes
        assert way.containers == 0 or (
            way.containers
            * Fraction(str(recipe.fill_ml))
            * Fraction(str(recipe.density_g_per_ml))
            * (1 + Fraction(str(recipe.loss_percent)) / 100)
            + Fraction(str(film))
            <= way.exact_batch_g
        )


def test_nothing_is_changed_in_what_was_given() -> None:
    have, recipe = dict(KIT_2), demo_recipes.gel_cream()
    lines = recipe.lines
    shortage_options(recipe, have, 4, {"Propanediol": GLYCERIN}, silent)
    assert (have, recipe.lines) == (KIT_2, lines)


def test_the_tables_show_all_ways_side_by_side() -> None:
    answer = kit_2()
    assert list(answer.to_frame()["full containers"]) == [3, 4, 3, 3]
    frame = answer.percents().set_index("ingredient")
    assert list(frame.columns) == ["as written", SMALLER, "make up with water", SWAP, SHORT]
    assert [float(round(frame[c].sum(), 6)) for c in frame.columns] == [100.0] * 5
