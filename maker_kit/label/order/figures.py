"""A label order as whole numbers: percents on one denominator, and a hair for what is strictly more or less.

One percent is D · 2²⁵⁶, D the least common denominator of all figures; "more than 1 %" is one unit more, and
"more than nothing" is one unit. Sums of hairs stay far under 2²⁵⁵, so that rounding them off gives the figure
itself, and a hair left over says that the figure is approached and never reached.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm

from maker_kit.label.order.label_order import LabelOrder

HAIR_BITS = 256
_HALF = 1 << (HAIR_BITS - 1)
_SIMPLE = 1 << 96
"""Largest denominator of a bound with sums: two such fractions are farther apart than any sum of hairs."""


@dataclass(frozen=True)
class Figures:
    """Caps and floors of every name in units, in the label's order.

    Attributes
    ----------
    unit : int
        One percent, in units.
    caps, floors : tuple of int
        Most and least of each name; a hair at least for what is there.
    chain : int
        How many names stand before the colours.
    above, under : int
        Least above the 1 % line, most under it.
    descending : bool
        Whether there is no line: the order holds for all names of the chain.
    """

    unit: int
    caps: tuple[int, ...]
    floors: tuple[int, ...]
    chain: int
    above: int
    under: int
    descending: bool

    @property
    def total(self) -> int:
        """100 %, in units."""
        return 100 * self.unit

    def settled(self, units: int, parts: int = 1) -> tuple[Fraction, bool]:
        """A bound of ``units / parts`` in percent without its hair, and whether it is reached."""
        whole = (units + _HALF) >> HAIR_BITS
        return Fraction(whole, (self.unit >> HAIR_BITS) * parts), units == whole << HAIR_BITS

    def settled_near(self, units: Fraction) -> tuple[Fraction, bool]:
        """The same of a mixture of lists, whose parts are not told: the simple fraction of a percent beside it."""
        percent = (units / self.unit).limit_denominator(_SIMPLE)
        return percent, units == percent * self.unit

    def with_caps(self, caps: dict[int, int], floors: dict[int, int]) -> Figures:
        """The figures with some tighter caps and floors, by place."""
        return replace(
            self,
            caps=tuple(min(c, caps.get(i, c)) for i, c in enumerate(self.caps)),
            floors=tuple(max(f, floors.get(i, f)) for i, f in enumerate(self.floors)),
        )


def figures_of(order: LabelOrder) -> Figures:
    """The order's caps and floors as whole numbers; its sums only share the denominator.

    Parameters
    ----------
    order : LabelOrder

    Returns
    -------
    Figures
    """
    ends = [e for s in order.sums for e in (s.least, s.most) if e is not None]
    given = (*order.at_most.values(), *order.at_least.values(), *ends)
    one = lcm(*(f.denominator for f in given)) << HAIR_BITS
    caps = tuple(int(order.at_most.get(n, 100) * one) for n in order.names)
    floors = tuple(max(int(order.at_least.get(n, 0) * one), 0 if n in order.maybe_absent else 1) for n in order.names)
    chain = len(order.names) - order.colours_last
    if order.law == "all":
        return Figures(one, caps, floors, chain, 0, 0, descending=True)
    above, under = (one + 1, one) if order.law == "us" else (one, one - 1)
    return Figures(one, caps, floors, chain, above, under, descending=False)
