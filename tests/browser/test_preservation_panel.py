"""Preservation in Chromium: a reading moves along its strip; acid, density and emulsifiers stand behind it."""

from __future__ import annotations

from driving import gone, open_tab, press, type_into, words
from screens import each_check, in_view, nothing_failed, page_of

page = page_of("01d_preservation", ".maker-preservation-picture[src]")


@each_check
def test_the_first_screen(page, check) -> None:
    check(page, ".maker-preservation", ".maker-preservation-picture")


def test_answer_and_stops_are_in_view_with_control_and_picture(page) -> None:
    places = (".maker-ph", ".maker-preservation-picture[src]")
    in_view(page, ".maker-preservation-answer", *places)
    recipe = page.get_by_label("recipe", exact=True)
    before = recipe.input_value()
    recipe.select_option(label="Cleansing water, version 1")
    words(page, ".maker-preservation-stops", "stop")
    in_view(page, ".maker-preservation-answer", ".maker-preservation-stops", *places)
    recipe.select_option(before)
    gone(page, ".maker-preservation-stops", "stop")


def test_the_reading_moves_along_the_strip_and_a_high_one_is_a_stop(page) -> None:
    press(page, ".maker-ph", "ArrowRight", ".maker-preservation-picture")
    type_into(page, ".maker-preservation", "pH that was read", "7.4")
    words(page, ".maker-preservation-stops", "stop")
    # by hand: 1 / (1 + 10^(7.4 − 4.2)) = 0.063 % of the benzoic acid
    words(page, ".maker-preservation-words", "0.063 %")
    before = page.locator(".maker-preservation-picture").get_attribute("src")
    page.get_by_label("read with").select_option(index=1)  # the strip; the demo's own reading was by meter
    words(page, ".maker-preservation-words", "7.4 by strip")
    page.wait_for_function(
        "before => document.querySelector('.maker-preservation-picture').src !== before", arg=before
    )  # the strip shows how far it may be off
    type_into(page, ".maker-preservation", "sample at [°C]", "45")
    words(page, ".maker-preservation-words", "read at 45 °C")
    page.get_by_label("I read the pH of this batch").uncheck()
    words(page, ".maker-preservation-words", "none was read")


def test_acid_and_density_stand_behind_the_reading(page) -> None:
    open_tab(page, ".maker-preservation-tabs", "acid", ".maker-acid-words table")
    words(page, ".maker-acid-words", "14.4 g")  # 80 % of three times 6 g
    type_into(page, ".maker-acid", "batch of today [g]", "1000,0")
    words(page, ".maker-acid-words", "4.8 g")
    open_tab(page, ".maker-preservation-tabs", "density", ".maker-density-words table")


def test_the_blend_follows_both_together_and_an_own_value(page) -> None:
    open_tab(page, ".maker-preservation-tabs", "emulsifier", ".maker-blend-picture[src]")
    # by hand: the oil phase asks for 7.667; (7.667 − 15) / (4.3 − 15) = 68.54 % sorbitan oleate
    words(page, ".maker-blend-words", "68.54")
    page.locator(".maker-blend-total .noUi-handle").first.focus()
    page.keyboard.press("ArrowRight")
    words(page, ".maker-blend-words", "3.50")  # 68.54 % of 5.1 %
    before = page.locator(".maker-blend-picture").get_attribute("src")
    type_into(page, ".maker-blend", "own HLB, first", "5, its supplier")
    words(page, ".maker-blend-words", "73.33")  # (7.667 − 15) / (5 − 15)
    words(page, ".maker-blend-words", "Sources differ on the HLB of Sorbitan oleate")
    page.wait_for_function("before => document.querySelector('.maker-blend-picture').src !== before", arg=before)


def test_a_pair_that_does_not_reach_is_refused_in_words_and_the_unknown_is_said(page) -> None:
    second = page.locator(".maker-blend").get_by_label("second emulsifier", exact=True)
    second.select_option(label="Sorbitan stearate (HLB 4.7)")
    words(page, ".maker-blend-fault", "lies outside")
    second.select_option(label="Polysorbate 80 (HLB 15)")
    words(page, ".maker-blend-words", "73.33")
    type_into(page, ".maker-blend", "own HLB of oils", "")
    words(page, ".maker-blend-answer", "What HLB to aim at is unknown")
    gone(page, ".maker-blend-words", "73.33")


def test_nothing_failed_and_only_lessons_show_their_lines(page) -> None:
    assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() in {2, 3}
    nothing_failed(page)
