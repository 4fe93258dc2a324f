"""Bounds and baskets of large markets, count by count: branch and bound over the modes of the suppliers alone."""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from maker_kit.buying.curve.catalogue import Array
from maker_kit.buying.curve.covers import SCALE, Multiplier
from maker_kit.buying.curve.kit_counts import without_kits
from maker_kit.buying.curve.linear import Least
from maker_kit.buying.curve.mode_baskets import ModeBaskets
from maker_kit.buying.curve.mode_program import CENT, CountProgram, Layout
from maker_kit.buying.curve.prices import Prices
from maker_kit.buying.curve.supplier_subsets import Multipliers
from maker_kit.buying.market import Market

NEAR = 0.0045
"""A count whose bounds lie no farther apart than this part of its cost is left to the integer program: on a screen
nobody sees half a percent."""

MOST_LEAVES = 6
"""Leaves of one count at which covers are priced anew and baskets looked for. With 4, six of seven counts of 15 items,
400 packs and steps of weight stayed farther apart than with 6, which took a tenth less time."""

SPREAD = ((SCALE, 0), (SCALE, 10), (SCALE, 100), (SCALE // 2, 10))
"""Parts of the price and prices of weight [0.0001 cent per 0.1 g] to begin with."""

LEAST_LACK, LEAST_USED = 1e-2, 1e-6
"""What a fee may be paid too little [cent], and part of a supplier, that are called none: far below `NEAR`."""

Left = tuple[tuple[int, ...], ...]
"""Of every supplier the places of the modes that are left, and one beyond the last for a closed one."""


@dataclass(frozen=True)
class Node:
    """Baskets whose orders are charged in the modes that are left.

    Attributes
    ----------
    bound : float
        None of them costs less [cent].
    left : Left
    cuts : int
        How often covers were priced anew until then.
    found : Least
    """

    bound: float
    left: Left
    cuts: int
    found: Least

    def __lt__(self, other: Node) -> bool:
        return (self.bound, self.left) < (other.bound, other.left)


@dataclass(frozen=True)
class Bounds:
    """What is known of a count: no basket costs less than `lower`, and this one costs `upper` [0.0001 cent]; None where
    it is the one known before.
    """

    lower: int
    upper: int
    counts: Array | None


class ModeTree:
    """The search of one market, with what was learnt at one count kept for the others.

    Parameters
    ----------
    prices : Prices
    needs : list of numpy.ndarray
        Base units of every item, a batch count each.
    market : Market
    """

    def __init__(self, prices: Prices, needs: list[Array], market: Market) -> None:
        self.prices, self.needs, self.book = prices, needs, prices.book
        self.layout = Layout(prices, market)
        self.plain: Multipliers = tuple(Multiplier() for _ in self.book.tariffs)
        self.learnt: list[Multipliers] = []

    def bounds(self, at: int, need: Mapping[str, int], upper_micros: int, stopped: Callable[[], bool]) -> Bounds:
        """The bounds of one count, as near as `NEAR` where that is reached.

        Parameters
        ----------
        at : int
            Place of the count.
        need : Mapping of str to int
        upper_micros : int
            Cost of a known basket [0.0001 cent].
        stopped : callable
            Asked between steps; once true, ends with what is known.
        """
        program, counts, cuts = CountProgram(self.layout, at, need, upper_micros / CENT), None, 0
        for multipliers in (self.plain, *self.learnt[-3:]):
            program.priced(multipliers)
        program.linear.limit(program.sets(), {})
        heap: list[Node] = []
        self._push(heap, program, tuple((*range(len(modes)), len(modes)) for modes in self.layout.modes), cuts)
        least, tries = math.inf, 0
        while heap and min(least, heap[0].bound) * CENT < (1 - NEAR) * upper_micros and not stopped():
            node = heapq.heappop(heap)
            if node.cuts < cuts:
                self._push(heap, program, node.left, cuts, node)
                continue
            lack, fits = program.charges(node.found.values)
            lack = [each if len(some) > 1 else 0.0 for each, some in zip(lack, node.left, strict=True)]
            s = int(np.argmax(lack))
            if lack[s] > LEAST_LACK:
                for part in _parts(node.left[s], fits[s], len(self.layout.modes[s])):
                    self._push(heap, program, (*node.left[:s], part, *node.left[s + 1 :]), cuts, node)
                continue
            multipliers, found = self._basket(at, program, node, fits, upper_micros)
            if found and found[0] < upper_micros:
                upper_micros, counts = found
            if multipliers is not None and program.priced(multipliers):
                program.linear.limit(program.sets(), {})
                cuts += 1
                heapq.heappush(heap, node)
            else:  # nothing raises its bound any more
                least = min(least, node.bound)
            tries += 1
            if tries == MOST_LEAVES:
                break
        least = min([least, *(node.bound for node in heap[:1])])
        lower = min(math.floor(least * CENT), upper_micros) if math.isfinite(least) else 0
        return Bounds(max(lower, 0), upper_micros, counts)

    def _push(self, heap: list[Node], program: CountProgram, left: Left, cuts: int, above: Node | None = None) -> None:
        """Bound what is left, and put it with the others, if there is anything."""
        places = zip(left, self.layout.modes, strict=True)
        highest = {k: float(place in some) for some, modes in places for place, k in enumerate(modes)}
        closed = zip(left, self.layout.modes, strict=True)
        program.linear.limit(highest, {s: float(len(modes) not in some) for s, (some, modes) in enumerate(closed)})
        found = program.linear.least(above and above.found.basis)
        if found:
            heapq.heappush(heap, Node(max(found.bound, above.bound if above else 0.0), left, cuts, found))

    def _basket(
        self, at: int, program: CountProgram, node: Node, fits: list[list[int]], upper_micros: int
    ) -> tuple[Multipliers | None, tuple[int, Array] | None]:
        """Multipliers that the covers of a leaf end at, and a basket of them."""
        values, book = node.found.values, self.book
        modes = []
        for rates, columns, some, left in zip(book.tariffs, self.layout.modes, fits, node.left, strict=True):
            place = next((each for each in some if each in left), left[0])
            modes.append(rates.modes[place] if place < len(columns) and values[columns].sum() > LEAST_USED else None)
        needs = [need[at : at + 1] for need in self.needs]
        state, one = without_kits(self.prices.cache, needs), np.zeros(1, np.int64)
        for k, (kit, columns) in enumerate(zip(book.kits, self.layout.kits, strict=True)):
            many = round(values[columns].sum()) if modes[kit.supplier] else 0
            state = state.with_kit(k, kit, one, np.array([min(many, kit.stock) if many >= kit.fewest else 0]))
        prices = Prices(self.prices.cache, needs, self.prices.check)
        baskets = ModeBaskets(prices, prices.in_units(state), modes)
        first = [*self.learnt[-2:], *(self._everywhere(*each) for each in SPREAD)]
        some = [tuple(m if mode else None for m, mode in zip(each, modes, strict=True)) for each in first]
        found = baskets.priced(list(dict.fromkeys(some)))
        if found:
            found = tuple(multiplier or Multiplier() for multiplier in found)
            self.learnt = [*(each for each in self.learnt if each != found), found]
        return found, baskets.cheapest(upper_micros / CENT)

    def _everywhere(self, part: int, per_dg: int) -> Multipliers:
        """The same multiplier at every supplier where it means something."""
        layout, sellers = self.layout, range(len(self.book.tariffs))
        return tuple(
            Multiplier(part if s in layout.by_goods else SCALE, per_dg * (s in layout.by_weight)) for s in sellers
        )


def _parts(left: tuple[int, ...], fits: list[int], closed: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The modes that fit and those that do not; where all are of one kind, closed or not; else in halves."""
    inside = [place for place in left if place in fits]
    if len(inside) in (0, len(left)):
        inside = [closed] if closed in left else list(left[: len(left) // 2])
    return tuple(inside), tuple(place for place in left if place not in inside)
