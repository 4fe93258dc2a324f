"""A short bottle: what is there, the ways on, and one of them kept."""

from __future__ import annotations

from maker_kit.formula.changes.shortage_options import MAKE_UP, SHORT, SWAP
from maker_kit.plan.stock import CostedOptions, fills, short_bottle
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.stock import REACH
from maker_kit.workbook.keep import way_recipe
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import dropdown, field, look, sentence
from maker_kit.workbook.panels.hand import Hand
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.shown import stock as shown
from maker_kit.workbook.typed import AMOUNT

WAYS = [("make up with the balance", MAKE_UP), (SWAP, SWAP), (SHORT, SHORT)]
PLACES = ("ways", "percents", "each", "more")


def short_panel(hand: Hand, have: str = "") -> LateScreen:
    """What is there against what is wanted, the four ways on, and a way kept as a table or a recipe.

    Parameters
    ----------
    hand : Hand
        Recipe, count and what was weighed.
    have : str
        What is there besides, as lines ``Propanediol = 32 g``.
    """
    workshop = hand.workshop
    besides = field("what else is there", have, AMOUNT, rows=3, **look("26em", "9em"))
    which = dropdown("which way", WAYS, MAKE_UP, **look("26em", "9em"))

    def ways() -> CostedOptions:
        return short_bottle(workshop, hand.made, hand.there(besides.value), hand.wanted.value)

    def call() -> Shown:
        there = hand.there(besides.value)
        if not there:
            blank = dict.fromkeys(("stops", "taken", *PLACES), "")
            return {"answer": shown.NOTHING_THERE, "picture": None, **blank}
        reach = fills(workshop, hand.made, there)
        found: list[CostedOptions] = []

        def costed() -> CostedOptions:
            found[:] = found or [ways()]
            return found[0]

        return {
            "answer": shown.fills_answer(reach, hand.wanted.value),
            "stops": reach.findings,
            "picture": Of(hand.made.title, (reach, hand.wanted.value)),
            "taken": sentence(shown.taken_as_listed(hand.received())),
            "ways": lambda: shown.ways_sheet(costed()),
            "percents": lambda: shown.ways_percents_sheet(costed()),
            "each": lambda: shown.fills_sheet(reach),
            "more": lambda: shown.more_sheet(reach),
        }

    below = keeping(
        "maker-short",
        workshop,
        ways,
        f"{hand.made.name}-ways.csv",
        lambda: way_recipe(ways(), which.value),
        "a way on from a short bottle; untested",
        [which],
    )
    return LateScreen(
        "maker-short",
        (besides,),
        call,
        {"picture": REACH, "taken": None},
        {
            "four ways on": "ways",
            "percentages": "percents",
            "each thing": "each",
            "one pack more": "more",
        },
        below=[below],
    )
