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
from html.parser import HTMLParser
from pathlib import Path

import pytest

from maker_kit import cli
from maker_kit.plan import make_plan, purchase
from maker_kit.visible import NO_FORMULA
from maker_kit.workbook.panels.controls import Slider, as_words, dropdown, field
from maker_kit.workbook.run.decide import write_decisions
from maker_kit.workbook.run.report import write_reports
from maker_kit.workbook.run.sheets_to_print import write_sheets
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet
from maker_kit.workshop import Workshop, load_workshop
from maker_kit.workshop.exporting import export_table

DATA = Path(__file__).resolve().parents[2] / "data"
EVIL = "=<zz onx=1>$x_1$\\(y\\)*q*[l](javascript:z)"
"""Put in front of every name and text."""
NAMES = {"ingredients.csv": "name", "containers.csv": "container", "suppliers.csv": "supplier", "kits.csv": "kit",
         "shop_products.csv": "product"}  # fmt: skip
TEXTS = {"title", "note", "source", "density from", "range from", "tool", "into", "text", "rescue", "fine until",
         "reason", "where read", "claims", "label order", "what changes", "how measured", "unit", "must-have", "by",
         "kept", "batch", "qualification", "dose from", "worth it for", "person"}  # fmt: skip
RECIPES = ("r1b-hand-wash", "r4-balm")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    folder = Path(shutil.copytree(DATA, tmp_path_factory.mktemp("evil") / "w"))
    shutil.rmtree(folder / "trials")
    (folder / "watch.csv").unlink()
    tables = {path: _rows(path) for path in [*folder.glob("*.csv"), *folder.glob("recipes/*.csv")]}
    evil = {row[head]: EVIL + row[head] for name, head in NAMES.items() for row in tables[folder / name]}
    for path, found in tables.items():
        if not found:
            continue
        for row in found:
            for head, text in row.items():
                if head == "phase" and text:
                    row[head] = f"$<zz>{text}$"
                elif head in TEXTS and text and not text.startswith("%"):
                    row[head] = EVIL + text
                elif text in evil and head not in ("INCI", "substance", "function"):
                    row[head] = evil[text]
        with path.open("w", encoding="utf-8", newline="") as file:
            out = csv.DictWriter(file, list(found[0]))
            out.writeheader()
            out.writerows(found)
    return load_workshop(folder)


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def written(shop: Workshop, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    to = tmp_path_factory.mktemp("written")
    paths = write_reports(RECIPES[:1], str(shop.folder), ["upto=4", "batches=2"], to, progress=False)
    day = datetime.date(2026, 4, 1)
    paths += write_decisions(RECIPES[1:], str(shop.folder), ["upto=4", "batches=2"], to, on=day)
    paths += write_sheets(shop, RECIPES[1:], to)
    return {path.name: path for path in paths}


class Tags(HTMLParser):
    """Elements of a page, and its texts with the classes of all they stand in."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.names: set[str] = set()
        self.texts: list[tuple[str, str]] = []
        self._open: list[tuple[str, str]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.names |= {name for name, _ in attrs}
        self.names |= {"javascript" for _, value in attrs if value and value.lstrip().startswith("javascript:")}
        if tag not in ("br", "img", "meta", "col", "hr", "link"):
            self._open.append((tag, dict(attrs).get("class") or ""))

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        self.texts.append((data, " ".join(f"<{tag}> {classes}" for tag, classes in self._open)))


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
        _no_formula(shown._repr_html_())
    page = written[f"{RECIPES[0]}.html"].read_text(encoding="utf-8")
    outputs = re.sub(r"<header>.*?</header>|<title>.*?</title>|<figcaption>.*?</figcaption>", "", page, flags=re.DOTALL)
    assert _no_formula(outputs) > 5
    page = written[f"{RECIPES[1]}-decision.html"].read_text(encoding="utf-8")
    assert _no_formula(page[page.index('<div class="linked') :]) > 5


def _no_formula(page: str) -> int:
    texts = [(text, place) for text, place in Tags(page).texts if "$x_1$" in text]
    assert texts
    assert [text for text, place in texts if NO_FORMULA not in place and "<pre>" not in place] == []
    return len(texts)


def test_names_beside_controls_are_no_formula() -> None:
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
