"""One base, many scents: what each scent takes of the base, its load, its allergens and ceilings, its labels, and what stays over. The bases add up exactly."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.findings import Finding, in_order, know, look
from maker_kit.formula.batch import check_containers, exact_batch_mass
from maker_kit.formula.changes.rescaling import exact_percents, with_percents
from maker_kit.formula.limits.fragrance import FragranceCeiling, fragrance_ceiling
from maker_kit.formula.limits.law import limits_of
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.notes.allergens import Allergen, allergens
from maker_kit.formula.notes.flags import Judge, judge_by
from maker_kit.formula.recipe import Ingredient, Line, Recipe, check_sum
from maker_kit.numbers import in_words
from maker_kit.units import check_density, exact_number

UNSCENTED = "unscented"


@dataclass(frozen=True)
class ScentShare:
    """What is wanted of one scent.

    Attributes
    ----------
    scent : Ingredient or None
        None for a part that stays unscented.
    load_percent : float
        Fragrance load of the whole [%]; 0 where unscented.
    containers : int
    """

    scent: Ingredient | None
    load_percent: float
    containers: int


@dataclass(frozen=True)
class ScentPart:
    """One scent of a split.

    Attributes
    ----------
    scent : str
    containers : int
        Also the labels it takes.
    load_percent, load_on_base_percent : float
        Fragrance load of the whole and on the base [%].
    exact_mass_g, exact_base_g, exact_scent_g : Fraction
        The part, its base and its scent [g], exactly: base and scent make the part.
    scent_ml : float or None
        The scent by volume [mL]; None where its density is unknown.
    recipe : Recipe
        The part as a recipe of its own: the same base, this scent.
    allergens : tuple of Allergen
    ceiling : FragranceCeiling or None
        The most of this scent here; None where unscented.
    findings : tuple of Finding
        All flags of the part.
    """

    scent: str
    containers: int
    load_percent: float
    load_on_base_percent: float
    exact_mass_g: Fraction
    exact_base_g: Fraction
    exact_scent_g: Fraction
    scent_ml: float | None
    recipe: Recipe
    allergens: tuple[Allergen, ...]
    ceiling: FragranceCeiling | None
    findings: tuple[Finding, ...]

    @property
    def mass_g(self) -> float:
        """The part [g]."""
        return float(self.exact_mass_g)

    @property
    def base_g(self) -> float:
        """Its base [g]."""
        return float(self.exact_base_g)

    @property
    def scent_g(self) -> float:
        """Its scent [g]."""
        return float(self.exact_scent_g)

    @property
    def on_label(self) -> tuple[str, ...]:
        """Allergens that its label names, or may have to."""
        return tuple(a.substance for a in self.allergens if a.on_label)


@dataclass(frozen=True)
class Split:
    """One base in many scents.

    Attributes
    ----------
    title : str
        Of the recipe.
    parts : tuple of ScentPart
    base : tuple of (str, Fraction)
        What the whole base is made of: ingredient and mass [g].
    density_g_per_ml : float
        Density that the base's volume is reckoned with: the recipe's [g/mL].
    have_base_g : float or None
        Base that there is [g]; None where it was not said.
    findings : tuple of Finding
        Of all parts, with the scent before the subject, and whether the base is enough.
    """

    title: str
    parts: tuple[ScentPart, ...]
    base: tuple[tuple[str, Fraction], ...]
    density_g_per_ml: float
    have_base_g: float | None
    findings: tuple[Finding, ...]

    @property
    def exact_base_g(self) -> Fraction:
        """The whole base [g], exactly: the sum of the parts'."""
        return sum((p.exact_base_g for p in self.parts), Fraction(0))

    @property
    def base_g(self) -> float:
        """The whole base [g]."""
        return float(self.exact_base_g)

    @property
    def base_ml(self) -> float:
        """The whole base by volume [mL]."""
        return float(self.exact_base_g / check_density(self.density_g_per_ml, self.title))

    @property
    def remainder_g(self) -> float | None:
        """Base that stays over [g], below 0 where it is short; None where it was not said how much there is."""
        return (
            None
            if self.have_base_g is None
            else float(exact_number(self.have_base_g, "the base in g") - self.exact_base_g)
        )

    @property
    def labels(self) -> int:
        """Labels in all: one a container."""
        return sum(p.containers for p in self.parts)

    def to_frame(self) -> pd.DataFrame:
        """The split as a table: scent, containers and labels, load of the whole and on the base [%], part, base and scent [g], scent [mL], most [%], allergens to name, stops."""
        return pd.DataFrame(
            {
                "scent": [p.scent for p in self.parts],
                "containers": [p.containers for p in self.parts],
                "labels": [p.containers for p in self.parts],
                "load %": [p.load_percent for p in self.parts],
                "load on base %": [p.load_on_base_percent for p in self.parts],
                "part g": [p.mass_g for p in self.parts],
                "base g": [p.base_g for p in self.parts],
                "scent g": [p.scent_g for p in self.parts],
                "scent mL": pd.array([p.scent_ml for p in self.parts], dtype="Float64"),
                "most %": pd.array([p.ceiling.percent if p.ceiling else None for p in self.parts], dtype="Float64"),
                "allergens to name": [", ".join(p.on_label) or "none" for p in self.parts],
                "stops": [sum(f.kind == "stop" for f in p.findings) for p in self.parts],
            }
        )


def split_scents(
    recipe: Recipe,
    shares: Iterable[ScentShare],
    have_base_g: float | Fraction | None = None,
    judge: Judge | None = None,
    limits: Iterable[Limit] | None = None,
) -> Split:
    """Split one base into many scents.

    Of each part of mass ``m = n · V · ρ · (1 + loss / 100) + film`` the scent takes ``m · load / 100`` and the base the rest; the base is the recipe without its scent, the same in every part.
    The load on the base is ``100 · load / (100 − load)``.

    Parameters
    ----------
    recipe : Recipe
        With its own scent line, which is left out of the base; without one, all of it is the base.
    shares : iterable of ScentShare
    have_base_g : float or Fraction, optional
        Base that there is [g].
    judge : callable, optional
        ``judge(recipe, containers)`` gives all findings; by the published tables unless given.
    limits : iterable of Limit, optional
        The maker's own, beside the published ones.

    Returns
    -------
    Split

    Raises
    ------
    QuantityError
        If there are no shares, a count is not whole, a load is none from 0 to below 100 (or 0 with a scent, or above 0 without one), or the base there is below 0.
    RecipeError
        If nothing but scent is in the recipe, or a base holds the scent as another ingredient's name.
    """
    wanted = tuple(shares)
    if not wanted:
        msg = f"{recipe.title} is split into no parts; name at least one scent with its load and count"
        raise QuantityError(msg)
    check_sum(recipe)
    base = [
        (line, p)
        for line, p in zip(recipe.lines, exact_percents(recipe), strict=True)
        if line.ingredient != recipe.scent
    ]
    whole = sum((p for _, p in base), Fraction(0))
    if not whole:
        msg = f"{recipe.title} holds nothing but its scent, so there is no base to split"
        raise RecipeError(msg)
    have = None if have_base_g is None else exact_number(have_base_g, "the base there is in g")
    if have is not None and have < 0:
        msg = f"{float(have):g} g of base: what is there is 0 g or more"
        raise QuantityError(msg)
    judge = judge or judge_by(limits)
    parts = tuple(_part(recipe, share, base, whole, judge, tuple(limits or ())) for share in wanted)
    total = sum((p.exact_base_g for p in parts), Fraction(0))
    made = {}
    for line, p in base:
        made[line.ingredient] = made.get(line.ingredient, Fraction(0)) + total * p / whole
    found = [replace(f, subject=f"{p.scent}: {f.subject}") for p in parts for f in p.findings]
    if have is not None:
        found.append(_enough(recipe, have, total))
    return Split(
        recipe.title,
        parts,
        tuple(made.items()),
        recipe.density_g_per_ml,
        None if have is None else float(have),
        in_order(found),
    )


def _part(
    recipe: Recipe,
    share: ScentShare,
    base: Sequence[tuple[Line, Fraction]],
    whole: Fraction,
    judge: Judge,
    limits: tuple[Limit, ...],
) -> ScentPart:
    name = share.scent.name if share.scent else UNSCENTED
    count = check_containers(share.containers)
    load = exact_number(share.load_percent, f"the load of {name}")
    if not 0 <= load < 100 or (load > 0) != (share.scent is not None):
        msg = f"a fragrance load of {float(load):g} % of {name}: write a load above 0 and below 100 % of the whole for a scent, and 0 where the part stays unscented"
        raise QuantityError(msg)
    if any(line.ingredient == name for line, _ in base):
        msg = f"{name} is a part of the base of {recipe.title} already; its load there and here would be mixed up: name it as the recipe's scent, or take it out of the base"
        raise RecipeError(msg)
    mass = exact_batch_mass(recipe, count)
    scent_g = mass * load / 100
    lines = [line for line, _ in base]
    percents = [p * (100 - load) / whole for _, p in base]
    known = dict(recipe.ingredients)
    if share.scent is not None:
        phase = next((line.phase for line in recipe.lines if line.ingredient == recipe.scent), recipe.lines[-1].phase)
        at = next((k for k, line in enumerate(recipe.lines) if line.ingredient == recipe.scent), len(lines))
        lines.insert(at, Line(phase, name, 0.0))
        percents.insert(at, load)
        known[name] = share.scent
    part = with_percents(
        replace(recipe, lines=tuple(lines), ingredients=known, scent=name if share.scent else ""), percents
    )
    density = share.scent.density_g_per_ml if share.scent else None
    return ScentPart(
        name,
        count,
        float(load),
        float(100 * load / (100 - load)),
        mass,
        mass - scent_g,
        scent_g,
        None if density is None else float(scent_g / check_density(density, name)),
        part,
        allergens(part),
        fragrance_ceiling(share.scent, part.product_type, limits_of(part, limits), part) if share.scent else None,
        judge(part, count),
    )


def _enough(recipe: Recipe, have: Fraction, total: Fraction) -> Finding:
    words = f"The parts take {float(total):,.1f} g of base, {float(have):,.1f} g are there"
    if have < total:
        step = f"make or buy at least {in_words(_up(total - have))} g more, or fill fewer containers"
        return look(
            "kit.under",
            f"base of {recipe.title}",
            f"{words}: {float(total - have):,.1f} g short.",
            level="under",
            next_step=step,
            source="arithmetic",
        )
    return know(
        "kit.fine",
        f"base of {recipe.title}",
        f"{words}: {float(have - total):,.1f} g stay over.",
        level="fine",
        source="arithmetic",
    )


def _up(mass: Fraction) -> Fraction:
    return Fraction(math.ceil(mass * 10), 10)
