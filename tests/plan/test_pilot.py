"""The cheapest way to try a recipe beside the cheapest batch, against sums by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from small_workshops import market, recipe, workshop

from maker_kit.buying.costing import cost_curve
from maker_kit.buying.market import Market, Supplier
from maker_kit.errors import BasketError, QuantityError
from maker_kit.plan.pilot import pilot_choice, pilots
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.workshop import find_workshop

MICROS_PER_CENT = 10_000


def plan_of(sold: Market | None = None, **changed: object) -> Plan:
    return make_plan(workshop(sold, recipe(**changed)), "balm")


def test_every_pilot_costs_what_a_pencil_says_the_cheapest_first() -> None:
    # fees 6.00; 100 g: oil 2.00, wax 3.00; 200 g: 4.00, 3.00; 300 g: 4.00, 6.00; one tin and three, with labels 2.40:
    # 13.90, 19.90
    found = [(p.title, p.basket.cost_micros // MICROS_PER_CENT) for p in pilots(plan_of())]
    assert found == [
        ("100 g in a beaker", 1100),
        ("200 g in a beaker", 1300),
        ("1 container, 100.0 g", 1390),
        ("300 g in a beaker", 1600),
        ("3 containers, 300.0 g", 1990),
    ]


def test_a_pilot_in_a_beaker_buys_neither_container_nor_label() -> None:
    for pilot in pilots(plan_of()):
        bought = set(pilot.basket.counts)
        assert ({"B: tin", "B: 10 labels"} <= bought) == (pilot.containers > 0)


def test_for_the_same_money_the_larger_pilot_comes_first() -> None:
    free = replace(
        market(),
        packs=tuple(replace(p, prices=((1, 0),)) for p in market().packs),
        suppliers=(Supplier("A", ((None, 0),)), Supplier("B", ((None, 0),))),
    )
    assert [p.title for p in pilots(plan_of(free))][:2] == ["3 containers, 300.0 g", "300 g in a beaker"]


@pytest.mark.parametrize(
    ("changed", "containers"),
    [
        ({"fill_g": 301.0}, []),
        ({"fill_g": 300.0}, [1]),
        ({"fill_g": 40.0}, [3, 7]),
        ({"fill_g": 100.0, "film_g": 50.0}, [1, 2]),
        ({"fill_g": 100.0, "film_g": 201.0}, []),
        ({"fill_g": 99.0, "loss_percent": 2.0}, [1, 2]),
    ],
)
def test_whole_containers_are_tried_where_their_batch_weighs_100_to_300_g(
    changed: dict[str, float], containers: list[int]
) -> None:
    found = [p for p in pilots(plan_of(**changed)) if p.containers]
    assert sorted(p.containers for p in found) == containers
    film, loss = Fraction(str(changed.get("film_g", 0))), Fraction(str(changed.get("loss_percent", 0)))
    for pilot in found:
        assert pilot.mass_g == pilot.containers * Fraction(str(changed["fill_g"])) * (1 + loss / 100) + film
        assert 100 <= pilot.mass_g <= 300


def test_the_cheapest_batch_is_the_one_that_is_used_up_in_time() -> None:
    # 13.90, 16.40, 19.90, 22.40 for one to four: 5.60 each at four; kept a month at two a month only two are used up:
    # 8.20 each
    long = pilot_choice(plan_of(), 4)
    assert (long.best.count, long.best_containers, long.best_each_micros) == (4, 4, 560 * MICROS_PER_CENT)
    short = pilot_choice(plan_of(keeps_months=1.0), 4)
    assert (short.best_containers, short.best_each_micros) == (2, 820 * MICROS_PER_CENT)
    assert (
        short.sentence() == "The cheapest pilot is 100 g in a beaker, for 11.00. "
        "Cheapest a container: 2 containers for 16.40, 8.20 each (used up in time)."
    )
    assert list(short.to_frame()["you pay"]) == ["11.00", "13.00", "13.90", "16.00", "19.90", "16.40"]


def test_batches_are_counted_by_their_containers() -> None:
    found = pilot_choice(replace(make_plan(workshop(), "balm", batch_size=3)), 5)
    assert (found.best.count, found.best_containers) == (4, 12)  # twelve are used up in six months


def test_an_unknown_keeping_time_is_said_and_nothing_in_time_too() -> None:
    unknown = pilot_choice(plan_of(keeps_months=None), 3)
    assert not unknown.keeping_known
    assert "whether they are used up in time is unknown" in unknown.sentence()
    none = pilot_choice(plan_of(keeps_months=0.25), 3)
    assert none.best is none.best_each_micros is None
    assert none.sentence().endswith("No batch is known to be used up within the keeping time.")
    assert len(none.to_frame()) == 5


def test_a_curve_that_is_there_is_not_worked_out_again() -> None:
    plan = plan_of()
    curve = cost_curve(plan.market, plan.needs, 6)
    assert pilot_choice(plan, 4, curve=curve).best.count == 4
    points = tuple(replace(p, lower_micros=0) if p.count == 4 else p for p in curve.points)
    opened = replace(curve, points=points)
    found = pilot_choice(plan, 4, curve=opened)
    assert (found.best.count, found.open_counts) == (3, (4,))
    assert "Some counts are not proved" in found.sentence()


def test_what_is_too_small_for_the_scale_is_told_of_the_pilot() -> None:
    small = workshop(market(), recipe(oil=59.9, wax=40))
    plan = make_plan(replace(small, settings=replace(small.settings, scale=((500.0, 1.0),))), "balm")
    first = next(p for p in pilots(plan) if p.mass_g == 100)
    assert any(f.subject == "Scent" for f in first.findings)


def test_a_pilot_that_cannot_be_bought_for_is_left_out_and_none_at_all_is_told() -> None:
    sold = market()
    scarce = replace(sold, packs=tuple(replace(p, stock=1) if "Wax" in p.content else p for p in sold.packs))
    assert {p.title for p in pilots(plan_of(scarce))} == {
        "100 g in a beaker",
        "200 g in a beaker",
        "1 container, 100.0 g",
    }
    with pytest.raises(BasketError, match=r"No pilot of Balm can be bought for: Nobody sells"):
        pilots(plan_of(replace(sold, packs=tuple(p for p in sold.packs if "Wax" not in p.content))))


def test_a_count_out_of_range_is_refused() -> None:
    with pytest.raises(QuantityError):
        pilot_choice(plan_of(), 0)


def test_the_demo_wash_can_be_tried_for_less_than_a_batch() -> None:
    plan = make_plan(find_workshop(""), "r1b-hand-wash")
    found = pilots(plan)
    # 250 mL × 1.022 g/mL × 1.02
    assert {p.mass_g for p in found if p.containers} == {Fraction("260.61")}
    assert found[0].basket.cost_micros <= 3580 * MICROS_PER_CENT  # four of them cost 35.80
