"""Whole cost curves, exact and live: the door of this room.

The problem is the internet shopping problem (Błażewicz et al., Int. J. Appl. Math. Comput. Sci. 20 (2010) 385–390). As
on a whiteboard:

1. `catalogue`: the market as columns of whole numbers, so that many baskets are priced at once.
2. `covers`, `table_cache`: of every item the cheapest cover of every need, by dynamic programming; kept between moves.
3. `supplier_subsets`: with the way every order is charged fixed, the items come apart but for "subtotal of at least"
   and "weight of at most"; multipliers on those rows give a lower bound (Fisher, Management Science 27 (1981) 1–18).
4. `search`: branch and bound over these ways for all counts at once, with every choice of `kit_counts`.
5. `partial_baskets`: what the bound leaves open is searched item by item among the `near_covers`.

What stays open is told with both its bounds, and is closed by the integer program of `maker_kit.buying.basket`.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np

from maker_kit.buying.basket.basket import cheapest_basket, checked_need
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError
from maker_kit.buying.curve.catalogue import Array, catalogue
from maker_kit.buying.curve.covers import NEVER
from maker_kit.buying.curve.search import Search
from maker_kit.buying.curve.supplier_subsets import MOST_SUPPLIERS
from maker_kit.buying.curve.table_cache import TableCache
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market
from maker_kit.buying.market_check import check_market

HEADROOM = Fraction(3, 2)
"""How much larger than the first need the tables are made: a slider moves by a few percent, and then finds them
ready."""

KEPT_TABLES = 2
"""Sets of items (recipes) whose tables are kept: the one on screen, and one it is compared with."""

NOT_YET = "not proved yet"

Points = tuple[CurvePoint, ...]
"""One a count of batches, from 1 on."""


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


class CurveSolver:
    """Curves of one market, with the tables kept between them.

    Parameters
    ----------
    market : Market

    Raises
    ------
    QuantityError, UnknownNameError
        If the market has a fault.
    """

    def __init__(self, market: Market) -> None:
        check_market(market)
        self.market = market
        self._kept: dict[tuple[str, ...], TableCache] = {}
        self._lock = threading.Lock()  # two curves of one solver may be worked out at a time

    def curve(
        self,
        per_batch: Mapping[str, Fraction],
        upto: int,
        *,
        seconds: float | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> Points:
        """Every count of batches from 1 to `upto`: exact where the search closed, certified from both sides elsewhere.

        There is no chance in the search: without a time limit the same tables and needs give the same baskets. Of
        baskets at one cost that it meets it keeps the one from fewer suppliers, then of fewer packs; the whole order is
        settled by `maker_kit.buying.basket.ties`.

        Parameters
        ----------
        per_batch : Mapping of str to Fraction
            What one batch takes of every item [0.1 g or pieces], exactly.
        upto : int
        seconds : float, optional
            Stop about then with what is known.
        cancelled : callable, optional
            Asked between steps; once true, stops with what is known.

        Returns
        -------
        tuple of CurvePoint

        Raises
        ------
        QuantityError
            If an amount is below 0.
        BasketError
            If a need is too large to be worked out.
        """
        deadline = None if seconds is None else time.monotonic() + seconds

        def stopped() -> bool:
            return (deadline is not None and time.monotonic() > deadline) or (cancelled is not None and cancelled())

        needs = needs_of(per_batch, upto)
        columns = {item: need.tolist() for item, need in needs.items()}
        rows = [{item: need[n] for item, need in columns.items() if need[n]} for n in range(upto)]
        if not needs:
            return tuple(CurvePoint(self.market, n, {}, 0, 0, {}) for n in range(1, upto + 1))
        cache = self._cache_for(needs)
        if cache is None:
            return tuple(CurvePoint(self.market, n, row, 0, told=NOT_YET) for n, row in enumerate(rows, 1))
        search = Search(cache, [needs[item] for item in cache.book.items], stopped)
        search.run()
        names = [article.name for article in cache.book.articles]
        points: list[CurvePoint] = []
        known = zip(rows, search.lower.tolist(), search.known.upper.tolist(), search.known.counts.tolist(), strict=True)
        for n, (row, low, high, counts) in enumerate(known, 1):
            packs = {name: many for name, many in zip(names, counts, strict=True) if many}
            best = (high, packs) if high < NEVER else (None, None)
            points.append(CurvePoint(self.market, n, row, low if low < NEVER else None, *best, NOT_YET))
        first = next((point.count for point in points if point.impossible), 0)
        return _solved(tuple(points), first) if first else tuple(points)

    def close(
        self,
        points: Points,
        *,
        first: Sequence[int] = (),
        progress: Callable[[int, int], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
        time_limit_s: float = 60.0,
    ) -> Points:
        """The points with those that are open proved by the integer program, the asked ones first.

        Parameters
        ----------
        points : tuple of CurvePoint
        first : sequence of int
            Counts to prove before all others.
        progress : callable, optional
            ``progress(done, total)``, after every count: how many counts are settled, of how many.
        cancelled : callable, optional
            Asked before every count.
        time_limit_s : float
            For one count [s].

        Returns
        -------
        tuple of CurvePoint
            A count stays ``not proved`` where the time was up or the search was called off.
        """
        tried: set[int] = set()
        while not (cancelled and cancelled()):
            left = _open(points)
            count = _next([point for point in left if point.count not in tried], first)
            if count is None:
                break
            tried.add(count)
            points = _solved(points, count, time_limit_s)
            if progress:
                progress(len(points) - len(_open(points)), len(points))
        return points

    def _cache_for(self, needs: Mapping[str, Array]) -> TableCache | None:
        """The tables of these items, new ones where the needs outgrew them; None where they would be too large."""
        items = tuple(sorted(needs))
        most = [int(needs[item][-1]) for item in items]
        with self._lock:
            found = self._kept.pop(items, None)
            if found is None or any(m > have for m, have in zip(most, found.most, strict=False)):
                book = catalogue(self.market, items)
                if len(book.tariffs) > MOST_SUPPLIERS:
                    return None
                found = TableCache(book, [int(m * HEADROOM) + 1 for m in most])
                if not found.fits:
                    return None
            self._kept[items] = found
            while len(self._kept) > KEPT_TABLES:
                self._kept.pop(next(iter(self._kept)))
            return found


def _open(points: Points) -> list[CurvePoint]:
    return [point for point in points if not point.proved and not point.impossible]


def _next(left: Sequence[CurvePoint], first: Sequence[int]) -> int | None:
    """The count to prove next: an asked one; or the middle of those of which no basket is known, to find soon from
    where on there is none; or the first.
    """
    counts = [point.count for point in left]
    unknown = [point.count for point in left if point.packs is None]
    return next((n for n in first if n in counts), unknown[len(unknown) // 2] if unknown else next(iter(counts), None))


def _solved(points: Points, count: int, time_limit_s: float = 60.0) -> Points:
    """The points after one count was solved by itself, with what that tells of the others.

    Where no basket covers its need, none covers a larger one; the sentence is that of the first.
    """
    asked = points[count - 1]
    try:
        basket = cheapest_basket(asked.market, asked.need, tie_break=False, time_limit_s=time_limit_s)
    except ImpossibleNeedError as error:
        gone = {"lower_micros": None, "upper_micros": None, "packs": None, "told": str(error)}
        return tuple(replace(p, **gone) if p.count >= count else p for p in points)
    except NotProvedError as error:
        return tuple(
            replace(p, told=str(error)) if p.count == count or (asked.impossible and p.impossible) else p
            for p in points
        )
    if asked.impossible:
        msg = f"The curve and the integer program differ about {count} batches."
        raise NotProvedError(msg)
    return tuple(p.narrowed(basket.cost_micros, count, basket.counts) for p in points)
