"""Something is short, swapped or split: four questions about one recipe, one count and one set of weighed amounts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import ipywidgets as w

from maker_kit.errors import NoticeError
from maker_kit.formula.changes.received import Received
from maker_kit.workbook.charts.kit import RECEIVED
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import sentence
from maker_kit.workbook.panels.hand import BOX, HINT, NAME, Hand
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.panels.late import LateScreen, LateTabs, tabs_under
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.split import split_panel
from maker_kit.workbook.panels.stock import short_panel
from maker_kit.workbook.panels.swap import swap_panel
from maker_kit.workbook.shown import kit as shown
from maker_kit.workshop import Workshop


def kit_panel(
    hand: Hand, more: Mapping[str, Callable[[], w.Widget]] | None = None, below: Sequence[w.Widget] = ()
) -> LateScreen:
    """What came against recipe, kit list and scale: write down what the scale shows, see what is short.

    Parameters
    ----------
    hand : Hand
    more : Mapping of str to callable, optional
        Title → what gives the content of a tab besides.
    below : sequence of ipywidgets.Widget
        What stands under the boxes.
    """

    def call() -> Shown:
        came = hand.received()
        if came is None:
            return {"answer": shown.NOTHING_YET, "stops": "", "picture": None, "table": "", "notes": ""}
        return {
            "answer": shown.kit_answer(came),
            "stops": came.findings,
            "picture": Of(hand.made.title, came),
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
        {"each thing": "table", "to look at": "notes"},
        rows=[w.HTML(sentence(HINT)), head, hand.boxes],
        below=[*below, keeping("maker-kit", hand.workshop, kept, "kit.csv")],
        more=more,
    )


@once_begun
def changes_panel(
    workshop: Workshop,
    recipe: str = "",
    kit: str = "",
    makes: int = 0,
    scale: str = "",
    have: str = "",
    old: str = "",
    new: str = "",
    shares: str = "",
    jug: str = "",
) -> w.VBox:
    """What came, what is short, a swap, a split: tabs that share recipe, kit, count and what was weighed.

    Parameters
    ----------
    workshop : Workshop
    recipe, kit, scale, makes
        As `Hand` takes them.
    have : str
        What is there besides the kit; see `short_panel`.
    old, new : str
        See `swap_panel`.
    shares, jug : str
        See `split_panel`.

    Returns
    -------
    ipywidgets.VBox

    Raises
    ------
    MakerKitError
        As the four do.
    """
    hand = Hand(workshop, recipe, kit, scale, makes=makes)
    tabs = LateTabs(
        "maker-changes-tabs",
        {
            "what came": lambda: kit_panel(hand),
            "short": lambda: short_panel(hand, have),
            "swap": lambda: swap_panel(hand, old, new),
            "split": lambda: split_panel(hand, shares, jug),
        },
    )
    hand.watch(tabs.redraw)
    return tabs_under("maker-changes", hand.row, tabs)
