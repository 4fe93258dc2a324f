"""What a kit or a cupboard is short of: need beside have, which runs out first, and how many full containers that
leaves.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.batch import (
    FullContainers,
    as_bought,
    check_containers,
    counted,
    exact_batch_mass,
    filled,
    full_containers,
)
from maker_kit.formula.recipe import Recipe
from maker_kit.names import look_up, near_miss
from maker_kit.units import stated_amount


@dataclass(frozen=True)
class KitRow:
    """One bought ingredient of a recipe, beside what the kit holds of it.

    Attributes
    ----------
    ingredient : str
        As it is bought: a bench mixture counts as what it is mixed from, unless the kit holds it ready made.
    percent : float
        Percent by mass of the whole [%].
    need_g : float
        What the containers take [g].
    have_g : float or None
        What the kit holds [g]; None where it does not contain the ingredient at all.
    factor : float or None
        Have over need; None where the kit does not contain it.
    full_containers : int or None
        Full containers that this ingredient alone would fill.
    most_percent : float or None
        Largest share of the product that the kit has enough of, for all the containers [%], rounded down to a
        thousandth, at most 100.
    short : bool
        Whether it is contained and not enough.
    """

    ingredient: str
    percent: float
    need_g: float
    have_g: float | None
    factor: float | None
    full_containers: int | None
    most_percent: float | None
    short: bool

    @property
    def short_by_g(self) -> float:
        """What is missing [g]; 0 where it is enough or not included."""
        return self.need_g - self.have_g if self.short and self.have_g is not None else 0.0


@dataclass(frozen=True)
class KitCheck:
    """A kit against a recipe.

    Attributes
    ----------
    title : str
        Of the recipe.
    makes : int
        Containers that are wanted.
    rows : tuple of KitRow
        In the order of the recipe.
    factor : float
        Smallest have over need of what the kit contains; 1 or more is enough.
    full_containers : int
        Full containers that the kit allows, rounded down; it may be more than wanted.
    unrounded : float
        The same before rounding.
    runs_out_first : str
        Ingredient that sets the factor.
    findings : tuple of Finding
        One for each that is short, one for what is not included, one for what the recipe does not use; or that it is
        enough.
    """

    title: str
    makes: int
    rows: tuple[KitRow, ...]
    factor: float
    full_containers: int
    unrounded: float
    runs_out_first: str
    findings: tuple[Finding, ...]

    @property
    def short(self) -> tuple[str, ...]:
        """Everything that is contained and not enough, the scarcest first."""
        rows = sorted((row for row in self.rows if row.short), key=lambda row: row.factor or 0.0)
        return tuple(row.ingredient for row in rows)

    @property
    def not_included(self) -> tuple[str, ...]:
        """What the recipe takes and the kit does not contain."""
        return tuple(row.ingredient for row in self.rows if row.have_g is None)

    def row(self, ingredient: str) -> KitRow:
        """The row of one ingredient. Raises UnknownNameError if the recipe does not take it as bought."""
        rows = {row.ingredient: row for row in self.rows}
        return look_up(ingredient, rows, f'{self.title} takes no "{ingredient}" as it is bought')


def check_kit(recipe: Recipe, content_g: Mapping[str, float], makes: int) -> KitCheck:
    """A kit's content against what a recipe takes for so many containers.

    ``factor = min(have / need)`` over what the kit contains: the scarcest rules (proportion). Full containers are
    rounded down exactly; film and loss of the recipe count.

    Parameters
    ----------
    recipe : Recipe
    content_g : Mapping of str to float
        What the kit holds of each ingredient [g]; containers and labels are left out. An ingredient that is not named
        is not included, which is not the same as 0 g.
    makes : int
        Containers that are wanted, whole.

    Returns
    -------
    KitCheck

    Raises
    ------
    QuantityError
        If the count or a content is no number or out of range, or the kit holds nothing that the recipe takes.
    RecipeError
        If a bench mixture is made from something unknown.
    """
    count = check_containers(makes)
    content = {name: stated_amount(mass, f"the kit's content of {name}").exact for name, mass in content_g.items()}
    batch = exact_batch_mass(recipe, count)
    shares = as_bought(recipe, frozenset(content))
    reach = {name: full_containers(content[name], share, recipe) for name, share in shares.items() if name in content}
    if not reach:
        raise QuantityError(f"the kit holds nothing that {recipe.title} takes; it takes {', '.join(shares)}")
    factors = {name: content[name] * 100 / (batch * shares[name]) for name in reach}
    rows = tuple(
        _row(name, share, batch, content.get(name), factors.get(name), reach.get(name))
        for name, share in shares.items()
    )
    first = min(factors, key=lambda name: factors[name])
    return KitCheck(
        recipe.title,
        count,
        rows,
        float(factors[first]),
        reach[first].containers,
        reach[first].unrounded,
        first,
        _findings(
            rows,
            first,
            reach[first].containers,
            count,
            [n for n in content if n not in shares],
            (recipe.scent, recipe.thickener),
        ),
    )


def _row(
    name: str,
    share: Fraction,
    batch: Fraction,
    have: Fraction | None,
    factor: Fraction | None,
    reach: FullContainers | None,
) -> KitRow:
    need = batch * share / 100
    if have is None or factor is None or reach is None:
        return KitRow(name, float(share), float(need), None, None, None, None, short=False)
    most = math.floor(min(have * 100 / batch, Fraction(100)) * 1000) / 1000
    return KitRow(name, float(share), float(need), float(have), float(factor), reach.containers, most, short=factor < 1)


def _findings(
    rows: tuple[KitRow, ...], first: str, full: int, makes: int, unused: list[str], slid: tuple[str, str]
) -> tuple[Finding, ...]:
    found, source = [], "proportion: have / need"
    for row in sorted((r for r in rows if r.short), key=lambda r: r.ingredient != first):
        text = (
            f"{row.ingredient}: {counted(makes)} take{'s' if makes == 1 else ''} {row.need_g:.2f} g, the kit holds "
            f"{row.have_g:g} g (factor {row.factor:.3f}): {filled(row.full_containers or 0)}."
        )
        step = (
            f"{f'fill {full}, or ' if full else ''}add {_up(row.short_by_g)} g or more of {row.ingredient}, or bring "
            f"it down to at most {row.most_percent:g} % (or make up with another ingredient) and look at every flag "
            "again"
        )
        found.append(look("kit.short", row.ingredient, text, level="under", next_step=step, source=source))
    if not found:
        row = next(r for r in rows if r.ingredient == first)
        text = (
            f"The kit is enough for {counted(makes)}; {first} runs out first: {row.need_g:.1f} g of {row.have_g:g} g "
            "are used."
        )
        slides = [r for r in rows if r.ingredient in slid and r.most_percent is not None and r.most_percent < 100]
        text += "".join(f" Above {r.most_percent:g} % {r.ingredient} would be short." for r in slides)
        found.append(know("kit.enough", first, text, level="fine", source=source))
    missing = [r.ingredient for r in rows if r.have_g is None]
    if missing:
        listed = ", ".join(f"{r.ingredient} ({r.need_g:.1f} g)" for r in rows if r.have_g is None)
        text = f"The kit does not include: {listed}."
        found.append(know("kit.not_included", missing, text, subject="not included", next_step="have it ready"))
    return (*found, *not_taken(unused, missing, 'The kit holds "{}", which the recipe does not take.'))


def not_taken(names: Iterable[str], missing: list[str], text: str) -> list[Finding]:
    """What is there and the recipe does not take, with what it was perhaps meant for among what is missing."""
    hints = [(name, near_miss(name, missing)) for name in names]
    return [know("kit.unused", n, text.format(n), next_step=str(hint) if hint.close else "") for n, hint in hints]


def _up(mass: float) -> str:
    return f"{math.ceil(round(mass * 100, 6)) / 100:g}"
