"""A delivery put away as lots, and the cupboard after. Expected values: the invented scenario (kit 2), by hand."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from demo_workshop import demo

from maker_kit.bench.log import open_log
from maker_kit.bench.receiving import put_away
from maker_kit.bench.stock import lots_of, stock
from maker_kit.errors import MakerKitError, QuantityError, UnknownNameError
from maker_kit.plan.kit_received import receive_kit

SHOP = demo()
TODAY = date(2026, 11, 2)


@pytest.fixture
def log(tmp_path: Path):
    with open_log(tmp_path, make=True) as made:
        yield made


def put(log, scale=None, **more):
    came = receive_kit(SHOP, "Kit 2", scale or {})
    return put_away(log, came, TODAY, SHOP.ingredients, **more)


def test_each_ingredient_gets_a_lot_and_what_is_counted_gets_none(log) -> None:
    done = put(log, {"Propanediol": "31.4 g"}, codes={"propanediol": "N-0900"})
    assert len(done.lots) == 10  # eleven things in the kit, of which four jars are counted
    assert done.lots["Propanediol"] == "N-0900"
    assert len(set(done.lots.values())) == 10
    there = stock(log, TODAY)
    assert there["Propanediol"] == 31.4  # the scale counts before the list
    assert there["Glycerin"] == 30.0
    assert lots_of(log, TODAY, code="N-0900")[0].by == "scale"


def test_dates_and_papers_that_are_missing_or_short_are_told(log) -> None:
    dates = {"Gel former": date(2027, 1, 2), "Glycerin": date(2029, 1, 1), "Panthenol 75 %": date(2026, 11, 1)}
    done = put(log, best_before=dates, keeps_months=6)
    told = {(f.code, f.subject): f for f in done.findings}
    assert told["came.short_lived", "Gel former"].kind == "look"  # two months against six
    assert told["came.past_date", "Panthenol 75 %"].kind == "stop"
    assert told["came.no_paper", "Scent 1"].level == "unknown"
    assert told["came.no_date", "Propanediol"].level == "unknown"
    assert not [key for key in told if key[1] == "Glycerin"]
    assert "Panthenol 75 %" not in stock(log, TODAY)  # expired stock is no stock
    again = put(log, certificates=frozenset({"scent 1"}))
    assert "came.no_paper" not in {f.code for f in again.findings}
    assert not set(again.lots.values()) & set(done.lots.values())


@pytest.mark.parametrize(
    ("more", "error"),
    [
        ({"codes": {"Honey": "N-1"}}, UnknownNameError),
        ({"codes": {"Propanediol": "N-1", "Glycerin": "n-1"}}, QuantityError),
        ({"scale": {"Propanediol": "-3 g"}}, MakerKitError),
        ({"scale": {"Propanediol": "1 fathom"}}, MakerKitError),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(log, more, error) -> None:
    with pytest.raises(error):
        put(log, **more)
    assert log.counts()["lot"] == 0
