"""Of the baskets at one cost, the one that comes first, in every proved count."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from maker_kit.buying.basket.basket import settled_basket
from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import NotProvedError, Problem
from maker_kit.buying.basket.ties import another
from maker_kit.buying.curve.near.near_lists import NearLists
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.stopping import Asked

Points = tuple[CurvePoint, ...]
"""One a count of batches, from 1 on."""


def settle_all(
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
