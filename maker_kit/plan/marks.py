"""Where something new begins along a curve: a larger pack, a supplier, free delivery. Each is marked once, where it
first appears.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

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
    """The counts at which the shopping list first takes a larger size of an item or a kit, first buys from a supplier,
    or first has its delivery free.

    Each happens once for every size, kit and supplier: a list that goes back to smaller packs later is not marked. What
    the first list of the curve holds is where it begins, and no mark. Where several lists cost the same, the one that
    the curve holds is looked at.

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
    packs = {pack.name: pack.content for pack in market.packs}
    largest: dict[str, int] = {}
    seen: set[str] = set()
    marks: list[CurveMark] = []
    first = True
    for count, basket in ((point.count, point.basket) for point in curve.points):
        if basket is None:
            continue
        new = [words for words in _begun(market, packs, basket) if words not in seen]
        seen.update(new)
        sizes: dict[str, tuple[int, str]] = {}
        for line in basket.lines:
            if len(packs[line.pack]) == 1:
                ((item, units),) = packs[line.pack].items()
                sizes[item] = max(sizes.get(item, (0, "")), (units, line.pack))
        new += [pack for item, (units, pack) in sizes.items() if item in largest and units > largest[item]]
        largest |= {item: max(largest.get(item, 0), units) for item, (units, _) in sizes.items()}
        if new and not first:
            marks.append(CurveMark(count, "; ".join(new)))
        first = False
    return tuple(marks)


def _begun(market: Market, packs: Mapping[str, Mapping[str, int]], basket: Basket) -> Iterator[str]:
    """What a list holds, in words: its orders, those that are carried free and would not be otherwise, its kits."""
    for order in basket.orders:
        yield f"an order at {order.supplier}"
        if order.free_delivery and any(price for _, price in market.supplier(order.supplier).delivery):
            yield f"free delivery from {order.supplier}"
    yield from (line.pack for line in basket.lines if len(packs[line.pack]) > 1)
