"""Of a moved market only what is asked: the cost of one count, and from which count on making pays for good.

A whole curve proves every count. Here the count looked at is proved, and of the others only whether they cost more or
less than the shop: a basket of the curve that is known already, priced again in the moved market, mostly tells that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError
from maker_kit.buying.costing import CostCurve, cost_curve, counts_that_pay
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import MICROS_PER_CENT, Market
from maker_kit.buying.needs import need_of
from maker_kit.buying.pricing import bought_units, price_basket
from maker_kit.errors import BasketError

MOST_PROGRAMS = 6
"""Counts that are solved one by one; where more would be, the whole curve is sooner there."""

FEW_ITEMS = 5
"""Of so few items the whole curve is there as soon as two counts by the integer program; of a dozen it takes three
times as long."""

PROGRAM_S = 1.0
"""How long the integer program may take for one count [s] before the search of all counts is asked instead."""


@dataclass(frozen=True)
class Asked:
    """What was asked.

    Attributes
    ----------
    cost_micros : int or None
        Of the count looked at [0.0001 cent]; None where it is not proved, or nothing covers it.
    first : int or None
        First count of batches from which on making costs no more than buying, up to the last; None where the last does
        not pay, is not proved to, or there is no price to compare with.
    proved : bool
        Whether every count that decides these is proved.
    """

    cost_micros: int | None
    first: int | None
    proved: bool


def of_curve(curve: CostCurve, batches: int, price_cents: Fraction | None) -> Asked:
    """What a whole curve tells of it.

    Parameters
    ----------
    curve : CostCurve
    batches : int
        Count looked at.
    price_cents : Fraction or None
        Price in the shop for the content of one container [cent].

    Returns
    -------
    Asked
    """
    first = None if price_cents is None else pays_for_good(curve, price_cents)
    return Asked(curve.at(batches).cost_micros, first, not curve.open_counts)


def pays_for_good(curve: CostCurve, price_cents: Fraction) -> int | None:
    """The first count of batches from which on making costs no more than buying at every count, up to the curve's last;
    None where the last does not pay, or is not proved to.
    """
    runs = counts_that_pay(curve, price_cents)
    return runs[-1][0] if runs and runs[-1][1] == curve.counts[-1] else None


def asked_of(
    market: Market,
    needs: Mapping[str, Fraction],
    batches: int,
    known: CostCurve,
    price_cents: Fraction | None,
) -> Asked:
    """The same as the whole curve tells, from a few counts.

    Parameters
    ----------
    market : Market
    needs : Mapping of str to Fraction
        What one batch takes [0.1 g or pieces].
    batches : int
        Count looked at.
    known : CostCurve
        A curve of a market with the same packs: its baskets are tried. Its last count is the last that is asked.
    price_cents : Fraction or None
        As in `of_curve`.

    Returns
    -------
    Asked
    """
    size, last = known.containers_per_batch, known.counts[-1]

    def whole() -> Asked:
        return of_curve(cost_curve(market, needs, last, containers_per_batch=size), batches, price_cents)

    if sum(amount > 0 for amount in needs.values()) <= FEW_ITEMS:
        return whole()
    found = {batches: _solved(market, needs, batches, size)}
    cost = found[batches].cost_micros
    if price_cents is None:
        return Asked(cost, None, _told(found[batches]))
    limit = Fraction(price_cents) * MICROS_PER_CENT * size
    count, packs = last, found[batches].packs or {}
    while count:
        if count in found:
            if not _within(found[count].cost_micros, limit * count):
                break
            packs = found[count].packs or packs
        elif not any(_serves(market, need_of(needs, count), p, limit * count) for p in (packs, known.at(count).packs)):
            if len(found) > MOST_PROGRAMS:
                return whole()
            found[count] = _solved(market, needs, count, size)
            continue
        count -= 1
    return Asked(cost, None if count == last else count + 1, all(map(_told, found.values())))


def _told(point: CurvePoint) -> bool:
    return point.proved or point.impossible


def _within(cost_micros: int | None, limit_micros: Fraction) -> bool:
    return cost_micros is not None and cost_micros <= limit_micros


def _serves(market: Market, need: Mapping[str, int], packs: Mapping[str, int] | None, limit_micros: Fraction) -> bool:
    """Whether a basket can be bought here, covers a need, and costs no more than so much [0.0001 cent]."""
    if packs is None:
        return False
    units = bought_units(market, packs)
    if any(units.get(item, 0) < wanted for item, wanted in need.items()):
        return False
    try:
        return price_basket(market, packs).cost_micros <= limit_micros
    except BasketError:  # less than a least order, or heavier than is delivered
        return False


def _solved(market: Market, needs: Mapping[str, Fraction], count: int, size: int) -> CurvePoint:
    """One count by itself: by the integer program, or as a curve of one where that takes long."""
    need = need_of(needs, count)
    try:
        basket = cheapest_basket(market, need, time_limit_s=PROGRAM_S, tie_break=False)
    except ImpossibleNeedError as error:
        return CurvePoint(market, count, need, None, told=str(error))
    except NotProvedError:
        alone = {item: amount * count for item, amount in needs.items()}
        return cost_curve(market, alone, 1, containers_per_batch=size * count).at(1)
    return CurvePoint(market, count, need, basket.cost_micros, basket.cost_micros, basket.counts)
