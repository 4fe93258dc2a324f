"""The cheapest combination of near-cheapest covers that reaches every subtotal and stays in every delivery step.

By label setting: partial baskets are grown item by item; one is dropped when another of the same point costs no more
and leaves no more to do (Desrochers and Soumis, INFOR 26 (1988) 191–212), or when its price with the multipliers is
above what would help. Both kinds of rows are told as something that is lacked: goods up to a subtotal; or weight saved,
against the heaviest cover of every item, down to a step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS
from maker_kit.buying.curve.catalogue import Array
from maker_kit.buying.curve.covers import MOST_EACH, MOST_LISTED, Check, Table, TooLargeError
from maker_kit.buying.curve.near_covers import Covers, Stack, least_goods, near_covers, spread
from maker_kit.buying.curve.undominated import undominated


@dataclass(frozen=True)
class Lot:
    """What is asked, an entry a point: one count of batches with its kits, and one way to charge every order.

    Attributes
    ----------
    count : numpy.ndarray
        Place of the batch count of each; where one point is given up, so are all of its count.
    combination : numpy.ndarray
        Combination of multipliers of each.
    limit : numpy.ndarray of int64
        Largest sum of table prices of an answer that would help.
    open : tuple of int
        Suppliers bought from.
    bounds : list of numpy.ndarray
        Two rows a supplier: goods still to be reached [cent], and weight still free [0.1 g], `ENDLESS` for any.
    needs : list of numpy.ndarray
        Need of every item, in units of its tables.
    floors : list of list of numpy.ndarray
        Of every item what any near cover adds to every row, which is no longer asked for; empty where not known yet.
    """

    count: Array
    combination: Array
    limit: Array
    open: tuple[int, ...]
    bounds: list[Array]
    needs: list[Array]
    floors: list[list[Array]] = field(default_factory=list)

    def only(self, part: Array) -> Lot:
        """Some of the points."""
        bounds, needs = ([v[part] for v in each] for each in (self.bounds, self.needs))
        count, combination, limit = (v[part] for v in (self.count, self.combination, self.limit))
        floors = [[v[part] for v in each] for each in self.floors]
        return Lot(count, combination, limit, self.open, bounds, needs, floors)

    @property
    def binding(self) -> list[Array]:
        """Whether each row asks for anything, a point each."""
        return [v < ENDLESS if row % 2 else v > 0 for row, v in enumerate(self.bounds)]


class Answer(NamedTuple):
    """The cheapest combination of every point.

    Attributes
    ----------
    closed : numpy.ndarray of bool
        Whether the search was complete: no answer then means that none within the limit exists.
    cost : numpy.ndarray of int64
        Goods with tax [0.0001 cent]; `ENDLESS` where there is none.
    counts : numpy.ndarray, points × articles
    """

    closed: Array
    cost: Array
    counts: Array


@dataclass(frozen=True)
class _Item:
    """The covers of one item in runs by need and table, and which run is each point's.

    Attributes
    ----------
    table : Table
    covers : Covers
    extra : numpy.ndarray
        Price of each cover above the cheapest of its run.
    gains : list of numpy.ndarray
        What each cover adds to every row.
    run, first : numpy.ndarray
        Of every point its run; of every run its first cover.
    cheapest : numpy.ndarray
        Least price, a point each.
    most : list of numpy.ndarray
        Most that any cover adds to every row, a point each.
    """

    table: Table
    covers: Covers
    extra: Array
    gains: list[Array]
    run: Array
    first: Array
    cheapest: Array
    most: list[Array]


def cheapest_together(stacks: Sequence[Stack], factors: Sequence[int], lot: Lot, columns: int, check: Check) -> Answer:
    """The cheapest covers of all items together that reach every subtotal and exceed no weight.

    Points are taken together where they have the same rows left; in halves where they need too many of them, and at
    last given up.

    Parameters
    ----------
    stacks : sequence of Stack
        One an item.
    factors : sequence of int
        Cost of a cent of goods, a supplier [0.0001 cent].
    lot : Lot
    columns : int
        Number of articles.
    check : callable
        Called between steps; may raise to end the search.

    Returns
    -------
    Answer
    """
    size = len(lot.limit)
    found = Answer(np.zeros(size, bool), np.full(size, ENDLESS), np.zeros((size, columns), np.int64))
    parts, gone = [np.arange(size)], np.zeros(size, bool)
    try:
        if not lot.floors:
            lot, gone = _above_floors(stacks, lot, check)
        kind = sum((row.astype(np.int64) << bit for bit, row in enumerate(lot.binding)), np.zeros(size, np.int64))
        parts = [np.flatnonzero(kind == value) for value in np.unique(kind)]
        if len(parts) == 1:
            _searched(stacks, factors, lot, found, check)
    except TooLargeError:
        found.closed[:] = False
        parts = np.array_split(np.arange(size), 2)
    for part in parts if len(parts) > 1 and size > 1 else ():
        answer = cheapest_together(stacks, factors, lot.only(part), columns, check)
        for mine, theirs in zip(found, answer, strict=True):
            mine[part] = theirs
    _give_up(found, lot, gone)
    return found


def _gaps(stacks: Sequence[Stack], lot: Lot) -> Array:
    """Room of every point above the least prices of all its items."""
    gap = lot.limit.copy()
    for stack, need in zip(stacks, lot.needs, strict=True):
        asked, run = stack.asked(lot.combination, need, gap)
        gap -= stack.least(asked.which, asked.need)[run]
    return gap


def _above_floors(stacks: Sequence[Stack], lot: Lot, check: Check) -> tuple[Lot, Array]:
    """The lot without the goods that every near cover adds anyway, and which points have too many covers to tell."""
    gap, gone = _gaps(stacks, lot), np.zeros(len(lot.limit), bool)
    bounds = list(lot.bounds)
    floors = [[np.zeros_like(gap) for _ in bounds] for _ in stacks]
    for stack, need, floor in zip(stacks, lot.needs, floors, strict=True):
        asked, run = stack.asked(lot.combination, need, gap)
        for row in range(0, len(bounds), 2):
            if lot.bounds[row].any():
                least, full = least_goods(stack, asked, lot.open[row // 2], check)
                floor[row], gone = least[run], gone | full[run]
                bounds[row] = np.maximum(bounds[row] - floor[row], 0)
    return replace(lot, bounds=bounds, floors=floors), gone


def _searched(stacks: Sequence[Stack], factors: Sequence[int], lot: Lot, found: Answer, check: Check) -> None:
    """All points at once, which have the same rows; what is found goes into `found`."""
    rows = [row for row, binding in enumerate(lot.binding) if binding.any()]
    lack = [-lot.bounds[row] if row % 2 else lot.bounds[row] for row in rows]
    gap = _gaps(stacks, lot)
    found.closed[:] = True
    items = []
    for stack, need, floors in zip(stacks, lot.needs, lot.floors, strict=True):
        asked, run = stack.asked(lot.combination, need, np.where(found.closed, gap, -1))
        most_wanted = [int((lot.bounds[row] + floors[row]).max()) for row in rows]
        wanted = [(lot.open[row // 2], None if row % 2 else most) for row, most in zip(rows, most_wanted, strict=True)]
        covers = near_covers(stack, factors, asked, wanted, check)
        _give_up(found, lot, covers.full[run])
        edges = np.searchsorted(covers.at, np.arange(len(covers.full) + 1))
        first, gains, most = edges[:-1], [], []
        for k, (row, amounts) in enumerate(zip(rows, covers.amounts, strict=True)):
            top = _by_run(amounts, edges, np.maximum)
            if row % 2:
                lack[k], amounts = lack[k] + top[run], top[covers.at] - amounts
            else:
                top[run] = floors[row]
                amounts = amounts - top[covers.at]
            gains.append(amounts)
            most.append(_by_run(amounts, edges, np.maximum)[run])
        cheapest = _by_run(covers.price, edges, np.minimum)
        extra = covers.price - cheapest[covers.at]
        items.append(_Item(stack.first, covers, extra, gains, run, first, cheapest[run], most))
    items.sort(key=lambda item: int(np.bincount(item.covers.at).max(initial=0)))
    _walk(items, lot, lack, found, check)


def _give_up(found: Answer, lot: Lot, full: Array) -> None:
    """Mark some points as not closed, and with them all of their counts."""
    if full.any():
        found.closed[np.isin(lot.count, lot.count[full])] = False


def _by_run(amounts: Array, edges: Array, pick: np.ufunc) -> Array:
    """The least or the most of every run; 0 of an empty one."""
    best, some = np.zeros(len(edges) - 1, np.int64), edges[1:] > edges[:-1]
    if some.any():
        best[some] = pick.reduceat(amounts, edges[:-1][some])
    return best


def _walk(items: list[_Item], lot: Lot, lack: list[Array], found: Answer, check: Check) -> None:
    """Item after item, every partial basket with every cover of its point that the room allows; what is beaten or
    cannot be finished is dropped.
    """
    size, none = len(lot.limit), np.zeros(len(lot.limit), np.int64)
    gap = lot.limit - sum((item.cheapest for item in items), none)
    left = [sum((item.most[row] for item in items), none) for row in range(len(lack))]
    at, used, cost, lack = np.arange(size), none, none, [np.maximum(v, 0) for v in lack]
    trail: list[tuple[Array, Array]] = []
    for item in items:
        check()
        room = np.maximum(gap[at] - used, -1)
        span, run = int(room.max(initial=0)) + 2, item.run[at]
        ends = np.searchsorted(
            item.covers.at * span + np.minimum(item.extra, span - 1), run * span + room, side="right"
        )
        many = np.where(found.closed[at], ends - item.first[run], 0)
        _give_up(found, lot, np.bincount(at, weights=many, minlength=size) > MOST_EACH)
        source, cover = spread(item.first[run], np.where(found.closed[at], many, 0), MOST_LISTED)
        here = at[source]
        left = [rest - most for rest, most in zip(left, item.most, strict=True)]
        lack = [np.maximum(v[source] - gain[cover], 0) for v, gain in zip(lack, item.gains, strict=True)]
        fine = np.ones(len(source), bool)
        for v, rest in zip(lack, left, strict=True):
            fine &= v <= rest[here]
        keep = np.flatnonzero(fine)
        total = cost[source] + item.covers.cost[cover]
        if len(source) > len(at):
            keep = keep[undominated(here[keep], total[keep], [v[keep] for v in lack])]
        source, cover = source[keep], cover[keep]
        trail.append((source, cover))
        at, used, cost, lack = here[keep], used[source] + item.extra[cover], total[keep], [v[keep] for v in lack]
    done = np.flatnonzero(np.all([v == 0 for v in lack], axis=0)) if lack else np.arange(len(at))
    end = done[undominated(at[done], cost[done], [])]
    who = at[end]
    found.cost[who] = cost[end]
    for item, (source, cover) in zip(reversed(items), reversed(trail), strict=True):
        for pack, counts in zip(item.table.packs, item.covers.counts, strict=True):
            found.counts[who, pack.article.column] = counts[cover[end]]
        end = source[end]
