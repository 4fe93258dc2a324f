"""Names are never markup at the bench, on a label and in a trial: lots, places, notes, complaints, letters, sheets of
labels, papers of trials, tables beside the log; in a workshop in which every text looks like an order (`hostile`).
"""

from __future__ import annotations

import csv
import io
import re
import shutil
import subprocess
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import ipywidgets as w
import pytest
from hostile import EVIL, Tags, evil_workshop

from maker_kit import cli
from maker_kit.bench.letters import recall_letter
from maker_kit.bench.trace import trace
from maker_kit.label.sheet import sheet_grid
from maker_kit.plan import make_plan
from maker_kit.plan.label.our_label import our_label
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.panels.bench.after import after_panel
from maker_kit.workbook.panels.bench.bench_day import bench_day_panel
from maker_kit.workbook.panels.bench.trace import trace_panel
from maker_kit.workbook.panels.label.our_label import our_label_panel
from maker_kit.workbook.panels.trial import trial_panel
from maker_kit.workbook.paper.label_sheet import label_sheet
from maker_kit.workbook.paper.trial import key_sheet, score_sheets
from maker_kit.workbook.trial_desk import plan_trial
from maker_kit.workshop import Workshop, load_workshop
from maker_kit.workshop.judged_targets import card_of, run_named

GEL = "r2-gel-cream"
DAY = date(2026, 4, 1)
BAD = EVIL + "\x1b[2J\u202e"
"""With signs that would clear a screen, and turn what follows."""
LINE = EVIL
"""A code of a lot, a batch or a unit is written in one line; the log refuses others."""
LOT, BATCH, UNIT = (LINE + word for word in ("lot", "batch", "unit"))
PLACE = BAD + "place"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    shop = load_workshop(evil_workshop(tmp_path_factory.mktemp("bench") / "w"))
    card = card_of(shop, GEL)
    shop = plan_trial(shop, GEL, card.must_haves[0].name, "odd-1", 1, day=DAY, seed=5)
    book = BenchBook(shop)
    log = book.to_write()
    recipe = shop.recipe(GEL)
    item = next(line.ingredient for line in recipe.lines if line.ingredient.endswith("Propanediol"))
    log.add("lot", code=LOT, item=item, supplier=BAD, received_on="2026-04-01", scale_mg=99_000, note=BAD)
    log.add("batch", number=BATCH, recipe=GEL, version="1", title=BAD, container=BAD, containers=2,
            made_on="2026-04-02", note=BAD)  # fmt: skip
    log.add("weighing", batch=BATCH, item=item, phase=BAD, lot=LOT, planned_mg=20_000, mass_mg=20_100)
    log.add("deed", batch=BATCH, step=1, state="skipped", reason=BAD)
    log.add("reading", batch=BATCH, kind="pH", value=5.6, tool=BAD, words=BAD, place=BAD, day=0, read_at="2026-04-02")
    log.add("deviation", batch=BATCH, step=1, what=BAD, rescue=BAD, reason=BAD)
    log.add("fill", batch=BATCH, container=1, mass_mg=196_000)
    log.add("unit", batch=BATCH, code=UNIT)
    log.add("gone", unit=UNIT, place=PLACE, use="gift", gone_on="2026-04-03")
    log.add("complaint", batch=BATCH, unit=UNIT, told_on="2026-04-04", words=BAD, reported_to=BAD)
    yield shop
    book.close()


def pieces(widget: object, seen: set[int] | None = None) -> Iterator[w.Widget]:
    """Every control of a panel, those of tabs that are opened one after the other too."""
    seen = set() if seen is None else seen
    if id(widget) in seen or not isinstance(widget, w.Widget):
        return
    seen.add(id(widget))
    yield widget
    if isinstance(widget, w.Tab):
        for place in range(len(widget.children)):
            widget.selected_index = place
            yield from pieces(widget.children[place], seen)
    for child in getattr(widget, "children", ()):
        yield from pieces(child, seen)


def assert_text(widget: object) -> int:
    """A look at every page and description of a panel; how many names were seen as they were typed. What a control
    shows as HTML is not set as a formula, its description is.
    """
    seen = 0
    for piece in pieces(widget):
        if isinstance(piece, w.HTML) and "zz" in piece.value:
            found = Tags(piece.value)
            assert "zz" not in found.tags, piece.value
            assert not {"onx", "javascript", "onerror"} & found.names, piece.value
            seen += EVIL in "".join(text for text, _ in found.texts)
        described = getattr(piece, "description", "") or ""
        assert "<zz" not in described or not getattr(piece, "description_allow_html", False)
        assert not re.search(r"\$.+\$|\\\(", described), described
    return seen


@pytest.mark.parametrize(
    "panel",
    [
        lambda shop: bench_day_panel(shop, GEL, batch=BATCH),
        lambda shop: after_panel(shop, BATCH),
        lambda shop: trace_panel(shop, LOT, "lot", BAD),
        lambda shop: trace_panel(shop, PLACE, "place"),
        lambda shop: our_label_panel(shop, GEL, business=BAD, batch=BAD, function=BAD),
        lambda shop: trial_panel(shop, GEL, "odd-1"),
    ],
    ids=["bench day", "after", "lot", "place", "our label", "trial"],
)
def test_every_screen_shows_names_as_text(shop: Workshop, panel) -> None:
    found = panel(shop)
    whole = found.whole if hasattr(found, "whole") else found
    assert assert_text(whole) > 0


def test_the_letter_and_the_trace_hold_the_names_and_no_orders(
    shop: Workshop, capsys: pytest.CaptureFixture[str]
) -> None:
    found = trace(BenchBook(shop).log, LOT)
    assert EVIL in recall_letter(found, "EU", DAY, BAD).text
    for name in (LOT, BATCH, UNIT, PLACE):
        assert cli.main(["trace", name, "--workshop", str(shop.folder), "--letter", "--why", BAD]) == 0
    told = "".join(capsys.readouterr())
    assert "<zz onx=1>" in told
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", told)


def test_no_cell_beside_the_log_runs_in_a_spreadsheet(shop: Workshop) -> None:
    cells = [
        cell
        for path in shop.folder.rglob("*.csv")
        if path.parent.name not in ("w", "recipes")
        for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline=""))
        for cell in row
    ]
    assert sum("<zz" in cell for cell in cells) > 10
    assert [c for c in cells if re.match(r"\s*[=+@\-]", c) and not re.fullmatch(r"-[0-9.]+", c)] == []


def test_papers_hold_the_names_as_they_were_typed(shop: Workshop, tmp_path: Path) -> None:
    run, card = run_named(shop, "odd-1"), card_of(shop, GEL)
    plan = make_plan(shop, GEL)
    grid = sheet_grid("A4", columns=1, rows=1, margin_mm=10, gap_mm=0)
    papers = {
        "score": score_sheets(run, card),
        "key": key_sheet(run),
        "label": label_sheet(our_label(plan), grid).pdf(),
    }
    reader = shutil.which("pdftotext")
    if not reader:
        pytest.skip("no Poppler on this machine, so no printed page was read")
    for name, pdf in papers.items():
        path = tmp_path / f"{name}.pdf"
        path.write_bytes(pdf)
        done = subprocess.run([reader, "-raw", str(path), "-"], capture_output=True, check=True, timeout=60)
        assert re.sub(r"\s+", "", EVIL) in re.sub(r"\s+", "", done.stdout.decode()), name
