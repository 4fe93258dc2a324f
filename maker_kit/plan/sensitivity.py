"""What moves the verdict: every input a little lower and a little higher, and what that does to the unit cost and to the first count that pays for good."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import pandas as pd

from maker_kit.buying.costing import CostCurve, cost_curve, counts_that_pay
from maker_kit.buying.market import MICROS_PER_CENT, Market, Pack
from maker_kit.buying.needs import needs_per_batch
from maker_kit.buying.pricing import money
from maker_kit.errors import MakerKitError, QuantityError
from maker_kit.findings import Finding
from maker_kit.formula.limits.judge import judge_limits
from maker_kit.formula.limits.law import limits_of
from maker_kit.formula.limits.scent import judge_scent
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.setting import with_fragrance_load
from maker_kit.plan.costs import shop_lines
from maker_kit.plan.plan import LABEL, Plan
from maker_kit.units import exact_number

SHARE_PERCENT = 20
"""How far an input is moved either way where it has no low–high of its own [%]; a convention for comparing, not a forecast (common practice, no source)."""


@dataclass(frozen=True)
class MoveEnd:
    """One end of a bar.

    Attributes
    ----------
    setting : str
        What the input is set to, in words: ``5.92``, ``1.6 %``.
    each_micros : Fraction or None
        What one container then costs at the count looked at [0.0001 cent]; None where no proved shopping list is known.
    first : int or None
        First count of batches from which on making pays, up to the curve's last; None where there is none.
    note : str
        What is to be said of it: a limit that is passed, counts that are not proved.
    """

    setting: str
    each_micros: Fraction | None
    first: int | None
    note: str = ""


@dataclass(frozen=True)
class SensitivityBar:
    """What one input moves.

    Attributes
    ----------
    name : str
        ``price of Glycerin``, ``delivery from N raws``, ``loss``, ``fragrance load``, ``price in the shop``.
    low, high : MoveEnd
    each_spread_micros : Fraction or None
        Largest less smallest unit cost of the two ends and the plan as it is [0.0001 cent]; None where one of them is unknown.
    first_spread : int
        The same for the first count that pays for good; none counts as one more than the last.
    """

    name: str
    low: MoveEnd
    high: MoveEnd
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
    """

    batches: int
    upto: int
    each_micros: Fraction | None
    first: int | None
    price_cents: Fraction | None
    bars: tuple[SensitivityBar, ...]
    complete: bool = True

    def by_first_count(self) -> tuple[SensitivityBar, ...]:
        """The bars by their effect on the first count that pays for good, then by that on the unit cost."""
        return tuple(sorted(self.bars, key=lambda bar: (-bar.first_spread, *_length(bar))))

    def to_frame(self) -> pd.DataFrame:
        """One row a bar: input, low, high, one container at low and high, change between them [currency], first count that pays for good at low and high, note."""

        def each(end: MoveEnd) -> str:
            return "unknown" if end.each_micros is None else money(round(end.each_micros))

        def first(end: MoveEnd) -> str:
            return (
                "nothing to compare"
                if self.price_cents is None
                else f"none up to {self.upto}"
                if end.first is None
                else str(end.first)
            )

        columns = [
            "input",
            "low",
            "high",
            "one container, low",
            "one container, high",
            "spread",
            "pays for good from, low",
            "pays for good from, high",
            "note",
        ]
        return pd.DataFrame(
            [
                (
                    bar.name,
                    bar.low.setting,
                    bar.high.setting,
                    each(bar.low),
                    each(bar.high),
                    "unknown" if bar.each_spread_micros is None else money(round(bar.each_spread_micros)),
                    first(bar.low),
                    first(bar.high),
                    "; ".join(dict.fromkeys(note for note in (bar.low.note, bar.high.note) if note)),
                )
                for bar in self.bars
            ],
            columns=columns,
        )


@dataclass(frozen=True)
class _Case:
    """One setting of one input: what is bought from, what is needed, and the price in the shop."""

    setting: str
    market: Market
    needs: Mapping[str, Fraction]
    price_cents: Fraction | None
    note: str = ""


def sensitivity(
    plan: Plan,
    upto: int,
    *,
    shop_price_cents: Fraction | None = None,
    share_percent: float = SHARE_PERCENT,
    curve: Callable[..., CostCurve] = cost_curve,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Sensitivity:
    """Every input moved down and up, one at a time, the others as they are.

    Moved are the price of each item in all its single packs, of each kit, the delivery of each supplier, the loss, the fragrance load and the price in the shop: by ± `share_percent`, or from low to high
    where a delivery is known only so. Prices so moved are rounded to whole cents, half a cent upwards, so a price of 1 or 2 cents does not move at ± 20 %. An input that is 0 has no bar. While the others
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
    curve : callable
        Works out a curve as `maker_kit.buying.costing.cost_curve` does: ``curve(market, needs, upto, containers_per_batch=…)``. One call for the plan as it is, at most two a bar; a setting that changes
        nothing, and the price in the shop, take none.
    progress : callable, optional
        ``progress(done, total)``, called after every input.
    cancelled : callable, optional
        Asked before every input; once it is true, the bars so far are given back.

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
        msg = f"{plan.batches} batches are looked at, and the curve ends at {upto}; look at a smaller count, or draw a longer curve"
        raise QuantityError(msg)
    lines = shop_lines(plan.workshop, plan.recipe)
    price = Fraction(shop_price_cents) if shop_price_cents is not None else lines[0].price_cents if lines else None
    market = plan.market
    base = _Case("", market, plan.needs, price)
    as_it_is = curve(market, plan.needs, upto, containers_per_batch=plan.batch_size)

    def end(case: _Case) -> MoveEnd:
        same = case.needs == plan.needs and case.market == market
        found = as_it_is if same else curve(case.market, case.needs, upto, containers_per_batch=plan.batch_size)
        notes = [case.note] if case.note else []
        if found.open_counts:
            notes.append("some counts are not proved")
        return MoveEnd(
            case.setting,
            _each(found, plan.batches),
            None if case.price_cents is None else pays_for_good(found, case.price_cents),
            "; ".join(notes),
        )

    middle = end(base)
    inputs = list(_inputs(plan, base, share))
    bars: list[SensitivityBar] = []
    for done, (name, low, high) in enumerate(inputs, start=1):
        if cancelled and cancelled():
            break
        bars.append(_bar(name, end(low), end(high), middle, upto))
        if progress:
            progress(done, len(inputs))
    return Sensitivity(
        plan.batches,
        upto,
        middle.each_micros,
        middle.first,
        price,
        tuple(sorted(bars, key=_length)),
        len(bars) == len(inputs),
    )


def pays_for_good(curve: CostCurve, price_cents: Fraction) -> int | None:
    """The first count of batches from which on making costs no more than buying at every count, up to the curve's last; None where the last does not pay, or is not proved to."""
    runs = counts_that_pay(curve, price_cents)
    return runs[-1][0] if runs and runs[-1][1] == curve.counts[-1] else None


def _inputs(plan: Plan, base: _Case, share: Fraction) -> Iterator[tuple[str, _Case, _Case]]:
    """Name, lower and higher setting of every input."""
    factors = (1 - share, 1 + share)
    percent = f"{float(share * 100):g} %"
    for item in plan.needs:
        chosen = {
            pack.name
            for pack in base.market.packs
            if set(pack.content) == {item} and any(price for _, price in pack.prices)
        }
        if chosen:
            yield (
                f"price of {item}",
                *(
                    replace(base, setting=f"{sign}{percent}", market=_repriced(base.market, chosen, f))
                    for sign, f in zip("−+", factors, strict=True)
                ),
            )
    for pack in base.market.packs:
        if len(pack.content) > 1 and any(price for _, price in pack.prices):
            yield (
                f"price of {pack.name}",
                *(
                    replace(
                        base,
                        setting=money(cents(pack.prices[0][1], f) * MICROS_PER_CENT),
                        market=_repriced(base.market, {pack.name}, f),
                    )
                    for f in factors
                ),
            )
    yield from _deliveries(base, factors, percent)
    yield from _of_recipe(plan, base, factors)
    if base.price_cents is not None:
        shop = [cents(base.price_cents, f) for f in factors]
        yield (
            "price in the shop",
            *(replace(base, setting=money(c * MICROS_PER_CENT), price_cents=Fraction(c)) for c in shop),
        )


def _deliveries(base: _Case, factors: tuple[Fraction, Fraction], percent: str) -> Iterator[tuple[str, _Case, _Case]]:
    selling = {pack.supplier for pack in base.market.packs}
    for supplier in base.market.suppliers:
        if supplier.name not in selling:
            continue
        if not supplier.delivery_known:
            ends, words = (supplier, supplier.at_high_delivery()), ("at its cheapest", "at its dearest")
        elif any(price for _, price in supplier.delivery):
            moved = [
                replace(supplier, delivery=tuple((most, cents(price, f)) for most, price in supplier.delivery))
                for f in factors
            ]
            ends, words = (moved[0], moved[1]), (f"−{percent}", f"+{percent}")
        else:
            continue
        yield (
            f"delivery from {supplier.name}",
            *(
                replace(
                    base,
                    setting=word,
                    market=replace(
                        base.market,
                        suppliers=tuple(one if s.name == supplier.name else s for s in base.market.suppliers),
                    ),
                )
                for word, one in zip(words, ends, strict=True)
            ),
        )


def _of_recipe(plan: Plan, base: _Case, factors: tuple[Fraction, Fraction]) -> Iterator[tuple[str, _Case, _Case]]:
    """Loss and fragrance load; a setting that the recipe cannot hold is left where it is, and said so."""
    recipe = plan.recipe

    def case(level: Fraction, change: Callable[[float], Recipe]) -> _Case:
        try:
            changed = change(float(level))
            needs = needs_per_batch(changed, plan.batch_size, recipe.container, LABEL)
        except MakerKitError as error:
            return replace(base, setting=f"{float(level):g} %", note=f"not possible, so left as it is: {error}")
        return replace(
            base,
            setting=f"{float(level):g} %",
            needs=needs,
            note=_judged(plan, changed),
            market=plan.workshop.market.for_items(needs),
        )

    if recipe.loss_percent:
        loss = exact_number(recipe.loss_percent, "the loss")
        yield "loss", *(case(loss * f, lambda level: replace(recipe, loss_percent=level)) for f in factors)
    if recipe.scent and plan.load_on_whole:
        load = exact_number(plan.load_on_whole, "the fragrance load")
        yield "fragrance load", *(case(load * f, lambda level: with_fragrance_load(recipe, level)) for f in factors)


def _judged(plan: Plan, changed: Recipe) -> str:
    """What the limits say of a changed recipe, if they say stop."""
    limits = limits_of(changed, plan.workshop.limits)
    found: tuple[Finding, ...] = (
        *judge_limits(changed, limits, plan.workshop.settings.market),
        *judge_scent(changed, limits, plan.workshop.settings.market),
    )
    stops = [finding for finding in found if finding.kind == "stop"]
    return "not to be made so: " + "; ".join(dict.fromkeys(f"{f.subject}: {f.text}" for f in stops)) if stops else ""


def _repriced(market: Market, chosen: set[str], factor: Fraction) -> Market:
    """The market with the prices of some packs times a factor, in whole cents."""

    def moved(pack: Pack) -> Pack:
        return (
            replace(pack, prices=tuple((start, cents(price, factor)) for start, price in pack.prices))
            if pack.name in chosen
            else pack
        )

    return replace(market, packs=tuple(moved(pack) for pack in market.packs))


def cents(price_cents: int | Fraction, factor: Fraction) -> int:
    """A price times a factor in whole cents, half a cent upwards."""
    return (2 * Fraction(price_cents) * factor + 1) // 2


def _each(curve: CostCurve, batches: int) -> Fraction | None:
    k = curve.counts.index(batches)
    cost = curve.cost_micros[k]
    return None if cost is None else Fraction(cost, curve.containers[k])


def _bar(name: str, low: MoveEnd, high: MoveEnd, middle: MoveEnd, upto: int) -> SensitivityBar:
    each = [end.each_micros for end in (low, middle, high)]
    first = [upto + 1 if end.first is None else end.first for end in (low, middle, high)]
    known = [cost for cost in each if cost is not None]
    return SensitivityBar(
        name, low, high, max(known) - min(known) if len(known) == len(each) else None, max(first) - min(first)
    )


def _length(bar: SensitivityBar) -> tuple[bool, Fraction, int]:
    return bar.each_spread_micros is not None, -(bar.each_spread_micros or Fraction(0)), -bar.first_spread
