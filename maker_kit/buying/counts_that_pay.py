"""At which counts making is cheaper than buying, and from which on for good."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from maker_kit.buying.costing import CostCurve
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.money import MICROS_PER_CENT


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


def pays_at(curve: CostCurve, price_cents: Fraction) -> tuple[bool | None, ...]:
    """Whether making costs no more than as many containers bought, count by count.

    Parameters
    ----------
    curve : CostCurve
    price_cents : Fraction
        What the content of one container costs in the shop [cent], exactly.

    Returns
    -------
    tuple of bool or None
        True where a basket is known that costs no more, whether it is proved the cheapest or not; False where no basket
        costs so little, or none covers the count; None where what is known does not decide it yet.
    """
    limit = Fraction(price_cents) * MICROS_PER_CENT
    return tuple(_pays(point, limit * n) for point, n in zip(curve.points, curve.containers, strict=True))


def _pays(point: CurvePoint, limit_micros: Fraction) -> bool | None:
    if point.lower_micros is None or point.lower_micros > limit_micros:
        return False
    return True if point.upper_micros is not None and point.upper_micros <= limit_micros else None


def counts_that_pay(curve: CostCurve, price_cents: Fraction) -> tuple[tuple[int, int], ...]:
    """The break-even set: all counts of batches at which making is known to cost no more than as many containers
    bought, up to the curve's last.

    Parameters
    ----------
    curve, price_cents
        As in `pays_at`.

    Returns
    -------
    tuple of (int, int)
        Every interval from–to of counts of batches. A count of which it is not known yet is in none of them;
        `counts_not_known` names it.
    """
    return intervals(curve.counts, tuple(pays is True for pays in pays_at(curve, price_cents)))


def counts_not_known(curve: CostCurve, price_cents: Fraction) -> tuple[tuple[int, int], ...]:
    """All intervals of counts of batches of which nobody can say yet whether making pays; see `pays_at`."""
    return intervals(curve.counts, tuple(pays is None for pays in pays_at(curve, price_cents)))


@dataclass(frozen=True)
class PaysForGood:
    """From which count of batches on making pays at every count, up to the curve's last.

    Attributes
    ----------
    earliest : int or None
        From there on no count is known not to pay; None where the last one does not.
    first : int or None
        From there on every count is known to pay; None where the last one is not known to.
    """

    earliest: int | None
    first: int | None

    @property
    def known(self) -> bool:
        """Whether what is open cannot change it: both are the same."""
        return self.earliest == self.first


def pays_for_good(curve: CostCurve, price_cents: Fraction) -> PaysForGood:
    """From which count on making costs no more than buying at every count, up to the curve's last; see `pays_at`."""
    pays = pays_at(curve, price_cents)
    maybe, sure = (
        intervals(curve.counts, tuple(good)) for good in ((p is not False for p in pays), (p is True for p in pays))
    )
    last = curve.counts[-1:]
    return PaysForGood(*(runs[-1][0] if runs and runs[-1][1:] == last else None for runs in (maybe, sure)))
