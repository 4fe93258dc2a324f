"""From a lot to every unit and back, the letter to send, and a complaint written down."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.bench.letters import duty_of, note_complaint, recall_letter
from maker_kit.bench.log import BenchLog
from maker_kit.bench.trace import trace
from maker_kit.errors import NoticeError
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.charts.bench.trace import TRACE
from maker_kit.workbook.keep import keep_table
from maker_kit.workbook.panels.bench.pieces import writing
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import dropdown, field, look, sentence, text_box
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.shown.bench import trace as shown
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workbook.typed import read_day
from maker_kit.workshop import Workshop

KINDS = [("find out", ""), *((kind, kind) for kind in ("lot", "batch", "unit", "place"))]
NARROW = look("24em", "7em")
SERIOUS = {"not known": None, "yes": True, "no": False}


def most_used_lot(log: BenchLog) -> str:
    """The lot that went into the most batches; empty where none did."""
    asked = """SELECT l.code FROM now_weighing w JOIN now_lot l ON l.id = w.lot
 GROUP BY l.id ORDER BY count(DISTINCT w.batch) DESC, min(l.began) LIMIT 1"""
    return next((row["code"] for row in log.ask(asked)), "")


@once_begun
def trace_panel(workshop: Workshop, name: str = "", kind: str = "", why: str = "") -> LateScreen:
    """A lot, batch, unit or place followed both ways, in one picture.

    Parameters
    ----------
    workshop : Workshop
    name : str
        What is followed; empty for the lot that went into the most batches.
    kind : {'', 'lot', 'batch', 'unit', 'place'}
    why : str
        The reason that stands in the letter.

    Raises
    ------
    MakerKitError
        If the log holds none of that name.
    """
    book = BenchBook(workshop)
    market = workshop.settings.market
    begin = name or (most_used_lot(book.log) if book.log else "")
    what = field("follow", begin, "a lot, batch, unit or place", **NARROW)
    what.add_class("maker-trace-name")
    which = dropdown("it is a", KINDS, kind, **NARROW)
    reason = field("reason", why, "stands in the letter", **NARROW)
    reason.add_class("maker-trace-reason")

    def call() -> Shown:
        if book.log is None or not what.value.strip():
            blank = dict.fromkeys(("stops", "where", "units", "letter"), "")
            return {"answer": shown.NOTHING, "picture": None, **blank}
        found = trace(book.log, what.value, which.value)
        return {
            "answer": shown.trace_answer(found),
            "stops": "",
            "picture": found,
            "where": lambda: shown.places_sheet(found),
            "units": lambda: shown.trace_sheet(found),
            "letter": lambda: shown.letter_html(recall_letter(found, market, book.today, reason.value)),
        }

    return LateScreen(
        "maker-trace",
        (what, which, reason),
        call,
        {"picture": TRACE},
        {
            "where they are": "where",
            "every unit": "units",
            "the letter": "letter",
        },
        rows=[what, which, reason, w.HTML(sentence(book.said))],
        more={
            "save the whole as a table": lambda: saving_panel(book, what, which),
            "a complaint": lambda: complaint_panel(book),
        },
    )


def saving_panel(book: BenchBook, what: w.Text, which: w.Dropdown) -> w.VBox:
    """Every unit and lot of what is followed, written as a table, however many they are.

    Parameters
    ----------
    book : BenchBook
    what, which : ipywidgets.Widget
        What is followed, and what it is.
    """
    name = field("file", "trace.csv", "trace.csv, or a whole path", **NARROW)

    def write() -> str:
        if book.log is None:
            raise NoticeError(shown.NOTHING)
        return keep_table(book.workshop, trace(book.log, what.value, which.value), name.value)

    press, said = writing("maker-trace-save", "save it", write)
    return w.VBox([name, press, said], layout={"width": "100%"})


def complaint_panel(book: BenchBook) -> w.VBox:
    """A complaint written into the log, and what the law asks.

    Parameters
    ----------
    book : BenchBook
    """
    market = book.workshop.settings.market
    words = field("what was told", "", "in the teller's own words", rows=3)
    unit = field("number on the label", "", "R2-07/03, if it is known")
    told = field("told on", book.today.isoformat(), "2027-03-31")
    serious = dropdown("is it serious", list(SERIOUS), "not known")
    notes = text_box("maker-complaint-notes")

    def write() -> str:
        found = note_complaint(
            book.to_write(),
            words.value,
            read_day(told.value, "the complaint"),
            market,
            unit=unit.value.strip(),
            serious=SERIOUS[serious.value],
        )
        notes.value = findings_sheet(found).html()
        words.value = unit.value = ""
        return "it is in the log"

    press, said = writing("maker-complaint", "write it down", write)
    law = w.HTML(shown.duty_sheet(duty_of(market), market).html())
    return w.VBox([words, unit, told, serious, press, said, notes, law], layout={"width": "100%"})
