"""What is for sale: packs and kits, price steps, handling, delivery. Counts are whole base units (0.1 g, or pieces);
money is whole ten-thousandths of a cent.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.names import near_miss


@dataclass(frozen=True)
class Supplier:
    """Who sells, and what an order costs beside the goods.

    Attributes
    ----------
    name : str
    delivery : tuple of (int or None, int)
        Steps of delivery by weight: heaviest order [0.1 g], None for any weight, and price [cent]; the first row whose
        weight is not exceeded counts.
    handling_cents : int
        Paid once if anything is bought, also when delivery is free [cent].
    free_from_cents : int or None
        Goods subtotal from which delivery (not handling) is free [cent].
    least_order_cents : int
        Least goods subtotal of an order [cent].
    tax_bp : int
        Tax on goods [0.01 %]; 0 where prices include it.
    tax_on_fees : bool
        Whether handling and delivery are taxed too.
    threshold_after_tax : bool
        Whether `free_from_cents` and `least_order_cents` count goods with their tax (True) or before it (False).
    delivery_high : tuple of (int or None, int)
        The same steps of weight at the most that delivery may cost [cent], where it is known only as low–high;
        `delivery` then holds the least. Empty where the price is known.
    invented : bool
        Whether one of these prices is marked as invented.
    """

    name: str
    delivery: tuple[tuple[int | None, int], ...]
    handling_cents: int = 0
    free_from_cents: int | None = None
    least_order_cents: int = 0
    tax_bp: int = 0
    tax_on_fees: bool = True
    threshold_after_tax: bool = False
    delivery_high: tuple[tuple[int | None, int], ...] = ()
    invented: bool = False

    @property
    def delivery_known(self) -> bool:
        """Whether delivery has one price, and not a low–high."""
        return not self.delivery_high or self.delivery_high == self.delivery

    def at_high_delivery(self) -> Supplier:
        """The same supplier with delivery at the most it may cost; itself where the price is known.

        Raises
        ------
        QuantityError
            If the dearest steps have other weights than the cheapest, or one of them costs less.
        """
        if self.delivery_known:
            return replace(self, delivery_high=())
        if [most for most, _ in self.delivery] != [most for most, _ in self.delivery_high]:
            msg = (
                f"{self.name}: delivery at its cheapest and at its dearest have different steps of weight; "
                "give both prices for each step"
            )
            raise QuantityError(msg)
        if any(dear < cheap for (_, cheap), (_, dear) in zip(self.delivery, self.delivery_high, strict=True)):
            msg = f"{self.name}: delivery at its dearest costs less than at its cheapest; exchange the two prices"
            raise QuantityError(msg)
        return replace(self, delivery=self.delivery_high, delivery_high=())


@dataclass(frozen=True)
class Pack:
    """One thing that can be put into an order: a pack of one item, or a kit of several.

    Attributes
    ----------
    name : str
        Unique in the market, such as ``N: Glycerin 1 kg``.
    supplier : str
    content : Mapping of str to int
        Item name to base units in one pack [0.1 g or pieces].
    prices : tuple of (int, int)
        Steps: from this count on, price of each [cent], all of them at the price of the reached step; a step cannot be
        declined.
    shipping_dg : int
        Shipping weight of one pack [0.1 g].
    stock : int or None
        Most that can be bought; None where there is no bound.
    kit : bool
    invented : bool
        Whether its price is marked as invented.
    size : str
        How much is in it, as the maker wrote it: ``1 kg``; empty for a kit.
    """

    name: str
    supplier: str
    content: Mapping[str, int]
    prices: tuple[tuple[int, int], ...]
    shipping_dg: int = 0
    stock: int | None = None
    kit: bool = False
    invented: bool = False
    size: str = ""

    def price_cents(self, count: int) -> int:
        """Price of each pack [cent] when `count` of them are bought (count ≥ 1)."""
        return next(price for start, price in reversed(self.prices) if count >= start)

    def goods_cents(self, count: int) -> int:
        """Price of `count` packs together [cent]; 0 for none, and for fewer than are sold."""
        return count * self.price_cents(count) if count >= self.prices[0][0] else 0


@dataclass(frozen=True)
class Market:
    """All suppliers and packs, in the order of the maker's tables.

    Attributes
    ----------
    suppliers : tuple of Supplier
    packs : tuple of Pack
    pieces : frozenset of str
        Items counted in pieces (containers, labels); all others are counted in 0.1 g.
    """

    suppliers: tuple[Supplier, ...]
    packs: tuple[Pack, ...]
    pieces: frozenset[str] = frozenset()

    def supplier(self, name: str) -> Supplier:
        """The supplier of that name.

        Raises
        ------
        UnknownNameError
            If there is none.
        """
        found = {s.name: s for s in self.suppliers}
        if name not in found:
            msg = f'the market has no supplier "{name}": {near_miss(name, found)}'
            raise UnknownNameError(msg)
        return found[name]

    @property
    def delivery_known(self) -> bool:
        """Whether the delivery of everyone who sells here has one price, and not a low–high."""
        selling = {pack.supplier for pack in self.packs}
        return all(s.delivery_known for s in self.suppliers if s.name in selling)

    def at_high_delivery(self) -> Market:
        """The same market with every delivery at the most it may cost; as it stands, it is at the least.

        Raises
        ------
        QuantityError
            As `Supplier.at_high_delivery` does.
        """
        return replace(self, suppliers=tuple(s.at_high_delivery() for s in self.suppliers))

    def for_items(self, items: Iterable[str]) -> Market:
        """The same market without the packs that hold none of some items.

        A maker may buy a second bottle to reach free delivery, but nothing that the recipe does not use.

        Parameters
        ----------
        items : iterable of str

        Returns
        -------
        Market
        """
        places = {place for item in set(items) for place in self._places.get(item, ())}
        return replace(self, packs=tuple(self.packs[place] for place in sorted(places)))

    def holding(self, item: str) -> tuple[Pack, ...]:
        """The packs and kits that hold an item, in their order."""
        return tuple(self.packs[place] for place in self._places.get(item, ()))

    @cached_property
    def _places(self) -> Mapping[str, tuple[int, ...]]:
        """Where the packs stand that hold an item: looked up once, for a large market is asked for every recipe."""
        found: dict[str, list[int]] = {}
        for place, pack in enumerate(self.packs):
            for item in pack.content:
                found.setdefault(item, []).append(place)
        return {item: tuple(places) for item, places in found.items()}
