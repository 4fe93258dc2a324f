"""What moves the verdict: every input a little lower and a little higher, and what that does to the unit cost and to
the first count that pays for good.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import pandas as pd

from maker_kit.buying.asked_counts import asked_of, of_curve
from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.own_time import after_own_time
from maker_kit.errors import QuantityError
from maker_kit.money import money
from maker_kit.plan.marks import shop_lines
from maker_kit.plan.moved_inputs import MovedInput, moved_inputs
from maker_kit.plan.plan import Plan
from maker_kit.units import exact_number

SHARE_PERCENT = 20
"""How far an input is moved either way where it has no low–high of its own [%]; a convention for comparing, not a
forecast (common practice, no source).
"""


NOT_KNOWN = "not known yet"


@dataclass(frozen=True)
class BarEnd:
    """One end of a bar.

    Attributes
    ----------
    setting : str
        What the input is set to, in words: ``5.92``, ``1.6 %``.
    each_micros : Fraction or None
        What one container then costs at the count looked at [0.0001 cent]; None where no proved shopping list is known.
    first : int or None
        First count of batches from which on making is known to pay, up to the curve's last; None where there is none.
    note : str
        What is to be said of it: a limit that is passed, counts that are not proved.
    first_known : bool
        Whether `first` is proved; where it is not, counts that are open decide it.
    """

    setting: str
    each_micros: Fraction | None
    first: int | None
    note: str = ""
    first_known: bool = True


@dataclass(frozen=True)
class SensitivityBar:
    """What one input moves.

    Attributes
    ----------
    name : str
        ``price of Glycerin``, ``delivery from N raws``, ``loss``, ``fragrance load``, ``price in the shop``.
    low, high : BarEnd
    each_spread_micros : Fraction or None
        Largest less smallest unit cost of the two ends and the plan as it is [0.0001 cent]; None where one of them is
        unknown.
    first_spread : int
        The same for the first count that pays for good; none counts as one more than the last.
    """

    name: str
    low: BarEnd
    high: BarEnd
    each_spread_micros: Fraction | None
    first_spread: int


@dataclass(frozen=True)
class Sensitivity:
    """All bars, the longest first.

    Attributes
    ----------
    batches, upto : int
        Count looked at, and last count of the curve.
    each_micros : Fraction or None
        Unit cost as the plan is [0.0001 cent].
    first : int or None
        First count of batches that pays for good, as the plan is.
    price_cents : Fraction or None
        Price in the shop for the content of one container [cent]; None where there is none to compare with.
    bars : tuple of SensitivityBar
        By the effect on the unit cost, then by that on the first count; an unknown effect comes first.
    complete : bool
        False where it was stopped before every input was moved.
    counted : {'batches', 'containers'}
        What the first counts are counts of.
    first_known : bool
        Whether `first` is proved; where it is not, counts that are open decide it.
    """

    batches: int
    upto: int
    each_micros: Fraction | None
    first: int | None
    price_cents: Fraction | None
    bars: tuple[SensitivityBar, ...]
    complete: bool = True
    counted: str = "batches"
    first_known: bool = True

    def to_frame(self) -> pd.DataFrame:
        """One row a bar: input, low, high, one container at low and high, change between them [currency], first count
        that pays for good at low and high, note.
        """

        def each(micros: Fraction | None) -> str:
            return "unknown" if micros is None else money(round(micros))

        def first(end: BarEnd) -> str:
            if self.price_cents is None:
                return "nothing to compare"
            if not end.first_known:
                return NOT_KNOWN
            return f"none up to {self.upto}" if end.first is None else str(end.first)

        columns = ["input", "low", "high", "one container, low", "one container, high", "spread"]
        columns += ["pays for good from, low", "pays for good from, high", "note"]
        rows = []
        for bar in self.bars:
            ends, spread = (bar.low, bar.high), each(bar.each_spread_micros)
            notes = "; ".join(dict.fromkeys(end.note for end in ends if end.note))
            costs = (each(end.each_micros) for end in ends)
            rows.append((bar.name, *(end.setting for end in ends), *costs, spread, *map(first, ends), notes))
        if not self.complete:
            rows.append(("other inputs", *[""] * 7, "not moved: the time was up"))
        return pd.DataFrame(rows, columns=columns)


def sensitivity(
    plan: Plan,
    upto: int,
    *,
    shop_price_cents: Fraction | None = None,
    share_percent: float = SHARE_PERCENT,
    own_batch_micros: Fraction | int = 0,
    curve: Callable[..., CostCurve] | None = None,
    known: CostCurve | None = None,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Sensitivity:
    """Every input moved down and up, one at a time, the others as they are.

    Moved are the price of each item in all its single packs, of each kit, the delivery of each supplier, the loss, the
    fragrance load and the price in the shop: by ± `share_percent`, or from low to high
    where a delivery is known only so. Prices so moved are rounded to whole cents, half a cent upwards, so a price of 1
    or 2 cents does not move at ± 20 %. An input that is 0 has no bar. While the others
    are moved, a delivery known only as low–high stands at its lowest.

    Parameters
    ----------
    plan : Plan
        Its count of batches is the one looked at; it may not lie beyond `upto`.
    upto : int
        Last count of the curve: "for good" is said up to there.
    shop_price_cents : Fraction, optional
        For the content of one container [cent]; the first price of the recipe's shop product by default.
    share_percent : float
        How far an input is moved [%], above 0 to 100.
    own_batch_micros : Fraction or int
        One's own time for one batch [0.0001 cent]: in every cost of one container, and in the first count that pays.
    curve : callable, optional
        Works out whole curves, as `maker_kit.buying.costing.cost_curve` does: ``curve(market, needs, upto,
        containers_per_batch=…)``. One call for the plan as it is, at most two a bar; a setting that changes nothing,
        and the price in the shop, take none. Without it only the counts that are told are worked out, which is sooner
        and the same (`maker_kit.buying.asked_counts`).
    known : CostCurve, optional
        Of the plan as it is, where it is there already: it is not worked out again if it ends at `upto` with every
        count proved.
    progress : callable, optional
        ``progress(done, total)``, called after every input.
    cancelled : callable, optional
        Asked often; soon after it is true, the bars so far are given back.

    Returns
    -------
    Sensitivity

    Raises
    ------
    QuantityError
        If the share or a count is out of range.
    """
    share = exact_number(share_percent, "how far an input is moved in %") / 100
    if not 0 < share <= 1:
        msg = f"an input moved by {float(share * 100):g} %: it is moved by more than 0 and at most 100 %"
        raise QuantityError(msg)
    if plan.batches > upto:
        msg = (
            f"{plan.batches} batches are looked at, and the curve ends at {upto}; look at a smaller count, or draw a "
            "longer curve"
        )
        raise QuantityError(msg)
    lines = shop_lines(plan.workshop, plan.recipe)
    price = Fraction(shop_price_cents) if shop_price_cents is not None else lines[0].price_cents if lines else None
    market = plan.market
    base = MovedInput("", market, plan.needs, price)
    how = {"containers_per_batch": plan.batch_size} | ({"cancelled": cancelled} if cancelled else {})
    there = curve is None and known is not None and known.counts[-1:] == (upto,) and not known.open_counts
    as_it_is = known if known and there else (curve or cost_curve)(market, plan.needs, upto, **how)
    shared: dict[Any, Any] = {}

    def end(case: MovedInput) -> BarEnd:
        price = case.price_cents
        if price is not None:
            price = after_own_time(price, own_batch_micros, plan.batch_size)
        if case.needs == plan.needs and case.market == market:
            told = of_curve(as_it_is, plan.batches, price)
        elif curve is None:
            told = asked_of(case.market, case.needs, plan.batches, as_it_is, price, cancelled, shared)
        else:
            told = of_curve(curve(case.market, case.needs, upto, **how), plan.batches, price)
        notes = [case.note, "" if told.proved else "some counts are not proved"]
        cost = told.cost_micros
        return BarEnd(
            case.words,
            None if cost is None else (cost + Fraction(own_batch_micros) * plan.batches) / plan.containers,
            told.pays.first,
            "; ".join(filter(None, notes)),
            told.pays.known,
        )

    middle = end(base)
    inputs = list(moved_inputs(plan, base, share))
    bars: list[SensitivityBar] = []
    for done, (name, low, high) in enumerate(inputs, start=1):
        if cancelled and cancelled():
            break
        bar = _bar(name, end(low), end(high), middle, upto)
        if cancelled and cancelled():
            break
        bars.append(bar)
        if progress:
            progress(done, len(inputs))
    ordered, complete = tuple(sorted(bars, key=_length)), len(bars) == len(inputs)
    return Sensitivity(
        plan.batches, upto, middle.each_micros, middle.first, price, ordered, complete, first_known=middle.first_known
    )


def _bar(name: str, low: BarEnd, high: BarEnd, middle: BarEnd, upto: int) -> SensitivityBar:
    each = [end.each_micros for end in (low, middle, high)]
    first = [upto + 1 if end.first is None else end.first for end in (low, middle, high)]
    spread = None if None in each else max(each) - min(each)
    return SensitivityBar(name, low, high, spread, max(first) - min(first))


def _length(bar: SensitivityBar) -> tuple[bool, Fraction, int]:
    return bar.each_spread_micros is not None, -(bar.each_spread_micros or Fraction(0)), -bar.first_spread
