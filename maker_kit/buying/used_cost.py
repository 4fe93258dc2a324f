"""What the need used up of a basket: the goods in proportion, a kit's price shared over its items, the fees in full."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.basket.caps import price_steps
from maker_kit.buying.market import Market
from maker_kit.money import MICROS_PER_CENT
from maker_kit.numbers import half_up


def used_cost_micros(market: Market, basket: Basket, exact: Mapping[str, Fraction] | None = None) -> int:
    """What the need used up of a basket [0.0001 cent].

    Bought are whole base units, but used up is what the recipe takes: of 1.5 mg of a dear scent, 0.1 g would be 67
    times too much.

    Of every item the goods in the proportion need / bought, with their tax; the fees and their tax in full. A kit's
    price is shared over its items in proportion to what they cost singly, at the cheapest price per base unit on sale
    (with tax, at the last price step that the stock allows); an item that nobody sells singly takes an equal part of
    what the others leave of the price.

    Parameters
    ----------
    market : Market
    basket : Basket
    exact : Mapping of str to Fraction, optional
        What is used up of every item [base units], not rounded; the basket's need where it is not given.

    Returns
    -------
    int
        Rounded half up; never more than the basket costs.
    """
    packs = {pack.name: pack for pack in market.packs}
    taxed = {supplier.name: MICROS_PER_CENT + supplier.tax_bp for supplier in market.suppliers}
    paid: dict[str, Fraction | int] = {}
    goods = 0
    for line in basket.lines:
        content, price = packs[line.pack].content, line.goods_cents * taxed[line.supplier]
        goods += price
        if len(content) == 1:  # the usual case, in whole numbers
            shares: Mapping[str, Fraction | int] = dict.fromkeys(content, 1)
        else:
            shares = price_shares(market, content, line.price_cents * taxed[line.supplier], taxed)
        for item, share in shares.items():
            paid[item] = paid.get(item, 0) + price * share
    used = Fraction(basket.cost_micros - goods)
    for item, amount in paid.items():
        bought = basket.need.get(item, 0) + basket.leftovers[item]
        used += Fraction(amount) * used_of(basket, item, exact) / bought
    return half_up(used)


def used_of(basket: Basket, item: str, exact: Mapping[str, Fraction] | None = None) -> Fraction | int:
    """What is used up of an item of a basket [base units]: the exact need where it is given, else the basket's."""
    return basket.need.get(item, 0) if exact is None else exact.get(item, 0)


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
        They add up to 1 exactly. Items that nobody sells singly share equally what the others leave of the price; where
        nothing has a price, all take equal parts.
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
