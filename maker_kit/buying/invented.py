"""Prices that nobody asks: those that came with the demo into a workshop of one's own, counted where they cost
something.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from maker_kit.buying.market import Market
from maker_kit.buying.pricing import PricedBasket
from maker_kit.findings import Finding, look

MOST_NAMED = 3
"""How many of them a sentence names before it counts the rest."""


@dataclass(frozen=True)
class InventedPrices:
    """How many of some prices are invented.

    Attributes
    ----------
    names : tuple of str
        Whose price is invented: packs and kits, and suppliers for their handling and delivery.
    of : int
        How many prices there are, invented or not.
    where : str
        What they are the prices of: ``in this list``.
    """

    names: tuple[str, ...]
    of: int
    where: str

    @property
    def count(self) -> int:
        """How many are invented."""
        return len(self.names)

    def words(self) -> str:
        """The count in words: ``9 of 11 prices in this list are invented``; empty where none is."""
        if not self.names:
            return ""
        every = "the only price" if self.of == 1 else f"all {self.of} prices" if self.count == self.of else ""
        counted = f"{every} {self.where}" if every else f"{self.count} of {self.of} prices {self.where}"
        return f"{counted} {'is' if self.count == 1 else 'are'} invented"


def invented_in_list(market: Market, basket: PricedBasket) -> InventedPrices:
    """The invented ones among the prices of a shopping list: a pack or kit is one, the fees of an order another.

    Parameters
    ----------
    market : Market
    basket : PricedBasket
        Bought from it.

    Returns
    -------
    InventedPrices
    """
    packs = {pack.name: pack for pack in market.packs}
    things = [(line.pack, packs[line.pack].invented) for line in basket.lines]
    things += [(order.supplier, market.supplier(order.supplier).invented) for order in basket.orders]
    return InventedPrices(tuple(name for name, marked in things if marked), len(things), "in this list")


def invented_for_sale(market: Market, shop: Iterable[tuple[str, bool]] = ()) -> InventedPrices:
    """The invented ones among all prices of a market: of every pack and kit, the fees of whoever sells there, and
    the sizes of the shop product.
    """
    selling = {pack.supplier for pack in market.packs}
    things = [(pack.name, pack.invented) for pack in market.packs]
    things += [(one.name, one.invented) for one in market.suppliers if one.name in selling]
    things += shop
    return InventedPrices(tuple(name for name, marked in things if marked), len(things), "on file for this recipe")


def invented_findings(market: Market, shop: Iterable[tuple[str, bool]] = ()) -> tuple[Finding, ...]:
    """A note where prices of what a recipe takes are invented; none where none is.

    Parameters
    ----------
    market : Market
        Of what the recipe takes: `maker_kit.plan.plan.Plan.market`.
    shop : iterable of (str, bool)
        What could be bought instead, and whether its price is invented.
    """
    found = invented_for_sale(market, shop)
    if not found.names:
        return ()
    named, more = ", ".join(found.names[:MOST_NAMED]), found.count - MOST_NAMED
    words = found.words()
    return (
        look(
            "cost.invented",
            found.names,
            f"{words[0].upper()}{words[1:]}: {named}{f' and {more} more' if more > 0 else ''}. "
            "They came with the demo, and nobody asks them: what it costs here is no real price.",
            level="unknown",
            subject="invented prices",
            next_step="write your own prices over them in packs.csv, kits.csv, suppliers.csv, delivery.csv and "
            "shop_products.csv; "
            "where a price happens to be yours, delete the word",
        ),
    )
