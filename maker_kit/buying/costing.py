"""The cost of every count of batches: what you pay, what the batch used up, and the counts at which making costs no more than buying."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.basket.basket import Basket, checked_need
from maker_kit.buying.basket.caps import price_steps
from maker_kit.buying.curve.solver import CurveBand, CurveSolver
from maker_kit.buying.market import MICROS_PER_CENT, Market
from maker_kit.errors import QuantityError

MOST_COUNTS = 5_000
"""Longest curve that is worked out [counts of batches]."""


@dataclass(frozen=True)
class CostCurve:
    """The cheapest basket of every count from 1 on.

    Attributes
    ----------
    containers_per_batch : int
    counts : tuple of int
        Counts of batches, 1 to N.
    cost_micros, used_cost_micros : tuple of (int or None)
        What you pay and what the batch used up [0.0001 cent]; None where there is no basket, or none that was proved.
    baskets : tuple of (Basket or None)
        The cheapest basket; where a count is not proved, the best that is known.
    status : tuple of str
        ``proved``, ``not proved`` or ``impossible``.
    why : tuple of str
        A sentence where it is not ``proved``; else empty.
    lower_micros : tuple of (int or None)
        What no basket goes below [0.0001 cent], where that is known.
    """

    containers_per_batch: int
    counts: tuple[int, ...]
    cost_micros: tuple[int | None, ...]
    used_cost_micros: tuple[int | None, ...]
    baskets: tuple[Basket | None, ...]
    status: tuple[str, ...]
    why: tuple[str, ...]
    lower_micros: tuple[int | None, ...] = ()

    @property
    def bounds_micros(self) -> tuple[tuple[int | None, int | None], ...]:
        """Of every count what no basket goes below, and the cost of the best basket known [0.0001 cent]; the same number twice where it is proved."""
        lower = self.lower_micros or (None,) * len(self.counts)
        upper = (basket.cost_micros if basket else None for basket in self.baskets)
        return tuple(
            (cost, cost) if cost is not None else (low, high)
            for cost, low, high in zip(self.cost_micros, lower, upper, strict=True)
        )

    @property
    def containers(self) -> tuple[int, ...]:
        """Containers of every count."""
        return tuple(n * self.containers_per_batch for n in self.counts)

    @property
    def open_counts(self) -> tuple[int, ...]:
        """Counts whose cost could not be proved; of these nobody can say whether they pay."""
        return tuple(n for n, status in zip(self.counts, self.status, strict=True) if status == "not proved")

    def at(self, count: int) -> Basket | None:
        """The basket of one count of batches.

        Raises
        ------
        QuantityError
            If the curve does not reach it.
        """
        if count not in self.counts:
            msg = f"a count of {count}: the curve holds 1 to {self.counts[-1]}"
            raise QuantityError(msg)
        return self.baskets[self.counts.index(count)]

    def to_frame(self) -> pd.DataFrame:
        """The curve as a table: batches, containers, cash_cost, unit_cash_cost, used_cost, unit_used_cost [currency], proved."""

        def units(values: tuple[int | None, ...], per: tuple[int, ...]) -> list[float | None]:
            return [None if v is None else v / (100 * MICROS_PER_CENT) / n for v, n in zip(values, per, strict=True)]

        ones = (1,) * len(self.counts)
        return pd.DataFrame(
            {
                "batches": self.counts,
                "containers": self.containers,
                "cash_cost": units(self.cost_micros, ones),
                "unit_cash_cost": units(self.cost_micros, self.containers),
                "used_cost": units(self.used_cost_micros, ones),
                "unit_used_cost": units(self.used_cost_micros, self.containers),
                "proved": [status == "proved" for status in self.status],
            }
        )


def check_per_batch(per_batch: Mapping[str, Fraction]) -> None:
    """Refuse an amount that cannot be counted exactly.

    Raises
    ------
    QuantityError
        If an amount is negative or a float: 0.1 g and floats never meet, or an exact multiple would buy one pack too many.
    """
    for item, amount in per_batch.items():
        if isinstance(amount, float) or amount < 0:
            msg = f"{item}: {amount!r} for one batch; write an exact fraction of base units, 0 or more"
            raise QuantityError(msg)


def need_of(per_batch: Mapping[str, Fraction], count: int) -> dict[str, int]:
    """What so many batches need of every item, in whole base units, rounded up exactly: ``ceil(n · per batch)``.

    Raises
    ------
    QuantityError
        If the count is below 1, or as `check_per_batch` does.
    """
    if count < 1:
        msg = f"a count of {count} batches: a count is 1 or more"
        raise QuantityError(msg)
    check_per_batch(per_batch)
    return {item: -(-(Fraction(amount) * count) // 1) for item, amount in per_batch.items()}


def check_upto(upto: int) -> int:
    """The largest count of a curve, whole and from 1 to `MOST_COUNTS`.

    Raises
    ------
    QuantityError
        If it is anything else.
    """
    if isinstance(upto, (bool, str)) or not 1 <= upto <= MOST_COUNTS or int(upto) != upto:
        msg = f"a curve up to {upto}: the largest count is whole, from 1 to {MOST_COUNTS:,}"
        raise QuantityError(msg)
    return int(upto)


def cost_curve(
    market: Market,
    per_batch: Mapping[str, Fraction],
    upto: int,
    *,
    containers_per_batch: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    solver: CurveSolver | None = None,
    seconds: float | None = None,
    close: bool = True,
    first: Sequence[int] = (),
) -> CostCurve:
    """The cheapest basket of every count of batches from 1 to `upto`.

    All counts are worked out at once by `CurveSolver`; those that stay open are closed by the integer program.

    Parameters
    ----------
    market : Market
    per_batch : Mapping of str to Fraction
        What one batch takes of every item [0.1 g or pieces], exactly.
    upto : int
        Largest count, 1 to 5,000.
    containers_per_batch : int
    progress : callable, optional
        ``progress(done, total)``: how many counts are settled, of how many.
    cancelled : callable, optional
        Asked often; once it is true, the counts left are ``not proved``, with what is known of them.
    solver : CurveSolver, optional
        One made for this market before; its tables are kept, so that a moved slider finds them ready.
    seconds : float, optional
        How long all counts at once may take [s]; without it, a second for every ten counts and two more.
    close : bool
        Whether open counts are closed by the integer program; without it they stay ``not proved``, with the best basket known and a certified lower bound.
    first : sequence of int
        Counts to close before all others: those that are looked at.

    Returns
    -------
    CostCurve

    Raises
    ------
    QuantityError
        If `upto` is out of range, a batch holds no whole number of containers from 1 on, or as `check_per_batch` does.
    BasketError
        If the largest count needs more of an item than is worked out, or the market has a fault.
    """
    counts = tuple(range(1, check_upto(upto) + 1))
    check_per_batch(per_batch)
    if isinstance(containers_per_batch, (bool, float)) or containers_per_batch < 1:
        msg = f"{containers_per_batch!r} containers in one batch: a batch fills a whole number of them, 1 or more"
        raise QuantityError(msg)
    checked_need(need_of(per_batch, counts[-1]))
    working = solver or CurveSolver(market)
    band = working.curve(
        per_batch, counts[-1], seconds=2 + len(counts) / 10 if seconds is None else seconds, cancelled=cancelled
    )
    if close:
        band = working.close(band, first=first, progress=_told(progress, counts[-1]), cancelled=cancelled)
    if progress:
        progress(counts[-1], counts[-1])
    baskets = tuple(band.basket(n) for n in counts)
    sure = [state == "proved" for state in band.status]
    cost = tuple(b.cost_micros if b and proved else None for b, proved in zip(baskets, sure, strict=True))
    used = tuple(used_cost_micros(market, b) if b and proved else None for b, proved in zip(baskets, sure, strict=True))
    return CostCurve(containers_per_batch, counts, cost, used, baskets, band.status, band.why, band.lower_micros)


def _told(progress: Callable[[int, int], None] | None, total: int) -> Callable[[CurveBand], None] | None:
    """A progress of counts that are settled, from a progress of bands."""
    if progress is None:
        return None
    return lambda band: progress(total - len(band.open_counts), total)


def used_cost_micros(market: Market, basket: Basket) -> int:
    """What the need used up of a basket [0.0001 cent]: of every item the goods in the proportion need / bought, with their tax; the fees and their tax in full.

    A kit's price is shared over its items in proportion to what they cost singly, at the cheapest price per base unit on sale (with tax, at the last price step that the stock allows); an item that nobody sells singly takes an equal part of what the others
    leave of the price.

    Parameters
    ----------
    market : Market
    basket : Basket

    Returns
    -------
    int
        Rounded half up; never more than the basket costs.
    """
    packs = {pack.name: pack for pack in market.packs}
    taxed = {supplier.name: MICROS_PER_CENT + supplier.tax_bp for supplier in market.suppliers}
    bought: dict[str, int] = {}
    paid: dict[str, Fraction | int] = {}
    goods = 0
    for line in basket.lines:
        content, price = packs[line.pack].content, line.goods_cents * taxed[line.supplier]
        goods += price
        for item, units in content.items():
            bought[item] = bought.get(item, 0) + units * line.count
        if len(content) == 1:  # the usual case, in whole numbers
            paid[item] = paid.get(item, 0) + price
        else:
            for item, share in price_shares(market, content, line.price_cents * taxed[line.supplier], taxed).items():
                paid[item] = paid.get(item, 0) + price * share
    used = sum(
        (Fraction(amount * basket.need.get(item, 0), bought[item]) for item, amount in paid.items()), Fraction(0)
    )
    fees = basket.cost_micros - goods
    return int((used + fees) * 2 + 1) // 2


def price_shares(
    market: Market, content: Mapping[str, int], price_micros: int, taxed: Mapping[str, int]
) -> dict[str, Fraction]:
    """Each item's share of a pack's price with tax: in proportion to the cheapest price of as much of it bought singly.

    Parameters
    ----------
    market : Market
    content : mapping of str to int
        What the pack holds of each item [base unit of the item].
    price_micros : int
        Price of the pack with tax [0.0001 cent].
    taxed : mapping of str to int
        1 + tax of each supplier [1/10,000].

    Returns
    -------
    dict of str to Fraction
        They add up to 1 exactly. Items that nobody sells singly share equally what the others leave of the price; where nothing has a price, all take equal parts.
    """
    if len(content) == 1:
        return dict.fromkeys(content, Fraction(1))
    values: dict[str, Fraction] = {}
    for item, units in content.items():
        prices = [
            Fraction(steps[-1].price_cents * taxed[pack.supplier], pack.content[item])
            for pack in market.packs
            if set(pack.content) == {item} and (steps := price_steps(pack))
        ]
        if prices:
            values[item] = min(prices) * units
    unknown = [item for item in content if item not in values]
    if unknown:
        rest = max(price_micros - sum(values.values()), Fraction(0))
        values |= dict.fromkeys(unknown, Fraction(rest) / len(unknown))
    total = sum(values.values())
    if not total:
        return dict.fromkeys(content, Fraction(1, len(content)))
    return {item: value / total for item, value in values.items()}


def intervals(counts: tuple[int, ...], true: tuple[bool, ...]) -> tuple[tuple[int, int], ...]:
    """All maximal runs of counts for which something is true, as (from, to)."""
    runs: list[tuple[int, int]] = []
    for n, holds in zip(counts, true, strict=True):
        if not holds:
            continue
        if runs and runs[-1][1] == n - 1:
            runs[-1] = (runs[-1][0], n)
        else:
            runs.append((n, n))
    return tuple(runs)


def counts_that_pay(curve: CostCurve, price_cents: Fraction) -> tuple[tuple[int, int], ...]:
    """The break-even set: all counts of batches at which making costs no more than as many containers bought, up to the curve's last.

    Parameters
    ----------
    curve : CostCurve
    price_cents : Fraction
        What the content of one container costs in the shop [cent], exactly.

    Returns
    -------
    tuple of (int, int)
        Every interval from–to of counts of batches. A count that is not proved is in none of them; `CostCurve.open_counts` names it.
    """
    limit = Fraction(price_cents) * MICROS_PER_CENT
    return intervals(
        curve.counts,
        tuple(c is not None and c <= limit * n for c, n in zip(curve.cost_micros, curve.containers, strict=True)),
    )
