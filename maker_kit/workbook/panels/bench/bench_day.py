"""The bench day: what came, what is weighed, one step at a time, cooling, joining. All of it goes into the log."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.errors import NoticeError
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.panels.bench.clean import clean_panel
from maker_kit.workbook.panels.bench.day import Day
from maker_kit.workbook.panels.bench.handing import hand_out_panel
from maker_kit.workbook.panels.bench.heat import cooling_panel, joining_panel
from maker_kit.workbook.panels.bench.steps import steps_panel, weigh_panel
from maker_kit.workbook.panels.bench.supplies import buy_panel, came_panel
from maker_kit.workbook.panels.hand import Hand
from maker_kit.workbook.panels.late import LateTabs, tabs_under
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workshop import Workshop

FIRST = ("what came", "clean", "weigh", "steps", "cooling", "joining", "hand out", "still to buy")
"""The tabs, in the order of the day."""


def _last_recipe(book: BenchBook, batch: str) -> str:
    """The recipe of a batch, or of the last one; empty where there is none or it is no longer on file."""
    rows = book.log.now("batch", **({"number": batch} if batch else {})) if book.log else []
    found = rows[-1]["recipe"] if rows else ""
    return found if found in book.workshop.recipes else ""


@once_begun
def bench_day_panel(
    workshop: Workshop,
    recipe: str = "",
    kit: str = "",
    makes: int = 0,
    scale: str = "",
    batch: str = "",
    readings: str = "",
    room: str = "20 °C",
    until: str = "40 °C",
    first: str = "steps",
) -> w.VBox:
    """The day at the bench, in the order it goes.

    Parameters
    ----------
    workshop : Workshop
    recipe, kit, scale, makes
        Recipe and kit empty for the recipe of the batch, or of the last one; else as
        `maker_kit.workbook.panels.hand.Hand` takes them.
    batch : str
        The batch in the beaker; empty for the last of the recipe.
    readings, room, until : str
        See `cooling_panel`.
    first : str
        Which tab is open at the start.

    Raises
    ------
    MakerKitError
        As its parts do, and if there is no such tab.
    """
    if first not in FIRST:
        raise NoticeError(f'"{first}" is none of {", ".join(FIRST)}')
    book = BenchBook(workshop)
    hand = Hand(workshop, recipe or ("" if kit else _last_recipe(book, batch)), kit, scale, makes=makes)
    day = Day(hand, book, batch)
    parts = {
        "what came": lambda: came_panel(day),
        "clean": lambda: clean_panel(day),
        "weigh": lambda: weigh_panel(day),
        "steps": lambda: steps_panel(day),
        "cooling": lambda: cooling_panel(day, readings, room, until),
        "joining": lambda: joining_panel(day),
        "hand out": lambda: hand_out_panel(day),
        "still to buy": lambda: buy_panel(day),
    }
    tabs = LateTabs("maker-day-tabs", parts, FIRST.index(first))

    def other_recipe(*_: object) -> None:
        day.batches.fill(day.batches.value)
        tabs.redraw()

    day.hand.watch(other_recipe)
    day.batches.choice.observe(tabs.redraw, names="value")
    whole = tabs_under("maker-day", day.row, tabs)
    whole.day = day
    return whole
