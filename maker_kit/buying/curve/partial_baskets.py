"""The cheapest combination of near-cheapest covers that reaches every subtotal and stays in every delivery step: label setting.

Labels are partial baskets; one is dropped when another of the same point costs no more and leaves no more to do (Desrochers and Soumis, INFOR 26 (1988) 191–212), or when its price
with the multipliers is above what is known to be reachable.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from maker_kit.buying.curve.catalogue import NO_WEIGHT
from maker_kit.buying.curve.covers import Table, TooLargeError
from maker_kit.buying.curve.near_covers import Asked, Covers, Stack, least_goods, near_covers
from maker_kit.buying.curve.undominated import undominated

MOST_PARTIAL = 250_000
"""Most partial baskets looked at in one go; beyond it the points are taken in smaller lots."""

MOST_EACH = 60_000
"""Most partial baskets of one point within the room; beyond it the point is given up, as the integer program is sooner done."""

MOST_GUESSED = 1_500
"""Partial baskets of a point that is given up which are still followed to an answer, be it the cheapest or not."""


@dataclass(frozen=True)
class Point:
    """What one lot of label setting is asked, an entry a point.

    Attributes
    ----------
    count : numpy.ndarray
        Place of the batch count of each; where one point is given up, all of its count are.
    multipliers : numpy.ndarray
        Combination of multipliers of each.
    limit : numpy.ndarray of int64
        Largest sum of table prices of an answer that would help.
    subtotal, heaviest : dict of int to numpy.ndarray
        Supplier to the goods still to be reached [cent] and the weight still free [0.1 g]; `NO_WEIGHT` for any.
    needs : list of numpy.ndarray
        Need of every item, in units of its tables.
    """

    count: np.ndarray
    multipliers: np.ndarray
    limit: np.ndarray
    subtotal: dict[int, np.ndarray]
    heaviest: dict[int, np.ndarray]
    needs: list[np.ndarray]

    def only(self, part: np.ndarray) -> Point:
        """Some of the points."""
        return Point(
            self.count[part],
            self.multipliers[part],
            self.limit[part],
            {s: v[part] for s, v in self.subtotal.items()},
            {s: v[part] for s, v in self.heaviest.items()},
            [n[part] for n in self.needs],
        )


@dataclass(frozen=True)
class Answer:
    """The cheapest combination of every point.

    Attributes
    ----------
    closed : numpy.ndarray of bool
        Whether the search was complete: no answer then means that none within the limit exists.
    cost : numpy.ndarray of int64
        Goods with tax [0.0001 cent]; `NO_WEIGHT` where there is none.
    counts : numpy.ndarray, points × articles
    """

    closed: np.ndarray
    cost: np.ndarray
    counts: np.ndarray


def set_partial_baskets(
    stacks: Sequence[Stack], factors: Sequence[int], point: Point, columns: int, check: Callable[[], None]
) -> Answer:
    """The cheapest covers of all items together that reach every subtotal and exceed no weight.

    Points that need too many labels are tried in halves, and at last given up.

    Parameters
    ----------
    stacks : sequence of Stack
        One an item.
    factors : sequence of int
        Cost of a cent of goods, a supplier [0.0001 cent].
    point : Point
    columns : int
        Number of articles.
    check : callable
        Called between steps; may raise to end the search.

    Returns
    -------
    Answer
    """
    size = len(point.limit)
    try:
        return _labels(stacks, factors, point, columns, check)
    except TooLargeError:
        if size == 1:
            return Answer(np.zeros(1, dtype=bool), np.full(1, NO_WEIGHT), np.zeros((1, columns), dtype=np.int64))
    halves = [
        set_partial_baskets(stacks, factors, point.only(part), columns, check)
        for part in np.array_split(np.arange(size), 2)
    ]
    return Answer(*(np.concatenate([getattr(half, name) for half in halves]) for name in ("closed", "cost", "counts")))


@dataclass(frozen=True)
class _Step:
    """One item of a lot: its covers as runs by need and table, the cheapest in table price first, each with what it costs above the first.

    Which run is each point's, over that run the ends of what a cover adds, and the least goods that any cover adds, a supplier each.
    """

    table: Table
    covers: Covers
    extra: np.ndarray
    run: np.ndarray
    first: np.ndarray
    length: np.ndarray
    cheapest: np.ndarray
    goods: dict[int, tuple[np.ndarray, np.ndarray]]
    weights: dict[int, tuple[np.ndarray, np.ndarray]]

    def only(self, part: np.ndarray) -> _Step:
        """The step for some of the points."""
        return replace(
            self,
            run=self.run[part],
            first=self.first[part],
            length=self.length[part],
            cheapest=self.cheapest[part],
            goods={s: (low[part], high[part]) for s, (low, high) in self.goods.items()},
            weights={s: (low[part], high[part]) for s, (low, high) in self.weights.items()},
        )


def _asked(stack: Stack, multipliers: np.ndarray, need: np.ndarray, gap: np.ndarray) -> tuple[Asked, np.ndarray]:
    """The different needs of some points at the tables of their multipliers, each with the widest room; and which of them is each point's."""
    values, inverse = np.unique(stack.of[multipliers] * (stack.first.most + 1) + need, return_inverse=True)
    widest = np.full(len(values), -1, dtype=np.int64)
    np.maximum.at(widest, inverse, gap)
    return Asked(values // (stack.first.most + 1), values % (stack.first.most + 1), widest), inverse


def _step(
    stack: Stack,
    factors: Sequence[int],
    multipliers: np.ndarray,
    need: np.ndarray,
    gap: np.ndarray,
    wanted: dict[int, np.ndarray],
    floor: dict[int, np.ndarray],
    weighed: Sequence[int],
    check: Callable[[], None],
) -> tuple[_Step, np.ndarray]:
    """The step of one item, and the points of which it has too many covers."""
    asked, inverse = _asked(stack, multipliers, need, gap)
    covers, full = near_covers(
        stack, factors, asked, {s: int((v + floor[s]).max()) for s, v in wanted.items()}, weighed, check
    )
    edges = np.searchsorted(covers.at, np.arange(len(full) + 1))
    length = np.diff(edges)
    some = length > 0

    def by_run(amounts: np.ndarray, pick: np.ufunc) -> np.ndarray:
        best = np.zeros(len(full), dtype=np.int64)
        if some.any():
            best[some] = pick.reduceat(amounts, edges[:-1][some])
        return best[inverse]

    cheapest = by_run(covers.with_multiplier, np.minimum)
    extra = covers.with_multiplier - np.repeat(covers.with_multiplier[edges[:-1][some]], length[some])
    return _Step(
        stack.first,
        covers,
        extra,
        inverse,
        edges[:-1][inverse],
        length[inverse],
        cheapest,
        {s: (floor[s], by_run(covers.goods[s], np.maximum)) for s in wanted},
        {s: (by_run(covers.weight[s], np.minimum), by_run(covers.weight[s], np.maximum)) for s in weighed},
    ), full[inverse]


def _labels(
    stacks: Sequence[Stack], factors: Sequence[int], point: Point, columns: int, check: Callable[[], None]
) -> Answer:
    """Find the rows that every near cover keeps anyway, then label each lot of points that has the same rows left."""
    size = len(point.limit)
    none = np.zeros(size, dtype=np.int64)
    busy = [(stack, need) for stack, need in zip(stacks, point.needs, strict=True) if stack.first.articles]
    gap = point.limit - sum((_least(stack, point.multipliers, need) for stack, need in busy), none)
    found = Answer(np.ones(size, dtype=bool), np.full(size, NO_WEIGHT), np.zeros((size, columns), dtype=np.int64))
    floors: list[dict[int, np.ndarray]] = []
    for stack, need in busy:
        asked, inverse = _asked(stack, point.multipliers, need, gap)
        floors.append({})
        for s in point.subtotal:
            least, full = least_goods(stack, asked, s, check)
            floors[-1][s] = least[inverse]
            _give_up(found, point.count, full[inverse])
    lack = {s: np.maximum(v - sum((floor[s] for floor in floors), none), 0) for s, v in point.subtotal.items()}
    kind = none.copy()
    for bit, v in enumerate([*lack.values(), *(NO_WEIGHT - v for v in point.heaviest.values())]):
        kind |= (v > 0).astype(np.int64) << bit
    for value in np.unique(kind):
        part = np.flatnonzero((kind == value) & (gap >= 0) & found.closed)
        subtotals = [s for bit, s in enumerate(lack) if value >> bit & 1]
        heaviest = [s for bit, s in enumerate(point.heaviest, len(lack)) if value >> bit & 1]
        steps = []
        for (stack, need), floor in zip(busy, floors, strict=True):
            if len(part):
                step, full = _step(
                    stack,
                    factors,
                    point.multipliers[part],
                    need[part],
                    gap[part],
                    {s: lack[s][part] for s in subtotals},
                    {s: floor[s][part] for s in subtotals},
                    heaviest,
                    check,
                )
                steps.append(step)
                if full.any():
                    _give_up(found, point.count, np.isin(np.arange(size), part[full]))
                    fine = np.flatnonzero(found.closed[part])
                    steps, part = [one.only(fine) for one in steps], part[fine]
        if len(part):
            _in_lots(
                steps,
                point.limit[part],
                {s: lack[s][part] for s in subtotals},
                {s: point.heaviest[s][part] for s in heaviest},
                found,
                part,
                check,
            )
            _give_up(found, point.count, ~found.closed)
    return found


def _give_up(found: Answer, count: np.ndarray, full: np.ndarray) -> None:
    """Mark some points as not closed, and with them all of their counts."""
    if full.any():
        found.closed[np.isin(count, count[full])] = False


def _least(stack: Stack, multipliers: np.ndarray, need: np.ndarray) -> np.ndarray:
    """Least price of one item at every point."""
    asked, inverse = _asked(stack, multipliers, need, np.zeros(len(need), dtype=np.int64))
    return stack.least(asked.which, asked.need)[inverse]


def _in_lots(
    steps: list[_Step],
    limit: np.ndarray,
    subtotal: dict[int, np.ndarray],
    heaviest: dict[int, np.ndarray],
    found: Answer,
    part: np.ndarray,
    check: Callable[[], None],
) -> None:
    """Walk all points at once, or in halves where the labels become too many."""
    try:
        _walk(steps, limit, subtotal, heaviest, found, part, check)
    except TooLargeError:
        if len(part) == 1:
            found.closed[part] = False
            return
        for half in np.array_split(np.arange(len(part)), 2):
            _in_lots(
                [step.only(half) for step in steps],
                limit[half],
                {s: v[half] for s, v in subtotal.items()},
                {s: v[half] for s, v in heaviest.items()},
                found,
                part[half],
                check,
            )


def _cheapest_first(at: np.ndarray, used: np.ndarray, many: np.ndarray, most: np.ndarray) -> np.ndarray:
    """How many covers each label is still tried with where a point has too many: all of the labels that used up least, so that at least a good basket may be met."""
    order = np.lexsort((used, at))
    total = np.cumsum(many[order])
    start = np.searchsorted(at[order], at[order])
    fine = np.empty(len(at), dtype=bool)
    fine[order] = total - np.where(start > 0, total[start - 1], 0) <= most[order]
    return np.where(fine, many, 0)


def _walk(
    steps: list[_Step],
    limit: np.ndarray,
    subtotal: dict[int, np.ndarray],
    heaviest: dict[int, np.ndarray],
    found: Answer,
    part: np.ndarray,
    check: Callable[[], None],
) -> None:
    """Item after item, every label with every cover of its point that the room allows, and what is beaten or cannot be finished is dropped.

    A label's lack is what has to be added beyond the least goods of every item; its load counts only what could still break the bound.
    """
    size = len(limit)
    none = np.zeros(size, dtype=np.int64)
    order = sorted(range(len(steps)), key=lambda k: int(steps[k].length.max(initial=0)))
    gap = limit - sum((step.cheapest for step in steps), none)
    most_left = {s: sum((step.goods[s][1] - step.goods[s][0] for step in steps), none) for s in subtotal}
    slack = {s: v - sum((step.weights[s][0] for step in steps), none) for s, v in heaviest.items()}
    heavy_left = {s: sum((step.weights[s][1] - step.weights[s][0] for step in steps), none) for s in heaviest}
    at, used, cost = np.arange(size), none, none
    lack = dict(subtotal)
    load = dict.fromkeys(heaviest, none)
    trail: list[tuple[np.ndarray, np.ndarray]] = []
    for k in order:
        check()
        step = steps[k]
        room = np.maximum(gap[at] - used, -1)
        span = int(room.max(initial=0)) + 2
        many = (
            np.searchsorted(
                step.covers.at * span + np.minimum(step.extra, span - 1), step.run[at] * span + room, side="right"
            )
            - step.first[at]
        )
        each = np.bincount(at, weights=many, minlength=size)
        if each.max(initial=0) > MOST_EACH:
            found.closed[part[each > MOST_EACH]] = False
            many = _cheapest_first(at, used, many, np.where(each > MOST_EACH, MOST_GUESSED, MOST_PARTIAL)[at])
        total = int(many.sum())
        if total > MOST_PARTIAL:
            raise TooLargeError
        source = np.repeat(np.arange(len(at)), many)
        cover = np.arange(total) - np.repeat(np.cumsum(many) - many, many) + np.repeat(step.first[at], many)
        at2 = at[source]
        fine = np.ones(total, dtype=bool)
        lack2, load2 = {}, {}
        for s in lack:
            least, most = step.goods[s]
            most_left[s] = most_left[s] - (most - least)
            lack2[s] = np.maximum(lack[s][source] - (step.covers.goods[s][cover] - least[at2]), 0)
            fine &= lack2[s] <= most_left[s][at2]
        for s in load:
            least, most = step.weights[s]
            heavy_left[s] = heavy_left[s] - (most - least)
            now = load[s][source] + step.covers.weight[s][cover] - least[at2]
            fine &= now <= slack[s][at2]
            load2[s] = np.where(now + heavy_left[s][at2] <= slack[s][at2], 0, now)
        keep = np.flatnonzero(fine)
        cost2 = cost[source] + step.covers.cost[cover]
        if total > len(at):
            keep = keep[
                undominated(
                    at2[keep], cost2[keep], [v[keep] for v in lack2.values()] + [v[keep] for v in load2.values()]
                )
            ]
        source, cover = source[keep], cover[keep]
        trail.append((source, cover))
        at, used, cost = at2[keep], used[source] + step.extra[cover], cost2[keep]
        lack, load = {s: v[keep] for s, v in lack2.items()}, {s: v[keep] for s, v in load2.items()}
    done = np.ones(len(at), dtype=bool)
    for v in lack.values():
        done &= v == 0
    label = np.flatnonzero(done)
    label = label[undominated(at[label], cost[label], [])]
    who = part[at[label]]
    found.cost[who] = cost[label]
    for k, (source, cover) in zip(reversed(order), reversed(trail), strict=True):
        for j, article in enumerate(steps[k].table.articles):
            found.counts[who, article.column] = steps[k].covers.counts[cover[label], j]
        label = source[label]
