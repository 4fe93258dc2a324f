"""Where something new begins along a curve: a larger pack, a supplier, free delivery. Each is marked once, where it first appears."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import pandas as pd

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.costing import CostCurve
from maker_kit.buying.market import Market


class CurveMark(NamedTuple):
    """One count at which something new begins.

    Attributes
    ----------
    count : int
        Of batches.
    words : str
        What begins there.
    """

    count: int
    words: str


def curve_marks(market: Market, curve: CostCurve) -> tuple[CurveMark, ...]:
    """The counts at which the shopping list first takes a larger size of an item or a kit, first buys from a supplier, or first has its delivery free.

    Each happens once for every size, kit and supplier: a list that goes back to smaller packs later is not marked. What the first list of the curve holds is where it begins, and no mark. Where several
    lists cost the same, the one that the curve holds is looked at.

    Parameters
    ----------
    market : Market
        The one the curve was worked out for.
    curve : CostCurve

    Returns
    -------
    tuple of CurveMark
        (count of batches, words), by count, at most one a count.
    """
    packs = {pack.name: pack for pack in market.packs}
    largest: dict[str, int] = {}
    kits: set[str] = set()
    opened: set[str] = set()
    free: set[str] = set()
    marks: list[CurveMark] = []
    started = False
    for point in curve.points:
        count, basket = point.count, point.basket
        if basket is None:
            continue
        words = [f"an order at {order.supplier}" for order in basket.orders if order.supplier not in opened]
        words += [
            f"free delivery from {order.supplier}"
            for order in basket.orders
            if _free_now(market, basket, order.supplier) and order.supplier not in free
        ]
        for line in basket.lines:
            content = packs[line.pack].content
            if len(content) > 1:
                if line.pack not in kits:
                    words.append(line.pack)
                kits.add(line.pack)
                continue
            ((item, units),) = content.items()
            if item in largest and units > largest[item] and units == _largest_here(packs, basket, item):
                words.append(line.pack)
        for line in basket.lines:
            for item, units in packs[line.pack].content.items():
                if len(packs[line.pack].content) == 1:
                    largest[item] = max(largest.get(item, 0), units)
        opened |= {order.supplier for order in basket.orders}
        free |= {order.supplier for order in basket.orders if order.free_delivery}
        if started and words:
            marks.append(CurveMark(count, "; ".join(words)))
        started = True
    return tuple(marks)


def marks_frame(marks: Iterable[CurveMark]) -> pd.DataFrame:
    """The marks as a table: batches, what begins."""
    return pd.DataFrame(list(marks), columns=["batches", "what begins"])


def _free_now(market: Market, basket: Basket, supplier: str) -> bool:
    """Whether delivery is free that would cost something otherwise."""
    return any(o.free_delivery for o in basket.orders if o.supplier == supplier) and any(
        price for _, price in market.supplier(supplier).delivery
    )


def _largest_here(packs: dict, basket: Basket, item: str) -> int:
    return max(packs[line.pack].content[item] for line in basket.lines if set(packs[line.pack].content) == {item})
