"""What a plan costs: its shopping list, its curve over counts, and the shop's prices on the same axis."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.costing import CostCurve, cost_curve, counts_that_pay, need_of, used_cost_micros
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.errors import BasketError
from maker_kit.formula.batch import exact_fill_mass
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.marks import CurveMark, curve_marks
from maker_kit.plan.plan import Plan
from maker_kit.workshop import Workshop


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
        Counts of batches, from–to, at which making costs no more.
    """

    name: str
    price_cents: Fraction
    per_100_cents: Fraction
    unit: str
    pays: tuple[tuple[int, int], ...] = ()

    @property
    def price(self) -> float:
        """Price for as much as one container holds [currency]."""
        return float(self.price_cents / 100)


@dataclass(frozen=True)
class CurveView:
    """A curve with all that is drawn beside it.

    Attributes
    ----------
    plan : Plan
    curve : CostCurve
    shop_lines : tuple of ShopLine
    containers : tuple of int
    unit_cash, unit_used : tuple of (float or None)
        Cost of one container [currency]; None where there is no basket.
    unit_bounds : tuple of (float, float) or None
        Where a count is not proved, what one container costs at least and at most [currency]; None where it is proved or nothing is known.
    keeps_containers : float or None
        Most containers that are used up within the keeping time; None where that is unknown.
    mark : int or None
        Count looked at, in containers.
    currency : str
    marks : tuple of CurveMark
        Counts of batches at which a larger pack, a supplier or free delivery begins.
    unit_dear : tuple of (float or None)
        Cost of one container if every delivery costs its dear end [currency]; empty where delivery is known to the cent.
    """

    plan: Plan
    curve: CostCurve
    shop_lines: tuple[ShopLine, ...]
    containers: tuple[int, ...]
    unit_cash: tuple[float | None, ...]
    unit_used: tuple[float | None, ...]
    unit_bounds: tuple[tuple[float, float] | None, ...]
    keeps_containers: float | None
    mark: int | None
    currency: str
    marks: tuple[CurveMark, ...] = ()
    unit_dear: tuple[float | None, ...] = ()


@dataclass(frozen=True)
class Purchase:
    """The shopping list of a plan and its two costs.

    Attributes
    ----------
    plan : Plan
    basket : Basket
    cash_micros, used_micros : int
        What you pay, and what the count used up [0.0001 cent].
    """

    plan: Plan
    basket: Basket
    cash_micros: int
    used_micros: int

    @property
    def unit_cash_micros(self) -> Fraction:
        """What you pay for one container [0.0001 cent]."""
        return Fraction(self.cash_micros, self.plan.containers)

    @property
    def unit_used_micros(self) -> Fraction:
        """What one container used up [0.0001 cent]."""
        return Fraction(self.used_micros, self.plan.containers)


class Solvers:
    """Curve solvers, one for each set of bought items, kept so that a moved slider finds their tables ready."""

    def __init__(self) -> None:
        self._kept: dict[frozenset[str], CurveSolver] = {}

    def of(self, plan: Plan) -> CurveSolver:
        """The solver for what a plan buys."""
        key = frozenset(plan.needs)
        if key not in self._kept:
            self._kept[key] = CurveSolver(plan.market)
        return self._kept[key]


def purchase(plan: Plan) -> Purchase:
    """The cheapest shopping list for a plan's count; ties are settled in a fixed order, so that the list never flickers.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    Purchase

    Raises
    ------
    BasketError
        If nothing on sale covers the need, or the list could not be proved the cheapest.
    """
    basket = cheapest_basket(plan.market, need_of(plan.needs, plan.batches))
    return Purchase(plan, basket, basket.cost_micros, used_cost_micros(plan.market, basket))


def reasons_of(bought: Purchase) -> tuple[str, ...]:
    """Why a shopping list is what it is, in words; empty where nothing is unusual. It takes far longer than the list itself."""
    return bought.basket.reasons(bought.plan.market)


def quick_purchase(plan: Plan, solver: CurveSolver) -> Purchase:
    """A cheapest shopping list for a plan's count, quickly, under a slider: of several lists that cost the same, any may come.

    Parameters
    ----------
    plan : Plan
    solver : CurveSolver
        One of `Solvers`.

    Returns
    -------
    Purchase

    Raises
    ------
    BasketError
        As `purchase` does.
    """
    needs = {item: amount * plan.batches for item, amount in plan.needs.items()}
    curve = cost_curve(plan.market, needs, 1, containers_per_batch=plan.containers, solver=solver)
    if curve.baskets[0] is None or curve.cost_micros[0] is None:
        raise BasketError(curve.why[0])
    return Purchase(plan, curve.baskets[0], curve.cost_micros[0], used_cost_micros(plan.market, curve.baskets[0]))


def shop_lines(workshop: Workshop, recipe: Recipe) -> tuple[ShopLine, ...]:
    """Every price of the recipe's shop product, regular and on sale, for as much as one container holds.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe

    Returns
    -------
    tuple of ShopLine
        In the order of the table; a size of unknown basis (a bare "oz") is left out, since nobody knows how much it is.
    """
    if not recipe.shop_product:
        return ()
    fill_g = exact_fill_mass(recipe)
    fill_ml = fill_g / Fraction(str(recipe.density_g_per_ml))
    lines = []
    for size in workshop.shop_product(recipe.shop_product).sizes:
        if size.size_ml is not None:
            unit, amount, content = "mL", Fraction(str(size.size_ml)), fill_ml
        elif size.size_g is not None:
            unit, amount, content = "g", Fraction(str(size.size_g)), fill_g
        else:
            continue
        name = f"refill {size.name}" if size.refill and "refill" not in size.name.casefold() else size.name
        for suffix, cents in (("", size.price_cents), (" on sale", size.sale_price_cents)):
            if cents is not None:
                lines.append(
                    ShopLine(name + suffix, Fraction(cents) * content / amount, Fraction(cents) * 100 / amount, unit)
                )
    return tuple(lines)


def curve_view(
    plan: Plan,
    upto: int,
    *,
    progress: Callable[[int, int], None] | None = None,
    solver: CurveSolver | None = None,
    seconds: float | None = None,
    close: bool = True,
    cancelled: Callable[[], bool] | None = None,
) -> CurveView:
    """The cost of every count of batches from 1 to `upto`, with the shop's prices and the counts that pay.

    Parameters
    ----------
    plan : Plan
    upto : int
        Largest count of batches.
    progress : callable, optional
        ``progress(done, total)``, called as points are solved.
    solver, seconds, close, cancelled
        As in `maker_kit.buying.costing.cost_curve`.

    Returns
    -------
    CurveView

    Raises
    ------
    QuantityError
        If `upto` is not a whole number of 1 or more.
    """
    curve = cost_curve(
        plan.market,
        plan.needs,
        upto,
        containers_per_batch=plan.batch_size,
        progress=progress,
        solver=solver,
        seconds=seconds,
        close=close,
        cancelled=cancelled,
        first=(plan.batches,),
    )
    lines = tuple(
        ShopLine(line.name, line.price_cents, line.per_100_cents, line.unit, counts_that_pay(curve, line.price_cents))
        for line in shop_lines(plan.workshop, plan.recipe)
    )
    recipe = plan.recipe
    keeps = (
        recipe.keeps_months * recipe.use_per_month if recipe.keeps_months is not None and recipe.use_per_month else None
    )
    bounds = tuple(
        (low / n / 1e6, high / n / 1e6) if cost is None and low is not None and high is not None else None
        for n, cost, (low, high) in zip(curve.containers, curve.cost_micros, curve.bounds_micros, strict=True)
    )
    unit = [
        (n * plan.batch_size, c, u)
        for n, c, u in zip(curve.counts, curve.cost_micros, curve.used_cost_micros, strict=True)
    ]
    dear: tuple[float | None, ...] = ()
    if not plan.market.delivery_known and close:
        high = cost_curve(
            plan.market.at_high_delivery(), plan.needs, upto, containers_per_batch=plan.batch_size, cancelled=cancelled
        )
        dear = tuple(None if c is None else c / n / 1e6 for n, c in zip(high.containers, high.cost_micros, strict=True))
    return CurveView(
        plan,
        curve,
        lines,
        tuple(n for n, _, _ in unit),
        tuple(None if c is None else c / n / 1e6 for n, c, _ in unit),
        tuple(None if u is None else u / n / 1e6 for n, _, u in unit),
        bounds,
        keeps,
        plan.containers if plan.batches <= upto else None,
        plan.workshop.settings.currency,
        curve_marks(plan.market, curve),
        dear,
    )


def settled_view(view: CurveView, bought: Purchase) -> CurveView:
    """The view with the settled list at the count that was bought: where several lists cost the same, everything beside the curve then speaks of that one.

    Parameters
    ----------
    view : CurveView
    bought : Purchase
        Of the plan of the view.

    Returns
    -------
    CurveView
        As it was, where the curve does not reach the count or has not proved it.

    Raises
    ------
    BasketError
        If the list costs anything else than the curve says.
    """
    at, curve = bought.plan.batches - 1, view.curve
    if at >= len(curve.counts) or curve.cost_micros[at] is None:
        return view
    if curve.cost_micros[at] != bought.cash_micros:
        msg = f"the curve and the shopping list differ about {bought.plan.batches} batches, so neither is shown; one of the two is wrong"
        raise BasketError(msg)
    baskets, used, unit = list(curve.baskets), list(curve.used_cost_micros), list(view.unit_used)
    baskets[at], used[at], unit[at] = bought.basket, bought.used_micros, bought.used_micros / view.containers[at] / 1e6
    return replace(
        view, curve=replace(curve, baskets=tuple(baskets), used_cost_micros=tuple(used)), unit_used=tuple(unit)
    )
