"""A recipe in percent by mass of the whole, its ingredients, what it is filled into and how it is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

import pandas as pd

from maker_kit.errors import RecipeError, UnknownNameError
from maker_kit.formula.ingredient import Certificate as Certificate
from maker_kit.formula.ingredient import Ingredient, ProductType
from maker_kit.formula.ingredient import Share as Share
from maker_kit.formula.kinds import DRY, UNKNOWN, WET, is_scent, wetness
from maker_kit.formula.step import Step
from maker_kit.frames import frame_of
from maker_kit.names import near_miss

SUM_TOLERANCE_PERCENT = 0.005
"""How far a recipe's lines may miss 100 [%]: half of the second decimal, the finest a maker writes."""
LEAST_USUAL_PERCENT = Fraction(1, 100)
"""Levels above 0 and below this [%] are asked about: 0.008 is what 0.8 % becomes as a share of one, and more often a
slip than meant (common practice, no source)."""


@dataclass(frozen=True)
class Line:
    """One ingredient of a recipe.

    Attributes
    ----------
    phase : str
    ingredient : str
    percent : float
        Percent by mass of the whole [%].
    balance : bool
        Whether this line takes up what the others leave (water to make 100, q.s.). At most one does.
    """

    phase: str
    ingredient: str
    percent: float
    balance: bool = False


@dataclass(frozen=True)
class Recipe:
    """A recipe and what it is filled into.

    Attributes
    ----------
    name : str
        Short name, also the file's: ``r1b-hand-wash``.
    title : str
    version : str
    lines : tuple of Line
    ingredients : Mapping of str to Ingredient
        Every ingredient named by a line, and what those are made from.
    product_type : ProductType
    container : str
        Name of the container.
    fill_ml : float
        Nominal content of one container at 20 °C [mL].
    density_g_per_ml : float
        Density of the finished product [g/mL].
    film_g : float
        What stays on beaker and blender, whatever the batch [g].
    loss_percent : float
        What is lost in proportion to the batch [%]; the batch is made larger by this share.
    ph_low, ph_high : float or None
        Target band of the pH; None for a recipe without water.
    ph_read : float or None
        The pH that was read on the last batch; never computed.
    ph_tool : str
        What it was read with, such as ``meter``; empty where nobody noted it.
    ph_error : float
        How far that reading may be off [pH], by its tool.
    ph_at_c : float or None
        Temperature of the sample that was read [°C]; None where it was not noted.
    ph_noted : str
        The batch and the day it was read, where that is from the bench log: ``batch R2-08, 2026-10-12``; empty where it
        stands in the tables.
    keeps_months, open_months : float or None
        Keeping time unopened and after opening [months].
    use_per_month : float or None
        Containers used up in a month.
    scent, thickener : str
        Ingredient that the fragrance load and the thickener level set; empty where there is none.
    shop_product : str
        What the shop sells instead; empty where none is named.
    steps : tuple of Step
        What to do, in order.
    fill_g : float or None
        Content of one container where it is declared in grams [g]; None where it is declared in millilitres.
    source : str
        Where the recipe is from; empty where nobody wrote it down.
    written_on : date or None
        When it was written down.
    density_source : str
        Where the density is from; empty where nobody wrote it down.
    density_weighed : bool
        Whether the density was weighed, and not reckoned or taken over from another recipe.
    """

    name: str
    title: str
    version: str
    lines: tuple[Line, ...]
    ingredients: Mapping[str, Ingredient]
    product_type: ProductType
    container: str
    fill_ml: float
    density_g_per_ml: float
    film_g: float = 0.0
    loss_percent: float = 0.0
    ph_low: float | None = None
    ph_high: float | None = None
    ph_read: float | None = None
    ph_tool: str = ""
    ph_error: float = 0.0
    ph_at_c: float | None = None
    ph_noted: str = ""
    keeps_months: float | None = None
    open_months: float | None = None
    use_per_month: float | None = None
    scent: str = ""
    thickener: str = ""
    shop_product: str = ""
    steps: tuple[Step, ...] = ()
    fill_g: float | None = None
    source: str = ""
    written_on: date | None = None
    density_source: str = ""
    density_weighed: bool = True

    @property
    def ph_span(self) -> tuple[float, float] | None:
        """Lowest and highest pH that the reading may mean; None where none was read."""
        if self.ph_read is None:
            return None
        low, high = (exact_percent(self.ph_read) + side * exact_percent(self.ph_error) for side in (-1, 1))
        return float(max(low, Decimal(0))), float(min(high, Decimal(14)))

    @property
    def ph_in_words(self) -> str:
        """The pH that was read, with how far it may be off: ``5.1 ± 0.1``; empty where none was read."""
        if self.ph_read is None:
            return ""
        return f"{self.ph_read:g} ± {self.ph_error:g}" if self.ph_error else f"{self.ph_read:g}"

    @property
    def sold_by_mass(self) -> bool:
        """Whether the container's content is declared in grams rather than millilitres."""
        return self.fill_g is not None

    @property
    def fill_mass_g(self) -> float:
        """Mass of one container's content [g]: as declared in grams, or fill [mL] × density [g/mL]."""
        return self.fill_ml * self.density_g_per_ml if self.fill_g is None else self.fill_g

    @cached_property
    def wetness(self) -> str:
        """``wet`` where any line brings water into the product, ``unknown`` where one may, otherwise ``dry``; see
        `maker_kit.formula.kinds.wetness`.
        """
        used = {line.ingredient for line in self.lines if line.percent > 0}
        found = {wetness(self.ingredients[name], self.ingredients) for name in used}
        return next((kind for kind in (WET, UNKNOWN) if kind in found), DRY)

    @property
    def holds_water(self) -> bool:
        """Whether any line is known to bring water into the product, itself or by what it is mixed from at the
        bench.
        """
        return self.wetness == WET

    @cached_property
    def scents(self) -> tuple[str, ...]:
        """The ingredients that are scents: by the recipe's own word, or by `maker_kit.formula.kinds.is_scent`."""
        used = dict.fromkeys(line.ingredient for line in self.lines if line.percent > 0)
        return tuple(n for n in used if n == self.scent or is_scent(self.ingredients[n]))

    def percent_of(self, ingredient: str) -> float:
        """Percent by mass of the whole [%] of one ingredient, over all its lines.

        Raises
        ------
        UnknownNameError
            If no line holds it; the nearest name is given.
        """
        found = [line.percent for line in self.lines if line.ingredient == ingredient]
        if not found:
            raise UnknownNameError(
                f'{self.title} holds no "{ingredient}": '
                f"{near_miss(ingredient, [line.ingredient for line in self.lines])}"
            )
        return float(sum(map(exact_percent, found), Decimal(0)))

    def to_frame(self) -> pd.DataFrame:
        """The lines as a table: phase, ingredient, percent, with "to 100" beside the balance line."""
        columns = {name: name for name in ("phase", "ingredient", "percent")}
        return frame_of(self.lines, {**columns, "note": lambda line: "to 100" * line.balance})


def exact_percent(number: float) -> Decimal:
    """A line's percentage as a maker wrote it: decimal, without what the computer's own arithmetic adds beyond the
    ninth place.
    """
    return Decimal(str(round(number, 9)))


def check_sum(recipe: Recipe) -> Recipe:
    """The recipe itself, if its lines make 100.

    Raises
    ------
    RecipeError
        If the lines miss 100 by more than `SUM_TOLERANCE_PERCENT`, a line is negative or not a number, or two lines are
        the balance. Nothing is stretched.
    """
    bad = [line for line in recipe.lines if not 0 <= line.percent <= 100]
    if bad:
        raise RecipeError(f"{recipe.title}: {bad[0].ingredient} stands at {bad[0].percent} %; a line holds 0 to 100 %")
    if sum(line.balance for line in recipe.lines) > 1:
        raise RecipeError(
            f"{recipe.title}: two lines are marked as the balance; one line at most takes up what the others leave"
        )
    total = sum((exact_percent(line.percent) for line in recipe.lines), Decimal(0))
    if abs(total - 100) > Decimal(str(SUM_TOLERANCE_PERCENT)):
        raise RecipeError(
            f"{recipe.title}: the lines add up to {total.normalize():f} %, not 100; correct a line, or mark one as "
            "the balance"
        )
    return recipe
