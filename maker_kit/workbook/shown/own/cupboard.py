"""The shopping list with the cupboard asked first: what is still to be paid, and where each gram comes from."""

from __future__ import annotations

from datetime import date
from typing import Any

from maker_kit.formula.batch import counted
from maker_kit.plan.costs import CurveView
from maker_kit.plan.log.cupboard import CupboardList, asked_first, cupboard_of
from maker_kit.plan.plan import Unpriced
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.workbook.amounts import money
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.shown.make_or_buy import shopping_sheet
from maker_kit.workbook.shown.sheets import Sheet, Sheets, frame_sheet, words_sheet

HOLDS_NOTHING = "The cupboard was asked first and holds nothing that this recipe takes."


def still_to_buy(found: CupboardList) -> str:
    """What is still to pay, beside what it would be without the cupboard, and what is used up."""
    bought, plan = found.with_cupboard, found.with_cupboard.plan
    pay, without = money(bought.cash_micros), money(found.without.cash_micros)
    words = f"{counted(plan.containers)} of {plan.recipe.title}: you pay {pay} {plan.currency}"
    if found.taken_g:
        words += f"; without the cupboard {without}"
    return f"{words}. What they use up is worth {money(bought.used_micros)} either way."


def tie_sheet(found: CupboardList) -> Sheet:
    """Of each thing what is needed, what the cupboard holds of it, what is taken there and what is still to buy [g]."""
    return frame_sheet(found.to_frame(), 1)


def list_sheets(found: CupboardList) -> tuple[Any, ...]:
    """The list, what it comes to with and without the cupboard, and the tie to the log."""
    said = still_to_buy(found) if found.taken_g else HOLDS_NOTHING
    return shopping_sheet(found.with_cupboard), words_sheet("the cupboard", said), tie_sheet(found)


def with_cupboard(
    bought: Purchase | Unpriced, view: CurveView | Unpriced, ask: bool, *, on: date | None = None, seconds: float = 60.0
) -> tuple[Purchase | Unpriced, CurveView | Unpriced, CupboardList | None]:
    """What a report shows of the list and the curve: with the cupboard asked first, where that is set.

    Parameters
    ----------
    bought : Purchase or Unpriced
    view : CurveView or Unpriced
        Of the same plan.
    ask : bool
    on : date, optional
        The day on which stock must not be past its date; today unless given, in the demo the day its records end.
    seconds : float
        Most time for the curve [s].

    Returns
    -------
    tuple of (Purchase or Unpriced, CurveView or Unpriced, CupboardList or None)
        The list and the curve to show, and what the cupboard gives; None where it was not asked or the cost is unknown.

    Raises
    ------
    MakerKitError
        If the bench log cannot be read, or a list not be proved.
    """
    if not ask or isinstance(bought, Unpriced) or isinstance(view, Unpriced):
        return bought, view, None
    book = BenchBook(bought.plan.workshop)
    try:
        there = cupboard_of(book.log, on or book.today)
    finally:
        book.close()
    found, shown = asked_first(bought, view, there, seconds=seconds)
    return found.with_cupboard, shown, found


def cupboard_sheets(found: CupboardList | None) -> Sheets | None:
    """What the cupboard gives to the order; None where it was not asked."""
    return None if found is None else Sheets(list_sheets(found)[1:])
