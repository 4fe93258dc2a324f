"""All baskets of one need at or below a cost, item by item from the cover tables: whether there is another one at the
least cost, and which is the cheapest where one that is nearly so is known.

Where a good basket is known, few ways to order can cost as little, and of each item few covers: listed by hand they are
sooner tried than an integer program is made. Where they are many it is given up, and the integer program decides.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping

from maker_kit.buying.basket.program import NotProvedError
from maker_kit.buying.curve.catalogue import Article, catalogue
from maker_kit.buying.curve.near.listed import TOO_MANY, Counts, ItemTables, Listed, Tables, micros_of
from maker_kit.buying.curve.table_cache import TableCache
from maker_kit.buying.market import Market

MOST_SELLERS, MOST_KITS, MOST_STEPS = 10, 200, 4_000
"""Suppliers, choices of kits and steps of the search beyond which it is given up: about as long as an integer program
takes."""

MOST_ROWS = 5_000
"""Longest table that is made for a market of which few counts are asked; with longer ones the integer program is
sooner done."""


class NearLists(ItemTables):
    """The baskets of one market near a known one; what is given is as in `ItemTables`."""

    @classmethod
    def of_market(cls, market: Market, most: Mapping[str, int], shared: Tables | None = None) -> NearLists:
        """Those of a market, for needs up to so many base units of every item; tables that are there are taken, and
        those that are made put there.

        Raises
        ------
        NotProvedError
            If the tables would be too large.
        """
        book = catalogue(market, sorted(item for item, units in most.items() if units))
        cache = TableCache(book, [most[item] for item in book.items])
        rows = (units // unit for units, unit in zip(cache.most, cache.unit, strict=True))
        if len(book.tariffs) > MOST_SELLERS or max(rows, default=0) > MOST_ROWS or not cache.fits:
            raise NotProvedError(TOO_MANY)
        return cls(cache, shared)

    def another(self, need: Mapping[str, int], counts: Mapping[str, int], cost_micros: int) -> bool:
        """Whether a basket at a cost, the least of that need, holds fewer of some pack than one that is known.

        Parameters
        ----------
        need : Mapping of str to int
            [base units]
        counts : Mapping of str to int
            Pack name to count.
        cost_micros : int
            [0.0001 cent]

        Raises
        ------
        NotProvedError
            If it takes too long.
        """
        names = {a.name: a.column for a in self.book.articles}
        if any(name not in names for name in counts):
            raise NotProvedError(TOO_MANY)
        mine = {names[name]: count for name, count in counts.items()}
        return any(
            any(found.get(column, 0) < count for column, count in mine.items())
            for found, _ in self._baskets(need, lambda: cost_micros)
        )

    def cheapest(self, need: Mapping[str, int], at_most_micros: int) -> tuple[dict[str, int], int] | None:
        """The cheapest basket of a need and its cost [0.0001 cent]; None where none costs at most so much.

        Raises
        ------
        NotProvedError
            If it takes too long.
        """
        best: list[tuple[Counts, int]] = []
        for found in self._baskets(need, lambda: best[-1][1] - 1 if best else at_most_micros):
            best.append(found)
        if not best:
            return None
        counts, cost = best[-1]
        return {self.book.articles[column].name: count for column, count in sorted(counts.items())}, cost

    def _baskets(self, need: Mapping[str, int], most: Callable[[], int]) -> Iterator[tuple[Counts, int]]:
        """Every basket that costs at most so much, which may fall on the way, with its cost; some of them twice."""
        given_away = any(step.price_cents <= 0 for a in self.book.articles for step in a.steps)
        if given_away or any(
            units and (item not in self.book.items or units > self.cache.most[self.book.items.index(item)])
            for item, units in need.items()
        ):
            raise NotProvedError(TOO_MANY)
        self.left = MOST_STEPS
        needs = [need.get(item, 0) for item in self.book.items]
        choices = sorted(self._kit_choices(needs, most()), key=lambda choice: choice[0])
        for _, kits in choices:
            rest = list(needs)
            for kit, many in kits:
                for item, units in kit.content.items():
                    rest[item] = max(rest[item] - many * units, 0)
            yield from Listed(self, rest, kits).baskets(most)

    def _kit_choices(self, needs: list[int], most: int) -> Iterator[tuple[int, tuple[tuple[Article, int], ...]]]:
        """Every choice of kits whose price and cheapest covers of the rest come to at most so much."""
        fee = min(self.fees, default=0)
        ranges = []
        for kit in self.book.kits:
            each = min(step.price_cents for step in kit.steps) * self.factors[kit.supplier]
            none = kit.fewest - 1  # stands for none
            ranges.append(range(none, max(none, min(kit.stock, most // each)) + 1))
        if math.prod(map(len, ranges)) > MOST_KITS:
            raise NotProvedError(TOO_MANY)
        for tried in itertools.product(*ranges):
            counts = [n if n >= kit.fewest else 0 for n, kit in zip(tried, self.book.kits, strict=True)]
            rest, price = list(needs), fee
            for kit, many in zip(self.book.kits, counts, strict=True):
                price += micros_of(kit, many, self.factors)
                for item, units in kit.content.items():
                    rest[item] = max(rest[item] - many * units, 0)
            least = price + sum(self.least(item, self.every, units) for item, units in enumerate(rest))
            if least <= most:
                yield least, tuple((k, n) for k, n in zip(self.book.kits, counts, strict=True) if n)
