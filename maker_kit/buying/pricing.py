"""What a basket costs, in whole numbers: the exact evaluator that every answer of the integer program has to pass."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.errors import BasketError, UnknownNameError
from maker_kit.money import MICROS_PER_CENT, money
from maker_kit.names import near_miss


@dataclass(frozen=True)
class BasketLine:
    """One row of a shopping list.

    Attributes
    ----------
    supplier, pack : str
    count : int
    price_cents : int
        Price of each at the step that `count` reaches [cent].
    """

    supplier: str
    pack: str
    count: int
    price_cents: int

    @property
    def goods_cents(self) -> int:
        """Count × price [cent], before tax."""
        return self.count * self.price_cents


@dataclass(frozen=True)
class Order:
    """One purchase at one supplier; every sum in whole ten-thousandths of a cent.

    Attributes
    ----------
    supplier : str
    goods_micros, handling_micros, delivery_micros : int
        Before tax.
    tax_micros : int
        On goods, and on handling and delivery where the supplier taxes them; not rounded.
    total_micros : int
        The sum of the four.
    weight_dg : int
        Shipping weight [0.1 g].
    free_delivery : bool
        Whether the goods reach the subtotal from which delivery is free.
    """

    supplier: str
    goods_micros: int
    handling_micros: int
    delivery_micros: int
    tax_micros: int
    total_micros: int
    weight_dg: int
    free_delivery: bool


@dataclass(frozen=True)
class PricedBasket:
    """A basket with its exact cost.

    Attributes
    ----------
    counts : Mapping of str to int
        Pack name to count, in the order of the market; packs not bought are left out.
    lines : tuple of BasketLine
    orders : tuple of Order
        One a supplier that is bought from, in the order of the market.
    cost_micros : int
        Cash for all orders [0.0001 cent].
    """

    counts: Mapping[str, int]
    lines: tuple[BasketLine, ...]
    orders: tuple[Order, ...]
    cost_micros: int


def threshold_goods_cents(supplier: Supplier, subtotal_cents: int) -> int:
    """Least goods before tax [cent] that reach a subtotal of that supplier, whichever way it counts tax.

    With tax, ``goods · (10000 + tax_bp) ≥ subtotal · 10000`` is solved for whole cents of goods.
    """
    if not supplier.threshold_after_tax:
        return subtotal_cents
    return -(-subtotal_cents * MICROS_PER_CENT // (MICROS_PER_CENT + supplier.tax_bp))


def delivery_cents(supplier: Supplier, weight_dg: int) -> int | None:
    """Price of delivery [cent] by the first step whose weight is not exceeded; None if the order is heavier than every
    step.
    """
    return next((price for most, price in supplier.delivery if most is None or weight_dg <= most), None)


def price_order(supplier: Supplier, goods_cents: int, weight_dg: int) -> Order:
    """Goods, handling, delivery and tax of one order.

    Parameters
    ----------
    supplier : Supplier
    goods_cents : int
        Before tax [cent].
    weight_dg : int
        Shipping weight [0.1 g].

    Returns
    -------
    Order

    Raises
    ------
    BasketError
        If the goods stay below the supplier's least order, or the order is heavier than the last step of delivery and
        delivery is not free. From the subtotal that makes delivery free on, any weight is taken as delivered: a table
        of parcel prices does not speak of those orders.
    """
    if goods_cents < threshold_goods_cents(supplier, supplier.least_order_cents):
        least = price_text(supplier.least_order_cents)
        msg = f"{supplier.name} takes no order below {least} of goods; this one holds {price_text(goods_cents)}"
        raise BasketError(msg)
    enough = supplier.free_from_cents
    free = enough is not None and goods_cents >= threshold_goods_cents(supplier, enough)
    delivery = 0 if free else delivery_cents(supplier, weight_dg)
    if delivery is None:
        heaviest = max(most for most, _ in supplier.delivery if most is not None)
        msg = f"{supplier.name} delivers at most {kilograms(heaviest)}; this order weighs {kilograms(weight_dg)}"
        raise BasketError(msg)
    fees = supplier.handling_cents + delivery
    tax = (goods_cents + (fees if supplier.tax_on_fees else 0)) * supplier.tax_bp
    parts = [cents * MICROS_PER_CENT for cents in (goods_cents, supplier.handling_cents, delivery)]
    return Order(supplier.name, *parts, tax, sum(parts) + tax, weight_dg, free)


def price_basket(market: Market, counts: Mapping[str, int]) -> PricedBasket:
    """The exact cost of a basket, whatever it covers.

    Parameters
    ----------
    market : Market
    counts : Mapping of str to int
        Pack name to count; zeros are left out.

    Returns
    -------
    PricedBasket

    Raises
    ------
    UnknownNameError
        If a pack is not in the market.
    BasketError
        If a count is no whole number ≥ 0, more is taken than the stock or less than the least count that is sold, or
        a supplier does not take or deliver the order.
    """
    packs = {pack.name: pack for pack in market.packs}
    for name, count in counts.items():
        if name not in packs:
            msg = f'the market has no pack "{name}": {near_miss(name, packs)}'
            raise UnknownNameError(msg)
        _check_count(packs[name], count)
    lines = tuple(
        BasketLine(pack.supplier, pack.name, counts[pack.name], pack.price_cents(counts[pack.name]))
        for pack in market.packs
        if counts.get(pack.name)
    )
    orders = []
    for supplier in market.suppliers:
        mine = [line for line in lines if line.supplier == supplier.name]
        if mine:
            weight = sum(line.count * packs[line.pack].shipping_dg for line in mine)
            orders.append(price_order(supplier, sum(line.goods_cents for line in mine), weight))
    counts = {line.pack: line.count for line in lines}
    return PricedBasket(counts, lines, tuple(orders), sum(order.total_micros for order in orders))


def _check_count(pack: Pack, count: int) -> None:
    if isinstance(count, bool) or not isinstance(count, int) or count < 0:
        msg = f"{pack.name}: {count!r} of them; a count is a whole number, 0 or more"
        raise BasketError(msg)
    if pack.stock is not None and count > pack.stock:
        msg = f"{pack.name}: {count} of them, and the stock is {pack.stock}"
        raise BasketError(msg)
    if 0 < count < pack.prices[0][0]:
        msg = f"{pack.name}: {count} of them, and it is sold from {pack.prices[0][0]} on"
        raise BasketError(msg)


def bought_units(market: Market, counts: Mapping[str, int]) -> dict[str, int]:
    """Base units of every item that a basket holds [0.1 g or pieces]."""
    bought: dict[str, int] = {}
    for pack in market.packs:
        if count := counts.get(pack.name):
            for item, units in pack.content.items():
                bought[item] = bought.get(item, 0) + units * count
    return bought


def price_text(cents: int) -> str:
    """An amount [cent] in units of currency with two decimals: ``'56.20'``."""
    return money(cents * MICROS_PER_CENT)


def kilograms(weight_dg: int) -> str:
    """A weight [0.1 g] in words: ``'31.5 kg'``."""
    grams, rest = divmod(weight_dg, 10)
    text = f"{grams // 1000}.{grams % 1000:03d}{rest}".rstrip("0").rstrip(".")
    return f"{text} kg"


def amount(market: Market, item: str, units: int) -> str:
    """Base units of an item in words: ``'258.5 g'`` or ``'4 pieces'``."""
    if item in market.pieces:
        return f"{units} piece{'' if units == 1 else 's'}"
    return f"{units // 10}.{units % 10} g"
