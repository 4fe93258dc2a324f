"""A kit against a recipe: what runs out first, and how many full containers that leaves."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction

import demo_recipes
import pytest
from demo_figures import KIT_2
from formula.mixing import scarcest, weaker_lot
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.formula.batch import exact_batch_mass, needs_g
from maker_kit.formula.changes.shortage import check_kit
from maker_kit.formula.setting import with_fragrance_load, with_thickener_level

# The demo workshop
KIT_1 = {"Wash base": 1050, "Scent 3": 14.25}


def test_kit_2_is_short_of_propanediol_and_makes_three_full_jars() -> None:
    answer = check_kit(demo_recipes.gel_cream(), KIT_2, 4)
    row = answer.row("Propanediol")
    assert row.need_g == pytest.approx(40.77, abs=0.005)
    assert row.short_by_g == pytest.approx(8.77, abs=0.005)
    assert answer.factor == pytest.approx(0.785, abs=0.0005)
    assert (answer.full_containers, answer.runs_out_first, answer.short) == (3, "Propanediol", ("Propanediol",))
    assert answer.unrounded == pytest.approx(3.14, abs=0.005)
    finding = answer.findings[0]
    assert (finding.kind, finding.topic, finding.subject) == ("look", "kit", "Propanediol")
    assert "40.77 g" in finding.text
    assert "3 full containers" in finding.text
    assert "fill 3" in finding.next_step


def test_a_second_shortage_shows_after_the_thickener_has_been_raised() -> None:
    answer = check_kit(with_thickener_level(demo_recipes.gel_cream(), 0.886), KIT_2, 4)
    row = answer.row("Gel former")
    assert row.need_g == pytest.approx(7.22, abs=0.005)
    assert row.most_percent == 0.858
    assert answer.short == ("Propanediol", "Gel former")
    assert [f.subject for f in answer.findings if f.kind == "look"] == ["Propanediol", "Gel former"]
    assert answer.full_containers == 3


def test_the_kits_most_of_the_gel_former_is_enough_for_four_and_no_more() -> None:
    assert "Gel former" not in check_kit(with_thickener_level(demo_recipes.gel_cream(), 0.858), KIT_2, 4).short
    assert "Gel former" in check_kit(with_thickener_level(demo_recipes.gel_cream(), 0.859), KIT_2, 4).short


def test_kit_1_is_enough_for_four() -> None:
    answer = check_kit(demo_recipes.ready_base_wash(), KIT_1, 4)
    assert answer.row("Wash base").need_g == pytest.approx(1034.1, abs=0.05)
    assert answer.row("Scent 3").need_g == pytest.approx(8.3, abs=0.05)
    assert (answer.full_containers, answer.short, answer.not_included) == (4, (), ())
    assert answer.factor >= 1
    assert [(f.kind, f.level) for f in answer.findings] == [("know", "fine")]
    assert "Above 1.366 % Scent 3 would be short" in answer.findings[0].text  # 1.36 in the demo workshop


@pytest.mark.parametrize(("load", "short"), [(1.36, ()), (1.37, ("Scent 3",))])
def test_kit_1_runs_short_of_scent_above_1_36_percent(load: float, short: tuple[str, ...]) -> None:
    assert check_kit(with_fragrance_load(demo_recipes.ready_base_wash(), load), KIT_1, 4).short == short


def test_where_more_is_there_than_the_whole_batch_nothing_is_missing_at_any_level() -> None:
    answer = check_kit(demo_recipes.gel_cream(), KIT_2 | {"Gel former": 5_000.0, "Propanediol": 60.0}, 4)
    row = answer.row("Gel former")
    assert (row.most_percent, row.short_by_g, row.short) == (100.0, 0.0, False)
    (enough,) = [f for f in answer.findings if f.code == "kit.enough"]
    assert "Gel former would be short" not in enough.text
    assert answer.row("Water").most_percent is None  # nobody said how much of it there is


def test_water_is_not_included_which_is_not_zero() -> None:
    answer = check_kit(demo_recipes.gel_cream(), KIT_2, 4)
    assert answer.not_included == ("Water",)
    assert answer.row("Water").have_g is None
    assert answer.row("Water").factor is None
    assert "Water" in next(f for f in answer.findings if f.subject == "not included").text
    none = check_kit(demo_recipes.gel_cream(), {**KIT_2, "Water": 0}, 4)
    assert none.not_included == ()
    assert (none.factor, none.full_containers, none.runs_out_first) == (0, 0, "Water")
    assert "not even one full container" in none.findings[0].text
    assert "fill 0" not in none.findings[0].next_step


def test_a_bench_mixture_counts_by_what_it_is_made_from() -> None:
    answer = check_kit(demo_recipes.gel_cream(), KIT_2, 4)
    assert answer.row("Citric acid").need_g == pytest.approx(815.36 * 0.0005)
    assert answer.row("Water").need_g == pytest.approx(815.36 * 0.7875)
    ready = check_kit(
        demo_recipes.gel_cream(),
        {**{k: v for k, v in KIT_2.items() if k != "Citric acid"}, demo_recipes.CITRIC: 0.5},
        4,
    )
    assert ready.row(demo_recipes.CITRIC).need_g == pytest.approx(815.36 * 0.001)
    assert demo_recipes.CITRIC in ready.short


def test_what_the_recipe_does_not_take_is_told_with_the_near_miss() -> None:
    kit = {**{k: v for k, v in KIT_2.items() if k != "Propanediol"}, "Propandiol": 32}
    finding = next(f for f in check_kit(demo_recipes.gel_cream(), kit, 4).findings if f.subject == "Propandiol")
    assert 'did you mean "Propanediol"' in finding.next_step


def test_the_film_makes_the_kit_reach_less_far() -> None:
    dry, wet = (check_kit(replace(demo_recipes.ready_base_wash(), film_g=film), KIT_1, 4) for film in (0.0, 20.0))
    assert wet.factor < dry.factor
    assert wet.full_containers == 3


@pytest.mark.parametrize(
    ("content", "makes", "says"),
    [
        (KIT_1, 0, "container"),
        (KIT_1, 1.5, "whole"),
        (KIT_1, 1e9, "container"),
        ({"Wash base": -1}, 4, "0 or more"),
        ({"Wash base": math.nan}, 4, "no number"),
        ({}, 4, "holds nothing"),
        ({"Sand": 5}, 4, "holds nothing"),
    ],
)
def test_senseless_kits_are_refused(content: dict[str, float], makes: float, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        check_kit(demo_recipes.ready_base_wash(), content, makes)  # type: ignore[arg-type]


def test_a_row_that_is_not_there_names_the_near_miss() -> None:
    with pytest.raises(UnknownNameError, match='did you mean "Scent 3"'):
        check_kit(demo_recipes.ready_base_wash(), KIT_1, 4).row("Scent3")


@given(st.sampled_from(["R1", "R2", "R5"]), st.integers(1, 40), st.data())
def test_the_scarcest_rules_and_full_containers_are_exact(name: str, makes: int, data: st.DataObject) -> None:
    recipe = demo_recipes.ALL[name]()
    needs = needs_g(recipe, makes)
    part = {item: need for item, need in needs.items() if item != "Water"}
    content = {
        item: need * data.draw(st.fractions(min_value=0, max_value=3, max_denominator=40))
        for item, need in part.items()
    }
    answer = check_kit(recipe, content, makes)
    ratios = {item: content[item] / part[item] for item in part}
    assert answer.factor == pytest.approx(float(min(ratios.values())))
    assert ratios[answer.runs_out_first] == min(ratios.values())
    assert set(answer.short) == {item for item, ratio in ratios.items() if ratio < 1}
    assert {r.ingredient for r in answer.rows} == set(needs)
    one = exact_batch_mass(recipe, 1)
    assert answer.full_containers == min(
        math.floor(content[item] * 100 / (one * needs[item] * 100 / exact_batch_mass(recipe, makes))) for item in part
    )
    assert (answer.full_containers >= makes) == (not answer.short)


@given(st.integers(1, 200))
def test_a_kit_of_exactly_what_is_needed_is_exactly_enough(makes: int) -> None:
    recipe = demo_recipes.hand_lotion()
    answer = check_kit(recipe, needs_g(recipe, makes), makes)  # type: ignore[arg-type]
    assert (answer.factor, answer.full_containers, answer.short) == (1, makes, ())


@pytest.mark.parametrize("row", reference_rows("rescale_when_short.csv"), ids=lambda r: r["rule"])
def test_the_worked_examples_of_a_shortage_come_out(row: dict[str, str]) -> None:
    shrink = re.fullmatch(
        r"formula ([0-9./]+) %, plan ([0-9.]+) g; have only ([0-9.]+) g of the ([0-9.]+) % item \(needs ([0-9.]+)\)",
        row["example"],
    )
    weaker = re.fullmatch(r"need ([0-9.]+) g active; lot is ([0-9.]+) % active", row["example"])
    if shrink:
        percents, plan, have, item = (
            [float(p) for p in shrink[1].split("/")],
            float(shrink[2]),
            float(shrink[3]),
            float(shrink[4]),
        )
        needs = {str(p): plan * p / 100 for p in percents}
        assert needs[str(item)] == pytest.approx(float(shrink[5]))
        name, factor = scarcest(needs, {str(item): have})
        result = re.fullmatch(r"factor [0-9./]+=([0-9.]+) -> ([0-9.]+) g batch: ([0-9./]+)", row["result"])
        assert result is not None, f"the result cannot be read from {row['result']!r}"
        assert name == str(item)
        assert factor == pytest.approx(float(result[1]))
        assert plan * factor == pytest.approx(float(result[2]))
        assert [need * factor for need in needs.values()] == pytest.approx([float(m) for m in result[3].split("/")])
    elif weaker:
        result = re.fullmatch(r"[0-9./]+=([0-9.]+) g lot, water reduced by ([0-9.]+) g", row["result"])
        assert result is not None, f"the result cannot be read from {row['result']!r}"
        assert weaker_lot(float(weaker[1]), float(weaker[2])) == pytest.approx(
            (float(result[1]), float(result[2])), abs=0.0006
        )
    else:
        pytest.fail(f"an example of a form that is not known: {row['example']!r}")


@given(st.dictionaries(st.sampled_from("abcdef"), st.integers(1, 1000), min_size=1), st.data())
def test_everything_shrunk_to_the_scarcest_is_there(needs: dict[str, int], data: st.DataObject) -> None:
    have = {name: data.draw(st.integers(0, 2000)) for name in needs}
    name, factor = scarcest(needs, have)
    assert have[name] == pytest.approx(needs[name] * factor)
    assert all(Fraction(have[n]) + Fraction(1, 10**9) >= Fraction(needs[n]) * Fraction(factor) for n in needs)


@pytest.mark.parametrize(
    ("need", "have"),
    [
        ({}, {}),
        ({"a": 1}, {"b": 1}),
        ({"a": 0}, {"a": 1}),
        ({"a": -1}, {"a": 1}),
        ({"a": 1}, {"a": -1}),
        ({"a": 1}, {"a": math.nan}),
    ],
)
def test_nothing_to_compare_is_refused(need: dict[str, float], have: dict[str, float]) -> None:
    with pytest.raises(QuantityError):
        scarcest(need, have)


def test_what_is_not_included_is_unknown_and_not_zero() -> None:
    check = check_kit(demo_recipes.gel_cream(), KIT_2, 4)
    assert (check.row("Water").have_g, check.row("Water").short) == (None, False)
    assert check.row("Propanediol").full_containers == 3
    assert check.row("Propanediol").short_by_g == pytest.approx(8.77, abs=0.005)
    assert not check.row("Glycerin").short
