"""The report on paper, printed by Chromium: A4 and Letter, at most five pages, the answer on the first, none split."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from maker_kit import cli

SHEETS = ("A4", "Letter")
NAME, PRODUCT = "r1b-hand-wash", "Foaming hand wash, from a ready base"
LONGEST = "r5-hand-lotion"  # of the demo's reports
MOST_PAGES = 5
PRINTED = """() => { const style = node => getComputedStyle(node);
 const all = words => [...document.querySelectorAll(words)];
 return {whole: all('tr, figure, img').map(n => style(n).breakInside), heads: all('h2').map(n => style(n).breakAfter),
 wide: all('.wide').map(n => style(n).overflowX), begins: all('.new-page').map(n => style(n).breakBefore)}; }"""
CELLS = """() => [...document.querySelectorAll('tbody tr')].map(row =>
 [...row.cells].map(cell => cell.innerText.replace(/\\s+/g, ' ').trim()))"""


def pages_in(pdf: Path) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))


def words_of(pdf: Path, number: int) -> str:
    """The text of a page, a space between words."""
    if not (reader := shutil.which("pdftotext")):
        pytest.skip("no pdftotext on this machine (Debian: apt-get install poppler-utils), so no printed page was read")
    done = subprocess.run(
        [reader, "-raw", "-f", str(number), "-l", str(number), str(pdf), "-"], check=True, capture_output=True
    )
    text = " ".join(done.stdout.decode("utf-8").split())
    return text.replace(f"{number} of {pages_in(pdf)} ", "", 1)  # the number of the page stands first


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("paper")
    assert cli.main(["report", NAME, LONGEST, "--to", str(made)]) == 0
    return made


@pytest.fixture(scope="module")
def page(folder: Path, tab: Any) -> Any:
    tab.goto((folder / f"{NAME}.html").as_uri())
    return tab


@pytest.fixture(scope="module")
def printed(folder: Path, page: Any) -> dict[str, Path]:
    paths = {sheet: folder / f"{sheet}.pdf" for sheet in SHEETS}
    for sheet, path in paths.items():
        page.pdf(path=path, format=sheet)
    return paths


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_demo_wash_takes_at_most_five_pages(printed: dict[str, Path], sheet: str) -> None:
    assert 2 <= pages_in(printed[sheet]) <= MOST_PAGES  # costs and decision together


def test_the_longest_report_takes_at_most_five_pages_of_letter(folder: Path, laptop: Any) -> None:
    page = laptop.new_page()
    page.goto((folder / f"{LONGEST}.html").as_uri())
    page.pdf(path=folder / "longest.pdf", format="Letter")
    page.close()
    assert pages_in(folder / "longest.pdf") <= MOST_PAGES


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_first_page_holds_product_dates_answer_and_stops(printed: dict[str, Path], sheet: str) -> None:
    text = words_of(printed[sheet], 1)
    assert text.startswith(PRODUCT)
    assert re.search(r"Costing report of \d{1,2} [A-Z][a-z]+ 20\d\d", text)
    assert "law in the tables, as of" in text
    # 77.80 / 12, and the shop's 250 mL; the cost of twelve is solved outside this project's code (see test_report.py)
    assert "12 containers: 6.48 EUR each, 7.20 in the shop (250 mL); pays at 8 and from 10 on" in text
    assert "What to stop for" in text
    assert "Nothing to stop for was found" in text
    assert "MAKE IT: no rule before it holds" in text
    assert "Decided by the rule make: foam height (must): met" in text
    second = words_of(printed[sheet], 2)
    assert second.startswith("The shopping list")
    assert "77.80" in second
    assert "What to weigh for the whole order Make 1 batch of 12 containers" in second
    third = words_of(printed[sheet], 3)
    assert third.startswith("May I use it, give it, sell it?")
    assert "a cosmetic product safety report" in third  # what stands in a sale's way
    assert "Is it what was wanted?" in third


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_note_stands_once_on_paper(page: Any, printed: dict[str, Path], sheet: str) -> None:
    whole = " ".join(words_of(printed[sheet], number + 1) for number in range(pages_in(printed[sheet])))
    notes = [cells for cells in page.evaluate(CELLS) if cells[0].endswith(("look", "know", "stop")) and len(cells) == 4]
    assert len(notes) > 9
    for *_, found, _ in notes:
        begins = " ".join(found.split()[:9])
        assert whole.count(begins) == 1, begins


@pytest.mark.parametrize("sheet", SHEETS)
def test_no_row_is_split_between_pages(page: Any, printed: dict[str, Path], sheet: str) -> None:
    texts = [words_of(printed[sheet], number + 1) for number in range(pages_in(printed[sheet]))]
    rows = page.evaluate(CELLS)
    assert len(rows) > 60
    for cells in rows:
        # the first and the last words of a row's longest cell are on one page
        words = max(cells, key=len).split()
        ends = " ".join(words[:3]), " ".join(words[-3:])
        assert any(all(end in text for end in ends) for text in texts), cells


@pytest.mark.parametrize("sheet", SHEETS)
def test_no_picture_is_split_between_pages(printed: dict[str, Path], sheet: str) -> None:
    if not (reader := shutil.which("pdfimages")):
        pytest.skip(
            "no pdfimages on this machine (Debian: apt-get install poppler-utils), so no picture was looked for"
        )
    listed = subprocess.run([reader, "-list", str(printed[sheet])], check=True, capture_output=True, text=True).stdout
    assert sum(" image " in line for line in listed.splitlines()) == 4  # a split one is drawn on two pages


def test_rows_and_pictures_stay_whole_and_headings_stay_with_what_follows_by_rule(page: Any) -> None:
    page.emulate_media(media="print")
    found = page.evaluate(PRINTED)
    page.emulate_media(media="screen")
    assert set(found["whole"]) == {"avoid"}
    assert set(found["heads"]) == {"avoid"}
    assert set(found["wide"]) == {"visible"}
    assert set(found["begins"]) == {"page"}


@pytest.mark.parametrize("width", [390, 900, 1366])
def test_the_page_on_a_screen_never_scrolls_sideways(page: Any, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
