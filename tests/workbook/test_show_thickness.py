"""Thickness in the notebooks: one verdict in all of them, the curve that is chosen, what each way of reading shows."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from demo_workshop import demo
from scipy.stats import t as students_t
from thickness_tables import FUNNEL, NO_SPREAD, SALT, VISCOSITY, curve_shop, readings

from maker_kit.errors import UnknownNameError
from maker_kit.formula.setting import with_thickener_level
from maker_kit.plan import make_plan
from maker_kit.workbook.asked import thickness_of
from maker_kit.workbook.panels.thickness import thickness_panel
from maker_kit.workbook.shown import thickness

GEL = "r2-gel-cream"


@pytest.fixture(scope="module")
def shop():
    return demo()


@pytest.mark.parametrize(
    "level",
    [0.3, 0.4, 0.6, 0.8, 0.825, 0.826, 0.827, 0.828, 0.829, 0.88, 0.886, 0.938, 0.94, 0.943, 0.944, 1.0, 1.1, 1.3, 2.0],
)
def test_both_notebooks_say_the_same_of_a_level(shop, level: float) -> None:
    plan = make_plan(shop, GEL, thickener_level=level)
    (told,) = [f for f in plan.findings if f.topic == "thickness"]
    shown = thickness.thickness_sheet(thickness_of(shop, plan.recipe)).frame
    assert f"{told.text}\n→ {told.next_step}".removesuffix("\n→ ") in set(shown["what was found"])


def test_the_advice_at_0_60_names_both_ways(shop) -> None:
    (told,) = [f for f in make_plan(shop, GEL).findings if f.topic == "thickness"]
    # by hand: 0.80 + 0.20·(7.0 − 6.4)/(7.0 − 5.6) = 0.886; 0.80 + 0.20·ln(7.0/6.4)/ln(7.0/5.6) = 0.880
    assert "thinner than the shop's 6.4 cm" in told.text
    assert told.next_step.startswith(
        "raise to 0.886 % (straight line between readings; 0.880 % along their logarithms; wall 1.00)"
    )


def told_of(shop, level: float | None = None):
    return [f for f in make_plan(shop, GEL, thickener_level=level).findings if f.topic == "thickness"]


def all_of(sheet) -> str:
    return " | ".join(" ".join(row) for row in sheet.frame.values.tolist())


def test_readings_that_turn_takes_the_curve_with_a_maximum_and_says_why(tmp_path: Path) -> None:
    shop = curve_shop(tmp_path / "mine", readings(SALT))
    (told,) = told_of(shop)
    # numpy's least squares: the parabola of ln spread at 0.60 % gives 6.76 cm, while 6 cm was read there
    assert math.exp(
        np.polyval(np.polyfit([c for c, _ in SALT], np.log([s for _, s in SALT]), 2), 0.6)
    ) == pytest.approx(6.76, abs=0.005)
    assert "a spread of 6.76 cm, as wanted" in told.text
    assert "misses the reading at this level, 6.0 cm" in told.text
    assert told.level == "near"
    shown = all_of(thickness.thickness_sheet(thickness_of(shop, shop.recipe(GEL))))
    assert told.text in shown
    assert "with a maximum, since the readings turn: thickest near 0.61" in shown
    levels = all_of(thickness.levels_sheet(thickness_of(shop, shop.recipe(GEL))))
    assert "beyond the maximum: the thickest this gets is 6.76 cm" in levels
    steady = all_of(thickness.thickness_sheet(thickness_of(shop, shop.recipe(GEL), "steady")))
    assert "unknown" in steady
    assert "take the curve with a maximum" in steady


def test_steady_readings_say_so_and_a_curve_that_does_not_fit_is_refused_in_words(shop, tmp_path: Path) -> None:
    shown = all_of(thickness.thickness_sheet(thickness_of(shop, shop.recipe(GEL))))
    assert "The curve is steady, since the readings go one way" in shown
    assert "35 °C after 24 h are kept apart" in shown
    mine = curve_shop(tmp_path / "mine", readings([(0.4, 11), (0.6, 10), (0.8, 7)]))
    assert "show no maximum of thickness" in all_of(
        thickness.thickness_sheet(thickness_of(mine, mine.recipe(GEL), "with a maximum"))
    )


def test_a_single_reading_that_went_wrong_is_no_maximum(tmp_path: Path) -> None:
    shop = curve_shop(tmp_path / "mine", readings([(0.2, 9), (0.4, 7), (0.6, 8.5), (0.8, 5)]))
    (told,) = told_of(shop)
    assert (told.kind, told.level) == ("look", "unknown")
    assert "turn near 0.4 %" in told.text
    assert "fits no better" in told.text


def test_a_funnel_time_is_judged_in_seconds_with_its_uncertainty(tmp_path: Path) -> None:
    wish = {**NO_SPREAD, "shop funnel [s]": "15", "funnel from [s]": "13", "funnel to [s]": "17"}
    shop = curve_shop(tmp_path / "mine", readings(FUNNEL, "funnel"), wish)
    (told,) = told_of(shop)
    # by hand: the geometric mean of 12 and 13 s is 12.49 s; s² = (ln(8/7)²/2 + ln(13/12)²/2)/2, t(0.975, 2) = 4.303
    # (scipy), two readings at this level
    value, scatter = math.sqrt(12 * 13), math.sqrt((math.log(8 / 7) ** 2 / 2 + math.log(13 / 12) ** 2 / 2) / 2)
    wide = students_t.ppf(0.975, 2) * scatter / math.sqrt(2)
    assert f"a funnel time of {value:.1f} s, thinner than the shop's 15 s (13 to 17 will do)" in told.text
    assert f"between {value * math.exp(-wide):.2f} and {value * math.exp(wide):.2f} s" in told.text
    # between 12.49 s at 0.60 % and 21 s at 0.80 %: along the logarithms and straight
    along, straight = 0.6 + 0.2 * math.log(15 / value) / math.log(21 / value), 0.6 + 0.2 * (15 - value) / (21 - value)
    assert told.next_step.startswith(
        f"raise to {straight:.3f} % (straight line between readings; {along:.3f} % along their logarithms"
    )
    levels = all_of(thickness.levels_sheet(thickness_of(shop, shop.recipe(GEL))))
    assert f"15 s, the shop's {along:.3f}" in levels
    low, high = (0.6 + 0.2 * math.log(edge / value) / math.log(21 / value) for edge in (13, 17))
    assert f"13 to 17 s {low:.3f} to {high:.3f} along the logarithms" in levels
    assert "by the scatter of 4 repeated readings, 95 % trust" in levels


def test_a_viscosity_band_has_a_stretch_on_either_side_of_the_maximum(tmp_path: Path) -> None:
    shop = curve_shop(
        tmp_path / "mine",
        readings(VISCOSITY, "viscosity"),
        {**NO_SPREAD, "viscosity from [mPa·s]": "2000", "viscosity to [mPa·s]": "4000"},
    )
    frame = thickness.levels_sheet(thickness_of(shop, shop.recipe(GEL))).frame
    dense = np.linspace(0.2, 1.0, 80_001)
    drawn = np.exp(np.polyval(np.polyfit([c for c, _ in VISCOSITY], np.log([v for _, v in VISCOSITY]), 2), dense))
    edges = dense[1:][np.diff(((drawn >= 2000) & (drawn <= 4000)).astype(int)) != 0]
    assert list(frame["level [% of the whole]"]) == [
        f"{edges[0]:.3f} to {edges[1]:.3f}",
        f"{edges[2]:.3f} to {edges[3]:.3f}",
    ]
    (told,) = told_of(shop)
    assert "mPa·s, thicker than the wanted 2000 to 4000 mPa·s" in told.text
    assert "gives the same beyond the maximum" in told.next_step


def test_nothing_wanted_is_said_and_never_fine(tmp_path: Path) -> None:
    shop = curve_shop(tmp_path / "mine", readings(VISCOSITY, "viscosity"), NO_SPREAD)
    shown = thickness.thickness_sheet(thickness_of(shop, shop.recipe(GEL)))
    assert shown.frame["note"][0] == "▲ look"
    assert "No wanted viscosity is on file, so nothing is compared" in all_of(shown)
    assert "under shop viscosity [mPa·s]" in all_of(thickness.levels_sheet(thickness_of(shop, shop.recipe(GEL))))


def test_a_wish_by_a_way_in_which_nothing_was_read_is_unknown(tmp_path: Path) -> None:
    shop = curve_shop(tmp_path / "mine", readings(FUNNEL, "funnel"))  # the demo wants a spread
    (told,) = told_of(shop)
    assert (told.kind, told.level) == ("look", "unknown")


def test_readings_that_were_warm_alone_are_not_judged(tmp_path: Path) -> None:
    rows = [[*row[:6], "35", *row[7:]] for row in readings([(0.4, 13), (0.6, 10.3), (0.8, 8), (1.0, 6)])]
    shop = curve_shop(tmp_path / "mine", rows)
    (told,) = told_of(shop)
    assert told.level == "unknown"
    assert "only at 35 °C after 24 h" in told.text
    for sheet in (thickness.thickness_sheet, thickness.levels_sheet):
        assert "not mixed in" in all_of(sheet(thickness_of(shop, shop.recipe(GEL))))


def test_equal_repeats_show_no_interval_of_no_width(tmp_path: Path) -> None:
    shop = curve_shop(
        tmp_path / "mine",
        readings([(0.4, 11), (0.4, 11), (0.6, 9), (0.8, 7)]),
        {"shop spread [cm]": "8", "spread from [cm]": "7.5", "spread to [cm]": "8.5"},
    )
    levels = all_of(thickness.levels_sheet(thickness_of(shop, shop.recipe(GEL))))
    assert "0.694" in levels
    assert "between 0.689 and 0.699 %" in levels  # by hand in tests/formula/test_thickness_curve.py
    assert "between 0.694 and 0.694" not in levels


@pytest.mark.parametrize("level", [1.3, 2.0])
def test_a_recipe_beyond_what_was_tried_is_shown_as_such(shop, level: float) -> None:
    panel = thickness_panel(
        replace(shop, recipes={**shop.recipes, GEL: with_thickener_level(shop.recipe(GEL), level)}), GEL
    )
    assert panel.fault.value == ""
    assert panel.controls[0].value == level
    assert panel.controls[0].slider.max >= level
    assert "above the supplier&#x27;s most, 1 %, and outside what was tried (0.4 to 1.2 %)" in panel.words.value
    panel.tabs.selected_index = panel.tabs.titles.index("what else")
    assert "electrolyte" in panel.levers.value.lower()


def test_the_curve_and_the_way_of_reading_are_chosen_under_controls(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("MAKER_KIT_HEADLESS", raising=False)
    shop = curve_shop(tmp_path / "mine", [*readings(SALT), *readings(FUNNEL, "funnel")])
    panel = thickness_panel(shop, GEL)
    level, shape, way, _ = panel.controls
    assert (shape.value, way.value, way.disabled) == ("automatic", "spread", False)
    assert "since the readings turn" in panel.words.value
    shape.value = "steady"
    assert "take the curve with a maximum" in panel.answer.value
    assert panel.picture.image.layout.display == "none"
    shape.value = "with a maximum"
    assert panel.fault.value == ""
    picture = panel.picture.image.value
    shape.value, way.value = "automatic", "funnel"
    assert "No wanted funnel time is on file" in panel.words.value
    assert panel.picture.image.value != picture
    level.slider.value = 0.4
    assert "a funnel time of 7.5 s" in panel.words.value  # by hand: the root of 7·8


@pytest.mark.parametrize("recipe", ["r4-balm", "r1-hand-wash"])
def test_a_recipe_without_readings_is_a_sentence(shop, monkeypatch: pytest.MonkeyPatch, recipe: str) -> None:
    monkeypatch.delenv("MAKER_KIT_HEADLESS", raising=False)
    panel = thickness_panel(shop, recipe)
    assert "unknown" in panel.answer.value
    assert "thickener" in panel.answer.value
    assert panel.picture.image.layout.display == "none"
    for sheet in (thickness.thickness_sheet, thickness.levels_sheet):
        assert "unknown" in all_of(sheet(thickness_of(shop, shop.recipe(recipe))))


@pytest.mark.parametrize("wrong", [{"curve": "stedy"}, {"read_as": "funel"}])
def test_a_start_that_cannot_be_chosen_names_the_near_miss(shop, wrong: dict[str, str]) -> None:
    with pytest.raises(UnknownNameError, match="can be chosen"):
        thickness_panel(shop, GEL, **wrong)
