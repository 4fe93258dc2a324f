"""Which of several cheapest baskets is shown: a fixed order, so that the same tables always give the same shopping
list.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from maker_kit.buying.basket.program import BasketProgram, ImpossibleNeedError, Problem, Terms
from maker_kit.buying.market import Pack

SHARE = 1000
"""Leftover is counted in thousandths of the need."""

LARGEST_OBJECTIVE = 10**6
"""How large a combined objective may get before it is split, so that the solver's tolerances stay far below one
unit."""


def leftover_share(pack: Pack, need: Mapping[str, int]) -> int:
    """What one pack adds to the leftover, in thousandths: of the need for a needed item (rounded half up), 1000 for an
    item that nothing needs.

    The sum over a basket, less 1000 for every needed item, is what stays of everything, each item measured by its own
    need: whole numbers, so that grams and pieces can be added and the order of two baskets is never a matter of
    rounding.
    """
    return sum(
        (2 * SHARE * units + need[item]) // (2 * need[item]) if need.get(item) else SHARE
        for item, units in pack.content.items()
    )


def settle_ties(problem: Problem, counts: Mapping[str, int], cost: int) -> dict[str, int]:
    """The first of all baskets at a proved least cost.

    Order: fewest suppliers, fewest packs, least leftover (`leftover_share`), then more of the pack that stands first in
    the tables, then of the second, and so on.

    Parameters
    ----------
    problem : Problem
        As the cost was proved with.
    counts : Mapping of str to int
        A basket at that cost.
    cost : int
        [0.0001 cent]

    Returns
    -------
    dict of str to int
        Pack name to count.

    Raises
    ------
    NotProvedError, ImpossibleNeedError
        If the order could not be proved.
    """
    return first_of_ties(problem, cost) if another(problem, counts, cost) else dict(counts)


def first_of_ties(problem: Problem, cost: int) -> dict[str, int]:
    """`settle_ties` where more than one basket may have that cost."""
    built = BasketProgram(problem, count_suppliers=True)
    built.row(built.cost, -math.inf, cost)
    packs = {pack.name: pack for pack in problem.market.packs if pack.name in built.copies}
    copies = {k: 1 for columns in built.copies.values() for k in columns}
    opened = {k: 1 for columns in built.opened.values() for k in columns}
    share = {name: leftover_share(pack, problem.need) for name, pack in packs.items()}
    leftover = {k: share[name] for name, columns in built.copies.items() for k in columns}
    outweighs = 1 + sum(built.most(name) for name in packs)  # one supplier fewer counts more than any number of packs
    suppliers, fewest = divmod(built.minimise(copies | dict.fromkeys(opened, outweighs))[1], outweighs)
    built.row(opened, 0, suppliers)
    built.row(copies, fewest, fewest)
    values, least = built.minimise(leftover)
    built.row(leftover, 0, least)
    return _first_in_table(built, list(packs), values, fewest)


def another(problem: Problem, counts: Mapping[str, int], cost: int) -> bool:
    """Whether a basket at that cost holds fewer of some pack.

    Any other basket at that cost holds at least as much of every pack, so it has no fewer suppliers and more packs, and
    comes later. The cheapest that holds fewer is asked for, up to that cost: to the solver that is easier than whether
    there is one at the cost, for which it has nothing to steer by.
    """
    built = BasketProgram(problem)
    fewer: Terms = {}
    for name, count in counts.items():
        chosen = built.column(1)
        fewer[chosen] = 1
        most = built.most(name) * len(built.copies[name])
        built.row({**dict.fromkeys(built.copies[name], 1), chosen: most - count + 1}, 0, most)
    built.row(fewer, 1, math.inf)
    try:
        return built.minimise(built.cost, cost)[1] <= cost
    except ImpossibleNeedError:
        return False


def _first_in_table(built: BasketProgram, names: list[str], values: list[int], packs: int) -> dict[str, int]:
    """The basket with more of the first pack of `names`, then of the second …, a few packs at a time, until all
    `packs` packs of the basket are settled.
    """
    settled = 0
    while settled < packs:
        weights: Terms = {}
        weight, taken = 1, 0
        for name in names:
            most = min(built.most(name), packs - settled)
            if taken and weight * (most + 1) > LARGEST_OBJECTIVE:
                break
            weights = {k: v * (most + 1) for k, v in weights.items()} | dict.fromkeys(built.copies[name], -1)
            weight *= most + 1
            taken += 1
        values, _ = built.minimise(weights)
        counts = built.counts(values)
        for name in names[:taken]:
            built.row(dict.fromkeys(built.copies[name], 1), counts.get(name, 0), counts.get(name, 0))
            settled += counts.get(name, 0)
        names = names[taken:]
    return built.counts(values)
