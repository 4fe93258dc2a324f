"""What a basket costs, in whole numbers: the exact evaluator that every answer of the integer program has to pass."""

from __future__ import annotations

import operator
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from maker_kit.buying.market import MICROS_PER_CENT, Market, Pack, Supplier
from maker_kit.errors import BasketError
from maker_kit.money import cents_that_add_up as cents_that_add_up
from maker_kit.money import money as money
from maker_kit.names import near_miss

"""Cents in one unit of currency."""


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
    """Price of delivery [cent] by the first step whose weight is not exceeded; None if the order is heavier than every step."""
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
        If the goods stay below the supplier's least order, or the order is heavier than the last step of delivery and delivery is not free. From the subtotal that makes
        delivery free on, any weight is taken as delivered: a table of parcel prices does not speak of those orders.
    """
    if goods_cents < threshold_goods_cents(supplier, supplier.least_order_cents):
        msg = f"{supplier.name} takes no order below {money(supplier.least_order_cents * MICROS_PER_CENT)} of goods; this one holds {money(goods_cents * MICROS_PER_CENT)}"
        raise BasketError(msg)
    free = supplier.free_from_cents is not None and goods_cents >= threshold_goods_cents(
        supplier, supplier.free_from_cents
    )
    delivery = 0 if free else delivery_cents(supplier, weight_dg)
    if delivery is None:
        heaviest = max(most for most, _ in supplier.delivery if most is not None)
        msg = f"{supplier.name} delivers at most {kilograms(heaviest)}; this order weighs {kilograms(weight_dg)}"
        raise BasketError(msg)
    fees = supplier.handling_cents + delivery
    tax = (goods_cents + (fees if supplier.tax_on_fees else 0)) * supplier.tax_bp
    return Order(
        supplier.name,
        goods_cents * MICROS_PER_CENT,
        supplier.handling_cents * MICROS_PER_CENT,
        delivery * MICROS_PER_CENT,
        tax,
        (goods_cents + fees) * MICROS_PER_CENT + tax,
        weight_dg,
        free,
    )


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
    BasketError
        If a pack is not in the market, a count is no whole number ≥ 0, more is taken than the stock or less than the least count that is sold, or a supplier does not take
        or deliver the order.
    """
    packs = {pack.name: pack for pack in market.packs}
    for name, count in counts.items():
        if name not in packs:
            msg = f'the market has no pack "{name}": {near_miss(name, packs)}'
            raise BasketError(msg)
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
    return PricedBasket(
        {line.pack: line.count for line in lines}, lines, tuple(orders), sum(order.total_micros for order in orders)
    )


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
        for item, units in pack.content.items():
            if counts.get(pack.name):
                bought[item] = bought.get(item, 0) + units * counts[pack.name]
    return bought


def check_market(market: Market) -> None:
    """Refuse a market that no basket can be computed from.

    Raises
    ------
    BasketError
        With the first fault found: a name twice, a pack of an unknown supplier, a pack without content, a price that is negative, missing or rises with the count, steps out of
        order, a supplier that sells packs and has no delivery step, a negative fee, weight, stock or tax, or anything of these that is no whole number. A price of 0 is
        something given away, and is allowed.
    """
    _check_names("supplier", [supplier.name for supplier in market.suppliers])
    _check_names("pack", [pack.name for pack in market.packs])
    known = {supplier.name for supplier in market.suppliers}
    selling = {pack.supplier for pack in market.packs}
    for supplier in market.suppliers:
        fault = _fault_of_supplier(supplier, sells=supplier.name in selling)
        if fault:
            msg = f"{supplier.name}: {fault}"
            raise BasketError(msg)
    for pack in market.packs:
        fault = _fault_of_pack(pack)
        if pack.supplier not in known:
            fault = f'its supplier "{pack.supplier}" is not in the market: {near_miss(pack.supplier, known)}'
        if fault:
            msg = f"{pack.name}: {fault}"
            raise BasketError(msg)


def _check_names(what: str, names: Sequence[str]) -> None:
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        msg = f'two entries of the market are called "{twice}"; every {what} needs a name of its own'
        raise BasketError(msg)


def _whole(*numbers: object) -> bool:
    """Whether all are whole numbers, 0 or more (numpy's too, but neither True nor 3.0)."""
    return all(
        not isinstance(number, bool) and hasattr(number, "__index__") and operator.index(number) >= 0
        for number in numbers
    )


def _fault_of_supplier(supplier: Supplier, *, sells: bool) -> str:
    if not _whole(supplier.handling_cents, supplier.least_order_cents, supplier.tax_bp, supplier.free_from_cents or 0):
        return "handling, tax, least order and the subtotal of free delivery are whole numbers, 0 or more"
    if any(not _whole(most or 0, price) for most, price in supplier.delivery):
        return "weights and prices of delivery are whole numbers, 0 or more"
    if sells and not supplier.delivery:
        return "it sells packs and has no delivery step; give one, at price 0 where goods are carried home"
    return ""


def _fault_of_pack(pack: Pack) -> str:
    starts, prices = [start for start, _ in pack.prices], [price for _, price in pack.prices]
    if not prices:
        return "it has no price"
    if not _whole(*prices, *starts):
        return f"prices and the counts they start from are whole numbers, 0 or more; found {pack.prices!r}"
    if starts[0] < 1 or any(a >= b for a, b in pairwise(starts)):
        return f"price steps start from 1 or more and rise; found {starts!r}"
    if any(a < b for a, b in pairwise(prices)):
        return f"its price rises with the count, from {money(min(prices) * MICROS_PER_CENT)} to {money(max(prices) * MICROS_PER_CENT)} each; a larger count never costs more each"
    if not pack.content or not _whole(*pack.content.values()) or min(pack.content.values()) < 1:
        return "its content is at least one whole base unit of every item in it"
    if not _whole(pack.shipping_dg, pack.stock or 0):
        return "shipping weight and stock are whole numbers, 0 or more"
    return ""


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
