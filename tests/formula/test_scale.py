"""What the scale can show, and what is too small for it."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import demo_recipes
import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.formula.batch import batch_mass_g, exact_batch_mass
from maker_kit.formula.premix import PreMix, check_scale
from maker_kit.formula.recipe import Ingredient, Line, Recipe
from maker_kit.formula.scale import weigh_out
from maker_kit.formula.setting import with_level
from maker_kit.numbers import round_to_step
from maker_kit.units import parse_amount

SCALE = ((500, 0.1), (10000, 1))  # the demo workshop: 0.1 g to 500 g and 1 g to 10 kg
CLEANSING_12 = exact_batch_mass(demo_recipes.cleansing_water(), 12)


def two_lines(percent: float, balance: bool = True) -> Recipe:
    lines = (Line("A", "Water", 100 - percent, balance), Line("A", "Dye", percent))
    return replace(
        demo_recipes.cleansing_water(),
        lines=lines,
        ingredients={"Water": Ingredient("Water", ("Aqua",), ""), "Dye": Ingredient("Dye", ("CI 19140",), "")},
    )


def test_the_cleansing_waters_citric_acid_is_too_small_for_the_scale() -> None:
    answer = weigh_out(demo_recipes.cleansing_water(), CLEANSING_12, SCALE)
    # the demo workshop: 0.05 % × 12 containers = 0.92 g: needs a 0.01 g scale or a pre-mix
    assert [f.subject for f in answer.findings] == [demo_recipes.CITRIC]
    finding = answer.findings[0]
    assert (finding.kind, finding.level, finding.topic) == ("look", "note", "scale")
    assert "0.92 g" in finding.text
    assert "too small for your scale (0.1 g)" in finding.text
    assert "make a 10 % pre-mix" in finding.text
    assert "0.01 g" in finding.next_step
    assert "no source" in finding.source
    row = answer.rows[-1]
    assert row.mass_g == pytest.approx(0.924, abs=0.0005)
    assert row.note == "too small for the scale"
    assert (row.weighed_g, row.step_g) == (0.9, 0.1)


def test_its_pre_mix_is_1_g_in_9_g_of_which_9_2_g_are_taken() -> None:
    mix = weigh_out(demo_recipes.cleansing_water(), CLEANSING_12, SCALE).premixes[0]
    assert (mix.ingredient, mix.carrier, mix.strength_percent) == (demo_recipes.CITRIC, "Water", 10)
    assert (mix.substance_g, mix.carrier_g, mix.take_g) == (1.0, 9.0, 9.2)
    assert mix.carrier_taken_g == pytest.approx(9.2 * 0.9, abs=0.01)
    assert mix.worst_percent <= 5
    water = 0.6665 * 1848.852
    assert mix.balance_left_g + mix.take_g == pytest.approx(water + mix.wanted_g)
    assert "take 9.2 g" in mix.sentence()


def test_an_eighth_of_an_ounce_is_14_percent_off_on_a_scale_of_1_g() -> None:
    # common practice, no source: 0.125 oz = 3.54 g: up to 14 % off on a 1 g scale
    mass = parse_amount("0.125 oz wt").exact
    assert float(mass) == pytest.approx(3.54, abs=0.005)
    row = weigh_out(two_lines(1.0), mass * 100, ((5000, 1),)).rows[1]
    assert row.worst_percent == pytest.approx(14.1, abs=0.05)
    assert row.weighed_g == 4
    assert row.error_percent == pytest.approx(100 * (4 - 3.54369) / 3.54369, abs=0.01)
    assert row.too_small
    assert row.oz == pytest.approx(0.125)


@pytest.mark.parametrize(
    ("mass", "step", "shown"),
    [
        (0.25, 0.1, 0.3),
        (0.249, 0.1, 0.2),
        (2.5, 1, 3),
        (1.05, 0.1, 1.1),
        (500.04, 1, 500),
        (0.3, 0.1, 0.3),
        (1.15, 0.1, 1.2),
        (2.675, 0.01, 2.68),
        (7, 5, 5),
        (7.5, 5, 10),
    ],
)
def test_half_a_step_goes_up_exactly(mass: float, step: float, shown: float) -> None:
    assert float(round_to_step(mass, step)) == shown


@pytest.mark.parametrize(
    ("mass", "step", "weighed"),
    [(499.96, 0.1, 500.0), (500.0, 0.1, 500.0), (500.04, 1.0, 500.0), (9999.6, 1.0, 10000.0)],
)
def test_the_first_range_that_covers_a_mass_sets_its_step(mass: float, step: float, weighed: float) -> None:
    row = weigh_out(two_lines(0.0), mass, SCALE).rows[0]
    assert (row.step_g, row.weighed_g, row.portions) == (step, weighed, 1)


def test_what_is_too_much_for_the_scale_is_weighed_in_portions() -> None:
    answer = weigh_out(two_lines(10.0), 30000, SCALE)
    row = answer.rows[0]
    assert (row.mass_g, row.portions, row.weighed_g) == (27000, 3, 27000)
    assert answer.findings[0].subject == "Water"
    assert "3 portions" in answer.findings[0].text
    assert row.note == "in 3 portions"


def test_two_portions_are_told_as_three_are() -> None:
    answer = weigh_out(two_lines(10.0), 20_000, SCALE)  # 90 % of it on a scale that carries 10 kg
    assert (answer.rows[0].portions, answer.rows[0].note) == (2, "in 2 portions")
    assert [(f.code, f.subject) for f in answer.findings] == [("scale.too_much", "Water")]


@pytest.mark.parametrize(("mass", "small"), [(1.0, False), (0.999, True), (0.001, True), (0.0, False)])
def test_half_a_step_of_more_than_5_percent_is_too_small(mass: float, small: bool) -> None:
    assert weigh_out(two_lines(mass), 100, SCALE).rows[1].too_small is small


def test_the_bar_for_too_small_is_the_makers_to_set() -> None:
    assert not weigh_out(two_lines(0.6), 100, SCALE, good_to_percent=10).findings
    assert weigh_out(two_lines(1.5), 100, SCALE, good_to_percent=2).findings


@pytest.mark.parametrize(
    ("mass", "strength", "substance", "carrier", "take"),
    [
        (0.92, 10, 1.0, 9.0, 9.2),
        (0.5, 10, 1.0, 9.0, 5.0),
        (0.1, 10, 1.0, 9.0, 1.0),
        (0.05, 1, 1.0, 99.0, 5.0),
        (0.012, 1, 1.0, 99.0, 1.2),
    ],
)
def test_the_strongest_pre_mix_that_can_be_weighed_is_taken(
    mass: float, strength: float, substance: float, carrier: float, take: float
) -> None:
    mix = weigh_out(two_lines(mass), 100, SCALE).premixes[0]
    assert (mix.strength_percent, mix.substance_g, mix.carrier_g, mix.take_g) == (strength, substance, carrier, take)


def test_a_pre_mix_is_only_made_where_the_balance_can_give_the_carrier() -> None:
    without = weigh_out(two_lines(0.5, balance=False), 100, SCALE)
    assert not without.premixes
    assert "no balance line" in without.findings[0].text
    recipe = replace(
        demo_recipes.cleansing_water(),
        lines=(Line("A", "Water", 2.0, balance=True), Line("A", "Glycerin", 97.5), Line("A", "Chelator", 0.5)),
    )
    dry = weigh_out(recipe, 100, SCALE)
    assert not dry.premixes
    assert "cannot hold the carrier" in dry.findings[0].text
    assert "0.01 g" in dry.findings[0].next_step
    itself = replace(recipe, lines=(Line("A", "Water", 0.5, balance=True), Line("A", "Glycerin", 99.5)))
    assert "balance itself" in weigh_out(itself, 100, SCALE).findings[0].text


def test_several_pre_mixes_share_the_balance() -> None:
    recipe = replace(
        demo_recipes.cleansing_water(),
        lines=(
            Line("A", "Water", 9.0, balance=True),
            Line("A", "Glycerin", 90.0),
            Line("A", "Chelator", 0.5),
            Line("B", "Sodium benzoate", 0.5),
        ),
    )
    answer = weigh_out(recipe, 100, SCALE)
    assert [mix.ingredient for mix in answer.premixes] == ["Chelator", "Sodium benzoate"]
    assert answer.premixes[1].balance_left_g == pytest.approx(9.0 - 4.5 - 4.5)
    scarce = weigh_out(
        replace(recipe, lines=(Line("A", "Water", 8.0, balance=True), Line("A", "Glycerin", 91.0), *recipe.lines[2:])),
        100,
        SCALE,
    )
    assert [mix.ingredient for mix in scarce.premixes] == ["Chelator"]
    assert len(scarce.findings) == 2


@pytest.mark.parametrize(
    ("name", "sums"),
    [
        ("R1", {"A": 72.60, "B": 26.00, "C": 1.40}),
        ("R2", {"A": 87.30, "B": 10.20, "C": 2.50}),
        ("R4", {"A": 18.00, "B": 80.70, "C": 1.30}),
        ("R5", {"A": 74.20, "B": 23.00, "C": 2.80}),
    ],
)
def test_phases_add_up_as_the_demo_workshop_says(name: str, sums: dict[str, float]) -> None:
    answer = weigh_out(demo_recipes.ALL[name](), 1000, SCALE)
    for phase, percent in sums.items():
        rows = [row for row in answer.rows if row.phase == phase]
        assert math.fsum(row.percent for row in rows) == pytest.approx(percent, rel=1e-12)
        assert math.fsum(row.mass_g for row in rows) == pytest.approx(10 * percent, rel=1e-12)
    assert {row.phase for row in answer.rows} == set(sums)


RECIPES = st.sampled_from(list(demo_recipes.ALL))
STEPS = st.sampled_from([SCALE, ((200, 0.01), (2000, 0.1)), ((5000, 1),), ((0.5, 0.001), (30, 0.01), (3000, 0.5))])


@given(RECIPES, st.decimals(min_value=1, max_value=60000, places=2), STEPS)
def test_a_weighing_is_within_half_a_step_and_the_lines_make_the_batch(
    name: str, batch: object, scale: tuple[tuple[float, float], ...]
) -> None:
    answer = weigh_out(demo_recipes.ALL[name](), Fraction(str(batch)), scale)
    assert math.fsum(row.mass_g for row in answer.rows) == pytest.approx(float(batch), rel=1e-12)
    for row in answer.rows:
        assert abs(row.weighed_g - row.mass_g) <= row.step_g / 2 * (1 + 1e-9)
        steps = Fraction(repr(row.weighed_g)) / Fraction(str(row.step_g))
        assert steps.denominator == 1
        assert row.mass_g / row.portions <= scale[-1][0] * (1 + 1e-12)
        assert row.error_percent == pytest.approx(100 * (row.weighed_g - row.mass_g) / row.mass_g, abs=1e-9)
        assert abs(row.error_percent) <= row.worst_percent * (1 + 1e-9)
        if not row.too_small:
            assert row.worst_percent <= 5 + 1e-9


@given(RECIPES, st.integers(1, 500), st.integers(2, 20))
def test_a_batch_so_many_times_as_large_takes_so_many_times_as_much(name: str, batch: int, times: int) -> None:
    small, large = (weigh_out(demo_recipes.ALL[name](), mass, SCALE) for mass in (batch, batch * times))
    assert [row.mass_g for row in large.rows] == pytest.approx([row.mass_g * times for row in small.rows], rel=1e-12)


@given(st.floats(0.005, 5), st.integers(20, 5000), STEPS)
def test_a_pre_mix_keeps_the_batch_and_both_weighings_good(
    percent: float, batch: int, scale: tuple[tuple[float, float], ...]
) -> None:
    answer = weigh_out(with_level(two_lines(1.0), "Dye", percent), batch, scale)
    for mix in answer.premixes:
        water, dye = answer.rows
        assert isinstance(mix, PreMix)
        assert mix.take_g + mix.balance_left_g == pytest.approx(batch)
        assert mix.balance_left_g >= 0
        assert mix.balance_left_g == pytest.approx(water.mass_g - mix.carrier_taken_g)
        assert mix.worst_percent <= 5 + 1e-9
        assert mix.substance_g + mix.carrier_g >= mix.take_g - 1e-9
        assert mix.substance_g / (mix.substance_g + mix.carrier_g) == pytest.approx(mix.strength_percent / 100)
        # what the portion brings is what is wanted, to half a step of the portion
        assert (
            abs(mix.take_g * mix.strength_percent / 100 - dye.mass_g)
            <= mix.take_step_g / 2 * mix.strength_percent / 100 + 1e-9
        )
        assert abs(mix.error_percent) <= 5


@pytest.mark.parametrize(
    "scale",
    [
        (),
        ((500, 0),),
        ((0, 0.1),),
        ((500, -0.1),),
        ((0.1, 500),),
        ((500, 0.1), (400, 1)),
        ((500, 1), (1000, 0.1)),
        ((math.nan, 0.1),),
        ((500, None),),
    ],
)
def test_a_scale_that_cannot_be_is_refused(scale: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(QuantityError, match="scale"):
        check_scale(scale)
    with pytest.raises(QuantityError, match="scale"):
        weigh_out(demo_recipes.balm(), 100, scale)


@pytest.mark.parametrize("batch", [0, -5, math.nan, math.inf, None])
def test_a_batch_of_nothing_is_refused(batch: float) -> None:
    with pytest.raises(QuantityError, match="batch"):
        weigh_out(demo_recipes.balm(), batch, SCALE)


@pytest.mark.parametrize("good", [0, -1, 51, math.nan])
def test_a_senseless_bar_is_refused(good: float) -> None:
    with pytest.raises(QuantityError, match="good"):
        weigh_out(demo_recipes.balm(), 100, SCALE, good_to_percent=good)


def test_a_recipe_that_does_not_add_up_is_not_weighed() -> None:
    recipe = demo_recipes.balm()
    with pytest.raises(RecipeError):
        weigh_out(replace(recipe, lines=recipe.lines[:-1]), 100, SCALE)


def test_the_table_shows_every_line_with_its_units() -> None:
    recipe = demo_recipes.gel_cream()
    frame = weigh_out(recipe, batch_mass_g(recipe, 4), SCALE).to_frame()
    assert list(frame.columns) == [
        "phase",
        "ingredient",
        "percent",
        "mass g",
        "weigh g",
        "step g",
        "error %",
        "oz",
        "note",
    ]
    assert frame["mass g"].sum() == pytest.approx(815.36)
    assert frame.set_index("ingredient").loc["Propanediol", "weigh g"] == 40.8  # 40.77 g in the demo workshop
