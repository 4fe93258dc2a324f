"""A kit that came, in a workshop: what the recipe takes, what the kit list says, what the scale shows, and what one pack may lack; containers are counted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction

import pandas as pd

from maker_kit.errors import NoticeError, QuantityError, UnknownNameError
from maker_kit.findings import Finding, in_order, look
from maker_kit.formula.batch import check_containers, counted
from maker_kit.formula.changes.received import Received, check_received
from maker_kit.names import near_miss
from maker_kit.plan.needs_cost import pieces_for
from maker_kit.plan.stock import find_kit, known_names
from maker_kit.units import parse_amount
from maker_kit.workshop import Workshop

NOT_READ, NOT_WEIGHED = "label not read", "unknown: not weighed"
FAR_SHORT = "far short: more than twice what it may lack"


@dataclass(frozen=True)
class KitRow:
    """One thing of a kit, or one that the recipe takes.

    Attributes
    ----------
    item : str
    unit : {'g', 'pieces'}
    need, listed, label, found : float or None
        What the recipe takes, what the kit list says, what the pack's label says, and what the scale shows or the count is [g or pieces]; None where it is not known, or nothing is taken.
    may_lack : float or None
        By how much the pack may hold less [g]; None where nothing is on file.
    list_to_recipe, label_to_list, scale_to_pack, scale_to_recipe : str
        How each later figure stands to an earlier one, in words.
    source : str
        Where the allowance is from, with how it was checked.
    """

    item: str
    unit: str
    need: float | None
    listed: float | None
    label: float | None
    found: float | None
    may_lack: float | None
    list_to_recipe: str
    label_to_list: str
    scale_to_pack: str
    scale_to_recipe: str
    source: str


@dataclass(frozen=True)
class KitReceived:
    """A kit, checked.

    Attributes
    ----------
    kit, title : str
        Names of the kit and of the recipe.
    makes : int
        Containers that it is meant for.
    rows : tuple of KitRow
    findings : tuple of Finding
        The gravest first.
    """

    kit: str
    title: str
    makes: int
    rows: tuple[KitRow, ...]
    findings: tuple[Finding, ...]

    def row(self, item: str) -> KitRow:
        """The row of one thing. Raises UnknownNameError if there is none."""
        found = {row.item: row for row in self.rows}
        if item not in found:
            msg = f'there is no "{item}" among what came or is needed: {near_miss(item, found)}'
            raise UnknownNameError(msg)
        return found[item]

    def to_frame(self) -> pd.DataFrame:
        """The rows as a table: what, unit, recipe, kit list, label, scale and what it may lack [g or pieces], the comparisons, source of the allowance."""
        columns = {
            "what": "item",
            "unit": "unit",
            "recipe": "need",
            "kit list": "listed",
            "label": "label",
            "on the scale": "found",
            "may lack": "may_lack",
            "list against recipe": "list_to_recipe",
            "label against list": "label_to_list",
            "scale against pack": "scale_to_pack",
            "scale against recipe": "scale_to_recipe",
            "source": "source",
        }
        frame = pd.DataFrame(
            [{title: getattr(row, name) for title, name in columns.items()} for row in self.rows], columns=list(columns)
        )
        return frame.astype(dict.fromkeys(("recipe", "kit list", "label", "on the scale", "may lack"), "Float64"))


def receive_kit(
    workshop: Workshop,
    kit: str,
    scale: Mapping[str, str | float],
    labels: Mapping[str, str | float] | None = None,
    recipe: str = "",
    makes: int | None = None,
) -> KitReceived:
    """A kit against the recipe and against the scale.

    The scale is compared with the pack's label where that was read, and with the kit list where it was not, in the list's own unit; what a pack may lack is as in `maker_kit.formula.changes.received.allowance`.

    Parameters
    ----------
    workshop : Workshop
    kit : str
        Its name, or a part of it.
    scale : Mapping of str to str or float
        Net on the scale, without the pack: grams, or texts with their unit; containers and labels are counted. What is not named was not weighed.
    labels : Mapping of str to str or float, optional
        What the labels of the packs say, in the same way.
    recipe : str
        The kit's own unless given.
    makes : int, optional
        Containers wanted; what the kit is said to make unless given.

    Returns
    -------
    KitReceived

    Raises
    ------
    UnknownNameError
        If kit, recipe or a thing is unknown, or a thing is named twice.
    NoticeError
        If neither the kit nor the call names a recipe, or how many containers it makes.
    QuantityError
        If an amount is none, below 0, or no whole number of pieces; and as `check_received` does.
    """
    plan = find_kit(workshop, kit)
    if not (recipe or plan.recipe):
        msg = f"{plan.name} names no recipe; say which one it is meant for"
        raise NoticeError(msg)
    made = workshop.recipe(recipe or plan.recipe)
    if makes is None and plan.makes is None:
        msg = f"{plan.name} does not say how many containers it makes; say how many are wanted"
        raise NoticeError(msg)
    count = check_containers(plan.makes if makes is None else makes)
    goods = set(workshop.ingredients)
    slips = {what: known_names(workshop, slip) for what, slip in (("scale", scale), ("label", labels or {}))}
    weighed, label = (
        {item: _amount(item, amount, what) for item, amount in slip.items() if item in goods}
        for what, slip in slips.items()
    )
    listed = {
        item: amount.text if amount.basis == "volume" else float(amount.exact)
        for item, amount in plan.listed.items()
        if item in goods
    }
    came = check_received(
        made, count, listed=listed, label=label, weighed=weighed, market=workshop.settings.market, list_is_label=True
    )
    pieces, found = _pieces(plan.listed, slips, pieces_for(made, count), goods, count)
    missing = [row.item for row in came.rows if row.weighed_g is None and row.listed_g is not None]
    if missing:
        found.append(
            look(
                "kit.unknown",
                plan.name,
                f"Not weighed yet: {', '.join(missing)}. Whether what came is as much as the list says is unknown.",
                level="unknown",
                next_step="weigh each without its pack, and write it down",
            )
        )
    return KitReceived(plan.name, made.title, count, (*_weights(came), *pieces), in_order((*came.findings, *found)))


def _amount(item: str, amount: str | float, what: str) -> str | float:
    """Grams where no unit is written; texts with a unit as they are."""
    if not isinstance(amount, str):
        return amount
    text = amount.strip()
    try:
        number = Decimal(text.replace(",", "."))
    except InvalidOperation:
        try:
            parse_amount(text, zero_ok=True)
        except QuantityError as error:
            msg = f"{item} on the {what}: {error}"
            raise QuantityError(msg) from error
        return text
    if not number.is_finite():
        msg = f'{item} on the {what}: "{text}" is no amount; write grams such as 31.2, or an amount with its unit'
        raise QuantityError(msg)
    return float(number)


def _weights(came: Received) -> list[KitRow]:
    rows = []
    for row in came.rows:
        at_list = (
            "not on the kit list"
            if row.listed_g is None
            else "not in the recipe"
            if row.need_g is None
            else row.recipe_to_list
        )
        at_label = NOT_READ if row.label_g is None else row.list_to_label
        at_pack = (
            NOT_WEIGHED
            if row.weighed_g is None
            else FAR_SHORT
            if row.label_to_scale == "far short"
            else row.label_to_scale
        )
        at_recipe = (
            NOT_WEIGHED
            if row.weighed_g is None
            else "not in the recipe"
            if row.need_g is None
            else "short"
            if row.weighed_g < row.need_g
            else "fine"
        )
        if row.weighed_g is None and row.listed_g is None:
            at_pack = at_recipe = "not in the kit: have it ready"
        rows.append(
            KitRow(
                row.item,
                "g",
                row.need_g,
                row.listed_g,
                row.label_g,
                row.weighed_g,
                row.allowance_g,
                at_list,
                at_label,
                at_pack,
                at_recipe,
                row.source,
            )
        )
    return rows


def _pieces(
    listed: Mapping, slips: Mapping[str, Mapping], needs: Mapping[str, int], goods: set[str], makes: int
) -> tuple[list[KitRow], list[Finding]]:
    """Containers and labels: listed, counted and needed, in whole pieces."""
    rows, findings = [], []
    count = {
        what: {item: _whole(item, amount, what) for item, amount in slip.items() if item not in goods}
        for what, slip in slips.items()
    }
    for item in dict.fromkeys([*(i for i in listed if i not in goods), *count["label"], *count["scale"]]):
        on_list = int(listed[item].exact) if item in listed else None
        said, have, need = count["label"].get(item), count["scale"].get(item), needs.get(item)
        pack = said if said is not None else on_list
        at_list = (
            "not on the kit list"
            if on_list is None
            else "not in the recipe"
            if need is None
            else "short"
            if on_list < need
            else "fine"
        )
        at_label = (
            NOT_READ
            if said is None or on_list is None
            else "fine"
            if said == on_list
            else "short"
            if said < on_list
            else "more"
        )
        at_pack = (
            "unknown: not counted"
            if have is None
            else "unknown"
            if pack is None
            else "short"
            if have < pack
            else "fine"
        )
        at_recipe = (
            "unknown: not counted"
            if have is None
            else "not in the recipe"
            if need is None
            else "short"
            if have < need
            else "fine"
        )
        rows.append(
            KitRow(
                item,
                "pieces",
                need,
                on_list,
                said,
                have,
                0.0,
                at_list,
                at_label,
                at_pack,
                at_recipe,
                "pieces are counted",
            )
        )
        if at_pack == "short":
            findings.append(
                look(
                    "kit.under",
                    item,
                    f"{have} of {pack} {item} came.",
                    level="under",
                    next_step="count again, then tell the supplier",
                    source="arithmetic",
                )
            )
        if at_recipe == "short":
            findings.append(
                look(
                    "kit.under",
                    item,
                    f"{counted(makes)} take {need} {item}, {have} are there.",
                    level="under",
                    next_step="fill fewer, or buy the missing ones",
                    source="arithmetic",
                )
            )
    return rows, findings


def _whole(item: str, amount: str | float, what: str) -> int:
    """A number of pieces."""
    if isinstance(amount, str):
        try:
            read = parse_amount(amount, zero_ok=True, bare_as_pieces=True)
        except QuantityError as error:
            msg = f"{item} on the {what}: {error}"
            raise QuantityError(msg) from error
        if read.basis != "pieces":
            msg = f'{item} on the {what}: "{amount}" is no count; {item} is counted in pieces'
            raise QuantityError(msg)
        return int(read.exact)
    if isinstance(amount, bool) or amount != amount or Fraction(amount).denominator != 1 or amount < 0:
        msg = f"{item} on the {what}: {amount} pieces; pieces are counted whole, from 0 on"
        raise QuantityError(msg)
    return int(amount)
