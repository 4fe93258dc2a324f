"""The screens before the bench in Chromium: controls are moved by keyboard or typed into, and the words and pictures
beside them are right.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from driving import gone, insist, open_tab, press, type_into, words
from screens import each_check, in_view, nothing_failed, page_of

SCREENS = {
    "text": (".maker-text", ".maker-text-percents"),
    "short": (".maker-kit", ".maker-kit-picture"),
    "thick": (".maker-thickness", ".maker-thickness-picture"),
    "keep": (".maker-preservation", ".maker-preservation-picture"),
}


text_page = page_of("01a_from_any_text", ".maker-text-percents table")
short_page = page_of("01b_short_swapped_split", ".maker-kit-picture[src]")
thick_page = page_of("01c_thickness", ".maker-thickness-picture[src]")
keep_page = page_of("01d_preservation", ".maker-preservation-picture[src]")


@pytest.fixture
def page(request: pytest.FixtureRequest) -> tuple[object, str, str]:
    """A page by the name of its fixture, with the class of its panel and of its first picture."""
    return request.getfixturevalue(f"{request.param}_page"), *SCREENS[request.param]


@pytest.mark.parametrize("page", SCREENS, indirect=True)
@each_check
def test_the_first_screen(page, check) -> None:
    check(*page)


def test_answers_are_in_view_with_controls_and_pictures(text_page, thick_page, keep_page) -> None:
    in_view(text_page, ".maker-text-answer", ".maker-text-box", ".maker-text-percents table")
    in_view(thick_page, ".maker-thickness-answer", ".maker-thickness-level", ".maker-thickness-picture[src]")
    places = (".maker-ph", ".maker-preservation-picture[src]")
    in_view(keep_page, ".maker-preservation-answer", *places)
    recipe = keep_page.get_by_label("recipe", exact=True)
    before = recipe.input_value()
    recipe.select_option(label="Cleansing water, version 1")
    words(keep_page, ".maker-preservation-stops", "stop")
    in_view(keep_page, ".maker-preservation-answer", ".maker-preservation-stops", *places)
    recipe.select_option(before)
    gone(keep_page, ".maker-preservation-stops", "stop")


def test_all_four_questions_are_in_view_on_a_laptop(short_page) -> None:
    page = short_page
    in_view(page, ".maker-wanted", ".maker-kit-answer", ".maker-kit-picture[src]", ".maker-kit input >> nth=21")
    for title, picture in (("short", "picture[src]"), ("swap", "words table"), ("split", "picture[src]")):
        open_tab(page, ".maker-changes-tabs", title, f".maker-{title}-{picture}")
        in_view(page, ".maker-wanted", f".maker-{title}-answer", f".maker-{title}-{picture}")
    open_tab(page, ".maker-changes-tabs", "what came", ".maker-kit-picture[src]")


def test_by_keyboard_alone_a_tab_is_opened_and_a_lesson_is_changed_run_and_left(short_page) -> None:
    page = short_page
    page.locator(".maker-changes-tabs > .lm-TabBar .lm-TabBar-tab").first.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.wait_for_selector(".maker-short-picture[src]")
    lesson = page.locator(".maker-kit-lesson").first
    lesson.locator(".cm-content").focus()
    page.keyboard.press("Control+Home")
    page.keyboard.type("full, left = 7, 8  # ")
    page.keyboard.press("Control+End")
    page.keyboard.type("; 40 + 2")
    page.keyboard.press("Control+Enter")
    page.wait_for_function("() => document.querySelector('.maker-kit-lesson .jp-OutputArea').innerText.includes('42')")
    page.keyboard.press("Tab")
    assert page.evaluate("() => !document.activeElement.closest('.cm-editor')")
    cells = page.locator(".jp-Cell").count()
    for key in ("Escape", "d", "d", "a"):
        page.keyboard.press(key)
    assert page.locator(".jp-Cell").count() == cells
    open_tab(page, ".maker-changes-tabs", "what came", ".maker-kit-picture[src]")


def test_a_pasted_recipe_is_read_as_it_is_typed_and_each_question_has_a_field(text_page) -> None:
    box = text_page.locator(".maker-text-box textarea")
    box.fill("60 g water\n10 drops Scent 2\n30 g glycerin\n2 oz shea butter")
    box.press("Tab")
    words(text_page, ".maker-text-answer", "open before")
    text_page.get_by_label("line 4: amount", exact=True).wait_for()
    type_into(text_page, ".maker-text", "line 2: amount", "0.4 g")
    type_into(text_page, ".maker-text", "line 4: amount", "oz wt")
    words(text_page, ".maker-text-answer", "nothing is left to ask")
    assert text_page.get_by_label("line 2: amount", exact=True).input_value() == "0.4 g"
    box.fill("60 g water\n30 g glycerin\n10 g shea butter")
    box.press("Tab")
    # by hand: 60, 30 and 10 of 100 g
    words(text_page, ".maker-text-percents", "60.0000")


def test_the_demo_is_never_written_into_and_it_is_said_beside_the_button(text_page) -> None:
    type_into(text_page, ".maker-text", "short name", "mine")
    type_into(text_page, ".maker-text", "found where", "my own notes")
    button = text_page.get_by_role("button", name="save as a recipe")
    button.click()
    words(text_page, ".maker-text-kept-fault", "stays as it is")
    said, pressed = text_page.locator(".maker-text-kept-fault").bounding_box(), button.bounding_box()
    assert said["x"] >= pressed["x"] + pressed["width"]
    assert abs(said["y"] - pressed["y"]) < 60


def test_a_weight_typed_moves_the_bars_and_the_notes_of_a_kit(short_page) -> None:
    open_tab(short_page, ".maker-kit-tabs", "each thing", ".maker-kit-table table")
    words(short_page, ".maker-kit-table", "2.88 g")  # what a pack of 32 g may lack: 9 %
    before = short_page.locator(".maker-kit-picture").get_attribute("src")
    type_into(short_page, ".maker-kit", "Propanediol", "41")
    gone(short_page, ".maker-kit-answer", "Propanediol is short")  # four jars take 40.77 g
    short_page.wait_for_function("before => document.querySelector('.maker-kit-picture').src !== before", arg=before)
    box = short_page.get_by_title("label of Propanediol").and_(short_page.locator("input"))
    box.fill("30 g")
    box.press("Tab")
    open_tab(short_page, ".maker-kit-tabs", "to look at", ".maker-kit-notes table")
    words(short_page, ".maker-kit-notes", "the list says 32.00 g of Propanediol, the label 30.00 g")


def test_a_weight_that_is_none_is_a_sentence_and_takes_the_old_result_away(short_page) -> None:
    type_into(short_page, ".maker-kit", "Glycerin", "a spoonful")
    words(short_page, ".maker-kit-fault", "Glycerin on the scale")
    assert not short_page.locator(".maker-kit-picture").is_visible()
    type_into(short_page, ".maker-kit", "Glycerin", "20")
    words(short_page, ".maker-kit-answer", "Glycerin is short")
    gone(short_page, ".maker-kit-fault", "Glycerin")


def test_what_was_weighed_counts_further_on(short_page) -> None:
    open_tab(short_page, ".maker-changes-tabs", "short", ".maker-short-picture[src]")
    # a jar takes 6.115 g of glycerin: 20 g fill three, though the kit lists 30 g; of 41 g of propanediol four are
    # filled
    words(short_page, ".maker-short-answer", "fills 3 of 4 containers; Glycerin runs out first")
    words(short_page, ".maker-short-ways", "Fill 3 instead of 4")
    press(short_page, ".maker-wanted", "ArrowRight", ".maker-short-picture")
    words(short_page, ".maker-short-answer", "3 of 5 containers")
    words(short_page, ".maker-short-ways", "Fill 3 instead of 5")
    open_tab(short_page, ".maker-changes-tabs", "what came", ".maker-kit-picture[src]")
    words(short_page, ".maker-kit-answer", "5 containers")


def test_another_kit_brings_its_own_boxes(short_page) -> None:
    short_page.get_by_label("kit", exact=True).select_option(label="M botanicals: Kit 1, wash for four")
    type_into(short_page, ".maker-kit", "Wash base", "1030")
    # four bottles take 1034.1 g of base
    words(short_page, ".maker-kit-notes", "1030.00 g are there")
    short_page.get_by_label("kit", exact=True).select_option(label="M botanicals: Kit 2, gel cream for four")
    short_page.get_by_label("Propanediol", exact=True).wait_for()


def test_a_swap_shows_what_changes_and_is_kept_but_not_in_the_demo(short_page, tmp_path: Path) -> None:
    open_tab(short_page, ".maker-changes-tabs", "swap", ".maker-swap-words table")
    short_page.get_by_label("instead of", exact=True).select_option(label="Scent 1")
    short_page.get_by_label("take", exact=True).select_option(label="Scent 3")
    words(short_page, ".maker-swap-words", "Scent 3 [%]")
    words(short_page, ".maker-swap-notes", "untested")
    panel = short_page.locator(".maker-swap")
    panel.get_by_text("keep the changed recipe").click()
    type_into(short_page, ".maker-swap", "short name", "mine")
    panel.get_by_role("button", name="save as a recipe").click()
    words(short_page, ".maker-swap-kept-fault", "stays as it is")
    panel.get_by_text("keep the table").click()
    type_into(short_page, ".maker-swap", "file name", str(tmp_path / "swap.csv"))
    panel.get_by_role("button", name="save the table as CSV").click()
    words(short_page, ".maker-swap-kept", "swap.csv")
    assert "Scent 3 [%]" in (tmp_path / "swap.csv").read_text(encoding="utf-8-sig")


def test_one_bottle_more_of_a_scent_takes_more_base_and_leaves_less(short_page) -> None:
    short_page.get_by_label("recipe", exact=True).select_option(label="Foaming hand wash, from a ready base")
    open_tab(short_page, ".maker-changes-tabs", "split", ".maker-split-picture[src]")
    for number, load, count in ((1, "0.8", "10"), (2, "0.6", "8"), (3, "1,0", "6")):
        type_into(short_page, ".maker-split", f"load {number}", load)
        type_into(short_page, ".maker-split", f"containers {number}", count)
    type_into(short_page, ".maker-split", "base there is", "2 gallons")
    words(short_page, ".maker-split-answer", "1,531.7 g stay over")  # 7737.38 g in two gallons less 6205.64 g
    press(short_page, ".maker-part-1", "ArrowRight", ".maker-split-picture")
    # one bottle of scent 1 takes 258.525 g of base
    words(short_page, ".maker-split-answer", "1,273.2 g stay over")
    type_into(short_page, ".maker-split", "containers 1", "20")
    words(short_page, ".maker-split-answer", "1,053.5 g are missing")


def test_a_load_over_the_ceiling_is_a_stop_of_that_scent(short_page) -> None:
    short_page.get_by_label("recipe", exact=True).select_option(label="Hand and heel balm")
    type_into(short_page, ".maker-split", "load 2", "1.2")
    # scent 2 holds up to 10 % citronellal, of which hands may meet 0.10 %: 1.2 % of it is 0.12 %
    words(short_page, ".maker-split-stops", "stop")
    open_tab(short_page, ".maker-split-tabs", "to look at", ".maker-split-notes table")
    words(short_page, ".maker-split-notes", "■ stop")
    words(short_page, ".maker-split-notes", "Scent 2: Citronellal")


def test_a_scent_more_and_a_base_that_is_no_amount(short_page) -> None:
    open_tab(short_page, ".maker-split-tabs", "each scent", ".maker-split-words table")
    short_page.locator(".maker-split").get_by_role("button", name="one scent more").click()
    short_page.locator(".maker-part-4 .noUi-handle").last.wait_for()

    def two_without_a_scent() -> None:
        short_page.locator(".maker-split").get_by_label("scent 4", exact=True).select_option(label="unscented")
        for count in ("1", "2"):  # the same number typed again would be no change
            type_into(short_page, ".maker-split", "containers 4", count)

    insist(short_page, two_without_a_scent, ".maker-split-words", "unscented")
    type_into(short_page, ".maker-split", "base there is", "8 oz")
    words(short_page, ".maker-split-fault", "basis is unknown")
    type_into(short_page, ".maker-split", "base there is", "")
    open_tab(short_page, ".maker-split-tabs", "together", ".maker-split-totals table")
    words(short_page, ".maker-split-totals", "unknown: how much base there is was not said")


def test_the_thickener_level_moves_along_the_curve_and_is_refused_beyond_it(thick_page) -> None:
    press(thick_page, ".maker-thickness-level", "ArrowRight", ".maker-thickness-picture")
    words(thick_page, ".maker-thickness-answer", "0.61 %")
    type_into(thick_page, ".maker-thickness", "thickener", "0,88")
    # the maker's own readings put 6.4 cm at 0.880 % along logarithms
    words(thick_page, ".maker-thickness-answer", "a spread of 6.4 cm, as wanted")
    type_into(thick_page, ".maker-thickness", "thickener", "1.3")
    words(thick_page, ".maker-thickness-answer", "supplier's most")
    thick_page.get_by_label("recipe", exact=True).select_option(label="Hand and heel balm")
    words(thick_page, ".maker-thickness-answer", "unknown")
    assert not thick_page.locator(".maker-thickness-picture").is_visible()


def test_the_reading_moves_along_the_strip_and_a_high_one_is_a_stop(keep_page) -> None:
    press(keep_page, ".maker-ph", "ArrowRight", ".maker-preservation-picture")
    type_into(keep_page, ".maker-preservation", "pH that was read", "7.4")
    words(keep_page, ".maker-preservation-stops", "stop")
    # by hand: 1 / (1 + 10^(7.4 − 4.2)) = 0.063 % of the benzoic acid
    words(keep_page, ".maker-preservation-words", "0.063 %")
    before = keep_page.locator(".maker-preservation-picture").get_attribute("src")
    keep_page.get_by_label("read with").select_option(index=1)  # the strip; the demo's own reading was by meter
    words(keep_page, ".maker-preservation-words", "7.4 by strip")
    keep_page.wait_for_function(
        "before => document.querySelector('.maker-preservation-picture').src !== before", arg=before
    )  # the strip shows how far it may be off
    type_into(keep_page, ".maker-preservation", "sample at [°C]", "45")
    words(keep_page, ".maker-preservation-words", "read at 45 °C")
    keep_page.get_by_label("I read the pH of this batch").uncheck()
    words(keep_page, ".maker-preservation-words", "none was read")


def test_acid_and_density_stand_behind_the_reading(keep_page) -> None:
    open_tab(keep_page, ".maker-preservation-tabs", "acid", ".maker-acid-words table")
    words(keep_page, ".maker-acid-words", "14.4 g")  # 80 % of three times 6 g
    type_into(keep_page, ".maker-acid", "batch of today [g]", "1000,0")
    words(keep_page, ".maker-acid-words", "4.8 g")
    open_tab(keep_page, ".maker-preservation-tabs", "density", ".maker-density-words table")


def test_the_blend_follows_both_together_and_an_own_value(keep_page) -> None:
    open_tab(keep_page, ".maker-preservation-tabs", "emulsifier", ".maker-blend-picture[src]")
    # by hand: the oil phase asks for 7.667; (7.667 − 15) / (4.3 − 15) = 68.54 % sorbitan oleate
    words(keep_page, ".maker-blend-words", "68.54")
    keep_page.locator(".maker-blend-total .noUi-handle").first.focus()
    keep_page.keyboard.press("ArrowRight")
    words(keep_page, ".maker-blend-words", "3.50")  # 68.54 % of 5.1 %
    before = keep_page.locator(".maker-blend-picture").get_attribute("src")
    type_into(keep_page, ".maker-blend", "own HLB, first", "5, its supplier")
    words(keep_page, ".maker-blend-words", "73.33")  # (7.667 − 15) / (5 − 15)
    words(keep_page, ".maker-blend-words", "Sources differ on the HLB of Sorbitan oleate")
    keep_page.wait_for_function("before => document.querySelector('.maker-blend-picture').src !== before", arg=before)


def test_a_pair_that_does_not_reach_is_refused_in_words_and_the_unknown_is_said(keep_page) -> None:
    second = keep_page.locator(".maker-blend").get_by_label("second emulsifier", exact=True)
    second.select_option(label="Sorbitan stearate (HLB 4.7)")
    words(keep_page, ".maker-blend-fault", "lies outside")
    second.select_option(label="Polysorbate 80 (HLB 15)")
    words(keep_page, ".maker-blend-words", "73.33")
    type_into(keep_page, ".maker-blend", "own HLB of oils", "")
    words(keep_page, ".maker-blend-answer", "What HLB to aim at is unknown")
    gone(keep_page, ".maker-blend-words", "73.33")


def test_nothing_failed_and_only_lessons_show_their_lines(text_page, short_page, thick_page, keep_page) -> None:
    for page in (text_page, short_page, thick_page, keep_page):
        assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() in {2, 3}
        nothing_failed(page)
