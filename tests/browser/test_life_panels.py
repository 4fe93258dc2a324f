"""The panels before the bench in Chromium: controls are moved by keyboard or typed into, and the words and pictures beside them are right."""

from __future__ import annotations

import pytest
from driving import press


@pytest.fixture(scope="module")
def text_page(open_notebook):
    shown = open_notebook("01a_from_any_text.ipynb")
    shown.wait_for_selector(".maker-text-words")
    return shown


@pytest.fixture(scope="module")
def short_page(open_notebook):
    shown = open_notebook("01b_short_swapped_split.ipynb")
    shown.wait_for_selector(".maker-short-picture[src]")
    return shown


@pytest.fixture(scope="module")
def thick_page(open_notebook):
    shown = open_notebook("01c_thick_and_kept.ipynb")
    shown.wait_for_selector(".maker-awake-picture[src]")
    return shown


def test_a_pasted_recipe_is_read_as_it_is_typed_and_asks_for_what_is_missing(text_page) -> None:
    box = text_page.get_by_label("recipe text")
    box.fill("60 g water\n30 g glycerin\n2 oz shea butter")
    text_page.get_by_label("answers").fill("")
    text_page.get_by_label("answers").press("Tab")
    text_page.wait_for_function("() => document.querySelector('.maker-text-words').innerText.includes('open')")
    box.fill("60 g water\n30 g glycerin\n10 g shea butter")
    text_page.get_by_label("answers").focus()
    # by hand: 60, 30 and 10 of 100 g
    text_page.wait_for_function("() => document.querySelector('.maker-text-words').innerText.includes('60.0000')")


def test_the_demo_is_never_written_into(text_page) -> None:
    text_page.get_by_label("short name").fill("mine")
    text_page.get_by_label("where it was found").fill("my own notes")
    text_page.get_by_label("where it was found").press("Tab")
    text_page.get_by_role("button", name="save as a recipe").click()
    text_page.wait_for_function("() => document.querySelector('.maker-text-fault').innerText.includes('stays as it is')")


def test_more_containers_than_the_kit_fills_move_the_wall(short_page) -> None:
    press(short_page, ".maker-wanted", "ArrowRight", ".maker-short-picture")
    # five jars need 50.96 g of propanediol, the kit holds 32 g: three full jars all the same
    short_page.wait_for_function("() => document.querySelector('.maker-short-words').innerText.includes('Fill 3 instead of 5')")


def test_a_swap_shows_what_changes(short_page) -> None:
    short_page.get_by_label("take").select_option(label="Scent 3")
    short_page.wait_for_function("() => document.querySelector('.maker-swap-words').innerText.includes('Scent 3 [%]')")
    short_page.wait_for_function("() => document.querySelector('.maker-swap-words').innerText.includes('untested')")


def test_the_thickener_level_moves_along_the_ladder_and_is_refused_beyond_it(thick_page) -> None:
    box = thick_page.get_by_label("thickener level")
    before = thick_page.locator(".maker-ladder-picture").get_attribute("src")
    box.fill("0.88")
    box.press("Enter")
    thick_page.wait_for_function("before => document.querySelector('.maker-ladder-picture').src !== before", arg=before)
    # the ladder's own readings put 6.4 cm at 0.880 % along logarithms
    thick_page.wait_for_function("() => document.querySelector('.maker-ladder-words').innerText.includes('6.4 cm')")
    box.fill("1.3")
    box.press("Enter")
    thick_page.wait_for_function("() => document.querySelector('.maker-ladder-words').innerText.includes(\"supplier's most\")")


def test_the_reading_moves_along_the_strip_and_a_high_one_is_a_stop(thick_page) -> None:
    press(thick_page, ".maker-ph", "ArrowRight", ".maker-awake-picture")
    box = thick_page.get_by_label("pH that was read")
    box.fill("7.4")
    box.press("Enter")
    thick_page.wait_for_function("() => document.querySelector('.maker-awake-words').innerText.includes('■ stop')")
    # by hand: 1 / (1 + 10^(7.4 − 4.2)) = 0.063 % of the benzoic acid
    assert "0.063 %" in thick_page.locator(".maker-awake-words").inner_text()


def test_no_code_is_in_sight_and_nothing_failed(text_page, short_page, thick_page) -> None:
    for page in (text_page, short_page, thick_page):
        assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() == 0
        assert page.locator(".jp-RenderedText[data-mime-type*='error']").count() == 0
