"""The bench's screens without a browser: what is typed wrong, buttons that write, and whose records they are.
Expected values: Newton's law by hand, the demo's own records.
"""

from __future__ import annotations

import html
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest
from demo_workshop import demo
from ipywidgets import Button, Checkbox

from maker_kit.bench.clean import CLEAN_START
from maker_kit.bench.log import FILE
from maker_kit.bench.watching import Observation, judge_watch
from maker_kit.errors import MakerKitError, NoticeError, UnknownNameError
from maker_kit.workbook.bench_book import DEMOS, NONE_YET
from maker_kit.workbook.charts.bench.bench_day import CoolingDay, cooling_words, said_minutes
from maker_kit.workbook.panels.bench.after import after_panel
from maker_kit.workbook.panels.bench.bench_day import FIRST, bench_day_panel
from maker_kit.workbook.panels.bench.handing import units_of
from maker_kit.workbook.panels.bench.pieces import celsius_of, readings_of
from maker_kit.workbook.panels.bench.trace import trace_panel
from maker_kit.workbook.shown.bench.after import watched_keeping
from maker_kit.workbook.typed import read_day

SHOP = demo()
ON = date(2026, 11, 2)


def test_readings_are_read_by_the_clock_or_in_minutes_in_either_scale() -> None:
    begun, found = readings_of("14:05 = 75\n14.15 = 141.8 °F", ON)
    assert begun == datetime(2026, 11, 2, 14, 5)
    assert [(r.minutes, r.celsius) for r in found] == [(0.0, 75.0), (10.0, pytest.approx(61.0))]
    assert [r.minutes for r in readings_of("0 = 75; 12,5 = 61", ON)[1]] == [0.0, 12.5]
    assert readings_of("", ON)[1] == ()
    assert celsius_of(" ") is None
    assert celsius_of("104 F") == pytest.approx(40.0)


@pytest.mark.parametrize(
    "text",
    [
        *("25:00 = 75", "14:60 = 75", "soon = 75", "14:05 75", "14:05 = warm", "14:05 = 75 g", "14:05 = 700"),
        *("14:05 = 75; 14:05 = 74", "\n".join(f"{k} = 75" for k in range(100_000))),
    ],
    ids=range(9),
)
def test_a_reading_that_is_none_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(MakerKitError) as caught:
        readings_of(text, ON)
    assert len(str(caught.value)) < 300


def test_a_date_is_read_as_in_a_table_and_refused_where_it_may_be_two() -> None:
    for text in ("2027-03-31", "31.3.2027", "31/3/2027"):
        assert read_day(text, "a lot") == date(2027, 3, 31)
    for text in ("3/4/2027", "2027-02-30", "20270331", ""):
        with pytest.raises(NoticeError):
            read_day(text, "a lot")


def test_units_are_named_by_number_range_or_whole() -> None:
    known = tuple(f"R2-10/{k:02d}" for k in range(1, 6))
    assert units_of("1 to 2, 5", "R2-10", known, ()) == ("R2-10/01", "R2-10/02", "R2-10/05")
    assert units_of("R2-10/03, 3", "R2-10", known, ()) == ("R2-10/03",)
    assert units_of("", "R2-10", known, known[3:]) == known[3:]
    for text in ("6", "0", "R9-01/01", "1 to 9999999999", "x"):
        with pytest.raises(NoticeError):
            units_of(text, "R2-10", known, known)
    with pytest.raises(NoticeError):
        units_of("", "R2-10", known, ())


def test_minutes_as_a_person_says_them() -> None:
    assert [said_minutes(m) for m in (5, 119, 120, 1440, 90)] == ["5 min", "119 min", "2 h", "24 h", "90 min"]


@pytest.fixture(scope="module")
def day():
    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("MAKER_KIT_HEADLESS", raising=False)
        panel = bench_day_panel(SHOP, batch="R2-09", readings="14:00 = 75\n14:10 = 61")
        yield panel
        panel.day.book.close()


def opened(panel, title: str):
    """A tab's content, opened."""
    panel.tabs.selected_index = FIRST.index(title)
    return panel.tabs.parts[title].part


def test_the_demo_says_that_it_is_the_demos(day) -> None:
    assert html.escape(DEMOS) in day.day.whose.value
    assert "3 of 8 steps" in opened(day, "steps").answer.value


def test_the_forecast_is_newtons_and_a_clock_that_went_back_is_told(day) -> None:
    panel = opened(day, "cooling")
    assert "about 14:34" in panel.answer.value  # 10 · ln(55/20) / ln(55/41) = 34.4 min
    typed = panel.controls[0]
    typed.value = "14:00 = 75\n13:50 = 61"
    assert "clock go back" in panel.fault.value
    assert panel.answer.value == ""
    typed.value = "14:00 = 75\n14:10 = 61"
    assert panel.fault.value == ""


def test_joined_phases_are_read_both(day) -> None:
    panel = opened(day, "joining")
    one, other = panel.controls[1], panel.controls[3]
    one.value = "61"
    assert "not read" in panel.answer.value
    other.value = "161.6 °F"
    assert "not read" not in panel.answer.value
    one.value = "500"
    assert panel.fault.value


def test_the_cupboard_is_asked_where_there_is_a_log(day) -> None:
    panel = opened(day, "still to buy")
    assert "without the cupboard" in panel.answer.value
    panel.controls[0].value = False
    assert "without the cupboard" not in panel.answer.value


def test_ones_own_workshop_begins_empty_and_without_a_switch(tmp_path: Path) -> None:
    own = replace(SHOP, folder=tmp_path)
    panel = bench_day_panel(own, "r2-gel-cream")
    assert NONE_YET in panel.day.whose.value
    assert opened(panel, "still to buy").controls[0].disabled
    assert not (tmp_path / FILE).exists()
    panel.day.begin.click()
    assert (tmp_path / FILE).is_file()
    assert panel.day.batches.value == "R2-01"
    panel.day.version.value = "deadbeef"
    panel.day.begin.click()
    assert "was changed since" in panel.day.said.children[0].value  # the sheet no longer matches its recipe
    assert len(panel.day.log.now("batch")) == 1
    panel.day.book.close()


def test_ticks_and_the_tools_numbers_go_into_the_log_from_the_screen(tmp_path: Path) -> None:
    panel = bench_day_panel(replace(SHOP, folder=tmp_path), "r2-gel-cream")
    day = panel.day
    day.begin.click()
    clean = opened(panel, "clean")
    assert "clean start: open" in clean.answer.value
    assert "The clean start is not ticked." in opened(panel, "weigh").answer.value
    day.made_by.value, day.scale.value, day.thermometer.value = "A. Maker", "S-7", "T-2"
    boxes = [box for box in clean.children if isinstance(box, Checkbox)]
    for box in boxes[: len(CLEAN_START)]:
        box.value = True
    next(b for b in clean.children if isinstance(b, Button)).click()
    assert "clean start: 4 of 4, clean end: open" in clean.answer.value
    weigh = opened(panel, "weigh")
    weigh.redraw()
    assert "not ticked" not in weigh.answer.value
    steps = opened(panel, "steps")
    left = steps.children[3].children[0].children
    left[0].value = "22"
    left[3].children[0].click()
    log = day.log
    assert log.now("batch")[0]["made_by"] == "A. Maker"
    assert {(r["by"], r["done"]) for r in log.now("tick")} == {("A. Maker", 1)}
    assert [(r["kind"], r["instrument"]) for r in log.now("reading")] == [("temperature", "T-2")]
    day.book.close()
    again = bench_day_panel(replace(SHOP, folder=tmp_path), "r2-gel-cream")
    assert (again.day.made_by.value, again.day.thermometer.value) == ("A. Maker", "T-2")
    again.day.book.close()


def test_a_batch_whose_recipe_was_changed_since_says_so_when_it_is_opened(tmp_path: Path) -> None:
    made = SHOP.recipe("r2-gel-cream")
    panel = bench_day_panel(replace(SHOP, folder=tmp_path), made.name)
    panel.day.begin.click()
    for title in ("weigh", "steps"):
        assert "no longer matches" not in opened(panel, title).answer.value
    panel.day.book.close()
    later = replace(made, steps=made.steps[:-1])
    panel = bench_day_panel(replace(SHOP, folder=tmp_path, recipes={**SHOP.recipes, made.name: later}), made.name)
    for title in ("weigh", "steps"):
        assert "its sheet no longer matches" in opened(panel, title).answer.value
    panel.day.book.close()


def test_a_batch_or_lot_that_nobody_knows_is_said(monkeypatch) -> None:
    with pytest.raises(UnknownNameError):
        bench_day_panel(SHOP, batch="R9-99")
    with pytest.raises(UnknownNameError):
        after_panel(SHOP, "R9-99")
    with pytest.raises(NoticeError):
        bench_day_panel(SHOP, first="lunch")
    assert "knows no lot" in trace_panel(SHOP, "N-9999").fault.value
    monkeypatch.setenv("MAKER_KIT_HEADLESS", "1")
    with pytest.raises(UnknownNameError):
        trace_panel(SHOP, "N-9999")


def test_fills_that_are_none_are_refused(monkeypatch) -> None:
    monkeypatch.delenv("MAKER_KIT_HEADLESS", raising=False)
    panel = after_panel(SHOP).tabs.parts["fills"].part
    typed = panel.controls[0]
    for text in ("245 -3 246", "245 warm 246", " ".join(["245"] * 100_000)):
        typed.value = text
        assert panel.fault.value
        assert len(panel.fault.value) < 600
    typed.value = "246 245.5 245.8 246.2"
    assert panel.fault.value == ""
    assert 'aria-label="Batch R' in panel.picture.told.value  # a picture names what it is of


def test_what_changed_while_it_was_watched_keeps_no_time() -> None:
    made = SHOP.recipe("r5-hand-lotion")
    seen = judge_watch([Observation(d, "20 °C", "look", words=w) for d, w in ((0, "same"), (7, "changed"))])
    told = watched_keeping(made, 10, seen)
    assert (told.code, told.level) == ("keeping.long", "over")
    assert "no keeping time can be said" in told.text
    assert "give none of it" in told.next_step
    fine = watched_keeping(made, 10, judge_watch([]))  # by hand: 10 at 3.6 a month are 2.8 months; it keeps 9
    assert "last 2.8 months; they keep 9 months" in fine.text
    # 21 at 0.7 a month are used in 30 months to the day; in binary floats 21 / 0.7 is a little more
    exact = replace(made, use_per_month=0.7, keeps_months=30.0)
    assert [watched_keeping(exact, n, judge_watch([])).code for n in (21, 22)] == ["keeping.short", "keeping.long"]


def test_a_typed_name_is_never_run(monkeypatch) -> None:
    monkeypatch.delenv("MAKER_KIT_HEADLESS", raising=False)
    panel = trace_panel(SHOP, "N-0417", why="<script>alert(1)</script>")
    panel.tabs.selected_index = 2
    assert "<script>" not in panel.letter.value
    assert "&lt;script&gt;" in panel.letter.value


def test_pictures_have_words() -> None:
    from maker_kit.bench.cooling import fit_cooling, when_at

    cooling = fit_cooling([(0, 75), (10, 61)], 20.0)
    shown = CoolingDay(cooling, when_at(cooling, 40.0), datetime(2026, 11, 2, 23, 40))
    assert "00:14 (+1 d)" in cooling_words(shown)
