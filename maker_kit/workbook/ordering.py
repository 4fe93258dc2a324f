"""One order for several recipes that a maker names."""

from __future__ import annotations

import re
from collections.abc import Mapping

from maker_kit.errors import NoticeError
from maker_kit.plan.combined_order import CombinedOrder, combined_order
from maker_kit.plan.plan import make_plan
from maker_kit.workshop import Workshop


def read_counts(workshop: Workshop, text: str) -> dict[str, int]:
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
            raise NoticeError(f'"{part}" is no recipe with a count: write them as in "r1b-hand-wash: 12, r4-balm: 10"')
        recipe = workshop.recipe(name.strip()).name
        if recipe in asked:
            raise NoticeError(f"{recipe} is named twice; write one count for it")
        asked[recipe] = int(count)
    return asked


def order_for(workshop: Workshop, containers: str | Mapping[str, int]) -> CombinedOrder | None:
    """One order for several recipes; those with a count of 0 are left out.

    Parameters
    ----------
    workshop : Workshop
    containers : str or Mapping of str to int
        Name of a recipe to containers wanted; a text as `read_counts` takes it.

    Returns
    -------
    CombinedOrder or None
        None where the text names no recipe.

    Raises
    ------
    NoticeError
        If every count is 0.
    MakerKitError
        As `read_counts` and `maker_kit.plan.combined_order.combined_order` do.
    """
    wanted = read_counts(workshop, containers) if isinstance(containers, str) else containers
    if not wanted:
        return None
    plans = [make_plan(workshop, recipe, batches=count) for recipe, count in wanted.items() if count]
    if not plans:
        raise NoticeError("no recipe is chosen for the one order: give one or more of them a count")
    return combined_order(workshop, plans)
