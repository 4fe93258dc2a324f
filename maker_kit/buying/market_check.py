"""What a market must keep for a basket to be computed from it: names of their own, whole numbers, prices that never
rise with the count.
"""

from __future__ import annotations

import operator
from collections.abc import Iterator, Sequence
from itertools import pairwise

from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.pricing import price_text
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.names import near_miss

LARGEST_MONEY_CENTS = 10**10
"""Largest price, fee or subtotal that is worked out [cent]: a hundred million. The integer program reckons in floats of
sixteen digits, and 0.0001 cent of such an amount is the sixteenth."""


def check_market(market: Market) -> None:
    """Refuse a market that no basket can be computed from, with the first fault found.

    Parameters
    ----------
    market : Market

    Raises
    ------
    UnknownNameError
        If a pack's supplier is not in the market, or two suppliers or two packs have one name.
    QuantityError
        If a pack has no content or no price, a price is negative or rises with the count, steps are out of order, a
        supplier that sells packs has no delivery step, a fee, weight, stock or tax is negative, anything of these is
        no whole number, or an amount of money is above `LARGEST_MONEY_CENTS`. A price of 0 is something given away, and
        is allowed.
    """
    _check_names("supplier", [supplier.name for supplier in market.suppliers])
    _check_names("pack", [pack.name for pack in market.packs])
    known = {supplier.name for supplier in market.suppliers}
    selling = {pack.supplier for pack in market.packs}
    for pack in market.packs:
        if pack.supplier not in known:
            near = near_miss(pack.supplier, known)
            msg = f'{pack.name}: its supplier "{pack.supplier}" is not in the market: {near}'
            raise UnknownNameError(msg)
    checked = [(s.name, _faults_of_supplier(s, sells=s.name in selling)) for s in market.suppliers]
    for name, faults in (*checked, *((pack.name, _faults_of_pack(pack)) for pack in market.packs)):
        for fault in faults:
            msg = f"{name}: {fault}"
            raise QuantityError(msg)


def is_whole(*numbers: object) -> bool:
    """Whether all are whole numbers, 0 or more (numpy's too, but neither True nor 3.0)."""
    return all(not isinstance(n, bool) and hasattr(n, "__index__") and operator.index(n) >= 0 for n in numbers)


def _check_names(what: str, names: Sequence[str]) -> None:
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        msg = f'two entries of the market are called "{twice}"; every {what} needs a name of its own'
        raise UnknownNameError(msg)


def _faults_of_supplier(supplier: Supplier, *, sells: bool) -> Iterator[str]:
    if not is_whole(
        supplier.handling_cents, supplier.least_order_cents, supplier.tax_bp, supplier.free_from_cents or 0
    ):
        yield "handling, tax, least order and the subtotal of free delivery are whole numbers, 0 or more"
    if any(not is_whole(most or 0, price) for most, price in supplier.delivery):
        yield "weights and prices of delivery are whole numbers, 0 or more"
    fees = {
        "its handling fee": supplier.handling_cents,
        "its delivery": max((price for _, price in supplier.delivery), default=0),
        "its subtotal of free delivery": supplier.free_from_cents or 0,
        "its least order": supplier.least_order_cents,
    }
    yield from (_too_much(what, cents) for what, cents in fees.items() if cents > LARGEST_MONEY_CENTS)
    if sells and not supplier.delivery:
        yield "it sells packs and has no delivery step; give one, at price 0 where goods are carried home"


def _too_much(what: str, cents: int) -> str:
    most = price_text(LARGEST_MONEY_CENTS)
    return f"{what} is {price_text(cents)}; amounts are worked out up to {most}, so look for a comma that slipped"


def _faults_of_pack(pack: Pack) -> Iterator[str]:
    starts, prices = [start for start, _ in pack.prices], [price for _, price in pack.prices]
    if not prices:
        yield "it has no price"
    if not is_whole(*prices, *starts):
        yield f"prices and the counts they start from are whole numbers, 0 or more; found {pack.prices!r}"
    if max(prices) > LARGEST_MONEY_CENTS:
        yield _too_much("its price", max(prices))
    if starts[0] < 1 or any(a >= b for a, b in pairwise(starts)):
        yield f"price steps start from 1 or more and rise; found {starts!r}"
    if any(a < b for a, b in pairwise(prices)):
        low, high = price_text(min(prices)), price_text(max(prices))
        yield f"its price rises with the count, from {low} to {high} each; a larger count never costs more each"
    if not pack.content or not is_whole(*pack.content.values()) or min(pack.content.values()) < 1:
        yield "its content is at least one whole base unit of every item in it"
    if not is_whole(pack.shipping_dg, pack.stock or 0):
        yield "shipping weight and stock are whole numbers, 0 or more"
