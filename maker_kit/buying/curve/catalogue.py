"""Needs and a market as columns of whole numbers, for pricing many baskets at once, by the modes that `basket.caps`
makes of the suppliers' rules.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import numpy as np

from maker_kit.buying.basket.basket import checked_need
from maker_kit.buying.basket.caps import ENDLESS, PriceStep, Restriction, Tariff, price_steps, tariff
from maker_kit.buying.market import Market

Array = np.ndarray
"""Whole numbers of 64 bits where nothing else is said."""


def needs_of(per_batch: Mapping[str, Fraction], upto: int) -> dict[str, Array]:
    """``ceil(n · per batch)`` of every item for n = 1 … `upto`, exactly; items that are never needed left out.

    Raises
    ------
    QuantityError
        If an amount is below 0.
    BasketError
        If a need is too large to be worked out.
    """
    found = {}
    for item, amount in per_batch.items():
        exact = Fraction(amount)
        needs = [-(-exact.numerator * n // exact.denominator) for n in range(1, upto + 1)]
        if checked_need({item: needs[-1]}):
            found[item] = np.array(needs, np.int64)
    return found


@dataclass(frozen=True)
class Article:
    """One pack as the solver sees it.

    Attributes
    ----------
    column : int
        Its place among the articles of the catalogue.
    name : str
    supplier : int
    content : dict of int to int
        Needed item (its place) to base units; empty for a pack that only fills an order up.
    steps : tuple of PriceStep
    weight_dg : int
    starts, prices : numpy.ndarray
        Where the price steps begin, and what each pack costs there [cent].
    """

    column: int
    name: str
    supplier: int
    content: dict[int, int]
    steps: tuple[PriceStep, ...]
    weight_dg: int
    starts: Array
    prices: Array

    @property
    def fewest(self) -> int:
        """Least count that is sold."""
        return self.steps[0].low

    @property
    def stock(self) -> int:
        """Most that can be bought; `ENDLESS` where there is no bound."""
        return self.steps[-1].high

    def goods_cents(self, count: Array) -> Array:
        """Count × price at the step it reaches [cent]; 0 for a count of 0."""
        return count * self.prices[np.maximum(np.searchsorted(self.starts, count, side="right") - 1, 0)]


@dataclass(frozen=True)
class Catalogue:
    """What can be bought for a set of items.

    Attributes
    ----------
    items : tuple of str
        Needed items, in the order they were first asked for.
    articles : tuple of Article
    tariffs : tuple of Tariff
        One a supplier that sells something needed.
    """

    items: tuple[str, ...]
    articles: tuple[Article, ...]
    tariffs: tuple[Tariff, ...]

    @cached_property
    def factors(self) -> tuple[int, ...]:
        """Cost of one cent of goods with tax, a supplier [0.0001 cent]."""
        return tuple(rates.tax_factor for rates in self.tariffs)

    @cached_property
    def kits(self) -> tuple[Article, ...]:
        """Articles that hold several needed items."""
        return tuple(a for a in self.articles if len(a.content) > 1)

    def groups(self) -> list[tuple[Article, ...]]:
        """Articles that hold one needed item and no other, an item each; then those that only fill an order up, a
        supplier each.

        By supplier and then from the smallest up: covers are listed from the last back, and with the large ones first
        few are begun.
        """
        found = [[a for a in self.articles if set(a.content) == {item}] for item in range(len(self.items))]
        fillers = [a for a in self.articles if not a.content]
        found += [[a for a in fillers if a.supplier == s] for s in sorted({a.supplier for a in fillers})]
        return [tuple(sorted(g, key=lambda a: (a.supplier, sum(a.content.values()), a.column))) for g in found]


def catalogue(market: Market, items: Iterable[str], check: Callable[[], None] = lambda: None) -> Catalogue:
    """The market seen from a set of needed items.

    Suppliers that sell nothing needed are left out; packs that hold nothing needed stay only where filling an order up
    can save money. `check` is called between packs, and may raise to end it.
    """
    wanted = {item: k for k, item in enumerate(dict.fromkeys(items))}
    sold = []
    for pack in market.packs:
        check()
        sold.append((pack, tuple(price_steps(pack))))
    selling = {pack.supplier for pack, steps in sold if steps and any(item in wanted for item in pack.content)}
    tariffs = tuple(tariff(s, Restriction()) for s in market.suppliers if s.name in selling)
    place = {rates.supplier.name: k for k, rates in enumerate(tariffs)}
    articles: list[Article] = []
    for pack, steps in sold:
        content = {wanted[item]: units for item, units in pack.content.items() if item in wanted}
        at = place.get(pack.supplier)
        check()
        if steps and at is not None and (content or tariffs[at].wants_surplus):
            starts, prices = np.array([(step.low, step.price_cents) for step in steps], np.int64).T
            row = (len(articles), pack.name, at, content, steps, pack.shipping_dg, starts, prices)
            articles.append(Article(*row))
    return Catalogue(tuple(wanted), tuple(articles), tariffs)


def price_counts(book: Catalogue, counts: Array) -> tuple[Array, Array]:
    """The exact cost of many baskets.

    Of all modes whose subtotal is reached and whose weight is kept, the cheapest is what an order is charged.

    Parameters
    ----------
    book : Catalogue
    counts : numpy.ndarray of int64, baskets × articles

    Returns
    -------
    numpy.ndarray of int64, numpy.ndarray of bool
        Cash cost [0.0001 cent], and whether every count is on sale and every order taken and delivered.
    """
    goods, weight, bought = np.zeros((3, len(book.tariffs), len(counts)), np.int64)
    sold = np.ones(len(counts), bool)
    for column in np.flatnonzero(counts.any(axis=0)):
        article, many = book.articles[column], counts[:, column]
        goods[article.supplier] += article.goods_cents(many)
        weight[article.supplier] += many * article.weight_dg
        bought[article.supplier] += many
        sold &= (many == 0) | ((many >= article.fewest) & (many <= article.stock))
    cost = np.zeros(len(counts), np.int64)
    for k, rates in enumerate(book.tariffs):
        fee = np.full(len(counts), ENDLESS)
        for mode in rates.modes:
            fits = (goods[k] >= mode.least_goods_cents) & (mode.over_dg < weight[k]) & (weight[k] <= mode.most_dg)
            fee[fits] = np.minimum(fee[fits], mode.fee_micros)
        ordered = bought[k] > 0
        sold &= ~ordered | (fee < ENDLESS)
        cost += goods[k] * rates.tax_factor + np.where(ordered & (fee < ENDLESS), fee, 0)
    return cost, sold


def topped_up(book: Catalogue, counts: Array) -> Array:
    """Baskets with orders below a least order filled up by more of what is cheapest there.

    Not the cheapest way, and not where the stock ends: so that something is known to be taken, without which there is
    no room to search in.
    """
    counts = counts.copy()
    for s, rates in enumerate(book.tariffs):
        mine = [a for a in book.articles if a.supplier == s]
        fill = min((a for a in mine if a.prices[-1]), key=lambda a: (a.prices[-1], a.weight_dg), default=None)
        if rates.least_cents and fill:
            lack = rates.least_cents - sum(a.goods_cents(counts[:, a.column]) for a in mine)
            ordered = counts[:, [a.column for a in mine]].any(axis=1)
            counts[:, fill.column] += np.where(ordered & (lack > 0), -(-lack // fill.prices[-1]), 0)
    return counts
