"""Which packs can matter for a need, and how many of each: price steps with both their ends, and caps that leave every cheapest basket in reach."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from maker_kit.buying.market import MICROS_PER_CENT, Market, Pack, Supplier
from maker_kit.buying.pricing import threshold_goods_cents


@dataclass(frozen=True)
class PriceStep:
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
    fee_micros : int
        Handling, delivery and their tax [0.0001 cent].
    least_goods_cents : int
        Goods before tax that it takes [cent].
    over_dg, most_dg : int or None
        The order is heavier than the one and not heavier than the other [0.1 g]; None where there is no bound.
    """

    fee_micros: int
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
    least_cents : int
        Least goods subtotal of an order [cent].
    threshold_cents : int
        Largest goods subtotal that something depends on [cent]; 0 where nothing does.
    dearest_cents : int
        Goods that cost, with tax, what the dearest delivery costs [cent].
    heaviest_dg : int or None
        Heaviest order that is delivered for money [0.1 g]; None for any.
    heavier_pays : bool
        Whether some heavier step of delivery is cheaper, so that weight itself can save money.
    """

    supplier: Supplier
    modes: tuple[Mode, ...]
    tax_factor: int
    least_cents: int
    threshold_cents: int
    dearest_cents: int
    heaviest_dg: int | None
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
    fee_tax = MICROS_PER_CENT + (supplier.tax_bp if supplier.tax_on_fees else 0)
    least = 0 if restriction.no_least else threshold_goods_cents(supplier, supplier.least_order_cents)
    dearest = max(price for _, _, price in steps)
    heaviest = steps[-1][1]
    modes = [Mode((supplier.handling_cents + price) * fee_tax, least, over, most) for over, most, price in steps]
    threshold = least
    if supplier.free_from_cents is not None and supplier.name not in restriction.below_free:
        free = max(least, threshold_goods_cents(supplier, supplier.free_from_cents))
        free_mode = Mode(supplier.handling_cents * fee_tax, free, None, None)
        if free <= least:
            modes, heavier_pays = [free_mode], False
        elif dearest > 0 or heaviest is not None:
            modes.append(free_mode)
            threshold = free
    factor = MICROS_PER_CENT + supplier.tax_bp
    worth = -(-dearest * fee_tax // factor)
    return Tariff(supplier, tuple(modes), factor, least, threshold, worth, heaviest, heavier_pays)


def price_steps(pack: Pack) -> list[PriceStep]:
    """The price steps of a pack, each with its upper end; steps at one price are joined, the stock ends the last."""
    starts = [k for k, (_, price) in enumerate(pack.prices) if k == 0 or price < pack.prices[k - 1][1]]
    found = []
    for k, nxt in zip(starts, [*starts[1:], None], strict=True):
        low, price = pack.prices[k]
        high = pack.stock if nxt is None else pack.prices[nxt][0] - 1
        if pack.stock is not None:
            high = min(high, pack.stock)
        if high is None or high >= low:
            found.append(PriceStep(low, high, price))
    return found


def enough(pack: Pack, need: Mapping[str, int]) -> int:
    """Fewest copies that cover alone every needed item the pack holds; 0 if it holds none."""
    return max((-(-need[item] // units) for item, units in pack.content.items() if need.get(item)), default=0)


def base_cap(pack: Pack, need: Mapping[str, int]) -> int:
    """Most copies of a pack that a cheapest basket holds where nothing depends on the subtotal: as many as cover alone all that the pack can cover, or the start of a later
    price step where all of those cost less. 0 for a pack that holds nothing needed.
    """
    fewest, rows = enough(pack, need), price_steps(pack)
    if not fewest or not rows:
        return 0
    fewest = max(fewest, rows[0].low)
    if pack.stock is not None and fewest >= pack.stock:
        return pack.stock
    best = min(
        [(fewest * pack.price_cents(fewest), fewest)]
        + [(row.low * row.price_cents, row.low) for row in rows if row.low > fewest]
    )
    return best[1]


def surplus_cap(pack: Pack, need: Mapping[str, int], rates: Tariff, *, delivered: bool) -> int:
    """Most copies of a pack that a cheapest basket holds where copies that cover nothing may pay, by lifting the subtotal to free delivery or to the least order.

    A basket with more could drop copies, still reach what it reaches, and cost less. So what is beyond need is worth at most the dearest delivery where the order would be
    taken and delivered without it (`delivered`), on top of what it takes to get to the least order; and never more than what it takes to get to the largest threshold.

    Parameters
    ----------
    pack : Pack
    need : Mapping of str to int
        Item to base units.
    rates : Tariff
        Of the pack's supplier.
    delivered : bool
        Whether an order without surplus, or with just enough of it to reach the least order, is never too heavy.

    Returns
    -------
    int
    """
    base, rows = base_cap(pack, need), price_steps(pack)
    if not rows:
        return 0
    step, smallest = rows[0].price_cents, rows[0].low * rows[0].price_cents
    room = max(rates.threshold_cents + step, smallest)
    if delivered:
        room = min(room, rates.dearest_cents + (max(rates.least_cents + step, smallest) if rates.least_cents else 0))
    if rates.heavier_pays:
        room += 2 * rates.dearest_cents
    room += base * pack.price_cents(base) if base else 0
    most = base
    for row in rows:
        high = row.high
        if row.price_cents:
            high = room // row.price_cents if high is None else min(high, room // row.price_cents)
        elif rates.heavier_pays and pack.shipping_dg:
            free = max(row.low, base + max(mode.over_dg or 0 for mode in rates.modes) // pack.shipping_dg + 1)
            high = free if high is None else min(high, free)
        else:
            high = row.low
        if high >= row.low:
            most = max(most, high)
    return most


def candidates(
    market: Market, need: Mapping[str, int], tariffs: Mapping[str, Tariff], restriction: Restriction
) -> dict[str, int]:
    """Packs that a cheapest basket may hold, each with its cap.

    Parameters
    ----------
    market : Market
    need : Mapping of str to int
    tariffs : Mapping of str to Tariff
        Supplier name to tariff.
    restriction : Restriction

    Returns
    -------
    dict of str to int
        In the order of the market; packs whose cap is 0 are left out, and so are suppliers that sell nothing needed.
    """
    base = {pack.name: base_cap(pack, need) for pack in market.packs}
    weight: dict[str, int] = {}
    for pack in market.packs:
        if base[pack.name]:
            weight[pack.supplier] = weight.get(pack.supplier, 0) + base[pack.name] * pack.shipping_dg
    found = {}
    for pack in market.packs:
        if pack.supplier in weight and pack.supplier not in restriction.closed:
            rates, most = tariffs[pack.supplier], base[pack.name]
            if rates.wants_surplus:
                delivered = rates.heaviest_dg is None or (
                    not rates.least_cents and weight[pack.supplier] <= rates.heaviest_dg
                )
                most = surplus_cap(pack, need, rates, delivered=delivered)
            most = min(most, restriction.most.get(pack.name, most))
            if most:
                found[pack.name] = most
    return found
