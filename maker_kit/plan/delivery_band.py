"""Delivery known only as low–high: two curves, and whether making pays at every price of it, at some, or at none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.counts_that_pay import intervals, pays_at
from maker_kit.buying.own_time import after_own_time
from maker_kit.money import MICROS_PER_CENT
from maker_kit.plan.marks import shop_lines
from maker_kit.plan.plan import Plan

ALL, DEPENDS, NONE, OPEN, IMPOSSIBLE = "holds for all", "depends", "holds for none", "not proved", "impossible"


@dataclass(frozen=True)
class BandLine:
    """One shop price against both curves.

    Attributes
    ----------
    name : str
        Of the shop's size and price.
    price_cents : Fraction
        For the content of one container [cent], exactly.
    verdicts : tuple of str
        For every count of batches: making pays at every price of delivery (``holds for all``), at some (``depends``),
        at none (``holds for none``); ``not proved`` where nobody can say, and
        ``impossible`` where no shopping list covers the count.
    words : str
        The verdict in a sentence.
    """

    name: str
    price_cents: Fraction
    verdicts: tuple[str, ...]
    words: str

    def counts(self, verdict: str) -> tuple[tuple[int, int], ...]:
        """Every interval of counts of batches that has this verdict."""
        return intervals(tuple(range(1, len(self.verdicts) + 1)), tuple(v == verdict for v in self.verdicts))


@dataclass(frozen=True)
class DeliveryBand:
    """The curve with delivery at its cheapest, and at its dearest.

    Attributes
    ----------
    low, high : CostCurve
        The same curve where delivery is known.
    known : bool
        Whether the delivery of everyone who sells something here has one price.
    lines : tuple of BandLine
    """

    low: CostCurve
    high: CostCurve
    known: bool
    lines: tuple[BandLine, ...]

    def to_frame(self) -> pd.DataFrame:
        """One row a count: batches, containers, cost low, cost high [currency], and a verdict for every shop price."""
        costs = {f"cost {end}": curve.cost_micros for end, curve in (("low", self.low), ("high", self.high))}
        return pd.DataFrame(
            {
                "batches": self.low.counts,
                "containers": self.low.containers,
                **{
                    title: [None if cost is None else cost / (100 * MICROS_PER_CENT) for cost in curve]
                    for title, curve in costs.items()
                },
                **{f"{line.name}, {float(line.price_cents / 100):.2f}": line.verdicts for line in self.lines},
            }
        )


def delivery_band(
    plan: Plan,
    upto: int,
    *,
    own_batch_micros: Fraction | int = 0,
    curve: Callable[..., CostCurve] = cost_curve,
    cancelled: Callable[[], bool] | None = None,
    known: CostCurve | None = None,
) -> DeliveryBand:
    """The curves with every delivery at its cheapest and at its dearest, and what they say of each shop price.

    A dearer delivery never makes a shopping list cheaper, so at any price of delivery in between, of one supplier or
    several, the cost lies between the two curves.

    Parameters
    ----------
    plan : Plan
    upto : int
        Largest count of batches.
    own_batch_micros : Fraction or int
        One's own time for one batch [0.0001 cent], counted in what is said of each shop price.
    curve : callable
        Works out a curve as `maker_kit.buying.costing.cost_curve` does: ``curve(market, needs, upto,
        containers_per_batch=…)``.
    cancelled : callable, optional
        Asked often; soon after it is true, what is not proved yet stays so.
    known : CostCurve, optional
        Of the plan as it is, where it is there already: it is not worked out again if it ends at `upto` with every
        count proved.

    Returns
    -------
    DeliveryBand

    Raises
    ------
    QuantityError
        If `upto` is out of range.
    BasketError
        If the steps of a delivery at its cheapest and its dearest do not belong together.
    """
    one_price = plan.market.delivery_known
    dear = plan.market.at_high_delivery()
    how = {"containers_per_batch": plan.batch_size} | ({"cancelled": cancelled} if cancelled else {})
    there = known is not None and known.counts[-1:] == (upto,) and not known.open_counts
    low = known if known and there else curve(plan.market, plan.needs, upto, **how)
    high = low if one_price else curve(dear, plan.needs, upto, **how)
    lines = []
    for line in shop_lines(plan.workshop, plan.recipe):
        verdicts = band_verdicts(low, high, after_own_time(line.price_cents, own_batch_micros, plan.batch_size))
        words = f"{line.name} at {line.price:.2f}, by batches: {_words(low.counts, verdicts, one_price)}."
        lines.append(BandLine(line.name, line.price_cents, verdicts, words))
    return DeliveryBand(low, high, one_price, tuple(lines))


def band_verdicts(low: CostCurve, high: CostCurve, price_cents: Fraction) -> tuple[str, ...]:
    """What two curves say of one price, count by count; see `BandLine`.

    Parameters
    ----------
    low, high : CostCurve
        With delivery at its cheapest and at its dearest, of the same counts.
    price_cents : Fraction
        For the content of one container [cent].

    Returns
    -------
    tuple of str
    """
    ends = zip(pays_at(low, price_cents), pays_at(high, price_cents), low.points, high.points, strict=True)
    return tuple(
        _verdict(at_low, at_high, impossible=cheap.impossible or dear.impossible)
        for at_low, at_high, cheap, dear in ends
    )


def _verdict(at_low: bool | None, at_high: bool | None, *, impossible: bool) -> str:
    """What is known of one end may decide for the other: what pays at the dearest pays at the cheapest, and what does
    not at the cheapest does not at the dearest.
    """
    if impossible:
        return IMPOSSIBLE
    if at_high:
        return ALL
    if at_low is False:
        return NONE
    return OPEN if at_low is None or at_high is None else DEPENDS


def _words(counts: tuple[int, ...], verdicts: tuple[str, ...], known: bool) -> str:
    said = {
        ALL: "making pays" if known else "making pays whatever delivery costs",
        DEPENDS: "it depends on what delivery costs",
        NONE: "making does not pay" if known else "making pays at no price of delivery",
        OPEN: "not known yet",
        IMPOSSIBLE: "no shopping list covers the need",
    }
    runs = {words: intervals(counts, tuple(v == verdict for v in verdicts)) for verdict, words in said.items()}
    return "; ".join(
        f"{words} at {', '.join(str(a) if a == b else f'{a}–{b}' for a, b in found)}"
        for words, found in runs.items()
        if found
    )
