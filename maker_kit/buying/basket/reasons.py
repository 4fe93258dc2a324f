"""Why a shopping list is the cheapest: each reason is a real alternative, solved or priced again exactly, and what it
would cost.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.basket.caps import Restriction, price_steps
from maker_kit.buying.basket.program import NotProvedError
from maker_kit.buying.basket.rivals import Rivals
from maker_kit.buying.market import Market, Pack
from maker_kit.buying.market_check import check_market
from maker_kit.buying.pricing import BasketLine, Order, delivery_cents, kilograms, price_text, threshold_goods_cents
from maker_kit.errors import BasketError, QuantityError
from maker_kit.money import MICROS_PER_CENT, money

CLOSE_PERCENT = 10
"""A list without one of the suppliers is told of if it costs at most so much more [%]; nobody would think of the
others."""


def reasons(
    basket: Basket, market: Market, *, time_limit_s: float = 60.0, stopped: Callable[[], bool] | None = None
) -> tuple[str, ...]:
    """Why this list and no other, in sentences.

    Looked at: orders that reach free delivery, kits, orders that stay in a lighter step of delivery, price steps,
    larger packs in place of smaller ones, least orders, and suppliers that could be left out. A list that simply takes
    the smallest packs that cover the need has no reasons.

    Parameters
    ----------
    basket : Basket
        A cheapest basket of that market.
    market : Market
    time_limit_s : float
        Time for all of it [s].
    stopped : callable, optional
        Asked between steps; once true, what is left is not compared.

    Returns
    -------
    tuple of str
        Amounts in units of currency, each beside what the alternative costs; what could not be compared in time is said
        too.

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
    rivals = Rivals(market, basket, time.monotonic() + min(time_limit_s, 1e9), stopped)
    again = rivals.priced(basket.counts)
    if again is None or again.cost_micros != basket.cost_micros:
        msg = (
            "this shopping list was made at other prices than this market's; "
            "work it out again before asking for its reasons"
        )
        raise BasketError(msg)
    packs = {pack.name: pack for pack in market.packs}
    lines = [(line, packs[line.pack]) for line in basket.lines]
    kits = [line for line, pack in lines if pack.kit or len(pack.content) > 1]
    free = [order for order in basket.orders if order.free_delivery]
    paid = [order for order in basket.orders if not order.free_delivery]
    questions = [
        *((f"delivery from {o.supplier}", partial(_free_delivery, rivals, o)) for o in free),
        *((line.pack, partial(_kit, rivals, line)) for line in kits),
        *((f"the weight of the order at {o.supplier}", partial(_lighter_step, rivals, o)) for o in paid),
        *((f"the price steps of {line.pack}", partial(_price_step, rivals, line, pack)) for line, pack in lines),
        *((line.pack, partial(_larger_pack, rivals, line, pack)) for line, pack in lines),
        ("the least orders", partial(_least_order, rivals)),
        *((f"a list without {o.supplier}", partial(_supplier, rivals, o)) for o in basket.orders),
    ]
    return tuple(_told(questions))


def _told(questions: list[tuple[str, Callable[[], str]]]) -> Iterator[str]:
    """Every answer that is one, and what there was no time for."""
    late = []
    for topic, ask in questions:
        try:
            if sentence := ask():
                yield sentence
        except NotProvedError:
            late.append(topic)
    if late:
        yield f"Not compared, for want of time: {'; '.join(late)}."


def _free_delivery(rivals: Rivals, order: Order) -> str:
    """Whether the list was changed to reach free delivery, against the cheapest one that stays below it."""
    supplier = rivals.market.supplier(order.supplier)
    paid = delivery_cents(supplier, order.weight_dg)
    if paid == 0:
        return ""
    holds = f"{money(order.goods_micros)} of goods, free from {price_text(supplier.free_from_cents or 0)}"
    reaches = f"The order at {supplier.name} reaches free delivery"
    if paid is not None and rivals.with_terms(replace(supplier, free_from_cents=None)) is None:
        return f"{reaches} with nothing bought for it ({holds}): {price_text(paid)} less delivery."
    rival = rivals.under(Restriction(below_free=frozenset({supplier.name})))
    if rival is None:
        return f"Every list that covers the need reaches free delivery at {supplier.name} ({holds})."
    below = f"The cheapest list that stays below {rivals.costs(rival)}."
    return f"{reaches}: {rivals.parts(rival)} ({rivals.change(rival)}; {holds}). {below}"


def _kit(rivals: Rivals, line: BasketLine) -> str:
    """What the cheapest lists with one kit fewer, and with none, cost more."""
    words = []
    for most in sorted({line.count - 1, 0}, reverse=True):
        rival = rivals.under(Restriction(most={line.pack: most}))
        held = rival.counts.get(line.pack, 0) if rival else most
        some = f"with {held} of them" if held else "without it" if line.count == 1 else "without any"
        costs = f"the cheapest list {rivals.costs(rival)}" if rival else "no list covers the need"
        words.append(f"{some} {costs}")
        if not held:
            break
    return f"{line.count} × {line.pack}, {price_text(line.goods_cents)}: {'; '.join(words)}."


def _lighter_step(rivals: Rivals, order: Order) -> str:
    """Whether the list was changed to stay in a step of delivery, against the cheapest list if weight made no
    difference.
    """
    supplier, paid = rivals.market.supplier(order.supplier), order.delivery_micros // MICROS_PER_CENT
    step = next(k for k, (most, _) in enumerate(supplier.delivery) if most is None or order.weight_dg <= most)
    most, heavier = supplier.delivery[step][0], supplier.delivery[step + 1 :]
    if most is None or (heavier and heavier[-1][0] is None and all(price <= paid for _, price in heavier)):
        return ""
    light = rivals.with_terms(replace(supplier, delivery=((None, paid),), delivery_high=()))
    if light is None:
        return ""
    rival = rivals.priced(light.counts)
    if rival is not None and rival.cost_micros <= rivals.basket.cost_micros:
        return ""
    stays = f"The order at {supplier.name} stays within {kilograms(most)} (it weighs {kilograms(order.weight_dg)})"
    if rival is None:
        return (
            f"{stays}, and no heavier list that would be cheaper is delivered ({rivals.change(light)}): "
            f"it would cost {money(light.cost_micros)} if weight made no difference."
        )
    heavy = f"The list that would be cheapest if weight made no difference {rivals.costs(rival)}."
    return f"{stays}: {rivals.parts(rival)} ({rivals.change(light)}). {heavy}"


def _price_step(rivals: Rivals, line: BasketLine, pack: Pack) -> str:
    """Whether a later price step was reached on purpose: more for less, or against the cheapest list below the step."""
    step = next(s for s in price_steps(pack) if line.count <= s.high)
    if step.price_cents == pack.prices[0][1]:
        return ""
    each = f"{price_text(step.price_cents)} each"
    fewer = max(_fewest(rivals.basket, line, pack), pack.prices[0][0])
    gap = pack.goods_cents(fewer) - line.goods_cents
    if fewer < step.low and gap >= 0:
        cost = f"{price_text(line.goods_cents)} and {price_text(pack.goods_cents(fewer))}"
        return (
            f"{line.count} × {line.pack} cost {'less than' if gap else 'the same as'} {fewer}, which would do "
            f"(price {each} from {step.low}): {cost}."
        )
    rival = rivals.under(Restriction(most={line.pack: step.low - 1}))
    if rival is None or rival.cost_micros <= rivals.basket.cost_micros:
        return ""
    fewer_costs = f"the cheapest list with fewer {rivals.costs(rival)}"
    return f"{line.count} × {line.pack} reach the price from {step.low} ({each}): {fewer_costs}."


def _fewest(basket: Basket, line: BasketLine, pack: Pack) -> int:
    """How many of a pack are enough, all else in the basket staying."""
    spare = [basket.leftovers[item] // units for item, units in pack.content.items() if basket.need.get(item)]
    return max(line.count - min(spare), 0) if spare else 0


def _larger_pack(rivals: Rivals, line: BasketLine, pack: Pack) -> str:
    """Whether a pack costs less than the cheapest two or more of one smaller size of its supplier that would do
    instead.
    """
    item, counts = next(iter(pack.content)), rivals.basket.counts
    short = pack.content[item] - rivals.basket.leftovers[item]
    if len(pack.content) > 1 or short <= 0:
        return ""
    found = []
    for other in rivals.market.packs:
        if other.supplier != pack.supplier or set(other.content) != {item} or other.content[item] >= pack.content[item]:
            continue
        here, more = counts.get(other.name, 0), -(-short // other.content[item])
        if rivals.priced({**counts, pack.name: line.count - 1, other.name: here + more}) is not None:
            found.append((other.goods_cents(here + more) - other.goods_cents(here), more, other.name))
    saved = line.goods_cents - pack.goods_cents(line.count - 1)
    extra, more, name = min(found, key=lambda one: one[:2], default=(0, 0, ""))
    if more < 2 or extra <= saved:
        return ""
    cost = f"{price_text(saved)} for 1 × {pack.name}, {price_text(extra)} for {more} × {name}"
    return f"One larger pack costs less than {more} smaller ones: {cost}."


def _least_order(rivals: Rivals) -> str:
    """What the least orders add to the list, against the one that would be cheapest without them."""
    asking = [s for s in rivals.market.suppliers if s.least_order_cents]
    small = rivals.with_terms(*(replace(s, least_order_cents=0) for s in asking)) if asking else None
    if small is None:
        return ""
    goods = {order.supplier: order.goods_micros // MICROS_PER_CENT for order in small.orders}
    names = " and ".join(
        f"{s.name} (from {price_text(s.least_order_cents)})"
        for s in asking
        if goods.get(s.name, s.least_order_cents) < threshold_goods_cents(s, s.least_order_cents)
    )
    added = money(rivals.basket.cost_micros - small.cost_micros)
    return f"The least order at {names} adds {added}: {rivals.parts(small)} ({rivals.change(small)})."


def _supplier(rivals: Rivals, order: Order) -> str:
    """What the cheapest list without one supplier costs more, where one comes close and the supplier charges fees."""
    if order.total_micros == order.goods_micros or len(rivals.basket.orders) == 1:
        return ""
    rival, cost = rivals.under(Restriction(closed=frozenset({order.supplier}))), rivals.basket.cost_micros
    if rival is None or not 0 < rival.cost_micros - cost <= cost * CLOSE_PERCENT // 100:
        return ""
    return f"Ordering at {order.supplier} is worth its fees: the cheapest list without it {rivals.costs(rival)}."
