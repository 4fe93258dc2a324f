"""Delivery known only as low–high: what is sure of making, what depends, and what is sure of buying."""

from __future__ import annotations

import time
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from small_workshops import market, workshop

from maker_kit.buying.basket import highs
from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market
from maker_kit.buying.needs import need_of
from maker_kit.plan.delivery_band import DeliveryBand, band_verdicts, delivery_band
from maker_kit.plan.plan import Plan, make_plan

MICROS_PER_CENT = 10_000


def band(sold: Market, upto: int = 4, shop_cents: int = 900) -> DeliveryBand:
    return delivery_band(make_plan(workshop(sold, shop_cents=shop_cents), "balm"), upto)


def made(costs: list[int | tuple[int, int | None] | None], status: tuple[str, ...] = ()) -> CostCurve:
    ends = [cost if isinstance(cost, tuple) else (cost or 0, cost) for cost in costs]
    pairs = [tuple(None if end is None else end * MICROS_PER_CENT for end in pair) for pair in ends]
    gone = [bool(status) and status[k] == "impossible" for k in range(len(costs))]
    points = enumerate(((None if no else low, high) for no, (low, high) in zip(gone, pairs, strict=True)), 1)
    return CostCurve(1, tuple(CurvePoint(Market((), ()), n, {}, low, cost) for n, (low, cost) in points))


def test_delivery_that_is_known_has_one_curve_and_one_verdict() -> None:
    found = band(market())
    assert found.known
    assert found.high == found.low
    assert "depends" not in found.lines[0].verdicts


def test_a_curve_that_is_there_is_not_worked_out_again() -> None:
    plan = make_plan(workshop(market(delivery=300, delivery_high=800), shop_cents=900), "balm")
    known, worked = cost_curve(plan.market, plan.needs, 4), []

    def counted(sold: Market, *given: Any, **how: Any) -> CostCurve:
        worked.append(sold)
        return cost_curve(sold, *given, **how)

    assert delivery_band(plan, 4, known=known, curve=counted) == delivery_band(plan, 4)
    assert worked == [plan.market.at_high_delivery()]
    delivery_band(plan, 3, known=known, curve=counted)
    assert len(worked) == 3


def test_each_verdict_is_what_a_pencil_says() -> None:
    # goods for 1 and 2 balms: oil 2.00 / 4.00, wax 3.00, tins 0.50 / 1.00, labels 2.40, handling 1.00: 8.90 / 11.40,
    # and delivery 3.00 to 8.00
    found = band(market(delivery=300, delivery_high=800), upto=2, shop_cents=900)
    assert [cost / MICROS_PER_CENT for cost in found.low.cost_micros] == [1190, 1440]
    assert [cost / MICROS_PER_CENT for cost in found.high.cost_micros] == [1690, 1940]
    assert found.lines[0].verdicts == ("holds for none", "depends")  # one at 9.00; two at 18.00
    assert (
        found.lines[0].words == "100 g at 9.00, by batches: it depends on what delivery costs at 2; "
        "making pays at no price of delivery at 1."
    )
    assert not found.known


def test_the_high_end_alone_decides_for_all_and_the_low_end_alone_for_none() -> None:
    found = band(market(delivery=300, delivery_high=400), upto=3, shop_cents=900)
    assert found.lines[0].verdicts[1:] == ("holds for all", "holds for all")  # two cost 14.40 to 15.40 of 18.00
    assert found.lines[0].counts("holds for all") == ((2, 3),)


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [
        (8, 9, "holds for all"),
        (10, 10, "holds for all"),
        (10, 11, "depends"),
        (11, 12, "holds for none"),
        (11, None, "holds for none"),
        (None, 10, "holds for all"),
        (9, None, "not proved"),
        (None, 11, "not proved"),
        ((7, 9), (8, 10), "holds for all"),
        ((7, 9), (8, 11), "not proved"),
        ((11, 14), (12, None), "holds for none"),
        ((9, 10), (11, 15), "depends"),
        ((9, 11), (11, 15), "not proved"),
        (None, None, "not proved"),
    ],
)
def test_what_is_proved_of_one_end_may_decide_and_nothing_else_is_claimed(
    low: int | tuple[int, int | None] | None, high: int | tuple[int, int | None] | None, verdict: str
) -> None:
    assert band_verdicts(made([low]), made([high]), Fraction(10)) == (verdict,)


def test_a_need_that_cannot_be_met_is_no_verdict_on_the_price() -> None:
    none = made([None], ("impossible",))
    assert band_verdicts(none, none, Fraction(10)) == ("impossible",)


def test_one_solve_where_delivery_is_known_and_two_where_it_is_not() -> None:
    calls = []

    def curve(sold: Market, needs: dict[str, Fraction], upto: int, *, containers_per_batch: int) -> CostCurve:
        calls.append(sold.supplier("A").delivery)
        return cost_curve(sold, needs, upto, containers_per_batch=containers_per_batch)

    delivery_band(make_plan(workshop(market()), "balm"), 2, curve=curve)
    assert calls == [((None, 500),)]
    delivery_band(make_plan(workshop(market(delivery_high=700)), "balm"), 2, curve=curve)
    assert calls[1:] == [((None, 500),), ((None, 700),)]


def test_a_band_is_called_off_within_a_fifth_of_a_second_and_claims_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    real = highs.solve

    def slow(*args: object, **given: object) -> object:
        time.sleep(0.8)  # and cannot be interrupted
        return real(*args, **given)

    def blind(solver: CurveSolver, per_batch: dict[str, Fraction], upto: int, **_: object) -> tuple[CurvePoint, ...]:
        counts = range(1, upto + 1)
        return tuple(CurvePoint(solver.market, n, need_of(per_batch, n), 0) for n in counts)

    monkeypatch.setattr(highs, "solve", slow)
    monkeypatch.setattr(CurveSolver, "curve", blind)
    plan = make_plan(workshop(market(delivery_high=900)), "balm")
    late = []
    for _ in range(4):  # the best counts, as other programs may hold the machine up
        off = time.monotonic() + 0.3
        found = delivery_band(plan, 6, cancelled=lambda off=off: time.monotonic() > off)
        late.append(time.monotonic() - off)
        assert "not proved" in found.lines[0].verdicts
        assert "not known yet" in found.lines[0].words
        if late[-1] < 0.2:
            break
    assert 0 <= min(late) < 0.2


def test_a_supplier_that_sells_nothing_the_recipe_takes_has_no_say() -> None:
    sold = market()
    other = replace(sold.suppliers[1], name="C", delivery_high=((None, 900),))
    assert band(replace(sold, suppliers=(*sold.suppliers, other)), upto=1).known


@given(
    st.integers(0, 900),
    st.integers(0, 900),
    st.integers(0, 1000),
    st.integers(300, 1500),
    st.one_of(st.none(), st.integers(500, 3000)),
)
@settings(max_examples=12, deadline=None)
def test_every_price_of_delivery_in_between_agrees_with_the_verdict(
    low: int, more: int, thousandths: int, shop: int, free_from: int | None
) -> None:
    between = low + more * thousandths // 1000
    found = band(market(delivery=low, delivery_high=low + more, free_from=free_from), 4, shop)
    real = band(market(delivery=between, free_from=free_from), 4, shop)
    assert all(
        a <= b <= c for a, b, c in zip(found.low.cost_micros, real.low.cost_micros, found.high.cost_micros, strict=True)
    )
    for said, true in zip(found.lines[0].verdicts, real.lines[0].verdicts, strict=True):
        assert said in (true, "depends")


def test_the_table_has_a_row_a_count_and_a_column_a_price() -> None:
    frame = band(market(delivery_high=900), upto=3).to_frame()
    assert list(frame.columns) == ["batches", "containers", "cost low", "cost high", "100 g, 9.00"]
    assert len(frame) == 3


def test_the_plan_s_batch_size_counts() -> None:
    plan: Plan = make_plan(workshop(market(delivery_high=900)), "balm", batch_size=3)
    assert delivery_band(plan, 2).low.containers == (3, 6)
