"""What came: against list, label and scale, and into the cupboard as lots."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.bench.receiving import put_away
from maker_kit.bench.stock import lots_of
from maker_kit.errors import NoticeError
from maker_kit.plan.log.cupboard import cupboard_curve, cupboard_list, cupboard_of
from maker_kit.plan.plan import Unpriced, make_plan
from maker_kit.plan.stock import find_kit
from maker_kit.workbook.panels.bench.day import Day
from maker_kit.workbook.panels.bench.pieces import writing
from maker_kit.workbook.panels.call import CallPanel
from maker_kit.workbook.panels.changes import kit_panel
from maker_kit.workbook.panels.controls import SLIDER, counter, field, look, text_box
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.shown import kit as kit_shown
from maker_kit.workbook.shown.bench import bench_day as shown
from maker_kit.workbook.shown.make_or_buy import shopping_sheet
from maker_kit.workbook.shown.own.cupboard import still_to_buy, tie_sheet
from maker_kit.workbook.typed import read_day, read_slip

UPTO = 4
"""Counts of batches that are shown beside each other."""


def came_panel(day: Day) -> LateScreen:
    """A delivery against list, label and scale, and a button that puts it into the cupboard as lots.

    Parameters
    ----------
    day : Day
    """
    hand, book = day.hand, day.book
    codes = field("this bottle's number", "", "Propanediol = N-0417", rows=3, **look("26em", "9em"))
    dates = field("best before", "", "Gel former = 2027-01-02", rows=3, **look("26em", "9em"))
    papers = field("came with a certificate", "", "Scent 1; Scent 2", **look("26em", "9em"))
    notes = text_box("maker-day-came")

    def put() -> str:
        came = hand.received()
        if came is None:
            raise NoticeError(kit_shown.NOTHING_YET)
        kit = hand.kit.value
        supplier = (
            next((p.supplier for p in hand.workshop.market.packs if p.name == find_kit(hand.workshop, kit).name), "")
            if kit
            else ""
        )
        done = put_away(
            book.to_write(),
            came,
            book.today,
            hand.workshop.ingredients,
            codes=read_slip(codes.value, "Propanediol = N-0417"),
            best_before={k: read_day(v, k) for k, v in read_slip(dates.value, "Gel former = 2027-01-02").items()},
            certificates=frozenset(filter(None, (p.strip() for p in papers.value.replace("\n", ";").split(";")))),
            supplier=supplier,
            keeps_months=hand.made.keeps_months,
        )
        notes.value = shown.put_away_sheet(done).html()
        return shown.put_away_words(done)

    def after() -> None:
        screen.behind["cupboard"].changed(seen=True)

    button, said = writing("maker-day-put", "put it into the cupboard", put, after)
    folded = w.Accordion(
        [w.VBox([codes, dates, papers, button, said, notes])], titles=("put it into the cupboard",), selected_index=None
    )
    folded.add_class("maker-day-put")

    def cupboard() -> CallPanel:
        def call() -> dict:
            return {"words": shown.cupboard_sheet(lots_of(day.log, book.today) if day.log else ())}

        return CallPanel("maker-day-cupboard", (), call)

    screen = kit_panel(hand, {"cupboard": cupboard}, [folded])
    return screen


def buy_panel(day: Day) -> CallPanel:
    """What is still to buy for the containers that are wanted, with the cupboard asked first, or not.

    Parameters
    ----------
    day : Day
    """
    ask = w.Checkbox(value=day.log is not None, description="ask the cupboard first", indent=False)
    ask.disabled = day.log is None
    ask.add_class("maker-day-ask")
    more = counter("batches", "", 1, 12, css="maker-day-batches", widths=SLIDER)

    def call() -> dict:
        plan = make_plan(hand.workshop, hand.made, batch_size=int(hand.wanted.value), batches=int(more.value))
        if plan.unsold:
            return {"answer": Unpriced(plan).why, "words": ""}
        there = cupboard_of(day.log, day.book.today) if ask.value else {}
        found = cupboard_list(plan, there)
        return {
            "answer": still_to_buy(found),
            "words": (
                shopping_sheet(found.with_cupboard),
                tie_sheet(found),
                shown.cupboard_curve_sheet(cupboard_curve(plan, there, UPTO), plan.currency),
            ),
        }

    hand = day.hand
    return CallPanel("maker-day-buy", (ask, more), call, {"answer": None, "words": None})
