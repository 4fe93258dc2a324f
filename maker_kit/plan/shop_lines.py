"""What the shop asks, for as much as one container holds."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from maker_kit.formula.batch import exact_fill_mass
from maker_kit.formula.recipe import Recipe
from maker_kit.units import exact_number
from maker_kit.workshop import Workshop


@dataclass(frozen=True)
class ShopLine:
    """One price in the shop, for as much as one container holds.

    Attributes
    ----------
    name : str
        ``250 mL``, ``250 mL on sale``, ``refill 500 mL``.
    price_cents : Fraction
        For the content of one container [cent], exactly.
    per_100_cents : Fraction
        For 100 mL or 100 g [cent], exactly.
    unit : {'mL', 'g'}
    pays : tuple of (int, int)
        Counts of batches, from–to, at which making costs no more.
    """

    name: str
    price_cents: Fraction
    per_100_cents: Fraction
    unit: str
    pays: tuple[tuple[int, int], ...] = ()

    @property
    def price(self) -> float:
        """Price for as much as one container holds [currency]."""
        return float(self.price_cents / 100)


def shop_lines(workshop: Workshop, recipe: Recipe) -> tuple[ShopLine, ...]:
    """Every price of the recipe's shop product, regular and on sale, for as much as one container holds.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe

    Returns
    -------
    tuple of ShopLine
        In the order of the table; a size of unknown basis (a bare "oz") is left out, since nobody knows how much it is.
    """
    if not recipe.shop_product:
        return ()
    fill_g = exact_fill_mass(recipe)
    fill_ml = fill_g / Fraction(str(recipe.density_g_per_ml))
    lines = []
    for size in workshop.shop_product(recipe.shop_product).sizes:
        unit, amount, content = "mL", size.size_ml, fill_ml
        if amount is None:
            unit, amount, content = "g", size.size_g, fill_g
        if amount is None:
            continue
        for suffix, cents in (("", size.price_cents), (" on sale", size.sale_price_cents)):
            if cents is not None:
                each = Fraction(cents) / exact_number(amount, "the size of a shop product")
                lines.append(ShopLine(size.name + suffix, each * content, each * 100, unit))
    return tuple(lines)
