"""02_make_or_buy in Chromium: the count is moved by keyboard, the picture changes, and the shopping list is right."""

from __future__ import annotations

import pytest
from driving import press

PICTURE = ".maker-buy-picture"


@pytest.fixture(scope="module")
def page(open_notebook):
    shown = open_notebook("02_make_or_buy.ipynb")
    shown.wait_for_selector(f"{PICTURE}[src]")
    return shown


def test_the_counts_that_pay_stand_beside_the_curve(page) -> None:
    words = page.locator(".maker-buy-words").inner_text()
    # the demo workshop's own table, solved by two other integer programs
    assert "8, 10–48" in words
    assert "18, 20–48" in words
    assert "26–29, 32–33, 35–48" in words


def test_moving_the_count_changes_the_picture_and_the_total(page) -> None:
    assert "77.80" in page.locator(".maker-buy-basket").inner_text()
    press(page, ".maker-count", "ArrowRight", PICTURE)
    page.wait_for_function("() => document.querySelector('.maker-buy-basket').innerText.includes('79.90')")


def test_another_recipe_is_solved_anew(page) -> None:
    before = page.locator(PICTURE).get_attribute("src")
    page.get_by_label("recipe").select_option(label="Hand and heel balm")
    page.wait_for_function("before => document.querySelector('.maker-buy-picture').src !== before", arg=before)
    page.wait_for_function("() => document.querySelector('.maker-buy-words').innerText.includes('7–48')")


def test_no_code_is_in_sight_and_nothing_failed(page) -> None:
    assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() == 0
    assert page.locator(".jp-RenderedText[data-mime-type*='error']").count() == 0
