"""What stands on the screen: trade words and none of the machinery's, and every picture says what recipe it is of."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from demo_workshop import demo

from maker_kit.errors import QuantityError
from maker_kit.findings import stop
from maker_kit.formula.batch import batch_mass_g
from maker_kit.plan.plan import make_plan
from maker_kit.workbook.charts.formula import GRAVEST, LIMITS
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.shown.answers import stops_banner

TOP = Path(__file__).resolve().parents[2]
MACHINERY = re.compile(
    r"\b(kernel|traceback|parameters?|cells?|panels?|module|film|dataframe)\b|\w\.(csv|py|ipynb)\b|\b0\d[a-d]?_\w+",
    re.I,
)
DEMO = demo()


@pytest.mark.parametrize("name", DEMO.recipes)
def test_no_note_names_a_file_or_the_machinery(name: str) -> None:
    plan = make_plan(DEMO, name, batch_size=12)
    texts = [t for f in (*plan.findings, *plan.cautions) for t in (f.subject, f.text, f.next_step, f.source) if t]
    assert [t for t in texts if MACHINERY.search(t)] == []


@pytest.mark.parametrize("path", sorted((TOP / "notebooks").glob("0*.ipynb")), ids=lambda path: path.stem)
def test_no_prose_names_a_file_or_the_machinery(path: Path) -> None:
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    prose = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    seen = re.sub(r"\]\([^)]*\)", "]", prose)  # where a link leads is not seen
    assert MACHINERY.findall(seen) == []


def test_a_loss_on_the_tools_that_cannot_be_is_told_in_the_trade_s_words() -> None:
    with pytest.raises(QuantityError, match="loss on the tools"):
        batch_mass_g(replace(DEMO.recipe("r2-gel-cream"), film_g=-1.0), 4)


@pytest.mark.parametrize("chart", [LIMITS, GRAVEST])
def test_a_picture_is_named_by_its_recipe_in_its_title_and_in_its_words(chart) -> None:
    plan = make_plan(DEMO, "r2-gel-cream", batch_size=12)
    picture = chart.picture()
    named = picture.png(Of("Gel $cream$", plan.bars))
    assert picture._axes.get_title(loc="left").startswith("Gel $cream$: ")
    assert chart.told(Of("Gel $cream$", plan.bars)) == f"Gel $cream$: {chart.words(plan.bars)}"
    assert named != picture.png(plan.bars)
    assert "cream" not in picture._axes.get_title(loc="left")


def test_a_banner_of_several_stops_names_all_that_they_are_about_first() -> None:
    stops = [
        stop("a.b", name, f"{name} is too much.", source="a test") for name in ("One", "Two & three", "Four", "Five")
    ]
    banner = stops_banner(stops)
    first = banner.split("</div>")[0]
    assert "■ 4 stops: One; Two &amp; three; Four; Five" in first
    assert "■ 1" not in stops_banner(stops[:1])
