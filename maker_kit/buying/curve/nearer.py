"""Counts whose bounds lie far apart, brought nearer before the integer program closes them one by one."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Mapping
from functools import partial

import numpy as np

from maker_kit.buying.basket.program import FIRST_PART_S, MORE_TIME
from maker_kit.buying.curve.catalogue import Array
from maker_kit.buying.curve.mode_tree import NEAR, ModeTree
from maker_kit.buying.curve.prices import Prices
from maker_kit.buying.curve.search import StoppedError
from maker_kit.buying.curve.table_cache import TableCache
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market
from maker_kit.buying.stopping import Asked

HARDLY_A = 10
"""Less than one count in so many."""

Points = tuple[CurvePoint, ...]
"""One a count of batches, from 1 on."""
CacheFor = Callable[[Mapping[str, Array], Asked], TableCache | None]
"""What has the tables of items for their needs, or None where they would be too large."""


def bring_nearer(best: list[Points], market: Market, cache_for: CacheFor, end: float, asked: Asked) -> None:
    """Search over how orders are charged, count by count, the nearest bounds first; no count takes more than three
    times its share of what is left of the time, and what is left over goes to the integer program.

    Where hardly a count is that open, the integer program is sooner done (six medium markets: 1.6 s against 2.6 s).
    """
    tree: ModeTree | None = None
    if sum(apart(point) > NEAR for point in best[0]) * HARDLY_A < len(best[0]):
        return

    def over(late: float = math.inf) -> bool:
        return asked() or time.monotonic() > min(end, late)

    tried: set[int] = set()
    while not over():
        left = [p for p in open_points(best[0]) if p.upper_micros and p.count not in tried and apart(p) > NEAR]
        if not left:
            return
        point = min(left, key=apart)
        if tree is None:
            needs = {i: np.array([p.need.get(i, 0) for p in best[0]], np.int64) for i in best[0][-1].need}
            cache = cache_for(needs, over)
            if cache is None:
                return
            columns = [needs[item] for item in cache.book.items]
            tree = ModeTree(Prices(cache, columns, raising(over)), columns, market)
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


def raising(asked: Asked) -> Callable[[], None]:
    """The same as an error, for work that asks between its steps."""

    def check() -> None:
        if asked():
            raise StoppedError

    return check


def apart(point: CurvePoint) -> float:
    """How far the bounds of a count lie apart, as a part of its cost."""
    return 1 - (point.lower_micros or 0) / point.upper_micros if point.upper_micros else 0.0


def open_points(points: Points) -> list[CurvePoint]:
    """Those that are neither proved nor impossible."""
    return [point for point in points if not point.proved and not point.impossible]
