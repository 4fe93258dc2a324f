"""Whole cost curves, exact and live: the door of this room, whose page (`maker_kit.buying.curve`) tells the method."""

from __future__ import annotations

import math
import operator
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.program import FIRST_PART_S, MORE_TIME, ImpossibleNeedError, NotProvedError
from maker_kit.buying.curve.catalogue import Array, catalogue, needs_of
from maker_kit.buying.curve.covers import NEVER
from maker_kit.buying.curve.near.near_lists import NearLists
from maker_kit.buying.curve.search import Search, StoppedError
from maker_kit.buying.curve.settling import Points, settle_all
from maker_kit.buying.curve.supplier_subsets import MOST_WAYS
from maker_kit.buying.curve.table_cache import TableCache
from maker_kit.buying.curve_point import CurvePoint, Nearby
from maker_kit.buying.market import Market
from maker_kit.buying.market_check import check_market
from maker_kit.buying.stopping import Asked, callable_off

NOT_YET = "not proved yet"

TOO_LATE = "The time was up before this count was proved. Allow more time, or look at fewer counts."


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
        self._kept: tuple[tuple[str, ...], TableCache] | None = None
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
        needs = needs_of(per_batch, upto)
        columns = {item: need.tolist() for item, need in needs.items()}
        rows = [{item: need[n] for item, need in columns.items() if need[n]} for n in range(upto)]
        if not needs:
            return tuple(CurvePoint(self.market, n, {}, 0, 0, {}, settled=True) for n in range(1, upto + 1))
        known = {"told": NOT_YET, "per_batch": per_batch}
        nothing = tuple(CurvePoint(self.market, n, row, 0, **known) for n, row in enumerate(rows, 1))
        end = math.inf if seconds is None else time.monotonic() + seconds
        return callable_off(lambda asked: self._searched(nothing, needs, end, asked), cancelled, lambda: nothing)

    def _searched(self, points: Points, needs: Mapping[str, Array], end: float, asked: Asked) -> Points:
        """Points of which nothing is known, after the search; why a count is impossible is found out in any case."""
        try:
            cache = self._cache_for(needs, asked)
        except StoppedError:
            return points
        if cache is None:
            return points
        search = Search(
            cache, [needs[item] for item in cache.book.items], lambda: time.monotonic() > end or asked(), asked
        )
        search.run()
        names = [article.name for article in cache.book.articles]
        found: list[CurvePoint] = []
        known = search.lower.tolist(), search.known.upper.tolist(), search.known.counts.tolist()
        for point, low, high, counts in zip(points, *known, strict=True):
            packs = {name: many for name, many in zip(names, counts, strict=True) if many}
            upper, packs = (high, packs) if high < NEVER else (None, None)
            found.append(replace(point, lower_micros=low if low < NEVER else None, upper_micros=upper, packs=packs))
        first = next((point.count for point in found if point.impossible), 0)
        return _solved(tuple(found), first, stopped=asked) if first else tuple(found)

    def close(
        self,
        points: Points,
        *,
        first: Sequence[int] = (),
        progress: Callable[[int, int], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
        time_limit_s: float = 60.0,
        seconds: float | None = None,
        settle: bool = False,
        seen: Callable[[Points], None] | None = None,
    ) -> Points:
        """The points with those that are open proved by the integer program, the asked ones first.

        Where the time might not do for all, each of the others whose bounds lie far apart has a short turn first; of a
        count whose time was up, the bound that was reached is kept. Where it is called off in the midst of a
        count, it ends soon after, and that count stays as it was.

        Parameters
        ----------
        points : tuple of CurvePoint
        first : sequence of int
            Counts to prove before all others.
        progress : callable, optional
            ``progress(done, total)``, after every count: how many counts are proved, of how many.
        cancelled : callable, optional
            Asked often.
        time_limit_s : float
            For one count [s].
        seconds : float, optional
            For all of it [s]; without it, only each count is limited.
        settle : bool
            Whether then, of each proved count, the basket is looked for that comes first of all at its cost.
        seen : callable, optional
            Given the points, after every count that was proved.

        Returns
        -------
        tuple of CurvePoint
            A count stays ``not proved``, and says why, where the time was up or the search was called off.
        """
        best = [points]  # what is known when it is called off
        end = time.monotonic() + min(math.inf if seconds is None else seconds, 1e9)

        def limits(asked: Asked, parts: int = 0) -> dict[str, Any]:
            most = FIRST_PART_S * MORE_TIME if parts else math.inf
            given = min(time_limit_s, most, (end - time.monotonic()) / max(parts, 1))
            return {"time_limit_s": max(given, 1e-3), "stopped": cancelled and asked}

        def work(asked: Asked) -> Points:
            for share in (1, 0) if end - time.monotonic() < time_limit_s * len(points) else (0,):
                tried: list[int] = []
                while not asked() and time.monotonic() < end:
                    now = [p for p in _open(best[0]) if p.wide or p.count in first or not share]
                    if not (left := [point for point in now if point.count not in tried]):
                        break
                    tried.append(count := _next(left, first))
                    found = _solved(best[0], count, **limits(asked, share * len(_open(best[0])) * (count not in first)))
                    if asked():
                        break
                    best[0] = found
                    if progress:
                        progress(len(found) - len(_open(found)), len(found))
                    if seen:
                        seen(found)
            if settle:
                settle_all(best, first, lambda: asked() or time.monotonic() > end, lambda: limits(asked), self._near)
            return best[0]

        found = callable_off(work, cancelled, lambda: best[0])
        if time.monotonic() > end:
            found = tuple(p if p.proved or p.impossible else replace(p, told=TOO_LATE, late=True) for p in found)
        return found

    def nearby(self, most: Mapping[str, int], shared: dict[Any, Any] | None = None) -> Nearby:
        """What finds the cheapest basket of a need near a known one, sooner than the integer program.

        Parameters
        ----------
        most : Mapping of str to int
            Largest need of every item that will be asked for [base units].
        shared : dict, optional
            Kept from market to market, where several that differ in few prices are asked.

        Returns
        -------
        callable
            ``nearby(need, at_most_micros)``: pack counts and cost [0.0001 cent]; None where none costs at most so much.
            It raises NotProvedError where there are too many.

        Raises
        ------
        NotProvedError
            If its tables would be too large.
        """
        return NearLists.of_market(self.market, most, shared).cheapest

    @property
    def _near(self) -> NearLists | None:
        """Baskets near the cheapest, from the tables of the last curve; None where there are none."""
        return NearLists(self._kept[1]) if self._kept else None

    def _cache_for(self, needs: Mapping[str, Array], asked: Asked) -> TableCache | None:
        """The tables of these items, new ones where the needs outgrew them: twice as large, as a slider moves. None
        where they would be too large. Raises StoppedError where it is called off.
        """

        def check() -> None:
            if asked():
                raise StoppedError

        items = tuple(sorted(needs))
        most = [int(needs[item][-1]) for item in items]
        with self._lock:
            check()
            kept, found = self._kept or (None, None)
            if kept == items and all(map(operator.le, most, found.most)):
                return found
            book = catalogue(self.market, items, check)
            if 2 ** len(book.tariffs) > MOST_WAYS:
                return None
            found = TableCache(book, [2 * m for m in most])
            if not found.fits:
                return None
            self._kept = items, found
            return found


def _open(points: Points) -> list[CurvePoint]:
    return [point for point in points if not point.proved and not point.impossible]


def _next(left: Sequence[CurvePoint], first: Sequence[int]) -> int:
    """The count to prove next: an asked one; or the middle of those of which no basket is known, to find soon from
    where on there is none; or the first.
    """
    counts = [point.count for point in left]
    unknown = [point.count for point in left if point.packs is None]
    return next((n for n in first if n in counts), unknown[len(unknown) // 2] if unknown else counts[0])


def _solved(points: Points, count: int, time_limit_s: float = 60.0, stopped: Asked | None = None) -> Points:
    """The points after one count was solved by itself, with what that tells of the others.

    Where no basket covers its need, none covers a larger one; the sentence is that of the first.
    """
    asked = points[count - 1]
    try:
        limits = {"time_limit_s": time_limit_s, "stopped": stopped, "at_most_micros": asked.upper_micros or math.inf}
        basket = cheapest_basket(asked.market, asked.need, tie_break=False, **limits)
    except ImpossibleNeedError as error:
        gone = {"lower_micros": None, "upper_micros": None, "packs": None, "told": str(error)}
        return tuple(replace(p, **gone) if p.count >= count else p for p in points)
    except NotProvedError as error:
        least = min(error.least, asked.upper_micros or error.least)
        return tuple(
            replace(p, told=str(error)) if p.count == count or (asked.impossible and p.impossible) else p
            for p in (p.narrowed(least, count, None) for p in points)
        )
    if asked.impossible:
        msg = f"The curve and the integer program differ about {count} batches."
        raise NotProvedError(msg)
    return tuple(p.narrowed(basket.cost_micros, count, basket.counts) for p in points)
