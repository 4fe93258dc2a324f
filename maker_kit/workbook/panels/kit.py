"""What came: a box for what the scale shows of each thing, and one for what its label says."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.errors import NoticeError
from maker_kit.formula.changes.received import Received
from maker_kit.workbook.charts.kit import RECEIVED
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import sentence
from maker_kit.workbook.panels.hand import BOX, HINT, NAME, Hand
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.shown import kit as shown
from maker_kit.workbook.shown.answers import answer, stops_banner


def kit_panel(hand: Hand) -> LateScreen:
    """What came against recipe, kit list and scale: write down what the scale shows, see what is short.

    Parameters
    ----------
    hand : Hand
    """

    def call() -> Shown:
        came = hand.received()
        if came is None:
            return {"answer": answer(shown.NOTHING_YET), "stops": "", "picture": None, "table": "", "notes": ""}
        return {
            "answer": answer(shown.kit_answer(came)),
            "stops": stops_banner(came.findings),
            "picture": came,
            "table": lambda: shown.received_sheet(came),
            "notes": lambda: shown.received_notes(came),
        }

    def kept() -> Received:
        came = hand.received()
        if came is None:
            raise NoticeError(shown.NOTHING_YET)
        return came

    heads = ("", NAME), ("on the scale", BOX), ("on its label", BOX)
    head = w.HBox([w.HTML(text, layout={"width": wide, "margin": "0 2px"}) for text, wide in heads])
    return LateScreen(
        "maker-kit",
        (),
        call,
        {"picture": RECEIVED},
        {"each thing": {"table": None}, "to look at": {"notes": None}},
        rows=[w.HTML(sentence(HINT)), head, hand.boxes],
        below=[keeping("maker-kit", hand.workshop, kept, "kit.csv")],
    )
