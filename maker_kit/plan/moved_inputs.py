"""Every input of a plan moved a little down and a little up: prices, deliveries, the loss, the fragrance load, the
price in the shop.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.buying.market import Market, Pack
from maker_kit.buying.needs import needs_per_batch
from maker_kit.errors import MakerKitError
from maker_kit.formula.batch import LABEL
from maker_kit.formula.limits.judge import judge_limits
from maker_kit.formula.limits.law import limits_of
from maker_kit.formula.limits.scent import judge_scent
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.setting import with_fragrance_load
from maker_kit.money import MICROS_PER_CENT, money
from maker_kit.numbers import half_up
from maker_kit.plan.plan import Plan
from maker_kit.units import exact_number


@dataclass(frozen=True)
class MovedInput:
    """One setting of one input.

    Attributes
    ----------
    words : str
        What the input is set to: ``5.92``, ``1.6 %``.
    market : Market
        What is bought from.
    needs : Mapping of str to Fraction
        What one batch takes, in base units.
    price_cents : Fraction or None
        Price in the shop for the content of one container [cent].
    note : str
        What is to be said of it.
    """

    words: str
    market: Market
    needs: Mapping[str, Fraction]
    price_cents: Fraction | None
    note: str = ""


def moved_inputs(plan: Plan, base: MovedInput, share: Fraction) -> Iterator[tuple[str, MovedInput, MovedInput]]:
    """Name, lower and higher setting of every input.

    Parameters
    ----------
    plan : Plan
    base : MovedInput
        The plan as it is.
    share : Fraction
        How far an input is moved, as a share of it.

    Yields
    ------
    tuple of (str, MovedInput, MovedInput)
    """
    factors = (1 - share, 1 + share)
    market = base.market

    def priced(name: str, packs: Iterable[Pack], settings: Sequence[str]) -> tuple[str, MovedInput, MovedInput]:
        chosen = {pack.name for pack in packs}
        return name, *(
            replace(base, words=words, market=_repriced(market, chosen, f))
            for words, f in zip(settings, factors, strict=True)
        )

    signed = [f"{sign}{float(share * 100):g} %" for sign in "−+"]
    paid = [pack for pack in market.packs if any(price for _, price in pack.prices)]
    for item in plan.needs:
        if single := [pack for pack in paid if set(pack.content) == {item}]:
            yield priced(f"price of {item}", single, signed)
    for pack in paid:
        if len(pack.content) > 1:
            yield priced(f"price of {pack.name}", [pack], [_price(cents(pack.prices[0][1], f)) for f in factors])
    yield from _deliveries(base, factors, signed)
    yield from _of_recipe(plan, base, factors)
    if base.price_cents is not None:
        shop = [Fraction(cents(base.price_cents, f)) for f in factors]
        yield "price in the shop", *(replace(base, words=_price(c), price_cents=c) for c in shop)


def _deliveries(
    base: MovedInput, factors: tuple[Fraction, Fraction], signed: Sequence[str]
) -> Iterator[tuple[str, MovedInput, MovedInput]]:
    market = base.market
    selling = {pack.supplier for pack in market.packs}
    for supplier in market.suppliers:
        words: Sequence[str] = signed
        ends = [replace(supplier, delivery=tuple((w, cents(c, f)) for w, c in supplier.delivery)) for f in factors]
        if not supplier.delivery_known:
            ends, words = [supplier, supplier.at_high_delivery()], ("at its cheapest", "at its dearest")
        elif not any(price for _, price in supplier.delivery):
            continue
        if supplier.name in selling:
            markets = (
                replace(market, suppliers=tuple(one if s.name == one.name else s for s in market.suppliers))
                for one in ends
            )
            cases = (replace(base, words=word, market=m) for word, m in zip(words, markets, strict=True))
            yield f"delivery from {supplier.name}", *cases


def _of_recipe(
    plan: Plan, base: MovedInput, factors: tuple[Fraction, Fraction]
) -> Iterator[tuple[str, MovedInput, MovedInput]]:
    """Loss and fragrance load; a setting that the recipe cannot hold is left where it is, and said so."""
    recipe = plan.recipe

    def case(level: Fraction, change: Callable[[float], Recipe]) -> MovedInput:
        moved = replace(base, words=f"{float(level):g} %")
        try:
            changed = change(float(level))
            needs = needs_per_batch(changed, plan.batch_size, recipe.container, LABEL)
        except MakerKitError as error:
            return replace(moved, note=f"not possible, so left as it is: {error}")
        market = plan.workshop.market.for_items(needs)
        return replace(moved, needs=needs, note=_judged(plan, changed), market=market)

    def with_loss(percent: float) -> Recipe:
        return replace(recipe, loss_percent=percent)

    def with_load(percent: float) -> Recipe:
        return with_fragrance_load(recipe, percent)

    for name, level, change in (
        ("loss", recipe.loss_percent, with_loss),
        ("fragrance load", plan.load_on_whole, with_load),
    ):
        if level:
            yield name, *(case(exact_number(level, f"the {name}") * f, change) for f in factors)


def _judged(plan: Plan, changed: Recipe) -> str:
    """What the limits say of a changed recipe, if they say stop."""
    limits, market = limits_of(changed, plan.workshop.limits), plan.workshop.settings.market
    found = (*judge_limits(changed, limits, market), *judge_scent(changed, limits, market))
    stops = dict.fromkeys(f.text for f in found if f.kind == "stop")
    return "not to be made so: " + "; ".join(stops) if stops else ""


def _repriced(market: Market, chosen: set[str], factor: Fraction) -> Market:
    """The market with the prices of some packs times a factor, in whole cents."""
    return replace(
        market,
        packs=tuple(
            replace(pack, prices=tuple((start, cents(price, factor)) for start, price in pack.prices))
            if pack.name in chosen
            else pack
            for pack in market.packs
        ),
    )


def cents(price_cents: int | Fraction, factor: Fraction) -> int:
    """A price times a factor in whole cents, half a cent upwards."""
    return half_up(Fraction(price_cents) * factor)


def _price(price_cents: int | Fraction) -> str:
    return money(int(price_cents * MICROS_PER_CENT))
