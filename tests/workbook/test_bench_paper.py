"""The bench sheet on paper: two pages, letters as large as those hold, no unit on a line of its own."""

from __future__ import annotations

import subprocess
from dataclasses import replace

import pytest
from demo_workshop import demo

from maker_kit.workbook.paper.bench_sheet import SIZES, bench_sheet_pages
from maker_kit.workbook.paper.pages import Pages
from maker_kit.workbook.run.sheets_to_print import sheet_for


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_two_pages_on_both_papers_and_every_amount_beside_its_unit(tmp_path, paper) -> None:
    shop = demo()
    for name in ("r3v1-cleansing-water", "r5-hand-lotion"):  # the longest notes, and the longest weigh-out
        sheet = sheet_for(shop, name)
        pages = bench_sheet_pages(sheet, paper)
        assert pages.count == 2
        pdf = tmp_path / "sheet.pdf"
        pdf.write_bytes(pages.pdf())
        told = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
        words = told.replace("\u00a0", " ")
        assert all(line.weigh in words and line.running in words for line in sheet.lines)


def test_a_short_recipe_takes_larger_letters() -> None:
    whole = sheet_for(demo(), "r4-balm")
    sheet = replace(whole, steps=whole.steps[:3])
    tables = [piece for piece in bench_sheet_pages(sheet).flow if hasattr(piece, "_cellvalues")]
    sizes = {
        cell.style.fontSize
        for table in tables
        for row in table._cellvalues[1:]
        for cell in row
        if hasattr(cell, "style")
    }
    assert {SIZES[0][0], SIZES[0][1]} <= {size for size in sizes if isinstance(size, float)}


def test_pages_are_counted_and_laid_out_again_after_more_was_added() -> None:
    pages = Pages("x")
    pages.text("one")
    assert (pages.count, pages.fits_one) == (1, True)
    pages.table(["what"], [[str(n)] for n in range(120)])
    assert not pages.fits_one
    before = pages.count
    pages.turn()
    pages.text("last")
    assert (before > 1, pages.count) == (True, before + 1)
