"""The bench sheet on paper: black on white, readable at arm's length, with room to write."""

from __future__ import annotations

import re
from collections.abc import Sequence

from maker_kit.bench.clean import CLEAN_END, CLEAN_START
from maker_kit.bench.sheet import BenchSheet
from maker_kit.workbook.paper.pages import Column, Pages

SIZES = (
    (13.0, 11.5, 9.5, 10.0),
    (12.0, 10.5, 8.5, 10.0),
    (11.0, 11.0, 7.5, 10.0),
    (11.0, 10.0, 7.0, 9.5),
    (11.0, 9.5, 7.0, 9.0),
    (11.0, 9.0, 6.5, 8.5),
)
"""Letters of the weigh-out and of the steps [pt], the least height of a row [mm], and other letters [pt]: the largest
of two pages.
"""
TWO = 2
WHO = "Made by ____________________   on ______________   begun at ________   done at ________"
TOOLS = "Scale no. ______________   thermometer no. ______________   pH meter no. ______________"
"""Room to write in who makes it and when, and the tools' own numbers."""
_AMOUNT = re.compile(r"(?<=\d) (?=(?:mg|kg|g|mL|L|oz|cm|mm|min|h|°C|°F|%)(?!\w))")


def bench_sheet_pages(sheet: BenchSheet, paper: str = "A4", made_at: str = "") -> Pages:
    """The sheet as pages.

    Parameters
    ----------
    sheet : BenchSheet
    paper : {'A4', 'Letter'}
    made_at : str
        When it was made out; stands on every page.

    Returns
    -------
    Pages
        Two pages for the recipes that a maker has; more where the steps are many.

    Raises
    ------
    UnknownNameError
        If there is no such paper.
    """
    made = [_pages(sheet, paper, made_at, SIZES[0])]
    for sizes in SIZES[1:]:
        if made[-1].count > TWO:
            made.append(_pages(sheet, paper, made_at, sizes))
    return made[-1]


def _pages(sheet: BenchSheet, paper: str, made_at: str, sizes: Sequence[float]) -> Pages:
    weigh_pt, step_pt, high_mm, size_pt = sizes
    number = sheet.number or "________"
    foot = f"{sheet.title} · batch {number} · version {sheet.version}" + (f" · {made_at}" if made_at else "")
    pages = Pages(f"Bench sheet: {sheet.title}", paper, foot, margin_mm=12, size_pt=size_pt)
    pages.heading(sheet.title)
    pages.text(f"Batch {number}  ·  version {sheet.version}  ·  {_kept(sheet.batch)}", bold=True)
    pages.text(WHO)
    pages.text(TOOLS)
    for stop in sheet.stops:
        pages.text(f"■ STOP: {stop.text}", bold=True)
    _cautions(pages, sheet, "top")
    pages.heading("Clean start", 2)
    pages.ticks([*CLEAN_START, *([f"Tools: {', '.join(sheet.tools)}"] if sheet.tools else [])])
    pages.heading("Weigh", 2)
    _cautions(pages, sheet, "scale")
    pages.text("Put a beaker on for each phase and tare once; the display then runs as under “shows”.")
    columns = ["phase", "ingredient", Column("weigh", right=True), Column("shows", right=True)]
    columns += [Column("lot", least_mm=26), Column("weighed", least_mm=20), "note"]
    rows = [(x.phase, x.ingredient, _kept(x.weigh), _kept(x.running), None, None, x.note) for x in sheet.lines]
    pages.table(columns, rows, size_pt=weigh_pt, high_mm=high_mm)
    pages.text(_kept(sheet.of_phases))
    if sheet.premixes:
        pages.together(lambda: _premixes(pages, sheet))
    pages.heading("Steps", 2)
    _cautions(pages, sheet, "steps")
    if sheet.steps:
        columns = ["", "what", "with, into", "window", "time", Column("read °C", least_mm=14), "late or missed"]
        columns.append(Column("done at", least_mm=14))
        steps = [
            (
                s.number,
                _kept(s.what),
                s.with_and_into,
                s.window,
                s.minutes,
                None if s.reads else "–",
                _kept(s.else_),
                None,
            )
            for s in sheet.steps
        ]
        pages.table(columns, steps, size_pt=step_pt, high_mm=high_mm)
    else:
        pages.text("No steps are on file for this recipe: write down what you do, in order.")
        columns = [Column("", least_mm=8), Column("what", least_mm=100), Column("done at", least_mm=18)]
        pages.table(columns, [[None] * 3] * 8, high_mm=8)
    pages.together(lambda: _readings(pages, sheet))
    pages.together(lambda: _end(pages))
    return pages


def _readings(pages: Pages, sheet: BenchSheet) -> None:
    pages.heading("Read", 2)
    rows = [(what, wanted, None, None) for what, wanted in sheet.targets]
    heads = ["what", "wanted", Column("read", least_mm=26), Column("tool, °C, when", least_mm=44)]
    pages.table(heads, rows, high_mm=7)


def _end(pages: Pages) -> None:
    pages.heading("Other than planned, and why", 2)
    pages.table([Column("", least_mm=150)], [[None]] * 3, high_mm=8)
    pages.ticks(CLEAN_END)


def _cautions(pages: Pages, sheet: BenchSheet, place: str) -> None:
    for caution in sheet.cautions_at(place):
        pages.text(f"▲ {caution.subject}: {_kept(caution.text)}")


def _premixes(pages: Pages, sheet: BenchSheet) -> None:
    pages.text("Pre-mixes, for what is too little for the scale:", bold=True)
    for mix in sheet.premixes:
        pages.text(_kept(mix))


def _kept(text: str) -> str:
    """A text in which no amount stands on another line than its unit."""
    return _AMOUNT.sub("\u00a0", text)
