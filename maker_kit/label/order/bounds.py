"""Least and most of every name of a label order: the door to the closed form and the linear programs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

import pandas as pd

from maker_kit.frames import frame_of
from maker_kit.label.order.chain import SUM, Chain, End, Misfit, ends, propagate
from maker_kit.label.order.clash import contradiction
from maker_kit.label.order.figures import Figures, figures_of
from maker_kit.label.order.groups import PlaceSum, closed_form, fold, place_sums
from maker_kit.label.order.label_order import LabelOrder
from maker_kit.label.order.programs import all_together, one_fits, programmed

CLOSED, PROGRAMS = "closed form", "linear programs"


@dataclass(frozen=True)
class Bound:
    """One end of a name's range.

    Attributes
    ----------
    exact : Fraction
        Percent by mass [%].
    reached : bool
        Whether a composition that fits has exactly this; else it is approached and never met.
    rule : {'cap', 'floor', 'line', 'sum'}
        What makes it: a most, a least, the 1 % line, or that all make 100.
    by : str
        Whose most or least it is; empty for the line and for the sum.
    share : int
        For the sum: how many names share what is left.
    """

    exact: Fraction
    reached: bool
    rule: str
    by: str = ""
    share: int = 0

    @property
    def percent(self) -> float:
        """The bound as a float [%], rounded once."""
        return float(self.exact)


@dataclass(frozen=True)
class NameRange:
    """A name with its least and most."""

    name: str
    least: Bound
    most: Bound


@dataclass(frozen=True)
class OrderBounds:
    """What a label order says of every name.

    Attributes
    ----------
    order : LabelOrder
    rows : tuple of NameRange
        In the label's order.
    line_after : tuple of int
        After how many names the 1 % line may stand (colours not counted).
    way : {'closed form', 'linear programs'}
    """

    order: LabelOrder
    rows: tuple[NameRange, ...]
    line_after: tuple[int, ...]
    way: str

    def of(self, name: str) -> NameRange:
        """The range of one name. Raises KeyError where the list does not hold it."""
        return next((r for r in self.rows if r.name == name), None) or {}[name]

    def to_frame(self) -> pd.DataFrame:
        """Name, least and most [%], whether each is reached, and what makes it."""
        return frame_of(
            self.rows,
            {
                "name": "name",
                "least %": "least.percent",
                "most %": "most.percent",
                "least reached": "least.reached",
                "most reached": "most.reached",
                "least by": lambda r: f"{r.least.rule} {r.least.by}".strip(),
                "most by": lambda r: f"{r.most.rule} {r.most.by}".strip(),
            },
        )


def bounds_of(order: LabelOrder) -> OrderBounds:
    """Least and most of every name over every place of the 1 % line, exactly.

    Parameters
    ----------
    order : LabelOrder

    Returns
    -------
    OrderBounds
        In fractions, in closed form or where sums ask for linear programs. With sums, not every value between the
        bounds need occur.

    Raises
    ------
    ContradictionError
        If nothing fits, with a smallest set of rules that collide.
    """
    figures, sums, plain = _read(order)
    if isinstance(plain, Misfit):
        raise contradiction(order, fits)
    if not sums:
        return _closed(order, plain, *ends(plain))
    grouped = closed_form(figures, sums, plain)
    if isinstance(grouped, Misfit):
        raise contradiction(order, fits)
    if grouped is not None:
        return _closed(order, grouped.chain, *grouped.ends())
    found = programmed(plain, sums)
    if found is None:
        raise contradiction(order, fits)
    alone = _closed(order, plain, *ends(plain)).rows
    rows = tuple(
        NameRange(row.name, _tagged(row.least, *low), _tagged(row.most, *high))
        for row, low, high in zip(alone, found.least, found.most, strict=True)
    )
    return OrderBounds(order, rows, found.places, PROGRAMS)


def together(order: LabelOrder, names: Iterable[str]) -> tuple[Bound, Bound]:
    """Least and most of several names together, over every place of the 1 % line.

    Parameters
    ----------
    order : LabelOrder
    names : iterable of str
        Names of the order.

    Returns
    -------
    (Bound, Bound)

    Raises
    ------
    ContradictionError
        If nothing fits.
    """
    _, sums, plain = _read(order)
    members = {order.names.index(n) for n in names}
    found = [] if isinstance(plain, Misfit) else all_together(plain, sums, members)
    if not found:
        raise contradiction(order, fits)
    return Bound(*found[0], SUM), Bound(*found[1], SUM)


def _tagged(alone: Bound, exact: Fraction, reached: bool) -> Bound:
    """The bound of a program; its rule is what makes it without the sums, where they do not move it."""
    return replace(alone, reached=reached) if exact == alone.exact else Bound(exact, reached, SUM)


def fits(order: LabelOrder) -> Misfit | None:
    """None where some composition fits, else on which side nothing does."""
    figures, sums, plain = _read(order)
    if isinstance(plain, Misfit):
        return plain
    grouped = closed_form(figures, sums, plain) if sums else plain
    if grouped is None:
        return None if one_fits(plain, sums) else Misfit("sums")
    return grouped if isinstance(grouped, Misfit) else None


def _read(order: LabelOrder) -> tuple[Figures, tuple[PlaceSum, ...], Chain | Misfit]:
    figures = figures_of(order)
    given = place_sums(order, figures)
    whole = len(order.names)
    if any(len(s.places) == whole and not s.least <= figures.total <= s.most for s in given):
        return figures, (), Misfit("sums")
    figures, sums = fold([s for s in given if len(s.places) < whole], figures)
    return figures, sums, propagate(figures)


def _closed(order: LabelOrder, chain: Chain, least: list[End], most: list[End]) -> OrderBounds:
    def bound(end: End) -> Bound:
        named = end.rule not in {"sum", "line"}
        exact, reached = chain.figures.settled(end.units, end.parts)
        return Bound(exact, reached, end.rule, order.names[end.place] if named else "", 0 if named else end.place)

    rows = tuple(
        NameRange(name, bound(low), bound(high)) for name, low, high in zip(order.names, least, most, strict=True)
    )
    return OrderBounds(order, rows, tuple(range(chain.first, chain.last + 1)), CLOSED)
