"""What the questions look at: the rows of all tables as they stand, and the workshop that was made of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.records import Record, Records
from maker_kit.workshop.slips.usual import MONEY_LIKE_EURO, Usual, usual
from maker_kit.workshop.workshop import Workshop


@dataclass(frozen=True)
class Held:
    """The tables of a workshop without faults, and the workshop.

    Attributes
    ----------
    shop : Workshop
    tables : Mapping of TableSpec to Records
    lines, steps : Mapping of str to Records
        Those of each recipe, by its name; no steps where nobody wrote them down.
    today : date
    """

    shop: Workshop
    tables: Mapping[TableSpec, Records]
    lines: Mapping[str, Records]
    steps: Mapping[str, Records]
    today: date

    def every(self) -> Iterator[Record]:
        """All rows of all tables."""
        for records in (*self.tables.values(), *self.lines.values(), *self.steps.values()):
            yield from records

    def usual_price(self, what: str, of: str = "") -> Usual | None:
        """The usual range of a price; None where none is on file, and in a currency whose unit is worth much more or
        much less than a euro.
        """
        return usual(what, of) if self.shop.settings.currency in MONEY_LIKE_EURO else None

    @cached_property
    def functions(self) -> dict[str, str]:
        """What each ingredient does, by its folded name."""
        return {name_key(name): thing.function for name, thing in self.shop.ingredients.items()}

    @cached_property
    def recipes_of_product(self) -> dict[str, list[Recipe]]:
        """The recipes that stand against a shop product, by its folded name."""
        found: dict[str, list[Recipe]] = {}
        for recipe in self.shop.recipes.values():
            if recipe.shop_product:
                found.setdefault(name_key(recipe.shop_product), []).append(recipe)
        return found

    @cached_property
    def spelled(self) -> dict[str, str]:
        """Ingredients and containers by their folded names."""
        return {name_key(n): n for n in (*self.shop.ingredients, *self.shop.containers)}
