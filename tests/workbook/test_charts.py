"""The pictures, tested for what they hold: places, texts, hatches; never by comparing images."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

import pytest
from demo_workshop import demo
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.offsetbox import AnnotationBbox
from matplotlib.text import Text

from maker_kit.formula.thickness.curve import Shape
from maker_kit.formula.thickness.fit import fit_thickness_curve
from maker_kit.formula.thickness.readings import ThicknessReading
from maker_kit.plan import curve_view, make_plan
from maker_kit.plan.cost_breakdown import CostBreakdown
from maker_kit.workbook.charts.cost_breakdown import BREAKDOWN
from maker_kit.workbook.charts.formula import LIMITS
from maker_kit.workbook.charts.make_or_buy import CURVE, spread_out
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.charts.style import CLAY
from maker_kit.workbook.charts.thickness import THICKNESS
from maker_kit.workbook.shown import make_or_buy


@dataclass(frozen=True)
class Bar:
    substance: str
    found_low_percent: float | None
    found_high_percent: float | None
    limit_percent: float | None
    counted_as: str = "as supplied"
    unrestricted: bool = False
    level: str = "fine"


BARS = (
    Bar("certain", 0.5, 0.5, 1.0),
    Bar("a range", 0.2, 0.6, 1.0),
    Bar("over", 0.9, 1.2, 1.0, level="over"),
    Bar("no limit known", 0.1, 0.2, None),
    Bar("amount unknown", 0.0, None, 2.5),
    Bar("not allowed", 0.1, 0.1, 0.0),
    Bar("unrestricted", 0.1, 0.1, None, unrestricted=True),
    Bar("a very long name of a substance that goes on and on", 0.1, 0.3, 0.4),
)


def axes(height: float = 5.0):
    figure = Figure(figsize=(9.4, height), dpi=100)
    FigureCanvasAgg(figure)
    return figure.add_subplot()


def texts(ax) -> list[str]:
    return [t.get_text() for t in ax.texts]


def test_each_bar_says_its_numbers_and_what_is_not_known() -> None:
    ax = LIMITS.draw(BARS, axes())
    shown = texts(ax)
    assert shown[0] == "0.50 % of 1.00 % as supplied"
    assert shown[2].endswith("OVER")
    assert "unknown" in shown[3]
    assert "amount unknown" in shown[4]
    assert "not allowed" in shown[5]
    assert "no restriction" in shown[6]


def test_a_range_is_hatched_and_ends_at_its_high_side() -> None:
    ax = LIMITS.draw((BARS[1],), axes())
    solid, hatched = ax.patches[1], ax.patches[2]
    assert solid.get_width() == pytest.approx(20)
    assert hatched.get_hatch()
    assert hatched.get_x() + hatched.get_width() == pytest.approx(60)


def test_a_recipe_without_limits_says_that_this_is_no_promise() -> None:
    assert any("does not mean" in text for text in texts(LIMITS.draw((), axes())))


def overlaps(ax) -> list[tuple[str, str]]:
    figure = ax.figure
    figure.canvas.draw()
    renderer = figure.canvas.get_renderer()
    boxes = [
        (t.get_text(), Text.get_window_extent(t, renderer))
        for t in [*ax.texts, *ax.get_xticklabels(), *ax.get_yticklabels()]
        if t.get_text() and t.get_visible()
    ]
    return [
        (a, b)
        for i, (a, one) in enumerate(boxes)
        for b, two in boxes[i + 1 :]
        if one.shrunk(0.98, 0.9).overlaps(two.shrunk(0.98, 0.9))
    ]


def outside(ax) -> list[str]:
    figure = ax.figure
    renderer = figure.canvas.get_renderer()
    return [
        t.get_text()
        for t in ax.texts
        if t.get_text()
        and (Text.get_window_extent(t, renderer).x1 > figure.bbox.x1 or Text.get_window_extent(t, renderer).x0 < 0)
    ]


@pytest.fixture(scope="module")
def view():
    return curve_view(make_plan(demo(), "r1b-hand-wash", batches=12), 24)


def test_no_labels_of_the_bars_overlap_or_run_out_of_the_picture() -> None:
    ax = LIMITS.draw(BARS, axes(LIMITS.height_in(BARS)))
    assert overlaps(ax) == []
    assert outside(ax) == []


@pytest.mark.parametrize("mark", [None, 3, 12, 24])
def test_no_labels_of_the_curve_overlap_or_run_out_of_the_picture(view, mark) -> None:
    ax = CURVE.draw(replace(view, mark=mark), axes(CURVE.height_in(view)))
    assert overlaps(ax) == []
    assert outside(ax) == []


def test_the_curve_holds_every_count_and_its_strips_the_counts_that_pay(view) -> None:
    ax = CURVE.draw(view, axes(CURVE.height_in(view)))
    saw = ax.lines[0]
    assert [(a + b) / 2 for a, b in zip(saw.get_xdata()[::2], saw.get_xdata()[1::2], strict=True)] == list(range(1, 25))
    assert list(saw.get_ydata()[::2]) == list(saw.get_ydata()[1::2])
    assert saw.get_ydata()[6] == pytest.approx(35.80 / 4)  # the demo workshop's own table: 35.80 for four
    solid = [ends for drawn in ax.collections if drawn.get_linewidth() == [6] for ends in drawn.get_segments()]
    assert len(solid) == sum(len(line.pays) for line in view.shop_lines)


def test_the_shop_lines_are_told_apart_without_colour(view) -> None:
    ax = CURVE.draw(view, axes(CURVE.height_in(view)))
    dashes = {str(line._unscaled_dash_pattern) for line in ax.lines if line.get_color() == CLAY}
    assert len(dashes) == len(view.shop_lines)


def not_proved(view, places: set[int], low: float, high: float):
    """The view with some counts open, one container costing from low to high there."""
    points = tuple(
        replace(p, lower_micros=round(low * n * 10**6), upper_micros=round(high * n * 10**6)) if k in places else p
        for k, (p, n) in enumerate(zip(view.curve.points, view.containers, strict=True))
    )
    return replace(view, curve=replace(view.curve, points=points))


def test_nothing_is_drawn_across_counts_that_are_not_proved(view) -> None:
    ax = CURVE.draw(not_proved(view, {4, 5, 6}, 9.0, 9.5), axes(CURVE.height_in(view)))
    unknown = [x for x, y in zip(ax.lines[0].get_xdata(), ax.lines[0].get_ydata(), strict=True) if math.isnan(y)]
    assert (min(unknown), max(unknown)) == (4.5, 7.5)  # the width of counts 5, 6 and 7
    assert [x for x, y in zip(ax.lines[1].get_xdata(), ax.lines[1].get_ydata(), strict=True) if math.isnan(y)] == [
        5,
        6,
        7,
    ]
    (band,) = (drawn for drawn in ax.collections if drawn.get_hatch())
    (outline,) = band.get_paths()
    assert outline.get_extents().bounds == pytest.approx((4.5, 9.0, 3.0, 0.5))


PARTS = CostBreakdown(
    12,
    (
        ("ingredients", Fraction(3_000_000)),
        ("container", Fraction(1_200_000)),
        ("delivery", Fraction(0)),
        ("waste", Fraction(450_000)),
    ),
    55_800_000,
    Fraction(0),
)
BAR_SETS = (BARS, BARS[:1], (), BARS[2:5])


@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 2, 1, 0), (2, 2, 0, 1)])
def test_bars_on_kept_axes_are_as_on_new_ones(order) -> None:
    kept = LIMITS.picture()
    for k in order:
        assert kept.png(BAR_SETS[k]) == LIMITS.picture().png(BAR_SETS[k])


def test_curves_and_stacks_on_kept_axes_are_as_on_new_ones(view) -> None:
    gone = not_proved(view, {0}, 9.0, 9.5)
    kept_short = replace(view.plan.recipe, keeps_months=11.0, use_per_month=1.0)
    gone = replace(gone, mark=20, plan=replace(view.plan, recipe=kept_short))
    bare = replace(view, shop_lines=(), marks=(), mark=None)
    kept = CURVE.picture()
    for shown in (view, gone, bare, gone, view):
        assert kept.png(shown) == CURVE.picture().png(shown)
    kept = BREAKDOWN.picture()
    for shown in (
        (PARTS, view.shop_lines, "EUR", "Gel"),
        (PARTS, (), "USD", "Gel"),
        (replace(PARTS, parts=PARTS.parts[:2]), view.shop_lines[:1], "EUR", "Wash"),
        (PARTS, view.shop_lines, "EUR", "Gel"),
    ):
        assert kept.png(shown) == BREAKDOWN.picture().png(shown)


SPREADS = fit_thickness_curve(
    [
        ThicknessReading(level, spread)
        for level, spread in ((0.4, 11.8), (0.6, 9.1), (0.8, 7.0), (1.0, 5.6), (1.2, 4.9))
    ],
    most_percent=1.0,
)  # the demo workshop's readings


def rings(ax) -> dict[bool, float]:
    """Diameters of the rings in points: of the filled one, and of the open one."""
    (box,) = (artist for artist in ax.artists if isinstance(artist, AnnotationBbox))
    return {ring.get_facecolor()[3] > 0: 2 * ring.radius for ring in box.offsetbox.get_children()}


def test_the_rings_are_to_scale_and_told_apart_without_colour() -> None:
    ax = THICKNESS.draw((SPREADS, 6.4, (6.0, 6.8), 0.6), axes(4.2))
    drawn = rings(ax)
    assert drawn[True] / drawn[False] == pytest.approx(9.1 / 6.4)
    assert any("9.1 cm (filled)" in text and "6.4 cm (dashed)" in text for text in texts(ax))
    assert overlaps(ax) == []
    assert outside(ax) == []


@pytest.mark.parametrize("level", [0.2, 1.1])
def test_a_level_outside_what_was_tried_is_said_to_be_unknown(level) -> None:
    ax = THICKNESS.draw((SPREADS, 6.4, (6.0, 6.8), level), axes(4.2))
    assert set(rings(ax)) == {False}
    assert any("nobody knows" in text for text in texts(ax))
    assert any("spread unknown" in text for text in texts(ax))
    assert overlaps(ax) == []
    assert outside(ax) == []


FUNNEL = fit_thickness_curve(
    [
        ThicknessReading(c, s, "funnel")
        for c, s in ((0.2, 4), (0.4, 7), (0.4, 8), (0.6, 12), (0.6, 13), (0.8, 21), (1.0, 36))
    ],
    most_percent=1.0,
)
SALT = fit_thickness_curve(
    [
        ThicknessReading(c, v, "viscosity")
        for c, v in ((1, 500), (1, 550), (2, 3000), (3, 8000), (3, 8500), (4, 5000), (5, 1200))
    ],
    Shape.MAXIMUM,
)


@pytest.mark.parametrize(
    "shown",
    [
        (FUNNEL, 15.0, (13.0, 17.0), 0.3),
        (FUNNEL, 15.0, (13.0, 17.0), 0.7),
        (FUNNEL, None, None, 0.6),
        (SALT, 3000.0, (2000.0, 4000.0), 1.8),
        (SALT, 3000.0, (2000.0, 4000.0), 4.5),
        (SALT, 7000.0, None, 3.0),
    ],
)
def test_seconds_and_viscosities_have_their_values_beside_and_no_rings(shown) -> None:
    ax = THICKNESS.draw(shown, axes(4.2))
    assert not [artist for artist in ax.artists if isinstance(artist, AnnotationBbox)]
    value, unit = shown[0].value_at(shown[3]), shown[0].unit
    assert any(
        text.startswith(f"at {shown[3]:g} %: ") and unit in text and "by the repeats" in text for text in texts(ax)
    )
    assert any(line.get_marker() == "D" and line.get_ydata()[0] == pytest.approx(value) for line in ax.lines)
    assert any(hatched.get_hatch() for hatched in ax.collections)
    assert ax.get_ylabel().endswith("more is thicker")
    assert ("thickest near" in " ".join(texts(ax))) == (shown[0] is SALT)
    assert overlaps(ax) == []
    assert outside(ax) == []


def test_readings_without_repeats_has_no_stretch_of_trust() -> None:
    ax = THICKNESS.draw((SPREADS, 6.4, (6.0, 6.8), 0.6), axes(4.2))
    assert not [drawn for drawn in ax.collections if drawn.get_hatch()]
    assert "dotted" not in ax.get_xlabel()


def test_thickness_curves_on_kept_axes_are_as_on_new_ones() -> None:
    kept = THICKNESS.picture()
    for shown in (
        (SPREADS, 6.4, (6.0, 6.8), 0.6),
        (SPREADS, None, None, 0.2),
        (SPREADS, 6.4, None, 0.9),
        (SPREADS, 6.4, (6.0, 6.8), 0.6),
    ):
        assert kept.png(shown) == THICKNESS.picture().png(shown)


def test_a_drawing_that_failed_leaves_no_half_of_itself(view) -> None:
    def draw(shown, ax):
        CURVE.draw(view, ax)
        if shown == "fails":
            raise ValueError(shown)
        return ax

    kept = Picture(draw)
    with pytest.raises(ValueError, match="fails"):
        kept.png("fails")
    assert kept.png("well") == Picture(draw).png("well")


@given(st.lists(st.floats(0, 20), min_size=1, max_size=8), st.floats(0.1, 2))
def test_labels_are_pushed_apart_and_stay_in_order(values: list[float], room: float) -> None:
    placed = spread_out(sorted(values), room)
    assert all(b - a >= room - 1e-9 for a, b in pairwise(placed))
    assert min(placed) >= 0


def test_a_picture_is_redrawn_in_place_and_differs(view) -> None:
    picture = CURVE.picture()
    one, two = picture.png(view), picture.png(replace(view, mark=5))
    assert one.startswith(b"\x89PNG")
    assert one != two
    assert picture.png(view) == one


def test_a_picture_carries_its_numbers_as_words(view) -> None:
    words = repr(make_or_buy.curve_picture(view))
    assert "35.80 EUR at 1 container" in words
    assert "8, 10–24" in words
