"""A recipe in percent by mass of the whole, its ingredients, and the two moves of a slider: set a line's level, set the fragrance load."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import pandas as pd

from maker_kit.errors import QuantityError, RecipeError, UnknownNameError
from maker_kit.formula.ingredient import Certificate, Ingredient, ProductType, Share
from maker_kit.formula.step import Step
from maker_kit.names import near_miss

__all__ = [
    "SUM_TOLERANCE_PERCENT",
    "Certificate",
    "Ingredient",
    "Line",
    "ProductType",
    "Recipe",
    "Share",
    "check_sum",
    "load_on_base",
    "load_on_whole",
    "with_fragrance_load",
    "with_ingredient",
    "with_level",
    "with_thickener_level",
]

SUM_TOLERANCE_PERCENT = 0.005
"""How far a recipe's lines may miss 100 [%]: half of the second decimal, the finest a maker writes."""


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


NOT_WEIGHED = "not weighed"
"""How the source of a density begins that nobody weighed."""


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
        Where the density is from; empty, or anything that does not begin with "not weighed", for one that the maker weighed.
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

    @property
    def density_weighed(self) -> bool:
        """Whether the density was weighed, and not reckoned or taken over from another recipe."""
        return not self.density_source.casefold().startswith(NOT_WEIGHED)

    @property
    def sold_by_mass(self) -> bool:
        """Whether the container's content is declared in grams rather than millilitres."""
        return self.fill_g is not None

    @property
    def fill_mass_g(self) -> float:
        """Mass of one container's content [g]: as declared in grams, or fill [mL] × density [g/mL]."""
        return self.fill_ml * self.density_g_per_ml if self.fill_g is None else self.fill_g

    @property
    def holds_water(self) -> bool:
        """Whether any line brings water into the product, itself or by what it is mixed from at the bench."""
        return any(self._brings_water(line.ingredient, ()) for line in self.lines if line.percent > 0)

    def _brings_water(self, name: str, path: tuple[str, ...]) -> bool:
        ingredient = self.ingredients[name]
        parts = (
            part for part, share in ingredient.made_from if share > 0 and part in self.ingredients and part not in path
        )
        return ingredient.holds_water or any(self._brings_water(part, (*path, name)) for part in parts)

    def percent_of(self, ingredient: str) -> float:
        """Percent by mass of the whole [%] of one ingredient, over all its lines.

        Raises
        ------
        UnknownNameError
            If no line holds it; the nearest name is given.
        """
        found = [line.percent for line in self.lines if line.ingredient == ingredient]
        if not found:
            msg = f'{self.title} holds no "{ingredient}": {near_miss(ingredient, [line.ingredient for line in self.lines])}'
            raise UnknownNameError(msg)
        return float(sum(map(_exact, found), Decimal(0)))

    def to_frame(self) -> pd.DataFrame:
        """The lines as a table: phase, ingredient, percent, with "to 100" beside the balance line."""
        return pd.DataFrame(
            {
                "phase": [line.phase for line in self.lines],
                "ingredient": [line.ingredient for line in self.lines],
                "percent": [line.percent for line in self.lines],
                "note": ["to 100" if line.balance else "" for line in self.lines],
            }
        )


def _exact(number: float) -> Decimal:
    return Decimal(str(round(number, 9)))


def check_sum(recipe: Recipe) -> Recipe:
    """The recipe itself, if its lines make 100.

    Raises
    ------
    RecipeError
        If the lines miss 100 by more than `SUM_TOLERANCE_PERCENT`, a line is negative or not a number, or two lines are the balance. Nothing is stretched.
    """
    bad = [line for line in recipe.lines if not 0 <= line.percent <= 100]
    if bad:
        msg = f"{recipe.title}: {bad[0].ingredient} stands at {bad[0].percent} %; a line holds 0 to 100 %"
        raise RecipeError(msg)
    if sum(line.balance for line in recipe.lines) > 1:
        msg = f"{recipe.title}: two lines are marked as the balance; one line at most takes up what the others leave"
        raise RecipeError(msg)
    total = sum((_exact(line.percent) for line in recipe.lines), Decimal(0))
    if abs(total - 100) > Decimal(str(SUM_TOLERANCE_PERCENT)):
        msg = f"{recipe.title}: the lines add up to {total.normalize():f} %, not 100; correct a line, or mark one as the balance"
        raise RecipeError(msg)
    return recipe


def with_level(recipe: Recipe, ingredient: str, percent: float) -> Recipe:
    """The recipe with one ingredient at another level; the balance line takes the difference.

    Parameters
    ----------
    recipe : Recipe
    ingredient : str
        Name of a line that is not the balance.
    percent : float
        New level, of the whole [%], 0 to 100.

    Returns
    -------
    Recipe

    Raises
    ------
    UnknownNameError
        If no line holds the ingredient.
    RecipeError
        If the recipe has no balance line, the ingredient is the balance, or the balance would fall below zero.
    """
    old = recipe.percent_of(ingredient)
    if not 0 <= percent <= 100:
        msg = f"{ingredient} at {percent} %: a level lies between 0 and 100 % of the whole"
        raise RecipeError(msg)
    balance = next((line for line in recipe.lines if line.balance), None)
    if balance is None:
        msg = f"{recipe.title} has no line marked as the balance, so nothing can take up a change of {ingredient}"
        raise RecipeError(msg)
    if balance.ingredient == ingredient:
        msg = f"{ingredient} is the balance of {recipe.title}: it makes up 100 and is not set by hand"
        raise RecipeError(msg)
    left = _exact(balance.percent) - (_exact(percent) - _exact(old))
    if left < 0:
        most = _exact(balance.percent) + _exact(old)
        msg = f"{ingredient} at {percent:g} % leaves {balance.ingredient} at {left.normalize():f} %, below zero; {recipe.title} holds at most {most.normalize():f} % of it"
        raise RecipeError(msg)
    first = next(k for k, line in enumerate(recipe.lines) if line.ingredient == ingredient)
    lines = tuple(
        replace(line, percent=float(left))
        if line is balance
        else replace(line, percent=float(_exact(percent)))
        if k == first
        else line
        for k, line in enumerate(recipe.lines)
        if k == first or line.ingredient != ingredient
    )
    return replace(recipe, lines=lines)


def load_on_whole(percent_on_base: float) -> float:
    """A fragrance load given on the base, as percent of the whole [%].

    ``whole = 100 · b / (100 + b)`` with `b` grams of scent in 100 g of base; arithmetic, good for any b ≥ 0.

    Raises
    ------
    QuantityError
        If the load is negative or no number.
    """
    if not 0 <= percent_on_base < math.inf:
        msg = f"a fragrance load of {percent_on_base} % on the base: a load is a number, 0 or more"
        raise QuantityError(msg)
    return percent_on_base / (1 + percent_on_base / 100)


def load_on_base(percent_of_whole: float) -> float:
    """A fragrance load of the whole, as percent on the base [%]: ``100 · w / (100 − w)`` for 0 ≤ w < 100.

    Raises
    ------
    QuantityError
        If the load is outside that range.
    """
    if not 0 <= percent_of_whole < 100:
        msg = f"a fragrance load of {percent_of_whole} % of the whole: it lies from 0 to below 100"
        raise QuantityError(msg)
    return 100 * percent_of_whole / (100 - percent_of_whole)


def with_fragrance_load(recipe: Recipe, percent: float, basis: str = "whole") -> Recipe:
    """The recipe at another fragrance load.

    Parameters
    ----------
    recipe : Recipe
    percent : float
        Load [%].
    basis : {'whole', 'base'}
        Percent of the finished product, or grams of scent to 100 g of base.

    Raises
    ------
    RecipeError
        If the recipe has no scent, the basis is neither, or the balance cannot hold the load.
    """
    if not recipe.scent:
        msg = f"{recipe.title} has no scent line, so it has no fragrance load to set"
        raise RecipeError(msg)
    if basis not in {"whole", "base"}:
        msg = f'a fragrance load is given on the "whole" or on the "base", not on "{basis}"'
        raise RecipeError(msg)
    return with_level(recipe, recipe.scent, percent if basis == "whole" else load_on_whole(percent))


def with_thickener_level(recipe: Recipe, percent: float) -> Recipe:
    """The recipe at another thickener level [% of the whole].

    Raises
    ------
    RecipeError
        If the recipe has no thickener, or the balance cannot hold the level.
    """
    if not recipe.thickener:
        msg = f"{recipe.title} has no thickener line, so it has no thickener level to set"
        raise RecipeError(msg)
    return with_level(recipe, recipe.thickener, percent)


def with_ingredient(recipe: Recipe, old: str, new: Ingredient) -> Recipe:
    """The recipe with one ingredient replaced by another at the same level (another scent, say); the limits have to be judged again.

    Raises
    ------
    UnknownNameError
        If no line holds `old`.
    """
    recipe.percent_of(old)
    return replace(
        recipe,
        lines=tuple(replace(line, ingredient=new.name) if line.ingredient == old else line for line in recipe.lines),
        ingredients={**recipe.ingredients, new.name: new},
        scent=new.name if recipe.scent == old else recipe.scent,
        thickener=new.name if recipe.thickener == old else recipe.thickener,
    )
