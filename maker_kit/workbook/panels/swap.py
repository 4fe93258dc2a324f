"""A swap: what changes, and the changed recipe kept."""

from __future__ import annotations

from maker_kit.plan.swap import SwapPlan, likely_swap, plan_swap
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import dropdown, look
from maker_kit.workbook.panels.hand import Hand
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.shown import swap as shown

WIDE = look("26em", "6em")


def swap_panel(hand: Hand, old: str = "", new: str = "") -> LateScreen:
    """One ingredient for another: what changes, and the changed recipe kept as a table or a recipe.

    Parameters
    ----------
    hand : Hand
        Recipe and count.
    old, new : str
        What is taken out and what goes in first; empty for a pair of the workshop's table of swaps, else another scent.

    Raises
    ------
    UnknownNameError
        If the recipe holds no such ingredient, or the workshop does not.
    """
    workshop = hand.workshop

    def lines() -> tuple[str, ...]:
        return tuple(dict.fromkeys(line.ingredient for line in hand.made.lines))

    likely = likely_swap(workshop, hand.made)
    gone = dropdown("instead of", lines(), old or likely[0], **WIDE)
    comes = dropdown("take", workshop.ingredients, new or likely[1], **WIDE)

    def planned() -> SwapPlan:
        if gone.options != lines():  # another recipe was chosen
            out, into = likely_swap(workshop, hand.made)
            with gone.hold_trait_notifications():
                gone.options, gone.value = lines(), out
            comes.value = into
        return plan_swap(workshop, hand.made, gone.value, comes.value, hand.wanted.value)

    def call() -> Shown:
        plan = planned()
        after = plan.result.after
        return {
            "answer": shown.swap_answer(plan),
            "stops": plan.result.findings,
            "words": shown.swap_sheet(plan),
            "notes": lambda: shown.swap_notes(plan),
            "clashes": lambda: shown.clashes_sheet(workshop, after),
            "avoid": lambda: shown.avoid_sheet(workshop, after),
        }

    below = keeping(
        "maker-swap",
        workshop,
        planned,
        f"{hand.made.name}-swap.csv",
        lambda: planned().result.after,
        "a swap; untested",
    )
    return LateScreen(
        "maker-swap",
        (gone, comes),
        call,
        {"words": None},
        {
            "notes": "notes",
            "clashes": "clashes",
            "avoid-list": "avoid",
        },
        below=[below],
    )
