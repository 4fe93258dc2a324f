"""Of a moved market only what is asked: the cost of one count, and from which count on making pays for good.

A whole curve proves every count. Here the count looked at is proved, and of the others only whether they cost more or
less than the shop: a basket of the curve that is known already, priced again in the moved market, mostly tells that.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import floor, inf
from typing import Any

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError
from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.counts_that_pay import PaysForGood, pays_for_good
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint, Nearby
from maker_kit.buying.market import Market
from maker_kit.buying.needs import need_of
from maker_kit.buying.pricing import bought_units, price_basket
from maker_kit.errors import BasketError
from maker_kit.money import MICROS_PER_CENT

MOST_PROGRAMS = 6
"""Counts that are solved one by one; where more would be, the whole curve is sooner there."""

PROGRAM_S = 1.0
"""How long the integer program may take for one count [s] before the search of all counts is asked instead."""


@dataclass(frozen=True)
class Told:
    """What was asked.

    Attributes
    ----------
    cost_micros : int or None
        Of the count looked at [0.0001 cent]; None where it is not proved, or nothing covers it.
    pays : PaysForGood
        From which count of batches on making costs no more than buying, up to the last; both None where there is no
        price to compare with.
    proved : bool
        Whether every count that decides these is proved.
    """

    cost_micros: int | None
    pays: PaysForGood
    proved: bool


def of_curve(curve: CostCurve, batches: int, price_cents: Fraction | None) -> Told:
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
    Told
    """
    pays = PaysForGood(None, None) if price_cents is None else pays_for_good(curve, price_cents)
    return Told(curve.at(batches).cost_micros, pays, not curve.open_counts)


def asked_of(
    market: Market,
    needs: Mapping[str, Fraction],
    batches: int,
    known: CostCurve,
    price_cents: Fraction | None,
    cancelled: Callable[[], bool] | None = None,
    shared: dict[Any, Any] | None = None,
) -> Told:
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
    cancelled : callable, optional
        Asked while a whole curve is worked out.
    shared : dict, optional
        Kept from market to market, where several that differ in few prices are asked.

    Returns
    -------
    Told
    """
    size, last = known.containers_per_batch, known.counts[-1]
    more = {"cancelled": cancelled} if cancelled else {}

    def whole() -> Told:
        return of_curve(cost_curve(market, needs, last, containers_per_batch=size, **more), batches, price_cents)

    near: list[Nearby | None] = []  # made when first asked for; None where that would take long

    def solved(count: int, enough_micros: Fraction | float = inf) -> CurvePoint:
        if not near:
            near.append(_nearby(market, needs, last, shared))
        return _solved(market, needs, count, size, known.at(count).packs, enough_micros, near[0])

    alike = known.at(1).per_batch == needs
    # a basket, what it holds and what it costs: one serves many counts
    tried: dict[int, tuple[Any, Mapping[str, int], float]] = {}

    def serves(packs: Mapping[str, int] | None, count: int, limit_micros: Fraction) -> bool:
        if packs is None:
            return False
        if id(packs) not in tried:
            tried[id(packs)] = packs, bought_units(market, packs), _price_of(market, packs)
        _, units, cost = tried[id(packs)]
        need = known.at(count).need if alike else need_of(needs, count)
        return cost <= limit_micros and all(units.get(item, 0) >= wanted for item, wanted in need.items())

    asked = solved(batches)
    cost, told = asked.cost_micros, _told(asked)
    if price_cents is None:
        return Told(cost, PaysForGood(None, None), told)
    limit = Fraction(price_cents) * MICROS_PER_CENT * size
    first, programs, packs = None, 0, asked.packs or {}
    for count in reversed(known.counts):
        within, sure = _within(cost, limit * count), _told(asked)
        if count != batches:
            within = any(serves(p, count, limit * count) for p in (packs, known.at(count).packs))
            if not within and programs == MOST_PROGRAMS:
                return whole()
            if not within:
                programs += 1
                point = solved(count, limit * count)
                within, sure = _within(point.cost_micros, limit * count), _told(point)
                packs = point.packs or packs
        if not within:  # the first that pays stands above it; what is not known to cost more may pay as well
            return Told(cost, PaysForGood(first if sure else count, first), told and sure)
        first = count
    return Told(cost, PaysForGood(first, first), told)


def _told(point: CurvePoint) -> bool:
    return point.proved or point.impossible


def _within(cost_micros: int | None, limit_micros: Fraction) -> bool:
    return cost_micros is not None and cost_micros <= limit_micros


def _price_of(market: Market, packs: Mapping[str, int]) -> float:
    """What a basket costs here [0.0001 cent]; endless where it cannot be bought."""
    try:
        return price_basket(market, packs).cost_micros
    except BasketError:  # less than a least order, or heavier than is delivered
        return inf


def _cost_of(market: Market, need: Mapping[str, int], packs: Mapping[str, int] | None) -> float:
    """What a basket costs here [0.0001 cent]; endless where it cannot be bought or does not cover a need."""
    units = {} if packs is None else bought_units(market, packs)
    if packs is None or any(units.get(item, 0) < wanted for item, wanted in need.items()):
        return inf
    return _price_of(market, packs)


def _solved(
    market: Market,
    needs: Mapping[str, Fraction],
    count: int,
    size: int,
    packs: Mapping[str, int] | None,
    enough_micros: Fraction | float,
    near: Nearby | None,
) -> CurvePoint:
    """One count by itself, from a basket of the unmoved market: by the lists near it, by the integer program, or as a
    curve of one where that takes long. Where it costs more than is enough to know, it may stand as a count that nothing
    covers.
    """
    need = need_of(needs, count)
    at_most = min(_cost_of(market, need, packs), float(enough_micros))
    if near and at_most < inf:
        with contextlib.suppress(NotProvedError):
            found = near(need, floor(at_most))
            counts, cost = found or (None, None)
            return CurvePoint(market, count, need, cost, cost, counts)
    try:
        basket = cheapest_basket(market, need, time_limit_s=PROGRAM_S, tie_break=False, at_most_micros=at_most)
    except ImpossibleNeedError as error:
        return CurvePoint(market, count, need, None, told=str(error))
    except NotProvedError:
        alone = {item: amount * count for item, amount in needs.items()}
        return cost_curve(market, alone, 1, containers_per_batch=size * count).at(1)
    return CurvePoint(market, count, need, basket.cost_micros, basket.cost_micros, basket.counts)


def _nearby(market: Market, needs: Mapping[str, Fraction], last: int, shared: dict[Any, Any] | None) -> Nearby | None:
    try:
        return CurveSolver(market).nearby(need_of(needs, last), shared)
    except NotProvedError:
        return None
