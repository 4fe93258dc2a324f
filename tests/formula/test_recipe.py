"""A recipe adds up to 100, and the moves of a slider keep it there."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal

import demo_recipes
import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, RecipeError, UnknownNameError
from maker_kit.formula.kinds import WET, wetness
from maker_kit.formula.recipe import Ingredient, Line, Recipe, check_sum
from maker_kit.formula.setting import (
    load_on_base,
    load_on_whole,
    with_fragrance_load,
    with_ingredient,
    with_level,
    with_thickener_level,
)


def total(recipe: Recipe) -> Decimal:
    return sum((Decimal(repr(line.percent)) for line in recipe.lines), Decimal(0))


def set_line(recipe: Recipe, k: int, percent: float) -> Recipe:
    return replace(
        recipe, lines=tuple(replace(line, percent=percent) if j == k else line for j, line in enumerate(recipe.lines))
    )


@pytest.mark.parametrize("name", demo_recipes.ALL)
def test_every_demo_recipe_makes_100(name: str) -> None:
    recipe = demo_recipes.ALL[name]()
    assert check_sum(recipe) is recipe
    assert total(recipe) == 100


@pytest.mark.parametrize(
    ("water", "says"),
    [
        (77.70, "99 %"),
        (79.70, "101 %"),
        (-0.1, "0 to 100"),
        (math.nan, "0 to 100"),
        (math.inf, "0 to 100"),
        (178.70, "0 to 100"),
        (78.694, "99.994 %"),
    ],
)
def test_a_sum_of_99_or_101_is_refused_and_never_stretched(water: float, says: str) -> None:
    with pytest.raises(RecipeError, match=says):
        check_sum(set_line(demo_recipes.gel_cream(), 0, water))


@pytest.mark.parametrize("water", [78.695, 78.705])
def test_half_of_the_second_decimal_is_let_pass(water: float) -> None:
    check_sum(set_line(demo_recipes.gel_cream(), 0, water))


def test_two_balances_are_refused() -> None:
    recipe = demo_recipes.gel_cream()
    with pytest.raises(RecipeError, match="two lines"):
        check_sum(replace(recipe, lines=tuple(replace(line, balance=True) for line in recipe.lines)))


def test_the_gel_cream_at_0_886_leaves_the_water_at_78_414() -> None:
    thicker = with_thickener_level(demo_recipes.gel_cream(), 0.886)
    assert thicker.percent_of("Gel former") == 0.886
    assert thicker.percent_of("Water") == 78.414  # 78.70 + 0.60 − 0.886, by hand
    assert total(thicker) == 100


@given(
    st.decimals(min_value=0, max_value=79, places=3),
    st.sampled_from(["Propanediol", "Glycerin", "Gel former", "Scent 1", "Preservative P"]),
)
def test_the_balance_takes_what_a_level_leaves(level: Decimal, ingredient: str) -> None:
    before = demo_recipes.gel_cream()
    after = (
        with_level(before, ingredient, float(level))
        if level <= Decimal("78.7") + Decimal(str(before.percent_of(ingredient)))
        else before
    )
    assert total(after) == 100
    assert [line for line in after.lines if line.ingredient not in {ingredient, "Water"}] == [
        line for line in before.lines if line.ingredient not in {ingredient, "Water"}
    ]
    assert with_level(after, ingredient, before.percent_of(ingredient)) == before


@given(st.lists(st.tuples(st.sampled_from(["Propanediol", "Gel former", "Scent 1"]), st.floats(0, 5)), max_size=12))
def test_many_moves_of_the_sliders_leave_no_dust(moves: list[tuple[str, float]]) -> None:
    recipe = demo_recipes.gel_cream()
    for ingredient, percent in moves:
        recipe = with_level(recipe, ingredient, percent)
    assert total(recipe) == 100
    check_sum(recipe)


@pytest.mark.parametrize(
    ("ingredient", "percent", "says"),
    [
        ("Gel former", 79.4, "-0.1 %, below zero.*at most 79.3 %"),
        ("Gel former", -1, "between 0 and 100"),
        ("Gel former", 101, "between 0 and 100"),
        ("Gel former", math.nan, "between 0 and 100"),
        ("Water", 70, "is the balance"),
    ],
)
def test_a_level_that_cannot_be_is_refused(ingredient: str, percent: float, says: str) -> None:
    with pytest.raises(RecipeError, match=says):
        with_level(demo_recipes.gel_cream(), ingredient, percent)


def test_the_balance_may_fall_to_zero_but_not_below() -> None:
    assert with_level(demo_recipes.gel_cream(), "Gel former", 79.3).percent_of("Water") == 0


def test_a_recipe_without_a_balance_takes_no_new_level() -> None:
    recipe = demo_recipes.gel_cream()
    with pytest.raises(RecipeError, match="no line marked as the balance"):
        with_level(
            replace(recipe, lines=tuple(replace(line, balance=False) for line in recipe.lines)), "Gel former", 0.8
        )


def test_an_unknown_ingredient_names_the_near_miss() -> None:
    with pytest.raises(UnknownNameError, match='did you mean "Propanediol"'):
        with_level(demo_recipes.gel_cream(), "Propandiol", 3)


def test_an_ingredient_on_two_lines_is_set_as_one() -> None:
    recipe = demo_recipes.gel_cream()
    split = replace(
        recipe,
        lines=(
            *(replace(line, percent=2.0) if line.ingredient == "Glycerin" else line for line in recipe.lines),
            Line("C", "Glycerin", 1.0),
        ),
    )
    assert split.percent_of("Glycerin") == 3
    after = with_level(split, "Glycerin", 4.0)
    assert [line.percent for line in after.lines if line.ingredient == "Glycerin"] == [4.0]
    assert total(after) == 100
    twice = Line("A", "Glycerin", 1.5)
    same_line_twice = replace(
        recipe, lines=(*(line for line in recipe.lines if line.ingredient != "Glycerin"), twice, twice)
    )
    assert total(with_level(same_line_twice, "Glycerin", 2.0)) == 100


def test_nothing_changes_the_recipe_it_was_given() -> None:
    recipe, before = demo_recipes.gel_cream(), demo_recipes.gel_cream()
    with_thickener_level(recipe, 0.9)
    with_fragrance_load(recipe, 1.0)
    with_ingredient(recipe, "Scent 1", Ingredient("Scent 2", ("Parfum",), "scent"))
    assert recipe == before


def test_an_eighth_of_an_ounce_in_eight_and_a_half_is_1_471_on_the_base_and_1_449_on_the_whole() -> None:
    on_base = 100 * 0.125 / 8.5  # common practice, no source: 0.125 oz of scent in 8.5 oz of base
    assert on_base == pytest.approx(1.471, abs=0.0005)
    assert load_on_whole(on_base) == pytest.approx(1.449, abs=0.0005)


@pytest.mark.parametrize(("whole", "base"), [(0.8, 0.8065), (0.6, 0.6036), (1.0, 1.0101)])
def test_the_loads_of_the_three_scent_split_are_shown_on_the_base_too(whole: float, base: float) -> None:
    assert load_on_base(whole) == pytest.approx(base, abs=0.00005)  # the demo workshop


@given(st.floats(0, 99.9))
def test_a_load_on_the_whole_and_on_the_base_are_one_load(whole: float) -> None:
    base = load_on_base(whole)
    assert load_on_whole(base) == pytest.approx(whole, rel=1e-12, abs=1e-15)
    assert base >= whole * (1 - 1e-15)
    grams = 100 + base  # base grams of scent in 100 g of base: by hand
    assert base / grams * 100 == pytest.approx(whole, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("load", [-0.1, math.nan, math.inf])
def test_a_load_that_is_none_is_refused(load: float) -> None:
    for convert in (load_on_whole, load_on_base):
        with pytest.raises(QuantityError):
            convert(load)
    with pytest.raises(QuantityError):
        load_on_base(100)


def test_a_load_given_on_the_base_is_converted() -> None:
    recipe = with_fragrance_load(demo_recipes.ready_base_wash(), 100 * 0.125 / 8.5, basis="base")
    assert recipe.percent_of("Scent 3") == pytest.approx(1.449, abs=0.0005)
    assert total(recipe) == 100


def test_a_load_above_what_the_balance_holds_is_refused() -> None:
    with pytest.raises(RecipeError, match=r"at most 79\.1 %"):
        with_fragrance_load(demo_recipes.gel_cream(), 80)


def test_a_recipe_without_scent_or_thickener_has_none_to_set() -> None:
    recipe = demo_recipes.cleansing_water()
    with pytest.raises(RecipeError, match="no scent"):
        with_fragrance_load(recipe, 1)
    with pytest.raises(RecipeError, match="no thickener"):
        with_thickener_level(recipe, 1)
    with pytest.raises(RecipeError, match='not on "jar"'):
        with_fragrance_load(demo_recipes.gel_cream(), 1, basis="jar")


def test_a_swapped_scent_is_the_scent_and_keeps_its_level() -> None:
    swapped = with_ingredient(demo_recipes.gel_cream(), "Scent 1", Ingredient("Scent 2", ("Parfum",), "scent", 0.92))
    assert swapped.scent == "Scent 2"
    assert swapped.percent_of("Scent 2") == 0.4
    assert total(swapped) == 100
    assert with_fragrance_load(swapped, 0.8).percent_of("Scent 2") == 0.8
    with pytest.raises(UnknownNameError):
        with_ingredient(swapped, "Scent 1", Ingredient("Scent 3", ("Parfum",), "scent"))


@pytest.mark.parametrize(
    ("inci", "wet"),
    [
        ("Aqua", True),
        ("Water", True),
        ("Aqua (Water)", True),
        ("Water/Aqua/Eau", True),
        ("Rosa Damascena Flower Water", True),
        ("Maris Aqua", True),
        ("Aloe Barbadensis Leaf Juice", True),
        ("Aloe Barbadensis Leaf Juice Powder", False),
        ("Glycerin", False),
        ("Citrullus Lanatus (Watermelon) Seed Oil", False),
        ("Cera Alba", False),
    ],
)
def test_water_is_found_under_its_many_names(inci: str, wet: bool) -> None:
    assert (wetness(Ingredient("it", (inci,), "")) == WET) is wet


@pytest.mark.parametrize(
    ("name", "wet"), [("R1", True), ("R1b", True), ("R2", True), ("R3 v1", True), ("R4", False), ("R5", True)]
)
def test_only_the_balm_holds_no_water(name: str, wet: bool) -> None:
    assert demo_recipes.ALL[name]().holds_water is wet


def test_water_that_a_bench_mixture_brings_is_found() -> None:
    balm = demo_recipes.balm()
    acid = Ingredient("Acid solution", ("Citric Acid",), "acid", made_from=(("Citric acid", 50.0), ("Water", 50.0)))
    wet = with_ingredient(
        replace(balm, ingredients={**balm.ingredients, "Water": Ingredient("Water", ("Aqua",), "solvent")}),
        "Antioxidant blend",
        acid,
    )
    assert wet.holds_water
    assert not set_line(wet, 5, 0.0).holds_water


def test_the_table_marks_the_balance() -> None:
    frame = demo_recipes.gel_cream().to_frame()
    assert list(frame.columns) == ["phase", "ingredient", "percent", "note"]
    assert frame.set_index("ingredient").loc["Water", "note"] == "to 100"
    assert frame["percent"].sum() == pytest.approx(100)
