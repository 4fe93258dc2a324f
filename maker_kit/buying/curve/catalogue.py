"""A market as columns of whole numbers, for pricing many baskets at once; the same rules as `maker_kit.buying.pricing`, in MICROS_PER_CENT money."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.basket.caps import PriceStep, Restriction, Tariff, price_steps, tariff
from maker_kit.buying.market import MICROS_PER_CENT, Market, Pack
from maker_kit.buying.pricing import threshold_goods_cents

NO_WEIGHT = 1 << 60
"""Stands for a delivery step that takes any weight [0.1 g]."""


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
    bands : tuple of PriceStep
    weight_dg : int
    starts, prices : numpy.ndarray
        Price steps [cent], joined where the price stays; `prices` are each.
    """

    column: int
    name: str
    supplier: int
    content: dict[int, int]
    bands: tuple[PriceStep, ...]
    weight_dg: int
    starts: np.ndarray
    prices: np.ndarray

    @property
    def stock(self) -> int | None:
        """Most that can be bought; None where there is no bound."""
        return self.bands[-1].high

    def goods_cents(self, count: np.ndarray) -> np.ndarray:
        """Count × price at the step it reaches [cent]; 0 for a count of 0."""
        return count * self.prices[np.maximum(np.searchsorted(self.starts, count, side="right") - 1, 0)]


@dataclass(frozen=True)
class Catalogue:
    """What can be bought for a set of items.

    Attributes
    ----------
    market : Market
    items : tuple of str
        Needed items, in the order they were first asked for.
    articles : tuple of Article
    tariffs : tuple of Tariff
        One a supplier that sells something needed.
    kits, fillers : tuple of int
        Columns of articles that hold several needed items, and of those that hold none.
    """

    market: Market
    items: tuple[str, ...]
    articles: tuple[Article, ...]
    tariffs: tuple[Tariff, ...]
    kits: tuple[int, ...]
    fillers: tuple[int, ...]

    @property
    def factors(self) -> tuple[int, ...]:
        """Cost of one cent of goods with tax, a supplier [0.0001 cent]."""
        return tuple(rates.tax_factor for rates in self.tariffs)

    def single(self, item: int) -> tuple[Article, ...]:
        """Articles that hold that needed item and no other, by supplier and then from the smallest up: covers are listed from the last back, and with the large ones first few of them are begun."""
        mine = [a for a in self.articles if set(a.content) == {item}]
        return tuple(sorted(mine, key=lambda a: (a.supplier, a.content[item], a.column)))


def catalogue(market: Market, items: Iterable[str]) -> Catalogue:
    """The market seen from a set of needed items.

    Suppliers that sell nothing needed are left out; packs that hold nothing needed stay only where filling an order up can save money.
    """
    wanted = {item: k for k, item in enumerate(dict.fromkeys(items))}
    sold = [pack for pack in market.packs if price_steps(pack)]
    selling = {pack.supplier for pack in sold if any(item in wanted for item in pack.content)}
    suppliers = [s for s in market.suppliers if s.name in selling]
    place = {s.name: k for k, s in enumerate(suppliers)}
    tariffs = tuple(tariff(s, Restriction()) for s in suppliers)
    articles: list[Article] = []
    for pack in sold:
        content = {wanted[item]: units for item, units in pack.content.items() if item in wanted}
        if pack.supplier in place and (content or tariffs[place[pack.supplier]].wants_surplus):
            articles.append(_article(len(articles), pack, place[pack.supplier], content))
    return Catalogue(
        market,
        tuple(wanted),
        tuple(articles),
        tariffs,
        tuple(a.column for a in articles if len(a.content) > 1),
        tuple(a.column for a in articles if not a.content),
    )


def _article(column: int, pack: Pack, supplier: int, content: dict[int, int]) -> Article:
    rows = tuple(price_steps(pack))
    return Article(
        column,
        pack.name,
        supplier,
        content,
        rows,
        pack.shipping_dg,
        np.array([row.low for row in rows], dtype=np.int64),
        np.array([row.price_cents for row in rows], dtype=np.int64),
    )


def charges_micros(
    rates: Tariff, goods_cents: np.ndarray, weight_dg: np.ndarray, bought: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Handling, delivery and their tax of many orders at one supplier, and whether each is taken and delivered.

    Parameters
    ----------
    rates : Tariff
    goods_cents, weight_dg : numpy.ndarray of int64
    bought : numpy.ndarray of bool
        Whether anything is bought; if not, nothing is charged.

    Returns
    -------
    numpy.ndarray of int64, numpy.ndarray of bool
        [0.0001 cent]
    """
    supplier = rates.supplier
    steps: list[tuple[int, int]] = []
    for most, price in supplier.delivery:
        reach = NO_WEIGHT if most is None else most
        if not steps or reach > steps[-1][0]:
            steps.append((reach, price))
    reaches, prices = np.array([s[0] for s in steps]), np.array([s[1] for s in steps])
    at = np.searchsorted(reaches, weight_dg)
    delivered = at < len(steps)
    delivery = prices[np.minimum(at, len(steps) - 1)]
    if supplier.free_from_cents is not None:
        free = goods_cents >= threshold_goods_cents(supplier, supplier.free_from_cents)
        delivery, delivered = np.where(free, 0, delivery), delivered | free
    taken = delivered & (goods_cents >= threshold_goods_cents(supplier, supplier.least_order_cents))
    fee = (supplier.handling_cents + delivery) * (MICROS_PER_CENT + (supplier.tax_bp if supplier.tax_on_fees else 0))
    return np.where(bought, fee, 0), taken | ~bought


def price_counts(book: Catalogue, counts: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The exact cost of many baskets.

    Parameters
    ----------
    book : Catalogue
    counts : numpy.ndarray of int64, baskets × articles

    Returns
    -------
    numpy.ndarray of int64, numpy.ndarray of bool
        Cash cost [0.0001 cent], and whether every count is on sale and every order taken and delivered.
    """
    size, sellers = len(counts), len(book.tariffs)
    goods = np.zeros((sellers, size), dtype=np.int64)
    weight = np.zeros((sellers, size), dtype=np.int64)
    bought = np.zeros((sellers, size), dtype=bool)
    sold = np.ones(size, dtype=bool)
    for column in np.flatnonzero(counts.any(axis=0)):
        article, many = book.articles[column], counts[:, column]
        goods[article.supplier] += article.goods_cents(many)
        weight[article.supplier] += many * article.weight_dg
        bought[article.supplier] |= many > 0
        sold &= (many == 0) | (many >= article.bands[0].low)
        if article.stock is not None:
            sold &= many <= article.stock
    cost = np.zeros(size, dtype=np.int64)
    for k, rates in enumerate(book.tariffs):
        fee, fine = charges_micros(rates, goods[k], weight[k], bought[k])
        cost += goods[k] * rates.tax_factor + fee
        sold &= fine
    return cost, sold


def topped_up(book: Catalogue, counts: np.ndarray) -> np.ndarray:
    """Baskets with orders below a least order filled up by one more article each, so that something is known to be taken; not the cheapest way."""
    counts = counts.copy()
    for s, rates in enumerate(book.tariffs):
        mine = [a for a in book.articles if a.supplier == s and a.bands[-1].price_cents > 0]
        if not rates.least_cents or not mine:
            continue
        goods = sum((a.goods_cents(counts[:, a.column]) for a in mine), np.zeros(len(counts), dtype=np.int64))
        bought = counts[:, [a.column for a in book.articles if a.supplier == s]].any(axis=1)
        lack = np.where(bought, np.maximum(rates.least_cents - goods, 0), 0)
        for article in sorted(mine, key=lambda a: (a.bands[-1].price_cents, a.weight_dg)):
            many, price = counts[:, article.column], article.bands[-1].price_cents
            room = NO_WEIGHT if article.stock is None else article.stock
            more = np.where(
                lack > 0, np.minimum(np.maximum(-(-lack // price) + many, article.bands[0].low), room), many
            )
            lack = np.maximum(lack - (article.goods_cents(more) - article.goods_cents(many)), 0)
            counts[:, article.column] = more
    return counts
