"""What is drawn beside a curve: where something new begins along it (a larger pack, a supplier, free delivery), each
marked once, where it first appears; and what the shop asks, for as much as one container holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.costing import CostCurve
from maker_kit.buying.market import Market
from maker_kit.buying.own_time import not_known_with_own_time, pays_with_own_time
from maker_kit.formula.batch import exact_fill_mass
from maker_kit.formula.recipe import Recipe
from maker_kit.units import exact_number
from maker_kit.workshop import ShopSize, Workshop


class CurveMark(NamedTuple):
    """One count at which something new begins.

    Attributes
    ----------
    count : int
        Of batches.
    words : str
        What begins there.
    """

    count: int
    words: str


def curve_marks(market: Market, curve: CostCurve) -> tuple[CurveMark, ...]:
    """The counts at which the shopping list first takes a larger size of an item or a kit, first buys from a supplier,
    or first has its delivery free.

    Each happens once for every size, kit and supplier: a list that goes back to smaller packs later is not marked. What
    the first list of the curve holds is where it begins, and no mark. Where several lists cost the same, the one that
    the curve holds is looked at.

    Parameters
    ----------
    market : Market
        The one the curve was worked out for.
    curve : CostCurve

    Returns
    -------
    tuple of CurveMark
        (count of batches, words), by count, at most one a count.
    """
    packs = {pack.name: pack.content for pack in market.packs}
    largest: dict[str, int] = {}
    seen: set[str] = set()
    marks: list[CurveMark] = []
    first = True
    for count, basket in ((point.count, point.basket) for point in curve.points):
        if basket is None:
            continue
        new = [words for words in _begun(market, packs, basket) if words not in seen]
        seen.update(new)
        sizes: dict[str, tuple[int, str]] = {}
        for line in basket.lines:
            if len(packs[line.pack]) == 1:
                ((item, units),) = packs[line.pack].items()
                sizes[item] = max(sizes.get(item, (0, "")), (units, line.pack))
        new += [pack for item, (units, pack) in sizes.items() if item in largest and units > largest[item]]
        largest |= {item: max(largest.get(item, 0), units) for item, (units, _) in sizes.items()}
        if new and not first:
            marks.append(CurveMark(count, "; ".join(new)))
        first = False
    return tuple(marks)


def _begun(market: Market, packs: Mapping[str, Mapping[str, int]], basket: Basket) -> Iterator[str]:
    """What a list holds, in words: its orders, those that are carried free and would not be otherwise, its kits."""
    for order in basket.orders:
        yield f"an order at {order.supplier}"
        if order.free_delivery and any(price for _, price in market.supplier(order.supplier).delivery):
            yield f"free delivery from {order.supplier}"
    yield from (line.pack for line in basket.lines if len(packs[line.pack]) > 1)


@dataclass(frozen=True)
class ShopLine:
    """One price in the shop, for as much as one container holds.

    Attributes
    ----------
    name : str
        ``250 mL``, ``250 mL on sale``, ``refill 500 mL``.
    price_cents : Fraction
        For the content of one container [cent], exactly.
    per_100_cents : Fraction
        For 100 mL or 100 g [cent], exactly.
    unit : {'mL', 'g'}
    pays : tuple of (int, int)
        Counts of batches, from–to, at which making is known to cost no more.
    not_known : tuple of (int, int)
        Counts of batches, from–to, of which that is not known yet.
    """

    name: str
    price_cents: Fraction
    per_100_cents: Fraction
    unit: str
    pays: tuple[tuple[int, int], ...] = ()
    not_known: tuple[tuple[int, int], ...] = ()

    @property
    def price(self) -> float:
        """Price for as much as one container holds [currency]."""
        return float(self.price_cents / 100)


AS_WEIGHT, AS_VOLUME = " (if weight)", " (if volume)"
"""Behind the name of a size of unknown basis, for each of its readings."""


def readings_of(size: ShopSize) -> tuple[tuple[str, str, float], ...]:
    """What may be in a size: words behind its name, unit and content; both readings of a bare "oz"."""
    if size.size_ml is not None:
        return (("", "mL", size.size_ml),)
    if size.size_g is not None:
        return (("", "g", size.size_g),)
    both = ((AS_WEIGHT, "g", size.as_mass_g), (AS_VOLUME, "mL", size.as_volume_ml))
    return tuple((words, unit, content) for words, unit, content in both if content is not None)


def shop_lines(workshop: Workshop, recipe: Recipe) -> tuple[ShopLine, ...]:
    """Every price of the recipe's shop product, regular and on sale, for as much as one container holds.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe

    Returns
    -------
    tuple of ShopLine
        In the order of the table; a size of unknown basis (a bare "oz") stands there in both readings, since nobody
        knows how much it is.
    """
    if not recipe.shop_product:
        return ()
    fill_g = exact_fill_mass(recipe)
    fill_ml = fill_g / Fraction(str(recipe.density_g_per_ml))
    lines = []
    for size in workshop.shop_product(recipe.shop_product).sizes:
        for reading, unit, amount in readings_of(size):
            content = fill_ml if unit == "mL" else fill_g
            for suffix, cents in (("", size.price_cents), (" on sale", size.sale_price_cents)):
                if cents is not None:
                    each = Fraction(cents) / exact_number(amount, "the size of a shop product")
                    lines.append(ShopLine(size.name + reading + suffix, each * content, each * 100, unit))
    return tuple(lines)


def lines_that_pay(
    lines: tuple[ShopLine, ...], curve: CostCurve, own_batch_micros: Fraction | int = 0
) -> tuple[ShopLine, ...]:
    """The shop's prices, each with the counts of batches at which making costs no more, and those of which that is not
    known yet; own time included.

    Parameters
    ----------
    lines : tuple of ShopLine
    curve : CostCurve
        Without own time.
    own_batch_micros : Fraction or int
        Own time for one batch [0.0001 cent].

    Returns
    -------
    tuple of ShopLine
    """
    return tuple(
        replace(
            line,
            pays=pays_with_own_time(curve, line.price_cents, own_batch_micros),
            not_known=not_known_with_own_time(curve, line.price_cents, own_batch_micros),
        )
        for line in lines
    )
