"""Counts of kits that can be in a cheapest basket: few, once every kit is known to cost at least what its parts are worth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.curve.catalogue import Article
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier, Table, TooLargeError
from maker_kit.buying.curve.table_cache import TableCache

MOST_STATES = 600_000
"""Most combinations of batches and kits looked at in one step; beyond it the batch counts are taken in halves."""


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

    at: np.ndarray
    kits: np.ndarray
    needs: dict[int, np.ndarray]

    def only(self, keep: np.ndarray) -> States:
        """Some of the states."""
        return States(self.at[keep], self.kits[keep], {item: need[keep] for item, need in self.needs.items()})


def without_kits(tables_kept: TableCache, needs: list[np.ndarray]) -> States:
    """Every batch count once, without kits."""
    size = len(needs[0]) if needs else 0
    kits = [tables_kept.book.articles[k] for k in tables_kept.book.kits]
    return States(
        np.arange(size),
        np.zeros((size, len(kits)), dtype=np.int64),
        {item: needs[item] for item in sorted({i for kit in kits for i in kit.content})},
    )


def kit_states(
    tables_kept: TableCache,
    needs: list[np.ndarray],
    least_fee: np.ndarray,
    upper: np.ndarray,
    check: Callable[[], None],
    most_each: int = MOST_STATES,
) -> tuple[States, np.ndarray]:
    """All choices of kits that could lead to a basket cheaper than a known one.

    Kit after kit, every count is kept whose price, with the cheapest covers of what stays, does not exceed what is known. Kits not chosen yet count there as single packs of each of their items, at
    parts of their price that add up to no more than the price, so that the sum is a lower bound.

    Parameters
    ----------
    tables_kept : TableCache
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    least_fee : numpy.ndarray of int64
        What all orders together are charged at least, a batch count each [0.0001 cent].
    upper : numpy.ndarray of int64
        Cost of a known basket [0.0001 cent]; `NEVER` where none is known.
    check : callable
        Called between steps; may raise to end the search.
    most_each : int
        Most choices listed of one batch count.

    Returns
    -------
    States, numpy.ndarray of bool
        And which batch counts have too many choices to be listed; none of theirs are.
    """
    try:
        return _states(tables_kept, needs, least_fee, upper, check, most_each)
    except TooLargeError:
        if len(upper) == 1:
            return without_kits(tables_kept, needs).only(np.zeros(0, dtype=np.int64)), np.ones(1, dtype=bool)
    half = len(upper) // 2
    low, low_left = kit_states(
        tables_kept, [need[:half] for need in needs], least_fee[:half], upper[:half], check, most_each
    )
    high, high_left = kit_states(
        tables_kept, [need[half:] for need in needs], least_fee[half:], upper[half:], check, most_each
    )
    return States(
        np.concatenate([low.at, high.at + half]),
        np.concatenate([low.kits, high.kits]),
        {item: np.concatenate([low.needs[item], high.needs[item]]) for item in low.needs},
    ), np.concatenate([low_left, high_left])


def _states(
    tables_kept: TableCache,
    needs: list[np.ndarray],
    least_fee: np.ndarray,
    upper: np.ndarray,
    check: Callable[[], None],
    most_each: int,
) -> tuple[States, np.ndarray]:
    book = tables_kept.book
    states = without_kits(tables_kept, needs)
    left_out = np.zeros(len(upper), dtype=bool)
    if not book.kits:
        return states, left_out
    kits = [book.articles[k] for k in book.kits]
    everywhere = [Multiplier()] * len(book.tariffs)
    tables = {item: tables_kept.table(item, everywhere) for item in range(len(book.items)) if item not in states.needs}
    limit = (
        SCALE * np.minimum(upper, NEVER // SCALE) - SCALE * least_fee - _sum(tables, dict(enumerate(needs)), len(upper))
    )
    mixed = [{item: tables_kept.with_parts(item, everywhere, k) for item in states.needs} for k in range(-1, len(kits))]
    room = limit - _sum(mixed[0], states.needs, len(upper))
    states = states.only(np.flatnonzero(room >= 0))
    paid = np.zeros(len(states.at), dtype=np.int64)
    for k, kit in enumerate(kits):
        check()
        most = _largest(
            kit,
            states,
            np.maximum(room[states.at], 0) // SCALE,
            book.factors[kit.supplier],
            book.tariffs[kit.supplier].threshold_cents,
        )
        fewest, most = _between(kit, mixed[k + 1], states, limit[states.at] - paid, most, book.factors[kit.supplier])
        width = np.maximum(most - fewest + 1, 0)
        if int(width.sum()) > MOST_STATES:
            raise TooLargeError
        source = np.repeat(np.arange(len(most)), width)
        many = np.arange(len(source)) - np.repeat(np.cumsum(width) - width - fewest, width)
        sold = (many == 0) | (many >= kit.bands[0].low)
        source, many = source[sold], many[sold]
        left = {
            item: need[source] if item not in kit.content else np.maximum(need[source] - many * kit.content[item], 0)
            for item, need in states.needs.items()
        }
        price = paid[source] + kit.goods_cents(many) * book.factors[kit.supplier] * SCALE
        keep = np.flatnonzero(price + _sum(mixed[k + 1], left, len(source)) <= limit[states.at[source]])
        source = source[keep]
        counts = states.kits[source]
        counts[:, k] = many[keep]
        states, paid = States(states.at[source], counts, {item: need[keep] for item, need in left.items()}), price[keep]
        too_many = np.bincount(states.at, minlength=len(upper)) > most_each
        if too_many.any():
            left_out |= too_many
            fine = np.flatnonzero(~too_many[states.at])
            states, paid = states.only(fine), paid[fine]
    return states, left_out


def _rows(table: Table, need: np.ndarray) -> np.ndarray:
    return -(-need // table.unit)


def _sum(tables: dict[int, Table], needs: dict[int, np.ndarray], size: int) -> np.ndarray:
    return sum(
        (np.minimum(table.price(_rows(table, needs[item])), NEVER) for item, table in tables.items()),
        np.zeros(size, dtype=np.int64),
    )


def _largest(kit: Article, states: States, room: np.ndarray, factor: int, threshold: int) -> np.ndarray:
    """Most copies of one kit: what covers alone all it can cover, or a later price step that costs less, or what the room pays for where copies may fill the order up to a threshold [cent]."""
    enough = np.max([-(-states.needs[item] // units) for item, units in kit.content.items()], axis=0)
    fewest = np.where(enough > 0, np.maximum(enough, kit.bands[0].low), 0)
    worth = kit.goods_cents(fewest) * factor + (room if threshold else 0)
    most = fewest.copy()
    for band in kit.bands:
        cheaper = band.low * band.price_cents * factor <= worth
        most = np.where(cheaper, np.maximum(most, band.low), most)
        if threshold and band.price_cents:
            reach = np.minimum(worth // (band.price_cents * factor), -(-threshold // band.price_cents))
            reach = reach if band.high is None else np.minimum(reach, band.high)
            most = np.where(cheaper, np.maximum(most, reach), most)
    return most if kit.stock is None else np.minimum(most, kit.stock)


def _between(
    kit: Article, tables: dict[int, Table], states: States, limit: np.ndarray, most: np.ndarray, factor: int
) -> tuple[np.ndarray, np.ndarray]:
    """Counts outside of which even packs at the best price a unit would be too dear: price is convex in the count, so a halving from its least finds both ends."""
    each = float(int(kit.prices.min()) * factor * SCALE)
    dear = {item: _least_per_unit(tables[item]) for item in states.needs}

    def value(many: np.ndarray) -> np.ndarray:
        total = many * each
        for item, need in states.needs.items():
            total = total + dear[item] * np.maximum(need - many * kit.content.get(item, 0), 0)
        return total

    corners = [
        np.minimum(need // kit.content[item] + up, most)
        for item, need in states.needs.items()
        if item in kit.content
        for up in (0, 1)
    ]
    corners.append(np.zeros_like(most))
    values = np.stack([value(c) for c in corners])
    best = np.stack(corners)[values.argmin(axis=0), np.arange(len(most))]
    room = limit * (1 + 1e-9) + SCALE
    low, high = np.zeros_like(best), best.copy()
    while (low < high).any():
        middle = (low + high) // 2
        fine = value(middle) <= room
        low, high = np.where(fine, low, np.minimum(middle + 1, high)), np.where(fine, middle, high)
    fewest = high
    low, high = best.copy(), most.copy()
    while (low < high).any():
        middle = -(-(low + high) // 2)
        fine = value(middle) <= room
        low, high = np.where(fine, middle, low), np.where(fine, high, np.maximum(middle - 1, low))
    return fewest, np.where(values.min(axis=0) <= room, low, fewest - 1)


def _least_per_unit(table: Table) -> float:
    """A lower bound of the price of a base unit."""
    return min(
        (
            min(price for _, _, price in bands) / (size * table.unit)
            for bands, size in zip(table.priced, table.sizes, strict=True)
        ),
        default=float(NEVER),
    ) * (1 - 1e-9)
