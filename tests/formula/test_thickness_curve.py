"""Curves through readings of thickness, against numpy's and scipy's interpolators, numpy's least squares, a NIST data
set and brute force; the demo workshop's readings.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from formula import demo_recipes
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_tables import reference_rows
from scipy.interpolate import make_interp_spline
from scipy.stats import t as students_t

from maker_kit import reference
from maker_kit.errors import MakerKitError, QuantityError, UnknownNameError
from maker_kit.formula.setting import with_thickener_level
from maker_kit.formula.thickness.curve import Shape, read_shape
from maker_kit.formula.thickness.fit import TurnsError, choose_curve, fit_thickness_curve
from maker_kit.formula.thickness.judge import curve_finding
from maker_kit.formula.thickness.levels import UNKNOWN_UNCERTAINTY, level_band, level_for, thickness_levers
from maker_kit.formula.thickness.lines import fit_parabola, monotone_values
from maker_kit.formula.thickness.readings import ThicknessReading, pick_readings

# The demo workshop: spread of 10 mL from a ring, cm, 60 s, 20 °C, 24 h; 1.20 % is beyond the supplier's most; at
# 35 °C the 0.60 sample reads 10.3
DEMO = [
    ThicknessReading(0.40, 11.8),
    ThicknessReading(0.60, 9.1),
    ThicknessReading(0.80, 7.0),
    ThicknessReading(1.00, 5.6),
    ThicknessReading(1.20, 4.9),
    ThicknessReading(0.60, 10.3, temperature_c=35.0),
]
CURVE = fit_thickness_curve(DEMO, most_percent=1.00, temperature_c=20.0, hours=24.0)
# salt in a surfactant, invented; several readings of two levels
SALT = [
    ThicknessReading(x, y, "viscosity")
    for x, y in ((1.0, 500), (1.0, 550), (2.0, 3000), (3.0, 8000), (3.0, 8500), (4.0, 5000), (5.0, 1200))
]
PEAKED = fit_thickness_curve(SALT, Shape.MAXIMUM)


def test_the_shops_6_4_cm_takes_0_88_to_0_89_percent() -> None:
    found = level_for(CURVE, 6.4)
    assert 0.88 <= found.level_percent <= 0.89  # the demo workshop: 0.880 % by a curve through the logarithms
    assert found.how_sure == UNKNOWN_UNCERTAINTY
    assert (found.standard_uncertainty, found.low_percent, found.high_percent) == (None, None, None)
    assert CURVE.kept_apart == ("35 °C after 24 h",)


def test_the_wanted_band_lies_between_the_readings_of_9_1_and_5_6_cm() -> None:
    ((low, high),) = level_band(CURVE, 6.0, 6.8).ranges
    assert (low, high) == pytest.approx((0.829, 0.943), abs=0.006)  # straight lines: 0.829 to 0.943 %
    assert (CURVE.value_at(low), CURVE.value_at(high)) == pytest.approx((6.8, 6.0))


@pytest.mark.parametrize("point", DEMO[:4])
def test_a_monotone_curve_gives_every_reading_back(point) -> None:
    assert CURVE.value_at(point.level_percent) == pytest.approx(point.value, rel=1e-12)
    assert level_for(CURVE, point.value).level_percent == pytest.approx(point.level_percent, rel=1e-9)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: CURVE.value_at(0.39), "outside what was tried"),
        (lambda: CURVE.value_at(1.1), "above the supplier's most"),
        (lambda: CURVE.value_at(math.nan), "no number"),
        (lambda: level_for(CURVE, 12.0), "outside what was tried"),
        (lambda: level_for(CURVE, 4.0), "outside what was tried"),
        (lambda: level_for(CURVE, 5.2), "above the supplier's most"),
        (lambda: level_for(CURVE, 0), "above 0"),
        (lambda: level_for(CURVE, math.inf), "no number"),
        (lambda: level_band(CURVE, 6.8, 6.0), "smaller figure first"),
        (lambda: level_band(CURVE, 4.9, 5.1), "supplier's most"),
        (lambda: level_band(CURVE, 12, 13), "outside what was tried"),
        (lambda: level_for(PEAKED, 20_000), "beyond the maximum"),
        (lambda: level_for(PEAKED, 100), "outside what was tried"),
        (lambda: fit_thickness_curve(DEMO), "several temperatures"),
        (lambda: fit_thickness_curve(DEMO, temperature_c=25), "only at 20 °C"),
        (lambda: fit_thickness_curve(DEMO, temperature_c=35), "three levels or more"),
        (lambda: fit_thickness_curve(DEMO[:2]), "three levels or more"),
        (lambda: fit_thickness_curve([]), "there is no reading"),
        (lambda: fit_thickness_curve(DEMO[:5], most_percent=0.3), "every level tried is above"),
        (lambda: fit_thickness_curve([*DEMO[:4], ThicknessReading(1.1, 5.0, hours=168)]), "several ages"),
        (lambda: fit_thickness_curve([*DEMO[:4], ThicknessReading(1.1, 5.0, "funnel")]), "several ways"),
        (
            lambda: fit_thickness_curve(
                [ThicknessReading(1, 9), ThicknessReading(2, 7), ThicknessReading(2.0000001, 7)]
            ),
            "three levels or more",
        ),
        (
            lambda: fit_thickness_curve(
                [ThicknessReading(1, 9), ThicknessReading(2, 5), ThicknessReading(2.00001, 7)], Shape.MAXIMUM
            ),
            "close together",
        ),
        (lambda: fit_thickness_curve(SALT), "the readings turn"),
        (
            lambda: fit_thickness_curve(
                [ThicknessReading(x, math.exp(x * x), "viscosity") for x in (1, 2, 3)], Shape.MAXIMUM
            ),
            "no maximum",
        ),
    ],
)
def test_what_nobody_tried_or_allows_is_refused_in_words(ask, says) -> None:
    with pytest.raises(QuantityError, match=says):
        ask()


@pytest.mark.parametrize(
    "ask", [lambda: read_shape("spline"), lambda: fit_thickness_curve([ThicknessReading(1, 2, "feel")])]
)
def test_a_curve_or_a_way_of_reading_that_nobody_knows_is_an_unknown_name(ask) -> None:
    with pytest.raises(UnknownNameError, match=r"there are: |did you mean"):
        ask()


def test_a_curve_is_a_value_and_its_words_are_read_in_one_place() -> None:
    assert [read_shape(w) for w in ("automatic", "Steady", "with a maximum", "maximum")] == [
        None,
        Shape.STEADY,
        Shape.MAXIMUM,
        Shape.MAXIMUM,
    ]
    with pytest.raises(TurnsError):
        fit_thickness_curve(SALT, Shape.STEADY)
    chosen = choose_curve(SALT)
    assert (chosen.shape, chosen.asked, choose_curve(SALT, Shape.MAXIMUM).asked) == (Shape.MAXIMUM, False, True)
    assert choose_curve(DEMO[:5]).shape is Shape.STEADY


def test_a_maximum_outside_what_was_tried_is_no_peak_of_this_curve() -> None:
    # a spread of exp(c²) is smallest, so thickest, at 0 %, and 1 to 3 % was tried
    curve = fit_thickness_curve([ThicknessReading(x, math.exp(x * x)) for x in (1, 2, 3)], Shape.MAXIMUM)
    assert curve.peak_percent is None
    assert level_for(curve, math.exp(4)).level_percent == pytest.approx(2)
    with pytest.raises(QuantityError, match="outside what was tried"):
        level_for(curve, math.exp(0.5))


@pytest.mark.parametrize(
    "reading",
    [
        ThicknessReading(-1, 5),
        ThicknessReading(101, 5),
        ThicknessReading(1, 0),
        ThicknessReading(1, -2),
        ThicknessReading(1, math.nan),
        ThicknessReading(1, 5, hours=-1),
        ThicknessReading(1, 5, temperature_c=900),
    ],
)
def test_a_senseless_reading_is_refused(reading) -> None:
    with pytest.raises(QuantityError, match="reading"):
        pick_readings([reading])


def test_the_wall_names_what_else_sets_thickness_and_the_table_has_sources() -> None:
    for curve, wanted in ((CURVE, 5.2), (PEAKED, 20_000)):
        with pytest.raises(QuantityError, match=r"Electrolyte, pH, temperature or a second thickener"):
            level_for(curve, wanted)
    levers = thickness_levers()
    assert {"electrolyte", "pH", "temperature", "second thickener"} == set(levers["lever"])
    assert len(levers) == len(reference.rows("thickness_levers.csv"))
    assert levers["source"].str.len().min() > 5
    assert levers["checked"].str.len().min() > 3


FALLING = st.lists(st.tuples(st.integers(1, 300), st.integers(1, 400)), min_size=3, max_size=8).map(
    lambda steps: list(
        zip(
            (np.cumsum([s[0] for s in steps]) / 100).tolist(),
            ((4000 - np.cumsum([s[1] for s in steps])) / 10).tolist(),
            strict=True,
        )
    )
)


@given(FALLING, st.floats(0, 1), st.sampled_from(["spread", "viscosity"]))
def test_monotone_readings_give_the_curve_of_numpy_and_scipy_and_its_inverse(pairs, where, measure) -> None:
    levels, values = [a for a, _ in pairs], [b for _, b in pairs]
    values = values if measure == "spread" else values[::-1]
    curve = fit_thickness_curve([ThicknessReading(a, b, measure) for a, b in zip(levels, values, strict=True)])
    level = min(max(levels[0] + where * (levels[-1] - levels[0]), levels[0]), levels[-1])
    value = curve.value_at(level)
    assert value == pytest.approx(math.exp(np.interp(level, levels, np.log(values))), rel=1e-9)
    assert value == pytest.approx(math.exp(make_interp_spline(levels, np.log(values), k=1)(level)), rel=1e-9)
    assert min(values) * (1 - 1e-9) <= value <= max(values) * (1 + 1e-9)
    back = level_for(curve, value).level_percent
    assert levels[0] <= back <= levels[-1]
    assert curve.value_at(back) == pytest.approx(value, rel=1e-8)
    drawn = np.array([curve.value_at(x) for x in np.linspace(levels[0], levels[-1], 200)])
    steps = np.diff(drawn)
    assert (steps <= 1e-9).all() if measure == "spread" else (steps >= -1e-9).all()


@given(FALLING, st.floats(0.5, 600), st.floats(0.01, 5))
def test_no_answer_is_ever_outside_what_was_tried_or_allowed(pairs, wanted, most) -> None:
    try:
        curve = fit_thickness_curve([ThicknessReading(a, b) for a, b in pairs], most_percent=most)
        found = level_for(curve, wanted).level_percent
    except QuantityError:
        return
    assert pairs[0][0] <= found <= min(pairs[-1][0], most)
    dense = np.linspace(pairs[0][0], min(pairs[-1][0], most), 4001)
    nearest = min(dense, key=lambda x: abs(math.log(curve.value_at(float(x)) / wanted)))
    assert curve.value_at(found) == pytest.approx(wanted, rel=1e-8)
    assert abs(found - float(nearest)) <= dense[1] - dense[0]


@given(st.lists(st.floats(-3, 3), min_size=2, max_size=7), st.data())
def test_levelling_is_the_nearest_monotone_sequence_by_trying_every_way_to_draw_levels_together(y, data) -> None:
    weights = data.draw(st.lists(st.integers(1, 4), min_size=len(y), max_size=len(y)))
    best = math.inf
    for cuts in itertools.product([False, True], repeat=len(y) - 1):
        blocks, start = [], 0
        for k in [*(i + 1 for i, cut in enumerate(cuts) if cut), len(y)]:
            blocks.append(np.average(y[start:k], weights=weights[start:k]).repeat(k - start))
            start = k
        tried = np.concatenate(blocks)
        if (np.diff(tried) >= -1e-12).all() or (np.diff(tried) <= 1e-12).all():
            best = min(best, float(np.sum(np.array(weights) * (tried - np.array(y)) ** 2)))
    found = np.array(monotone_values(y, weights))
    assert (np.diff(found) >= -1e-9).all() or (np.diff(found) <= 1e-9).all()
    assert float(np.sum(np.array(weights) * (found - np.array(y)) ** 2)) == pytest.approx(best, abs=1e-6)


def test_a_small_step_the_wrong_way_is_levelled_and_a_large_one_refused() -> None:
    small = fit_thickness_curve(
        [ThicknessReading(1, 9.0), ThicknessReading(2, 7.0), ThicknessReading(3, 7.2), ThicknessReading(4, 5.0)]
    )
    assert small.value_at(2) == small.value_at(3) == pytest.approx(math.sqrt(7.0 * 7.2))
    with pytest.raises(QuantityError, match="reads the same"):
        level_for(small, math.sqrt(7.0 * 7.2))
    assert level_band(small, 7.0, 7.2).ranges[0] == pytest.approx((2, 3), abs=0.1)
    with pytest.raises(QuantityError, match="turn near"):
        fit_thickness_curve(
            [ThicknessReading(1, 9.0), ThicknessReading(2, 7.0), ThicknessReading(3, 8.5), ThicknessReading(4, 5.0)]
        )


def test_the_parabola_has_the_certified_coefficients_of_nist_pontius() -> None:
    rows = reference_rows("nist_pontius.csv")
    x, y = [float(r["x"]) for r in rows], [float(r["y"]) for r in rows]
    if len(rows) != 40:
        pytest.skip("not the data set of 40 rows")
    fit = fit_parabola(x, y)
    # NIST StRD, linear regression, Pontius: certified values and standard deviations of the estimates
    assert fit.b0 == pytest.approx(0.673565789473684e-03, rel=1e-8)
    assert fit.b1 == pytest.approx(0.732059160401003e-06, rel=1e-10)
    assert fit.b2 == pytest.approx(-0.316081871345029e-14, rel=1e-9)
    residual = math.sqrt(sum((b - fit.at(a)) ** 2 for a, b in zip(x, y, strict=True)) / (len(x) - 3))
    assert residual * math.sqrt(fit.leverage(0.0)) == pytest.approx(
        0.107938612033077e-03, rel=1e-6
    )  # the curve at 0 is b0


@given(
    st.lists(st.tuples(st.floats(0, 10), st.floats(-5, 5)), min_size=5, max_size=12, unique_by=lambda p: round(p[0], 1))
)
@settings(max_examples=60)
def test_the_parabola_is_numpys(points) -> None:
    x, y = [round(a, 1) for a, _ in points], [b for _, b in points]
    fit, theirs = fit_parabola(x, y), np.polynomial.Polynomial.fit(x, y, 2)
    for at in (*x, sum(x) / len(x)):
        assert fit.at(at) == pytest.approx(float(theirs(at)), rel=1e-7, abs=1e-7)
    assert [fit.b2, fit.b1, fit.b0] == pytest.approx(list(np.polyfit(x, y, 2)), rel=1e-5, abs=1e-5)


def test_the_salt_curve_is_numpys_and_its_maximum_that_of_a_dense_search() -> None:
    x, y = [r.level_percent for r in SALT], np.log([r.value for r in SALT])
    theirs = np.poly1d(np.polyfit(x, y, 2))
    dense = np.linspace(1, 5, 400_001)
    assert PEAKED.peak_percent == pytest.approx(dense[np.argmax(theirs(dense))], abs=2e-5)
    wanted = 3000.0
    crossings = dense[:-1][np.diff(np.sign(theirs(dense) - math.log(wanted))) != 0]
    found = level_for(PEAKED, wanted)
    assert [found.level_percent, found.other_level_percent] == pytest.approx(list(crossings), abs=2e-5)
    assert found.level_percent < PEAKED.peak_percent < found.other_level_percent
    for level in (1.0, 2.2, 5.0):
        assert PEAKED.value_at(level) == pytest.approx(math.exp(theirs(level)), rel=1e-9)


def test_the_salt_band_has_a_stretch_on_either_side_of_the_maximum() -> None:
    band = level_band(PEAKED, 2000, 4000)
    dense = np.linspace(1, 5, 40_001)
    inside = np.array([2000 <= PEAKED.value_at(float(x)) <= 4000 for x in dense])
    edges = dense[1:][np.diff(inside.astype(int)) != 0]
    assert [end for stretch in band.ranges for end in stretch] == pytest.approx(list(edges), abs=2e-4)
    assert (
        level_band(PEAKED, 6000, 99_999).ranges[0][0]
        < PEAKED.peak_percent
        < level_band(PEAKED, 6000, 99_999).ranges[0][1]
    )


def test_the_suppliers_most_cuts_the_salt_curve_before_its_maximum() -> None:
    cut = fit_thickness_curve(SALT, Shape.MAXIMUM, most_percent=2.5)
    assert level_for(cut, 3000).other_level_percent is None
    with pytest.raises(QuantityError, match="supplier's most"):
        level_for(cut, 7000)
    assert level_band(cut, 3000, 99_999).cut == ("above 2.5 % the supplier does not allow it",)


@given(st.floats(2.2, 5), st.floats(-3, -0.2), st.floats(5, 9), st.floats(0, 1), st.sampled_from(["spread", "funnel"]))
@settings(max_examples=60)
def test_a_level_off_a_salt_curve_gives_back_its_value_and_stays_within(top, bend, height, where, measure) -> None:
    sign = -1 if measure == "spread" else 1
    readings = [
        ThicknessReading(x, math.exp(sign * (height + bend * (x - top) ** 2 / 4)), measure)
        for x in (1.0, 2.0, 3.0, 4.0, 6.0)
    ]
    curve = fit_thickness_curve(readings, Shape.MAXIMUM)
    assert curve.peak_percent == pytest.approx(top, rel=1e-6)
    level = 1.0 + 5 * where
    found = level_for(curve, curve.value_at(level))
    assert 1.0 <= found.level_percent <= 6.0
    assert curve.value_at(found.level_percent) == pytest.approx(curve.value_at(level), rel=1e-6)
    assert any(
        x == pytest.approx(level, abs=1e-3) for x in (found.level_percent, found.other_level_percent) if x is not None
    )


def test_repeats_give_the_level_an_uncertainty_as_many_drawn_curves_have_it() -> None:
    # 3 readings a level, scatter 2 % in the logarithm: the spread of the levels over 3000 curves drawn at random,
    # straight lines by numpy
    levels, true, sigma = [0.4, 0.6, 0.8, 1.0], np.log([11.8, 9.1, 7.0, 5.6]), 0.02
    rng = np.random.default_rng(20240501)
    drawn = [
        np.interp(-math.log(6.4), -(true + rng.normal(0, sigma, (3, 4)).mean(axis=0)), levels) for _ in range(3000)
    ]
    shifts = sigma * np.array([-1.0, 0.0, 1.0])  # standard deviation of (−σ, 0, σ) is σ, their mean is 0
    curve = fit_thickness_curve(
        [ThicknessReading(a, math.exp(b + d)) for a, b in zip(levels, true, strict=True) for d in shifts]
    )
    found = level_for(curve, 6.4)
    assert curve.log_scatter == pytest.approx(sigma)
    assert curve.degrees_of_freedom == 8
    assert found.standard_uncertainty == pytest.approx(float(np.std(drawn)), rel=0.06)
    wide = students_t.ppf(0.975, 8) * found.standard_uncertainty
    assert (found.low_percent, found.high_percent) == pytest.approx(
        (found.level_percent - wide, found.level_percent + wide)
    )
    assert found.low_percent < 0.8803 < found.high_percent
    low, high = curve.value_interval(0.8)
    assert low < 7.0 < high
    assert math.log(high / 7.0) == pytest.approx(students_t.ppf(0.975, 8) * sigma / math.sqrt(3), rel=1e-6)


def test_equal_repeats_prove_no_more_than_their_step_allows() -> None:
    # 11 and 11 cm, each rounded to 0.1 cm: the scatter is 0, and yet nobody knows the level to 0.000 %
    curve = fit_thickness_curve(
        [ThicknessReading(0.4, 11), ThicknessReading(0.4, 11), ThicknessReading(0.6, 9), ThicknessReading(0.8, 7)]
    )
    found = level_for(curve, 8)
    assert found.level_percent == pytest.approx(0.6 + 0.2 * math.log(9 / 8) / math.log(9 / 7))
    # by hand: half a step of 0.05 cm at 8 cm, over the slope ln(9/7)/0.2 = 1.2566 per percent, is 0.00497 %
    wide = 0.05 / 8 / (math.log(9 / 7) / 0.2)
    assert (found.low_percent, found.high_percent) == pytest.approx(
        (found.level_percent - wide, found.level_percent + wide)
    )
    assert found.standard_uncertainty == pytest.approx(
        wide / math.sqrt(3)
    )  # JCGM 100:2008, 4.3.7: half width over the root of 3
    assert "between 0.689 and 0.699 %" in found.how_sure
    assert "read to 0.1 cm" in found.how_sure
    low, high = curve.value_interval(0.5)
    assert (math.sqrt(11 * 9) - low, high - math.sqrt(11 * 9)) == pytest.approx((0.05, 0.05))


@given(
    st.lists(st.integers(0, 2), min_size=2, max_size=4),
    st.sampled_from([("spread", -1, 0.05, 0.0), ("funnel", 1, 0.5, 0.0), ("viscosity", 1, 0.0, 0.01)]),
    st.floats(0.05, 0.95),
)
def test_no_interval_is_ever_narrower_than_the_step_of_a_reading(shifts, way, part) -> None:
    measure, sign, half, share = way
    values = [100 * 1.5 ** (sign * k) for k in range(4)]
    readings = [ThicknessReading(float(k), v, measure) for k, v in enumerate(values)] + [
        ThicknessReading(0.0, 100 + s / 10, measure) for s in shifts
    ]
    curve = fit_thickness_curve(readings)
    level = 3 * part
    value = curve.value_at(level)
    low, high = curve.value_interval(level)
    step = half + share * value
    assert min(value - low, high - value) >= step * (1 - 1e-9)
    found = level_for(curve, value)
    if found.low_percent > 0 and found.high_percent < 3:
        slope = abs(curve.log_at(level)[1])
        assert found.high_percent - found.low_percent >= 2 * step / value / slope * (1 - 1e-6)


def test_the_parabolas_uncertainty_is_that_of_ordinary_least_squares() -> None:
    x = np.array([r.level_percent for r in SALT])
    design = np.vander(x, 3)
    scatter = math.sqrt((math.log(550 / 500) ** 2 / 2 + math.log(8500 / 8000) ** 2 / 2) / 2)
    covariance = scatter**2 * np.linalg.inv(design.T @ design)
    found = level_for(PEAKED, 3000)
    g = np.vander([found.level_percent], 3)[0]
    slope = np.polyval(np.polyder(np.polyfit(x, np.log([r.value for r in SALT]), 2)), found.level_percent)
    assert found.standard_uncertainty == pytest.approx(math.sqrt(g @ covariance @ g) / slope, rel=1e-6)
    assert "misses a reading by up to" in found.how_sure


def test_the_curve_holds_what_a_picture_needs() -> None:
    assert [CURVE.allows(level) for level in CURVE.levels] == [True] * 4 + [False]
    drawn = CURVE.drawn(50)
    assert drawn["level %"].between(0.4, 1.0).all()
    assert {0.4, 0.6, 0.8, 1.0} <= set(drawn["level %"])
    assert level_band(CURVE, 5.0, 6.8).cut == ("above 1 % the supplier does not allow it",)


@pytest.mark.parametrize(
    ("level", "kind", "state", "says"),
    [
        (0.60, "look", "note", "thinner"),
        (0.88, "know", "fine", "as wanted"),
        (0.99, "look", "note", "thicker"),
        (0.30, "look", "unknown", "outside"),
        (1.10, "look", "over", "most"),
    ],
)
def test_every_level_of_the_gel_cream_has_its_finding(level, kind, state, says) -> None:
    finding = curve_finding(with_thickener_level(demo_recipes.gel_cream(), level), CURVE, 6.4, (6.0, 6.8))
    assert (finding.kind, finding.level) == (kind, state)
    assert says in finding.text
    if level == 0.60:
        assert finding.next_step.startswith(
            "raise to 0.886 % (straight line between readings; 0.880 % along their logarithms; wall 1.00)"
        )
        assert "unknown" in finding.next_step
    assert curve_finding(demo_recipes.ready_base_wash(), CURVE, 6.4) is None


def test_a_senseless_wish_is_refused() -> None:
    with pytest.raises(QuantityError, match="wanted spread"):
        curve_finding(demo_recipes.gel_cream(), CURVE, 6.4, (6.8, 6.0))


ANY_NUMBER = st.one_of(st.floats(0, 5), st.floats(), st.sampled_from([0, 1e-300, 1e12, -1, None, "a", True]))


@given(
    st.lists(
        st.builds(ThicknessReading, ANY_NUMBER, ANY_NUMBER, st.sampled_from(["spread", "spread", "viscosity", "feel"])),
        max_size=6,
    ),
    st.sampled_from(Shape),
    ANY_NUMBER,
    ANY_NUMBER,
)
def test_any_readings_get_an_answer_within_what_was_tried_or_a_sentence(readings, shape, most, wanted) -> None:
    try:
        curve = fit_thickness_curve(readings, shape, most)
        found = level_for(curve, wanted)
    except MakerKitError:
        return  # any other failure fails the test
    assert curve.lowest <= found.level_percent <= curve.highest
