"""Jug, kit and cupboard: full containers, what runs out first and next, and what one more pack would give."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import demo_figures
import demo_recipes
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.formula.batch import needs_g
from maker_kit.formula.changes.in_hand import PackOnSale, what_i_have

KIT_2 = {**demo_figures.KIT_2, "container": 4}


def test_kit_2_fills_three_jars_and_one_more_pack_makes_four() -> None:
    answer = what_i_have(
        demo_recipes.gel_cream(),
        KIT_2,
        [
            PackOnSale("Propanediol 100 g", "Propanediol", 100, "3.20 EUR"),
            PackOnSale("Glycerin 250 g", "Glycerin", 250),
        ],
    )
    assert (answer.containers, answer.runs_out_first) == (3, "Propanediol")
    assert answer.unrounded == pytest.approx(3.14, abs=0.005)
    assert [(p.containers, p.more, p.runs_out_next) for p in answer.more_packs] == [(4, 1, "container")]
    assert (answer.runs_out_next, answer.next_containers) == ("container", 4)
    assert answer.not_included == ("Water",)
    assert "one more Propanediol 100 g (3.20 EUR) makes it 4" in answer.findings[0].next_step


def test_a_gallon_of_base_fills_14_bottles_and_15_with_less_loss() -> None:
    recipe = demo_recipes.ready_base_wash()
    assert what_i_have(recipe, {"Wash base": "1 gallon"}).containers == 14
    assert what_i_have(recipe, {"Wash base": "128 fl oz"}).unrounded == pytest.approx(14.96, abs=0.005)
    assert what_i_have(replace(recipe, loss_percent=1.758), {"Wash base": "1 gallon"}).containers == 15
    assert what_i_have(replace(recipe, loss_percent=1.759), {"Wash base": "1 gallon"}).containers == 14


def test_what_is_left_after_three_jars() -> None:
    answer = what_i_have(demo_recipes.gel_cream(), KIT_2)
    assert answer.row("Propanediol").left == pytest.approx(32 - 3 * 10.192)
    assert answer.row("container").left == 1


def test_containers_alone_bound_too() -> None:
    answer = what_i_have(
        demo_recipes.gel_cream(), {**KIT_2, "container": 2, "Label": 10}, [PackOnSale("jars", "container", 6)]
    )
    assert (answer.containers, answer.runs_out_first) == (2, "container")
    assert answer.more_packs[0].containers == 3
    assert answer.more_packs[0].runs_out_next == "Propanediol"


def test_not_even_one_is_a_look() -> None:
    answer = what_i_have(demo_recipes.gel_cream(), {"Propanediol": 3})
    assert answer.containers == 0
    assert answer.findings[0].kind == "look"
    assert "not even one full container" in answer.findings[0].text


def test_a_near_miss_is_named() -> None:
    assert any(
        "did you mean" in f.next_step
        for f in what_i_have(demo_recipes.gel_cream(), {"Glycerin": 30, "Propandiol": 32}).findings
    )
    with pytest.raises(UnknownNameError, match='did you mean "Propanediol"'):
        what_i_have(demo_recipes.gel_cream(), KIT_2).row("Propandiol")


@pytest.mark.parametrize(
    ("have", "says"),
    [
        ({}, "nothing that"),
        ({"Propandiol": 32}, 'did you mean "Propanediol"'),
        ({"Propanediol": -1}, "0 or more"),
        ({"Propanediol": math.inf}, "no number"),
        ({"Propanediol": "8 oz"}, "basis is unknown"),
        ({"Propanediol": "two"}, "two"),
        ({"container": "4 g"}, "counted in pieces"),
    ],
)
def test_what_is_no_stock_is_refused_in_a_sentence(have, says) -> None:
    with pytest.raises(QuantityError, match=says):
        what_i_have(demo_recipes.gel_cream(), have)


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(["R1", "R2", "R5"]), st.integers(1, 30), st.floats(0, 40), st.data())
def test_full_containers_are_the_most_that_can_be_made(name: str, makes: int, film: float, data: st.DataObject) -> None:
    recipe = replace(demo_recipes.ALL[name](), film_g=film)
    have = {
        item: need * data.draw(st.fractions(min_value=0, max_value=2, max_denominator=30))
        for item, need in needs_g(recipe, makes).items()
        if item != "Water"
    }
    answer = what_i_have(recipe, have)

    def enough(count: int) -> bool:
        return count == 0 or all(needs_g(recipe, count)[item] <= have[item] for item in have)

    assert enough(answer.containers)
    assert not enough(answer.containers + 1)
    assert answer.next_containers >= answer.containers
    first = answer.runs_out_first
    more = what_i_have(recipe, have, [PackOnSale("p", first, Fraction(50))]).more_packs[0]
    assert more.containers == what_i_have(recipe, {**have, first: have[first] + 50}).containers


def test_the_table_tells_unknown_from_zero() -> None:
    frame = what_i_have(demo_recipes.gel_cream(), KIT_2).to_frame().set_index("what")
    assert frame["have"].isna()["Water"]
    assert frame.loc["Water", "note"] == "have it ready"
    assert frame.loc["Propanediol", "note"] == "runs out first"
    assert what_i_have(demo_recipes.gel_cream(), KIT_2).packs_to_frame().empty


PACKS = [
    PackOnSale("Propanediol 100 g", "Propanediol", 100, "3.20 EUR"),
    PackOnSale("Propanediol 5 g", "Propanediol", 5, "1.00 EUR"),
]


def test_a_pack_that_gives_no_container_more_is_not_listed_as_if_it_helped() -> None:
    # one jar takes 10.192 g of propanediol: 32 g reach for three jars, 37 g for three, 132 g for more than the four
    # jars there are
    answer = what_i_have(demo_recipes.gel_cream(), KIT_2, PACKS)
    assert list(answer.packs_to_frame()["one more pack"]) == ["Propanediol 100 g"]
    assert "5 g" not in answer.findings[0].next_step
    assert [p.more for p in answer.more_packs] == [1, 0]


def test_where_no_pack_helps_by_itself_it_says_what_else_is_in_the_way() -> None:
    both = what_i_have(demo_recipes.gel_cream(), {**KIT_2, "container": 3}, PACKS[:1])
    # the three containers run out before the propanediol, which reaches for 3.14
    assert both.runs_out_first == "container"
    # 0.31 g of scent 1 reach for no jar, as one takes 0.4 % of 203.84 g = 0.815 g; 3 g of propanediol neither
    none = what_i_have(demo_recipes.gel_cream(), {"Propanediol": 3, "Scent 1": 0.31}, PACKS[:1])
    assert none.runs_out_first == "Propanediol"
    assert none.packs_to_frame().empty
    assert (
        none.findings[0].next_step
        == "one more pack of Propanediol alone fills no container more: Scent 1 would run out then, so buy that too"
    )
    small = what_i_have(demo_recipes.gel_cream(), {"Propanediol": 3}, PACKS[1:])
    assert small.findings[0].next_step == (
        "one more pack of Propanediol alone fills no container more: no pack on sale holds enough for another container"
    )


def test_a_fault_of_one_amount_names_its_thing() -> None:
    with pytest.raises(QuantityError, match=r'^Glycerin: "23" has no unit'):
        what_i_have(demo_recipes.gel_cream(), {"Propanediol": "32 g", "Glycerin": "23"})
