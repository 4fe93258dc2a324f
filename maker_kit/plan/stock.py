"""Jug, kit or cupboard in a workshop: what it fills, what one more pack would give, and what to do when a bottle is
short, with containers and cost.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.needs import BASE_UNITS_PER_G
from maker_kit.errors import UnknownNameError
from maker_kit.formula.batch import LABEL
from maker_kit.formula.changes.in_hand import InHand, PackOnSale, split_stock, what_i_have
from maker_kit.formula.changes.shortage_options import Shortage, ShortageOption, shortage_options
from maker_kit.formula.recipe import Recipe
from maker_kit.money import MICROS, MICROS_PER_CENT, money
from maker_kit.names import name_key, near_miss
from maker_kit.plan.needs_cost import NeedsCost, cost_of_needs, judge_in, pieces_for
from maker_kit.plan.swap import stand_in
from maker_kit.workshop import Kit, Workshop

Stock = Mapping[str, float | Fraction | str]


@dataclass(frozen=True)
class CostedOptions:
    """The options when a bottle is short, each with its cost.

    Attributes
    ----------
    shortage : Shortage
    costs : tuple of (NeedsCost or None)
        One an option; None where it is not possible or fills nothing.
    one_more : InHand
        What there is, with what one more pack of the scarcest would give.
    currency : str
    """

    shortage: Shortage
    costs: tuple[NeedsCost | None, ...]
    one_more: InHand
    currency: str

    @property
    def options(self) -> tuple[ShortageOption, ...]:
        """The options."""
        return self.shortage.options

    def to_frame(self) -> pd.DataFrame:
        """The ways as a table: what `Shortage.to_frame` shows, with what is still to pay and what is used up, in all
        and for one container.
        """
        frame = self.shortage.to_frame()
        frame[f"still to pay {self.currency}"] = ["" if c is None else c.cash for c in self.costs]
        frame[f"used up {self.currency}"] = ["" if c is None else c.used for c in self.costs]
        frame[f"used up, each {self.currency}"] = pd.array(
            [
                None if c is None or c.used_micros is None else float(Fraction(c.used_micros, w.containers) / MICROS)
                for c, w in zip(self.costs, self.options, strict=True)
            ],
            dtype="Float64",
        )
        return frame


def find_kit(workshop: Workshop, kit: str) -> Kit:
    """The kit of that name.

    Raises
    ------
    UnknownNameError
        If there is no such kit; a part of its name is enough where only one kit has it.
    """
    kits, asked = {name_key(k.name): k for k in workshop.kits}, name_key(kit)
    found = [kits[asked]] if asked in kits else [k for name, k in kits.items() if asked and asked in name]
    if len(found) != 1:
        raise UnknownNameError(
            f'"{kit}" may be {" or ".join(k.name for k in found)}; write the whole name'
            if found
            else f'there is no kit "{kit}": {near_miss(kit, [k.name for k in workshop.kits])}'
        )
    return found[0]


def packs_on_sale(workshop: Workshop, items: Iterable[str]) -> tuple[PackOnSale, ...]:
    """Every pack on sale of some items, with its price; kits are left out."""
    wanted, pieces = set(items), workshop.market.pieces
    found = []
    for pack in workshop.market.packs:
        item, *others = pack.content
        if not others and item in wanted:
            amount = Fraction(pack.content[item], 1 if item in pieces else BASE_UNITS_PER_G)
            price = money(pack.price_cents(1) * MICROS_PER_CENT)
            found.append(PackOnSale(pack.name, item, amount, f"{price} {workshop.settings.currency}"))
    return tuple(found)


def fills(workshop: Workshop, recipe: str | Recipe, have: Stock) -> InHand:
    """What a jug, a kit or a cupboard fills, and what one more pack on sale of the scarcest would give.

    Parameters
    ----------
    workshop : Workshop
    recipe : str or Recipe
    have : Mapping of str to float, Fraction or str
        Grams of ingredients and pieces of containers and labels, or texts with their unit; names as the workshop has
        them.

    Returns
    -------
    InHand

    Raises
    ------
    UnknownNameError
        If the recipe or something in hand is unknown to the workshop.
    QuantityError, RecipeError
        As `what_i_have` does.
    """
    made = workshop.recipe(recipe)
    stock = known_names(workshop, have)
    return what_i_have(made, stock, packs_on_sale(workshop, stock))


def short_bottle(
    workshop: Workshop, recipe: str | Recipe, have: Stock, makes: int, instead: Mapping[str, str] | None = None
) -> CostedOptions:
    """What to do when a bottle is short: four ways side by side, judged by all that a plan is judged by here, with
    containers and cost.

    Parameters
    ----------
    workshop : Workshop
    recipe : str or Recipe
    have : Mapping of str to float, Fraction or str
        As in `fills`.
    makes : int
        Containers that are wanted.
    instead : Mapping of str to str, optional
        What may stand in for what, beside the workshop's own table of swaps.

    Returns
    -------
    CostedOptions

    Raises
    ------
    UnknownNameError, QuantityError, RecipeError
        As `fills` and `shortage_options` do.
    """
    made = workshop.recipe(recipe)
    stock = known_names(workshop, have)
    held = {line.ingredient for line in made.lines}
    pairs = {row.ingredient: row.instead for row in reversed(workshop.swaps) if row.ingredient in held}
    for old in instead or {}:
        made.percent_of(old)
    others = {old: stand_in(workshop, old, new)[0] for old, new in {**pairs, **(instead or {})}.items()}
    grams, pieces = split_stock(made, stock)
    there = {**grams, **pieces}
    shortage = shortage_options(made, there, makes, others, judge_in(workshop))
    costs = tuple(
        cost_of_needs(workshop, option.exact_needs_g, pieces_for(made, option.containers), there)
        if option.possible and option.containers
        else None
        for option in shortage.options
    )
    more = what_i_have(made, stock, packs_on_sale(workshop, stock))
    return CostedOptions(shortage, costs, more, workshop.settings.currency)


def known_names(workshop: Workshop, have: Stock) -> dict[str, float | Fraction | str]:
    """What is in hand under the workshop's own spelling. Raises UnknownNameError for a name that nobody has heard of,
    or that is named twice.
    """
    things = [*workshop.ingredients, *workshop.containers, LABEL]
    spellings = {name_key(thing): thing for thing in things}
    found: dict[str, float | Fraction | str] = {}
    for name, amount in have.items():
        spelled = spellings.get(name_key(name))
        if spelled is None:
            raise UnknownNameError(
                f'there is no ingredient or container "{name}" in this workshop: {near_miss(name, sorted(things))}'
            )
        if spelled in found:
            raise UnknownNameError(f'"{spelled}" is named twice among what is there; add the two up')
        found[spelled] = amount
    return found
