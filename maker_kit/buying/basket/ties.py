"""Which of several cheapest baskets is shown: a fixed order, so that the same tables always give the same shopping list."""

from __future__ import annotations

import math
from collections.abc import Mapping

from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import BasketProgram, ImpossibleNeedError, Terms, basket_program
from maker_kit.buying.market import Market, Pack

SHARE = 1000
"""Leftover is counted in thousandths of the need."""

LARGEST_OBJECTIVE = 10**6
"""How large a combined objective may get before it is split, so that the solver's tolerances stay far below one unit."""


def leftover_share(pack: Pack, need: Mapping[str, int]) -> int:
    """What one pack adds to the leftover, in thousandths: of the need for a needed item (rounded half up), 1000 for an item that nothing needs.

    The sum over a basket, less 1000 for every needed item, is what stays of everything, each item measured by its own need: whole numbers, so that grams and pieces can be
    added and the order of two baskets is never a matter of rounding.
    """
    return sum(
        (2 * SHARE * units + need[item]) // (2 * need[item]) if need.get(item) else SHARE
        for item, units in pack.content.items()
    )


def settle_ties(
    market: Market,
    need: Mapping[str, int],
    restriction: Restriction,
    counts: Mapping[str, int],
    cost: int,
    deadline: float,
) -> dict[str, int]:
    """The first of all baskets at a proved least cost.

    Order: fewest suppliers, fewest packs, least leftover (`leftover_share`), then more of the pack that stands first in the tables, then of the second, and so on.

    Parameters
    ----------
    market, need, restriction
        As the cost was proved with.
    counts : Mapping of str to int
        A basket at that cost.
    cost : int
        [0.0001 cent]
    deadline : float
        By time.monotonic() [s].

    Returns
    -------
    dict of str to int
        Pack name to count.

    Raises
    ------
    NotProvedError, ImpossibleNeedError
        If the order could not be proved.
    """
    if not _another(market, need, restriction, counts, cost, deadline):
        return dict(counts)
    built = basket_program(market, need, restriction, count_suppliers=True)
    program = built.program
    program.row(built.cost, -math.inf, cost)
    packs = {pack.name: pack for pack in market.packs}
    copies = {k: 1 for columns in built.copies.values() for k in columns}
    opened = {k: 1 for columns in built.opened.values() for k in columns}
    leftover = {k: leftover_share(packs[name], need) for name, columns in built.copies.items() for k in columns}
    outweighs = 1 + sum(
        _most(built, name) for name in built.copies
    )  # one supplier fewer counts more than any number of packs
    suppliers, fewest = divmod(program.minimise({**copies, **dict.fromkeys(opened, outweighs)}, deadline)[1], outweighs)
    program.row(opened, 0, suppliers)
    program.row(copies, fewest, fewest)
    values, least = program.minimise(leftover, deadline)
    program.row(leftover, 0, least)
    return _first_in_table(
        built, [pack.name for pack in market.packs if pack.name in built.copies], values, fewest, deadline
    )


def _another(
    market: Market,
    need: Mapping[str, int],
    restriction: Restriction,
    counts: Mapping[str, int],
    cost: int,
    deadline: float,
) -> bool:
    """Whether a basket at that cost holds fewer of some pack.

    Any other basket at that cost holds at least as much of every pack, so it has no fewer suppliers and more packs, and comes later.
    """
    built = basket_program(market, need, restriction)
    program = built.program
    program.row(built.cost, -math.inf, cost)
    fewer: Terms = {}
    for name, count in counts.items():
        chosen = program.column(1)
        fewer[chosen] = 1
        most = _most(built, name) * len(built.copies[name])
        program.row({**dict.fromkeys(built.copies[name], 1), chosen: most - count + 1}, 0, most)
    program.row(fewer, 1, math.inf)
    try:
        program.minimise({}, deadline)
    except ImpossibleNeedError:
        return False
    return True


def _most(built: BasketProgram, name: str) -> int:
    """Most copies of a pack that the program can hold."""
    return int(max(built.program.highest[k] for k in built.copies[name]))


def _first_in_table(
    built: BasketProgram, names: list[str], values: list[int], packs: int, deadline: float
) -> dict[str, int]:
    """The basket with more of the first pack of `names`, then of the second …, a few packs at a time, until all `packs` packs of the basket are settled."""
    program, settled = built.program, 0
    while settled < packs:
        weights: Terms = {}
        weight, taken = 1, 0
        for name in names:
            most = min(_most(built, name), packs - settled)
            if taken and weight * (most + 1) > LARGEST_OBJECTIVE:
                break
            weights = {k: v * (most + 1) for k, v in weights.items()} | dict.fromkeys(built.copies[name], -1)
            weight *= most + 1
            taken += 1
        values, _ = program.minimise(weights, deadline)
        counts = built.counts(values)
        for name in names[:taken]:
            program.row(dict.fromkeys(built.copies[name], 1), counts.get(name, 0), counts.get(name, 0))
            settled += counts.get(name, 0)
        names = names[taken:]
    return built.counts(values)
