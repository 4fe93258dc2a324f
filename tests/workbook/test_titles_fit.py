"""No title of a picture of the report is cut off, however long the recipe's is; counts say what they are counts of."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from demo_workshop import demo
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from maker_kit.plan import curve_view, make_plan, purchase
from maker_kit.plan.plan import Plan
from maker_kit.plan.sensitivity import sensitivity
from maker_kit.workbook.charts import cost_breakdown, make_or_buy
from maker_kit.workbook.charts.picture import DPI, WIDTH_IN, Chart
from maker_kit.workbook.shown.make_or_buy import breakdown_of
from maker_kit.workbook.shown.report.answer import in_containers

LONG = "Milky Mountain Meadow Wash for Hands and for Whoever Wants More Words"


@pytest.fixture(scope="module")
def plan() -> Plan:
    made = make_plan(demo(), "r1b-hand-wash", batch_size=2, batches=2)
    return replace(made, recipe=replace(made.recipe, title=LONG))


def drawn(chart: Chart, shown: Any) -> Any:
    height = chart.height_in(shown) if callable(chart.height_in) else chart.height_in
    figure = Figure(figsize=(WIDTH_IN, height), dpi=DPI)
    canvas = FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    chart.draw(shown, axes)
    canvas.draw()
    return axes


def check(axes: Any) -> None:
    titles = [t for t in (axes.title, axes._left_title, axes._right_title) if t.get_text()]
    assert titles
    for title in titles:
        box = title.get_window_extent()
        assert box.x0 >= 0
        assert box.x1 <= WIDTH_IN * DPI


def test_the_curve(plan: Plan) -> None:
    check(drawn(make_or_buy.CURVE, curve_view(plan, 4)))


def test_the_parts_of_one_container(plan: Plan) -> None:
    bought = purchase(plan)
    parts = breakdown_of(bought, 0.0, 0.0)
    check(drawn(cost_breakdown.BREAKDOWN, (parts, curve_view(plan, 2).shop_lines, plan.currency, LONG)))


def test_what_moves_the_verdict_says_batches_or_containers(plan: Plan) -> None:
    moves = sensitivity(plan, 4)
    for found, word in ((moves, "batches"), (in_containers(moves, 2), "containers")):
        axes = drawn(cost_breakdown.SENSITIVITY, (found, plan.currency, LONG))
        check(axes)
        assert f"pays for good from, in {word}" in [text.get_text() for text in axes.texts]
