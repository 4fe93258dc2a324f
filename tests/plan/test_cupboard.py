"""The cupboard is asked first. Expected values: a list for what is missing alone, worked out apart, and by hand."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from demo_workshop import demo
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.bench.log import open_log
from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.needs import need_of
from maker_kit.errors import QuantityError
from maker_kit.plan.log.cupboard import CUPBOARD, cupboard_curve, cupboard_list, cupboard_of, stocked
from maker_kit.plan.plan import make_plan
from maker_kit.plan.shopping.purchases import purchase

SHOP = demo()
PLAN = make_plan(SHOP, "r4-balm", batch_size=4)
ALL = {item: 5000.0 for item in PLAN.needs if item in SHOP.ingredients}


def test_nothing_in_it_changes_nothing() -> None:
    assert stocked(PLAN, {}) is PLAN
    assert stocked(PLAN, {"Propanediol": 500.0}) is PLAN  # the balm takes none
    found = cupboard_list(PLAN, {})
    assert found.with_cupboard.cash_micros == found.without.cash_micros
    assert not found.taken_g


def test_a_full_one_leaves_tins_and_labels_to_pay_and_nothing_less_is_used_up() -> None:
    found = cupboard_list(PLAN, ALL)
    bought = {line.pack for line in found.with_cupboard.basket.lines if line.supplier != CUPBOARD}
    items = {item for pack in SHOP.market.packs if pack.name in bought for item in pack.content}
    assert items == {PLAN.recipe.container, "Label"}
    assert found.with_cupboard.used_micros == purchase(PLAN).used_micros
    assert found.with_cupboard.cash_micros < found.without.cash_micros


def test_what_is_paid_is_the_list_of_what_is_missing() -> None:
    there = {"Shea butter": 150.0, "beeswax": 3.05}
    found = cupboard_list(PLAN, there)
    need = need_of(PLAN.needs, 1)
    missing = {
        item: left
        for item, amount in need.items()
        if (left := amount - {"Shea butter": 1500, "Beeswax": 30}.get(item, 0)) > 0
    }
    assert found.with_cupboard.cash_micros == cheapest_basket(PLAN.market, missing).cost_micros
    frame = found.to_frame().set_index("what")
    assert frame.loc["Beeswax", "in the cupboard g"] == 3.0  # a shop weighs in 0.1 g, rounded down
    for _, row in frame.iterrows():
        assert row["taken g"] + row["still to buy g"] == pytest.approx(row["needed g"])


@settings(max_examples=8, deadline=None)
@given(st.dictionaries(st.sampled_from(sorted(ALL)), st.floats(0, 400), max_size=4))
def test_more_in_it_never_costs_more(there) -> None:
    some = cupboard_list(PLAN, there)
    more = cupboard_list(PLAN, {item: grams + 50 for item, grams in there.items()})
    assert more.with_cupboard.cash_micros <= some.with_cupboard.cash_micros <= some.without.cash_micros
    assert some.with_cupboard.used_micros == more.with_cupboard.used_micros


def test_the_curve_is_its_lists() -> None:
    there = {"Shea butter": 300.0, "Castor oil": 100.0}
    frame = cupboard_curve(PLAN, there, 3).to_frame()
    for n in (1, 2, 3):
        found = cupboard_list(make_plan(SHOP, "r4-balm", batch_size=4, batches=n), there)
        row = frame.iloc[n - 1]
        assert row["you pay"] == pytest.approx(found.with_cupboard.cash_micros / 1e6)
        assert row["without the cupboard"] == pytest.approx(found.without.cash_micros / 1e6)
        assert row["used up"] == pytest.approx(found.with_cupboard.used_micros / 1e6)


def test_only_what_is_good_today_is_in_it_and_without_a_log_nothing(tmp_path: Path) -> None:
    assert cupboard_of(None, date(2026, 11, 2)) == {}
    with open_log(tmp_path, make=True) as log:
        log.add("lot", code="A", item="Beeswax", scale_mg=20_000, best_before="2026-11-01")
        log.add("lot", code="B", item="Beeswax", scale_mg=5_000, best_before="2026-11-02")
        assert cupboard_of(log, date(2026, 11, 2)) == {"Beeswax": 5.0}


@pytest.mark.parametrize("grams", [-1.0, float("nan"), float("inf")])
def test_an_amount_that_cannot_be_is_refused(grams: float) -> None:
    with pytest.raises(QuantityError):
        stocked(PLAN, {"Beeswax": grams})
