"""Sums over several names in closed form: all their names are under the 1 % line at every place, or colours, and the
sums are nested or apart.

Up the tree: low = max(a, Σ low of what is inside), high = min(z, Σ high). Down the tree: what the whole list leaves a
group, and a group its members.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from maker_kit.label.order.chain import FLOOR, SUM, Chain, End, Misfit, at_most_under, ends, propagate
from maker_kit.label.order.figures import Figures
from maker_kit.label.order.label_order import LabelOrder


@dataclass(frozen=True)
class PlaceSum:
    """A sum over names by their places, in units."""

    places: frozenset[int]
    least: int
    most: int


def place_sums(order: LabelOrder, figures: Figures) -> list[PlaceSum]:
    """The sums of an order in the units of its figures."""
    place = {n: i for i, n in enumerate(order.names)}
    return [
        PlaceSum(
            frozenset(place[n] for n in s.names),
            0 if s.least is None else int(s.least * figures.unit),
            figures.total if s.most is None else int(s.most * figures.unit),
        )
        for s in order.sums
    ]


@dataclass
class _Node:
    places: frozenset[int]
    least: int
    most: int
    inside: list[_Node] = field(default_factory=list)
    low: int = 0
    high: int = 0


def fold(sums: Sequence[PlaceSum], figures: Figures) -> tuple[Figures, tuple[PlaceSum, ...]]:
    """Sums of one name, or of all but one, as caps and floors; gives the figures with them, and the other sums."""
    caps: dict[int, int] = {}
    floors: dict[int, int] = {}
    rest = []
    every = frozenset(range(len(figures.caps)))
    for one in sums:
        left = every - one.places
        if len(one.places) == 1:
            (i,) = one.places
            low, high = one.least, one.most
        elif len(left) == 1:
            (i,) = left
            low, high = figures.total - one.most, figures.total - one.least
        else:
            rest.append(one)
            continue
        caps[i], floors[i] = min(caps.get(i, high), high), max(floors.get(i, low), low)
    return figures.with_caps(caps, floors), tuple(rest)


def closed_form(figures: Figures, sums: Sequence[PlaceSum], plain: Chain) -> Grouped | Misfit | None:
    """The list with its sums in closed form.

    Parameters
    ----------
    figures : Figures
    sums : sequence of PlaceSum
        Over two names or more.
    plain : Chain
        The list without them.

    Returns
    -------
    Grouped, Misfit or None
        None where the closed form does not hold: a member may stand above the line, or sums overlap.
    """
    if any(i < min(plain.last, figures.chain) for s in sums for i in s.places):
        return None
    roots = _forest(sums)
    if roots is None:
        return None
    if not all(_up(root, plain) for root in roots):
        return Misfit("sums")
    low = {i: 0 for root in roots for i in root.places} | {min(root.places): root.low for root in roots}
    high = {i: 0 for root in roots for i in root.places} | {min(root.places): root.high for root in roots}
    chain = propagate(figures, low, high, until=plain.last)
    return chain if isinstance(chain, Misfit) else Grouped(chain, roots)


@dataclass(frozen=True)
class Grouped:
    """A list whose sums are in closed form."""

    chain: Chain
    roots: list[_Node]

    def ends(self) -> tuple[list[End], list[End]]:
        """Least and most of every name, as `maker_kit.label.order.chain.ends` gives them."""
        least, most = ends(self.chain)
        total, ka, kb = self.chain.figures.total, self.chain.first, self.chain.last
        for root in self.roots:
            low = max(root.low, root.high - (self.chain.most[kb] - total))
            high = min(root.high, root.low + total - self.chain.least[ka])
            _down(root, low, high, self.chain, least, most)
        return least, most


def _forest(sums: Sequence[PlaceSum]) -> list[_Node] | None:
    merged: dict[frozenset[int], _Node] = {}
    for s in sums:
        node = merged.setdefault(s.places, _Node(s.places, s.least, s.most))
        node.least, node.most = max(node.least, s.least), min(node.most, s.most)
    nodes = sorted(merged.values(), key=lambda node: len(node.places))
    roots: list[_Node] = []
    for node in nodes:
        node.inside = [r for r in roots if r.places <= node.places]
        roots = [r for r in roots if not r.places <= node.places]
        if any(r.places & node.places for r in roots):
            return None
        roots.append(node)
    return roots


def _single(node: _Node) -> list[int]:
    return sorted(node.places - {i for child in node.inside for i in child.places})


def _up(node: _Node, chain: Chain) -> bool:
    if not all(_up(child, chain) for child in node.inside):
        return False
    own = _single(node)
    node.low = max(node.least, sum(c.low for c in node.inside) + sum(chain.figures.floors[i] for i in own))
    node.high = min(node.most, sum(c.high for c in node.inside) + sum(chain.under_cap(i) for i in own))
    return node.low <= node.high


def _down(node: _Node, low: int, high: int, chain: Chain, least: list[End], most: list[End]) -> None:
    own = _single(node)
    lows = sum(c.low for c in node.inside) + sum(chain.figures.floors[i] for i in own)
    highs = sum(c.high for c in node.inside) + sum(chain.under_cap(i) for i in own)

    def share(small: int, large: int) -> tuple[int, int]:
        return max(small, low - (highs - large)), min(large, high - (lows - small))

    for child in node.inside:
        _down(child, *share(child.low, child.high), chain, least, most)
    for i in own:
        small, large = share(chain.figures.floors[i], chain.under_cap(i))
        floor = chain.figures.floors[i]
        least[i] = End(small, 1, SUM, 1) if small > floor else End(floor, 1, FLOOR, i)
        most[i] = End(large, 1, SUM, 1) if large < chain.under_cap(i) else at_most_under(chain, i)
