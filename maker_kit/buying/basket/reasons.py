"""Why a shopping list is the cheapest: each reason is a real alternative, solved or priced again exactly, and what it would cost."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.basket.caps import Restriction, bands
from maker_kit.buying.basket.program import NotProvedError
from maker_kit.buying.basket.rivals import Rivals, dearer_in_words, in_words, parts_in_words
from maker_kit.buying.market import MICROS_PER_CENT, Market, Pack
from maker_kit.buying.pricing import (
    BasketLine,
    Order,
    check_market,
    delivery_cents,
    kilograms,
    money,
    threshold_goods_cents,
)
from maker_kit.errors import BasketError, QuantityError

CLOSE_PERCENT = 10
"""A list without one of the suppliers is told of if it costs at most so much more [%]; nobody would think of the others."""


def reasons(basket: Basket, market: Market, *, time_limit_s: float = 60.0) -> tuple[str, ...]:
    """Why this list and no other, in sentences.

    Looked at: orders that reach free delivery, kits, orders that stay in a lighter step of delivery, price steps, larger packs in place of smaller ones, least orders, and suppliers that could be
    left out. A list that simply takes the smallest packs that cover the need has no reasons.

    Parameters
    ----------
    basket : Basket
        A cheapest basket of that market.
    market : Market
    time_limit_s : float
        Time for all of it [s].

    Returns
    -------
    tuple of str
        Amounts in units of currency, each beside what the alternative costs; what could not be compared in time is said too.

    Raises
    ------
    QuantityError
        If the time limit is no time.
    BasketError
        If the basket is not priced as this market prices it, or the market has a fault.
    """
    if not time_limit_s > 0:
        msg = f"a time limit of {time_limit_s} s; it is above 0"
        raise QuantityError(msg)
    check_market(market)
    rivals = Rivals(market, basket, time.monotonic() + min(time_limit_s, 1e9))
    again = rivals.priced(basket.counts)
    if again is None or again.cost_micros != basket.cost_micros:
        msg = "this shopping list was made at other prices than this market's; work it out again before asking for its reasons"
        raise BasketError(msg)
    packs = {pack.name: pack for pack in market.packs}
    free = [
        (f"delivery from {order.supplier}", partial(_free_delivery, rivals, order))
        for order in basket.orders
        if order.free_delivery
    ]
    kits = [
        (line.pack, partial(_kit, rivals, line))
        for line in basket.lines
        if packs[line.pack].kit or len(packs[line.pack].content) > 1
    ]
    light = [
        (f"the weight of the order at {order.supplier}", partial(_lighter_step, rivals, order))
        for order in basket.orders
        if not order.free_delivery
    ]
    steps = [
        (f"the price steps of {line.pack}", partial(_price_step, rivals, line, packs[line.pack]))
        for line in basket.lines
    ]
    large = [(line.pack, partial(_larger_pack, rivals, line, packs[line.pack])) for line in basket.lines]
    least = [("the least orders", partial(_least_order, rivals))]
    who = [(f"a list without {order.supplier}", partial(_supplier, rivals, order)) for order in basket.orders]
    return tuple(_told([*free, *kits, *light, *steps, *large, *least, *who]))


def _told(questions: list[tuple[str, Callable[[], str]]]) -> Iterator[str]:
    """Every answer that is one, and what there was no time for."""
    late = []
    for topic, ask in questions:
        try:
            sentence = ask()
        except NotProvedError:
            late.append(topic)
        else:
            if sentence:
                yield sentence
    if late:
        yield f"Not compared, for want of time: {'; '.join(late)}."


def _free_delivery(rivals: Rivals, order: Order) -> str:
    """Whether the list was changed to reach free delivery, against the cheapest one that stays below it."""
    supplier = rivals.market.supplier(order.supplier)
    paid = delivery_cents(supplier, order.weight_dg)
    if paid == 0:
        return ""
    holds = (
        f"{money(order.goods_micros)} of goods, free from {money((supplier.free_from_cents or 0) * MICROS_PER_CENT)}"
    )
    if paid is not None and rivals.with_terms(replace(supplier, free_from_cents=None)) is None:
        return f"The order at {supplier.name} reaches free delivery with nothing bought for it ({holds}): {money(paid * MICROS_PER_CENT)} less delivery."
    rival = rivals.under(Restriction(below_free=frozenset({supplier.name})))
    if rival is None:
        return f"Every list that covers the need reaches free delivery at {supplier.name} ({holds})."
    change = in_words(rivals.market, rivals.basket.counts, rival.counts)
    return (
        f"The order at {supplier.name} reaches free delivery: {parts_in_words(rivals.basket, rival)} ({change}; {holds}). "
        f"The cheapest list that stays below costs {money(rival.cost_micros)}, {dearer_in_words(rivals.basket, rival)}."
    )


def _kit(rivals: Rivals, line: BasketLine) -> str:
    """What the cheapest lists with one kit fewer, and with none, cost more."""
    words = []
    for most in sorted({line.count - 1, 0}, reverse=True):
        rival = rivals.under(Restriction(most={line.pack: most}))
        held = rival.counts.get(line.pack, 0) if rival else most
        some = f"with {held} of them" if held else "without it" if line.count == 1 else "without any"
        if rival is None:
            words.append(f"{some} no list covers the need")
        else:
            words.append(
                f"{some} the cheapest list costs {money(rival.cost_micros)}, {dearer_in_words(rivals.basket, rival)}"
            )
        if not held:
            break
    return f"{line.count} × {line.pack}, {money(line.goods_cents * MICROS_PER_CENT)}: {'; '.join(words)}."


def _lighter_step(rivals: Rivals, order: Order) -> str:
    """Whether the list was changed to stay in a step of delivery, against the list that would be cheapest if weight made no difference."""
    supplier, paid = rivals.market.supplier(order.supplier), order.delivery_micros // MICROS_PER_CENT
    step = next(k for k, (most, _) in enumerate(supplier.delivery) if most is None or order.weight_dg <= most)
    most, heavier = supplier.delivery[step][0], supplier.delivery[step + 1 :]
    if most is None or (heavier and heavier[-1][0] is None and all(price <= paid for _, price in heavier)):
        return ""
    light = rivals.with_terms(replace(supplier, delivery=((None, paid),), delivery_high=()))
    if light is None:
        return ""
    stays = f"The order at {supplier.name} stays within {kilograms(most)} (it weighs {kilograms(order.weight_dg)})"
    change = in_words(rivals.market, rivals.basket.counts, light.counts)
    rival = rivals.priced(light.counts)
    if rival is not None and rival.cost_micros <= rivals.basket.cost_micros:
        return ""
    if rival is None:
        return f"{stays}, and no heavier list that would be cheaper is delivered ({change}): it would cost {money(light.cost_micros)} if weight made no difference."
    return f"{stays}: {parts_in_words(rivals.basket, rival)} ({change}). The list that would be cheapest if weight made no difference costs {money(rival.cost_micros)}, {dearer_in_words(rivals.basket, rival)}."


def _price_step(rivals: Rivals, line: BasketLine, pack: Pack) -> str:
    """Whether a later price step was reached on purpose: more for less, or against the cheapest list that stays below the step."""
    band = next(b for b in bands(pack) if b.low <= line.count and (b.high is None or line.count <= b.high))
    if band.price_cents == pack.prices[0][1]:
        return ""
    fewer = max(_fewest(rivals.basket, line, pack), pack.prices[0][0])
    if fewer < band.low:
        gap = fewer * pack.price_cents(fewer) - line.goods_cents
        if gap >= 0:
            cost = f"{money(line.goods_cents * MICROS_PER_CENT)} and {money(fewer * pack.price_cents(fewer) * MICROS_PER_CENT)}"
            return f"{line.count} × {line.pack} cost {'less than' if gap else 'the same as'} {fewer}, which would do (price {money(band.price_cents * MICROS_PER_CENT)} each from {band.low}): {cost}."
    rival = rivals.under(Restriction(most={line.pack: band.low - 1}))
    if rival is None or rival.cost_micros <= rivals.basket.cost_micros:
        return ""
    return (
        f"{line.count} × {line.pack} reach the price from {band.low} ({money(band.price_cents * MICROS_PER_CENT)} each): "
        f"the cheapest list with fewer costs {money(rival.cost_micros)}, {dearer_in_words(rivals.basket, rival)}."
    )


def _fewest(basket: Basket, line: BasketLine, pack: Pack) -> int:
    """How many of a pack are enough, all else in the basket staying."""
    spare = [basket.leftovers[item] // units for item, units in pack.content.items() if basket.need.get(item)]
    return max(line.count - min(spare), 0) if spare else 0


def _larger_pack(rivals: Rivals, line: BasketLine, pack: Pack) -> str:
    """Whether a pack costs less than the cheapest two or more of one smaller size, from the same supplier, that would do in its place."""
    item, counts, best = next(iter(pack.content)), rivals.basket.counts, None
    short = pack.content[item] - rivals.basket.leftovers[item]
    if len(pack.content) > 1 or short <= 0:
        return ""
    for other in rivals.market.packs:
        if other.supplier != pack.supplier or set(other.content) != {item} or other.content[item] >= pack.content[item]:
            continue
        here, more = counts.get(other.name, 0), -(-short // other.content[item])
        if rivals.priced({**counts, pack.name: line.count - 1, other.name: here + more}) is not None:
            extra = (here + more) * other.price_cents(here + more) - (here * other.price_cents(here) if here else 0)
            if best is None or (extra, more) < best[:2]:
                best = extra, more, other.name
    saved = line.goods_cents - (
        (line.count - 1) * pack.price_cents(line.count - 1) if line.count > pack.prices[0][0] else 0
    )
    if best is None or best[1] < 2 or best[0] <= saved:
        return ""
    return f"One larger pack costs less than {best[1]} smaller ones: {money(saved * MICROS_PER_CENT)} for 1 × {pack.name}, {money(best[0] * MICROS_PER_CENT)} for {best[1]} × {best[2]}."


def _least_order(rivals: Rivals) -> str:
    """What the least orders add to the list, against the one that would be cheapest without them."""
    terms = [replace(s, least_order_cents=0) for s in rivals.market.suppliers if s.least_order_cents]
    small = rivals.with_terms(*terms) if terms else None
    if small is None:
        return ""
    change = in_words(rivals.market, rivals.basket.counts, small.counts)
    goods = {order.supplier: order.goods_micros // MICROS_PER_CENT for order in small.orders}
    below = [
        s
        for s in rivals.market.suppliers
        if goods.get(s.name, s.least_order_cents) < threshold_goods_cents(s, s.least_order_cents)
    ]
    names = " and ".join(f"{s.name} (from {money(s.least_order_cents * MICROS_PER_CENT)})" for s in below)
    return f"The least order at {names} adds {money(rivals.basket.cost_micros - small.cost_micros)}: {parts_in_words(rivals.basket, small)} ({change})."


def _supplier(rivals: Rivals, order: Order) -> str:
    """What the cheapest list without one supplier costs more, where there is one that comes close and the supplier charges more than goods."""
    if order.total_micros == order.goods_micros or len(rivals.basket.orders) == 1:
        return ""
    rival = rivals.under(Restriction(closed=frozenset({order.supplier})))
    if (
        rival is None
        or not 0 < rival.cost_micros - rivals.basket.cost_micros <= rivals.basket.cost_micros * CLOSE_PERCENT // 100
    ):
        return ""
    return f"Ordering at {order.supplier} is worth its fees: the cheapest list without it costs {money(rival.cost_micros)}, {dearer_in_words(rivals.basket, rival)}."
