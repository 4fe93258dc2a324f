"""The cupboard is asked first in make or buy and in the report: what is paid falls, what is used up does not.

Expected costs are those of the cheapest list for what is missing alone, worked out apart.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from maker_kit.bench.log import open_log
from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.needs import need_of
from maker_kit.plan.costs import curve_view
from maker_kit.plan.log.cupboard import CUPBOARD
from maker_kit.plan.plan import make_plan
from maker_kit.plan.shopping.purchases import purchase
from maker_kit.workbook.panels.make_or_buy import make_or_buy_panel
from maker_kit.workbook.panels.own.cupboard import AskCupboard
from maker_kit.workbook.run.report import write_reports
from maker_kit.workbook.shown.own.cupboard import cupboard_sheets, with_cupboard
from maker_kit.workshop import find_workshop, load_workshop, new_workshop

BALM = "r4-balm"
HELD = {"Shea butter": 600_000, "Beeswax": 100_000}
"""What the log holds [mg]; and a lot that is past its date."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    made = new_workshop(tmp_path_factory.mktemp("cupboard") / "mine")
    with open_log(made, make=True) as log:
        for item, mg in HELD.items():
            log.add("lot", code=item[:2], item=item, scale_mg=mg, best_before="2099-01-01")
        log.add("lot", code="old", item="Castor oil", scale_mg=900_000, best_before="2020-01-01")
    return made


@pytest.fixture(scope="module")
def mine(folder):
    return load_workshop(folder)


def missing_micros(plan, batches: int) -> int:
    """The cheapest list of what the log does not hold."""
    left = {item: amount - HELD.get(item, 0) // 100 for item, amount in need_of(plan.needs, batches).items()}
    return cheapest_basket(plan.market, {item: n for item, n in left.items() if n > 0}).cost_micros


def test_the_tick_is_set_where_the_makers_own_log_has_stock_and_there_alone(mine, tmp_path: Path) -> None:
    assert AskCupboard(mine).tick.value
    assert not AskCupboard(mine, asked=False).tick.value
    demo = AskCupboard(find_workshop())
    assert (demo.tick.value, demo.tick.disabled) == (False, False)
    bare = AskCupboard(load_workshop(new_workshop(tmp_path / "bare")), asked=True)
    assert (bare.tick.value, bare.tick.disabled) == (False, True)


def test_a_log_that_cannot_be_read_leaves_the_tick_unset_and_says_why(tmp_path: Path) -> None:
    made = new_workshop(tmp_path / "torn")
    (made / "bench.sqlite").write_bytes(b"no log at all, whatever it is called" * 9)
    torn = AskCupboard(load_workshop(made))
    assert (torn.tick.value, torn.tick.disabled) == (False, True)
    assert "bench.sqlite" in torn.tick.description


def test_curve_list_and_answer_follow_the_tick_and_what_is_used_up_does_not(mine, monkeypatch) -> None:
    panel = make_or_buy_panel(mine, BALM, batch_size=4, batches=2, upto=3, cupboard=True)
    panel.wait()
    plan = panel.plain.plan
    assert panel.view.curve.cost_micros == tuple(missing_micros(plan, n) for n in (1, 2, 3))
    assert panel.view.used_cost_micros == curve_view(plan, 3).curve.used_cost_micros
    assert "cupboard first" in panel.answer.value
    panel.tabs.selected_index = 0
    panel.wait()
    assert CUPBOARD in panel.basket.value
    assert "still to buy" in panel.basket.value
    panel.cupboard.tick.value = False
    panel.wait()
    assert panel.view.without is None
    assert panel.view.curve.cost_micros == curve_view(plan, 3).curve.cost_micros
    assert "cupboard" not in panel.answer.value.casefold()


def test_the_report_asks_it_where_it_is_set_and_the_numbers_say_so(folder, mine, tmp_path: Path) -> None:
    write_reports([BALM], str(folder), ["cupboard=yes", "upto=2", "batches=2"], tmp_path, progress=False)
    told = json.loads((tmp_path / f"{BALM}.json").read_text(encoding="utf-8"))
    plan = make_plan(mine, BALM, batches=2)
    plain = purchase(plan)
    assert round(told["cash_cost"] * 10**6) == missing_micros(plan, 2) < plain.cash_micros
    assert told["used_cost"] == pytest.approx(plain.used_micros / 1e6, abs=0.005)
    assert set(told["cupboard"]) == set(HELD) & set(plan.needs)
    page = (tmp_path / f"{BALM}.html").read_text(encoding="utf-8")
    assert "either way" in page


def test_where_it_is_not_asked_or_holds_nothing_the_report_stays_as_it_is(mine) -> None:
    plan = make_plan(mine, "r1b-hand-wash")
    bought, view = purchase(plan), curve_view(plan, 2)
    assert with_cupboard(bought, view, ask=False) == (bought, view, None)
    assert cupboard_sheets(None) is None
    listed, curve, found = with_cupboard(bought, view, ask=True, on=date(2026, 11, 2))
    assert (listed, curve) == (bought, view)
    assert "holds nothing" in repr(cupboard_sheets(found)) + cupboard_sheets(found)._repr_html_()
