"""A recipe read from any text, in Chromium: it is read as it is typed, and what is not known is asked for in fields."""

from __future__ import annotations

from driving import type_into, words
from screens import each_check, in_view, nothing_failed, page_of

page = page_of("01a_from_any_text", ".maker-text-percents table")


@each_check
def test_the_first_screen(page, check) -> None:
    check(page, ".maker-text", ".maker-text-percents")


def test_answer_and_table_are_in_view_with_the_text(page) -> None:
    in_view(page, ".maker-text-answer", ".maker-text-box", ".maker-text-percents table")


def test_a_pasted_recipe_is_read_as_it_is_typed_and_each_question_has_a_field(page) -> None:
    box = page.locator(".maker-text-box textarea")
    box.fill("60 g water\n10 drops Scent 2\n30 g glycerin\n2 oz shea butter")
    box.press("Tab")
    words(page, ".maker-text-answer", "open before")
    page.get_by_label("line 4: amount", exact=True).wait_for()
    type_into(page, ".maker-text", "line 2: amount", "0.4 g")
    type_into(page, ".maker-text", "line 4: amount", "oz wt")
    words(page, ".maker-text-answer", "nothing is left to ask")
    assert page.get_by_label("line 2: amount", exact=True).input_value() == "0.4 g"
    box.fill("60 g water\n30 g glycerin\n10 g shea butter")
    box.press("Tab")
    # by hand: 60, 30 and 10 of 100 g
    words(page, ".maker-text-percents", "60.0000")


def test_the_demo_is_never_written_into_and_it_is_said_beside_the_button(page) -> None:
    type_into(page, ".maker-text", "short name", "mine")
    type_into(page, ".maker-text", "found where", "my own notes")
    button = page.get_by_role("button", name="save as a recipe")
    button.click()
    words(page, ".maker-text-kept-fault", "stays as it is")
    said, pressed = page.locator(".maker-text-kept-fault").bounding_box(), button.bounding_box()
    assert said["x"] >= pressed["x"] + pressed["width"]
    assert abs(said["y"] - pressed["y"]) < 60


def test_nothing_failed_and_only_lessons_show_their_lines(page) -> None:
    assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() in {2, 3}
    nothing_failed(page)
