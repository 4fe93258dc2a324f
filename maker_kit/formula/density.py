"""The density of a mixture from its parts, where nobody has weighed a known volume yet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.formula.recipe import Recipe
from maker_kit.units import check_density, exact_number

ADDITIVE_ERROR = ("volumes are taken as additive; most mixtures shrink, so the figure is low: by up to 1.1 % for glycerol and water, up to 3.6 % for ethanol and water. "
                  "Air beaten into a cream makes it lighter than the figure. Weigh 100 mL to know")
"""How far the rule is off. Fits of Melinder (2010) at 20 °C, up to 60 % by mass: glycerol and water 1.09 % at 60 %, ethanol and water 3.6 % at 50 %."""


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

    def to_frame(self) -> pd.DataFrame:
        """The density as a table of one row."""
        return pd.DataFrame([{"density g/mL": self.density_g_per_ml, "of the known parts g/mL": self.known_g_per_ml, "known %": self.known_percent,
                              "unknown": ", ".join(self.unknown), "how good": self.error}])


def additive_density(mixture: Recipe | Iterable[tuple[float, float | None]]) -> AdditiveDensity:
    """The density of a mixture if volumes simply add.

    ``ρ = Σp / Σ(p_i / ρ_i)``, which is ``100 / Σ(p_i / ρ_i)`` for percentages of the whole. An ideal mixture keeps the volumes of its parts; real ones shrink a little (see `ADDITIVE_ERROR`).

    Parameters
    ----------
    mixture : Recipe, or iterable of (float, float or None)
        A recipe with its ingredients, or percent by mass [%] and density [g/mL] of each part; None for a density that nobody knows.

    Returns
    -------
    AdditiveDensity

    Raises
    ------
    QuantityError
        If there are no parts above 0, a percent is below 0, or a density is no density.
    """
    if isinstance(mixture, Recipe):
        rows = [(line.ingredient, line.percent, mixture.ingredients[line.ingredient].density_g_per_ml) for line in mixture.lines]
    else:
        rows = [(f"part {k}", percent, density) for k, (percent, density) in enumerate(mixture, 1)]
    whole = known = volume = Fraction(0)
    unknown: list[str] = []
    for name, percent, density in rows:
        share = exact_number(percent, f"the percent of {name}")
        if share < 0:
            msg = f"{name} stands at {percent} %; a share is 0 % or more"
            raise QuantityError(msg)
        if not share:
            continue
        whole += share
        if density is None:
            unknown.append(name)
        else:
            known += share
            volume += share / check_density(density, name)
    if not whole:
        msg = "a density needs at least one part above 0 %"
        raise QuantityError(msg)
    of_known = float(known / volume) if known else None
    return AdditiveDensity(None if unknown else of_known, of_known, float(100 * known / whole), tuple(dict.fromkeys(unknown)))
