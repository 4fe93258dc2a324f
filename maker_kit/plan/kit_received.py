"""A kit that came, in a workshop: what the recipe takes, what the list says, what the scale shows; containers are
counted.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from maker_kit.errors import NoticeError
from maker_kit.findings import in_order, look
from maker_kit.formula.batch import LABEL, check_containers
from maker_kit.formula.changes.received import Received, ReceivedRow, check_received
from maker_kit.formula.changes.standing import Standing
from maker_kit.plan.stock import find_kit, known_names
from maker_kit.workshop import Kit, Workshop


def first_kit(workshop: Workshop, recipe: str = "") -> Kit | None:
    """The kit to look at first: one whose own list is too short for what it is meant to make, else the first.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Only kits that are meant for it; any unless given.

    Returns
    -------
    Kit or None
        None where there is none.
    """
    name = workshop.recipe(recipe).name if recipe else ""
    kits = [kit for kit in workshop.kits if kit.recipe and kit.makes and name in {"", kit.recipe}]
    short = (kit for kit in kits if any(_list_is_short(row) for row in receive_kit(workshop, kit.name, {}).rows))
    return next(short, None) or next(iter(kits or (() if name else workshop.kits)), None)


def _list_is_short(row: ReceivedRow) -> bool:
    return row.list_to_recipe in {Standing.SHORT, Standing.FAR_SHORT}


def receive_kit(
    workshop: Workshop,
    kit: str,
    scale: Mapping[str, str | float],
    labels: Mapping[str, str | float] | None = None,
    recipe: str = "",
    makes: int | None = None,
) -> Received:
    """A kit against the recipe and against the scale.

    The scale is compared with the pack's label where that was read, and with the kit list where it was not, in the
    list's own unit; what a pack may lack is as in `maker_kit.formula.changes.received.allowance`.

    Parameters
    ----------
    workshop : Workshop
    kit : str
        Its name, or a part of it; empty for none, where what was weighed is compared with the recipe alone.
    scale : Mapping of str to str or float
        Net on the scale, without the pack: grams, or texts with their unit; containers and labels are counted. What is
        not named was not weighed.
    labels : Mapping of str to str or float, optional
        What the labels of the packs say, in the same way.
    recipe : str
        The kit's own unless given.
    makes : int, optional
        Containers wanted; what the kit is said to make unless given.

    Returns
    -------
    Received

    Raises
    ------
    UnknownNameError
        If kit, recipe or a thing is unknown, or a thing is named twice.
    NoticeError
        If neither the kit nor the call names a recipe, or how many containers it makes.
    QuantityError
        If an amount is none, below 0, or no whole number of pieces; and as `check_received` does.
    """
    plan = find_kit(workshop, kit) if kit else Kit("what is there", "", recipe, makes, {})
    if not (recipe or plan.recipe):
        raise NoticeError(f"{plan.name} names no recipe; say which one it is meant for")
    made = workshop.recipe(recipe or plan.recipe)
    if makes is None and plan.makes is None:
        raise NoticeError(f"{plan.name} does not say how many containers it makes; say how many are wanted")
    count = check_containers(plan.makes if makes is None else makes)
    came = check_received(
        made,
        count,
        listed=plan.listed,
        label=known_names(workshop, labels or {}),
        weighed=known_names(workshop, scale),
        market=workshop.settings.market,
        list_is_label=True,
        pieces={*workshop.containers, LABEL},
        kit=plan.name,
    )
    missing = [row.item for row in came.rows if row.found is None and row.listed is not None and row.unit == "g"]
    if not missing:
        return came
    unweighed = look(
        "kit.not_weighed",
        plan.name,
        f"Not weighed yet: {', '.join(missing)}. Whether what came is as much as the list says is unknown.",
        level="unknown",
        next_step="weigh each without its pack, and write it down",
    )
    return replace(came, findings=in_order((*came.findings, unweighed)))
