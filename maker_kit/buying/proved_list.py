"""The cheapest shopping list for some batches, whichever of two ways proves it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.basket.program import NotProvedError
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.market import Market
from maker_kit.buying.needs import exact_need, need_of
from maker_kit.buying.stopping import Asked, callable_off


def proved_list(
    market: Market,
    per_batch: Mapping[str, Fraction],
    count: int,
    *,
    seconds: float = 60.0,
    cancelled: Asked | None = None,
    solver: CurveSolver | None = None,
) -> Basket:
    """The cheapest basket for so many batches: by the integer program; where that cannot prove it, by the search of
    whole curves, asked for this one count. Whichever proves the cost has a list.

    Parameters
    ----------
    market : Market
    per_batch : Mapping of str to Fraction
        What one batch takes of every item [0.1 g or pieces], exactly.
    count : int
    seconds : float
        How long each of the two may take [s].
    cancelled : callable, optional
        Asked often; soon after it is true, the list is given up.
    solver : CurveSolver, optional
        One made for this market before.

    Returns
    -------
    Basket
        `Basket.settled` where it is proved to come first of all at its cost.

    Raises
    ------
    BasketError
        As `maker_kit.buying.basket.basket.cheapest_basket` does.
    """

    def work(asked: Asked) -> Basket:
        try:
            return cheapest_basket(market, need_of(per_batch, count), time_limit_s=seconds, stopped=cancelled and asked)
        except NotProvedError:
            if asked():
                raise
            (point,) = (solver or CurveSolver(market)).curve(
                exact_need(per_batch, count), 1, seconds=seconds, cancelled=cancelled
            )
            if not point.proved or point.basket is None:
                raise
            return point.basket

    def given_up() -> Basket:
        msg = "The shopping list was called off before it was proved."
        raise NotProvedError(msg)

    return callable_off(work, cancelled, given_up)
