"""The cover tables of a market, made when first asked for and kept; with them the parts of kits that give a lower bound."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass, field

from maker_kit.buying.curve.catalogue import Article, Catalogue
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier, Table, empty_table, shared_unit, with_multiplier

MOST_BYTES = 100 << 20
"""Memory that the tables of one set of items may take."""


@dataclass
class TableCache:
    """The tables of a catalogue, made when first asked for and kept: one an item, then one a supplier for its packs that only fill an order up.

    Attributes
    ----------
    book : Catalogue
    most : list of int
        Largest need of each item that the tables hold [base units].
    """

    book: Catalogue
    most: list[int]
    tables: dict[tuple[int, tuple[tuple[int, Multiplier], ...]], Table] = field(default_factory=dict)
    parted: dict[tuple, Table] = field(default_factory=dict)
    bytes: int = 0
    lock: threading.Lock = field(
        default_factory=threading.Lock, repr=False
    )  # a slider moves while the background still closes the last curve

    def __post_init__(self) -> None:
        self.single = [self.book.single(item) for item in range(len(self.book.items))]
        fillers = [self.book.articles[k] for k in self.book.fillers]
        self.single += [tuple(a for a in fillers if a.supplier == s) for s in sorted({a.supplier for a in fillers})]
        self.sellers = [tuple(sorted({a.supplier for a in articles})) for articles in self.single]
        self.unit = [
            shared_unit([a.content.get(item, 1) for a in articles]) for item, articles in enumerate(self.single)
        ]
        self.shares = [
            {item: units * self._dear(item) for item, units in self._kit(k).content.items()}
            for k in range(len(self.book.kits))
        ]
        self.most = [*self.most, *[0] * (len(self.single) - len(self.most))]

    @property
    def most_dg(self) -> int:
        """Heaviest purchase of one pack that covers alone the largest need [0.1 g]."""
        return max((self._enough(a) * a.weight_dg for a in self.book.articles), default=0)

    @property
    def fits(self) -> bool:
        """Whether every price stays far below `NEVER`."""
        factors = self.book.factors
        dear = [self._enough(a) * int(a.prices.max()) * factors[a.supplier] * SCALE for a in self.book.articles]
        return max(dear, default=0) < NEVER // 8 and self._all_items() < NEVER // 8

    def _enough(self, article: Article) -> int:
        return 1 + max(
            [article.bands[-1].low, *(-(-self.most[item] // units) for item, units in article.content.items())]
        )

    def _all_items(self) -> int:
        """What every item costs where it is covered by its dearest pack alone."""
        factors = self.book.factors
        return sum(
            max((self._enough(a) * int(a.prices.max()) * factors[a.supplier] * SCALE for a in articles), default=0)
            for articles in self.single
        )

    def table(self, item: int, multipliers: Sequence[Multiplier | None]) -> Table:
        """The table of one item; `multipliers` holds one entry a supplier, None where it is closed."""
        return self._chain(item, tuple((s, multipliers[s]) for s in self.sellers[item] if multipliers[s] is not None))

    def with_parts(self, item: int, multipliers: Sequence[Multiplier | None], after: int = -1) -> Table:
        """The table of one item with each kit that comes after the given one as a single pack at a part of its price.

        The parts of a kit add up to no more than its price and its content is rounded up, so the sum over the items is a lower bound for all baskets with kits.
        """
        kits = [
            k
            for k in range(after + 1, len(self.book.kits))
            if item in self._kit(k).content and multipliers[self._kit(k).supplier] is not None
        ]
        table = self.table(item, multipliers)
        if not kits:
            return table
        key = (
            item,
            tuple((s, multipliers[s]) for s in self.sellers[item] if multipliers[s] is not None),
            tuple((k, multipliers[self._kit(k).supplier]) for k in kits),
        )
        found = self._taken(self.parted, key)
        if found is None:
            found = table
            for k in kits:
                kit, multiplier = self._kit(k), multipliers[self._kit(k).supplier]
                share, total = self.shares[k][item], sum(self.shares[k].values())
                part = [
                    (low, high, price * share // total)
                    for low, high, price in with_multiplier(kit, self.book.factors[kit.supplier], multiplier)
                ]
                found = found.grown([kit], [-(-kit.content[item] // table.unit)], [part])
            self._put(self.parted, key, found, len(table.levels))
        return found

    def _taken(self, where: dict, key: tuple) -> Table | None:
        """A kept table, which thereby is the last to be forgotten."""
        with self.lock:
            found = where.pop(key, None)
            if found is not None:
                where[key] = found
        return found

    def _put(self, where: dict, key: tuple, table: Table, shared: int) -> None:
        """Keep a table; its first levels are those of another. Where too much is kept, half of it is forgotten, what was used last staying."""
        with self.lock:
            where[key] = table
            self.bytes += sum(level.size for level in table.levels[shared:])
            if self.bytes > MOST_BYTES:
                for kept in (self.tables, self.parted):
                    for old in list(kept)[: len(kept) // 2]:
                        del kept[old]
                levels = {
                    id(level): level.size
                    for kept in (self.tables, self.parted)
                    for table in kept.values()
                    for level in table.levels
                }
                self.bytes = sum(levels.values())

    def _kit(self, k: int) -> Article:
        return self.book.articles[self.book.kits[k]]

    def _dear(self, item: int) -> int:
        """About what a base unit of an item costs at its cheapest, in thousandths of 0.0001 cent, never 0; very much where no single pack holds it."""
        found = [
            1000 * int(a.prices.min()) * self.book.factors[a.supplier] // a.content[item] for a in self.single[item]
        ]
        return 1 + min(found, default=1 << 40)

    def _chain(self, item: int, key: tuple[tuple[int, Multiplier], ...]) -> Table:
        found = self._taken(self.tables, (item, key))
        if found is None:
            if not key:
                found = empty_table(self.unit[item], -(-self.most[item] // self.unit[item]))
            else:
                before, (supplier, multiplier) = self._chain(item, key[:-1]), key[-1]
                mine = [a for a in self.single[item] if a.supplier == supplier]
                factor = self.book.factors[supplier]
                found = before.grown(
                    mine,
                    [a.content.get(item, 1) // self.unit[item] for a in mine],
                    [with_multiplier(a, factor, multiplier) for a in mine],
                )
            self._put(self.tables, (item, key), found, len(before.levels) if key else 0)
        return found
