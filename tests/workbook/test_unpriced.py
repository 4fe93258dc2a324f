"""A recipe of which nobody sells something: judged, weighed and reported, with the cost unknown and the reason."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from demo_workshop import demo
from hard_recipes import write_workshop
from reference_tables import reference_json

from maker_kit import cli
from maker_kit.plan import Purchase, Unpriced, curve_view, make_plan, priced, purchase
from maker_kit.workbook.run.results import PRICED, result
from maker_kit.workbook.shown import make_or_buy
from maker_kit.workshop import load_workshop

CASES = {case["case"]: case for case in reference_json("hard_recipes.json")}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_workshop(tmp_path / "mine", [CASES["plain-lotion"]])


def test_the_report_of_a_recipe_that_nobody_sells_anything_for(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["report", "plain-lotion", "--workshop", str(folder), "--set", "upto=3", "--to", str(tmp_path / "out")]
    assert cli.main(words) == 0, capsys.readouterr().err
    told = json.loads((tmp_path / "out" / "plain-lotion.json").read_text(encoding="utf-8"))
    assert {told[name] for name in PRICED} == {None}
    assert "Aqua" in told["cost_unknown"]
    assert told["weigh_out"]
    assert told["flags"]
    with (tmp_path / "out" / "plain-lotion-curve.csv").open(encoding="utf-8", newline="") as file:
        (heading,) = csv.reader(file)
    assert "cash_cost" in heading
    page = (tmp_path / "out" / "plain-lotion.html").read_text(encoding="utf-8")
    assert "The cost is unknown, because nobody on file sells" in page


def test_every_figure_of_cost_says_why_there_is_none(folder: Path) -> None:
    plan = make_plan(load_workshop(folder), "plain-lotion", batches=2)
    bought, view = priced(purchase, plan), priced(curve_view, plan, 3)
    assert isinstance(bought, Unpriced)
    assert isinstance(view, Unpriced)
    assert set(plan.unsold) == set(plan.needs)
    shown = (
        make_or_buy.counts_sheet(view),
        make_or_buy.curve_picture(view),
        make_or_buy.count_sheet(view, 2),
        make_or_buy.shopping_sheet(bought),
        make_or_buy.reasons_sheet(priced(Purchase.reasons, bought)),
        make_or_buy.cost_sheet(bought),
        make_or_buy.breakdown_picture(bought, make_or_buy.breakdown_of(bought, 10, 20)),
        make_or_buy.leftovers_sheet(bought),
        make_or_buy.selling_sheet(bought, 50, 50),
    )
    assert all(bought.why in repr(sheet) for sheet in shown)
    assert result(plan, plan, bought, view)["cost_unknown"] == bought.why


def test_what_is_for_sale_is_priced_as_ever() -> None:
    plan = make_plan(demo(), "r4-balm", batches=3)
    assert plan.unsold == ()
    assert priced(purchase, plan) == purchase(plan)
    assert "cost_unknown" not in result(plan, plan, purchase(plan), curve_view(plan, 3))
