"""What some needs cost in a workshop: what is still to pay beside what is in hand, and what they use up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.needs import BASE_UNITS_PER_G
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.errors import BasketError
from maker_kit.findings import Finding
from maker_kit.formula.batch import LABEL
from maker_kit.formula.notes.flags import Judge
from maker_kit.formula.recipe import Recipe
from maker_kit.money import money
from maker_kit.numbers import half_up
from maker_kit.plan.cost_breakdown import item_costs
from maker_kit.plan.plan import make_plan
from maker_kit.workshop import Workshop


@dataclass(frozen=True)
class NeedsCost:
    """The two costs of some needs.

    Attributes
    ----------
    cash_micros, used_micros : int or None
        What is still to pay beside what is in hand, and what is used up if all of it had been bought today [0.0001
        cent]; None where it is not on sale.
    basket : Basket or None
        The shopping list of what is still to pay; None where nothing is, or it is not on sale.
    why_not : str
        Why there is no cost; empty where there is one.
    there_micros : int or None
        What of `used_micros` stands for what is in hand, at the price of a list that buys all of it today, without fees
        [0.0001 cent]; 0 where nothing is, None where it is not known.
    """

    cash_micros: int | None
    used_micros: int | None
    basket: Basket | None
    why_not: str = ""
    there_micros: int | None = None

    @property
    def cash(self) -> str:
        """What is still to pay, in units of currency with two decimals; ``unknown`` where it is not on sale."""
        return _in_words(self.cash_micros)

    @property
    def used(self) -> str:
        """What is used up, in units of currency with two decimals; ``unknown`` where it is not on sale."""
        return _in_words(self.used_micros)

    @property
    def there(self) -> str:
        """What of it stands for what is in hand, in units of currency with two decimals; ``unknown`` where that is not
        known.
        """
        return _in_words(self.there_micros)

    def to_frame(self) -> pd.DataFrame:
        """The two costs as a table of one row."""
        return pd.DataFrame([{"still to pay": self.cash, "used up": self.used, "note": self.why_not}])


def _in_words(micros: int | None) -> str:
    return "unknown" if micros is None else money(micros)


def cost_of_needs(
    workshop: Workshop,
    needs_g: Mapping[str, Fraction],
    pieces: Mapping[str, int],
    in_hand: Mapping[str, Fraction] | None = None,
) -> NeedsCost:
    """What ingredients, containers and labels cost, with what is in hand taken off.

    The cheapest shopping list of what is missing, in whole units of 0.1 g, rounded up; the list for all of it gives
    what is used up. What is in hand is valued by that list too: of each item
    ``paid · taken from what is there / bought``.

    Parameters
    ----------
    workshop : Workshop
    needs_g : Mapping of str to Fraction
        Ingredients as bought [g].
    pieces : Mapping of str to int
        Containers and labels.
    in_hand : Mapping of str to Fraction, optional
        Grams of ingredients and pieces of the others.

    Returns
    -------
    NeedsCost
    """
    have = in_hand or {}
    full = {name: (mass, BASE_UNITS_PER_G) for name, mass in needs_g.items()}
    full |= {name: (Fraction(n), 1) for name, n in pieces.items()}
    whole = {name: math.ceil(amount * units) for name, (amount, units) in full.items() if amount > 0}
    exact = {name: Fraction(amount) * units for name, (amount, units) in full.items()}
    lacking = {name: max(amount - have.get(name, 0) * full[name][1], Fraction(0)) for name, amount in exact.items()}
    missing = {name: math.ceil(left) for name, left in lacking.items() if left}
    market = workshop.market.for_items(whole)
    paid, cash = None, None
    try:
        paid = cheapest_basket(market.for_items(missing), missing) if missing else None
        cash = paid.cost_micros if paid else 0
        everything = cheapest_basket(market, whole) if whole else None
    except BasketError as error:
        return NeedsCost(cash, None, paid, str(error))
    if everything is None:
        return NeedsCost(0, 0, None, there_micros=0)
    taken = (row for row in item_costs(market, everything, exact) if row.item in have)
    there = sum((row.value_micros(row.need - lacking.get(row.item, 0)) for row in taken), Fraction(0))
    return NeedsCost(cash, used_cost_micros(market, everything, exact), paid, there_micros=half_up(there))


def pieces_for(recipe: Recipe, containers: int) -> dict[str, int]:
    """One container and one label each."""
    return {recipe.container: containers, LABEL: containers} if containers else {}


def judge_in(workshop: Workshop) -> Judge:
    """A judge that runs everything a plan is judged by in this workshop: limits with its own, scents, preservation,
    scale, container, keeping, kits, known clashes, the avoid-list.
    """

    def judge(recipe: Recipe, containers: int) -> tuple[Finding, ...]:
        return make_plan(workshop, recipe, batch_size=containers).findings

    return judge
