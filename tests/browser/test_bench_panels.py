"""The bench in Chromium: a whole day from the box to the letter, on the demo's records, which are gone afterwards.
Expected values: the invented scenario (kit 2 is short, three jars; the lot's 33 units), and Newton's law by hand.
"""

from __future__ import annotations

import pytest
from driving import type_into
from screens import in_view, nothing_failed

DAY, TABS = ".maker-day", ".maker-day-tabs"


def words(page: object, place: str, text: str) -> None:
    """Wait until a text stands in a place."""
    page.wait_for_function(
        "([place, text]) => [...document.querySelectorAll(place)].some(e => e.innerText.includes(text))",
        arg=[place, text],
    )


def tab(page: object, title: str) -> None:
    """Open a tab of the day."""
    bar = page.locator(f"{TABS} > .widget-tab-bar, {TABS} > .lm-TabPanel-tabBar").first
    bar.get_by_text(title, exact=True).click()


def press(page: object, panel: str, name: str) -> None:
    """Press a button of a panel."""
    page.locator(panel).get_by_role("button", name=name, exact=True).click()


@pytest.fixture(scope="module")
def page(shown):
    return shown("03_bench_day", ".maker-day-steps-picture[src]")


@pytest.fixture(scope="module")
def after(shown):
    return shown("03a_after", ".maker-fills-picture[src]")


@pytest.fixture(scope="module")
def trace(shown):
    return shown("03b_trace", ".maker-trace-picture[src]")


def test_answers_are_in_view_with_controls_and_pictures(page, after, trace) -> None:
    in_view(page, ".maker-day-steps-step", ".maker-day-steps input", ".maker-day-steps-picture[src]")
    in_view(after, ".maker-fills-answer", ".maker-fills-typed", ".maker-fills-picture[src]")
    in_view(trace, ".maker-trace-answer", ".maker-trace-name", ".maker-trace-picture[src]")


def test_a_whole_day(page) -> None:
    # the box: kit 2 is short of propanediol, so three jars
    tab(page, "what came")
    words(page, ".maker-kit-answer", "Propanediol is short")
    page.locator(".maker-kit").get_by_text("put it into the cupboard", exact=True).first.click()
    type_into(page, ".maker-kit", "this bottle's number", "Propanediol = N-0900")
    page.locator(".maker-day-put").get_by_role("button", name="put it into the cupboard", exact=True).last.click()
    words(page, ".maker-day-put-said", "10 lots are in the log")
    type_into(page, DAY, "containers wanted", "3")
    press(page, DAY, "begin a batch")
    words(page, ".maker-day-said", "R2-10")
    # weighed from that lot
    tab(page, "weigh")
    words(page, ".maker-day-weighing-answer", "batch R2-10, 3 containers")
    page.locator(".maker-day-weighing").get_by_label("ingredient", exact=True).select_option(label="Propanediol")
    page.locator(".maker-day-weighing").get_by_label("lot", exact=True).select_option(label="N-0900")
    type_into(page, ".maker-day-weighing", "on the scale", "30.6")
    press(page, ".maker-day-weighing", "write it down")
    words(page, ".maker-day-weighing-answer", "1 of 11 weighed")
    # a step, one that was not read, and one that is left out
    tab(page, "steps")
    words(page, ".maker-day-steps-step", "1. Sprinkle")
    press(page, ".maker-day-steps", "done")
    words(page, ".maker-day-done-refused", "was not read")
    type_into(page, ".maker-day-steps", "thermometer", "71.6 °F")
    press(page, ".maker-day-steps", "done")
    words(page, ".maker-day-steps-step", "2. Weigh the water")
    type_into(page, ".maker-day-steps", "reason", "weighed yesterday")
    press(page, ".maker-day-steps", "left out")
    words(page, ".maker-day-steps-answer", "2 of 8 steps behind you")
    words(page, ".maker-day-steps-planned", "weighed yesterday")
    # cooling
    tab(page, "cooling")
    words(page, ".maker-cooling-answer", "40 °C at about 14:34")
    # numbered and handed out
    tab(page, "hand out")
    type_into(page, ".maker-day-hand", "units filled", "3")
    press(page, ".maker-day-hand", "number them")
    words(page, ".maker-day-hand-answer", "3 of 3 numbered")
    type_into(page, ".maker-day-hand", "which units", "1 to 2")
    type_into(page, ".maker-day-hand", "place", "room 4")
    press(page, ".maker-day-hand", "write it down")
    words(page, ".maker-day-hand-words", "R2-10/01, R2-10/02")


def test_fills_below_what_the_label_states(after) -> None:
    page = after
    words(page, ".maker-fills-stops", "underfilled as a whole")
    type_into(page, ".maker-fills", "filled [g]", "246 245.5 245.8 246.2")
    words(page, ".maker-fills-answer", "lowest 245.5 g")


def test_a_lot_is_followed_to_its_letter(trace) -> None:
    page = trace
    words(page, ".maker-trace-answer", "33 units: 19 rooms, 9 shelf, 5 gifts")
    type_into(page, ".maker-trace", "follow", "gifts")
    words(page, ".maker-trace-answer", "Place gifts: 1 batches, 5 units")
    page.locator(".maker-trace-tabs").get_by_text("the letter", exact=True).click()
    words(page, ".maker-trace-paper", "gifts: 5")


def test_nothing_failed(page, after, trace) -> None:
    for one in (page, after, trace):
        nothing_failed(one)
