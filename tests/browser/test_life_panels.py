"""The panels before the bench in Chromium: controls are moved by keyboard or typed into, and the words and pictures
beside them are right.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from driving import insist, press


@pytest.fixture(scope="module")
def text_page(open_notebook):
    shown = open_notebook("01a_from_any_text.ipynb")
    shown.wait_for_selector(".maker-text-words")
    return shown


@pytest.fixture(scope="module")
def short_page(open_notebook):
    shown = open_notebook("01b_short_swapped_split.ipynb")
    for panel in ("short", "kit", "split"):
        shown.wait_for_selector(f".maker-{panel}-picture[src]")
    return shown


@pytest.fixture(scope="module")
def thick_page(open_notebook):
    shown = open_notebook("01c_thick_and_kept.ipynb")
    for panel in ("preservation", "blend"):
        shown.wait_for_selector(f".maker-{panel}-picture[src]")
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
    text_page.wait_for_function(
        "() => document.querySelector('.maker-text-kept-fault').innerText.includes('stays as it is')"
    )


def test_more_containers_than_the_kit_fills_move_the_wall(short_page) -> None:
    press(short_page, ".maker-wanted", "ArrowRight", ".maker-short-picture")
    # five jars need 50.96 g of propanediol, the kit holds 32 g: three full jars all the same
    short_page.wait_for_function(
        "() => document.querySelector('.maker-short-words').innerText.includes('Fill 3 instead of 5')"
    )


def test_a_swap_shows_what_changes(short_page) -> None:
    short_page.get_by_label("take").select_option(label="Scent 3")
    short_page.wait_for_function("() => document.querySelector('.maker-swap-words').innerText.includes('Scent 3 [%]')")
    short_page.wait_for_function("() => document.querySelector('.maker-swap-words').innerText.includes('untested')")


def test_the_thickener_level_moves_along_the_curve_and_is_refused_beyond_it(thick_page) -> None:
    box = thick_page.get_by_label("thickener level")
    before = thick_page.locator(".maker-thickness-picture").get_attribute("src")
    box.fill("0.88")
    box.press("Enter")
    thick_page.wait_for_function(
        "before => document.querySelector('.maker-thickness-picture').src !== before", arg=before
    )
    # the maker's own readings put 6.4 cm at 0.880 % along logarithms
    thick_page.wait_for_function("() => document.querySelector('.maker-thickness-words').innerText.includes('6.4 cm')")
    box.fill("1.3")
    box.press("Enter")
    thick_page.wait_for_function(
        "() => document.querySelector('.maker-thickness-words').innerText.includes(\"supplier's most\")"
    )


def test_the_reading_moves_along_the_strip_and_a_high_one_is_a_stop(thick_page) -> None:
    press(thick_page, ".maker-ph", "ArrowRight", ".maker-preservation-picture")
    box = thick_page.get_by_label("pH that was read")
    box.fill("7.4")
    box.press("Enter")
    thick_page.wait_for_function(
        "() => document.querySelector('.maker-preservation-words').innerText.includes('■ stop')"
    )
    # by hand: 1 / (1 + 10^(7.4 − 4.2)) = 0.063 % of the benzoic acid
    assert "0.063 %" in thick_page.locator(".maker-preservation-words").inner_text()
    before = thick_page.locator(".maker-preservation-picture").get_attribute("src")
    thick_page.get_by_label("read with").select_option(index=2)  # the meter
    words(thick_page, ".maker-preservation-words", "7.4 by meter")
    thick_page.wait_for_function(
        "before => document.querySelector('.maker-preservation-picture').src !== before", arg=before
    )  # the strip shows how far it may be off
    warm = thick_page.get_by_label("sample at [°C]")
    warm.fill("45")
    warm.press("Enter")
    words(thick_page, ".maker-preservation-words", "read at 45 °C")
    thick_page.get_by_label("I read the pH of this batch").uncheck()
    words(thick_page, ".maker-preservation-words", "none was read")


def words(page: object, name: str, text: str) -> None:
    """Wait until a text stands in a place."""
    page.wait_for_function(
        "([place, text]) => { const e = document.querySelector(place); return e && e.innerText.includes(text); }",
        arg=[name, text],
    )


def gone(page: object, name: str, text: str) -> None:
    """Wait until a text no longer stands in a place."""
    page.wait_for_function(
        "([place, text]) => { const e = document.querySelector(place); return e && !e.innerText.includes(text); }",
        arg=[name, text],
    )


def type_into(page: object, panel: str, label: str, text: str) -> None:
    """Type into a box of a panel, and leave it."""
    box = page.locator(panel).get_by_label(label, exact=True)
    box.fill(text)
    box.press("Tab")


def test_a_weight_typed_moves_the_bars_and_the_notes_of_a_kit(short_page) -> None:
    words(short_page, ".maker-kit-words", "2.88 g")  # what a pack of 32 g may lack: 9 %
    before = short_page.locator(".maker-kit-picture").get_attribute("src")
    type_into(short_page, ".maker-kit", "Propanediol", "41")
    gone(short_page, ".maker-kit-words", "Recipe against scale")  # four jars take 40.77 g
    short_page.wait_for_function("before => document.querySelector('.maker-kit-picture').src !== before", arg=before)
    type_into(short_page, ".maker-kit", "label of Propanediol", "30 g")
    words(short_page, ".maker-kit-words", "the list says 32.00 g of Propanediol, the label 30.00 g")


def test_a_weight_that_is_none_is_a_sentence_and_takes_the_old_result_away(short_page) -> None:
    type_into(short_page, ".maker-kit", "Glycerin", "a spoonful")
    words(short_page, ".maker-kit-fault", "Glycerin on the scale")
    assert short_page.locator(".maker-kit-words").inner_text().strip() == ""
    assert not short_page.locator(".maker-kit-picture").is_visible()
    type_into(short_page, ".maker-kit", "Glycerin", "30.4")
    words(short_page, ".maker-kit-words", "30.40 g")
    gone(short_page, ".maker-kit-fault", "Glycerin")


def test_more_containers_than_the_kit_is_meant_for(short_page) -> None:
    press(short_page, ".maker-kit-wanted", "ArrowRight", ".maker-kit-picture")
    # five jars take 50.96 g of propanediol
    words(short_page, ".maker-kit-words", "5 containers take 50.96 g of Propanediol")


def test_another_kit_brings_its_own_boxes(short_page) -> None:
    short_page.locator(".maker-kit").get_by_label("kit", exact=True).select_option(
        label="M botanicals: Kit 1, wash for four"
    )
    type_into(short_page, ".maker-kit", "Wash base", "1030")
    # four bottles take 1034.1 g of base
    words(short_page, ".maker-kit-words", "1030.00 g are there")


def test_one_bottle_more_of_a_scent_takes_more_base_and_leaves_less(short_page) -> None:
    words(short_page, ".maker-split-words", "1,531.7 g stay over")  # 7737.38 g in two gallons less 6205.64 g
    press(short_page, ".maker-part-1", "ArrowRight", ".maker-split-picture")
    # one bottle of scent 1 takes 258.525 g of base
    words(short_page, ".maker-split-words", "1,273.2 g stay over")
    type_into(short_page, ".maker-split", "containers 1", "20")
    words(short_page, ".maker-split-words", "1,053.5 g are missing")


def test_a_load_over_the_ceiling_is_a_stop_of_that_scent(short_page) -> None:
    short_page.locator(".maker-split").get_by_label("recipe", exact=True).select_option(label="Hand and heel balm")
    type_into(short_page, ".maker-split", "load 2", "1.2")
    # scent 2 holds up to 10 % citronellal, of which hands may meet 0.10 %: 1.2 % of it is 0.12 %
    words(short_page, ".maker-split-words", "■ stop")
    words(short_page, ".maker-split-words", "Scent 2: Citronellal")


def test_a_scent_more_and_a_base_that_is_no_amount(short_page) -> None:
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
    words(short_page, ".maker-split-words", "unknown: how much base there is was not said")


def test_what_was_tried_is_kept_but_not_in_the_demo(short_page, tmp_path: Path) -> None:
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


def test_the_blend_follows_both_together_and_an_own_value(thick_page) -> None:
    # by hand: the oil phase asks for 7.667; (7.667 − 15) / (4.3 − 15) = 68.54 % sorbitan oleate
    words(thick_page, ".maker-blend-words", "68.54")
    handle = thick_page.locator(".maker-blend-total .noUi-handle").first
    handle.focus()
    thick_page.keyboard.press("ArrowRight")
    words(thick_page, ".maker-blend-words", "3.50")  # 68.54 % of 5.1 %
    before = thick_page.locator(".maker-blend-picture").get_attribute("src")
    type_into(thick_page, ".maker-blend", "own HLB, first", "5, its supplier")
    words(thick_page, ".maker-blend-words", "73.33")  # (7.667 − 15) / (5 − 15)
    words(thick_page, ".maker-blend-words", "Sources differ on the HLB of Sorbitan oleate")
    thick_page.wait_for_function("before => document.querySelector('.maker-blend-picture').src !== before", arg=before)


def test_a_pair_that_does_not_reach_is_refused_in_words_and_the_unknown_is_said(thick_page) -> None:
    thick_page.locator(".maker-blend").get_by_label("second emulsifier", exact=True).select_option(
        label="Sorbitan stearate (HLB 4.7)"
    )
    words(thick_page, ".maker-blend-fault", "lies outside")
    thick_page.locator(".maker-blend").get_by_label("second emulsifier", exact=True).select_option(
        label="Polysorbate 80 (HLB 15)"
    )
    words(thick_page, ".maker-blend-words", "73.33")
    type_into(thick_page, ".maker-blend", "own HLB of oils", "")
    words(thick_page, ".maker-blend-words", "What HLB to aim at is unknown")
    gone(thick_page, ".maker-blend-words", "73.33")


def test_no_code_is_in_sight_and_nothing_failed(text_page, short_page, thick_page) -> None:
    for page in (text_page, short_page, thick_page):
        assert page.locator(".jp-Notebook .jp-CodeCell .cm-editor:visible").count() == 0
        assert page.locator(".jp-RenderedText[data-mime-type*='error']").count() == 0
