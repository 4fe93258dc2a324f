"""A recipe of one's own from a messy text to a printed report, in a workshop of one's own, as a maker does it: with the
address that `maker-kit open` says, a browser, a keyboard and no code.

How time is counted: see `maker_clock`. A recipe that is pasted is not typed, but read.
"""

from __future__ import annotations

import contextlib
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from driving import AT_REST, opened_at, type_into
from maker_clock import MOST_S, READ_WORDS, Clock

from maker_kit import cli
from maker_kit.workshop import load_workshop

TEXT = """3/4 cup water
4 tbsp glycerin
sunflower oil .... 20g
emulsifying wax 12 g
preservative B 2.4 g
Scent 3 (a few drops)"""
ANSWERS = {"3/4 cup": "US", "is no ingredient on file": "Scent 3", "no amount is given": "1 g"}
PRICES = (
    ("Sunflower oil", "1 L", "5.20"),
    ("Glycerin", "500 mL", "6.90"),
    ("Emulsifying wax", "250 g", "4.80"),
    ("Water", "5 L", "3.10"),
    ("Preservative B", "100 g", "7.30"),
    ("Scent 3", "30 mL", "6.40"),
    ("250 mL pump", "12 pieces", "8.90"),
    ("Label", "24 pieces", "3.60"),
)


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    return tmp_path / "mine"


@pytest.fixture
def opened(mine: Path, tmp_path: Path) -> Iterator[Callable[[], str]]:
    """A function that types `maker-kit new` and `maker-kit open`, and gives the address."""
    with contextlib.ExitStack() as servers:

        def start() -> str:
            assert cli.main(["new", str(mine)]) == 0
            return servers.enter_context(opened_at("01a_from_any_text", tmp_path, "--workshop", "mine"))

        yield start


def test_a_recipe_of_ones_own_to_its_report_in_six_minutes(opened, mine: Path, tab: object) -> None:
    clock, page = Clock(), tab
    address: list[str] = []

    def first_screen() -> None:
        address.append(opened())
        page.goto(address[0])
        page.wait_for_selector(".maker-text-answer p")
        page.wait_for_function(AT_REST)

    commands = "maker-kit new mine maker-kit open 01a_from_any_text --workshop mine"
    clock.step("a workshop, and the notebook for a text", first_screen, typed=commands)

    def paste() -> None:
        box = page.locator(".maker-text-box textarea")
        box.fill(TEXT)
        box.press("Tab")
        page.wait_for_function(
            "() => { const q = document.querySelector('.maker-text-questions');"
            " return q && q.innerText.includes('3/4 cup') && q.innerText.includes('Scent 3'); }"
        )

    clock.step("paste the text", paste, read=TEXT, clicks=2)

    def answer(asked: str, given: str) -> None:
        last = page.locator(".maker-text-questions > div", has_text=asked).locator("input")
        before = page.locator(".maker-text-answer").inner_text()
        last.last.fill(given)
        last.last.press("Tab")
        page.wait_for_function("b => document.querySelector('.maker-text-answer').innerText !== b", arg=before)

    questions = page.locator(".maker-text-questions").inner_text()
    for asked, given in ANSWERS.items():
        clock.step(f"answer: {asked}", lambda a=asked, g=given: answer(a, g), typed=given, clicks=1)
    clock.steps.append(("read what is asked, and the percents", 0.0, len(questions.split()) / READ_WORDS * 60 + 10))

    def keep() -> None:
        for label, text in (("short name", "my-lotion"), ("title", "My lotion"), ("found where", "a friend")):
            type_into(page, ".maker-text", label, text)
        page.locator(".maker-text").get_by_label("kept like").select_option(label="Hand lotion")
        page.get_by_role("button", name="save as a recipe").click()
        page.wait_for_selector(".maker-text-saved p")

    clock.step("save it", keep, typed="my-lotion My lotion a friend", clicks=5)
    made = load_workshop(mine).recipe("my-lotion")
    assert sum(line.percent for line in made.lines) == pytest.approx(100, abs=0.005)
    assert made.percent_of("Emulsifying wax") / made.percent_of("Sunflower oil") == pytest.approx(12 / 20, rel=0.01)

    def judged() -> None:
        page.goto(address[0].replace("01a_from_any_text", "02_make_or_buy"))
        page.wait_for_selector(".maker-buy-picture[src]")
        page.wait_for_function(AT_REST)
        page.locator(".maker-buy").get_by_label("recipe", exact=True).select_option(label="My lotion")
        said = "() => document.querySelector('.maker-buy-answer').innerText.includes('invented')"
        page.wait_for_function(said)
        page.wait_for_function("() => document.querySelector('.maker-buy-state').innerText.includes('My lotion')")

    clock.step("what it costs, and what stops it", judged, read=" ".join(["word"] * 60), clicks=3)
    before = page.locator(".maker-buy-answer").inner_text()
    page.get_by_role("tab", name="my prices").click()
    page.wait_for_selector(".maker-prices-table table")

    def price(item: str, size: str, each: str, first: bool) -> None:
        page.locator(".maker-prices").get_by_label("what", exact=True).select_option(label=item)
        type_into(page, ".maker-prices", "pack", size)
        type_into(page, ".maker-prices", "price of one [EUR]", each)
        if first:
            type_into(page, ".maker-prices", "supplier", "Corner shop")
            type_into(page, ".maker-prices", "delivery of an order", "4.90")
        page.get_by_role("button", name="save this price").click()
        page.wait_for_function(
            "t => document.querySelector('.maker-prices-saved')?.innerText.startsWith(t)", arg=f"{item} {size}"
        )

    for place, (item, size, each) in enumerate(PRICES):
        words = f"{size} {each}" + ("" if place else " Corner shop 4.90")
        clock.step(
            f"my price: {item}",
            lambda i=item, s=size, e=each, f=not place: price(i, s, e, f),
            typed=words,
            clicks=4,
        )
    page.wait_for_function("b => document.querySelector('.maker-buy-answer').innerText !== b", arg=before)
    page.wait_for_function("() => document.querySelector('.maker-buy-state').innerText.includes('Every count')")

    def report() -> None:
        page.get_by_role("tab", name="report").click()
        page.get_by_role("button", name="write the report").click()
        page.wait_for_selector(".maker-report-written p", timeout=90_000)

    clock.step("write the report", report, clicks=2, read=" ".join(["word"] * 40))
    shown = page.locator(".maker-buy-answer").inner_text()
    assert "invented" not in shown
    sys.stdout.write(f"\n{clock}\n")
    written = (mine / "reports" / "my-lotion.html").read_text(encoding="utf-8")
    assert re.search(r"12 containers: ([0-9.]+) EUR", shown)[0] in written
    market = load_workshop(mine).market
    for item, _, each in PRICES:
        (pack,) = (p for p in market.packs if set(p.content) == {item})
        assert (pack.prices[0][1], pack.invented) == (round(float(each) * 100), False)
    assert clock.total_s < MOST_S, str(clock)
