"""Words that stand for a picture tell its answer, and which recipe it is of."""

from __future__ import annotations

from dataclasses import replace

import pytest
from demo_workshop import demo
from matplotlib.axes import Axes

from maker_kit.formula.setting import with_thickener_level
from maker_kit.plan import CurveView, curve_view, make_plan
from maker_kit.plan.kit_received import receive_kit
from maker_kit.workbook.asked import thickness_of
from maker_kit.workbook.charts.kit import received_words
from maker_kit.workbook.charts.make_or_buy import curve_words
from maker_kit.workbook.charts.picture import Chart, Of
from maker_kit.workbook.charts.thickness import thickness_words
from maker_kit.workbook.shown.thickness import thickness_shown
from maker_kit.workshop import Workshop

WASH = "Foaming hand wash, from a ready base"


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return demo()


@pytest.fixture(scope="module")
def view(shop: Workshop) -> CurveView:
    return curve_view(make_plan(shop, "r1b-hand-wash", batches=12), 12)


def test_the_curve_tells_its_recipe_and_the_count_looked_at(view: CurveView) -> None:
    # the list of twelve costs 77.80, solved outside this project's code (see test_report.py)
    assert curve_words(view).startswith(f"{WASH}: one container costs 6.48 EUR at 12 containers, ")
    assert curve_words(view).count("at 12 containers") == 1  # it is the curve's end, too
    assert "at 1 container;" in curve_words(view)
    elsewhere = curve_words(replace(view, mark=13))
    assert elsewhere.startswith(f"{WASH}: one container costs ")
    assert "13" not in elsewhere  # nothing is said of a count beyond the curve


def test_a_count_that_is_not_proved_is_said_to_be_unknown(view: CurveView) -> None:
    nine = replace(view.curve.points[8], lower_micros=60 * 10**6, upper_micros=61 * 10**6)
    points = (*view.curve.points[:8], nine, *view.curve.points[9:])
    unknown = replace(view, mark=9, curve=replace(view.curve, points=points))
    assert "not known at 9 containers" in curve_words(unknown)


def test_the_thickness_curve_tells_what_the_level_gives_and_what_is_wanted(shop: Workshop) -> None:
    gel = shop.recipe("r2-gel-cream")
    told = thickness_words(thickness_shown(thickness_of(shop, gel)))
    assert told.startswith("spread at 0.6 %: 9.1 cm; the shop's 6.4 cm; wanted 6 to 6.8; your readings: ")  # as read
    stiff = thickness_words(thickness_shown(thickness_of(shop, with_thickener_level(gel, 1.3))))
    assert stiff.startswith("spread at 1.3 %: not known; ")


def test_what_came_says_what_its_three_figures_are(shop: Workshop) -> None:
    told = received_words(receive_kit(shop, "Kit 2, gel cream for four", {}))
    assert told.startswith("needed / listed / on the scale: ")
    assert "not weighed" in told


@pytest.mark.parametrize(
    ("name", "title"), [("Least", "Least: least and most"), ("Balm", "Balm: least and most"), ("", "Least and most")]
)
def test_a_title_begins_with_what_the_picture_is_of_whatever_it_says_itself(name: str, title: str) -> None:
    drawn = []

    def draw(words: str, axes: Axes) -> Axes:
        axes.set_title(words, loc="left")
        drawn.append(axes)
        return axes

    Chart(draw, str, 3.0).picture().png(Of(name, "Least and most"))
    assert drawn[-1].get_title(loc="left") == title
