"""The screen of trials: planned, entered, opened and judged by its controls; the demo stays as it is."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import demo_workshop
import ipywidgets as w
import numpy as np
import pytest

from maker_kit.errors import NoticeError, QuantityError, UnknownNameError
from maker_kit.trial.judge import judge_run
from maker_kit.trial.power_curve import pairs_curve, power_curve
from maker_kit.workbook import trial_desk as desk
from maker_kit.workbook.charts.trial import POWER, TRIAL
from maker_kit.workbook.panels.trial import TrialPanel, trial_panel
from maker_kit.workbook.shown import trial as shown
from maker_kit.workshop import Workshop, demo_folder, load_workshop, new_workshop
from maker_kit.workshop.judged_targets import judged_targets, run_named

DAY = date(2026, 4, 1)


@pytest.fixture(autouse=True)
def somebody_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("MAKER_KIT_HEADLESS", raising=False)


@pytest.fixture
def demo() -> Workshop:
    return demo_workshop.demo()


@pytest.fixture
def mine(tmp_path: Path) -> Workshop:
    return load_workshop(new_workshop(tmp_path / "mine"))


def inside(widget: Any) -> list[Any]:
    return [widget, *(found for child in getattr(widget, "children", ()) for found in inside(child))]


def named(panel: Any, description: str) -> Any:
    return next(x for x in inside(panel) if getattr(x, "description", None) == description)


def placed(panel: Any, css: str) -> str:
    return next(x for x in inside(panel) if css in getattr(x, "_dom_classes", ())).value


def opened(panel: TrialPanel, title: str) -> Any:
    panel.tabs.selected_index = [*panel.tabs.titles].index(title)
    return panel.behind[title].part if title in panel.behind else panel


def test_the_first_screen_shows_the_wash_and_each_tab_opens(demo: Workshop) -> None:
    panel = trial_panel(demo)
    assert "the same within the gap: foam height, kind, scent strength" in panel.answer.value
    assert bytes(panel.picture.image.value).startswith(b"\x89PNG")
    for title in panel.tabs.titles:
        opened(panel, title)
    assert panel.fault.value == ""
    assert "Holm" in panel.card.value
    assert "write it down elsewhere" in panel.state.value
    panel.which.value = "r2-gel-cream"
    assert "different: kind, rub-in time (worse); neither yet: can they tell" in panel.answer.value
    panel.which.value = "r3v2-cleansing-water"
    assert "not judged" in panel.answer.value
    assert panel.picture.image.layout.display == "none"
    panel.which.value = "r4-balm"
    assert "no target card" in panel.answer.value
    assert panel.fault.value == ""


def test_a_name_that_is_none_is_refused(demo: Workshop) -> None:
    with pytest.raises(UnknownNameError):
        trial_panel(demo, "r9")
    with pytest.raises(UnknownNameError):
        trial_panel(demo, "r2-gel-cream", "rub-out")


def test_a_trial_is_planned_entered_opened_and_judged_by_its_controls(mine: Workshop, tmp_path: Path) -> None:
    panel = trial_panel(mine, "r2-gel-cream")
    plan = opened(panel, "plan one")
    named(plan, "must-have").value = "rub-in time"
    named(plan, "tasters, pairs").value = "6"
    named(plan, "short name").value = "again"
    assert "25 pairs" in placed(plan, "maker-trial-plan-words") or "pairs" in placed(plan, "maker-trial-plan-words")
    named(plan, "plan it").click()
    assert "again is planned" in placed(plan, "maker-trial-plan-said")
    assert panel.trial.value == "again"
    results = opened(panel, "results and key")
    run = panel.run
    for ours, key in zip((41, 38, 44, 40, 39, 43), run.key, strict=True):
        lines = [
            f"{key.number} {c} = {ours if b == 'ours' else ours - 7}"
            for c, b in zip(key.codes, key.behind, strict=True)
        ]
        named(results, "results").value = "\n".join(lines)
        named(results, "enter these results").click()
        assert placed(results, "maker-trial-results-fault") == ""
    assert "the key is closed" in panel.state.value or panel.run.missing() == ()
    named(results, "print into").value = str(tmp_path / "paper")
    named(results, "print sheets and key").click()
    assert (tmp_path / "paper" / "again-scores.pdf").read_bytes().startswith(b"%PDF")
    named(results, "open the key").click()
    assert "no result is taken any more" in placed(results, "maker-trial-results-said")
    named(results, "results").value = f"1 {run.key[0].codes[0]} = 40"
    named(results, "enter these results").click()
    assert "is open" in placed(results, "maker-trial-results-fault")
    again = load_workshop(mine.folder)
    judged = {j.must_have: j for j in judged_targets(again, "r2-gel-cream")}
    assert (judged["rub-in time"].run, judged["rub-in time"].estimate) == ("again", 7)
    assert panel.shop.trials == again.trials or {r.name for r in panel.shop.trials} == {r.name for r in again.trials}


def test_the_demo_is_only_tried_out(demo: Workshop) -> None:
    before = {p.name: p.read_bytes() for p in (demo_folder() / "trials").iterdir()}
    panel = trial_panel(demo, "r3v2-cleansing-water")
    results = opened(panel, "results and key")
    code = panel.run.key[0].codes[0]
    named(results, "results").value = f"1 {code} = 12"
    named(results, "enter these results").click()
    assert "the demo stays as it is" in placed(results, "maker-trial-results-said")
    named(results, "print sheets and key").click()
    assert "the demo workshop stays as it is" in placed(results, "maker-trial-results-fault")
    assert {p.name: p.read_bytes() for p in (demo_folder() / "trials").iterdir()} == before


def test_a_fault_of_a_control_is_a_sentence(demo: Workshop) -> None:
    panel = trial_panel(demo, "r3v2-cleansing-water")
    results = opened(panel, "results and key")
    for text in ("1 = ", "one two", "1.5 = 3", "1 000 = 3", "1 = -3"):
        named(results, "results").value = text
        named(results, "enter these results").click()
        assert placed(results, "maker-trial-results-fault"), text


def test_the_slider_of_tasters_moves_the_power(demo: Workshop) -> None:
    panel = trial_panel(demo, "r2-gel-cream")
    plan = opened(panel, "plan one")
    named(plan, "must-have").value = "can they tell"
    words, picture = placed(plan, "maker-trial-plan-words"), placed(plan, "maker-trial-plan-picture")
    assert "66 tasters" in words  # by the rule of ISO 4120, Table A.3: pd 0.30, alpha and beta 0.05
    named(plan, "tasters, pairs").value = "66"
    assert placed(plan, "maker-trial-plan-picture") != picture
    assert placed(plan, "maker-trial-plan-words") != words
    named(plan, "must-have").value = "kind"
    assert "two words are enough" in placed(plan, "maker-trial-plan-words")


def test_plain_calls_plan_enter_look_open_and_judge(demo: Workshop) -> None:
    shop = desk.plan_trial(
        demo, "r2-gel-cream", "can they tell", "guests-2", 24, hands="panel", looks=2, seed=3, day=DAY
    )
    run = run_named(shop, "guests-2")
    assert run.plan.looks == (12, 24)
    lines = []
    for place in run.key:
        odd = next(c for c, b in zip(place.codes, place.behind, strict=True) if place.behind.count(b) == 1)
        lines.append(f"{place.number} = {odd}")
    shop = desk.enter_results(shop, "guests-2", "\n".join(lines[:12]), DAY)
    shop, told = desk.look_now(shop, "guests-2", DAY)
    assert told == "different"
    shop = desk.open_key(shop, "guests-2", DAY)
    found = judge_run(run_named(shop, "guests-2"))
    assert (found.answer, found.right, found.looks) == ("different", 12, 2)
    with pytest.raises(NoticeError):
        desk.enter_results(shop, "guests-2", lines[12], DAY)


@pytest.mark.parametrize(
    ("change", "error"),
    [
        ({"recipe": "r4-balm"}, NoticeError),
        ({"must_have": "cost"}, NoticeError),
        ({"must_have": "foam"}, UnknownNameError),
        ({"name": "wash-foam"}, NoticeError),
        ({"name": "a b"}, NoticeError),
        *(({"count": count}, QuantityError) for count in (0, -2, 1, 2.5, True, 451, 10_000)),
        *(({"must_have": "can they tell", "count": count}, QuantityError) for count in (0, 1, 2, 301)),
        ({"must_have": "can they tell", "count": 2, "looks": 2}, QuantityError),  # two of two: 1/9 is above 0.05
        ({"looks": 1.5}, QuantityError),
        ({"looks": 9}, QuantityError),
        ({"kind": "paired"}, NoticeError),
    ],
)
def test_what_cannot_be_planned_is_refused_in_a_sentence(demo: Workshop, change: dict, error: type[Exception]) -> None:
    asked = {"recipe": "r2-gel-cream", "must_have": "rub-in time", "name": "new", "count": 6} | change
    with pytest.raises(error):
        desk.plan_trial(demo, **asked)


def test_pictures_say_their_figures_and_are_drawn_for_every_kind(demo: Workshop) -> None:
    for run in demo.trials:
        found = shown.run_result(run)
        assert (found is None) == (run.plan.kind == "kind" or not run.opened)
        if found is not None:
            assert TRIAL.picture().png(found).startswith(b"\x89PNG")
            assert shown.IN_WORDS[found.answer] in TRIAL.words(found)
    for curve in (power_curve("duo-trio", 300, 0.2, looks=(150, 300)), pairs_curve(6, 3, 3, unit="s")):
        assert POWER.picture().png(curve).startswith(b"\x89PNG")
        assert str(curve.count) in POWER.words(curve)


def test_a_trial_of_many_answers_is_drawn_within_its_picture() -> None:
    from dataclasses import replace

    shop = load_workshop(demo_folder())
    found = judge_run(run_named(shop, "gel-cream-triangle"))
    many = replace(found, dots=tuple(np.repeat([1.0, 0.0], [150, 250])), results=400, right=150)
    assert TRIAL.picture().png(many).startswith(b"\x89PNG")


def test_names_are_shown_as_text(demo: Workshop) -> None:
    assert isinstance(trial_panel(demo).tabs, w.Tab)
    sheets = shown.card_sheet(demo, demo.recipe("r2-gel-cream"))
    assert all("<script" not in sheet.html() for sheet in sheets)


def test_a_result_is_corrected_with_its_reason_and_rows_of_the_file_are_taken_in(mine: Workshop) -> None:
    panel = trial_panel(mine, "r3v2-cleansing-water")
    results = opened(panel, "results and key")
    code = panel.run.key[0].codes[0]
    named(results, "results").value = f"1 {code} = 12"
    named(results, "enter these results").click()
    named(results, "results").value = f"1 {code} = 14"
    named(results, "correct these results").click()
    assert "reason" in placed(results, "maker-trial-results-fault")
    named(results, "reason").value = "miscounted"
    named(results, "correct these results").click()
    assert panel.run.values() == {(1, code): "14"}
    path = mine.folder / "trials" / "cleansing-water-colour.csv"
    other = panel.run.key[1].codes[0]
    path.write_bytes(path.read_bytes() + f",2026-04-02,,2,{other},9,,\r\n".encode())
    panel = trial_panel(load_workshop(mine.folder), "r3v2-cleansing-water")
    assert "not taken in" in panel.state.value or panel.run.typed_by_hand == 1
    results = opened(panel, "results and key")
    named(results, "enter these results").click()
    assert panel.run.values()[2, other] == "9"


def test_a_paired_trial_takes_the_side_that_was_expected_and_looks_count_in_the_power(demo: Workshop) -> None:
    panel = trial_panel(demo, "r2-gel-cream")
    plan = opened(panel, "plan one")
    named(plan, "must-have").value = "can they tell"
    named(plan, "tasters, pairs").value = "40"
    words = placed(plan, "maker-trial-plan-words")
    named(plan, "looks").value = "2"
    assert placed(plan, "maker-trial-plan-words") != words
    assert named(plan, "expected").disabled
    named(plan, "kind").value = "paired"
    assert not named(plan, "expected").disabled
    named(plan, "expected").value = "shop"
    named(plan, "short name").value = "softer"
    named(plan, "plan it").click()
    assert (panel.run.plan.expected, panel.run.plan.looks) == ("shop", (20, 40))


def test_the_picture_of_pairs_shows_every_planned_look(demo: Workshop) -> None:
    curve = desk.plan_power(demo, "r2-gel-cream", "rub-in time", "pairs", 18, 3.0, looks=3)
    assert curve.looks == (6, 12, 18)
    at = curve.truths.index(curve.gap)
    assert 0 < curve.different_by[0][at] < curve.different_by[1][at] < curve.different_by[2][at]
    text = shown.power_sheets(curve)[0].html()
    assert "Judged after 6, 12, 18" in text
    assert f"{curve.drawn} trials" in text
    either = desk.plan_power(demo, "r2-gel-cream", "can they tell", "paired", 60, 3.0)
    side = desk.plan_power(demo, "r2-gel-cream", "can they tell", "paired", 60, 3.0, expected="ours")
    assert either.for_difference > side.for_difference
    assert "either may have more" in shown.power_sheets(either)[0].html()
