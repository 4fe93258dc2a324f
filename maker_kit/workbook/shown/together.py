"""One order for several recipes as tables: what it saves, who bears how much of it, and what to buy."""

from __future__ import annotations

import re

import pandas as pd

from maker_kit.errors import NoticeError
from maker_kit.plan.combined_order import CombinedOrder, combined_order
from maker_kit.plan.plan import make_plan
from maker_kit.workbook.shown.sheets import Sheet, Sheets, in_currency
from maker_kit.workshop import Workshop


def read_together(workshop: Workshop, text: str) -> dict[str, int]:
    """Recipes and counts of containers, from a text such as ``r1b-hand-wash: 12, r4-balm: 10``.

    Parameters
    ----------
    workshop : Workshop
    text : str
        Names or titles, each with a count of containers.

    Returns
    -------
    dict of str to int
        Name of a recipe to containers, in the order of the text.

    Raises
    ------
    NoticeError
        If the text is anything else, or names a recipe twice.
    UnknownNameError
        If a recipe is not in the workshop.
    """
    asked: dict[str, int] = {}
    for part in filter(None, (p.strip() for p in re.split(r"(?<=\d)\s*,", text))):
        name, colon, count = part.rpartition(":")
        if not colon or not count.strip().isdecimal():
            msg = f'"{part}" is no recipe with a count: write them as in "r1b-hand-wash: 12, r4-balm: 10"'
            raise NoticeError(msg)
        recipe = workshop.recipe(name.strip()).name
        if recipe in asked:
            msg = f"{recipe} is named twice; write one count for it"
            raise NoticeError(msg)
        asked[recipe] = int(count)
    return asked


def together(workshop: Workshop, containers: dict[str, int]) -> CombinedOrder:
    """One order for several recipes; those with a count of 0 are left out.

    Parameters
    ----------
    workshop : Workshop
    containers : dict of str to int
        Name of a recipe to containers wanted.

    Returns
    -------
    CombinedOrder

    Raises
    ------
    NoticeError
        If none is wanted.
    MakerKitError
        As `maker_kit.plan.combined_order.combined_order` does.
    """
    plans = [make_plan(workshop, recipe, batches=count) for recipe, count in containers.items() if count]
    if not plans:
        msg = "no recipe is chosen for the one order: give one or more of them a count"
        raise NoticeError(msg)
    return combined_order(workshop, plans)


def together_sheets(workshop: Workshop, order: CombinedOrder) -> Sheets:
    """What one order saves and by which rule it is shared, each recipe's fair share, and the shopping list.

    Parameters
    ----------
    workshop : Workshop
    order : CombinedOrder

    Returns
    -------
    Sheets
    """
    currency = workshop.settings.currency
    shares = Sheet(in_currency(order.to_frame(), ("alone", "fair share", "saves"), currency), left=("recipe",))
    lists = []
    for members, bought in zip(order.groups, order.baskets, strict=True):
        frame = in_currency(bought.to_frame(), ("price each", "cost"), currency)
        if len(order.baskets) > 1:
            frame.insert(0, "list for", ["; ".join(order.shares[k].title for k in members)] + [""] * (len(frame) - 1))
        lists.append(Sheet(frame, left=("list for", "supplier", "pack")))
    return Sheets(
        (
            Sheet(
                pd.DataFrame({f"one order [{currency}]": [order.sentence(), f"shared by: {order.rule}"]}),
                left=(f"one order [{currency}]",),
            ),
            shares,
            *lists,
        )
    )


def together_asked(workshop: Workshop, text: str) -> Sheets:
    """The tables of one order for the recipes that a text names; says so where it names none."""
    asked = read_together(workshop, text)
    if not asked:
        words = (
            "Not asked for: the setting together names recipes and containers, such as r1b-hand-wash: 12, r4-balm: 10."
        )
        return Sheets((Sheet(pd.DataFrame({"one order": [words]}), left=("one order",)),))
    return together_sheets(workshop, together(workshop, asked))
