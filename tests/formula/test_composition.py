"""What is inside a recipe. Expected values: the demo workshop's own percentages, worked by hand in exact decimals, and
properties of sums.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from formula.judged_recipes import ALL, HANDS, INGREDIENTS, R1, R1B, R2, R3_V1, R5, recipe, thing
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.formula.inside.composition import expand, open_ingredient
from maker_kit.formula.kinds import is_watery
from maker_kit.formula.recipe import Line


def levels(r, substance):
    row = expand(r).find(substance)
    return row.low_percent, row.high_percent


def test_a_substance_is_added_up_over_all_lines_and_mixtures() -> None:
    # R5: 0.30 × 45–55 % of the antioxidant blend is sunflower oil, beside 8.00 neat
    assert levels(R5, "Helianthus Annuus Seed Oil") == (8.135, 8.165)
    assert expand(R5).find("helianthus annuus SEED oil").lines == ("Sunflower oil", "Antioxidant blend")


@pytest.mark.parametrize(
    ("r", "substance", "low", "high"),
    [
        (R2, "Phenoxyethanol", 0.88, 0.92),
        (R2, "Citral", 0.02, 0.032),
        (R5, "Benzyl Alcohol", 0.756, 0.792),
        (R5, "Dehydroacetic Acid", 0.063, 0.081),
        (R5, "Cetearyl Alcohol", 3.75, 4.25),
        (R5, "Polysorbate 60", 0.75, 1.25),
        (R3_V1, "Methyl eugenol", 0, 0.00025),
        (R1, "Cocamidopropyl Betaine", 2.8, 3.1),
    ],
)
def test_low_and_high_ends_of_the_demo_workshop(r, substance, low, high) -> None:
    assert levels(r, substance) == (low, high)


def test_a_bench_made_mixture_is_opened() -> None:
    assert levels(R1, "Citric Acid") == (0.3, 0.3)
    assert "Citric acid 50 %" in expand(R1).find("Aqua").lines


def test_mixtures_inside_mixtures_multiply() -> None:
    inner = thing(
        "Blend", "Phenoxyethanol, Ethylhexylglycerin", "", {"Phenoxyethanol": (80, 90), "Ethylhexylglycerin": (10, 20)}
    )
    outer = thing("Base", "Aqua, Glycerin", "", {"Blend": (1, 2), "Glycerin": (5, 5)})
    third = thing("Mix of the day", "", "", made_from=(("Base", 50.0), ("Water", 50.0)))
    r = recipe("nested", HANDS, {"Mix of the day": 40}, extra=(inner, outer, third))
    assert levels(r, "Phenoxyethanol") == (0.16, 0.36)  # 40 % × 50 % × 1–2 % × 80–90 %


def test_an_unknown_amount_is_unknown_and_what_is_known_stays_a_lower_bound() -> None:
    base = thing("Base", "Aqua, Phenoxyethanol, Glycerin", "", {"Phenoxyethanol": None, "Glycerin": (2, 3)})
    r = recipe("unknown", HANDS, {"Base": 50, "Preservative P": 1}, extra=(base,))
    row = expand(r).find("Phenoxyethanol")
    assert row.low_percent == 0.88
    assert row.high_percent is None
    assert row.unknown_in == ("Base",)
    assert expand(r).to_frame().set_index("substance")["most %"].isna()["Phenoxyethanol"]


def test_names_without_any_composition_are_all_unknown() -> None:
    row = expand(R1B).find("Sodium Benzoate")
    assert row.low_percent == 0
    assert row.high_percent is None


def test_water_or_the_scent_takes_the_rest_and_nothing_else_does() -> None:
    assert levels(recipe("x", HANDS, {"Chelator": 10}, "Glycerin"), "Aqua") == (5.3, 5.3)
    assert levels(recipe("x", HANDS, {"Scent 1": 1}), "Parfum") == (0.46, 0.625)  # 100 − 54 … 100 − 37.5
    hidden = thing("Hidden", "Glycerin, Phenoxyethanol", "", {"Glycerin": (90, 99)})
    assert levels(recipe("x", HANDS, {"Hidden": 10}, extra=(hidden,)), "Phenoxyethanol") == (0.0, None)


@pytest.mark.parametrize(
    "name",
    [
        "Aqua",
        "WATER",
        "Aqua (Water)",
        "Aqua/Water/Eau",
        "Rosa Damascena Flower Water",
        "Aloe Barbadensis Leaf Juice",
        "Maris Aqua",
    ],
)
def test_watery_names(name: str) -> None:
    assert is_watery(name)


@pytest.mark.parametrize(
    "name", ["Glycerin", "Aloe Barbadensis Leaf Juice Powder", "Nymphaea Alba Water Lily Extract", "Aquaxyl"]
)
def test_names_that_are_not_water(name: str) -> None:
    assert not is_watery(name)


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (thing("Bad", "A, B", "", {"A": (9, 8)}), "backwards"),
        (thing("Bad", "A, B", "", {"A": (60, 70), "B": (50, 60)}), "more than 100"),
        (thing("Bad", "", "", made_from=(("Bad", 100.0),)), "contains itself"),
        (thing("Bad", "", "", made_from=(("Water", 60.0),)), "add up to 60"),
        (thing("Bad", "", "", made_from=(("Nobody", 100.0),)), "Nobody"),
    ],
)
def test_an_impossible_composition_is_refused_by_name(bad, says) -> None:
    with pytest.raises(RecipeError, match=says):
        expand(recipe("bad", HANDS, {"Bad": 1}, extra=(bad,)))


@pytest.mark.parametrize("share", [(-1, 2), (1, 101), (float("nan"), 2), (1, float("inf"))])
def test_a_share_that_is_no_percentage_is_refused(share) -> None:
    with pytest.raises(QuantityError):
        open_ingredient(thing("Bad", "A, B", "", {"A": share}))


def test_a_line_without_an_ingredient_is_refused() -> None:
    with pytest.raises(RecipeError, match="Nobody"):
        expand(replace(R2, lines=(*R2.lines, Line("A", "Nobody", 0.0))))


@pytest.mark.parametrize("r", ALL.values(), ids=ALL)
def test_least_amounts_never_exceed_the_whole(r) -> None:
    rows = expand(r).rows
    assert sum(x.low for x in rows) <= 100
    if not any(x.unknown for x in rows):
        assert sum(x.known_high for x in rows) >= 100 - Fraction(1, 1000)


names = st.sampled_from([n for n in INGREDIENTS if n != "Water"])
mixes = st.dictionaries(names, st.integers(1, 900).map(lambda n: n / 100), min_size=1, max_size=8)


@given(mixes, st.randoms(use_true_random=False))
def test_the_order_of_the_lines_does_not_matter(mix, random) -> None:
    r = recipe("any", HANDS, mix)
    lines = list(r.lines)
    random.shuffle(lines)
    a, b = expand(r), expand(replace(r, lines=tuple(lines)))
    assert {x.substance.casefold(): (x.low, x.known_high, x.unknown) for x in a.rows} == {
        x.substance.casefold(): (x.low, x.known_high, x.unknown) for x in b.rows
    }


@given(mixes)
def test_halving_every_line_halves_every_substance(mix) -> None:
    whole = recipe("any", HANDS, mix)
    half = replace(whole, lines=tuple(replace(x, percent=x.percent / 2) for x in whole.lines))
    for row in expand(whole).rows:
        assert expand(half).find(row.substance).known_high == row.known_high / 2


@given(mixes)
def test_low_is_never_above_high_and_high_never_above_its_lines(mix) -> None:
    expansion = expand(recipe("any", HANDS, mix))
    for row in expansion.rows:
        assert 0 <= row.low <= row.known_high <= sum(expansion.percent[n] for n in row.lines)


def test_expanding_changes_nothing() -> None:
    before = repr(R5)
    expand(R5)
    assert repr(R5) == before
