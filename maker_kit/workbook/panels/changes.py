"""Something is short, swapped or split: four questions about one recipe, one count and one set of weighed amounts."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.workbook.panels.hand import Hand
from maker_kit.workbook.panels.kit import kit_panel
from maker_kit.workbook.panels.late import LateTabs
from maker_kit.workbook.panels.split import split_panel
from maker_kit.workbook.panels.stock import short_panel
from maker_kit.workbook.panels.swap import swap_panel
from maker_kit.workshop import Workshop


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
    whole = w.VBox([hand.row, tabs], layout={"width": "100%"})
    whole.add_class("maker-changes")
    return whole
