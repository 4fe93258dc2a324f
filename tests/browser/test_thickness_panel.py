"""The thickness curve in Chromium: the level moves along it and is refused beyond it."""

from __future__ import annotations

from driving import press, type_into, words
from screens import each_check, in_view, nothing_failed, page_of

page = page_of("01c_thickness", ".maker-thickness-picture[src]")


@each_check
def test_the_first_screen(page, check) -> None:
    check(page, ".maker-thickness", ".maker-thickness-picture")


def test_the_answer_is_in_view_with_control_and_picture(page) -> None:
    in_view(page, ".maker-thickness-answer", ".maker-thickness-level", ".maker-thickness-picture[src]")


def test_the_thickener_level_moves_along_the_curve_and_is_refused_beyond_it(page) -> None:
    press(page, ".maker-thickness-level", "ArrowRight", ".maker-thickness-picture")
    words(page, ".maker-thickness-answer", "0.61 %")
    type_into(page, ".maker-thickness", "thickener", "0,88")
    # the maker's own readings put 6.4 cm at 0.880 % along logarithms
    words(page, ".maker-thickness-answer", "a spread of 6.4 cm, as wanted")
    type_into(page, ".maker-thickness", "thickener", "1.3")
    words(page, ".maker-thickness-answer", "supplier's most")
    page.get_by_label("recipe", exact=True).select_option(label="Hand and heel balm")
    words(page, ".maker-thickness-answer", "unknown")
    assert not page.locator(".maker-thickness-picture").is_visible()


def test_nothing_failed_and_only_lessons_show_their_lines(page) -> None:
    assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() in {2, 3}
    nothing_failed(page)
