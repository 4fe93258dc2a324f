"""The page of a decision: the same on a re-run, every number a link that leads somewhere, on both papers."""

from __future__ import annotations

import datetime
import json
import re
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest
from decided import demo, demo_decision

from maker_kit.cli import main
from maker_kit.errors import NoticeError, UnknownNameError
from maker_kit.workbook.linked import Cell, Linked, Part, cells
from maker_kit.workbook.run.decide import decision_html, write_decisions
from maker_kit.workbook.shown.decision import decision_page

DAY, LATER = datetime.date(2026, 3, 31), datetime.date(2031, 12, 1)
RECIPES = sorted(demo().recipes)


class Links(HTMLParser):
    """Where links lead, and what they may lead to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.to: list[str] = []
        self.names: list[str] = []
        self.tags: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag, attrs) -> None:
        self.tags.add(tag)
        found = dict(attrs)
        self.to += [found["href"]] if "href" in found else []
        self.names += [found["id"]] if "id" in found else []


@pytest.mark.parametrize("name", RECIPES)
def test_every_link_leads_to_a_place_on_the_page_and_none_leads_out(name) -> None:
    text = decision_html(decision_page(demo_decision(name)), "a product", DAY)
    links = Links(text)
    assert len(links.names) == len(set(links.names))
    assert links.to
    assert {to.removeprefix("#") for to in links.to} <= set(links.names)
    assert not links.tags & {"script", "img", "link", "iframe"}


@pytest.mark.parametrize("name", RECIPES)
def test_every_amount_of_money_stands_beside_where_it_comes_from(name) -> None:
    page = decision_page(demo_decision(name))
    (money,) = (part for part in page.parts if part.name == "money")
    amounts = [c for row in money.rows for c in row[1:] if re.search(r"\d\.\d\d|unknown", c.text)]
    assert amounts
    assert all(c.rests_on for c in amounts)


def test_the_page_is_the_same_on_a_re_run_but_for_its_day(tmp_path) -> None:
    """Byte for byte, all three files; on another day only the day differs."""
    runs = {}
    for run, day in (("one", DAY), ("two", DAY), ("later", LATER)):
        write_decisions(["r1b-hand-wash"], "", ["upto=12", "batches=8"], tmp_path / run, on=day)
        runs[run] = {p.name: p.read_bytes() for p in sorted((tmp_path / run).iterdir())}
    assert runs["one"] == runs["two"]
    html, record, pdf = ("r1b-hand-wash-decision" + ending for ending in (".html", ".json", ".pdf"))
    assert set(runs["one"]) == {html, record, pdf}
    assert runs["one"][record] == runs["later"][record]
    assert runs["later"][html] == runs["one"][html].replace(b"31 March 2026", b"1 December 2031")
    assert runs["one"][pdf] != runs["later"][pdf]


def test_the_json_says_what_the_page_says(tmp_path) -> None:
    write_decisions(["Gel cream"], "", ["upto=12"], tmp_path, on=DAY)
    record = json.loads((tmp_path / "r2-gel-cream-decision.json").read_text(encoding="utf-8"))
    page = (tmp_path / "r2-gel-cream-decision.html").read_text(encoding="utf-8")
    assert record["verdict"] == "change"
    assert "CHANGE IT" in page
    assert record["one_container_in_the_shop"] == 15.5
    assert [step["step"] for step in record["gate"]][:3] == ["own use", "gift", "sale"]
    assert sum(rule["decides"] for rule in record["rules"]) == 1
    for text in (record["because"][0].split(". ")[0], "Article 10 and Annex I"):
        assert text in page


@pytest.mark.parametrize(("paper", "points"), [("A4", (595.3, 841.9)), ("Letter", (612.0, 792.0))])
def test_the_pdf_is_of_its_paper_and_holds_the_verdict(tmp_path, paper, points) -> None:
    """ISO 216: 210 mm × 297 mm; ANSI/ASME Y14.1 size A: 8.5 in × 11 in; a point is 1/72 in."""
    from maker_kit.workbook.paper.decision import decision_paper

    pdf = tmp_path / "page.pdf"
    pdf.write_bytes(decision_paper(decision_page(demo_decision("r2-gel-cream")), "Gel cream", DAY, paper))
    told = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True).stdout
    width, height = map(float, re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", told).groups())
    assert (width, height) == pytest.approx(points, abs=0.2)
    words = subprocess.run(["pdftotext", pdf, "-"], capture_output=True, text=True, check=True).stdout
    assert "CHANGE IT" in words
    assert "2026-03-31" in words
    assert "□" not in words


def test_no_page_calls_anything_safe() -> None:
    for name in RECIPES:
        words = repr(decision_page(demo_decision(name))).casefold()
        assert not re.search(r"\bis safe\b|\bare safe\b|: safe\b", words)


def test_what_was_typed_is_shown_and_never_run() -> None:
    part = Part("x", "<b>h</b>", (Cell("<script>1</script>", ("<i>t</i>",)),), ("<u>",), (cells("<p>"),), (1,))
    text = Linked("<h1>", [part], "<hr>").html()
    assert not Links(text).tags & {"script", "b", "i", "u", "h1", "hr"}


def test_the_verb_writes_the_three_files(tmp_path, capsys) -> None:
    assert main(["decide", "r3v1-cleansing-water", "--set", "upto=6", "--to", str(tmp_path), "--paper", "Letter"]) == 0
    told = [Path(line) for line in capsys.readouterr().out.split()]
    assert {p.suffix for p in told} == {".html", ".pdf", ".json"}
    assert all(p.parent == tmp_path for p in told)


@pytest.mark.parametrize(
    ("recipes", "texts", "paper", "fault"),
    [
        (["nobody-knows-it"], [], "A4", UnknownNameError),
        (["r4-balm"], ["minutes_per_batch=3"], "A4", NoticeError),
        (["r4-balm"], ["upto=3", "batches=2"], "A9", UnknownNameError),
    ],
)
def test_a_wrong_word_is_told_and_nothing_is_written(tmp_path, recipes, texts, paper, fault) -> None:
    with pytest.raises(fault):
        write_decisions(recipes, "", texts, tmp_path / "new", paper=paper, on=DAY)
    assert not (tmp_path / "new").exists()


FIRST = ("The target card", "What it costs", "What the verdict on money hangs on", "Stops, deviations, open risks")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", RECIPES)
def test_the_whole_decision_stands_on_the_first_page(tmp_path, name, paper) -> None:
    """Verdict with reasons, card, money, what it hangs on, risks, and every step of the gate; details begin behind."""
    from maker_kit.workbook.paper.decision import decision_paper

    made, pdf = demo_decision(name), tmp_path / "page.pdf"
    pdf.write_bytes(decision_paper(decision_page(made), made.plan.recipe.title, DAY, paper))
    first, second = (
        subprocess.run(["pdftotext", "-f", str(n), "-l", str(n), pdf, "-"], capture_output=True, text=True).stdout
        for n in (1, 2)
    )
    for heading in (*FIRST, "May I use it", f"Decided by the rule {made.decided_by.rule.code}"):
        assert heading in first
    assert all(row.target.must_have in first for row in made.card)
    assert all(step.step in first for step in made.gate.steps)
    assert second.startswith("The rules")


def test_a_card_of_six_with_long_words_still_stands_on_one_page(tmp_path) -> None:
    """Smaller letters are taken before anything leaves the first page, and never below 7 pt."""
    from maker_kit.workbook.paper.decision import SIZES, decision_paper

    page = decision_page(demo_decision("r2-gel-cream"))
    card = next(part for part in page.parts if part.name == "card")
    words = "different, and told at some length, as a careful maker tells it, " * 4
    rows = tuple(cells(f"must-have {n}", "must", Cell(words, ("targets.csv",)), "missed") for n in range(6))
    parts = [Part("card", card.heading, (), card.columns, rows, card.shares) if p is card else p for p in page.parts]
    pdf = tmp_path / "page.pdf"
    pdf.write_bytes(decision_paper(Linked(page.answer, parts, page.where), "Gel cream", DAY, "Letter"))
    told = subprocess.run(["pdftotext", "-f", "2", "-l", "2", pdf, "-"], capture_output=True, text=True).stdout
    assert told.startswith("The rules")
    assert min(SIZES) >= 7
