"""One base, many scents: what each scent takes of the base, its load, its allergens and ceilings, its labels, and what
stays over. The bases add up exactly.
"""

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
from maker_kit.frames import frame_of
from maker_kit.numbers import exact_number, number_text
from maker_kit.units import check_density, stated_amount

UNSCENTED = "unscented"


@dataclass(frozen=True)
class ScentShare:
    """What is wanted of one scent; None and a load of 0 for a part that stays unscented.

    Attributes
    ----------
    scent : Ingredient or None
    load_percent : float
        Of the whole [%].
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
        The part, its base and its scent [g]: base and scent make the part.
    scent_ml : float or None
        The scent by volume [mL]; None where its density is unknown.
    recipe : Recipe
        The part as a recipe of its own.
    allergens : tuple of Allergen
    ceiling : FragranceCeiling or None
        The most of this scent here; None where unscented.
    findings : tuple of Finding
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
    title, density_g_per_ml : str, float
        Of the recipe; the base's volume is reckoned with its density [g/mL].
    parts : tuple of ScentPart
    base : tuple of (str, Fraction)
        What the whole base is made of: ingredient and mass [g].
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
        return sum(p.exact_base_g for p in self.parts)

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
        if self.have_base_g is None:
            return None
        return float(exact_number(self.have_base_g, "the base in g") - self.exact_base_g)

    @property
    def labels(self) -> int:
        """Labels in all: one a container."""
        return sum(p.containers for p in self.parts)

    def to_frame(self) -> pd.DataFrame:
        """One row a scent: containers and labels, loads, part, base, scent [g, mL], most [%], allergens, stops."""
        columns = {
            "scent": "scent",
            "containers": "containers",
            "labels": "containers",
            "load %": "load_percent",
            "load on base %": "load_on_base_percent",
            "part g": "mass_g",
            "base g": "base_g",
            "scent g": "scent_g",
            "scent mL": "scent_ml",
            "most %": "ceiling.percent",
            "allergens to name": lambda part: ", ".join(part.on_label) or "none",
            "stops": lambda part: sum(f.kind == "stop" for f in part.findings),
        }
        return frame_of(self.parts, columns, ["scent mL", "most %"])


def split_scents(
    recipe: Recipe,
    shares: Iterable[ScentShare],
    have_base_g: float | Fraction | None = None,
    judge: Judge | None = None,
    limits: Iterable[Limit] | None = None,
) -> Split:
    """Split one base into many scents.

    Of each part of mass ``m = n · V · ρ · (1 + loss / 100) + film`` the scent takes ``m · load / 100`` and the
    base the rest; the base is the recipe without its scent, the same in every part. The load on the base is ``100 ·
    load / (100 − load)``.

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

    Raises
    ------
    QuantityError
        If there are no shares, a count is not whole, a load is none from 0 to below 100 (or 0 with a scent, or above 0
        without one), or the base there is below 0.
    RecipeError
        If nothing but scent is in the recipe, or a base holds the scent as another ingredient's name.
    """
    wanted = tuple(shares)
    if not wanted:
        raise QuantityError(f"{recipe.title} is split into no parts; name at least one scent with its load and count")
    check_sum(recipe)
    pairs = zip(recipe.lines, exact_percents(recipe), strict=True)
    base = [(line, percent) for line, percent in pairs if line.ingredient != recipe.scent]
    whole = sum(p for _, p in base)
    if not whole:
        raise RecipeError(f"{recipe.title} holds nothing but its scent, so there is no base to split")
    have = None if have_base_g is None else stated_amount(have_base_g, "the base that there is").exact
    judge = judge or judge_by(limits or ())
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
        raise QuantityError(
            f"a fragrance load of {float(load):g} % of {name}: write a load above 0 and below 100 % of the whole for a "
            "scent, and 0 where the part stays unscented"
        )
    if any(line.ingredient == name for line, _ in base):
        raise RecipeError(
            f"{name} is a part of the base of {recipe.title} already; its load there and here would be mixed up: name "
            "it as the recipe's scent, or take it out of the base"
        )
    mass = exact_batch_mass(recipe, count)
    scent_g = mass * load / 100
    lines = [line for line, _ in base]
    percents = [p * (100 - load) / whole for _, p in base]
    known = dict(recipe.ingredients)
    if share.scent is not None:
        own = [(k, line.phase) for k, line in enumerate(recipe.lines) if line.ingredient == recipe.scent]
        at, phase = own[0] if own else (len(lines), recipe.lines[-1].phase)
        lines.insert(at, Line(phase, name, 0.0))
        percents.insert(at, load)
        known[name] = share.scent
    scented = replace(recipe, lines=tuple(lines), ingredients=known, scent=name if share.scent else "")
    part, density = with_percents(scented, percents), share.scent.density_g_per_ml if share.scent else None
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
    about = f"base of {recipe.title}"
    if have >= total:
        text = f"{words}: {float(have - total):,.1f} g stay over."
        return know("kit.base_enough", about, text, level="fine", source="arithmetic")
    more = number_text(Fraction(math.ceil((total - have) * 10), 10))
    step = f"make or buy at least {more} g more, or fill fewer containers"
    text = f"{words}: {float(total - have):,.1f} g short."
    return look("kit.base_short", about, text, level="under", next_step=step, source="arithmetic")
