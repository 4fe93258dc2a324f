"""Whole cost curves, exact and live: the door of this room, whose page (`maker_kit.buying.curve`) tells the method."""

from __future__ import annotations

import contextlib
import math
import operator
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import Any

import numpy as np

from maker_kit.buying.basket.basket import cheapest_basket, settled_basket
from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import FIRST_PART_S, MORE_TIME, ImpossibleNeedError, NotProvedError, Problem
from maker_kit.buying.basket.ties import another
from maker_kit.buying.curve.catalogue import Array, catalogue, needs_of
from maker_kit.buying.curve.covers import NEVER, TooLargeError
from maker_kit.buying.curve.mode_tree import NEAR, ModeTree
from maker_kit.buying.curve.near.near_lists import NearLists
from maker_kit.buying.curve.prices import Prices
from maker_kit.buying.curve.search import Search, StoppedError
from maker_kit.buying.curve.supplier_subsets import MOST_WAYS
from maker_kit.buying.curve.table_cache import TableCache
from maker_kit.buying.curve_point import CurvePoint, Nearby
from maker_kit.buying.market import Market
from maker_kit.buying.market_check import check_market
from maker_kit.buying.stopping import Asked, callable_off

NOT_YET = "not proved yet"

TOO_LATE = "The time was up before this count was proved. Allow more time, or look at fewer counts."

HARDLY_A = 10
"""Less than one count in so many."""

Points = tuple[CurvePoint, ...]
"""One a count of batches, from 1 on."""


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

        Where the time might not do for all, each of the others whose bounds lie far apart has a short turn first, those
        that lie farthest apart before all: over how orders are charged, and then with the integer program; of a count
        whose time was up, the bound that was reached is kept. Where it is called off in the midst of a
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

        def over(asked: Asked) -> bool:
            return asked() or time.monotonic() > end

        def turn(asked: Asked, wanted: Callable[[CurvePoint], bool], *, short: bool = False) -> None:
            tried: list[int] = []
            while not over(asked):
                left = [point for point in _open(best[0]) if wanted(point) and point.count not in tried]
                if not left:
                    return
                tried.append(count := _next(left, first))
                found = _solved(best[0], count, **limits(asked, short * len(_open(best[0]))))
                if asked():
                    return
                best[0] = found
                if progress:
                    progress(len(found) - len(_open(found)), len(found))
                if seen:
                    seen(found)

        def work(asked: Asked) -> Points:
            turn(asked, lambda point: point.count in first)
            with contextlib.suppress(StoppedError, TooLargeError):
                self._bring_nearer(best, end, asked)
            if end - time.monotonic() < time_limit_s * len(points):
                turn(asked, lambda point: point.wide and point.count not in first, short=True)
            turn(asked, lambda _: True)
            if settle:
                _settle(best, first, lambda: over(asked), lambda: limits(asked), self._near)
            return best[0]

        found = callable_off(work, cancelled, lambda: best[0])
        if time.monotonic() > end:
            found = tuple(p if p.proved or p.impossible else replace(p, told=TOO_LATE, late=True) for p in found)
        return found

    def _bring_nearer(self, best: list[Points], end: float, asked: Asked) -> None:
        """Search over how orders are charged, count by count, the nearest bounds first; no count takes more than three
        times its share of what is left of the time, and what is left over goes to the integer program.
        Where hardly a count is that open, the integer program is sooner done (six medium markets: 1.6 s against 2.6 s).
        """
        tree: ModeTree | None = None
        if sum(_apart(point) > NEAR for point in best[0]) * HARDLY_A < len(best[0]):
            return

        def over(late: float = math.inf) -> bool:
            return asked() or time.monotonic() > min(end, late)

        tried: set[int] = set()
        while not over():
            left = [p for p in _open(best[0]) if p.upper_micros and p.count not in tried and _apart(p) > NEAR]
            if not left:
                return
            point = min(left, key=_apart)
            if tree is None:
                needs = {i: np.array([p.need.get(i, 0) for p in best[0]], np.int64) for i in best[0][-1].need}
                cache = self._cache_for(needs, over)
                if cache is None:
                    return
                columns = [needs[item] for item in cache.book.items]
                tree = ModeTree(Prices(cache, columns, _raising(over)), columns, self.market)
            given = min(3 * (end - time.monotonic()) / len(left), FIRST_PART_S * MORE_TIME)
            late = time.monotonic() + given
            found = tree.bounds(point.count - 1, point.need, point.upper_micros, partial(over, late))
            tried.add(point.count)
            points = tuple(p.narrowed(found.lower, point.count, None) for p in best[0])
            if found.counts is not None:
                names = [article.name for article in tree.book.articles]
                packs = {name: many for name, many in zip(names, found.counts.tolist(), strict=True) if many}
                points = tuple(p.served(point.count, found.upper, packs) for p in points)
            best[0] = points

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
        check = _raising(asked)
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


def _settle(
    best: list[Points],
    first: Sequence[int],
    asked: Asked,
    limits: Callable[[], dict[str, Any]],
    near: NearLists | None = None,
) -> None:
    """Put the basket that comes first at its cost into every proved point, the asked counts first.

    Where a count has no other basket at its cost, a larger count with the same one has none either: whatever covers its
    need covers the smaller one.
    """
    alone: dict[tuple[int, tuple[tuple[str, int], ...]], int] = {}  # cost and basket: the least count known so
    for count in sorted(range(1, len(best[0]) + 1), key=lambda n: (n not in first, n)):
        point = best[0][count - 1]
        if asked():
            return
        if not point.proved or point.settled:
            continue
        same = (point.upper_micros, tuple(sorted(point.packs.items())))
        found = replace(point, settled=True)
        if alone.get(same, count) >= count:
            given, now = limits(), time.monotonic()
            problem = Problem(point.market, point.need, Restriction(), now + given["time_limit_s"], given["stopped"])
            try:
                if _tied(problem, point, near):
                    basket = settled_basket(problem, point.basket, tied=True)
                    found = replace(point, packs=basket.counts, settled=basket.settled)
                else:
                    alone[same] = count
            except NotProvedError:
                found = point
        if asked():
            return
        best[0] = (*best[0][: count - 1], found, *best[0][count:])


def _tied(problem: Problem, point: CurvePoint, near: NearLists | None) -> bool:
    """Whether another basket costs as much as the cheapest: by the lists near it, else by the integer program."""
    if near:
        with contextlib.suppress(NotProvedError):
            return near.another(point.need, point.packs, point.upper_micros)
    return another(problem, point.packs, point.upper_micros)


def _raising(asked: Asked) -> Callable[[], None]:
    """The same as an error, for work that asks between its steps."""

    def check() -> None:
        if asked():
            raise StoppedError

    return check


def _apart(point: CurvePoint) -> float:
    """How far the bounds of a count lie apart, as a part of its cost."""
    return 1 - (point.lower_micros or 0) / point.upper_micros if point.upper_micros else 0.0


def _open(points: Points) -> list[CurvePoint]:
    return [point for point in points if not point.proved and not point.impossible]


def _next(left: Sequence[CurvePoint], first: Sequence[int]) -> int:
    """The count to prove next: an asked one; or the middle of those of which no basket is known, to find soon from
    where on there is none; or the first.
    """
    counts = [point.count for point in left]
    unknown = [point.count for point in left if point.packs is None]
    farthest = unknown[len(unknown) // 2] if unknown else max(left, key=_apart).count
    return next((n for n in first if n in counts), farthest)


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
