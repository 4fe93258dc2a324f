"""The label screens in Chromium: a shop's list is typed, a guess asked for, and our own list follows its recipe."""

from __future__ import annotations

from driving import open_tab, type_into, words
from playwright.sync_api import expect
from screens import each_check, nothing_failed, page_of

read_page = page_of("04_read_a_label", ".maker-label-picture[src]")
our_page = page_of("04a_our_label", ".maker-our-label-picture[src]")


def choose(page: object, panel: str, label: str, value: str) -> None:
    """Choose from a list of a screen."""
    page.locator(panel).get_by_label(label, exact=True).select_option(value)


@each_check
def test_the_first_screen_of_a_shops_label(read_page, check) -> None:
    check(read_page, ".maker-label", ".maker-label-picture")


def test_a_stall_label_stops_and_says_why(read_page):
    choose(read_page, ".maker-label", "shop product", "Market-stall lotion")
    words(read_page, ".maker-label-stops", "contradicts itself")
    words(read_page, ".maker-label-stops", "Phenoxyethanol")
    words(read_page, ".maker-label-answer", "cannot all be true")


def test_a_guess_is_shown_only_when_the_first_name_is_told(read_page):
    choose(read_page, ".maker-label", "shop product", "Shop gel")
    words(read_page, ".maker-label-answer", "14 names: Aqua 18.8 to 100 %")
    open_tab(read_page, ".maker-label-tabs", "names", ".maker-label-names table")
    words(read_page, ".maker-label-names", "before a guess is shown")
    before = read_page.locator(".maker-label-picture").get_attribute("src")
    type_into(read_page, ".maker-label", "first name [%]", "60 to 85")
    words(read_page, ".maker-label-names", "a guess, %")
    assert read_page.locator(".maker-label-picture").get_attribute("src") != before


def test_markup_and_other_scripts_stay_text(read_page):
    box = read_page.locator(".maker-label-text textarea")
    box.fill('Aqua, <img src=x onerror="window.bad=1">, \u202eשמן זית\u202c, Glycerin')
    box.press("Tab")
    words(read_page, ".maker-label-answer", "4 names")
    for told in ("read where", "read on", "it is called"):  # of the gel, whose list this no longer is
        expect(read_page.locator(".maker-label").get_by_label(told, exact=True)).to_have_value("")
    open_tab(read_page, ".maker-label-tabs", "names", ".maker-label-names table")
    words(read_page, ".maker-label-names", "<img src=x")
    assert read_page.evaluate("window.bad === undefined")
    assert read_page.locator(".maker-label-names img").count() == 0
    box.fill(" ")
    box.press("Tab")
    words(read_page, ".maker-label-fault", "the label is empty")


def test_nothing_failed_on_a_shops_label(read_page) -> None:
    nothing_failed(read_page)


@each_check
def test_the_first_screen_of_our_label(our_page, check) -> None:
    check(our_page, ".maker-our-label", ".maker-our-label-picture")


def test_our_list_follows_recipe_and_market(our_page):
    choose(our_page, ".maker-our-label", "recipe", "Hand lotion")
    words(our_page, ".maker-our-label-answer", "Hand lotion, EU")
    open_tab(our_page, ".maker-our-label-tabs", "the list", ".maker-our-label-names table")
    words(our_page, ".maker-our-label-names", "may fall under the 1 % line")
    choose(our_page, ".maker-our-label", "market", "US")
    words(our_page, ".maker-our-label-text", "Water, Helianthus Annuus Seed Oil")
    words(our_page, ".maker-our-label-text", "Fragrance")


def test_claims_and_the_sheet_stand_in_their_tabs(our_page):
    choose(our_page, ".maker-our-label", "recipe", "Hand lotion")
    choose(our_page, ".maker-our-label", "market", "EU")
    open_tab(our_page, ".maker-our-label-tabs", "claims", ".maker-label-claims textarea")
    box = our_page.locator(".maker-label-claims textarea")
    box.fill("heals eczema\n4 % glycerin")
    box.press("Tab")
    words(our_page, ".maker-label-claims-words", "must not stand")
    words(our_page, ".maker-label-claims-words", "at least 4 % is in it")
    open_tab(our_page, ".maker-our-label-tabs", "label sheet", ".maker-label-sheet img")
    words(our_page, ".maker-label-sheet-words", "each label says that it is a draft".capitalize())
    type_into(our_page, ".maker-label-sheet", "rows", "14")
    words(our_page, ".maker-label-sheet-words", "or take labels of")


def test_nothing_failed_on_our_label(our_page) -> None:
    nothing_failed(our_page)
