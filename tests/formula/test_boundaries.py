"""The line itself: what holds exactly at a limit, and just beside it. Expected: ISO 29621 (more than 20 % alcohol, a pH
below 3 or above 10), the formulas of the docstrings by hand, Regulation (EC) 1223/2009 Annex V entry 1 (benzoic acid
and its salts are counted as acid), molar masses of benzoic acid and sodium benzoate 122.12 and 144.11 g/mol (CRC
Handbook of Chemistry and Physics).
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from formula.judged_recipes import HANDS, INGREDIENTS, R1, R2, WASH, recipe, thing

from maker_kit.errors import QuantityError
from maker_kit.formula.batch import batch_mass_g, containers_in, exact_fill_mass, filled, full_containers
from maker_kit.formula.changes.shortage import check_kit
from maker_kit.formula.changes.shortage_options import MAKE_UP, SHORT, SMALLER, SWAP, shortage_options
from maker_kit.formula.inside.composition import expand
from maker_kit.formula.limits.fragrance import fragrance_ceiling
from maker_kit.formula.limits.judging import judgements
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.limits.scope import read_scope, standing
from maker_kit.formula.preservation.agents import acids_of, agents_in, low_risk
from maker_kit.formula.recipe import ProductType, Recipe
from maker_kit.formula.scale import weigh_out

CATEGORIES = ("5C", "9")
SPIRIT = thing("Spirit", "Alcohol")


def tonic(percent: float, inci: str = "Alcohol") -> Recipe:
    return recipe("tonic", WASH, {"Spirit": percent}, extra=(thing("Spirit", inci),))


@pytest.mark.parametrize(("percent", "low"), [(19.99, False), (20, False), (20.01, True), (60, True)])
def test_more_than_twenty_percent_alcohol_is_low_risk_and_twenty_is_not(percent: float, low: bool) -> None:
    for inci in ("Alcohol", "Alcohol Denat."):
        tonic_ = tonic(percent, inci)
        assert bool(low_risk(tonic_, expand(tonic_))) is low


def test_two_names_of_alcohol_count_together() -> None:
    both = recipe("tonic", WASH, {"Spirit": 12, "Other": 9}, extra=(SPIRIT, thing("Other", "Alcohol Denat.")))
    assert "21 % alcohol" in low_risk(both, expand(both))


@pytest.mark.parametrize(
    ("ph", "error", "says"),
    [
        (2.99, 0, "below 3"),
        (3, 0, ""),
        (10, 0, ""),
        (10.01, 0, "above 10"),
        (2.9, 0.1, ""),
        (10.1, 0.1, ""),
        (10.2, 0.1, "above 10"),
        (9.9, 0.5, ""),
    ],
)
def test_a_ph_is_low_risk_only_with_all_its_error_beyond_the_line(ph: float, error: float, says: str) -> None:
    read = replace(tonic(5), ph_read=ph, ph_error=error)
    found = low_risk(read, expand(read))
    assert says in found
    assert bool(found) is bool(says)
    assert ("above 10" in found, "below 3" in found) == (says == "above 10", says == "below 3")


def test_a_loss_of_exactly_everything_again_doubles_the_batch_and_more_is_refused() -> None:
    plain = replace(R1, fill_ml=100.0, fill_g=None, density_g_per_ml=1.0, film_g=7.0, loss_percent=100.0)
    assert batch_mass_g(plain, 3) == 3 * 100 * (1 + 1) + 7
    assert containers_in(plain, Fraction(607)) == 3
    with pytest.raises(QuantityError, match="between 0 and 100"):
        batch_mass_g(replace(plain, loss_percent=100.001), 3)
    assert batch_mass_g(replace(plain, loss_percent=0.0, film_g=0.0), 3) == 300


@pytest.mark.parametrize("fill", [0.0, -1.0])
def test_no_fill_at_all_is_refused_and_a_little_is_taken(fill: float) -> None:
    for declared in ({"fill_g": fill}, {"fill_g": None, "fill_ml": fill}):
        with pytest.raises(QuantityError, match="above 0"):
            exact_fill_mass(replace(R1, **declared))
    assert exact_fill_mass(replace(R1, fill_g=0.5)) == Fraction(1, 2)
    assert exact_fill_mass(replace(R1, fill_g=None, fill_ml=0.5, density_g_per_ml=1.0)) == Fraction(1, 2)


def test_full_containers_are_told_one_none_and_many() -> None:
    assert [filled(n) for n in (0, 1, 2)] == ["not even one full container", "1 full container", "2 full containers"]
    plain = replace(R1, fill_ml=100.0, fill_g=None, density_g_per_ml=1.0, film_g=0.0, loss_percent=10.0)
    # 1,090 g hold nine fills of 110 g (9.909); with a loss of 9 % they would hold ten
    told = full_containers(1090, 100, plain).finding("the jug")
    assert "1,090.0 g of the jug fill 9 containers (9.91 before rounding down), not 10" in told.text
    assert told.next_step == "with a loss of at most 9 % it is 10"
    assert "not" not in full_containers(990, 100, replace(plain, loss_percent=0.0)).finding("the jug").text


# --- preservatives: what there is at the least and at the most --------------------------------------------------------


def test_a_salt_counts_as_its_acid_at_the_least_and_at_the_most() -> None:
    mixed = recipe(
        "mist", HANDS, {"Mix": 2, "Sodium benzoate": 0.3, "Preservative P": 1},
        extra=(thing("Mix", "Sodium Benzoate, Aqua", "preservative", {"Sodium Benzoate": (10, 20)}),),
    )  # fmt: skip
    found = {agent.name: agent for agent in agents_in(mixed, expand(mixed))}
    as_acid = 122.12 / 144.11
    assert float(found["Benzoic acid"].total) == pytest.approx((0.3 + 0.2) * as_acid, rel=1e-4)
    assert float(found["Benzoic acid"].most) == pytest.approx((0.3 + 0.4) * as_acid, rel=1e-4)
    assert (found["Phenoxyethanol"].total, found["Phenoxyethanol"].most) == (Fraction(88, 100), Fraction(92, 100))
    assert not found["Phenoxyethanol"].acid


def test_what_preserves_only_where_it_is_meant_to_is_passed_over_elsewhere_and_the_rest_still_counts() -> None:
    # salicylic acid preserves, and is as often there for the skin; phenoxyethanol stands behind it
    for function, there in (("active", False), ("preservative", True)):
        peel = thing("Peel", "Salicylic Acid", function)
        made = recipe("mist", HANDS, {"Peel": 0.5, "Preservative P": 1}, extra=(peel,))
        names = {agent.name for agent in agents_in(made, expand(made))}
        assert ("Salicylic acid" in names) is there
        assert "Phenoxyethanol" in names


def test_only_acids_that_are_told_are_acids() -> None:
    assert acids_of(("Sodium Benzoate", "Phenoxyethanol", "Aqua", "Benzoic Acid")) == ("Benzoic acid",)


# --- limits of the category "all" ------------------------------------------------------------------------------------


def standard(category: str, most: float | None) -> Limit:
    return Limit("Coumarin", most, (("Coumarin", 1.0),), category=category, kind="standard", source=f"of {category}")


def scented(percent: float) -> Recipe:
    """Coumarin stands in Scent 3 at 1 % at most."""
    return recipe("lotion", HANDS, {"Scent 3": percent}, scent="Scent 3")


def levels(limits: list[Limit], percent: float, categories: tuple[str, ...] = CATEGORIES) -> list[tuple[str, str]]:
    return [(j.limit.category, j.level) for j in judgements(scented(percent), limits, categories)]


def test_a_limit_of_all_categories_holds_in_each_and_leaves_no_gap() -> None:
    assert levels([standard("all", 0.01)], 0.5) == [("all", "fine")]
    assert levels([standard("all", 0.01)], 1.0) == [("all", "near")]  # exactly at it: not over
    assert levels([standard("all", 0.01)], 1.01) == [("all", "over")]
    assert levels([standard("9", 0.01)], 0.5) == [("5C", "unknown"), ("9", "fine")]  # no row for 5C: a gap
    assert levels([standard("9", 0.01), standard("all", 0.02)], 1.5) == [("9", "over"), ("all", "fine")]


def test_a_missing_figure_of_all_is_covered_only_where_every_category_is() -> None:
    def cover(*limits: Limit) -> str:
        found = judgements(scented(0.5), [standard("all", None), *limits], CATEGORIES)
        missing = next(j for j in found if j.limit.category == "all" and j.limit.most_percent is None)
        return missing.covered_by

    bare = replace(standard("5C", 0.1), substance="coumarin of 5C")
    nine = replace(standard("9", 0.2), substance="coumarin of 9")
    wide = replace(standard("all", 0.3), substance="coumarin of all")
    assert cover(wide) == "of all allows 0.3 %"
    assert "of 5C allows 0.1 %" in cover(bare, nine)
    assert "of 9 allows 0.2 %" in cover(bare, nine)
    # one category is not covered by the other's figure; the papers of Scent 3 are for 5C and 9, so they are told
    assert "certificate of Scent 3" in cover(bare)


def test_a_ceiling_of_all_categories_is_the_ceiling_of_each() -> None:
    scent = replace(INGREDIENTS["Scent 3"], certificates=())
    found = fragrance_ceiling(scent, HANDS, [standard("all", 0.01), standard("9", 0.005)], categories=CATEGORIES)
    # coumarin at 1 % of the scent at most: 0.01 / 1 % = 1 % of scent, and 0.5 % in category 9
    assert {row.category: row.ceiling for row in found.rows} == {"5C": 1.0, "9": 0.5}


# --- ways on when something is short ---------------------------------------------------------------------------------


def kit(jars: float, propanediol: float = 40.768):
    """R2 in batches of 815.36 g for four jars; 5 % of it is propanediol."""
    content = {"Propanediol": propanediol, "container": jars}
    silent = lambda recipe, containers: ()  # noqa: E731
    return shortage_options(PLAIN, content, 4, {}, silent)


PLAIN = replace(R2, fill_ml=200.0, fill_g=None, density_g_per_ml=0.98, loss_percent=4.0, film_g=0.0)


def test_exactly_enough_is_enough() -> None:
    assert PLAIN.percent_of("Propanediol") == 5  # 4 · 200 · 0.98 · 1.04 = 815.36 g, of which 40.768 g
    assert kit(4).options == ()
    assert kit(5).options == ()
    assert kit(4, 40.767).short == ("Propanediol",)


def test_where_only_jars_are_short_the_batch_is_smaller_and_nothing_else_is_a_way() -> None:
    ways = kit(2)
    assert (ways.short, ways.option(SMALLER).containers) == ((), 2)
    for code in (MAKE_UP, SWAP, SHORT):
        assert "it is the containers that are short" in ways.option(code).text
    assert not kit(0).option(SMALLER).possible


def test_left_short_tells_the_factor_by_which_all_else_rises_and_fills_no_more_than_the_jars() -> None:
    way = kit(4, 32).option(SHORT)
    # 32 of 40.768 g leave 3.9247 of 5 %: 98.9247 of 100 are left, and 100 / 98.9247 = 1.0109
    assert "rise by a factor of 1.0109" in way.text
    assert way.batch_mass_g == pytest.approx(815.36 - 8.768, abs=1e-3)
    assert [kit(jars, 32).option(SHORT).containers for jars in (1, 3, 4)] == [1, 3, 3]


# --- the scale -------------------------------------------------------------------------------------------------------


def test_what_is_heavier_than_the_scale_takes_is_portioned_and_one_exactly_as_heavy_is_not() -> None:
    plain = recipe("wash", WASH, {"Glycerin": 40})
    scale = ((200, 0.01), (5000, 1))

    def told(batch: int) -> list[tuple[str, str, str]]:
        found = weigh_out(plain, batch, scale).findings
        return [(f.subject, f.text.rsplit(": ", 1)[1], f.next_step) for f in found if f.code == "scale.too_much"]

    assert told(8333) == []  # water 4,999.8 g
    glycerin = ("Glycerin", "weigh in 2 portions of about 4,000.0 g.", "weigh 1 equal portions, then the rest")
    water = ("Water", "weigh in 3 portions of about 4,000.0 g.", "weigh 2 equal portions, then the rest")
    for row, wanted in zip(told(20000), (glycerin, water), strict=True):
        assert row[:2] == wanted[:2]
        assert row[2].startswith(wanted[2])
    # 400.4 g in two portions stand on the coarse range, and on the fine one where that is all there is
    fine = weigh_out(plain, 1001, ((200.2, 0.01),))
    assert [(r.ingredient, r.portions, r.step_g) for r in fine.rows] == [("Glycerin", 2, 0.01), ("Water", 3, 0.01)]


def test_a_weighing_may_be_half_off_at_most_and_nothing_at_all_is_never_too_small() -> None:
    plain = recipe("wash", WASH, {"Glycerin": 1, "Propanediol": 0})
    rows = {r.ingredient: r for r in weigh_out(plain, 100, ((500, 1),), 50).rows}  # half a step is half of 1 g
    assert not rows["Glycerin"].too_small
    assert (rows["Propanediol"].too_small, rows["Propanediol"].error_percent) == (False, 0.0)
    assert weigh_out(plain, 99, ((500, 1),), 50).findings
    for good in (0, 50.01):
        with pytest.raises(QuantityError, match=r"at most 50 %"):
            weigh_out(plain, 100, ((500, 1),), good)


def test_how_much_more_is_needed_is_never_rounded_down() -> None:
    (short,) = [f for f in check_kit(PLAIN, {"Propanediol": 32}, 4).findings if f.code == "kit.short"]
    assert "4 containers take 40.77 g, the kit holds 32 g (factor 0.785): 3 full containers" in short.text
    assert "add 8.77 g or more" in short.next_step  # 8.768 g are missing
    (one,) = [f for f in check_kit(PLAIN, {"Propanediol": 5}, 1).findings if f.code == "kit.short"]
    assert "1 container takes 10.19 g" in one.text
    assert "not even one full container" in one.text


@pytest.mark.parametrize(
    "text",
    ["rinse-off; not lips; not eye area", "rinse-off, not lips (not eye area)", "rinse-off not lips not eye area"],
)
def test_every_clause_of_a_scope_counts_and_not_the_last_alone(text: str) -> None:
    scope = read_scope(text)
    assert scope.applies == "rinse-off"
    assert {"lips", "eye area"} <= {bar.place for bar in scope.bars}


def test_what_is_barred_in_a_use_is_barred_in_that_use() -> None:
    assert [bar.use for bar in read_scope("not in rinse-off products").bars] == ["rinse-off"]
    assert [bar.use for bar in read_scope("not in leave-on products").bars] == ["leave-on"]


@pytest.mark.parametrize(
    ("places", "checks"), [(("hands",), ()), (("lips",), ("not oral",)), (("lips", "face"), ("not oral",))]
)
def test_what_may_be_swallowed_is_to_be_checked_on_lips_and_nowhere_else(places, checks) -> None:
    said = standing(read_scope("not oral"), ProductType(places, rinse_off=False))
    assert (said.kind, said.to_check) == ("applies", checks)


@pytest.mark.parametrize(
    ("words", "places", "checked"),
    [
        ("not <3 yr except shampoo", ("hair",), False),  # the exception is for just this product
        ("not <3 yr except shampoo", ("hair", "body"), True),
        ("not <3 yr except bath", ("hair",), True),
        ("not <3 yr except bath", ("body",), True),
    ],
)
def test_an_exception_for_shampoos_is_one_for_hair_alone(words: str, places: tuple[str, ...], checked: bool) -> None:
    said = standing(read_scope(words), ProductType(places, rinse_off=True, for_whom="children under 3 years"))
    assert said.kind == "applies"
    assert bool(said.to_check) is checked
