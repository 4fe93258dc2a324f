"""The density of a mixture from its parts, where nobody has weighed a known volume yet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number
from maker_kit.units import check_density

ADDITIVE_ERROR = (
    "volumes are taken as additive; most mixtures shrink, so the figure is low: by up to 1.1 % for glycerol and water, "
    "up to 3.6 % for ethanol and water. Air beaten into a cream makes it lighter than the figure. Weigh 100 mL to know"
)
"""How far the rule is off.

Fits of Melinder (2010) at 20 °C, up to 60 % by mass: glycerol and water 1.09 % at 60 %, ethanol and water 3.6 % at 50
%.
"""

ADDITIVE_SOURCE = "additive volumes; error by the fits of Melinder 2010 at 20 °C"
SAME_PERCENT = 0.05
"""Densities no further apart than this count as one [%]: half of the third decimal."""
DENSER_PERCENT, LIGHTER_PERCENT = 3.6, 10.0
"""How far a weighed density may lie above the additive one (ethanol and water, Melinder 2010) and below it (air in a
cream; common practice, no source) before it is looked at [%].
"""


@dataclass(frozen=True)
class AdditiveDensity:
    """A density by the additive rule, and what it leaves out.

    Attributes
    ----------
    density_g_per_ml : float or None
        Density at 20 °C [g/mL]; None while any part's density is unknown.
    known_g_per_ml : float or None
        Density of the parts that are known, taken alone [g/mL]; None where none is.
    known_percent : float
        Share of the whole that is known [%].
    unknown : tuple of str
        Parts without a density: ingredients by name, others by their place in the list.
    error : str
        How far the rule may be off.
    """

    density_g_per_ml: float | None
    known_g_per_ml: float | None
    known_percent: float
    unknown: tuple[str, ...] = ()
    error: str = ADDITIVE_ERROR


def additive_density(mixture: Recipe | Iterable[tuple[float, float | None]]) -> AdditiveDensity:
    """The density of a mixture if volumes simply add.

    ``ρ = Σp / Σ(p_i / ρ_i)``, which is ``100 / Σ(p_i / ρ_i)`` for percentages of the whole. An ideal mixture
    keeps the volumes of its parts; real ones shrink a little (see `ADDITIVE_ERROR`).

    Parameters
    ----------
    mixture : Recipe, or iterable of (float, float or None)
        A recipe with its ingredients, or percent by mass [%] and density [g/mL] of each part; None for a density that
        nobody knows.

    Returns
    -------
    AdditiveDensity

    Raises
    ------
    QuantityError
        If there are no parts above 0, a percent is below 0, or a density is no density.
    """
    if isinstance(mixture, Recipe):
        rows = [
            (line.ingredient, line.percent, mixture.ingredients[line.ingredient].density_g_per_ml)
            for line in mixture.lines
        ]
    else:
        rows = [(f"part {k}", percent, density) for k, (percent, density) in enumerate(mixture, 1)]
    whole = known = volume = Fraction(0)
    unknown: list[str] = []
    for name, percent, density in rows:
        share = exact_number(percent, f"the percent of {name}")
        if share < 0:
            raise QuantityError(f"{name} stands at {percent} %; a share is 0 % or more")
        if not share:
            continue
        whole += share
        if density is None:
            unknown.append(name)
        else:
            known += share
            volume += share / check_density(density, name)
    if not whole:
        raise QuantityError("a density needs at least one part above 0 %")
    of_known = float(known / volume) if known else None
    return AdditiveDensity(
        None if unknown else of_known, of_known, float(100 * known / whole), tuple(dict.fromkeys(unknown))
    )


@dataclass(frozen=True)
class DensityChoice:
    """The density to reckon with, and how it stands to the other one.

    Attributes
    ----------
    density_g_per_ml : float or None
        The one to use [g/mL]; None where none was measured and a part is unknown.
    kind : {'measured', 'additive', 'unknown'}
        Where it is from.
    additive : AdditiveDensity
    difference_percent : float or None
        How far the measured one lies above (+) or below (−) the additive one [%]; None where either is missing.
    findings : tuple of Finding
    """

    density_g_per_ml: float | None
    kind: str
    additive: AdditiveDensity
    difference_percent: float | None
    findings: tuple[Finding, ...]


def density_choice(
    measured_g_per_ml: float | None, mixture: Recipe | Iterable[tuple[float, float | None]]
) -> DensityChoice:
    """A measured density wins; without one the additive rule, with its error stated; without that either, it is
    unknown.

    Parameters
    ----------
    measured_g_per_ml : float or None
        Weighed by the maker [g/mL], such as a recipe's own ``density_g_per_ml``; None where nobody weighed it.
    mixture : Recipe, or iterable of (float, float or None)
        As for `additive_density`.

    Returns
    -------
    DensityChoice

    Raises
    ------
    QuantityError
        If the measured density is none, or as `additive_density` does.
    """
    rule = additive_density(mixture)
    by_parts, weigh = rule.density_g_per_ml, "Weigh 100 mL of the finished product."
    if measured_g_per_ml is None and by_parts is None:
        text = (
            f"The density is unknown: nobody weighed it, and there is none on file for {', '.join(rule.unknown)} "
            f"({rule.known_percent:.3g} % of the whole is known)."
        )
        about = {"subject": ", ".join(rule.unknown), "source": "none on file"}
        found = look("density.unknown", rule.unknown, text, level="unknown", next_step=weigh, **about)
        return DensityChoice(None, "unknown", rule, None, (found,))
    if measured_g_per_ml is None:
        text = f"Nobody weighed it; by its parts it is {by_parts:.3f} g/mL: {rule.error}."
        found = look("density.additive", "density", text, next_step=weigh, source=ADDITIVE_SOURCE)
        return DensityChoice(by_parts, "additive", rule, None, (found,))
    measured = check_density(measured_g_per_ml, "the finished product")
    text = f"{float(measured):g} g/mL, as measured"
    if by_parts is None:
        text += f". By its parts it cannot be checked: no density is on file for {', '.join(rule.unknown)}."
        found = know("density.unchecked", "density", text, source="measured by the maker")
        return DensityChoice(float(measured), "measured", rule, None, (found,))
    apart = 100 * (float(measured) / by_parts - 1)
    source = f"measured by the maker; {ADDITIVE_SOURCE}"
    how = f"{abs(apart):.2g} % {'denser' if apart > 0 else 'lighter'}"
    same = abs(apart) < SAME_PERCENT
    text += ", and by its parts the same." if same else f"; by its parts {by_parts:.3f} g/mL, so it is {how}."
    if -LIGHTER_PERCENT <= apart <= DENSER_PERCENT:
        text += " Air beaten in makes it lighter." if apart <= -1 else ""
        found = know("density.fine", "density", text, level="fine", source=source)
    else:
        step = "Weigh a known volume again, free of bubbles, and look at the parts' densities."
        text += " That is more than mixing or air explains."
        found = look("density.apart", "density", text, next_step=step, source=source)
    return DensityChoice(float(measured), "measured", rule, apart, (found,))


def density_of(recipe: Recipe) -> DensityChoice:
    """The density of a recipe: its own where it was weighed, else the additive rule; see `density_choice`, which
    raises.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    DensityChoice
    """
    return density_choice(recipe.density_g_per_ml if recipe.density_weighed else None, recipe)


def unweighed_density(recipe: Recipe) -> tuple[Finding, ...]:
    """What is to be said of a density that nobody weighed: the fill in g, and so every weight and cost, stands on it;
    nothing where it was weighed.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    tuple of Finding
    """
    if recipe.density_weighed:
        return ()
    text = (
        f"{recipe.density_g_per_ml:g} g/mL is {recipe.density_source.strip().rstrip('.')}: how much goes into a "
        "container, and so every weight and cost, stands on it."
    )
    step = "Weigh 100 mL of the finished product, and write it into recipes.csv."
    return (look("density.unweighed", recipe.title, text, level="unknown", next_step=step, source=ADDITIVE_SOURCE),)
