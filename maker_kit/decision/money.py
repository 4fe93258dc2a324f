"""What making costs at the count that will be made, against the fair price in the shop: a container, and a use."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from maker_kit.formula.batch import exact_fill_mass
from maker_kit.money import MICROS_PER_CENT
from maker_kit.money import money as money_text
from maker_kit.plan.costs import CurveView
from maker_kit.plan.marks import ShopLine, readings_of
from maker_kit.plan.notes import used_in_time
from maker_kit.plan.plan import Plan, Unpriced
from maker_kit.plan.shopping.leftovers import Leftovers, leftovers
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.units import exact_number
from maker_kit.workshop.papers import Intent
from maker_kit.workshop.things import ShopSize


@dataclass(frozen=True)
class ShopPrice:
    """One price in the shop beside what making costs.

    Attributes
    ----------
    line : ShopLine
        With the counts that pay.
    fair : bool
        Whether it is the fair one: regular, no refill, of the size nearest to ours.
    pays : bool or None
        Whether what one container is worth is at most this price; None where the cost is unknown.
    """

    line: ShopLine
    fair: bool
    pays: bool | None


@dataclass(frozen=True)
class Money:
    """Costs and prices of one plan; what is unknown is None, and `why` says why.

    Attributes
    ----------
    plan : Plan
    intent : Intent or None
        The row of decisions.csv.
    used_containers : int or None
        How many of those made are used up in time; None where keeping time or use is unknown.
    left : Leftovers or None
        What is paid, used up, and will expire unused; None where the cost is unknown.
    prices : tuple of ShopPrice
    size : ShopSize or None
        The size of the fair price.
    why : tuple of str
        Why something is unknown, a sentence each.
    """

    plan: Plan
    intent: Intent | None
    used_containers: int | None
    left: Leftovers | None
    prices: tuple[ShopPrice, ...]
    size: ShopSize | None
    why: tuple[str, ...]

    @property
    def worth_micros(self) -> int | None:
        """What the containers made cost: used up, and what will expire unused [0.0001 cent]; all that is paid where
        nobody knows what will expire; None where the cost is unknown.
        """
        if self.left is None:
            return None
        known = self.left.used_plus_expiring_micros
        return self.left.cash_micros if known is None else known

    @property
    def each_micros(self) -> Fraction | None:
        """That for one container that is really used [0.0001 cent]; None where it is not known how many are."""
        if self.worth_micros is None or not self.used_containers:
            return None
        return Fraction(self.worth_micros, self.used_containers)

    @property
    def each_cash_micros(self) -> Fraction | None:
        """What is paid for one container that is really used [0.0001 cent]."""
        if self.left is None or not self.used_containers:
            return None
        return Fraction(self.left.cash_micros, self.used_containers)

    @property
    def fair_micros(self) -> Fraction | None:
        """The fair price of as much as one container holds [0.0001 cent]."""
        fair = next((price.line for price in self.prices if price.fair), None)
        return None if fair is None else fair.price_cents * MICROS_PER_CENT

    @property
    def use_micros(self) -> Fraction | None:
        """One use of ours [0.0001 cent]: ``one container · dose / content``, by weight."""
        if self.each_micros is None or self.intent is None or self.intent.dose_g is None:
            return None
        return self.each_micros * exact_number(self.intent.dose_g, "a dose") / exact_fill_mass(self.plan.recipe)

    @property
    def shop_use_micros(self) -> Fraction | None:
        """One use of the shop's, at the fair price [0.0001 cent]: ``price · dose / content``, by weight."""
        if self.size is None or self.intent is None or self.intent.shop_dose_g is None:
            return None
        content_g = None if self.size.size_g is None else exact_number(self.size.size_g, "a size")
        if self.size.size_ml is not None and self.intent.shop_density_g_per_ml is not None:
            density = exact_number(self.intent.shop_density_g_per_ml, "a density")
            content_g = exact_number(self.size.size_ml, "a size") * density
        if content_g is None:
            return None
        dose = exact_number(self.intent.shop_dose_g, "a dose")
        return Fraction(self.size.price_cents * MICROS_PER_CENT) * dose / content_g

    def pair(self, per_use: bool) -> tuple[Fraction, Fraction] | None:
        """Ours and the shop's for one use or one container [0.0001 cent]; None where either is unknown."""
        ends = (self.use_micros, self.shop_use_micros) if per_use else (self.each_micros, self.fair_micros)
        return None if None in ends else ends  # type: ignore[return-value]

    @property
    def by_use(self) -> bool:
        """Whether the two are compared by the use: where both are known so."""
        return self.pair(True) is not None


def money(plan: Plan, bought: Purchase | Unpriced, view: CurveView | Unpriced) -> Money:
    """What making costs against what the shop asks.

    The fair price is the regular one, of no refill, of the size nearest to our container: as much of it, bought in the
    same way. A sale is not always on, and a refill spares the bottle that the made side buys new; both stand beside it.

    Parameters
    ----------
    plan : Plan
    bought : Purchase or Unpriced
    view : CurveView or Unpriced

    Returns
    -------
    Money
    """
    recipe, intent = plan.recipe, plan.workshop.intents.get(plan.recipe.name)
    in_time = used_in_time(recipe)
    used = None if in_time is None else min(plan.containers, int(in_time))
    left = None if isinstance(bought, Unpriced) else leftovers(bought)
    lines = () if isinstance(view, Unpriced) else view.shop_lines
    size, fair = _fair(plan, lines)
    draft = Money(plan, intent, used, left, (), size, ())
    each = draft.each_micros
    band = _band(plan, lines) if fair is None else ()
    if band and each is not None:
        fair = _same_for_both(band, each)
    prices = tuple(
        ShopPrice(line, line is fair, None if each is None else each <= line.price_cents * MICROS_PER_CENT)
        for line in lines
    )
    why = []
    if isinstance(bought, Unpriced):
        why.append(bought.why)
    if band:
        low, high = (amount_of(line.price_cents * MICROS_PER_CENT) for line in band)
        both = "" if fair is not None else "; making pays by one of them and not by the other, so that is not known"
        why.append(
            f"The size on the shop's pack may be a weight or a volume: as much as one container holds costs {low} "
            f"there by the one reading and {high} by the other{both}. Weigh a full pack; write g or fl oz behind it."
        )
    elif fair is None:
        why.append("No fair price is on file: no regular size, other than a refill, whose content is known.")
    if used is None:
        why.append("How many are used up in time is unknown.")
    if intent is None or None in (intent.dose_g, intent.shop_dose_g):
        why.append("What one use takes is not on file for both, so a use is not compared.")
    elif draft.shop_use_micros is None and size is not None:
        why.append("The density of the shop's is not on file, so its uses cannot be counted by weight.")
    return Money(plan, intent, used, left, prices, size, tuple(why))


def _fair(plan: Plan, lines: tuple[ShopLine, ...]) -> tuple[ShopSize | None, ShopLine | None]:
    """The size and the line of the fair price; none where there is none."""
    name = plan.recipe.shop_product
    sizes = plan.workshop.shop_product(name).sizes if name else ()
    regular = {size.name: size for size in sizes if not size.refill and size.basis != "unknown"}
    found = []
    for line in lines:
        size = regular.get(line.name)
        if size is not None:
            ratio = line.price_cents / size.price_cents
            found.append((max(ratio, 1 / ratio), len(found), size, line))
    if not found:
        return None, None
    _, _, size, line = min(found, key=lambda row: row[:2])
    return size, line


def _band(plan: Plan, lines: tuple[ShopLine, ...]) -> tuple[ShopLine, ...]:
    """The lower and the higher price by the two readings of the first regular size whose basis nobody knows; none where
    there is none.
    """
    name = plan.recipe.shop_product
    for size in plan.workshop.shop_product(name).sizes if name else ():
        if not size.refill and size.basis == "unknown":
            names = {size.name + words for words, *_ in readings_of(size)}
            return tuple(sorted((line for line in lines if line.name in names), key=lambda line: line.price_cents))
    return ()


def _same_for_both(band: tuple[ShopLine, ...], each_micros: Fraction) -> ShopLine | None:
    """The price to compare with where both readings say the same of making: the nearer of the two; else None."""
    low, high = band[0], band[-1]
    if each_micros <= low.price_cents * MICROS_PER_CENT:
        return low
    return high if each_micros > high.price_cents * MICROS_PER_CENT else None


def amount_of(micros: Fraction | int | None, per_use: bool = False) -> str:
    """An amount with two decimals, or with four for a use: cents are too coarse for it; unknown where it is None."""
    return "unknown" if micros is None else money_text(micros, digits=4 if per_use else 2)
