"""The maker's own readings: straight lines between them, and never beyond; the verdict on a recipe."""

from __future__ import annotations

import math
import re

import demo_recipes
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError
from maker_kit.formula.setting import with_thickener_level
from maker_kit.formula.thickness.curve import Shape, straight_at, straight_band, straight_for
from maker_kit.formula.thickness.fit import fit_thickness_curve
from maker_kit.formula.thickness.judge import thickness_finding
from maker_kit.formula.thickness.readings import ThicknessReading, pick_readings

# The demo workshop: spread of 10 mL from a ring, cm, 60 s, 20 °C, 24 h; at 35 °C the 0.60 sample reads 10.3
COLD = [
    ThicknessReading(0.40, 11.8),
    ThicknessReading(0.60, 9.1),
    ThicknessReading(0.80, 7.0),
    ThicknessReading(1.00, 5.6),
    ThicknessReading(1.20, 4.9, note="stringy, beyond the supplier's most"),
]
READINGS = [*COLD, ThicknessReading(0.60, 10.3, temperature_c=35.0)]
MOST = 1.00


CURVE = fit_thickness_curve(READINGS, most_percent=MOST, temperature_c=20, hours=24)


def test_the_shops_6_4_cm_takes_0_886_percent() -> None:
    assert straight_for(CURVE, 6.4) == pytest.approx((0.886,), abs=0.0005)


def test_the_wanted_band_is_0_829_to_0_943_percent() -> None:
    ((low, high),) = straight_band(CURVE, 6.0, 6.8)
    assert (low, high) == pytest.approx((0.829, 0.943), abs=0.0005)


def test_the_kits_0_858_percent_spreads_about_6_6_cm() -> None:
    assert straight_at(CURVE, 0.858) == pytest.approx(6.6, abs=0.05)


@pytest.mark.parametrize(("level", "spread"), [(0.40, 11.8), (0.60, 9.1), (0.80, 7.0), (1.00, 5.6)])
def test_a_reading_is_given_back_and_the_warm_one_is_not_mixed_in(level: float, spread: float) -> None:
    assert straight_at(CURVE, level) == pytest.approx(spread, rel=1e-12)
    assert straight_for(CURVE, spread) == pytest.approx((level,), rel=1e-12)


@pytest.mark.parametrize(
    ("level", "most", "says"),
    [
        (0.39, MOST, "outside what was tried"),
        (1.21, None, "outside what was tried"),
        (1.1, MOST, "above the supplier's most"),
        (math.nan, MOST, "no number"),
    ],
)
def test_a_level_beyond_what_was_tried_or_allowed_is_refused(level: float, most: float | None, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        straight_at(fit_thickness_curve(COLD, most_percent=most), level)


@pytest.mark.parametrize(("spread", "most"), [(12, MOST), (4.8, None), (5.2, MOST)])
def test_a_spread_beyond_what_was_tried_or_allowed_has_no_level(spread: float, most: float | None) -> None:
    assert straight_for(fit_thickness_curve(COLD, most_percent=most), spread) == ()


def test_without_the_suppliers_most_the_stringy_sample_counts() -> None:
    assert straight_for(fit_thickness_curve(COLD), 5.25) == pytest.approx((1.1,))  # half way between 5.6 and 4.9


def test_readings_that_turn_give_the_spread_at_two_levels() -> None:
    # surfactant with salt: thin, thick, thin again (common practice, no source); straight lines by hand
    salt = [ThicknessReading(0.5, 12.0), ThicknessReading(1.5, 6.0), ThicknessReading(2.5, 12.0)]
    assert straight_for(fit_thickness_curve(salt, Shape.MAXIMUM), 9.0) == (1.0, 2.0)
    assert straight_for(fit_thickness_curve(salt, Shape.MAXIMUM, most_percent=1.5), 9.0) == (1.0,)
    assert straight_for(fit_thickness_curve(salt, Shape.MAXIMUM), 6.0) == (1.5,)


@pytest.mark.parametrize(
    "point",
    [
        ThicknessReading(-0.1, 9),
        ThicknessReading(101, 9),
        ThicknessReading(0.5, 0),
        ThicknessReading(0.5, -1),
        ThicknessReading(math.nan, 9),
        ThicknessReading(0.5, math.inf),
        ThicknessReading(0.5, 9, hours=-1),
        ThicknessReading(0.5, 9, temperature_c=math.nan),
    ],
)
def test_a_senseless_reading_is_refused(point: ThicknessReading) -> None:
    with pytest.raises(QuantityError, match="reading"):
        pick_readings([*READINGS, point], 20, 24)


FALLING = st.lists(st.tuples(st.integers(1, 400), st.integers(1, 400)), min_size=3, max_size=8).map(
    lambda steps: [
        ThicknessReading(float(a) / 100, float(b) / 10)
        for a, b in zip(np.cumsum([s[0] for s in steps]), 4000 - np.cumsum([s[1] for s in steps]), strict=True)
    ]
)


@given(FALLING, st.floats(0, 1))
def test_spreads_are_those_of_straight_lines(points: list[ThicknessReading], where: float) -> None:
    levels, spreads = [p.level_percent for p in points], [p.value for p in points]
    level = min(max(levels[0] + where * (levels[-1] - levels[0]), levels[0]), levels[-1])
    curve = fit_thickness_curve(points)
    found = straight_at(curve, level)
    assert found == pytest.approx(float(np.interp(level, levels, spreads)), rel=1e-9)
    assert min(spreads) * (1 - 1e-12) <= found <= max(spreads) * (1 + 1e-12)
    assert any(at == pytest.approx(level, rel=1e-6) for at in straight_for(curve, found))


def test_the_gel_cream_at_0_60_is_told_to_rise_to_0_886_with_its_wall() -> None:
    finding = thickness_finding(demo_recipes.gel_cream(), READINGS, 6.4, (6.0, 6.8))
    assert finding is not None
    assert (finding.kind, finding.topic, finding.subject) == ("look", "thickness", "Gel former")
    assert "thinner than the shop's 6.4 cm" in finding.text
    # by hand: 0.80 + 0.20·(7.0 − 6.4)/(7.0 − 5.6) = 0.8857 straight;
    # 0.80 + 0.20·ln(7.0/6.4)/ln(7.0/5.6) = 0.8803 along the logarithms
    assert finding.next_step.startswith(
        "raise to 0.886 % (straight line between readings; 0.880 % along their logarithms; wall 1.00)"
    )
    assert (finding.found_percent, finding.limit_percent) == (0.6, 1.0)


# the edge of 6.8 cm lies at 0.80 + 0.20·ln(7.0/6.8)/ln(7.0/5.6) = 0.8260 % along the logarithms, which judge, and at
# 0.80 + 0.20·0.2/1.4 = 0.8286 % by straight lines: 0.828 % is between the two
@pytest.mark.parametrize(
    ("level", "kind", "state", "says"),
    [
        (0.886, "know", "fine", "6.4 cm"),
        (0.83, "know", "fine", "6 to 6.8"),
        (0.828, "know", "near", "straight lines"),
        (0.944, "look", "note", "thicker"),
        (0.35, "look", "unknown", "outside what was tried"),
        (1.05, "look", "over", "supplier's most"),
    ],
)
def test_every_level_has_its_finding(level: float, kind: str, state: str, says: str) -> None:
    finding = thickness_finding(with_thickener_level(demo_recipes.gel_cream(), level), READINGS, 6.4, (6.0, 6.8))
    assert finding is not None
    assert (finding.kind, finding.level) == (kind, state)
    assert says in finding.text


@pytest.mark.parametrize(
    ("level", "kind", "says"),
    [
        (0.8255, "look", "thinner than the shop's"),
        (0.827, "know", "as wanted"),
        (0.828, "know", "as wanted"),
        (0.829, "know", "as wanted"),
        (0.938, "know", "as wanted"),
        (0.94, "look", "thicker than the shop's"),
        (0.9425, "look", "thicker than the shop's"),
    ],
)
def test_at_the_edge_the_curve_judges_the_straight_lines_are_named_and_no_digit_hides_why(
    level: float, kind: str, says: str
) -> None:
    # by hand, between the readings of 7.0 cm at 0.80 % and 5.6 cm at 1.00 %
    log, straight = 7.0 * (5.6 / 7.0) ** ((level - 0.80) / 0.20), 7.0 - 1.4 * (level - 0.80) / 0.20
    finding = thickness_finding(with_thickener_level(demo_recipes.gel_cream(), level), READINGS, 6.4, (6.0, 6.8))
    assert finding is not None
    assert finding.kind == kind == ("know" if 6.0 <= log <= 6.8 else "look")
    assert says in finding.text
    shown = float(re.search(r"a spread of ([0-9.]+) cm", finding.text)[1])
    assert shown == pytest.approx(log, abs=0.05)
    assert (6.0 <= shown <= 6.8) == (6.0 <= log <= 6.8)
    told = re.search(r"give ([0-9.]+) cm", finding.text)
    assert (told is not None) == ((6.0 <= straight <= 6.8) != (6.0 <= log <= 6.8))
    if told:
        assert (6.0 <= float(told[1]) <= 6.8) == (6.0 <= straight <= 6.8)
        assert finding.level == "near"
        assert finding.next_step


@given(st.floats(0.4, 1.0))
def test_whatever_the_level_the_shown_spread_lies_where_the_verdict_puts_it(level: float) -> None:
    log = math.exp(np.interp(level, [0.4, 0.6, 0.8, 1.0], np.log([11.8, 9.1, 7.0, 5.6])))
    finding = thickness_finding(with_thickener_level(demo_recipes.gel_cream(), level), READINGS, 6.4, (6.0, 6.8))
    assert finding is not None
    if min(abs(log - 6.0), abs(log - 6.8)) < 1e-6:
        return
    assert ("as wanted" in finding.text) == (6.0 <= log <= 6.8)
    shown = float(re.search(r"a spread of ([0-9.]+) cm", finding.text)[1])
    assert (6.0 <= shown <= 6.8) == (6.0 <= log <= 6.8)


@pytest.mark.parametrize("points", [[], READINGS[-1:]])
def test_nothing_measured_cold_is_unknown_and_never_fine(points: list[ThicknessReading]) -> None:
    finding = thickness_finding(demo_recipes.gel_cream(), points, 6.4)
    assert finding is not None
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert finding.next_step


def test_a_wish_beyond_the_wall_is_told_as_such() -> None:
    finding = thickness_finding(demo_recipes.gel_cream(), READINGS, 5.2)
    assert finding is not None
    assert "above the supplier's most" in finding.next_step


def test_a_thicker_one_is_told_to_fall() -> None:
    finding = thickness_finding(with_thickener_level(demo_recipes.gel_cream(), 1.0), READINGS, 6.4)
    assert finding is not None
    assert finding.next_step.startswith("lower to 0.886 %")


def test_a_recipe_without_a_thickener_has_no_thickness_to_judge() -> None:
    assert thickness_finding(demo_recipes.ready_base_wash(), READINGS, 6.4) is None


@pytest.mark.parametrize(("wanted", "band"), [(0.0, None), (6.4, (6.8, 6.0)), (5.0, (6.0, 6.8)), (math.nan, None)])
def test_a_senseless_wish_is_refused(wanted: float, band: tuple[float, float] | None) -> None:
    with pytest.raises(QuantityError, match="wanted spread"):
        thickness_finding(demo_recipes.gel_cream(), READINGS, wanted, band)
