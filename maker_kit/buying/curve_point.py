"""What is known of the least cost of one count of batches, while it is worked out and when it is proved."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from maker_kit.buying.basket.basket import Basket, proved_basket
from maker_kit.buying.market import Market
from maker_kit.buying.needs import exact_need
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.errors import BasketError

Nearby = Callable[[Mapping[str, int], int], tuple[dict[str, int], int] | None]
"""``nearby(need, at_most_micros)``: the cheapest basket of a need and its cost; None where none costs so little."""


@dataclass(frozen=True)
class CurvePoint:
    """One count of batches.

    Attributes
    ----------
    market : Market
        Where it is bought.
    count : int
        Of batches.
    need : Mapping of str to int
        Base units of every item; items that are not needed left out.
    lower_micros : int or None
        What no basket costs less than [0.0001 cent]; None where no basket covers the need.
    upper_micros : int or None
        Cost of the best basket known [0.0001 cent]; None where none is known.
    packs : Mapping of str to int, or None
        Pack name to count of that basket.
    told : str
        A sentence that says why, where there is no basket or the cost is not proved.
    per_batch : Mapping of str to Fraction, or None
        What one batch takes of every item [base units], exactly; None where only the whole units are known.
    settled : bool
        Whether the basket comes first of all that cost the same, as `maker_kit.buying.basket.ties` orders them.
    late : bool
        Whether it is not proved because the time was up.
    """

    market: Market = field(repr=False)
    count: int
    need: Mapping[str, int]
    lower_micros: int | None
    upper_micros: int | None = None
    packs: Mapping[str, int] | None = None
    told: str = ""
    per_batch: Mapping[str, Fraction] | None = field(default=None, repr=False)
    settled: bool = False
    late: bool = False

    @property
    def proved(self) -> bool:
        """Whether no basket is cheaper than the one that is known."""
        return self.upper_micros is not None and self.upper_micros == self.lower_micros

    @property
    def wide(self) -> bool:
        """Whether its bounds lie more than a twentieth apart, so that the search told little, or no basket is known."""
        return self.upper_micros is None or 20 * (self.upper_micros - (self.lower_micros or 0)) > self.upper_micros

    @property
    def impossible(self) -> bool:
        """Whether no basket covers the need."""
        return self.lower_micros is None

    @property
    def status(self) -> str:
        """``proved``, ``impossible`` or ``not proved``."""
        return "proved" if self.proved else "impossible" if self.impossible else "not proved"

    @property
    def why(self) -> str:
        """A sentence where the cost is not proved; else empty."""
        return "" if self.proved else self.told

    @property
    def cost_micros(self) -> int | None:
        """What you pay [0.0001 cent]; None where there is no basket, or none that was proved."""
        return self.upper_micros if self.proved else None

    @cached_property
    def basket(self) -> Basket | None:
        """The best basket known, priced again in whole numbers when it is first asked for.

        Raises
        ------
        NotProvedError
            If it does not cover the need, or costs anything else than was said.
        """
        if self.packs is None or self.upper_micros is None:
            return None
        found = proved_basket(self.market, self.need, self.packs, self.upper_micros)
        return replace(found, settled=self.settled)

    @cached_property
    def used_cost_micros(self) -> int | None:
        """What the count used up [0.0001 cent] of the basket that is known, on the exact need; None where the cost is
        not proved.
        """
        return used_cost_micros(self.market, self.basket, self.exact_need) if self.proved and self.basket else None

    @property
    def exact_need(self) -> dict[str, Fraction] | None:
        """What the count uses up of every item [base units], not rounded to what is bought; None where only that is
        known.
        """
        return None if self.per_batch is None else exact_need(self.per_batch, self.count)

    def again(self) -> CurvePoint:
        """The point as something that may still be proved, where the time was up before."""
        return replace(self, late=False) if self.late else self

    def bought(self, basket: Basket) -> CurvePoint:
        """The point once a cheapest basket of it is proved.

        Raises
        ------
        BasketError
            If that costs anything else than is known of it.
        """
        cost, low, high = basket.cost_micros, self.lower_micros, self.upper_micros
        if low is None or cost < low or (high is not None and cost > high):
            msg = (
                f"the curve and the shopping list differ about {self.count} batches, so neither is shown; "
                "one of the two is wrong"
            )
            raise BasketError(msg)
        if self.settled and not basket.settled:
            return self
        return replace(self, lower_micros=cost, upper_micros=cost, packs=dict(basket.counts), settled=basket.settled)

    def narrowed(self, cost_micros: int, count: int, packs: Mapping[str, int] | None) -> CurvePoint:
        """The point once the least cost of a count and a basket at that cost are proved; without a basket, once that
        count is proved to cost no less.

        That basket serves every smaller count, and no larger count costs less.
        """
        if self.proved or self.impossible:
            return self
        found = self
        if self.count >= count and (self.lower_micros or 0) < cost_micros:
            found = replace(found, lower_micros=cost_micros)
        if packs is not None and self.count <= count and (self.upper_micros is None or self.upper_micros > cost_micros):
            found = replace(found, upper_micros=cost_micros, packs=dict(packs), settled=False)
        return found
