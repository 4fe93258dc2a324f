"""Cheapest covers of single items, and the baskets of one need that they make: listed one by one, up to a cost."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS, Mode
from maker_kit.buying.basket.program import NotProvedError
from maker_kit.buying.curve.catalogue import Article
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier, Table, TooLargeError
from maker_kit.buying.curve.table_cache import TableCache

Counts = dict[int, int]
"""Column of an article to count."""

Tables = dict[tuple[Any, ...], Table]
"""Cover tables by what they are made of; markets that differ in few prices share most of them."""


TOO_MANY = "the lists near it are too many"
"""Why it is not proved: the integer program is sooner done."""


@dataclass(frozen=True)
class Cover:
    """One cover of one item.

    Attributes
    ----------
    extra : int
        What it costs above the cheapest [0.0001 cent].
    counts : tuple of (Article, int)
    """

    extra: int
    counts: tuple[tuple[Article, int], ...]


class ItemTables:
    """What each item costs at least at some suppliers. Sets of suppliers are bits, the first supplier the lowest.

    Parameters
    ----------
    cache : TableCache
        Of a market; its tables hold every need that is asked for.
    shared : dict, optional
        Tables that are taken where they are made of the same.

    Attributes
    ----------
    sellers : list of int
        Who sells what each table is made of.
    fees : list of int
        Least fee of every supplier [0.0001 cent].
    every : int
        All suppliers.
    left : int
        Steps that may still be taken.
    """

    def __init__(self, cache: TableCache, shared: Tables | None = None) -> None:
        self.cache, self.book, self.factors = cache, cache.book, cache.book.factors
        self.sellers = [sum({1 << a.supplier for a in group}) for group in cache.groups]
        self.fees = [min(mode.fee_micros for mode in rates.modes) for rates in self.book.tariffs]
        self.every = (1 << len(self.fees)) - 1
        self._tables: dict[tuple[int, int], Table] = {}
        self._least: dict[tuple[int, int, int], int] = {}
        self.left = 0
        self._shared = {} if shared is None else shared
        self._made_of = [
            [
                (a.supplier, a.column, a.name, *a.content.values(), a.steps, a.weight_dg, self.factors[a.supplier])
                for a in g
            ]
            for g in cache.groups
        ]

    def table(self, item: int, some: int) -> Table:
        """The table of one item's packs at some suppliers."""
        key = item, some & self.sellers[item]
        if key not in self._tables:
            mine = (parts for parts in self._made_of[item] if some >> parts[0] & 1)
            parts = item, self.cache.most[item], self.cache.unit[item], *mine
            if parts not in self._shared:
                plain = tuple(Multiplier() if some >> s & 1 else None for s in range(len(self.fees)))
                try:
                    self._shared[parts] = self.cache.table(item, plain)
                except TooLargeError as error:
                    raise NotProvedError(TOO_MANY) from error
            self._tables[key] = self._shared[parts]
        return self._tables[key]

    def least(self, item: int, some: int, units: int) -> int:
        """The cheapest cover of so many base units of an item at some suppliers [0.0001 cent]; `NEVER` for none."""
        key = item, some & self.sellers[item], units
        found = self._least.get(key)
        if found is None:
            table = self.table(item, some)
            found = self._least[key] = _least(table, -1, -(-units // table.unit))
        return found

    def step(self) -> None:
        """Count a step of the search. Raises NotProvedError when there were too many."""
        self.left -= 1
        if self.left < 0:
            raise NotProvedError(TOO_MANY)


class Listed:
    """The baskets with one choice of kits, that cover what the kits leave."""

    def __init__(self, lists: ItemTables, rest: list[int], kits: tuple[tuple[Article, int], ...]) -> None:
        self.lists, self.kits, self.tariffs, self.factors = lists, kits, lists.book.tariffs, lists.factors
        self.needs = rest + [0] * (len(lists.sellers) - len(rest))
        self.spent = sum(micros_of(kit, many, self.factors) for kit, many in kits)
        self.asked = sum({1 << kit.supplier for kit, _ in kits})
        self._covers: dict[tuple[int, int], tuple[int, list[Cover]]] = {}

    def baskets(self, most: Callable[[], int]) -> Iterator[tuple[Counts, int]]:
        """By every set of suppliers and every way they may charge, the cheapest by their bounds first."""
        every = (1 << len(self.tariffs)) - 1
        ways = [
            (cost, some, modes, sum(least))
            for some, least in self._sets(0, every, 0, [self.lists.least(*x) for x in self._asked(every)], most())
            for cost, modes in self._modes(some, least, most())
        ]
        for cost, some, modes, goods in sorted(ways, key=lambda way: way[0]):
            if cost <= most():
                fees = sum(mode.fee_micros for mode in modes.values())
                yield from self._walk(some, modes, most, self.spent + goods + fees)

    def _asked(self, some: int) -> Iterator[tuple[int, int, int]]:
        return ((group, some, units) for group, units in enumerate(self.needs))

    def _sets(self, k: int, some: int, fees: int, least: list[int], most: int) -> Iterator[tuple[int, list[int]]]:
        """Every set of suppliers that may be bought from within a cost, and the cheapest cover of every item there;
        supplier after supplier is let in, with its fee, or left out.
        """
        self.lists.step()
        if self.spent + sum(least) + fees > most:
            return
        if k == len(self.tariffs):
            yield some, least
            return
        yield from self._sets(k + 1, some, fees + self.lists.fees[k], least, most)
        if not self.asked >> k & 1:
            rest, sellers = some & ~(1 << k), self.lists.sellers
            without = [
                self.lists.least(g, rest, units) if units and sellers[g] >> k & 1 else least[g]
                for g, units in enumerate(self.needs)
            ]
            yield from self._sets(k + 1, rest, fees, without, most)

    def _modes(self, some: int, least: list[int], most: int) -> Iterator[tuple[int, dict[int, Mode]]]:
        """Every way in which some suppliers may charge, and what it costs at least: what a threshold asks for, and
        what is sold elsewhere alone.
        """
        sellers = [s for s in range(len(self.tariffs)) if some >> s & 1]
        goods, ways = self.spent + sum(least), []
        for s in sellers:
            modes = self.tariffs[s].modes
            light = self._light(s, some) if any(mode.most_dg < ENDLESS for mode in modes) else 0
            ways.append([mode for mode in modes if light <= mode.most_dg])
        for modes in itertools.product(*ways):
            self.lists.step()
            fees = sum(mode.fee_micros for mode in modes)
            if goods + fees <= most:
                pairs = dict(zip(sellers, modes, strict=True))
                wanting = sum(1 << s for s, mode in pairs.items() if mode.least_goods_cents)
                asked = sum(mode.least_goods_cents * self.factors[s] for s, mode in pairs.items())
                asked += sum(n for n, of in zip(least, self.lists.sellers, strict=True) if not of & wanting)
                if fees + asked <= most:
                    yield fees + max(goods, asked), pairs

    def _light(self, supplier: int, some: int) -> int:
        """What an order weighs at least [0.1 g], of what is sold there alone."""
        weight = sum(kit.weight_dg * many for kit, many in self.kits if kit.supplier == supplier)
        for group, of, units in zip(self.lists.cache.groups, self.lists.sellers, self.needs, strict=True):
            if units and of & some == 1 << supplier:
                mine = (a for a in group if a.supplier == supplier)
                weight += min(-(-units * a.weight_dg // next(iter(a.content.values()))) for a in mine)
        return weight

    def _walk(
        self, some: int, modes: dict[int, Mode], most: Callable[[], int], base: int
    ) -> Iterator[tuple[Counts, int]]:
        """Every combination of covers in the room that is left above the cheapest, those items first that have few."""
        room = most() - base
        covers = sorted((self._near(g, some, room) for g in range(len(self.needs))), key=len)
        wanted = {s: mode.least_goods_cents for s, mode in modes.items() if mode.least_goods_cents}
        goods = {s: sum(cents_of(k, n) for k, n in self.kits if k.supplier == s) for s in wanted}
        tops: list[dict[int, int]] = [dict.fromkeys(wanted, 0)]  # of the last items, most goods that they can add
        for each in reversed(covers):
            best = {s: max((_cents(c, s) for c in each), default=0) for s in wanted}
            tops.append({s: tops[-1][s] + best[s] for s in wanted})
        tops.reverse()

        def grown(k: int, used: int, bought: dict[int, int], chosen: list[Cover]) -> Iterator[tuple[Counts, int]]:
            self.lists.step()
            if any(bought[s] + tops[k][s] < wanted[s] for s in wanted):
                return
            if k == len(covers):
                found = self._priced(chosen)
                if found is not None and found[1] <= most():
                    yield found
                return
            for cover in covers[k]:
                if base + used + cover.extra > most():
                    break
                more = {s: cents + _cents(cover, s) for s, cents in bought.items()}
                yield from grown(k + 1, used + cover.extra, more, [*chosen, cover])

        yield from grown(0, 0, goods, [])

    def _near(self, group: int, some: int, room: int) -> list[Cover]:
        """Covers that cost at most so much more than the cheapest, ascending; those listed may reach further."""
        table = self.lists.table(group, some)
        key = group, some & self.lists.sellers[group]
        known = self._covers.get(key)
        if known is None or known[0] < room:
            need = -(-self.needs[group] // table.unit)
            found = [Cover(e, c) for e, c in self._listed(table, need, len(table.packs) - 1, room)]
            known = self._covers[key] = room, sorted(found, key=lambda cover: cover.extra)
        return known[1]

    def _listed(
        self, table: Table, need: int, k: int, room: int
    ) -> Iterator[tuple[int, tuple[tuple[Article, int], ...]]]:
        """Covers of a need from the packs up to one, with what each costs above the cheapest."""
        if k < 0:
            if not need:
                yield 0, ()
            return
        article, size, _ = table.packs[k]
        factor, least = self.factors[article.supplier], _least(table, k + 1, need)
        each = min(step.price_cents for step in article.steps) * factor
        for many in itertools.chain((0,), range(article.fewest, min(article.stock, (least + room) // each) + 1)):
            self.lists.step()
            rest = max(need - many * size, 0)
            extra = micros_of(article, many, self.factors) + _least(table, k, rest) - least
            if extra <= room:
                mine = ((article, many),) if many else ()
                for more, counts in self._listed(table, rest, k - 1, room - extra):
                    yield extra + more, (*counts, *mine)

    def _priced(self, chosen: list[Cover]) -> tuple[Counts, int] | None:
        """The basket of some covers and the kits, and its exact cost; None where an order of it is not taken."""
        bought = [*self.kits, *(pair for cover in chosen for pair in cover.counts)]
        counts: Counts = {}
        goods: dict[int, int] = {}
        weight: dict[int, int] = {}
        for article, many in bought:
            counts[article.column] = many
            goods[article.supplier] = goods.get(article.supplier, 0) + cents_of(article, many)
            weight[article.supplier] = weight.get(article.supplier, 0) + many * article.weight_dg
        cost = 0
        for s, cents in goods.items():
            fees = [
                mode.fee_micros
                for mode in self.tariffs[s].modes
                if cents >= mode.least_goods_cents and mode.over_dg < weight[s] <= mode.most_dg
            ]
            if not fees:
                return None
            cost += cents * self.factors[s] + min(fees)
        return counts, cost


def cents_of(article: Article, many: int) -> int:
    """What so many of an article cost [cent]."""
    price = 0
    for step in article.steps:
        if step.low <= many:
            price = step.price_cents
    return many * price


def micros_of(article: Article, many: int, factors: tuple[int, ...]) -> int:
    """What so many of an article cost with tax [0.0001 cent]."""
    return cents_of(article, many) * factors[article.supplier]


def _cents(cover: Cover, supplier: int) -> int:
    return sum(cents_of(article, many) for article, many in cover.counts if article.supplier == supplier)


def _least(table: Table, k: int, need: int) -> int:
    """The cheapest cover of a need by the first packs [0.0001 cent], rounded down; `NEVER` or so for none."""
    level = table.levels[k]
    row = need if level.capacity is None else int(np.searchsorted(level.capacity, need))
    found = level.cost.item(row)
    return found // SCALE if found < NEVER else NEVER
