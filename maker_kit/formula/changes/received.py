"""What came: recipe against kit list, kit list against label, label against scale. Never one in place of another."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, in_order, know, look
from maker_kit.formula.batch import (
    LABEL,
    MOST_CONTAINERS,
    as_bought,
    check_containers,
    counted,
    exact_batch_mass,
    needs_of,
)
from maker_kit.formula.changes.standing import Allowance, Standing, allowance, stands
from maker_kit.formula.recipe import Recipe
from maker_kit.frames import frame_of
from maker_kit.names import look_up, near_miss
from maker_kit.numbers import number_text
from maker_kit.units import Amount, check_density, stated_amount

Slip = Mapping[str, float | str | Amount]
"""What a kit list, the labels or the scale says: a number counts grams or pieces, a text carries its unit."""


@dataclass(frozen=True)
class ReceivedRow:
    """One thing that came or that the recipe takes: four figures, and how they stand.

    Attributes
    ----------
    item : str
    unit : {'g', 'pieces'}
    need, listed, label, found : float or None
        What the recipe takes, what the kit list says, what the pack's label says, and what the scale shows or the count
        is [g or pieces]; None where it is not known, or nothing is taken.
    may_lack : float or None
        By how much the pack may hold less [g]; None where nothing is on file.
    list_to_recipe, label_to_list, scale_to_pack, scale_to_recipe : Standing
        How each later figure stands to an earlier one.
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
    list_to_recipe: Standing
    label_to_list: Standing
    scale_to_pack: Standing
    scale_to_recipe: Standing
    source: str


@dataclass(frozen=True)
class Received:
    """A delivery, checked.

    Attributes
    ----------
    title : str
        Of the recipe.
    makes : int
        Containers it is meant for.
    rows : tuple of ReceivedRow
    findings : tuple of Finding
        The gravest first.
    kit : str
        Its name; empty where it is no kit.
    """

    title: str
    makes: int
    rows: tuple[ReceivedRow, ...]
    findings: tuple[Finding, ...]
    kit: str = ""

    def row(self, item: str) -> ReceivedRow:
        """The row of one thing. Raises UnknownNameError if there is none."""
        return look_up(item, {r.item: r for r in self.rows}, f'there is no "{item}" among what came or is needed')

    def to_frame(self) -> pd.DataFrame:
        """One row a thing: unit, recipe, kit list, label, scale and what it may lack [g or pieces], comparisons,
        source.
        """
        numbers = {
            "recipe": "need",
            "kit list": "listed",
            "label": "label",
            "on the scale": "found",
            "may lack": "may_lack",
        }
        standings = {
            "list against recipe": lambda r: str(r.list_to_recipe),
            "label against list": lambda r: str(r.label_to_list),
            "scale against pack": lambda r: str(r.scale_to_pack),
            "scale against recipe": lambda r: str(r.scale_to_recipe),
        }
        columns = {"what": "item", "unit": "unit", **numbers, **standings, "source": "source"}
        return frame_of(self.rows, columns, numbers)


def check_received(
    recipe: Recipe,
    makes: int,
    *,
    listed: Slip | None = None,
    label: Slip | None = None,
    weighed: Slip | None = None,
    market: str = "EU",
    list_is_label: bool = False,
    pieces: Collection[str] = (),
    kit: str = "",
) -> Received:
    """A delivery against the recipe: kit list against recipe, label against kit list, scale against label and recipe.

    Parameters
    ----------
    recipe : Recipe
    makes : int
        Containers it is meant for.
    listed, label, weighed : Mapping of str to float, str or Amount, optional
        What the kit list and the packs' labels say, and what is net on the scale, without the pack: grams, or texts
        with their unit (``8 fl oz``), volumes by the ingredient's density.
    market : {'EU', 'US'}
        Whose allowances hold.
    list_is_label : bool
        Whether the scale is compared with the kit list where no label was read.
    pieces : collection of str
        What is counted: containers and labels. Anything else is weighed or measured.
    kit : str
        Name of the kit.

    Returns
    -------
    Received

    Raises
    ------
    QuantityError
        If an amount is none or negative, a volume has no density, or nothing is given to compare.
    RecipeError
        If a bench mixture is made from something unknown.
    UnknownNameError
        If the market is neither.
    """
    count = check_containers(makes, MOST_CONTAINERS)
    slips = [
        {
            item: n
            if isinstance(n, Amount)
            else stated_amount(n, f"{item} {on}", pieces=item in pieces, bare_grams=True)
            for item, n in (slip or {}).items()
        }
        for on, slip in (("on the kit list", listed), ("on the label", label), ("on the scale", weighed))
    ]
    if not any(slips):
        raise QuantityError("there is nothing to compare: give the kit list, the labels or what the scale showed")
    came = list(dict.fromkeys(item for slip in slips for item in slip))
    weighable = frozenset(came) - frozenset(pieces)
    needs = needs_of(recipe, exact_batch_mass(recipe, count), weighable)
    every = [*needs, *sorted(weighable - set(needs)), *(item for item in came if item in pieces)]
    needs |= {item: Fraction(count) for item in (recipe.container, LABEL) if item in pieces}
    rows, findings = [], []
    for item in every:
        stated = [slip.get(item) for slip in slips]
        thing = _figures(recipe, item, needs.get(item), stated, market, list_is_label, item in pieces)
        rows.append(_row(thing))
        findings += _findings(thing, rows[-1], recipe, count, bool(slips[0]))
    return Received(recipe.title, count, tuple(rows), in_order(findings), kit)


@dataclass(frozen=True)
class _Figures:
    """One thing's figures, exactly [g or pieces]."""

    item: str
    pieces: bool
    need: Fraction | None
    listed: Fraction | None
    label: Fraction | None
    found: Fraction | None
    pack: Fraction | None
    may_lack: Fraction | None
    where: str
    source: str


def _figures(
    recipe: Recipe,
    item: str,
    need: Fraction | None,
    stated: list[Amount | None],
    market: str,
    list_is_label: bool,
    pieces: bool,
) -> _Figures:
    thing = recipe.ingredients.get(item)
    density = thing.density_g_per_ml if thing else None
    listed, label, _ = stated
    by_list = list_is_label and label is None
    says = listed if by_list else label
    exact = [None if a is None else a.exact if pieces else a.exact_grams(density) for a in (*stated, says)]
    less, source = Fraction(0), "pieces are counted"
    if not pieces:
        may = Allowance(None, "g", "") if says is None else allowance(says, market)
        by_volume = may.amount is not None and may.unit == "mL"
        less, source = may.amount * check_density(density, item) if by_volume else may.amount, may.source
    return _Figures(item, pieces, need, *exact, less, "kit list" if by_list else "label", source)


def _row(n: _Figures) -> ReceivedRow:
    """The figures and how they stand."""
    at_pack, at_recipe = stands(n.pack, n.found, n.may_lack), stands(n.need, n.found)
    if n.found is None:
        absent = n.listed is None and not n.pieces
        unread = Standing.NOT_COUNTED if n.pieces else Standing.NOT_WEIGHED
        at_pack = at_recipe = Standing.NOT_IN_KIT if absent else unread
    elif n.need is None:
        at_recipe = Standing.NOT_TAKEN
    at_list = Standing.NOT_LISTED if n.listed is None else Standing.NOT_TAKEN
    if n.need is not None and n.listed is not None:
        at_list = stands(n.need, n.listed)
    at_label = Standing.NOT_READ if n.label is None else stands(n.listed, n.label, more=Standing.MORE)
    shown = (None if m is None else float(m) for m in (n.need, n.listed, n.label, n.found, n.may_lack))
    return ReceivedRow(n.item, "pieces" if n.pieces else "g", *shown, at_list, at_label, at_pack, at_recipe, n.source)


def _findings(n: _Figures, row: ReceivedRow, recipe: Recipe, makes: int, kit_list: bool) -> Iterator[Finding]:
    under = {"level": "under", "source": "arithmetic"}
    item, take = n.item, f"{counted(makes)} take"
    if n.pieces:
        if row.scale_to_pack == Standing.SHORT:
            step = "count again, then tell the supplier"
            yield look("kit.came_short", item, f"{n.found} of {n.pack} {item} came.", next_step=step, **under)
        if row.scale_to_recipe == Standing.SHORT:
            text = f"{take} {n.need} {item}, {n.found} are there."
            yield look("kit.too_few", item, text, next_step="fill fewer, or buy the missing ones", **under)
        return
    if n.need is None:
        hint = str(near_miss(item, as_bought(recipe)))
        yield know("kit.not_taken", item, f"{item} came, and {recipe.title} does not take it.", next_step=hint)
    elif row.list_to_recipe == Standing.SHORT:
        text = f"{take} {float(n.need):.2f} g of {item}, the kit list has {float(n.listed):.2f} g."
        step = f"{float(n.need - n.listed):.2f} g more are needed"
        yield look("kit.list_short", item, f"Recipe against kit list: {text}", next_step=step, **under)
    elif kit_list and n.listed is None and n.need:
        text = f"Recipe against kit list: {item} ({float(n.need):.1f} g) is not on the kit list."
        yield know("kit.not_listed", item, text, next_step="have it ready")
    if row.label_to_list in {Standing.SHORT, Standing.MORE}:
        text = f"the list says {float(n.listed):.2f} g of {item}, the label {float(n.label):.2f} g."
        yield look(
            "kit.label_differs",
            item,
            f"Kit list against label: {text}",
            level="under" if row.label_to_list == Standing.SHORT else "note",
            next_step="ask the supplier which of the two is right",
            source="arithmetic",
        )
    if n.found is not None and n.pack is not None:
        yield _scale(n, row.scale_to_pack)
    if n.need is not None and n.found is not None and n.found < n.need:
        text = f"{take} {float(n.need):.2f} g of {item}, {float(n.found):.2f} g are there."
        step = "look at the ways on for a short bottle"
        yield look("kit.scale_short", item, f"Recipe against scale: {text}", next_step=step, **under)


def _scale(n: _Figures, standing: Standing) -> Finding:
    text = (
        f"{n.where.capitalize()} against scale: {n.item} nets {float(n.found):.1f} g of {float(n.pack):.1f} g "
        f"on the {n.where}"
    )
    if standing == Standing.FINE:
        return know("kit.pack_fine", n.item, f"{text}.", level="fine", source=n.source)
    lacks = n.pack - n.found
    text += f", {float(lacks):.1f} g ({float(100 * lacks / n.pack):.1f} %) less"
    if standing == Standing.UNKNOWN:
        text += "; no allowance for such a pack is on file, so whether that may be is unknown."
        step = "ask the supplier"
        return look("kit.pack_unknown", n.item, text, level="unknown", next_step=step, source=n.source)
    beyond = "more than twice the" if standing == Standing.FAR_SHORT else "more than the"
    text += f": {beyond} {number_text(n.may_lack)} g that one pack may lack."
    step = "weigh it again with the empty pack taken off, then tell the supplier"
    return look("kit.pack_short", n.item, text, level="under", next_step=step, source=n.source)
