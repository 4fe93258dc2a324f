"""Units get numbers, and go somewhere: a place, and as what."""

from __future__ import annotations

import re

from maker_kit.bench.batches import hand_out, number_units
from maker_kit.bench.followed import NOT_HANDED_OUT
from maker_kit.bench.trace import trace
from maker_kit.errors import NoticeError
from maker_kit.numbers import number_text
from maker_kit.workbook.panels.bench.day import Day
from maker_kit.workbook.panels.bench.pieces import writing
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import dropdown, field, look
from maker_kit.workbook.shown.bench import bench_day as shown
from maker_kit.workbook.shown.bench.trace import places_sheet
from maker_kit.workbook.typed import read_day, read_number

USES = ("own use", "gift", "sale", "thrown away", "back")
WIDE = look("30em", "9em")
_RANGE = re.compile(r"(\d+)\s*(?:-|–|to)\s*(\d+)")


def units_of(text: str, batch: str, known: tuple[str, ...], waiting: tuple[str, ...]) -> tuple[str, ...]:
    """Units as they are typed: ``1 to 4, 7`` of a batch, whole numbers of units, or nothing for all that wait.

    Raises
    ------
    NoticeError
        If one is none of the batch's units, or none waits.
    """
    named: list[str] = []
    by_place = {code.rsplit("/", 1)[-1].lstrip("0"): code for code in known}
    for word in filter(None, (part.strip() for part in text.split(","))):
        ends = _RANGE.fullmatch(word)
        words = [str(k) for k in range(int(ends[1]), min(int(ends[2]), 10_000) + 1)] if ends else [word.lstrip("0")]
        for each in words:
            code = by_place.get(each, word if word in known else "")
            if not code:
                raise NoticeError(f'"{word}" is no numbered unit of batch {batch}: write numbers such as 1 to 4, 7')
            named.append(code)
    found = tuple(dict.fromkeys(named)) if text.strip() else waiting
    if not found:
        raise NoticeError(f"no unit of batch {batch} waits: number them first")
    return found


def hand_out_panel(day: Day) -> CallPanel:
    """Number the units of a batch, and write where they went.

    Parameters
    ----------
    day : Day
    """
    count = field("units filled", "", "such as 3", **WIDE)
    units = field("which units", "", "1 to 4, 7; empty for all that wait", **WIDE)
    place = field("place", "", "such as room 4", **WIDE)
    use = dropdown("as", USES, USES[0], **WIDE)
    when = field("on", day.book.today.isoformat(), "2027-03-31", **WIDE)

    def codes() -> tuple[str, ...]:
        return tuple(r["code"] for r in day.log.now("unit", batch=day.open_batch()))

    def call() -> Shown:
        if not (day.log and day.batches.value):
            return {"answer": shown.NO_BATCH, "words": ""}
        found = trace(day.log, day.batches.value, "batch")
        waits = found.places.get(NOT_HANDED_OUT, 0)
        words = f"Batch {found.asked}: {len(found.units)} of {found.containers} numbered, {waits} not handed out."
        return {"answer": words, "words": places_sheet(found)}

    def number() -> str:
        made = read_number(count.value, "number of units", "3")
        if made is None or made != int(made):
            raise NoticeError(f"units are counted: {number_text(made) if made is not None else 'nothing'} was given")
        given = number_units(day.book.to_write(), day.open_batch(), int(made))
        count.value = ""
        return f"{given[0]} to {given[-1]}: write them on the labels"

    def give() -> str:
        batch, log = day.open_batch(), day.book.to_write()
        found = trace(log, batch, "batch")
        waiting = found.units_at(NOT_HANDED_OUT)
        chosen = units_of(units.value, batch, codes(), waiting)
        hand_out(log, chosen, place.value.strip(), use.value, read_day(when.value, "handing out"))
        units.value = ""
        return f"{len(chosen)} to {place.value.strip()}"

    named, said = writing("maker-day-number", "number them", number, lambda: panel.redraw())
    gave, also = writing("maker-day-give", "write it down", give, lambda: panel.redraw())
    rows = [count, named, said, units, place, use, when, gave, also]
    panel = CallPanel("maker-day-hand", (), call, {"answer": None, "words": None}, rows)
    return panel
