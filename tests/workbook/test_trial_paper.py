"""Score sheets and the key on paper, read back by Poppler: size, letters inside, all codes, nothing told too early."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import zlib
from functools import cache
from pathlib import Path

import pytest
from demo_workshop import demo
from fontTools.ttLib import TTFont

from maker_kit.errors import UnknownNameError
from maker_kit.trial.run import TrialRun
from maker_kit.workbook.paper.drawn import Pages, printable, text_width, wrapped
from maker_kit.workbook.paper.trial import key_sheet, score_sheets
from maker_kit.workbook.trial_desk import print_sheets

POINTS = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}
"""Width and height [pt]: ISO 216, and 8.5 × 11 inch."""
SHOP = demo()
RUNS = {run.name: run for run in SHOP.trials}


def poppler(tool: str, pdf: bytes, tmp_path: Path, *flags: str) -> str:
    if shutil.which(tool) is None:
        pytest.skip(f"no {tool} on this machine (Debian: apt-get install poppler-utils)")
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf)
    return subprocess.run(
        [tool, *flags, str(path), *(["-"] if tool == "pdftotext" else [])], capture_output=True, text=True, check=True
    ).stdout


def sheets(run: TrialRun, paper: str) -> bytes:
    return score_sheets(run, SHOP.target_cards[run.plan.recipe][-1], paper)


@cache
def demo_sheets(name: str, paper: str) -> bytes:
    """Drawn once for all who read them."""
    return sheets(RUNS[name], paper)


@pytest.mark.parametrize("paper", sorted(POINTS))
@pytest.mark.parametrize("name", sorted(RUNS))
def test_sheets_hold_every_code_and_nothing_of_what_is_behind(name: str, paper: str, tmp_path: Path) -> None:
    run = RUNS[name]
    pdf = demo_sheets(name, paper)
    text = poppler("pdftotext", pdf, tmp_path, "-layout")
    for place in run.key:
        assert all(re.search(rf"\b{code}\b", text) for code in place.codes), place
    if run.plan.kind != "kind":
        for place in run.key:
            assert ", ".join(place.behind) not in " ".join(text.split())
    told = poppler("pdfinfo", pdf, tmp_path)
    width, height = map(float, re.search(r"Page size: +([\d.]+) x ([\d.]+)", told).groups())
    assert (width, height) == pytest.approx(POINTS[paper], abs=0.6)
    fonts = poppler("pdffonts", pdf, tmp_path).splitlines()[2:]
    assert fonts
    assert all(line.split()[-5] == "yes" for line in fonts)  # embedded


@pytest.mark.parametrize("paper", sorted(POINTS))
def test_the_key_holds_what_is_behind_and_the_last_seal(paper: str, tmp_path: Path) -> None:
    run = RUNS["gel-cream-triangle"]
    text = " ".join(poppler("pdftotext", key_sheet(run, paper), tmp_path, "-layout").split())
    for place in run.key:
        assert f"{', '.join(place.codes)} {', '.join(place.behind)}" in text
    assert run.last_seal in text
    assert "keep it closed" in text


def test_cautions_stand_before_the_steps(tmp_path: Path) -> None:
    text = poppler("pdftotext", demo_sheets("cleansing-water-colour", "A4"), tmp_path)
    assert text.index("never at the eye first") < text.index("1. Let somebody")
    assert text.index("Patch first") < text.index("1. Let somebody")


def test_a_line_to_mark_is_a_hundred_millimetres_long() -> None:
    pages = Pages("A4", "x")
    pages.line(20, 50, 120, 50)
    figure, axes = pages._pages[0]
    (x0, _), (x1, _) = axes.transData.transform(axes.lines[0].get_xydata())
    assert (x1 - x0) / figure.dpi * 25.4 == pytest.approx(100)


def test_the_same_run_gives_the_same_bytes() -> None:
    assert sheets(RUNS["wash-scent"], "A4") == demo_sheets("wash-scent", "A4")


def test_embedded_fonts_hold_the_letters_and_nothing_that_only_sets_lines() -> None:
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", demo_sheets("wash-scent", "A4"), re.DOTALL)
    opened = [zlib.decompress(s) for s in streams if s[:1] == b"\x78"]
    fonts = [TTFont(io.BytesIO(s)) for s in opened if s.startswith(b"\0\1\0\0")]
    assert fonts
    for font in fonts:
        assert {"glyf", "loca", "hmtx"} <= set(font.keys())
        assert not {"GSUB", "GPOS", "GDEF", "kern"} & set(font.keys())


def test_words_stay_within_their_width_and_odd_letters_are_boxes() -> None:
    text = "a word and averyveryveryveryverylongwordwithoutanyblankinit and 中 \x00 end"
    lines = wrapped(text, 30, 10)
    assert all(text_width(line, 10) <= 30 for line in lines)
    assert "".join("".join(lines).split()) == "".join(printable(text).split())
    assert printable("中\x07a") == "[U+4E2D][U+0007]a"


def test_a_table_goes_over_pages_with_its_headings(tmp_path: Path) -> None:
    pages = Pages("Letter", "many rows")
    pages.table(("a", "b"), [(str(k), "x " * 40) for k in range(80)], (1, 3))
    text = poppler("pdftotext", pages.pdf(), tmp_path, "-layout")
    assert text.count("page ") == text.count(" of ") >= 3
    assert len(re.findall(r"^\s+a\s+b\s*$", text, re.MULTILINE)) == text.count("page ")


@pytest.mark.parametrize("paper", sorted(POINTS))
@pytest.mark.parametrize(
    ("name", "most"), [("gel-cream-triangle", 2), ("cleansing-water-colour", 1), ("wash-scent", 3)]
)
def test_no_page_is_begun_for_a_row_that_room_could_be_made_for(
    name: str, most: int, paper: str, tmp_path: Path
) -> None:
    told = poppler("pdfinfo", demo_sheets(name, paper), tmp_path)
    assert int(re.search(r"Pages: +(\d+)", told)[1]) <= most


def test_a_sheet_names_the_product_and_a_kind_has_no_key(tmp_path: Path) -> None:
    run = RUNS["gel-cream-kind"]
    pdf = score_sheets(run, SHOP.target_cards[run.plan.recipe][-1], "A4", SHOP.recipe(run.plan.recipe).title)
    text = poppler("pdftotext", pdf, tmp_path, "-layout")
    assert "Kind: Gel cream beside Shop gel" in text
    assert "gel or gel cream or lotion" in text
    assert [path.name for path in print_sheets(SHOP, run.name, tmp_path)] == ["gel-cream-kind-scores.pdf"]
    assert len(print_sheets(SHOP, "gel-cream-triangle", tmp_path)) == 2


def test_a_paper_that_is_none_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="A4"):
        sheets(RUNS["wash-foam"], "A44")
