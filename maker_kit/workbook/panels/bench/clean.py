"""Who works and with which tools, and the ticks of a clean start and a clean end."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.bench.clean import PARTS, tick, ticks_of, write_maker
from maker_kit.workbook.panels.bench.day import Day
from maker_kit.workbook.panels.bench.pieces import writing
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import row
from maker_kit.workbook.shown.bench import bench_day as shown

HEADS = {"start": "Before the first weighing", "end": "When the last container is filled"}


def clean_panel(day: Day) -> CallPanel:
    """The tools' own numbers, and what is ticked before and after, with who and when.

    Parameters
    ----------
    day : Day
    """
    boxes = {part: {what: _box(what) for what in whats} for part, whats in PARTS.items()}

    def fill() -> None:
        held = {(t.part, t.what): bool(t.done) for t in ticks_of(day.log, day.batches.value)} if day.log else {}
        for part, each in boxes.items():
            for what, box in each.items():
                box.value = held.get((part, what), False)

    seen = [""]

    def call() -> Shown:
        if not (day.log and day.batches.value):
            return {"answer": shown.NO_BATCH, "words": ""}
        if seen[0] != day.batches.value:
            seen[0] = day.batches.value
            fill()
        ticks = ticks_of(day.log, day.batches.value)
        return {"answer": shown.clean_answer(day.batches.value, ticks), "words": shown.ticks_sheet(ticks)}

    def write(part: str) -> str:
        batch, log = day.open_batch(), day.book.to_write()
        done = [what for what, box in boxes[part].items() if box.value]
        tick(log, batch, part, done, day.now(), day.made_by.value)
        write_maker(log, batch, day.made_by.value)
        return f"{len(done)} of {len(boxes[part])} are ticked; what is not ticked is kept as not done"

    rows: list[w.Widget] = [row([day.made_by, day.scale, day.thermometer, day.ph_meter])]
    for part, each in boxes.items():
        press, said = writing(
            f"maker-day-clean-{part}", "write it down", lambda p=part: write(p), lambda: panel.redraw()
        )
        rows += [w.HTML(f"<b>{HEADS[part]}</b>"), *each.values(), press, said]
    panel = CallPanel("maker-day-clean", (), call, {"answer": None, "words": None}, rows)
    return panel


def _box(what: str) -> w.Checkbox:
    return w.Checkbox(False, description=what, indent=False, layout={"width": "100%"})
