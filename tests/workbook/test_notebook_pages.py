"""The page of every notebook's question: in the words of the readme, with tables that there are and the notebook's own
lesson."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from maker_kit.cli import main
from maker_kit.workbook.run.notebook_pages import _PAGES, notebook_page
from maker_kit.workshop.csv.told import tables

TOP = Path(__file__).parents[2]
README = dict(
    re.findall(r"^\| `(\d\d\w*)` \| (.+?) \|$", (TOP / "README.md").read_text(encoding="utf-8"), re.MULTILINE)
)


def test_every_notebook_has_its_page_and_the_list_its_question(capsys: pytest.CaptureFixture[str]) -> None:
    assert set(_PAGES) == {p.stem for p in (TOP / "notebooks").glob("*.ipynb")} == set(README)
    assert main(["help"]) == 0
    listed = capsys.readouterr().out
    for name in _PAGES:
        first = json.loads((TOP / f"notebooks/{name}.ipynb").read_text(encoding="utf-8"))["cells"][0]["source"]
        assert re.search(rf"^{name} +{re.escape(''.join(first).splitlines()[0][2:])}$", listed, re.MULTILINE)


@pytest.mark.parametrize("name", README)
def test_a_page_says_what_is_answered_needed_and_left_out(name: str) -> None:
    assert f"{_PAGES[name].question} {_PAGES[name].answers}" == README[name]
    assert {t.strip() for t in _PAGES[name].tables.split(",")} <= {table for table, _, _ in tables()}
    page = notebook_page(name)
    needed, left_out = page.split("\n## What you need\n")[1].split(
        "\n## What it will not tell you, and how far to trust it\n"
    )
    assert needed.strip().startswith("The tables ")
    assert len(left_out) > 300
    cells = json.loads((TOP / f"notebooks/{name}.ipynb").read_text(encoding="utf-8"))["cells"]
    lesson = "\n".join("".join(c["source"]) for c in cells if c["cell_type"] == "markdown")
    for heading in re.findall(r"^## (?!How far)(.+)$", lesson, re.MULTILINE):
        assert f"- {heading}" in page
    assert max(map(len, page.splitlines())) <= 110 or "http" in page
    assert page == notebook_page(name.partition("_")[0]) == notebook_page(f"{name}.ipynb")


def test_a_notebook_that_is_not_there_is_told_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help", "02_make_or_buyy"]) == 1
    assert "02_make_or_buy" in capsys.readouterr().err
