"""The next best basket: what would be bought if one thing were forbidden or one rule of a supplier were gone, and in
what it differs.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from maker_kit.buying.basket.basket import Basket, restricted_basket
from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError
from maker_kit.buying.market import Market, Supplier
from maker_kit.buying.pricing import PricedBasket, bought_units, price_basket
from maker_kit.errors import BasketError, UnknownNameError
from maker_kit.money import money

MOST_CHANGES = 3
"""So many changes of a list are spelled out; the others are counted."""


@dataclass(frozen=True)
class Rivals:
    """Whom a basket is compared with.

    Attributes
    ----------
    market : Market
    basket : Basket
        A cheapest one of that market.
    deadline : float
        By time.monotonic() [s].
    stopped : callable, optional
        Asked between steps; once true, the rest is given up.
    """

    market: Market
    basket: Basket
    deadline: float
    stopped: Callable[[], bool] | None = None

    def under(self, restriction: Restriction) -> PricedBasket | None:
        """The cheapest basket under a restriction, with as few changes as its cost allows; None if there is none.

        Raises
        ------
        NotProvedError
            If the time is up.
        """
        found = self._solve(self.market, restriction)
        return found and self._closest(found, restriction)

    def with_terms(self, *terms: Supplier) -> Basket | None:
        """The cheapest basket if suppliers had these terms, priced by them; None if the list at hand is as cheap there.

        Raises
        ------
        NotProvedError
            If the time is up.
        """
        other = {supplier.name: supplier for supplier in terms}
        market = replace(self.market, suppliers=tuple(other.get(s.name, s) for s in self.market.suppliers))
        here = self.priced(self.basket.counts, market)
        found = self._solve(market, Restriction())
        return None if found is None or (here is not None and here.cost_micros <= found.cost_micros) else found

    def priced(self, counts: Mapping[str, int], market: Market | None = None) -> PricedBasket | None:
        """The exact cost of other counts; None if a supplier would not take or deliver it, or has no such pack."""
        try:
            return price_basket(market or self.market, counts)
        except (BasketError, UnknownNameError):
            return None

    def change(self, there: PricedBasket) -> str:
        """What the basket holds instead of another: ``1 × Ester 500 g instead of 3 × Ester 100 g``."""
        words = []
        for group in changes(self.market, self.basket.counts, there.counts):
            mine, theirs = (
                " and ".join(f"{counts[name]} × {name}" for name in group if counts.get(name))
                for counts in (self.basket.counts, there.counts)
            )
            both = f"{mine} instead of {theirs}" if mine and theirs else ""
            words.append(both or (f"{mine} on top" if mine else f"no {theirs}"))
        if len(words) > MOST_CHANGES + 1:
            words[MOST_CHANGES:] = [f"{len(words) - MOST_CHANGES} more changes"]
        return "; ".join(words)

    def parts(self, there: PricedBasket) -> str:
        """How it differs from another in goods, handling, delivery and tax: ``1.60 more goods, 7.90 less delivery``."""
        words = []
        for what in ("goods", "handling", "delivery", "tax"):
            here, other = (sum(getattr(o, f"{what}_micros") for o in b.orders) for b in (self.basket, there))
            if here != other:
                words.append(f"{money(abs(here - other))} {'more' if here > other else 'less'} {what}")
        return ", ".join(words)

    def costs(self, there: PricedBasket) -> str:
        """What another costs, and how much more: ``costs 62.60, 6.40 more``."""
        gap = there.cost_micros - self.basket.cost_micros
        told = f"{money(abs(gap))} {'more' if gap > 0 else 'less'}" if gap else "the same"
        return f"costs {money(there.cost_micros)}, {told}"

    def _solve(self, market: Market, restriction: Restriction) -> Basket | None:
        left = self.deadline - time.monotonic()
        if left <= 0:
            msg = "the time for it was up"
            raise NotProvedError(msg)
        try:
            return restricted_basket(
                market, self.basket.need, restriction, time_limit_s=left, tie_break=False, stopped=self.stopped
            )
        except ImpossibleNeedError:
            return None

    def _closest(self, rival: PricedBasket, restriction: Restriction) -> PricedBasket:
        """The rival with every change taken back that its cost does not need, the restriction being kept."""
        mine, need = self.basket.counts, self.basket.need
        for group in changes(self.market, mine, rival.counts):
            back = {**rival.counts, **{name: mine.get(name, 0) for name in group}}
            bought, priced = bought_units(self.market, back), self.priced(back)
            covered = all(bought.get(item, 0) >= units for item, units in need.items())
            if covered and priced and priced.cost_micros <= rival.cost_micros and keeps(priced, restriction):
                rival = priced
        return rival


def keeps(priced: PricedBasket, restriction: Restriction) -> bool:
    """Whether a basket keeps a restriction's largest counts, closed suppliers and subtotals below free delivery."""
    sellers = {order.supplier for order in priced.orders}
    freed = {order.supplier for order in priced.orders if order.free_delivery}
    few = all(priced.counts.get(name, 0) <= most for name, most in restriction.most.items())
    return few and not sellers & restriction.closed and not freed & restriction.below_free


def changes(market: Market, here: Mapping[str, int], there: Mapping[str, int]) -> list[list[str]]:
    """The packs whose counts differ, in groups that share items, in the order of the market."""
    groups: list[tuple[set[str], list[str]]] = []
    for pack in market.packs:
        if here.get(pack.name, 0) != there.get(pack.name, 0):
            touching = [group for group in groups if group[0] & pack.content.keys()]
            items = set(pack.content).union(*(group[0] for group in touching))
            names = [name for group in touching for name in group[1]]
            groups = [group for group in groups if group not in touching] + [(items, [*names, pack.name])]
    return [names for _, names in groups]
