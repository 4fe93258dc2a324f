"""Sums that trade against each other along the list: linear programs over the places of the 1 % line, in fractions.

A place fits when some list within its caps and floors makes the total and the sums (`one_place`). A bound starts at the
place whose closed form without sums is widest, and stops when no other place's is wider than what was found; every
answer is a composition that fits, and betters all names at once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.label.order.chain import Chain, ends_at
from maker_kit.label.order.groups import PlaceSum
from maker_kit.label.order.one_place import OnePlace


@dataclass(frozen=True)
class Programmed:
    """Bounds that linear programs gave.

    Attributes
    ----------
    places : tuple of int
        Places of the line that fit.
    least, most : tuple of (Fraction, bool)
        In percent, and whether it is reached.
    """

    places: tuple[int, ...]
    least: tuple[tuple[Fraction, bool], ...]
    most: tuple[tuple[Fraction, bool], ...]


def one_fits(plain: Chain, sums: Sequence[PlaceSum]) -> bool:
    """Whether any place of the line that a list without its sums allows holds the sums, too."""
    return any(OnePlace(plain, k, sums).fits for k in _from_the_middle(plain))


def _from_the_middle(plain: Chain) -> Iterator[int]:
    places = range(plain.first, plain.last + 1)
    return iter(sorted(places, key=lambda k: abs(2 * k - plain.first - plain.last)))


def programmed(plain: Chain, sums: Sequence[PlaceSum]) -> Programmed | None:
    """Least and most of every name under sums, by linear programs.

    Parameters
    ----------
    plain : Chain
        The list without its sums; its places are tried.
    sums : sequence of PlaceSum

    Returns
    -------
    Programmed or None
        None where nothing fits.
    """
    there = {k: one for k in range(plain.first, plain.last + 1) if (one := OnePlace(plain, k, sums)).fits}
    if not there:
        return None
    n, total = len(plain.figures.caps), plain.figures.total
    wide = {k: [[(e.units, e.parts) for e in side] for side in ends_at(plain, k)] for k in there}
    best = {-1: [(total, 1)] * n, 1: [(0, 1)] * n}
    for side, sign in ((0, -1), (1, 1)):
        for i in range(n):
            aim = [sign * (j == i) for j in range(n)]
            near = {k: -sign * ends[side][i][0] / ends[side][i][1] / total for k, ends in wide.items()}
            proof: tuple[Sequence[int], int] | None = None
            for k in sorted(there, key=near.__getitem__):
                if not _beyond(wide[k][side][i], best[sign][i], sign):
                    continue
                if proof and not _beyond((sign * there[k].bound(*proof, aim), proof[1]), best[sign][i], sign):
                    continue
                mixed, parts = there[k].best(aim)
                proof = there[k].proof
                for way, found in best.items():
                    for j, amount in enumerate(mixed):
                        if _beyond((amount, parts), found[j], way):
                            found[j] = amount, parts
    least, most = (tuple(plain.figures.settled_near(Fraction(*end)) for end in best[sign]) for sign in (-1, 1))
    return Programmed(tuple(there), least, most)


def all_together(plain: Chain, sums: Sequence[PlaceSum], members: Collection[int]) -> list[tuple[Fraction, bool]]:
    """Least and most [%] of several names together over all places of the line, and whether each is reached; empty
    where nothing fits.
    """
    there = [one for k in range(plain.first, plain.last + 1) if (one := OnePlace(plain, k, sums)).fits]
    found = []
    for sign in (-1, 1) if there else ():
        aim = [sign * (i in members) for i in range(len(plain.figures.caps))]
        reached = [Fraction(sum(mixed[i] for i in members), parts) for mixed, parts in (one.best(aim) for one in there)]
        found.append(plain.figures.settled_near(max(reached) if sign > 0 else min(reached)))
    return found


def _beyond(one: tuple[int, int], other: tuple[int, int], sign: int) -> bool:
    """Whether a bound is wider than another: more, or less with the sign -1."""
    return sign * (one[0] * other[1] - other[0] * one[1]) > 0


def suspects(plain: Chain, sums: Sequence[PlaceSum]) -> tuple[set[int], set[int]]:
    """Caps and floors, by place, that the proofs lean on that no place of the line fits."""
    caps: set[int] = set()
    floors: set[int] = set()
    for k in range(plain.first, plain.last + 1):
        for i, amount in enumerate(OnePlace(plain, k, sums).furthest()):
            if i < k:
                caps |= _where(amount == plain.upper[i], plain.upper_from[i])
                floors |= _where(amount == plain.lower[i], plain.lower_from[i])
            else:
                caps |= _where(amount == plain.under_cap(i), i)
                floors |= _where(amount == plain.figures.floors[i], i)
    return caps, floors


def _where(holds: bool, place: int) -> Iterable[int]:
    return {place} if holds and place >= 0 else set()
