"""The bench sheet: what is printed, read back by Poppler. Expected values: the invented scenario's masses, added up by
hand; the recipe's own steps.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest
from demo_workshop import demo

from maker_kit import cli
from maker_kit.bench.sheet import bench_sheet
from maker_kit.bench.version import recipe_version
from maker_kit.errors import MakerKitError
from maker_kit.formula.recipe import Line
from maker_kit.formula.scale import weigh_out
from maker_kit.workbook.paper.bench_sheet import bench_sheet_pages
from maker_kit.workbook.run.sheets_to_print import sheet_for, sheet_page, write_sheets

SHOP = demo()
PAPERS = ("A4", "Letter")


def read(pdf: bytes) -> str:
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True, timeout=60)
    return done.stdout.decode()


def test_the_display_runs_on_within_a_phase_and_begins_anew_with_the_next() -> None:
    lines = sheet_for(SHOP, "r5-hand-lotion", 4).lines
    # by hand: 4 × 245.0 g × 1.05 = 1029.0 g; water 69.7 % = 717.2, glycerin 4 % = 41.16, gum 0.3 % = 3.09, chelator
    # 2.06
    assert [x.weigh for x in lines[:4]] == ["717 g", "41.2 g", "3.1 g", "2.1 g"]
    assert [x.running for x in lines[:4]] == ["717 g", "758.2 g", "761.3 g", "763.4 g"]
    assert (lines[4].phase, lines[4].running) == ("B", "51.5 g")


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="no Poppler on this machine")
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", sorted(SHOP.recipes))
def test_every_demo_recipe_is_printed_whole_on_two_pages(name: str, paper: str) -> None:
    sheet = sheet_for(SHOP, name, 4, "X-01")
    pages = read(bench_sheet_pages(sheet, paper, "2026-11-02 09:00").pdf()).split("\f")[:-1]
    assert len(pages) == 2
    for number, page in enumerate(pages, 1):
        for told in (SHOP.recipe(name).title, "X-01", recipe_version(SHOP.recipe(name)), "2026-11-02 09:00"):
            assert told in page
        assert f"page {number} of 2" in page
    words = set(re.findall(r"\w+", "".join(pages)))
    said = [x.ingredient for x in sheet.lines] + [s.what for s in sheet.steps] + [f.text for f in sheet.stops]
    assert set(re.findall(r"\w+", " ".join(said))) <= words
    assert {x.weigh.split()[0] for x in sheet.lines} <= set("".join(pages).split())


def test_phases_add_up_and_a_caution_stands_over_what_it_is_about() -> None:
    sheet = sheet_for(SHOP, "r5-hand-lotion", 4)
    # the invented scenario's own sums of the lotion's phases
    assert sheet.phases == (("A", "74.20"), ("B", "23.00"), ("C", "2.80"))
    thirds = replace(SHOP.recipe("r4-balm"), lines=tuple(Line(p, "Beeswax", 100 / 3) for p in "ABC"))
    parts = bench_sheet(thirds, 1, weigh_out(thirds, 100.0, SHOP.settings.scale)).phases
    assert sum(Decimal(part) for _, part in parts) == 100
    page = sheet_page(sheet)
    order = [
        "scent allergens",
        "Clean start",
        "neat preservatives",
        "shows",
        "hot phases",
        "late or missed",
        "fine until",
    ]
    assert [page.index(word) for word in order] == sorted(page.index(word) for word in order)
    assert "together 100.00 %" in page
    for told in ("read °C", "Other than planned", "tool, °C, when", "<footer>"):  # what the printed one has too
        assert told in page


def test_a_stop_is_printed_first() -> None:
    sheet = sheet_for(SHOP, "r3v1-cleansing-water", 4)
    assert sheet.stops
    assert sheet_page(sheet).index("STOP") < sheet_page(sheet).index("Clean start")


def test_the_page_for_screens_holds_the_same_and_no_markup_of_the_maker() -> None:
    sheet = replace(sheet_for(SHOP, "r4-balm", 4), title="<img src=x onerror=alert(1)>", number="<b>")
    page = sheet_page(sheet)
    assert "<img" not in page
    assert "<b><" not in page
    assert page.count("<h1>") == 1


def test_the_same_facts_give_the_same_files(tmp_path: Path) -> None:
    def made(folder: str) -> list[bytes]:
        files = write_sheets(SHOP, ["r4-balm"], tmp_path / folder, now=lambda: datetime(2026, 11, 2, 9, 0))
        return [f.read_bytes() for f in files]

    assert made("a") == made("b")


def test_by_the_shell_and_what_it_refuses(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["sheet", "r4-balm", "--containers", "6", "--to", str(tmp_path), "--paper", "Letter"]) == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["r4-balm-sheet.html", "r4-balm-sheet.pdf"]
    for words in (["r4-blam"], ["r4-balm", "--paper", "A5"], ["r4-balm", "--containers", "0"]):
        assert cli.main(["sheet", *words, "--to", str(tmp_path)]) == 1
    assert "did you mean" in capsys.readouterr().err
    with pytest.raises(MakerKitError):
        sheet_for(SHOP, "nothing")


def test_trace_and_log_by_the_shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from maker_kit.bench.log import open_log

    assert cli.main(["new", str(tmp_path / "mine")]) == 0
    assert cli.main(["trace", "N-0417", "--workshop", str(tmp_path / "mine")]) == 1
    assert "no bench log" in capsys.readouterr().err
    with open_log(tmp_path / "mine", make=True) as log:
        log.add("lot", code="N-0417", item="Propanediol")
        log.add("batch", number="R2-07", recipe="r2", version="v", containers=3, made_on="2026-11-02")
        log.add("weighing", batch="R2-07", lot="N-0417", item="Propanediol", mass_mg=40_000)
        log.add("unit", batch="R2-07", code="R2-07/01")
        log.add("gone", unit="R2-07/01", place="room 7", use="own use", gone_on="2026-11-03")
    capsys.readouterr()
    assert cli.main(["trace", "n-0417", "--workshop", str(tmp_path / "mine")]) == 0
    said = capsys.readouterr().out
    assert "1 room 7" in said
    assert "2 containers have no number" in said
    assert cli.main(["check", str(tmp_path / "mine")]) == 0  # the log and its tables are no table of the workshop
    assert cli.main(["log", "--workshop", str(tmp_path / "mine")]) == 0
    (tmp_path / "mine" / "bench.sqlite").write_bytes(b"spoilt")
    assert cli.main(["log", "--workshop", str(tmp_path / "mine")]) == 1
    assert "--mend" in capsys.readouterr().err
    assert cli.main(["log", "--mend", "--workshop", str(tmp_path / "mine")]) == 0
    assert "brought back" in capsys.readouterr().out
