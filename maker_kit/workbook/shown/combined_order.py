"""One order for several recipes as tables: what it saves, who bears how much of it, and what to buy."""

from __future__ import annotations

from maker_kit.plan.combined_order import CombinedOrder
from maker_kit.workbook.shown.sheets import Sheets, in_currency, words_sheet
from maker_kit.workshop import Workshop

NOT_ASKED = "Not asked for: the setting together names recipes and containers, such as r1b-hand-wash: 12, r4-balm: 10."


def order_sheets(workshop: Workshop, order: CombinedOrder | None) -> Sheets:
    """What one order saves and by which rule it is shared, each recipe's fair share, and the shopping list.

    Parameters
    ----------
    workshop : Workshop
    order : CombinedOrder or None
        None where no order was asked for, and then it says so.

    Returns
    -------
    Sheets
    """
    if order is None:
        return Sheets((words_sheet("one order", NOT_ASKED),))
    currency = workshop.settings.currency
    lists = []
    for members, bought in zip(order.groups, order.baskets, strict=True):
        frame = bought.to_frame()
        if len(order.baskets) > 1:
            frame.insert(0, "list for", ["; ".join(order.shares[k].title for k in members)] + [""] * (len(frame) - 1))
        lists.append(in_currency(frame, ("price each", "cost"), currency, ("list for", "supplier", "pack")))
    return Sheets(
        (
            words_sheet(f"one order [{currency}]", order.sentence(), f"shared by: {order.rule}"),
            in_currency(order.to_frame(), ("alone", "fair share", "saves"), currency, ("recipe",)),
            *lists,
        )
    )
