"""Which packs can matter for a need, and how many of each: bands of price steps, and caps that leave every cheapest basket in reach."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from maker_kit.buying.market import E4, Market, Pack, Supplier
from maker_kit.buying.pricing import threshold_goods_cents


@dataclass(frozen=True)
class Band:
    """Counts from `low` to `high` (None: without end), all at `price_cents` each."""

    low: int
    high: int | None
    price_cents: int


@dataclass(frozen=True)
class Restriction:
    """What a basket may not do, beside the rules of the market; for comparing with the next best.

    Attributes
    ----------
    most : Mapping of str to int
        Pack name to the largest count allowed.
    closed : frozenset of str
        Suppliers nothing is bought from.
    below_free : frozenset of str
        Suppliers whose goods stay below the subtotal that makes delivery free.
    any_weight, no_least : bool
        Leave out every limit of weight, or every least order, to find out which of them makes a need impossible.
    """

    most: Mapping[str, int] = field(default_factory=dict)
    closed: frozenset[str] = frozenset()
    below_free: frozenset[str] = frozenset()
    any_weight: bool = False
    no_least: bool = False


@dataclass(frozen=True)
class Mode:
    """One way an order at a supplier can be charged.

    Attributes
    ----------
    fee_e4 : int
        Handling, delivery and their tax [0.0001 cent].
    least_goods_cents : int
        Goods before tax that it takes [cent].
    over_dg, most_dg : int or None
        The order is heavier than the one and not heavier than the other [0.1 g]; None where there is no bound.
    """

    fee_e4: int
    least_goods_cents: int
    over_dg: int | None
    most_dg: int | None


@dataclass(frozen=True)
class Tariff:
    """How one supplier charges, and what a surplus in its order could be good for.

    Attributes
    ----------
    supplier : Supplier
    modes : tuple of Mode
    tax_factor : int
        Cost of one cent of goods with tax [0.0001 cent].
    threshold_cents : int
        Largest goods subtotal that something depends on [cent]; 0 where nothing does.
    surplus_cents : int or None
        Most that goods not needed can be worth in a cheapest basket [cent]; None where only `threshold_cents` bounds it.
    heavier_pays : bool
        Whether some heavier step of delivery is cheaper, so that weight itself can save money.
    """

    supplier: Supplier
    modes: tuple[Mode, ...]
    tax_factor: int
    threshold_cents: int
    surplus_cents: int | None
    heavier_pays: bool

    @property
    def wants_surplus(self) -> bool:
        """Whether a pack that nothing needs can save money here."""
        return self.threshold_cents > 0 or self.heavier_pays

    @property
    def plain(self) -> bool:
        """Whether an order costs nothing but its goods, whatever it holds."""
        return self.modes == (Mode(0, 0, None, None),)


def tariff(supplier: Supplier, restriction: Restriction) -> Tariff:
    """The modes of one supplier.

    Free delivery is a mode with a least subtotal and no bound on weight. The paid modes have no upper subtotal: where delivery would be free, that mode is never dearer. A
    paid step has a lower weight only where it is cheaper than a lighter one.
    """
    steps: list[tuple[int | None, int | None, int]] = []
    below: int | None = None
    for most, price in supplier.delivery:
        most_here = None if restriction.any_weight else most
        if steps and (steps[-1][1] is None or (most_here is not None and most_here <= steps[-1][1])):
            continue  # never the first step that is not exceeded
        over = below if steps and price < max(p for _, _, p in steps) else None
        steps.append((over, most_here, price))
        below = most_here
    heavier_pays = any(over is not None for over, _, _ in steps)
    fee_tax = E4 + (supplier.tax_bp if supplier.tax_on_fees else 0)
    least = 0 if restriction.no_least else threshold_goods_cents(supplier, supplier.least_order_cents)
    dearest = max(price for _, _, price in steps)
    any_weight_delivered = steps[-1][1] is None
    modes = [Mode((supplier.handling_cents + price) * fee_tax, least, over, most) for over, most, price in steps]
    threshold = least
    if supplier.free_from_cents is not None and supplier.name not in restriction.below_free:
        free = max(least, threshold_goods_cents(supplier, supplier.free_from_cents))
        free_mode = Mode(supplier.handling_cents * fee_tax, free, None, None)
        if free <= least:
            modes, heavier_pays = [free_mode], False
        elif dearest > 0 or not any_weight_delivered:
            modes.append(free_mode)
            threshold = free
    surplus = None
    if least == 0 and any_weight_delivered:
        surplus = dearest * fee_tax // (E4 + supplier.tax_bp)  # without its surplus the order pays at most the dearest step instead
    return Tariff(supplier, tuple(modes), E4 + supplier.tax_bp, threshold, surplus, heavier_pays)


def bands(pack: Pack) -> list[Band]:
    """The price steps of a pack as bands with an upper end; steps at one price are joined, the stock ends the last."""
    starts = [k for k, (_, price) in enumerate(pack.prices) if k == 0 or price < pack.prices[k - 1][1]]
    found = []
    for k, nxt in zip(starts, [*starts[1:], None], strict=True):
        low, price = pack.prices[k]
        high = pack.stock if nxt is None else pack.prices[nxt][0] - 1
        if pack.stock is not None:
            high = min(high, pack.stock)
        if high is None or high >= low:
            found.append(Band(low, high, price))
    return found


def enough(pack: Pack, need: Mapping[str, int]) -> int:
    """Fewest copies that cover alone every needed item the pack holds; 0 if it holds none."""
    return max((-(-need[item] // units) for item, units in pack.content.items() if need.get(item)), default=0)


def cap(pack: Pack, need: Mapping[str, int], rates: Tariff, *, surplus: bool) -> int:
    """Most copies of a pack that a cheapest basket can hold.

    Without surplus: as many as cover alone all that the pack can cover, or the start of a later price step where all of them cost less than that. With surplus: what
    reaching the threshold, or saving the dearest delivery, can pay for on top; a basket with more could drop copies and cost less.

    Parameters
    ----------
    pack : Pack
    need : Mapping of str to int
        Item to base units.
    rates : Tariff
        Of the pack's supplier.
    surplus : bool
        Whether copies that cover nothing are looked for.

    Returns
    -------
    int
    """
    rows = bands(pack)
    if not rows:
        return 0
    base, worth = enough(pack, need), 0
    if base:
        base = max(base, rows[0].low)
        if pack.stock is not None and base >= pack.stock:
            return pack.stock
        worth = base * pack.price_cents(base)
        for row in rows:
            if row.low > base and row.low * row.price_cents < worth:
                base, worth = row.low, row.low * row.price_cents
    if not surplus or not rates.wants_surplus:
        return base
    first = rows[0]
    room = rates.surplus_cents
    if room is None:
        room = max(rates.threshold_cents + first.price_cents, first.low * first.price_cents)
    most = base
    for row in rows:
        affordable = (worth + room) // row.price_cents if row.price_cents else max(base, row.low)
        high = affordable if row.high is None else min(affordable, row.high)
        if high >= row.low:
            most = max(most, high)
    if rates.heavier_pays and pack.shipping_dg:
        heaviest = max(mode.over_dg for mode in rates.modes if mode.over_dg is not None)
        free_copies = heaviest // pack.shipping_dg + 1 if rows[-1].price_cents == 0 else 0
        most = max(most, min(free_copies + base, pack.stock if pack.stock is not None else free_copies + base))
    return most


def candidates(market: Market, need: Mapping[str, int], tariffs: Mapping[str, Tariff], restriction: Restriction, surplus: frozenset[str]) -> dict[str, int]:
    """Packs that a cheapest basket may hold, each with its cap.

    Parameters
    ----------
    market : Market
    need : Mapping of str to int
    tariffs : Mapping of str to Tariff
        Supplier name to tariff.
    restriction : Restriction
    surplus : frozenset of str
        Suppliers at which packs that nothing needs are looked at too.

    Returns
    -------
    dict of str to int
        In the order of the market; packs whose cap is 0 are left out, and so is a supplier that sells nothing needed.
    """
    found = {}
    useful = {pack.supplier for pack in market.packs if not need.keys().isdisjoint(pack.content)}
    for pack in market.packs:
        if pack.supplier in useful and pack.supplier not in restriction.closed:
            most = cap(pack, need, tariffs[pack.supplier], surplus=pack.supplier in surplus)
            most = min(most, restriction.most.get(pack.name, most))
            if most:
                found[pack.name] = most
    return found


def undominated(packs: Sequence[Pack], need: Mapping[str, int]) -> list[Pack]:
    """The packs of one supplier without those that another can stand in for at no more cash.

    A pack is left out if `times` copies of another pack of the same supplier hold at least as much of everything needed (counted up to the need), weigh no more, and cost at
    their first price no more than the one at its last. Holds where goods of any worth can be put in place of what is saved, or nothing depends on the subtotal.
    """
    kept: list[Pack] = []
    useful = {pack.name: {item: min(units, need[item]) for item, units in pack.content.items() if need.get(item)} for pack in packs}
    order = sorted(packs, key=lambda pack: pack.prices[-1][1])

    def stands_in(other: Pack, pack: Pack) -> bool:
        mine = useful[other.name]
        if other.stock is not None or other.prices[0][0] > 1 or not useful[pack.name].keys() <= mine.keys():
            return False
        times = max(-(-units // mine[item]) for item, units in useful[pack.name].items())
        return times * other.prices[0][1] <= pack.prices[-1][1] and times * other.shipping_dg <= pack.shipping_dg

    for pack in order:
        if not any(stands_in(other, pack) for other in kept):
            kept.append(pack)
    names = {pack.name for pack in kept}
    return [pack for pack in packs if pack.name in names]
