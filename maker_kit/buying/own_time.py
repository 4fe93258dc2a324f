"""What one's own time for a batch is worth, and how it moves the counts that pay: it is added to every count's cost."""

from __future__ import annotations

from fractions import Fraction

from maker_kit.buying.costing import CostCurve
from maker_kit.buying.counts_that_pay import counts_not_known, counts_that_pay
from maker_kit.buying.markup import from_zero
from maker_kit.money import MICROS_PER_CENT


def own_time_micros(minutes_per_batch: float, hourly_rate_cents: float | Fraction) -> Fraction:
    """What one's own time for one batch is worth, exactly: ``minutes · rate / 60``. Common practice, no source.

    Parameters
    ----------
    minutes_per_batch : float
        Own time for one batch [min], 0 or more.
    hourly_rate_cents : float or Fraction
        What an hour of it is worth [cent], 0 or more.

    Returns
    -------
    Fraction
        For one batch [0.0001 cent]; 0 where either figure is 0, and then own time is not counted.

    Raises
    ------
    QuantityError
        If the minutes or the rate is below 0 or no number.
    """
    minutes = from_zero(minutes_per_batch, "the minutes for a batch")
    return minutes * from_zero(hourly_rate_cents, "the hourly rate") / 60 * MICROS_PER_CENT


def with_own_time(
    costs_micros: tuple[int | None, ...], own_batch_micros: Fraction | int
) -> tuple[Fraction | int | None, ...]:
    """Costs of 1, 2, 3 … batches with the own time of as many batches added [0.0001 cent]; None stays None."""
    if not own_batch_micros:
        return costs_micros
    return tuple(None if cost is None else cost + own_batch_micros * n for n, cost in enumerate(costs_micros, start=1))


def pays_with_own_time(
    curve: CostCurve, price_cents: Fraction, own_batch_micros: Fraction | int
) -> tuple[tuple[int, int], ...]:
    """The counts of batches at which making, own time included, costs no more than as many containers bought.

    Own time costs the same in every batch, so what is asked of the shop's price is what is left of it after the own
    time of one container.

    Parameters
    ----------
    curve : CostCurve
        Without own time.
    price_cents : Fraction
        For the content of one container [cent].
    own_batch_micros : Fraction or int
        Own time for one batch [0.0001 cent].

    Returns
    -------
    tuple of (int, int)
        As `maker_kit.buying.counts_that_pay.counts_that_pay` gives them.
    """
    return counts_that_pay(curve, after_own_time(price_cents, own_batch_micros, curve.containers_per_batch))


def not_known_with_own_time(
    curve: CostCurve, price_cents: Fraction, own_batch_micros: Fraction | int
) -> tuple[tuple[int, int], ...]:
    """The counts of batches of which it is not known yet whether making pays, own time included; what is given as in
    `pays_with_own_time`.
    """
    return counts_not_known(curve, after_own_time(price_cents, own_batch_micros, curve.containers_per_batch))


def after_own_time(price_cents: Fraction, own_batch_micros: Fraction | int, batch_size: int) -> Fraction:
    """What is left of the price of one container after the own time that goes into it [cent]; below 0 where that is
    worth more.
    """
    return Fraction(price_cents) - Fraction(own_batch_micros) / batch_size / MICROS_PER_CENT
