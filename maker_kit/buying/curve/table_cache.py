"""The cover tables of a market, made when first asked for and kept; with them the parts of kits that give a lower
bound.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Sequence
from functools import cached_property

from maker_kit.buying.curve.catalogue import Article, Catalogue
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier, Packed, Table
from maker_kit.buying.curve.supplier_subsets import Multipliers, SupplierSubset, supplier_subsets

MOST_BYTES = 100 << 20
"""Memory that the tables of one set of items may take. With a tenth of it nine markets took a quarter longer, as tables
were made again."""


class TableCache:
    """The tables of a catalogue: one an item, then one a supplier for its packs that only fill an order up.

    Parameters
    ----------
    book : Catalogue
    most : sequence of int
        Largest need of each item that the tables hold [base units].

    Attributes
    ----------
    groups : list of tuple of Article
        What each table is made of.
    unit : list of int
        Base units in one unit of each table.
    """

    def __init__(self, book: Catalogue, most: Sequence[int]) -> None:
        self.book, self.groups = book, book.groups()
        self.most = [*most, *[0] * (len(self.groups) - len(most))]
        self.unit = [math.gcd(*(a.content.get(i, 1) for a in group)) or 1 for i, group in enumerate(self.groups)]
        self.shares = [{item: n * self._dear(item) for item, n in kit.content.items()} for kit in book.kits]
        self._sellers = [sorted({a.supplier for a in group}) for group in self.groups]
        self._kept: dict[tuple, Table] = {}
        self._bytes = 0
        self._lock = threading.Lock()  # a slider moves while the background still closes the last curve

    @property
    def most_dg(self) -> int:
        """Heaviest purchase of one pack that covers alone the largest need [0.1 g]."""
        return max((self._enough(a) * a.weight_dg for a in self.book.articles), default=0)

    @cached_property
    def subsets(self) -> list[SupplierSubset]:
        """All sets of open suppliers, from none to all."""
        return supplier_subsets(self.book, self.most_dg)

    @property
    def fits(self) -> bool:
        """Whether every price, and that of all items from their dearest packs with all fees, stays far below
        `NEVER`.
        """
        dear = {
            a.column: self._enough(a) * int(a.prices.max()) * self.book.factors[a.supplier] for a in self.book.articles
        }
        every = sum(max((dear[a.column] for a in group), default=0) for group in self.groups)
        for rates in self.book.tariffs:
            every += max(mode.fee_micros for mode in rates.modes) + rates.threshold_cents * rates.tax_factor
        return SCALE * max([every, *dear.values()]) < NEVER // 8

    def _enough(self, article: Article) -> int:
        alone = (-(-self.most[item] // units) for item, units in article.content.items())
        return 1 + max([article.steps[-1].low, *alone])

    def _dear(self, item: int) -> int:
        """About what a base unit of an item costs at its cheapest, in thousandths of 0.0001 cent, never 0; very much
        where no single pack holds it.
        """
        factors = self.book.factors
        each = [1000 * int(a.prices.min()) * factors[a.supplier] // a.content[item] for a in self.groups[item]]
        return 1 + min(each, default=1 << 40)

    def table(self, item: int, multipliers: Multipliers) -> Table:
        """The table of one item, made of its sellers one after the other, so that sets of suppliers share the first of
        them.
        """
        key = tuple((s, multipliers[s]) for s in self._sellers[item] if multipliers[s] is not None)
        return self._chain(item, key)

    def _chain(self, item: int, key: tuple[tuple[int, Multiplier], ...]) -> Table:
        def make() -> Table:
            if not key:
                return Table(self.unit[item], -(-self.most[item] // self.unit[item]))
            supplier, multiplier = key[-1]
            factor, unit = self.book.factors[supplier], self.unit[item]
            mine = [a for a in self.groups[item] if a.supplier == supplier]
            packs = [Packed(a, a.content.get(item, 1) // unit, multiplier.steps(a, factor)) for a in mine]
            return self._chain(item, key[:-1]).grown(packs)

        return self._made(("packs", item, key), make)

    def with_parts(self, item: int, multipliers: Multipliers, after: int = -1) -> Table:
        """The table of one item with each kit that comes after the given one as a single pack at a part of its price.

        The parts of a kit add up to no more than its price and its content is rounded up, so the sum over the items is
        a lower bound for all baskets with kits.
        """
        table = self.table(item, multipliers)
        mine = [(k, kit) for k, kit in enumerate(self.book.kits) if k > after and item in kit.content]
        kits = [(k, kit, multipliers[kit.supplier]) for k, kit in mine if multipliers[kit.supplier] is not None]

        def make() -> Table:
            packs = []
            for k, kit, multiplier in kits:
                share, total = self.shares[k][item], sum(self.shares[k].values())
                steps = multiplier.steps(kit, self.book.factors[kit.supplier])
                part = [(low, high, price * share // total) for low, high, price in steps]
                packs.append(Packed(kit, -(-kit.content[item] // table.unit), part))
            return table.grown(packs)

        key = ("kits", table.serial, tuple((k, multiplier) for k, _, multiplier in kits))
        return self._made(key, make) if kits else table

    def _made(self, key: tuple, make: Callable[[], Table]) -> Table:
        """A kept table, or a new one. Where too much is kept, half of it is forgotten, what was used last staying."""
        with self._lock:
            found = self._kept.pop(key, None)
            if found is not None:
                self._kept[key] = found
                return found
        table = make()
        with self._lock:
            self._kept[key] = table
            self._bytes += table.own_bytes
            if self._bytes > MOST_BYTES:
                self._kept = dict(list(self._kept.items())[len(self._kept) // 2 :])
                self._bytes = sum(kept.own_bytes for kept in self._kept.values())
        return table
