"""01_formula in Chromium: every slider is moved by keyboard, the picture changes, and the words beside it are right."""

from __future__ import annotations

import pytest
from driving import press
from screens import each_check, nothing_failed, page_of

PICTURE = ".maker-formula-picture"


first = page_of("01_formula", f"{PICTURE}[src]")


@pytest.fixture(scope="module")
def page(first):
    first.get_by_label("recipe").select_option(label="Gel cream")
    has(first, "answer", "Gel cream")
    # once the sliders stand where this recipe has them, a key moves them from there
    first.wait_for_function("() => document.querySelector('.maker-fragrance-load input').value === '0.4'")
    first.wait_for_timeout(1000)
    return first


def has(page, place: str, text: str) -> None:
    """Wait until a text stands in a place."""
    page.wait_for_function(
        "([place, text]) => document.querySelector('.maker-formula-' + place).innerText.includes(text)",
        arg=[place, text],
    )


def open_tab(page, title: str) -> None:
    page.locator(".maker-formula-tabs").get_by_role("tab", name=title).click()


def fill(page, label: str, text: str) -> None:
    box = page.get_by_role("textbox", name=label)
    box.fill(text)
    box.press("Enter")


@each_check
def test_the_first_screen(first, check) -> None:
    check(first, ".maker-formula", ".maker-formula-picture")


def test_what_a_picture_tells_changes_with_it(first) -> None:
    first.wait_for_function("() => document.querySelector('.maker-formula-curve').alt.includes('at 12 containers')")
    for key, told in (("ArrowRight", "at 13 containers"), ("ArrowLeft", "at 12 containers")):
        first.locator(".maker-batch-size .noUi-handle").focus()
        first.keyboard.press(key)
        first.wait_for_function("told => document.querySelector('.maker-formula-curve').alt.includes(told)", arg=told)


def test_the_fragrance_load_moves_the_bars_and_both_loads(page) -> None:
    open_tab(page, "weigh-out")
    press(page, ".maker-fragrance-load", "ArrowRight", PICTURE)
    # by hand: 0.45 / (100 − 0.45) = 0.4520 % on the base
    has(page, "words", "0.45 % of the whole = 0.452 % on the base")
    press(page, ".maker-fragrance-load", "ArrowLeft", PICTURE)


def test_a_load_with_a_comma_is_taken_and_one_out_of_range_is_refused_in_words(page) -> None:
    open_tab(page, "weigh-out")
    fill(page, "fragrance load", "0,8")
    # by hand: 0.8 / (100 − 0.8) = 0.8065 % on the base
    has(page, "words", "0.80 % of the whole = 0.806 % on the base")
    assert page.get_by_role("textbox", name="fragrance load").input_value() == "0.8"
    fill(page, "fragrance load", "9")
    page.wait_for_selector(".maker-fragrance-load [role=alert]:visible")
    assert "0 to 3" in page.locator(".maker-fragrance-load [role=alert]").inner_text()
    has(page, "words", "0.80 % of the whole")
    fill(page, "fragrance load", "0.4")
    page.wait_for_selector(".maker-fragrance-load [role=alert]", state="detached")


def test_the_load_box_takes_a_level_that_is_over_and_says_stop_at_the_top(page) -> None:
    open_tab(page, "notes")
    fill(page, "fragrance load", "1.9")
    has(page, "answer", "■")
    # by hand: 8 % citral at most in the scent, 1.9 % of it: 0.152 %, over 0.15 % (IFRA Standards, 49th amendment,
    # citral, category 5C)
    has(page, "stops", "0.152 %")
    has(page, "notes", "certificate, 1.8 %")
    fill(page, "fragrance load", "0.4")
    has(page, "answer", "no stop on file")
    page.wait_for_selector(".maker-formula-stops", state="hidden")


def test_the_thickener_level_changes_the_weigh_out_and_the_predicted_spread(page) -> None:
    open_tab(page, "weigh-out")
    page.locator(".maker-thickener-level .noUi-handle").focus()
    for _ in range(20):
        page.keyboard.press("ArrowRight")
    has(page, "words", "0.80 % of the whole")
    open_tab(page, "notes")
    has(page, "notes", "a spread of 7.0 cm")  # the maker's own reading at 0.80 %


def test_the_thickness_curve_with_the_shops_ring_follows_the_thickener_and_goes_where_there_is_none(page) -> None:
    open_tab(page, "thickness")
    page.wait_for_selector(".maker-formula-thickness:visible")
    press(page, ".maker-thickener-level", "ArrowRight", ".maker-formula-thickness")
    page.get_by_label("recipe").select_option(label="Hand and heel balm")
    page.wait_for_selector(".maker-formula-thickness", state="hidden")
    has(page, "thick", "No thickener")
    page.get_by_label("recipe").select_option(label="Gel cream")
    page.wait_for_selector(".maker-formula-thickness:visible")


def test_the_batch_size_changes_the_batch_and_the_cost(page) -> None:
    open_tab(page, "weigh-out")
    press(page, ".maker-batch-size", "ArrowRight", ".maker-formula-curve")
    # by hand: 13 × 200 mL × 0.98 g/mL × 1.04 = 2649.92 g
    has(page, "words", "2649.9 g")
    has(page, "answer", "13 × Gel cream")
    open_tab(page, "cost")
    has(page, "cost", "what you pay (13 containers)")


def test_another_recipe_brings_its_own_levels_and_bars(page) -> None:
    before = page.locator(PICTURE).get_attribute("src")
    page.get_by_label("recipe").select_option(label="Hand and heel balm")
    page.wait_for_function("before => document.querySelector('.maker-formula-picture').src !== before", arg=before)
    has(page, "answer", "Hand and heel balm")
    assert page.get_by_role("textbox", name="fragrance load").input_value() == "0.8"
    assert page.get_by_role("textbox", name="thickener level").is_disabled()


def test_words_that_are_no_reading_become_a_sentence_and_nothing_breaks(page) -> None:
    box = page.get_by_label("pH that was read")
    box.fill("five")
    box.press("Enter")
    page.wait_for_function("() => document.querySelector('.maker-formula-fault').innerText.includes('is no pH')")
    box.fill("")
    box.press("Enter")
    page.wait_for_function("() => !document.querySelector('.maker-formula-fault').innerText.includes('is no pH')")


def test_no_code_is_in_sight_and_nothing_failed(page) -> None:
    shown = page.locator(".jp-Notebook .jp-CodeCell:has(.cm-editor:visible)")
    assert shown.count() == 2  # the open steps of the lesson
    nothing_failed(page)
