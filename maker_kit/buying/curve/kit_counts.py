"""Counts of kits that can be in a cheapest basket: few, once every kit is known to cost at least what its parts are
worth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from maker_kit.buying.basket.caps import ENDLESS
from maker_kit.buying.curve.catalogue import Array, Article
from maker_kit.buying.curve.covers import MOST_EACH, MOST_LISTED, NEVER, SCALE, Check, Multiplier, Table
from maker_kit.buying.curve.near_covers import most_copies, spread
from maker_kit.buying.curve.table_cache import TableCache


@dataclass(frozen=True)
class States:
    """Batch counts with a choice of kits.

    Attributes
    ----------
    at : numpy.ndarray
        Place of the batch count, ascending.
    kits : numpy.ndarray, states × kits
    needs : dict of int to numpy.ndarray
        Item to what stays to be covered singly [base units]; items that are in no kit are left out.
    """

    at: Array
    kits: Array
    needs: dict[int, Array]

    def only(self, keep: Array) -> States:
        """Some of the states."""
        return States(self.at[keep], self.kits[keep], {item: need[keep] for item, need in self.needs.items()})

    def enough(self, kit: Article) -> Array:
        """Fewest of a kit that cover alone all that it holds."""
        return np.max([-(-self.needs[item] // units) for item, units in kit.content.items()], axis=0)

    def with_kit(self, place: int, kit: Article, source: Array, many: Array) -> States:
        """Some of the states, each with so many of a kit that it has none of yet."""
        found = self.only(source)
        found.kits[:, place] = many
        needs = {i: np.maximum(need - many * kit.content.get(i, 0), 0) for i, need in found.needs.items()}
        return States(found.at, found.kits, needs)


def joined(lots: list[States]) -> States:
    """Lots of states as one."""
    needs = {item: np.concatenate([lot.needs[item] for lot in lots]) for item in lots[0].needs}
    return States(np.concatenate([lot.at for lot in lots]), np.concatenate([lot.kits for lot in lots]), needs)


def without_kits(cache: TableCache, needs: list[Array]) -> States:
    """Every batch count once, without kits."""
    size, kits = len(needs[0]), cache.book.kits
    in_kits = sorted({item for kit in kits for item in kit.content})
    return States(np.arange(size), np.zeros((size, len(kits)), np.int64), {item: needs[item] for item in in_kits})


def kit_states(
    cache: TableCache, needs: list[Array], least_fee: Array, upper: Array, check: Check
) -> tuple[States, Array]:
    """All choices of kits that could lead to a basket cheaper than a known one.

    Kit after kit, every count is kept whose price, with the cheapest covers of what stays, does not exceed what is
    known. Kits not chosen yet count there as single packs of each of their items, at parts of their price that add up
    to no more than the price, so that the sum is a lower bound.

    Parameters
    ----------
    cache : TableCache
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    least_fee : numpy.ndarray of int64
        What all orders together are charged at least, a batch count each [0.0001 cent].
    upper : numpy.ndarray of int64
        Cost of a known basket [0.0001 cent]; `NEVER` where none is known.
    check : callable
        Called between steps; may raise to end the search.

    Returns
    -------
    States, numpy.ndarray of bool
        And which batch counts have too many choices to be listed; none of theirs are.
    """
    book, states, size = cache.book, without_kits(cache, needs), len(upper)
    left_out = np.zeros(size, bool)
    everywhere = (Multiplier(),) * len(book.tariffs)
    alone = {item: cache.table(item, everywhere) for item in range(len(book.items)) if item not in states.needs}
    limit = SCALE * (np.minimum(upper, NEVER // SCALE) - least_fee) - _sum(alone, dict(enumerate(needs)), size)
    mixed = [{i: cache.with_parts(i, everywhere, k) for i in states.needs} for k in range(-1, len(book.kits))]
    room = limit - _sum(mixed[0], states.needs, size)
    states = states.only(np.flatnonzero(room >= 0))
    paid = np.zeros(len(states.at), np.int64)
    for k, kit in enumerate(book.kits):
        check()
        rates = book.tariffs[kit.supplier]
        most = most_copies(kit, states.enough(kit), rates.threshold_cents)
        fewest, most = _between(kit, mixed[k + 1], states, limit[states.at] - paid, most, rates.tax_factor)
        width = np.maximum(most - fewest + 1, 0)
        left_out |= np.bincount(states.at, weights=width, minlength=size) > MOST_LISTED
        width[left_out[states.at]] = 0
        lots = []
        for part in np.array_split(np.arange(len(width)), 1 + int(width.sum()) // MOST_EACH):
            check()
            source, many = spread(fewest[part], width[part], ENDLESS)
            some = states.with_kit(k, kit, part[source], many)
            cost = paid[part[source]] + kit.goods_cents(many) * (rates.tax_factor * SCALE)
            dear = cost + _sum(mixed[k + 1], some.needs, len(many)) > limit[some.at]
            keep = np.flatnonzero(~dear & ((many == 0) | (many >= kit.fewest)))
            lots.append((some.only(keep), cost[keep]))
        states, paid = joined([lot for lot, _ in lots]), np.concatenate([cost for _, cost in lots])
        each = np.bincount(states.at, minlength=size)
        fewest_first = np.argsort(each, kind="stable")
        left_out[fewest_first[np.cumsum(each[fewest_first]) > MOST_LISTED]] = True
        keep = np.flatnonzero(~left_out[states.at])
        states, paid = states.only(keep), paid[keep]
    return states, left_out


def _sum(tables: dict[int, Table], needs: dict[int, Array], size: int) -> Array:
    """Least price of some needs together, in table units."""
    each = (np.minimum(table.price(-(-needs[item] // table.unit)), NEVER) for item, table in tables.items())
    return sum(each, np.zeros(size, np.int64))


def _between(
    kit: Article, tables: dict[int, Table], states: States, limit: Array, most: Array, factor: int
) -> tuple[Array, Array]:
    """Counts outside of which even packs at the best price a unit would be too dear.

    That price is convex in the count, so a halving from its least finds both ends.
    """
    each, dear = float(int(kit.prices.min()) * factor * SCALE), {i: _least_per_unit(t) for i, t in tables.items()}

    def value(many: Array) -> Array:
        rest = {i: np.maximum(need - many * kit.content.get(i, 0), 0) for i, need in states.needs.items()}
        return many * each + sum(dear[i] * need for i, need in rest.items())

    def furthest(end: Array) -> Array:
        near, far = best, end
        while (near != far).any():
            way = np.sign(far - near)
            middle = near + way * ((np.abs(far - near) + 1) // 2)
            fine = value(middle) <= room
            near, far = np.where(fine, middle, near), np.where(fine, far, middle - way)
        return near

    turns = [need // kit.content[i] for i, need in states.needs.items() if i in kit.content]
    corners = np.stack([np.zeros_like(most), *(np.minimum(turn + up, most) for turn in turns for up in (0, 1))])
    values = np.stack([value(corner) for corner in corners])
    best = corners[values.argmin(axis=0), np.arange(len(most))]
    room = limit * (1 + 1e-9) + SCALE  # floats may not tell smaller differences
    some = values.min(axis=0) <= room
    return furthest(np.zeros_like(best)), np.where(some, furthest(most), -1)


def _least_per_unit(table: Table) -> float:
    """A lower bound of the price of a base unit."""
    each = (min(price for *_, price in pack.steps) / (pack.size * table.unit) for pack in table.packs)
    return min(each, default=float(NEVER)) * (1 - 1e-9)
