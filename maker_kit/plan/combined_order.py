"""One order for several recipes: the shopping list, what it saves against ordering one by one, and each recipe's fair
share.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import factorial

import pandas as pd

from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError
from maker_kit.buying.market import Market
from maker_kit.errors import QuantityError
from maker_kit.money import MICROS_PER_CENT, cents_that_add_up, money
from maker_kit.plan.plan import Plan
from maker_kit.workshop import Workshop

MOST_FOR_SHAPLEY = 6
"""Recipes up to which every group of them is priced: 63 shopping lists for six."""
SHAPLEY = (
    "Shapley value: what a recipe adds to the cost, averaged over all orders in which the recipes could have joined "
    "(L. S. Shapley, A value for n-person games, 1953; from memory)"
)
PROPORTIONAL = "in proportion to what each recipe costs ordered alone (common practice, no source)"


@dataclass(frozen=True)
class OrderShare:
    """One recipe's part in a combined order.

    Attributes
    ----------
    title : str
    batches, containers : int
    alone_micros : int
        What it costs ordered alone [0.0001 cent].
    share_micros : Fraction
        Its fair share of the whole [0.0001 cent], exactly.
    """

    title: str
    batches: int
    containers: int
    alone_micros: int
    share_micros: Fraction


@dataclass(frozen=True)
class CombinedOrder:
    """Several recipes bought for in one go.

    Attributes
    ----------
    shares : tuple of OrderShare
        In the order asked for; they add up to `cost_micros` exactly.
    baskets : tuple of Basket
        What to buy: one list, or several to be ordered apart where that is cheaper (two light parcels may cost less
        than a heavy one).
    groups : tuple of tuple of int
        For every list the recipes it is for, as places in `shares`.
    cost_micros : int
        What you pay for all of it [0.0001 cent].
    rule : str
        How the shares were found, with its source.
    stock_short : bool
        Whether a stock does not reach for every recipe's own cheapest list at once, so that ordering one by one would
        cost more than it seems.
    """

    shares: tuple[OrderShare, ...]
    baskets: tuple[Basket, ...]
    groups: tuple[tuple[int, ...], ...]
    cost_micros: int
    rule: str
    stock_short: bool = False

    @property
    def one_by_one_micros(self) -> int:
        """What the recipes cost ordered one by one, each as if the others were not [0.0001 cent]."""
        return sum(share.alone_micros for share in self.shares)

    @property
    def saving_micros(self) -> int:
        """One by one less together [0.0001 cent]; never below 0, except where `stock_short`."""
        return self.one_by_one_micros - self.cost_micros

    def sentence(self) -> str:
        """The saving in words."""
        way = "in one order"
        if len(self.baskets) > 1:
            way = f"in {len(self.baskets)} orders, since a single one would cost more or is not to be had"
        saved = f"{money(abs(self.saving_micros))} {'saved' if self.saving_micros >= 0 else 'more'}"
        text = f"Together {money(self.cost_micros)} {way}; one by one {money(self.one_by_one_micros)}: {saved}."
        if self.stock_short:
            text += " A stock does not reach for every recipe's own cheapest list at once, "
            text += "so one by one would cost more than that."
        return text

    def to_frame(self) -> pd.DataFrame:
        """The shares as a table: recipe, batches, containers, alone, fair share, saves; with the total. Money is text;
        the shares are rounded so that they add up.
        """
        cents = cents_that_add_up([share.share_micros for share in self.shares])
        rows = [
            (s.title, s.batches, s.containers, s.alone_micros, c * MICROS_PER_CENT)
            for s, c in zip(self.shares, cents, strict=True)
        ]
        _, *columns = zip(*rows, strict=True)
        rows.append(("total", *map(sum, columns)))
        return pd.DataFrame(
            [(*row, money(alone), money(share), money(alone - share)) for *row, alone, share in rows],
            columns=["recipe", "batches", "containers", "alone", "fair share", "saves"],
        )


@dataclass(frozen=True)
class _Way:
    """The cheapest way found to buy for a group: one list or several, and all that is bought."""

    cost_micros: int
    lists: tuple[tuple[tuple[int, ...], Basket], ...]
    counts: Mapping[str, int]


def combined_order(
    workshop: Workshop,
    plans: Sequence[Plan],
    *,
    basket: Callable[..., Basket] = cheapest_basket,
    progress: Callable[[int, int], None] | None = None,
) -> CombinedOrder:
    """The cheapest way to buy for several recipes at once, and what each of them should bear.

    The exact needs of all recipes are added item by item and rounded up once. Up to `MOST_FOR_SHAPLEY` recipes every
    group of them is priced, and the shares are the Shapley value. A group may always be
    ordered in parts, so no group costs more than its parts do, and hence no recipe bears more than it would alone.
    Beyond that number of recipes, the shares are in proportion to what each costs alone.

    Parameters
    ----------
    workshop : Workshop
    plans : sequence of Plan
        Each with its batch size and its count of batches.
    basket : callable
        Finds a cheapest basket as `maker_kit.buying.basket.basket.cheapest_basket` does: ``basket(market, need,
        tie_break=…)``.
    progress : callable, optional
        ``progress(done, total)``, called after every list.

    Returns
    -------
    CombinedOrder

    Raises
    ------
    QuantityError
        If no plan is given, or one is of another workshop.
    BasketError
        If nothing on sale covers the need, of one recipe or of all together, or a list could not be proved the
        cheapest.

    Notes
    -----
    A stock limit can break the promises above: two recipes may each count on the same last pack.
    `CombinedOrder.stock_short` says so.
    """
    plans = tuple(plans)
    if not plans:
        raise QuantityError("a combined order is for one recipe or more; choose some")
    for plan in plans:
        if plan.workshop is not workshop and plan.workshop != workshop:
            raise QuantityError(
                f"{plan.recipe.title} is set in another workshop ({plan.workshop.folder}); "
                "one order is made from one workshop's tables"
            )
    everyone = (1 << len(plans)) - 1
    ones = [1 << k for k in range(len(plans))]
    shapley = len(plans) <= MOST_FOR_SHAPLEY
    groups = sorted(range(1, everyone + 1), key=lambda g: (g.bit_count(), g)) if shapley else [*ones, everyone]
    ways: dict[int, _Way] = {}
    stock = {pack.name: pack.stock for pack in workshop.market.packs if pack.stock is not None}
    for done, group in enumerate(groups, start=1):
        ways[group] = _way(workshop.market, plans, group, ways, stock, basket, last=group == everyone)
        if progress:
            progress(done, len(groups))
    cost = {group: way.cost_micros for group, way in ways.items()}
    shares = _shapley(len(plans), cost) if shapley else _proportional([cost[one] for one in ones], cost[everyone])
    return CombinedOrder(
        tuple(
            OrderShare(p.recipe.title, p.batches, p.containers, cost[one], share)
            for p, one, share in zip(plans, ones, shares, strict=True)
        ),
        tuple(bought for _, bought in ways[everyone].lists),
        tuple(members for members, _ in ways[everyone].lists),
        cost[everyone],
        SHAPLEY if shapley else PROPORTIONAL,
        _merged([ways[one].counts for one in ones], stock) is None,
    )


def combined_need(plans: Sequence[Plan]) -> dict[str, int]:
    """What several plans need together [0.1 g or pieces]: the exact needs added item by item, then rounded up."""
    exact: dict[str, Fraction] = {}
    for plan in plans:
        for item, each in plan.needs.items():
            exact[item] = exact.get(item, Fraction(0)) + Fraction(each) * plan.batches
    return {item: -(-units // 1) for item, units in exact.items()}


def _way(
    market: Market,
    plans: tuple[Plan, ...],
    group: int,
    ways: Mapping[int, _Way],
    stock: Mapping[str, int],
    basket: Callable[..., Basket],
    *,
    last: bool,
) -> _Way:
    """One list for the group, or the cheapest split into two smaller groups that are known already."""
    members = tuple(k for k in range(len(plans)) if group >> k & 1)
    need = combined_need([plans[k] for k in members])
    found, why = None, ImpossibleNeedError("No shopping list covers this need.")
    try:
        bought = basket(market.for_items(need), need, tie_break=last)
        found = _Way(bought.cost_micros, ((members, bought),), bought.counts)
    except ImpossibleNeedError as error:
        why = error
    # beyond the recipes of which every group is priced, the one split that is known is into single ones
    splits = _splits(group, ways) if len(plans) <= MOST_FOR_SHAPLEY else [tuple(1 << k for k in members)]
    for parts in splits if len(members) > 1 else ():
        cost = sum(ways[part].cost_micros for part in parts)
        if found is None or cost < found.cost_micros:
            counts = _merged([ways[part].counts for part in parts], stock)
            if counts is not None:
                found = _Way(cost, tuple(entry for part in parts for entry in ways[part].lists), counts)
    if found is None:
        raise why
    return found


def _splits(group: int, ways: Mapping[int, _Way]) -> list[tuple[int, ...]]:
    """Every split of a group into two smaller ones that are known, each split once: the first part holds its lowest
    member.
    """
    parts = (part for part in range(1, group) if part & group == part and part & group & -group)
    return [(part, group ^ part) for part in parts if part in ways and group ^ part in ways][::-1]


def _merged(bought: Sequence[Mapping[str, int]], stock: Mapping[str, int]) -> Mapping[str, int] | None:
    """All that is bought in several orders; None where a stock does not reach for it."""
    counts: Counter[str] = Counter()
    for one in bought:
        counts.update(one)
    return None if any(counts[pack] > most for pack, most in stock.items()) else counts


def _shapley(players: int, cost: Mapping[int, int]) -> list[Fraction]:
    """``Σ |S|! (n − |S| − 1)! / n! · (c(S ∪ i) − c(S))`` over the groups S without i; groups are sets of
    bits.
    """
    weights = [Fraction(factorial(n) * factorial(players - n - 1), factorial(players)) for n in range(players)]
    return [
        sum(
            (
                weights[group.bit_count()] * (cost[group | me] - cost.get(group, 0))
                for group in range(1 << players)
                if not group & me
            ),
            Fraction(0),
        )
        for me in (1 << k for k in range(players))
    ]


def _proportional(alone: Sequence[int], total: int) -> list[Fraction]:
    """Parts of the total in proportion to what each costs alone; equal parts where nothing costs anything."""
    whole = sum(alone)
    return [Fraction(total * one, whole) if whole else Fraction(total, len(alone)) for one in alone]
