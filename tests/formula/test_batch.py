"""How much to make, and backwards how many it fills."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import demo_recipes
import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.formula.batch import (
    MOST_CONTAINERS,
    as_bought,
    batch_mass_g,
    check_containers,
    exact_batch_mass,
    full_containers,
    needs_g,
)
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.setting import with_fragrance_load
from maker_kit.units import parse_amount

GALLON_OF_BASE = parse_amount("1 gallon").exact_grams(1.022)


# The demo workshop: containers × fill mass × (1 + loss)
@pytest.mark.parametrize(
    ("name", "containers", "grams"),
    [("R2", 4, 815.36), ("R1b", 10, 2606.1), ("R1b", 8, 2084.88), ("R1b", 6, 1563.66), ("R3 v1", 12, 1848.852)],
)
def test_the_demo_batches_weigh_what_the_table_says(name: str, containers: int, grams: float) -> None:
    assert batch_mass_g(demo_recipes.ALL[name](), containers) == pytest.approx(grams, abs=0.005)


def test_the_base_of_a_three_scent_split_adds_up() -> None:
    base = 0.0
    for containers, load, scent, of_base in [
        (10, 0.8, 20.8, 2585.3),
        (8, 0.6, 12.5, 2072.4),
        (6, 1.0, 15.6, 1548.0),
    ]:  # the demo workshop
        needs = needs_g(with_fragrance_load(demo_recipes.ready_base_wash(), load), containers)
        assert float(needs["Scent 3"]) == pytest.approx(scent, abs=0.05)
        assert float(needs["Wash base"]) == pytest.approx(of_base, abs=0.05)
        base += float(needs["Wash base"])
    assert base == pytest.approx(6205.6, abs=0.05)
    assert base / float(GALLON_OF_BASE) == pytest.approx(1.60, abs=0.005)


def test_the_film_is_there_once_whatever_the_batch() -> None:
    recipe = replace(demo_recipes.gel_cream(), film_g=15.0)
    assert batch_mass_g(recipe, 1) == pytest.approx(200 * 0.98 * 1.04 + 15)
    assert batch_mass_g(recipe, 10) == pytest.approx(10 * 200 * 0.98 * 1.04 + 15)


def test_a_gallon_of_base_fills_14_bottles_not_15() -> None:
    answer = full_containers(GALLON_OF_BASE, 99.2, demo_recipes.ready_base_wash())
    assert answer.containers == 14
    assert answer.unrounded == pytest.approx(14.96, abs=0.005)
    assert answer.by_fill_alone == 15
    finding = answer.finding("Wash base")
    assert (finding.kind, finding.topic, finding.subject) == ("know", "container", "Wash base")
    assert "fill 14 containers" in finding.text
    assert "not 15" in finding.text
    assert "1.758 %" in finding.next_step


def test_a_little_of_a_small_line_is_not_compared_with_the_whole_fill() -> None:
    text = full_containers(2.5, 0.8, demo_recipes.ready_base_wash()).finding("Scent 3").text
    assert "fill 1 container (" in text
    assert "not 0" not in text


def test_with_a_loss_of_1_758_percent_the_gallon_fills_15() -> None:
    wash = demo_recipes.ready_base_wash()
    assert full_containers(GALLON_OF_BASE, 99.2, replace(wash, loss_percent=1.758)).containers == 15
    assert full_containers(GALLON_OF_BASE, 99.2, replace(wash, loss_percent=1.759)).containers == 14


def test_no_loss_at_all_may_not_be_enough_for_one_more() -> None:
    answer = full_containers(255.5 * 0.992 * 14, 99.2, demo_recipes.ready_base_wash())
    assert answer.next_loss_percent is not None
    assert (
        full_containers(3000, 99.2, replace(demo_recipes.ready_base_wash(), loss_percent=0)).next_loss_percent is None
    )


@given(
    st.integers(1, 5000),
    st.decimals(10, 1000, places=1),
    st.decimals("0.8", "1.4", places=3),
    st.decimals(0, 20, places=2),
    st.decimals(0, 50, places=1),
    st.decimals("0.1", 100, places=2),
)
def test_an_exact_multiple_is_never_lost(
    containers: int, fill: object, density: object, loss: object, film: object, percent: object
) -> None:
    recipe = replace(
        demo_recipes.ready_base_wash(),
        fill_ml=float(fill),
        density_g_per_ml=float(density),
        loss_percent=float(loss),
        film_g=float(film),
    )
    enough = exact_batch_mass(recipe, containers) * Fraction(str(percent)) / 100
    answer = full_containers(enough, float(percent), recipe)
    assert answer.containers == containers
    assert answer.unrounded == containers
    assert answer.left_g == 0
    assert full_containers(enough - Fraction(1, 10**9), float(percent), recipe).containers == containers - 1


@given(st.integers(0, 200_000), st.sampled_from([0.8, 5.0, 99.2, 100.0]), st.sampled_from([0.0, 12.5]))
def test_full_containers_are_what_trying_one_by_one_gives(tenths: int, percent: float, film: float) -> None:
    recipe = replace(demo_recipes.ready_base_wash(), film_g=film)
    have = Fraction(tenths, 10)
    answer = full_containers(have, percent, recipe)
    if answer.containers:
        assert exact_batch_mass(recipe, answer.containers) * Fraction(str(percent)) / 100 <= have
    assert exact_batch_mass(recipe, answer.containers + 1) * Fraction(str(percent)) / 100 > have
    assert answer.containers <= answer.unrounded < answer.containers + 1


@given(st.integers(1, 1000), st.integers(1, 1000))
def test_without_a_film_twice_the_containers_are_twice_the_batch(a: int, b: int) -> None:
    recipe = demo_recipes.hand_lotion()
    assert exact_batch_mass(recipe, a) + exact_batch_mass(recipe, b) == exact_batch_mass(recipe, a + b)
    film = replace(recipe, film_g=20.0)
    assert exact_batch_mass(film, a) + exact_batch_mass(film, b) == exact_batch_mass(film, a + b) + 20


@pytest.mark.parametrize("containers", [0, -1, 1.5, 1e9, MOST_CONTAINERS + 1, math.nan, math.inf, None, "four", True])
def test_containers_are_whole_and_within_reason(containers: object) -> None:
    for act in (
        check_containers,
        lambda n: batch_mass_g(demo_recipes.gel_cream(), n),
        lambda n: needs_g(demo_recipes.gel_cream(), n),
    ):
        with pytest.raises(QuantityError, match="container"):
            act(containers)  # type: ignore[arg-type]


def test_a_whole_number_counts_however_it_is_held() -> None:
    assert check_containers(4.0) == check_containers(4) == check_containers(Fraction(4)) == 4
    assert batch_mass_g(demo_recipes.gel_cream(), MOST_CONTAINERS) == pytest.approx(203.84 * MOST_CONTAINERS)


@pytest.mark.parametrize(
    "change",
    [
        {"fill_ml": 0},
        {"fill_ml": -5},
        {"fill_ml": math.nan},
        {"density_g_per_ml": 0},
        {"density_g_per_ml": 998},
        {"density_g_per_ml": None},
        {"loss_percent": -1},
        {"loss_percent": 101},
        {"loss_percent": math.nan},
        {"film_g": -1},
        {"film_g": math.inf},
    ],
)
def test_a_recipe_with_a_senseless_figure_is_refused_by_name(change: dict[str, float]) -> None:
    recipe = replace(demo_recipes.gel_cream(), **change)
    for act in (lambda r: batch_mass_g(r, 4), lambda r: full_containers(100, 5, r)):
        with pytest.raises(QuantityError, match="R2"):
            act(recipe)


@pytest.mark.parametrize(
    ("have", "percent"), [(-1, 5), (math.nan, 5), (100, 0), (100, -5), (100, 101), (100, math.nan), ("much", 5)]
)
def test_what_is_there_and_its_share_are_checked(have: float, percent: float) -> None:
    with pytest.raises(QuantityError):
        full_containers(have, percent, demo_recipes.gel_cream())


def test_nothing_there_fills_nothing() -> None:
    answer = full_containers(0, 5, replace(demo_recipes.gel_cream(), film_g=20.0))
    assert (answer.containers, answer.unrounded, answer.left_g) == (0, 0, 0)


def test_a_bench_mixture_is_bought_as_its_parts() -> None:
    shares = as_bought(demo_recipes.hand_wash())
    assert demo_recipes.CITRIC not in shares
    assert shares["Citric acid"] == Fraction("0.3")
    assert shares["Water"] == Fraction("68.9")  # 68.60 + half of 0.60
    assert sum(shares.values()) == 100


def test_a_bench_mixture_that_is_there_ready_made_counts_as_itself() -> None:
    shares = as_bought(demo_recipes.hand_wash(), frozenset({demo_recipes.CITRIC}))
    assert shares[demo_recipes.CITRIC] == Fraction("0.6")
    assert "Citric acid" not in shares


def _with_made_from(recipe: Recipe, parts: tuple[tuple[str, float], ...]) -> Recipe:
    return replace(
        recipe,
        ingredients={
            **recipe.ingredients,
            demo_recipes.CITRIC: replace(recipe.ingredients[demo_recipes.CITRIC], made_from=parts),
        },
    )


def test_a_mixture_of_itself_or_of_the_unknown_is_refused() -> None:
    recipe = demo_recipes.hand_wash()
    with pytest.raises(RecipeError, match="mixed from itself"):
        as_bought(_with_made_from(recipe, ((demo_recipes.CITRIC, 50.0), ("Water", 50.0))))
    with pytest.raises(RecipeError, match='did you mean "Citric acid"'):
        as_bought(_with_made_from(recipe, (("Citric acids", 50.0), ("Water", 50.0))))


@pytest.mark.parametrize("name", demo_recipes.ALL)
def test_needs_add_up_to_the_batch(name: str) -> None:
    recipe = demo_recipes.ALL[name]()
    assert sum(needs_g(recipe, 7).values()) == exact_batch_mass(recipe, 7)
