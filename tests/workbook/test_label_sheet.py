"""The label sheet: rendered at 300 dpi and measured, every word read back, refused in words where it does not fit."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import zlib
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from demo_workshop import demo
from PIL import Image

from maker_kit.errors import LabelError, MakerKitError, NoticeError
from maker_kit.label.particulars import LabelFacts
from maker_kit.label.sheet import page_size, sheet_grid, typed_count, typed_sizes
from maker_kit.plan import make_plan
from maker_kit.plan.label.our_label import our_label
from maker_kit.workbook.keep import keep_pdf
from maker_kit.workbook.paper.label_sheet import DRAFT, LEAST_MM, label_sheet, ruler
from maker_kit.workshop import load_workshop, new_workshop

poppler = pytest.mark.skipif(
    not shutil.which("pdftoppm"), reason="no pdftoppm here (Debian: poppler-utils), so no sheet was measured"
)
DPI = 300
BUSINESS = "Crèmerie Łódź & Ελλάς, 1 Lane, 00000 Town"
FACTS = LabelFacts(BUSINESS, "R5-04", date(2026, 11, 2), "cocoa", "+1 000 000")


@pytest.fixture(scope="module")
def shop():
    return demo()


def labelled(shop, market: str, recipe: str = "r5-hand-lotion", facts: LabelFacts = FACTS):
    """The label of a demo recipe."""
    return our_label(make_plan(shop, recipe), facts, market=market, panel_cm2=100)


def rendered(pdf: bytes, folder: Path) -> np.ndarray:
    """The first page as an array of grey, at 300 dpi."""
    (folder / "page.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", "page.pdf", "page"], cwd=folder, check=True)
    with Image.open(folder / "page.pgm") as image:
        return np.asarray(image)


def boxes(pdf: bytes, folder: Path) -> list[tuple[str, list[float]]]:
    """Every word with its box [pt], as Poppler reads them."""
    (folder / "page.pdf").write_bytes(pdf)
    out = subprocess.run(
        ["pdftotext", "-bbox", "page.pdf", "-"], cwd=folder, check=True, capture_output=True, text=True
    )
    found = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', out.stdout)
    return [(word, [float(v) for v in box]) for *box, word in found]


def ink_mm(page: np.ndarray, box: list[float]) -> float:
    """Height of what is black in a box [mm]."""
    x0, y0, x1, y1 = (round(v / 72 * DPI) for v in box)
    dark = (page[y0:y1, x0:x1] < 128).any(axis=1)
    rows = np.flatnonzero(dark)
    return (rows[-1] - rows[0] + 1) / DPI * 25.4


@poppler
@pytest.mark.parametrize(("page", "market"), [("A4", "EU"), ("Letter", "US"), ("150 x 200", "EU")])
def test_letters_are_as_high_as_the_law_asks_and_every_word_is_read_back(shop, page, market, tmp_path):
    label = labelled(shop, market)
    sheet = label_sheet(label, sheet_grid(page, columns=1, rows=2, margin_mm=8, gap_mm=3))
    pdf = sheet.pdf(cut_marks=False)
    image, words = rendered(pdf, tmp_path), boxes(pdf, tmp_path)
    width, height = page_size(page)
    assert image.shape[1] == pytest.approx(float(width) / 25.4 * DPI, abs=1.5)
    assert image.shape[0] == pytest.approx(float(height) / 25.4 * DPI, abs=1.5)
    pixel = 25.4 / DPI
    if market == "EU":  # "cocoa" is all small round letters
        small = next(box for word, box in words if word == "cocoa")
        assert ink_mm(image, small) >= float(LEAST_MM[market]) - pixel
    figure = next(box for word, box in words if word in {"250", "8.45"})
    assert ink_mm(image, figure) >= float(label.net.letter_mm) - pixel
    read = " ".join(word.replace("&amp;", "&") for word, _ in words)
    for particular in label.particulars:
        assert " ".join(particular.text.split()) in read or not particular.text
    assert read.count("R5-04") == 2


@poppler
def test_letters_are_embedded(shop, tmp_path):
    (tmp_path / "page.pdf").write_bytes(label_sheet(labelled(shop, "EU"), sheet_grid()).pdf())
    out = subprocess.run(["pdffonts", "page.pdf"], cwd=tmp_path, check=True, capture_output=True, text=True).stdout
    fonts = out.splitlines()[2:]
    assert fonts
    assert all("TrueType" in line and " yes yes yes" in line for line in fonts)


@poppler
@pytest.mark.parametrize("page", ["A4", "Letter"])
def test_the_ruler_is_100_mm_within_a_tenth(page, tmp_path):
    image = rendered(ruler(page), tmp_path)
    dark = image < 128
    across = max(np.ptp(np.flatnonzero(row)) for row in dark if row.sum() > 1000)
    down = max(np.ptp(np.flatnonzero(column)) for column in dark.T if column.sum() > 1000)
    for pixels in (across, down):
        assert (pixels + 1) / DPI * 25.4 == pytest.approx(100, abs=0.1)


@poppler
def test_cut_marks_stand_where_the_grid_says(shop, tmp_path):
    grid = sheet_grid("A4", columns=2, rows=3, margin_mm=(10, 12, 10, 12), gap_mm=(4, 5))
    image = rendered(label_sheet(labelled(shop, "EU"), grid).pdf(), tmp_path)
    assert float(grid.label_width) == pytest.approx((210 - 20 - 4) / 2)
    assert float(grid.label_height) == pytest.approx((297 - 24 - 10) / 3)
    for x, y in grid.places():
        for mm_x in (x, x + float(grid.label_width)):
            at, row = mm_x / 25.4 * DPI, round((y + 0.7) / 25.4 * DPI)
            near = image[row, round(at) - 6 : round(at) + 7]
            assert abs(np.argmin(near) - 6) * 25.4 / DPI <= 0.1 + 25.4 / DPI


def lines_mm(pdf: bytes, page_height: float) -> list[tuple[float, float, float, float]]:
    """Every straight line of a page as it stands in the PDF, from its upper left corner [mm]."""
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    drawn = b"\n".join(zlib.decompress(s) for s in streams if s[:1] == b"\x78")
    found = re.findall(rb"([\d.]+) ([\d.]+) m\s+([\d.]+) ([\d.]+) l\s+S", drawn)
    points = [[float(v) / 72 * 25.4 for v in line] for line in found]
    return [(x0, page_height - y0, x1, page_height - y1) for x0, y0, x1, y1 in points]


@pytest.mark.parametrize("page", ["A4", "Letter"])
def test_sizes_in_the_pdf_are_those_of_the_grid_within_a_tenth_of_a_mm(shop, page):
    """Measured in the file itself: both corners of every cut mark, and the 100 mm of the ruler."""
    height = float(page_size(page)[1])
    grid = sheet_grid(page, columns=3, rows=3, margin_mm=(7.2, 15.1, 7.2, 15.1), gap_mm=(2.5, 0))
    marks = lines_mm(label_sheet(labelled(shop, "EU"), grid).pdf(), height)
    for x, y in grid.places():
        for corner_x in (x, x + float(grid.label_width)):
            for corner_y in (y, y + float(grid.label_height)):
                near = [m for m in marks if abs(m[0] - corner_x) < 0.1 and abs(m[1] - corner_y) < 0.1]
                assert len(near) >= 2, (x, y)  # one across and one down
    sides = [(abs(x1 - x0), abs(y1 - y0)) for x0, y0, x1, y1 in lines_mm(ruler(page), height)]
    assert max(across for across, _ in sides) == pytest.approx(100, abs=0.1)
    assert max(down for _, down in sides) == pytest.approx(100, abs=0.1)


def test_what_does_not_fit_is_refused_with_what_would_do(shop):
    label = labelled(shop, "EU")
    with pytest.raises(LabelError, match=r"Shorten the business .*ingredients.* or take labels of 45\.0? × "):
        label_sheet(label, sheet_grid("A4", columns=4, rows=12, margin_mm=15))
    needed = float(re.search(r"needs ([\d.]+) mm", _refusal(label, 4, 12))[1])
    rows = int((297 - 30) // (needed + 0.2))
    assert label_sheet(label, sheet_grid("A4", columns=4, rows=rows, margin_mm=15)).blocks


def _refusal(label, columns: int, rows: int) -> str:
    try:
        label_sheet(label, sheet_grid("A4", columns=columns, rows=rows, margin_mm=15))
    except LabelError as error:
        return str(error)
    raise AssertionError


def test_a_draft_says_so_and_a_gap_or_a_strange_sign_is_refused(shop):
    draft = label_sheet(labelled(shop, "EU", facts=LabelFacts()), sheet_grid())
    assert draft.draft
    assert draft.blocks[0].block.text == DRAFT
    with pytest.raises(LabelError, match="cannot be printed"):
        label_sheet(labelled(shop, "EU", facts=replace(FACTS, batch="R水")), sheet_grid())
    with pytest.raises(LabelError, match="girth or the width"):
        label_sheet(our_label(make_plan(shop, "r5-hand-lotion"), FACTS, market="US"), sheet_grid())


def test_markup_and_formulas_in_a_name_are_printed_as_typed(shop, tmp_path):
    facts = replace(FACTS, business="<b>$x^2$</b> & Co, 1 Lane")
    sheet = label_sheet(labelled(shop, "EU", facts=facts), sheet_grid())
    assert any("<b>$x^2$</b>" in line for b in sheet.blocks for line in b.lines)
    with Image.open(io.BytesIO(sheet.png())) as image:
        assert min(image.size) > 100


@pytest.mark.parametrize(
    ("page", "more"),
    [
        ("A9 or so", {}),
        ("0 x 100", {}),
        ("5000 x 100", {}),
        ("A4", {"columns": 0}),
        ("A4", {"columns": 40}),
        ("A4", {"margin_mm": -1}),
        ("A4", {"margin_mm": 150}),
        ("20 x 20", {}),
        ("100 by nothing", {}),
    ],
)
def test_a_page_with_room_for_no_label_is_refused(page, more):
    with pytest.raises(MakerKitError) as caught:
        sheet_grid(page, **more)
    assert len(str(caught.value)) > 20


def test_margins_and_gaps_as_they_are_typed():
    """One figure for all sides, two for sides and ends, or one for each; a decimal comma is no separator."""
    assert typed_sizes("10", "the margins", 2, 4) == (10, 10, 10, 10)
    assert typed_sizes("7, 12, 7, 15", "the margins", 2, 4) == (7, 12, 7, 15)
    assert typed_sizes("10 5", "the margins", 2, 4) == (10, 5, 10, 5)
    assert typed_sizes("2,5; 3,5", "the gaps", 2) == (Fraction(5, 2), Fraction(7, 2))
    for bad in ("1 2 3", "", "ten"):
        with pytest.raises(MakerKitError):
            typed_sizes(bad, "the margins", 2, 4)
    assert typed_count("3", "columns") == 3
    with pytest.raises(LabelError):
        typed_count("2.5", "columns")


def test_a_sheet_is_kept_in_ones_own_workshop_only(shop, tmp_path):
    with pytest.raises(NoticeError):
        keep_pdf(shop, b"%PDF", "labels.pdf")
    new_workshop(tmp_path / "mine")
    mine = load_workshop(tmp_path / "mine")
    assert "labels.pdf" in keep_pdf(mine, b"%PDF", "labels")
    assert (tmp_path / "mine" / "tables" / "labels.pdf").read_bytes() == b"%PDF"
