"""Which suppliers are open and how each order is charged: modes, their constant charges, and multipliers on the rows that join the items."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.basket.caps import Mode, Tariff
from maker_kit.buying.curve.catalogue import Catalogue
from maker_kit.buying.curve.covers import NEVER, SCALE, Multiplier

MOST_SUPPLIERS = 8
"""Most suppliers of needed items; with more, there are too many sets of open ones."""

MOST_MODES = 1_500
"""Most combinations of modes of a set of open suppliers; with more, each supplier gets one mode below all of its own, which bounds the cost and proves little."""

MOST_MULTIPLIERS = 64
"""Most combinations of multipliers tried for a set of open suppliers."""

PARTS = (48, 32, 16, 4)
"""Parts of a price, in 64ths, that count where a subtotal is to be reached."""


@dataclass(frozen=True)
class SupplierSubset:
    """A set of open suppliers.

    Attributes
    ----------
    open : tuple of int
    ways : tuple of tuple of Mode
        How the order at each of them can be charged.
    modes : numpy.ndarray, combinations × suppliers
        Every combination of these ways, by their places.
    multipliers : tuple of tuple of (Multiplier or None)
        Combinations of multipliers, one entry a supplier of the catalogue; the first multipliers nothing.
    rows : bool
        Whether any mode asks for a subtotal, bounds a weight or stands for several; without, the cheapest covers are the answer.
    """

    open: tuple[int, ...]
    ways: tuple[tuple[Mode, ...], ...]
    modes: np.ndarray
    multipliers: tuple[tuple[Multiplier | None, ...], ...]
    rows: bool

    @property
    def fees(self) -> np.ndarray:
        """What all orders are charged, a mode each [0.0001 cent]."""
        return self.each(lambda i, mode: mode.fee_micros).sum(axis=1)

    def each(self, amount: Callable[[int, Mode], int]) -> np.ndarray:
        """An amount of every way (by the place of its supplier here, and the mode), modes × suppliers."""
        found = np.zeros(self.modes.shape, dtype=np.int64)
        for i, ways in enumerate(self.ways):
            found[:, i] = np.array([amount(i, mode) for mode in ways], dtype=np.int64)[self.modes[:, i]]
        return found

    def charges(self, factors: tuple[int, ...]) -> np.ndarray:
        """What a mode adds to the least with_multiplier price, modes × multipliers, in table units; `-NEVER` where the multiplier means nothing in the mode."""
        return np.stack([self.charge(multipliers, factors) for multipliers in self.multipliers], axis=1)

    def charge(self, multipliers: tuple[Multiplier | None, ...], factors: tuple[int, ...]) -> np.ndarray:
        """The same for one combination of multipliers, a mode each."""
        return self.each(lambda i, mode: _charge(mode, multipliers[self.open[i]], factors[self.open[i]])).sum(axis=1)


def _charge(mode: Mode, multiplier: Multiplier | None, factor: int) -> int:
    assert multiplier is not None
    found = SCALE * mode.fee_micros + (SCALE - multiplier.part) * mode.least_goods_cents * factor
    if multiplier.per_dg:
        found = -NEVER if mode.most_dg is None else found - SCALE * multiplier.per_dg * mode.most_dg
    return found


def supplier_subsets(book: Catalogue, most_dg: int) -> list[SupplierSubset]:
    """All sets of open suppliers, from none to all.

    Parameters
    ----------
    book : Catalogue
    most_dg : int
        Heaviest purchase of one pack that comes up [0.1 g]; a price of weight that would make its table overflow is not tried.
    """
    sellers = range(len(book.tariffs))
    return [
        _subset(book, chosen, most_dg)
        for size in range(len(book.tariffs) + 1)
        for chosen in itertools.combinations(sellers, size)
    ]


def _subset(book: Catalogue, chosen: tuple[int, ...], most_dg: int) -> SupplierSubset:
    ways = [book.tariffs[s].modes for s in chosen]
    coarse = math.prod(len(modes) for modes in ways) > MOST_MODES
    if coarse:
        ways = [
            (Mode(min(mode.fee_micros for mode in modes), min(mode.least_goods_cents for mode in modes), None, None),)
            for modes in ways
        ]
    modes = np.array(list(itertools.product(*(range(len(modes)) for modes in ways))), dtype=np.int64).reshape(
        math.prod(len(modes) for modes in ways), len(ways)
    )
    choices = {
        s: [
            multiplier
            for multiplier in multiplier_choices(book.tariffs[s])
            if SCALE * multiplier.per_dg * most_dg <= NEVER // 8
        ]
        for s in chosen
    }
    while np.prod([len(c) for c in choices.values()]) > MOST_MULTIPLIERS:
        longest = max(chosen, key=lambda s: len(choices[s]))
        choices[longest] = choices[longest][:-1]
    multipliers = tuple(
        tuple(dict(zip(chosen, combination, strict=True)).get(s) for s in range(len(book.tariffs)))
        for combination in itertools.product(*choices.values())
    )
    return SupplierSubset(
        chosen,
        tuple(ways),
        modes,
        multipliers,
        coarse or any(mode.least_goods_cents or mode.most_dg is not None for modes in ways for mode in modes),
    )


def neighbours(multiplier: Multiplier, finer: int) -> list[Multiplier]:
    """Multipliers beside one, nearer at every turn: a smaller and a larger part of the price, or price of weight."""
    step = max(SCALE // 8 >> finer, 1)
    found = [
        Multiplier(part, multiplier.per_dg)
        for part in (multiplier.part - step, multiplier.part + step)
        if 0 < part <= SCALE
    ]
    if multiplier.per_dg:
        found += [
            Multiplier(multiplier.part, multiplier.per_dg * (4 << finer) // ((4 << finer) + 2)),
            Multiplier(multiplier.part, multiplier.per_dg * ((4 << finer) + 2) // (4 << finer)),
        ]
    return found


def multiplier_choices(rates: Tariff) -> list[Multiplier]:
    """Multipliers worth trying at one supplier, the plain one first: parts of the price where a subtotal may be reached, prices of weight where delivery goes by it."""
    found = [Multiplier()]
    weights: list[Multiplier] = []
    steps = [(mode.most_dg, mode.fee_micros) for mode in rates.modes if mode.most_dg is not None]
    if steps:
        dearest = max(mode.fee_micros for mode in rates.modes)
        span = max(most for most, _ in steps)
        slope = max((dearest - min(fee for _, fee in steps)) // max(span, 1), 1)
        weights = [Multiplier(SCALE, slope), Multiplier(SCALE, 3 * slope), Multiplier(SCALE, -(-slope // 3))]
    parts = [Multiplier(part) for part in PARTS] if rates.threshold_cents else []
    for pair in itertools.zip_longest(parts, weights):
        found += [multiplier for multiplier in pair if multiplier is not None]
    return found
