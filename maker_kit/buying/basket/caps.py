"""Which packs can matter for a need, and how many of each: price steps with both their ends, the ways to charge an
order, and caps that leave every cheapest basket in reach.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.pricing import threshold_goods_cents
from maker_kit.money import MICROS_PER_CENT

ENDLESS = 1 << 60
"""Stands for a weight [0.1 g], a count or a cost without bound; twice of it still fits into 64 bits."""


@dataclass(frozen=True)
class PriceStep:
    """Counts from `low` to `high` (`ENDLESS`: without end), all at `price_cents` each."""

    low: int
    high: int
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
    over_dg, most_dg : int
        The order is heavier than the one and not heavier than the other [0.1 g]; −1 and `ENDLESS` where there is no
        bound.
    """

    fee_micros: int
    least_goods_cents: int
    over_dg: int = -1
    most_dg: int = ENDLESS


@dataclass(frozen=True)
class Tariff:
    """How one supplier charges, and what a surplus in its order could be good for."""

    supplier: Supplier
    modes: tuple[Mode, ...]

    @property
    def tax_factor(self) -> int:
        """Cost of one cent of goods with tax [0.0001 cent]."""
        return MICROS_PER_CENT + self.supplier.tax_bp

    @property
    def least_cents(self) -> int:
        """Least goods subtotal of an order [cent]."""
        return min(mode.least_goods_cents for mode in self.modes)

    @property
    def threshold_cents(self) -> int:
        """Largest goods subtotal that something depends on [cent]; 0 where nothing does."""
        return max(mode.least_goods_cents for mode in self.modes)

    @property
    def saving_cents(self) -> int:
        """Goods that cost, with tax, what the dearest mode is charged more than the cheapest [cent]."""
        fees = [mode.fee_micros for mode in self.modes]
        return -((min(fees) - max(fees)) // self.tax_factor)

    @property
    def heaviest_dg(self) -> int:
        """Heaviest order that is delivered whatever its goods [0.1 g]."""
        return max(mode.most_dg for mode in self.modes if mode.least_goods_cents == self.least_cents)

    @property
    def heavier_pays(self) -> bool:
        """Whether some heavier step of delivery is cheaper, so that weight itself can save money."""
        return any(mode.over_dg >= 0 for mode in self.modes)

    @property
    def wants_surplus(self) -> bool:
        """Whether a pack that nothing needs can save money here."""
        return self.threshold_cents > 0 or self.heavier_pays


def tariff(supplier: Supplier, restriction: Restriction) -> Tariff:
    """The modes of one supplier: the delivery rule of `pricing` as ways of which the cheapest that an order keeps is
    what it is charged.

    Free delivery is a mode with a least subtotal and no bound on weight. The paid modes have no upper subtotal: where
    delivery would be free, that mode is never dearer. A paid step has a lower weight only where it is cheaper than a
    lighter one.
    """
    fee_tax = MICROS_PER_CENT + (supplier.tax_bp if supplier.tax_on_fees else 0)
    least = 0 if restriction.no_least else threshold_goods_cents(supplier, supplier.least_order_cents)
    modes: list[Mode] = []
    for most, price in supplier.delivery:
        reach, below = ENDLESS if most is None or restriction.any_weight else most, modes[-1].most_dg if modes else -1
        fee = (supplier.handling_cents + price) * fee_tax
        if reach > below:  # else it is never the first step that is not exceeded
            modes.append(Mode(fee, least, below if any(fee < mode.fee_micros for mode in modes) else -1, reach))
    if supplier.free_from_cents is not None and supplier.name not in restriction.below_free:
        free = Mode(
            supplier.handling_cents * fee_tax, max(least, threshold_goods_cents(supplier, supplier.free_from_cents))
        )
        if free.least_goods_cents == least:
            modes = [free]
        elif any(mode.fee_micros > free.fee_micros for mode in modes) or modes[-1].most_dg < ENDLESS:
            modes.append(free)
    return Tariff(supplier, tuple(modes))


def price_steps(pack: Pack) -> list[PriceStep]:
    """The price steps of a pack, each with its upper end; steps at one price are joined, the stock ends the last."""
    starts = [step for k, step in enumerate(pack.prices) if k == 0 or step[1] < pack.prices[k - 1][1]]
    stock = ENDLESS if pack.stock is None else pack.stock
    ends = [min(stock, low - 1) for low, _ in starts[1:]] + [stock]
    return [PriceStep(low, high, price) for (low, price), high in zip(starts, ends, strict=True) if high >= low]


def enough(pack: Pack, need: Mapping[str, int]) -> int:
    """Fewest copies that cover alone every needed item the pack holds; 0 if it holds none."""
    return max((-(-need[item] // units) for item, units in pack.content.items() if need.get(item)), default=0)


def base_cap(pack: Pack, need: Mapping[str, int]) -> int:
    """Most copies of a pack that a cheapest basket holds where nothing depends on the subtotal.

    As many as cover alone all that the pack can cover, or the start of a later price step where all of those cost less;
    0 for a pack that holds nothing needed.
    """
    fewest, steps = enough(pack, need), price_steps(pack)
    if not fewest or not steps:
        return 0
    fewest = max(fewest, steps[0].low)
    if fewest >= steps[-1].high:
        return steps[-1].high
    return min((pack.goods_cents(n), n) for n in (fewest, *(step.low for step in steps if step.low > fewest)))[1]


def surplus_cap(pack: Pack, need: Mapping[str, int], rates: Tariff, *, delivered: bool) -> int:
    """Most copies of a pack that a cheapest basket holds where copies that cover nothing may pay, by lifting the
    subtotal to free delivery or to the least order.

    A basket with more could drop copies, still reach what it reaches, and cost less. So what is beyond need is worth at
    most what the modes differ in where the order would be taken and delivered without it (`delivered`), on top of what
    it takes to get to the least order; and never more than what it takes to get to the largest threshold.

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
    base, steps = base_cap(pack, need), price_steps(pack)
    if not steps:
        return 0
    first, smallest = steps[0].price_cents, pack.goods_cents(steps[0].low)
    room = max(rates.threshold_cents + first, smallest)
    if delivered:
        room = min(room, rates.saving_cents + (max(rates.least_cents + first, smallest) if rates.least_cents else 0))
    room += pack.goods_cents(base) + (2 * rates.saving_cents if rates.heavier_pays else 0)
    most = base
    for step in steps:
        if step.price_cents:
            high = min(step.high, room // step.price_cents)
        elif rates.heavier_pays and pack.shipping_dg:
            heavier = max(mode.over_dg for mode in rates.modes) // pack.shipping_dg
            high = min(step.high, max(step.low, base + heavier + 1))
        else:
            high = step.low
        if high >= step.low:
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
                light = not rates.least_cents and weight[pack.supplier] <= rates.heaviest_dg
                most = surplus_cap(pack, need, rates, delivered=light or rates.heaviest_dg == ENDLESS)
            most = min(most, restriction.most.get(pack.name, most))
            if most:
                found[pack.name] = most
    return found
