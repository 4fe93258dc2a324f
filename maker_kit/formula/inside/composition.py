"""What is inside a recipe: every line opened into its substances, low–high, and each substance added up over all lines."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType

import pandas as pd

from maker_kit.errors import RecipeError
from maker_kit.formula.kinds import SCENT_NAMES, is_watery
from maker_kit.formula.recipe import SUM_TOLERANCE_PERCENT, Ingredient, Recipe
from maker_kit.names import by_key, name_key
from maker_kit.numbers import exact, exact_share


@dataclass(frozen=True)
class Part:
    """One substance of one ingredient.

    Attributes
    ----------
    substance : str
        INCI name as written.
    low, high : Fraction
        Share of the ingredient, 0 to 1; where the amount is unknown `high` holds only what is known of it.
    unknown : bool
        Whether some of it is there in an amount that nobody has told.
    """

    substance: str
    low: Fraction
    high: Fraction
    unknown: bool = False


@dataclass(frozen=True)
class FoundSubstance:
    """One substance of a recipe, over all lines.

    Attributes
    ----------
    substance : str
        INCI name as first written.
    low, known_high : Fraction
        Least, and most of what is known [% by mass of the whole], exact.
    lines : tuple of str
        Ingredients that bring it.
    unknown_in : tuple of str
        Those of them that bring an amount nobody has told: `low` and `known_high` are then lower bounds.
    """

    substance: str
    low: Fraction
    known_high: Fraction
    lines: tuple[str, ...]
    unknown_in: tuple[str, ...] = ()

    @property
    def unknown(self) -> bool:
        """Whether some of its amount is unknown."""
        return bool(self.unknown_in)

    @property
    def low_percent(self) -> float:
        """Least [% of the whole]."""
        return float(self.low)

    @property
    def high_percent(self) -> float | None:
        """Most [% of the whole]; None where it is unknown."""
        return None if self.unknown_in else float(self.known_high)


@dataclass(frozen=True)
class Expansion:
    """The substances of a recipe, the most abundant first.

    Attributes
    ----------
    rows : tuple of FoundSubstance
    by_name : Mapping of str to FoundSubstance
        By `name_key` of the INCI name.
    inside : Mapping of str to Mapping of str to Part
        For each ingredient of the recipe, what is inside it.
    percent : Mapping of str to Fraction
        Percent of the whole [%] of each ingredient, over all its lines.
    """

    rows: tuple[FoundSubstance, ...]
    inside: Mapping[str, Mapping[str, Part]]
    percent: Mapping[str, Fraction]
    by_name: Mapping[str, FoundSubstance] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_name", MappingProxyType({name_key(r.substance): r for r in self.rows}))

    def find(self, substance: str) -> FoundSubstance | None:
        """The row of a substance, whatever its capitals; None where the recipe does not hold it."""
        return self.by_name.get(name_key(substance))

    def others(self, ingredient: str) -> Callable[[str], Fraction]:
        """What all other lines bring of a substance, by its name, at the known high end [% of the whole]."""
        mine, percent = self.inside.get(ingredient, {}), self.percent.get(ingredient, Fraction(0))

        def bring(substance: str) -> Fraction:
            row, own = self.find(substance), mine.get(name_key(substance))
            return (row.known_high - own.high * percent if own else row.known_high) if row else Fraction(0)

        return bring

    def to_frame(self) -> pd.DataFrame:
        """Substance, least and most [% of the whole], the ingredients that bring it, and those that bring an unknown amount."""
        return pd.DataFrame(
            {
                "substance": [r.substance for r in self.rows],
                "least %": [r.low_percent for r in self.rows],
                "most %": pd.array([r.high_percent for r in self.rows], dtype="Float64"),
                "from": [", ".join(r.lines) for r in self.rows],
                "unknown amount in": [", ".join(r.unknown_in) for r in self.rows],
            }
        )


def open_ingredient(ingredient: Ingredient, known: Mapping[str, Ingredient] | None = None) -> Mapping[str, Part]:
    """What is inside one ingredient, down to single substances.

    A bench-made mixture is opened by what it is made from, a bought one by its composition; a substance that is the name of another known ingredient is opened too.
    Where the water or the scent itself (``Parfum``) is the only name without a figure, the rest is taken for it (100 − the others); any other name without a figure is
    there in an unknown amount.

    Parameters
    ----------
    ingredient : Ingredient
    known : Mapping of str to Ingredient, optional
        Other ingredients by name.

    Returns
    -------
    Mapping of str to Part
        By `name_key` of the INCI name.

    Raises
    ------
    RecipeError
        If a composition is impossible (low above high, least amounts above 100 %), names an unknown ingredient, or contains itself.
    QuantityError
        If a percentage is no number from 0 to 100.
    """
    opened = _open(ingredient, by_key(known or {}), ())
    return MappingProxyType({k: p for k, p in opened.items() if p.high or p.low or p.unknown})


def _open(ingredient: Ingredient, names: Mapping[str, Ingredient], above: tuple[str, ...]) -> dict[str, Part]:
    here = name_key(ingredient.name)
    if here in above:
        msg = f"{ingredient.name} contains itself: {' → '.join((*above, here))}; correct what it is made from"
        raise RecipeError(msg)
    path = (*above, here)
    parts: dict[str, Part] = {}
    if ingredient.made_from:
        _made(ingredient, names, path, parts)
    elif ingredient.inside:
        _bought(ingredient, names, path, parts)
    elif len(ingredient.inci) == 1:
        _add(parts, Part(ingredient.inci[0], Fraction(1), Fraction(1)))
    elif ingredient.inci:
        for name in ingredient.inci:
            _add(parts, Part(name, Fraction(0), Fraction(0), unknown=True))
    else:
        _add(parts, Part(ingredient.name, Fraction(1), Fraction(1), unknown=True))
    return parts


def _made(
    ingredient: Ingredient, names: Mapping[str, Ingredient], path: tuple[str, ...], parts: dict[str, Part]
) -> None:
    total = sum((exact_share(p, f"{n} in {ingredient.name}") for n, p in ingredient.made_from), Fraction(0))
    if abs(total - 100) > exact(SUM_TOLERANCE_PERCENT):
        msg = f"{ingredient.name} is made from parts that add up to {float(total):g} %, not 100; correct a part"
        raise RecipeError(msg)
    for name, percent in ingredient.made_from:
        part = names.get(name_key(name))
        if part is None:
            msg = f'{ingredient.name} is made from "{name}", which is not among the ingredients; add it or correct the name'
            raise RecipeError(msg)
        share = exact(percent) / 100
        _nest(parts, _open(part, names, path), share, share)


def _bought(
    ingredient: Ingredient, names: Mapping[str, Ingredient], path: tuple[str, ...], parts: dict[str, Part]
) -> None:
    lows = highs = Fraction(0)
    told = {name_key(s.substance) for s in ingredient.inside}
    blank = [s.substance for s in ingredient.inside if s.high_percent is None] + [
        n for n in ingredient.inci if name_key(n) not in told
    ]
    opened: set[str] = set()
    for share in ingredient.inside:
        where = f"{share.substance} in {ingredient.name}"
        low = exact_share(share.low_percent, where) / 100 if share.low_percent is not None else Fraction(0)
        high = exact_share(share.high_percent, where) / 100 if share.high_percent is not None else low
        unknown = share.high_percent is None
        if low > high:
            msg = f"{where}: from {share.low_percent} to {share.high_percent} % runs backwards; the low figure comes first"
            raise RecipeError(msg)
        lows, highs = lows + low, highs + high
        nested = names.get(name_key(share.substance))
        if (
            nested is not None
            and name_key(nested.name) != path[-1]
            and name_key(share.substance) not in map(name_key, nested.inci)
        ):
            opened.add(share.substance)
            inner = _open(nested, names, path)
            _nest(
                parts, {k: Part(p.substance, p.low, p.high, p.unknown or unknown) for k, p in inner.items()}, low, high
            )
        elif not unknown or low:
            _add(parts, Part(share.substance, low, high, unknown))
    if lows > 1 + exact(SUM_TOLERANCE_PERCENT) / 100:
        msg = (
            f"what is inside {ingredient.name} adds up to at least {float(100 * lows):g} %; it cannot be more than 100"
        )
        raise RecipeError(msg)
    blank = [name for name in blank if name not in opened]
    rest_is_it = len(blank) == 1 and not opened and (is_watery(blank[0]) or name_key(blank[0]) in SCENT_NAMES)
    for name in blank:
        _add(
            parts,
            Part(name, max(1 - highs, Fraction(0)), max(1 - lows, Fraction(0)))
            if rest_is_it
            else Part(name, Fraction(0), Fraction(0), unknown=True),
        )


def _nest(parts: dict[str, Part], inner: Mapping[str, Part], low: Fraction, high: Fraction) -> None:
    for p in inner.values():
        _add(parts, Part(p.substance, p.low * low, p.high * high, p.unknown))


def _add(parts: dict[str, Part], part: Part) -> None:
    old = parts.get(name_key(part.substance))
    parts[name_key(part.substance)] = (
        part
        if old is None
        else Part(old.substance, old.low + part.low, old.high + part.high, old.unknown or part.unknown)
    )


def expand(recipe: Recipe) -> Expansion:
    """Every substance of a recipe with its least and most, added up over all lines.

    ``low = Σ percent of line × low share``, ``high = Σ percent of line × high share``, in exact arithmetic; names are matched whatever their capitals.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    Expansion

    Raises
    ------
    RecipeError
        If a composition is impossible or contains itself, or a line names an ingredient that the recipe does not know.
    QuantityError
        If a percentage is no number from 0 to 100.
    """
    percent: dict[str, Fraction] = {}
    inside: dict[str, Mapping[str, Part]] = {}
    for line in recipe.lines:
        if line.ingredient not in recipe.ingredients:
            msg = f'{recipe.title} has a line "{line.ingredient}" that is not among its ingredients; add it or correct the name'
            raise RecipeError(msg)
        percent[line.ingredient] = percent.get(line.ingredient, Fraction(0)) + exact_share(
            line.percent, f"{line.ingredient} in {recipe.title}"
        )
    found: dict[str, list[tuple[str, Fraction, Part]]] = {}
    for name, level in percent.items():
        inside[name] = open_ingredient(recipe.ingredients[name], recipe.ingredients)
        if level:
            for k, part in inside[name].items():
                found.setdefault(k, []).append((name, level, part))
    rows = [
        FoundSubstance(
            got[0][2].substance,
            sum((level * p.low for _, level, p in got), Fraction(0)),
            sum((level * p.high for _, level, p in got), Fraction(0)),
            tuple(name for name, _, _ in got),
            tuple(name for name, _, p in got if p.unknown),
        )
        for got in found.values()
    ]
    rows.sort(key=lambda r: (-(r.low + r.known_high), name_key(r.substance)))
    return Expansion(tuple(rows), MappingProxyType(inside), MappingProxyType(percent))
