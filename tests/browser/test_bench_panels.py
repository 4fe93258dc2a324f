"""The bench in Chromium: a whole day from the box to the letter in a workshop of one's own that has the demo's records.
Expected values: the invented scenario (kit 2 is short, three jars; the lot's 33 units), and Newton's law by hand.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from driving import open_tab, opened_at, press_button, type_into, words
from screens import each_check, in_view, nothing_failed, page_of

from maker_kit.bench.demo_log import fill_demo_log
from maker_kit.bench.log import open_log
from maker_kit.workshop import load_workshop, new_workshop

DAY, TABS = ".maker-day", ".maker-day-tabs"


@pytest.fixture(scope="module")
def opening(tmp_path_factory) -> Iterator[str]:
    """As for every page, but of a workshop of one's own: what is written on one page stands on the next."""
    room = tmp_path_factory.mktemp("bench")
    mine = new_workshop(room / "mine")
    with open_log(mine, make=True) as log:
        fill_demo_log(log, load_workshop(mine).recipes)
    with opened_at("00_start_here", room, "--workshop", "mine") as address:
        yield address


page = page_of("03_bench_day", ".maker-day-steps-picture[src]")
after = page_of("03a_after", ".maker-fills-picture[src]")
trace = page_of("03b_trace", ".maker-trace-picture[src]")


@each_check
def test_the_first_screen_of_the_day(page, check) -> None:
    check(page, ".maker-day", ".maker-day-steps-picture")


def test_the_step_is_in_view_with_its_controls_and_the_ribbon(page) -> None:
    in_view(page, ".maker-day-steps-step", ".maker-day-steps input", ".maker-day-steps-picture[src]")


def test_a_day_from_the_box_to_where_the_jars_went(page) -> None:
    # the box: kit 2 is short of propanediol, so three jars
    open_tab(page, TABS, "what came", TABS)
    words(page, ".maker-kit-answer", "Propanediol is short")
    page.locator(".maker-kit").get_by_text("put it into the cupboard", exact=True).first.click()
    type_into(page, ".maker-kit", "this bottle's number", "Propanediol = N-0900")
    page.locator(".maker-day-put").get_by_role("button", name="put it into the cupboard", exact=True).last.click()
    words(page, ".maker-day-put-said", "10 lots are in the log")
    type_into(page, DAY, "containers wanted", "3")
    press_button(page, DAY, "begin a batch")
    words(page, ".maker-day-said", "R2-10")
    # a clean start, by whom and with which scale
    open_tab(page, TABS, "clean", TABS)
    words(page, ".maker-day-clean-answer", "clean start: open")
    type_into(page, ".maker-day-clean", "made by", "A. Maker")
    type_into(page, ".maker-day-clean", "scale no.", "S-7")
    for box in page.locator(".maker-day-clean input[type=checkbox]").all()[:4]:
        box.check()
    page.locator(".maker-day-clean").get_by_role("button", name="write it down", exact=True).first.click()
    words(page, ".maker-day-clean-answer", "clean start: 4 of 4")
    words(page, ".maker-day-clean-words", "A. Maker")
    # weighed from that lot
    open_tab(page, TABS, "weigh", TABS)
    words(page, ".maker-day-weighing-answer", "batch R2-10, 3 containers")
    page.locator(".maker-day-weighing").get_by_label("ingredient", exact=True).select_option(label="Propanediol")
    page.locator(".maker-day-weighing").get_by_label("lot", exact=True).select_option(label="N-0900")
    type_into(page, ".maker-day-weighing", "on the scale", "30.6")
    press_button(page, ".maker-day-weighing", "write it down")
    words(page, ".maker-day-weighing-answer", "1 of 11 weighed")
    words(page, ".maker-day-weighing-table", "S-7")
    # a step, one that was not read, and one that is left out
    open_tab(page, TABS, "steps", TABS)
    words(page, ".maker-day-steps-step", "1. Sprinkle")
    press_button(page, ".maker-day-steps", "done")
    words(page, ".maker-day-done-refused", "was not read")
    type_into(page, ".maker-day-steps", "thermometer", "71.6 °F")
    press_button(page, ".maker-day-steps", "done")
    words(page, ".maker-day-steps-step", "2. Weigh the water")
    type_into(page, ".maker-day-steps", "reason", "weighed yesterday")
    press_button(page, ".maker-day-steps", "left out")
    words(page, ".maker-day-steps-answer", "2 of 8 steps behind you")
    words(page, ".maker-day-steps-planned", "weighed yesterday")
    # cooling
    open_tab(page, TABS, "cooling", TABS)
    words(page, ".maker-cooling-answer", "40 °C at about 14:34")
    # numbered and handed out
    open_tab(page, TABS, "hand out", TABS)
    type_into(page, ".maker-day-hand", "units filled", "3")
    press_button(page, ".maker-day-hand", "number them")
    words(page, ".maker-day-hand-answer", "3 of 3 numbered")
    type_into(page, ".maker-day-hand", "which units", "1 to 2")
    type_into(page, ".maker-day-hand", "place", "room 4")
    press_button(page, ".maker-day-hand", "write it down")
    words(page, ".maker-day-hand-words", "R2-10/01, R2-10/02")


def test_nothing_failed_in_the_day(page) -> None:
    nothing_failed(page)


@each_check
def test_the_first_screen_after_the_day(after, check) -> None:
    check(after, ".maker-after", ".maker-fills-picture")


def test_fills_below_what_the_label_states_and_those_of_the_day(after) -> None:
    page = after
    in_view(after, ".maker-fills-answer", ".maker-fills-typed", ".maker-fills-picture[src]")
    words(page, ".maker-fills-stops", "underfilled as a whole")
    type_into(page, ".maker-fills", "filled [g]", "246 245.5 245.8 246.2")
    words(page, ".maker-fills-answer", "lowest 245.5 g")
    type_into(page, ".maker-fills", "filled [g]", "")
    page.locator(".maker-after").get_by_label("batch", exact=True).select_option(label="R2-10")
    words(page, ".maker-fills-answer", "Weigh 3 containers")
    type_into(page, ".maker-fills", "filled [g]", "196.4 196.2 196.3")
    words(page, ".maker-fills-answer", "Mean 196.30 g, lowest 196.2 g")
    press_button(page, ".maker-fills", "write them down")
    words(page, ".maker-fills-said", "3 fills are in the log")


def test_a_photo_stands_beside_the_day_that_it_was_taken(after) -> None:
    page = after
    page.locator(".maker-after").get_by_label("batch", exact=True).select_option(label="R5-04")
    open_tab(page, ".maker-after-tabs", "watch", ".maker-watch-words img")
    for day in (0, 7):
        shown = page.locator(f".maker-watch-words img[alt*='day-{day}.png']")
        assert shown.evaluate("i => i.complete && i.naturalWidth > 100 && i.closest('tr').innerText.includes('look')")


def test_nothing_failed_after_the_day(after) -> None:
    nothing_failed(after)


@each_check
def test_the_first_screen_of_a_trace(trace, check) -> None:
    check(trace, ".maker-trace", ".maker-trace-picture")


def test_the_days_lot_is_followed_to_the_letter_that_calls_it_back(trace) -> None:
    page = trace
    in_view(trace, ".maker-trace-answer", ".maker-trace-name", ".maker-trace-picture[src]")
    words(page, ".maker-trace-answer", "33 units: 19 rooms, 9 shelf, 5 gifts")
    type_into(page, ".maker-trace", "follow", "N-0900")
    words(page, ".maker-trace-answer", "Lot N-0900: 1 batch, 3 units")
    type_into(page, ".maker-trace", "reason", "it is cloudy")
    page.locator(".maker-trace-tabs").get_by_text("the letter", exact=True).click()
    words(page, ".maker-trace-paper", "room 4: 2 (R2-10/01, R2-10/02)")
    words(page, ".maker-trace-paper", "it is cloudy")


def test_nothing_failed_on_the_trace(trace) -> None:
    nothing_failed(trace)
