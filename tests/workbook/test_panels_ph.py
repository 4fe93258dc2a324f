"""The reading of the pH before the bench: none is there until the maker gives one, and the stop stands until then."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from demo_workshop import demo
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from maker_kit.formula.preservation.ph_reading import PhReading
from maker_kit.formula.preservation.ph_strip import ph_strip
from maker_kit.workbook.charts.preservation import draw_ph_strip
from maker_kit.workbook.panels.preservation import preservation_panel
from maker_kit.workshop import load_workshop, new_workshop

WASH, WATER_1, BALM = "r1-hand-wash", "r3v1-cleansing-water", "r4-balm"


def own(folder: Path, recipe: str, read: str):
    """A workshop whose recipe has this reading on file."""
    path = new_workshop(folder / "mine") / "recipes.csv"
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        row["pH read"] = read if row["name"] == recipe else row["pH read"]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return load_workshop(folder / "mine")


def parts(panel):
    tick, reading = panel.controls[:2]
    return tick, reading


def test_without_a_reading_on_file_there_is_none_and_the_stop_stands(tmp_path: Path) -> None:
    panel = preservation_panel(own(tmp_path, WASH, ""), WASH)
    tick, reading = parts(panel)
    assert tick.value is False
    assert reading.slider.disabled
    assert "■ stop" in panel.words.value
    assert "none was read" in panel.words.value
    assert "at the pH read" not in panel.words.value
    before = panel.picture.image.value
    tick.value = True
    reading.slider.value = 5.1
    # by hand: 100 / (1 + 10^(5.1 − 4.2)) = 11.2 % of the benzoic acid
    assert "11.2 %" in panel.words.value
    assert "■ stop" not in panel.words.value
    assert panel.picture.image.value != before
    tick.value = False
    assert "■ stop" in panel.words.value


@pytest.mark.parametrize(("read", "word"), [("9.5", "9.5"), ("2.8", "2.8"), ("14", "14"), ("0", "0")])
def test_a_reading_beyond_the_strip_is_judged_and_shown(tmp_path: Path, read: str, word: str) -> None:
    panel = preservation_panel(own(tmp_path, WASH, read), WASH)
    tick, reading = parts(panel)
    assert (tick.value, reading.value) == (True, float(read))
    assert panel.fault.value == ""
    assert f"at the pH read, {word}," in panel.words.value
    # by hand: at 9.5 only 0.0005 % of the benzoic acid is undissociated; at 2.8 it is 96 %; above pH 10 ISO 29621
    # speaks of low risk, so that it is looked at
    assert ("■ stop" in panel.words.value) == (read == "9.5")
    assert bytes(panel.picture.image.value).startswith(b"\x89PNG")


def test_the_reading_on_file_is_where_it_starts() -> None:
    shop = demo()
    tick, reading = parts(preservation_panel(shop, WASH))
    assert (tick.value, reading.value) == (True, 5.1)
    assert "no water" in preservation_panel(shop, BALM).words.value
    assert "■ stop" in preservation_panel(shop, WATER_1).words.value


@pytest.mark.parametrize("read", [None, 0.0, 2.8, 3.0, 5.1, 6.0, 8.9, 9.0, 9.5, 14.0])
@pytest.mark.parametrize("tool", [None, "strip", "meter"])
def test_no_words_of_the_strip_stand_outside_it(read: float | None, tool: str | None) -> None:
    made = replace(demo().recipe(WASH), ph_read=read)
    reading = None if read is None or tool is None else PhReading(read, tool, None, date(2026, 3, 2))
    axes = Figure(figsize=(9.4, 4.0)).add_subplot()
    FigureCanvasAgg(axes.figure)
    draw_ph_strip(ph_strip(made, reading), axes)
    axes.figure.canvas.draw()
    inside = axes.get_window_extent()
    words = [text for text in axes.texts if "read" in text.get_text()]
    assert len(words) == 1
    box = words[0].get_window_extent()
    assert inside.x0 - 1 <= box.x0
    assert box.x1 <= inside.x1 + 1
    if tool == "strip" and read is not None:
        assert f"may be {max(read - 0.5, 0):g} to {min(read + 0.5, 14):g}" in words[0].get_text()


def test_tool_and_temperature_say_how_far_a_reading_may_be_off(tmp_path: Path) -> None:
    panel = preservation_panel(own(tmp_path, WASH, "5.1"), WASH)
    tool, warm = panel.controls[2:4]
    assert tool.value == "meter"  # as its row of the demo says
    tool.value = ""
    assert "not noted, so how far it may be off is unknown" in panel.words.value
    before = panel.picture.image.value
    tool.value = "strip"  # 5.1 ± 0.5 reaches beyond 4.8 to 5.3
    assert "may lie outside by its own error" in panel.words.value
    assert "At which temperature" in panel.words.value
    assert panel.picture.image.value != before
    tool.value, warm.value = "meter", "21 °C"  # 5.0 to 5.2
    assert "5.1 by meter" in panel.words.value
    assert "is within 4.8" in panel.words.value
    assert "At which temperature" not in panel.words.value
    warm.value = "45"
    assert "read at 45 °C" in panel.words.value
    for senseless in ("warm", "1e9", "nan"):
        warm.value = senseless
        assert panel.fault.value
        assert panel.words.value == ""
    warm.value = ""
    assert panel.fault.value == ""
    panel.controls[0].value = False
    assert tool.disabled
    assert "■ stop" in panel.words.value
