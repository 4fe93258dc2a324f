"""A kit that is short, a swap and a split base, in Chromium: what is typed moves bars, notes and answers."""

from __future__ import annotations

from pathlib import Path

from driving import gone, insist, open_tab, press, type_into, words
from screens import each_check, in_view, nothing_failed, page_of

page = page_of("01b_short_swapped_split", ".maker-kit-picture[src]")


@each_check
def test_the_first_screen(page, check) -> None:
    check(page, ".maker-kit", ".maker-kit-picture")


def test_all_four_questions_are_in_view_on_a_laptop(page) -> None:
    in_view(page, ".maker-wanted", ".maker-kit-answer", ".maker-kit-picture[src]", ".maker-kit input >> nth=21")
    for title, picture in (("short", "picture[src]"), ("swap", "words table"), ("split", "picture[src]")):
        open_tab(page, ".maker-changes-tabs", title, f".maker-{title}-{picture}")
        in_view(page, ".maker-wanted", f".maker-{title}-answer", f".maker-{title}-{picture}")
    open_tab(page, ".maker-changes-tabs", "what came", ".maker-kit-picture[src]")


def test_by_keyboard_alone_a_tab_is_opened_and_a_lesson_is_changed_run_and_left(page) -> None:
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


def test_a_weight_typed_moves_the_bars_and_the_notes_of_a_kit(page) -> None:
    open_tab(page, ".maker-kit-tabs", "each thing", ".maker-kit-table table")
    words(page, ".maker-kit-table", "2.88 g")  # what a pack of 32 g may lack: 9 %
    before = page.locator(".maker-kit-picture").get_attribute("src")
    type_into(page, ".maker-kit", "Propanediol", "41")
    gone(page, ".maker-kit-answer", "Propanediol is short")  # four jars take 40.77 g
    page.wait_for_function("before => document.querySelector('.maker-kit-picture').src !== before", arg=before)
    box = page.get_by_title("label of Propanediol").and_(page.locator("input"))
    box.fill("30 g")
    box.press("Tab")
    open_tab(page, ".maker-kit-tabs", "to look at", ".maker-kit-notes table")
    words(page, ".maker-kit-notes", "the list says 32.00 g of Propanediol, the label 30.00 g")


def test_a_weight_that_is_none_is_a_sentence_and_takes_the_old_result_away(page) -> None:
    type_into(page, ".maker-kit", "Glycerin", "a spoonful")
    words(page, ".maker-kit-fault", "Glycerin on the scale")
    assert not page.locator(".maker-kit-picture").is_visible()
    type_into(page, ".maker-kit", "Glycerin", "20")
    words(page, ".maker-kit-answer", "Glycerin is short")
    gone(page, ".maker-kit-fault", "Glycerin")


def test_what_was_weighed_counts_further_on(page) -> None:
    open_tab(page, ".maker-changes-tabs", "short", ".maker-short-picture[src]")
    # a jar takes 6.115 g of glycerin: 20 g fill three, though the kit lists 30 g; of 41 g of propanediol four are
    # filled
    words(page, ".maker-short-answer", "fills 3 of 4 containers; Glycerin runs out first")
    words(page, ".maker-short-ways", "Fill 3 instead of 4")
    press(page, ".maker-wanted", "ArrowRight", ".maker-short-picture")
    words(page, ".maker-short-answer", "3 of 5 containers")
    words(page, ".maker-short-ways", "Fill 3 instead of 5")
    open_tab(page, ".maker-changes-tabs", "what came", ".maker-kit-picture[src]")
    words(page, ".maker-kit-answer", "5 containers")


def test_another_kit_brings_its_own_boxes(page) -> None:
    page.get_by_label("kit", exact=True).select_option(label="M botanicals: Kit 1, wash for four")
    type_into(page, ".maker-kit", "Wash base", "1030")
    # four bottles take 1034.1 g of base
    words(page, ".maker-kit-notes", "1030.00 g are there")
    page.get_by_label("kit", exact=True).select_option(label="M botanicals: Kit 2, gel cream for four")
    page.get_by_label("Propanediol", exact=True).wait_for()


def test_a_swap_shows_what_changes_and_is_kept_but_not_in_the_demo(page, tmp_path: Path) -> None:
    open_tab(page, ".maker-changes-tabs", "swap", ".maker-swap-words table")
    page.get_by_label("instead of", exact=True).select_option(label="Scent 1")
    page.get_by_label("take", exact=True).select_option(label="Scent 3")
    words(page, ".maker-swap-words", "Scent 3 [%]")
    words(page, ".maker-swap-notes", "untested")
    panel = page.locator(".maker-swap")
    panel.get_by_text("keep the changed recipe").click()
    type_into(page, ".maker-swap", "short name", "mine")
    panel.get_by_role("button", name="save as a recipe").click()
    words(page, ".maker-swap-kept-fault", "stays as it is")
    panel.get_by_text("keep the table").click()
    type_into(page, ".maker-swap", "file name", str(tmp_path / "swap.csv"))
    panel.get_by_role("button", name="save the table as CSV").click()
    words(page, ".maker-swap-kept", "swap.csv")
    assert "Scent 3 [%]" in (tmp_path / "swap.csv").read_text(encoding="utf-8-sig")


def test_one_bottle_more_of_a_scent_takes_more_base_and_leaves_less(page) -> None:
    page.get_by_label("recipe", exact=True).select_option(label="Foaming hand wash, from a ready base")
    open_tab(page, ".maker-changes-tabs", "split", ".maker-split-picture[src]")
    for number, load, count in ((1, "0.8", "10"), (2, "0.6", "8"), (3, "1,0", "6")):
        type_into(page, ".maker-split", f"load {number}", load)
        type_into(page, ".maker-split", f"containers {number}", count)
    type_into(page, ".maker-split", "base there is", "2 gallons")
    words(page, ".maker-split-answer", "1,531.7 g stay over")  # 7737.38 g in two gallons less 6205.64 g
    press(page, ".maker-part-1", "ArrowRight", ".maker-split-picture")
    # one bottle of scent 1 takes 258.525 g of base
    words(page, ".maker-split-answer", "1,273.2 g stay over")
    type_into(page, ".maker-split", "containers 1", "20")
    words(page, ".maker-split-answer", "1,053.5 g are missing")


def test_a_load_over_the_ceiling_is_a_stop_of_that_scent(page) -> None:
    page.get_by_label("recipe", exact=True).select_option(label="Hand and heel balm")
    type_into(page, ".maker-split", "load 2", "1.2")
    # scent 2 holds up to 10 % citronellal, of which hands may meet 0.10 %: 1.2 % of it is 0.12 %
    words(page, ".maker-split-stops", "stop")
    open_tab(page, ".maker-split-tabs", "to look at", ".maker-split-notes table")
    words(page, ".maker-split-notes", "■ stop")
    words(page, ".maker-split-notes", "Scent 2: Citronellal")


def test_a_scent_more_and_a_base_that_is_no_amount(page) -> None:
    open_tab(page, ".maker-split-tabs", "each scent", ".maker-split-words table")
    page.locator(".maker-split").get_by_role("button", name="one scent more").click()
    page.locator(".maker-part-4 .noUi-handle").last.wait_for()

    def two_without_a_scent() -> None:
        page.locator(".maker-split").get_by_label("scent 4", exact=True).select_option(label="unscented")
        for count in ("1", "2"):  # the same number typed again would be no change
            type_into(page, ".maker-split", "containers 4", count)

    insist(page, two_without_a_scent, ".maker-split-words", "unscented")
    type_into(page, ".maker-split", "base there is", "8 oz")
    words(page, ".maker-split-fault", "basis is unknown")
    type_into(page, ".maker-split", "base there is", "")
    open_tab(page, ".maker-split-tabs", "together", ".maker-split-totals table")
    words(page, ".maker-split-totals", "unknown: how much base there is was not said")


def test_nothing_failed_and_only_lessons_show_their_lines(page) -> None:
    assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() in {2, 3}
    nothing_failed(page)
