"""Names are never markup: what looks like HTML, LaTeX, markdown, a formula of a spreadsheet or an order to a screen
stands as it was typed in every output of a workshop in which every text field looks so.
"""

from __future__ import annotations

import csv
import datetime
import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from hostile import EVIL, Tags, evil_workshop, no_formula

from maker_kit import cli
from maker_kit.plan import make_plan, purchase
from maker_kit.workbook.panels.controls import Slider, as_words, dropdown, field
from maker_kit.workbook.run.decide import write_decisions
from maker_kit.workbook.run.report import write_reports
from maker_kit.workbook.run.sheets_to_print import write_sheets
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet
from maker_kit.workshop import Workshop, load_workshop
from maker_kit.workshop.exporting import export_table

RECIPES = ("r1b-hand-wash", "r4-balm")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    return load_workshop(evil_workshop(tmp_path_factory.mktemp("evil") / "w"))


@pytest.fixture(scope="module")
def written(shop: Workshop, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    to = tmp_path_factory.mktemp("written")
    paths = write_reports(RECIPES[:1], str(shop.folder), ["upto=4", "batches=2"], to, progress=False)
    day = datetime.date(2026, 4, 1)
    paths += write_decisions(RECIPES[1:], str(shop.folder), ["upto=4", "batches=2"], to, on=day)
    paths += write_sheets(shop, RECIPES[1:], to)
    return {path.name: path for path in paths}


def test_every_page_shows_names_as_they_were_typed(written: dict[str, Path]) -> None:
    pages = [path for name, path in written.items() if name.endswith(".html")]
    assert len(pages) == 3
    for path in pages:
        raw = path.read_text(encoding="utf-8")
        found = Tags(raw)
        assert "zz" not in found.tags, path.name
        assert not {"onx", "javascript", "onerror"} & found.names, path.name
        whole = "".join(text for text, _ in found.texts)
        assert EVIL in whole, path.name
        assert "<em>q</em>" not in raw


def test_nothing_that_a_notebook_shows_is_set_as_a_formula(shop: Workshop, written: dict[str, Path]) -> None:
    plan = make_plan(shop, RECIPES[0])
    for shown in (findings_sheet(plan.findings), Sheet([(EVIL,)], columns=[EVIL])):
        no_formula(shown._repr_html_())
    page = written[f"{RECIPES[0]}.html"].read_text(encoding="utf-8")
    outputs = re.sub(r"<header>.*?</header>|<title>.*?</title>|<figcaption>.*?</figcaption>", "", page, flags=re.DOTALL)
    assert no_formula(outputs) > 5
    page = written[f"{RECIPES[1]}-decision.html"].read_text(encoding="utf-8")
    assert no_formula(page[page.index('<div class="linked') :]) > 5


def test_names_beside_controls_areno_formula() -> None:
    """ipywidgets hands every description and label to MathJax, which looks for $…$, \\(…\\) and \\[…\\]."""
    slider = Slider(EVIL, EVIL, 1.0, 0.0, 2.0, 0.1, hint=EVIL)
    texts = [slider.box.description, slider.unit.value, field(EVIL).description]
    texts.append(dropdown(EVIL, [EVIL], EVIL).description)
    for text in texts:
        assert "$" not in text
        assert "\\" not in text
    assert as_words("a name") == "a name"


def test_every_printed_page_shows_names_as_they_were_typed(written: dict[str, Path]) -> None:
    reader = shutil.which("pdftotext")
    if not reader:
        pytest.skip("no Poppler on this machine, so no printed page was read")
    pages = [path for name, path in written.items() if name.endswith(".pdf")]
    assert len(pages) == 2
    for path in pages:
        done = subprocess.run([reader, "-raw", str(path), "-"], capture_output=True, check=True, timeout=60)
        text = re.sub(r"\s+", "", done.stdout.decode())
        assert re.sub(r"\s+", "", EVIL) in text, path.name


def test_no_cell_that_is_written_runs_in_a_spreadsheet(
    shop: Workshop, written: dict[str, Path], tmp_path: Path
) -> None:
    plan = make_plan(shop, RECIPES[0], batches=2)
    tables = [export_table(purchase(plan).basket, tmp_path / "basket.csv")]
    tables.append(export_table(plan.weigh_out, tmp_path / "weighed.csv"))
    tables += [path for name, path in written.items() if name.endswith(".csv")]
    cells = [cell for path in tables for cell in _cells(path)]
    assert any("<zz" in cell for cell in cells)
    assert [c for c in cells if re.match(r"\s*[=+@\-]", c) and not re.fullmatch(r"-[0-9.]+", c)] == []


def _cells(path: Path) -> Iterator[str]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        for row in csv.reader(file):
            yield from row


def test_the_numbers_for_programs_hold_the_names_as_they_were_typed(written: dict[str, Path]) -> None:
    for name, path in written.items():
        if name.endswith(".json"):
            assert EVIL in json.dumps(json.loads(path.read_text(encoding="utf-8")), ensure_ascii=False).replace(
                "\\\\", "\\"
            )


def test_the_terminal_shows_names_and_no_orders(shop: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    cli.main(["judge", *RECIPES, "--workshop", str(shop.folder), "--all"])
    cli.main(["check", str(shop.folder)])
    told = "".join(capsys.readouterr())
    assert "<zz onx=1>" in told
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", told)
