"""What one batch takes from the market, against sums of the demo workshop done by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.buying.needs import need_of, needs_per_batch
from maker_kit.errors import QuantityError, RecipeError
from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe


def recipe(
    *lines: tuple[str, float], made_from: dict[str, tuple[tuple[str, float], ...]] | None = None, **fields: float
) -> Recipe:
    mixed = made_from or {}
    names = {name for name, _ in lines} | set(mixed) | {part for parts in mixed.values() for part, _ in parts}
    ingredients = {name: Ingredient(name, (name,), "", made_from=mixed.get(name, ())) for name in names}
    return Recipe(
        "wash",
        "Wash",
        "1",
        tuple(Line("A", name, percent) for name, percent in lines),
        ingredients,
        ProductType(("hands",), rinse_off=True),
        "Foamer",
        **{"fill_ml": 250.0, "density_g_per_ml": 1.022, "loss_percent": 2.0, **fields},
    )


WASH = recipe(("Wash base", 99.2), ("Scent 3", 0.8))


def test_one_bottle_of_the_demos_hand_wash_takes_258_53_g_of_base() -> None:
    # 250 mL × 1.022 g/mL × 1.02 × 99.20 % = 258.52512 g, as the demo workshop prints it (258.53)
    needs = needs_per_batch(WASH, 1, "Foamer", "Label")
    assert needs == {"Wash base": Fraction("2585.2512"), "Scent 3": Fraction("20.8488"), "Foamer": 1, "Label": 1}


def test_the_film_is_counted_once_a_batch_and_the_loss_with_every_container() -> None:
    # (4 × 250 × 1.022 × 1.02 + 12.5 g) × 99.2 % = 1046.5004 + … = (1042.44 + 12.5) × 0.992 = 1046.50048 g
    assert needs_per_batch(replace(WASH, film_g=12.5), 4)["Wash base"] == Fraction("10465.0048")


def test_without_container_and_label_only_ingredients_are_needed() -> None:
    assert set(needs_per_batch(WASH, 3)) == {"Wash base", "Scent 3"}


def test_a_line_at_zero_needs_nothing() -> None:
    assert "Scent 3" not in need_of(needs_per_batch(recipe(("Wash base", 100.0), ("Scent 3", 0.0)), 1), 5)


def test_what_is_mixed_at_the_bench_draws_on_what_it_is_mixed_from_however_deep() -> None:
    # 200 g: 90 % water, 10 % of a mixture that is half water and half of another, which is 1 part acid to 3 parts water
    mixed = recipe(
        ("Water", 90.0),
        ("Mixture", 10.0),
        made_from={"Mixture": (("Water", 50.0), ("Stock", 50.0)), "Stock": (("Acid", 25.0), ("Water", 75.0))},
        fill_ml=200.0,
        density_g_per_ml=1.0,
        loss_percent=0.0,
    )
    assert needs_per_batch(mixed, 1) == {"Water": 2000 - 25, "Acid": 25}


def test_a_mixture_made_from_itself_is_refused_with_the_way_round() -> None:
    with pytest.raises(RecipeError, match="Mixture → Stock → Mixture"):
        needs_per_batch(
            recipe(("Mixture", 100.0), made_from={"Mixture": (("Stock", 100.0),), "Stock": (("Mixture", 100.0),)}), 1
        )


@pytest.mark.parametrize("size", [0, -1, 1.5, 10**9, float("nan")])
def test_a_batch_size_is_a_whole_number_in_range(size: float) -> None:
    with pytest.raises(QuantityError):
        needs_per_batch(WASH, size)  # type: ignore[arg-type]


@pytest.mark.parametrize(("container", "label"), [("Wash base", ""), ("", "Scent 3"), ("Foamer", "Foamer")])
def test_grams_and_pieces_of_one_name_are_not_added_up(container: str, label: str) -> None:
    with pytest.raises(QuantityError, match="counted twice"):
        needs_per_batch(WASH, 1, container, label)


@given(tenths=st.integers(0, 1000), size=st.integers(1, 500), count=st.integers(1, 60))
def test_the_ingredients_add_up_to_the_batch_and_a_need_is_rounded_up_once(tenths: int, size: int, count: int) -> None:
    scent = tenths / 10
    needs = needs_per_batch(recipe(("Wash base", round(100 - scent, 1)), ("Scent 3", scent)), size)
    assert sum(needs.values()) == size * Fraction("260.61") * 10  # 250 mL × 1.022 g/mL × 1.02 = 260.61 g
    for item, units in need_of(needs, count).items():
        assert units - 1 < needs[item] * count <= units
