"""The cheapest basket for a need: the shopping list, exact to the cent, or a sentence that says why there is none."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError, Problem, cheapest_counts
from maker_kit.buying.basket.ties import first_of_ties, settle_ties
from maker_kit.buying.market import Market
from maker_kit.buying.market_check import check_market, is_whole
from maker_kit.buying.pricing import (
    PricedBasket,
    amount,
    bought_units,
    delivery_cents,
    kilograms,
    price_basket,
    price_text,
)
from maker_kit.errors import BasketError, QuantityError
from maker_kit.money import MICROS_PER_CENT, cents_that_add_up
from maker_kit.names import near_miss

if TYPE_CHECKING:
    import pandas as pd

LARGEST_NEED = 10**8
"""Largest need of one item that is worked out [0.1 g or pieces]: ten tonnes. Beyond it the solver's tolerances are no
longer small beside one pack."""


@dataclass(frozen=True)
class Basket(PricedBasket):
    """A cheapest basket and what it was bought for.

    Attributes
    ----------
    need : Mapping of str to int
        Item to base units, items that are not needed left out.
    leftovers : Mapping of str to int
        What stays of every item bought [0.1 g or pieces]; of an item that nothing needs, all of it.
    settled : bool
        Whether it is proved to come first of all that cost the same.
    """

    need: Mapping[str, int]
    leftovers: Mapping[str, int]
    settled: bool = False

    def to_frame(self) -> pd.DataFrame:
        """The shopping list: supplier, pack, count, price each, cost; then the fees and the tax of every order, and the
        total.

        Money is text in units of currency with two decimals. Tax is not rounded in the sum; the tax rows are rounded so
        that the column adds up to its total.
        """
        import pandas as pd

        rows = [(x.supplier, x.pack, str(x.count), price_text(x.price_cents)) for x in self.lines]
        parts = [line.goods_cents * MICROS_PER_CENT for line in self.lines]
        for order in self.orders:
            fees = {"handling": order.handling_micros, "delivery": order.delivery_micros, "tax": order.tax_micros}
            for name, fee in fees.items():
                free = name == "delivery" and order.free_delivery
                if fee or free:
                    rows.append((order.supplier, "delivery (free from this subtotal)" if free else name, "", ""))
                    parts.append(fee)
        cents = cents_that_add_up(parts)
        table = [(*row, price_text(cent)) for row, cent in zip(rows, cents, strict=True)]
        table.append(("", "total", "", "", price_text(sum(cents))))
        return pd.DataFrame(table, columns=["supplier", "pack", "count", "price each", "cost"])


def checked_need(need: Mapping[str, int]) -> dict[str, int]:
    """The need with its zeros left out.

    Raises
    ------
    QuantityError
        If an amount is no whole number ≥ 0.
    BasketError
        If it is above `LARGEST_NEED`.
    """
    for item, units in need.items():
        if not is_whole(units):
            msg = f"{item}: a need of {units!r}; a need is a whole number of base units (0.1 g or pieces), 0 or more"
            raise QuantityError(msg)
        if units > LARGEST_NEED:
            msg = (
                f"{item}: a need of {units} base units is too large; shopping lists are worked out up to "
                f"{LARGEST_NEED} (0.1 g or pieces), so ask for fewer containers"
            )
            raise BasketError(msg)
    return {item: units.__index__() for item, units in need.items() if units}


def cheapest_basket(
    market: Market,
    need: Mapping[str, int],
    *,
    time_limit_s: float = 60.0,
    tie_break: bool = True,
    stopped: Callable[[], bool] | None = None,
    at_most_micros: float = math.inf,
) -> Basket:
    """The basket that covers a need for the least cash.

    Solved as an integer program by HiGHS with no gap left open, then priced again in whole numbers. It may hold more
    than is needed, even packs of items that nothing needs, where that makes it cheaper (free delivery, a least order, a
    price step). Among baskets of the same cost the order is: fewest suppliers, fewest packs, least leftover, then the
    basket with more of the pack that stands first in the tables, of the second, and so on (see
    `maker_kit.buying.basket.ties`).

    Parameters
    ----------
    market : Market
    need : Mapping of str to int
        Item to base units [0.1 g or pieces]; 0 is no need.
    time_limit_s : float
        Time for all of it [s].
    tie_break : bool
        Whether baskets of the same cost are told apart; without it, any of them.
    stopped : callable, optional
        Asked between steps; once true, it is given up.
    at_most_micros : float
        Dearer baskets are of no interest [0.0001 cent], such as where one at that cost is known: the search is shorter.

    Returns
    -------
    Basket
        Proved the cheapest. Where there was no time to prove which comes first of those that cost the same, one of them
        that is not `Basket.settled`.

    Raises
    ------
    QuantityError
        If a need is negative or no whole number, or the time limit is no time.
    ImpossibleNeedError
        If no basket covers the need: the item that nobody sells, the stock that does not reach, the heaviest step of
        delivery, a least order that what is on sale does not reach; without a sentence if none costs so little.
    NotProvedError
        If the least cost could not be proved, in time or exactly. Never an unproved answer.
    BasketError
        If the market has a fault, or the need is too large. The two errors before are BasketErrors too.
    """
    check_market(market)
    if not time_limit_s > 0:
        msg = f"a time limit of {time_limit_s} s; it is above 0"
        raise QuantityError(msg)
    limits = {"time_limit_s": time_limit_s, "stopped": stopped, "at_most_micros": at_most_micros}
    return restricted_basket(market, checked_need(need), Restriction(), tie_break=tie_break, **limits)


def restricted_basket(
    market: Market,
    need: Mapping[str, int],
    restriction: Restriction,
    *,
    time_limit_s: float,
    tie_break: bool,
    stopped: Callable[[], bool] | None = None,
    at_most_micros: float = math.inf,
) -> Basket:
    """`cheapest_basket` of a checked market and need under a restriction."""
    problem = Problem(market, need, restriction, time.monotonic() + min(time_limit_s, 1e9), stopped)
    _check_on_sale(market, need)
    try:
        counts, cost = cheapest_counts(problem, at_most_micros)
    except ImpossibleNeedError:
        if restriction != Restriction() or at_most_micros < math.inf:
            raise
        raise ImpossibleNeedError(_why_impossible(problem)) from None
    except NotProvedError as error:
        msg = f"The cheapest shopping list could not be proved: {error}. Allow more time, or ask for another count."
        raise NotProvedError(msg, error.least) from None
    basket = proved_basket(market, need, counts, cost)
    return settled_basket(problem, basket) if tie_break else basket


def settled_basket(problem: Problem, basket: Basket, *, tied: bool = False) -> Basket:
    """The basket that comes first of all at the cost of a proved one; that one, not settled, where there was no time to
    prove which it is, or the solver could not. `tied` where it is known that there is another.
    """
    if not basket.counts:
        return replace(basket, settled=True)
    try:
        cost = basket.cost_micros
        counts = first_of_ties(problem, cost) if tied else settle_ties(problem, basket.counts, cost)
        found = proved_basket(problem.market, problem.need, counts, basket.cost_micros)
    except (NotProvedError, ImpossibleNeedError):
        return basket
    return replace(found, settled=True)


def proved_basket(market: Market, need: Mapping[str, int], counts: Mapping[str, int], cost: int) -> Basket:
    """A basket that somebody found, priced again in whole numbers.

    Raises
    ------
    NotProvedError
        If it does not cover the need, or costs anything else [0.0001 cent] than was said.
    """
    msg = "The cheapest shopping list could not be proved: the solver's answer and the exact sum differ."
    try:
        basket = with_need(market, price_basket(market, counts), need)
    except BasketError as error:
        msg += f" {error}"
        raise NotProvedError(msg) from error
    if basket.cost_micros != cost or any(basket.leftovers.get(item, -1) < 0 for item in need):
        raise NotProvedError(msg)
    return basket


def with_need(market: Market, priced: PricedBasket, need: Mapping[str, int]) -> Basket:
    """A priced basket as the shopping list for a need that it covers."""
    left = {item: units - need.get(item, 0) for item, units in bought_units(market, priced.counts).items()}
    return Basket(priced.counts, priced.lines, priced.orders, priced.cost_micros, dict(need), left)


def _check_on_sale(market: Market, need: Mapping[str, int]) -> None:
    """Refuse an item that nobody sells, or whose whole stock does not reach."""
    for item, units in need.items():
        holding = [pack for pack in market.packs if item in pack.content]
        if not holding:
            known = {name for pack in market.packs for name in pack.content}
            near = near_miss(item, known) if known else "nothing is for sale at all"
            msg = f'Nobody sells "{item}" ({near}). Add a pack that holds it, or correct its name.'
            raise ImpossibleNeedError(msg)
        most = sum(math.inf if pack.stock is None else pack.stock * pack.content[item] for pack in holding)
        if most < units:
            wanted, there = amount(market, item, units), amount(market, item, int(most))
            msg = (
                f"The stock of {item} does not reach: {wanted} are needed, and all packs on sale hold {there}. "
                "Ask for fewer containers, or correct the stock."
            )
            raise ImpossibleNeedError(msg)


def _why_impossible(problem: Problem) -> str:
    """The rule of the market that a need breaks, found by leaving rules out."""
    market = problem.market

    def without(restriction: Restriction) -> Mapping[str, int] | None:
        try:
            return cheapest_counts(replace(problem, restriction=restriction))[0]
        except ImpossibleNeedError:
            return None

    try:
        counts = without(Restriction(any_weight=True))
        if counts is not None:
            heavy = "; ".join(_too_heavy(market, counts))
            return f"The order is too heavy to be delivered: {heavy}. Ask for fewer containers, or order in parts."
        if without(Restriction(no_least=True)) is None:
            everything = ", ".join(f"{amount(market, item, units)} of {item}" for item, units in problem.need.items())
            mend = "Ask for fewer containers, or correct the stock."
            return f"The stock does not reach for all items together: {everything}. {mend}"
    except NotProvedError:
        return "No shopping list covers this need."
    who = ", ".join(
        f"{s.name} (from {price_text(s.least_order_cents)})" for s in market.suppliers if s.least_order_cents
    )
    return (
        f"No order for it reaches a least order with the packs that are in stock: {who}. More containers would not "
        "help, as no more is on sale for them; correct the stock or the least order, or add packs of another supplier."
    )


def _too_heavy(market: Market, counts: Mapping[str, int]) -> Iterator[str]:
    """Every supplier that does not deliver its part of a basket, with both weights."""
    for supplier in market.suppliers:
        mine = [pack for pack in market.packs if pack.supplier == supplier.name]
        weight = sum(pack.shipping_dg * counts.get(pack.name, 0) for pack in mine)
        if supplier.delivery and delivery_cents(supplier, weight) is None:
            most = max(step for step, _ in supplier.delivery if step is not None)
            yield f"{supplier.name} delivers at most {kilograms(most)}, and this would weigh {kilograms(weight)}"
