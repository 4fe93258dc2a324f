"""How much to make: from containers to the mass of a batch and of each ingredient, and backwards from what is there to
full containers. Exact throughout.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.findings import Finding, know
from maker_kit.formula.recipe import Recipe
from maker_kit.names import near_miss
from maker_kit.numbers import exact_number
from maker_kit.units import check_density

LABEL = "Label"
"""What a label is called among what is needed, bought and counted."""
MOST_CONTAINERS = 1_000_000
"""Largest count of containers that is taken; more than that is a slip of the pen."""


def check_containers(containers: float, most: int = MOST_CONTAINERS) -> int:
    """A count of containers, whole and from 1 to `most`.

    Raises
    ------
    QuantityError
        If it is no number, not whole, below 1 or above `most`.
    """
    count = exact_number(containers, "the number of containers")
    if count.denominator != 1:
        whole = f"{math.floor(count)} or {math.ceil(count)}"
        raise QuantityError(f"{float(count):g} containers: containers are counted whole; write {whole}")
    if not 1 <= count <= most:
        raise QuantityError(f"{float(count):,.0f} containers: a batch fills 1 to {most:,}; correct the count")
    return int(count)


def counted(containers: int) -> str:
    """A count in words for a maker: ``1 container``, ``4 containers``."""
    return f"{containers} container{'' if containers == 1 else 's'}"


def filled(containers: int) -> str:
    """What is filled, in words: ``3 full containers``, ``not even one full container``."""
    return (
        f"{containers} full container{'' if containers == 1 else 's'}" if containers else "not even one full container"
    )


def exact_fill_mass(recipe: Recipe) -> Fraction:
    """Mass of one container's content [g], exactly: as declared in grams, or fill [mL] × density [g/mL].

    Raises
    ------
    QuantityError
        If the recipe's fill or density is no number or out of range.
    """
    if recipe.fill_g is not None:
        declared = exact_number(recipe.fill_g, f"the fill of {recipe.title} in g")
        if declared <= 0:
            raise QuantityError(f"{recipe.title} fills {recipe.fill_g} g into a container; write a fill above 0 g")
        return declared
    fill = exact_number(recipe.fill_ml, f"the fill of {recipe.title} in mL")
    if fill <= 0:
        raise QuantityError(f"{recipe.title} fills {recipe.fill_ml} mL into a container; write a fill above 0 mL")
    return fill * check_density(recipe.density_g_per_ml, recipe.title)


def exact_batch_mass(recipe: Recipe, containers: float) -> Fraction:
    """The mass of a batch [g], exactly; see `batch_mass_g`."""
    film, loss = _film_and_loss(recipe)
    return check_containers(containers) * exact_fill_mass(recipe) * (1 + loss) + film


def containers_in(recipe: Recipe, batch_g: Fraction) -> Fraction:
    """Containers that a batch fills, before rounding down:

    ``(batch − film) / (V · ρ · (1 + loss / 100))``, 0 or more.
    """
    film, loss = _film_and_loss(recipe)
    return max(batch_g - film, Fraction(0)) / (exact_fill_mass(recipe) * (1 + loss))


def batch_mass_g(recipe: Recipe, containers: float) -> float:
    """The mass to make so that so many containers are filled [g].

    ``m = n · V · ρ · (1 + loss / 100) + film``: the film stays on beaker and blender whatever the batch, the loss
    grows with it. Arithmetic; good for 1 to `MOST_CONTAINERS` containers.

    Parameters
    ----------
    recipe : Recipe
        Its fill [mL], density [g/mL], loss [%] and film [g] count.
    containers : int
        Containers to fill, whole.

    Raises
    ------
    QuantityError
        If the count, or a figure of the recipe, is no number or out of range.
    """
    return float(exact_batch_mass(recipe, containers))


def as_bought(recipe: Recipe, in_hand: frozenset[str] = frozenset()) -> dict[str, Fraction]:
    """What the recipe is bought as, in percent by mass of the whole [%], exactly: what is mixed at the bench counts as
    what it is mixed from.

    Parameters
    ----------
    recipe : Recipe
    in_hand : frozenset of str
        Bench mixtures that are there ready made; they count as themselves.

    Returns
    -------
    dict of str to Fraction
        In the order of the recipe; lines at 0 % are left out.

    Raises
    ------
    RecipeError
        If a mixture is made from something unknown or from itself.
    """
    shares: dict[str, Fraction] = {}

    def add(name: str, percent: Fraction, path: tuple[str, ...]) -> None:
        if name in path:
            raise RecipeError(
                f"{name} is mixed from itself ({' → '.join((*path, name))}); correct what it is made from"
            )
        if name not in recipe.ingredients:
            raise RecipeError(
                f'{recipe.title} needs "{name}", which is no ingredient on file: {near_miss(name, recipe.ingredients)}'
            )
        made_from = () if name in in_hand else recipe.ingredients[name].made_from
        for part, share in made_from:
            add(part, percent * exact_number(share, f"the share of {part} in {name}") / 100, (*path, name))
        if not made_from and percent:
            shares[name] = shares.get(name, Fraction(0)) + percent

    for line in recipe.lines:
        add(line.ingredient, exact_number(line.percent, f"the percent of {line.ingredient}"), ())
    return shares


def needs_of(recipe: Recipe, batch_g: Fraction, in_hand: frozenset[str] = frozenset()) -> dict[str, Fraction]:
    """What a batch of that mass takes of each bought ingredient [g], exactly. Raises as `as_bought` does."""
    return {name: batch_g * percent / 100 for name, percent in as_bought(recipe, in_hand).items()}


def needs_g(recipe: Recipe, containers: float) -> dict[str, Fraction]:
    """What so many containers take of each bought ingredient [g]; raises as `batch_mass_g` and `as_bought` do."""
    return needs_of(recipe, exact_batch_mass(recipe, containers))


@dataclass(frozen=True)
class FullContainers:
    """How many containers one ingredient fills.

    Attributes
    ----------
    containers : int
        Full containers, rounded down.
    unrounded : float
        The same before rounding; never below 0.
    by_fill_alone : int
        What dividing by the fill mass alone would give: no loss, no film, and the ingredient taken for the whole
        product.
    have_g, percent : float
        What is there [g] and its share of the product [%].
    left_g : float
        What stays over after that many containers [g].
    next_loss_percent : float or None
        Largest loss at which one more would be filled [%]; None where even no loss would not do.
    loss_percent : float
        The recipe's loss [%].
    """

    containers: int
    unrounded: float
    by_fill_alone: int
    have_g: float
    percent: float
    left_g: float
    next_loss_percent: float | None
    loss_percent: float

    def finding(self, what: str) -> Finding:
        """The answer as a finding for a maker; `what` names the ingredient or the jug."""
        text = f"{self.have_g:,.1f} g of {what} fill {counted(self.containers)}"
        text += f" ({self.unrounded:.2f} before rounding down)"
        if self.by_fill_alone > self.containers:
            text += f", not {self.by_fill_alone}: it is {self.percent:g} % of the product, and "
            text += f"{self.loss_percent:g} % is lost on the way"
        step = ""
        if self.next_loss_percent is not None:
            least = math.floor(self.next_loss_percent * 1000) / 1000
            step = f"with a loss of at most {least:g} % it is {self.containers + 1}"
        return know("container.reach", what, text + ".", next_step=step, source="arithmetic")


def full_containers(have_g: float | Fraction, percent: float, recipe: Recipe) -> FullContainers:
    """Backwards: the full containers that so much of one ingredient makes.

    The largest whole ``n`` with ``(n · V · ρ · (1 + loss / 100) + film) · percent / 100 ≤ have``, in exact
    fractions, so that an exact multiple is not lost.

    Parameters
    ----------
    have_g : float or Fraction
        What is there [g]; give an exact fraction where it comes from a volume (`Amount.exact_grams`).
    percent : float
        Its share of the whole [%], above 0 to 100.
    recipe : Recipe

    Raises
    ------
    QuantityError
        If what is there is no number or below 0, the share is out of range, or a figure of the recipe is.
    """
    have = exact_number(have_g, "what is there in g")
    share = exact_number(percent, "the share of the product in %")
    if have < 0:
        raise QuantityError(f"{float(have):g} g is below zero; what is there is 0 g or more")
    if not 0 < share <= 100:
        raise QuantityError(f"a share of {float(share):g} % of the product: write one above 0 and at most 100")
    film, loss = _film_and_loss(recipe)
    fill = exact_fill_mass(recipe)
    unrounded = containers_in(recipe, have * 100 / share)
    count = math.floor(unrounded)
    next_loss = unrounded * (1 + loss) / (count + 1) - 1
    used = (count * fill * (1 + loss) + film) * share / 100 if count else Fraction(0)
    return FullContainers(
        count,
        float(unrounded),
        math.floor(have / fill),
        float(have),
        float(share),
        float(have - used),
        float(next_loss * 100) if next_loss >= 0 else None,
        recipe.loss_percent,
    )


def _film_and_loss(recipe: Recipe) -> tuple[Fraction, Fraction]:
    film = exact_number(recipe.film_g, f"the film of {recipe.title} in g")
    loss = exact_number(recipe.loss_percent, f"the loss of {recipe.title} in %")
    if film < 0 or not 0 <= loss <= 100:
        raise QuantityError(
            f"{recipe.title} has {float(film):g} g of loss on the tools and a loss of {float(loss):g} %; "
            "the loss on the tools is 0 g or more, and a loss lies between 0 and 100 %"
        )
    return film, loss / 100
