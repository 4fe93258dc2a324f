"""What is inside a recipe: every line opened into its substances, low–high, and each substance added up over all
lines.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from types import MappingProxyType

import pandas as pd

from maker_kit.errors import RecipeError
from maker_kit.formula.kinds import SCENT_NAMES, is_watery
from maker_kit.formula.recipe import SUM_TOLERANCE_PERCENT, Ingredient, Recipe
from maker_kit.formula.substances.naming import published_name, substance_key
from maker_kit.frames import frame_of
from maker_kit.names import by_key, name_key
from maker_kit.numbers import exact_number, exact_share


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
        INCI name: the published one, or as first written where no table knows it.
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
    inside : Mapping of str to Mapping of str to Part
        For each ingredient of the recipe, what is inside it.
    percent : Mapping of str to Fraction
        Percent of the whole [%] of each ingredient, over all its lines.
    """

    rows: tuple[FoundSubstance, ...]
    inside: Mapping[str, Mapping[str, Part]]
    percent: Mapping[str, Fraction]

    @cached_property
    def by_name(self) -> Mapping[str, FoundSubstance]:
        """The rows by `name_key` of the INCI name."""
        return {name_key(r.substance): r for r in self.rows}

    def find(self, substance: str) -> FoundSubstance | None:
        """The row of a substance, whatever its spelling; None where the recipe does not hold it."""
        return self.by_name.get(name_key(substance)) or self.by_name.get(name_key(published_name(substance)))

    def others(self, ingredient: str) -> Callable[[str], Fraction]:
        """What all other lines bring of a substance, by its name, at the known high end [% of the whole]."""
        mine, percent = self.inside.get(ingredient, {}), self.percent.get(ingredient, Fraction(0))

        def bring(substance: str) -> Fraction:
            row = self.find(substance)
            own = mine.get(name_key(row.substance)) if row else None
            return (row.known_high - own.high * percent if own else row.known_high) if row else Fraction(0)

        return bring

    def to_frame(self) -> pd.DataFrame:
        """Substance, least and most [% of the whole], the ingredients that bring it, and those that bring an unknown
        amount.
        """
        columns = {"substance": "substance", "least %": "low_percent", "most %": "high_percent", "from": "lines"}
        return frame_of(self.rows, {**columns, "unknown amount in": "unknown_in"}, ["most %"])


def open_ingredient(ingredient: Ingredient, known: Mapping[str, Ingredient] | None = None) -> Mapping[str, Part]:
    """What is inside one ingredient, down to single substances.

    A bench-made mixture is opened by what it is made from, a bought one by its composition; a substance that is the
    name of another known ingredient is opened too. Where the water or the scent itself (``Parfum``) is the only name
    without a figure, the rest is taken for it (100 − the others); any other name without a figure is there in an
    unknown amount.

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
        If a composition is impossible (low above high, least amounts above 100 %), names an unknown ingredient, or
        contains itself.
    QuantityError
        If a percentage is no number from 0 to 100.
    """
    parts: dict[str, Part] = {}
    for part in _open(ingredient, by_key(known or {}), ()):
        old = parts.get(name_key(part.substance), Part(part.substance, Fraction(0), Fraction(0)))
        parts[name_key(part.substance)] = Part(
            old.substance, old.low + part.low, old.high + part.high, old.unknown or part.unknown
        )
    return MappingProxyType({k: p for k, p in parts.items() if p.high or p.low or p.unknown})


def _open(thing: Ingredient, names: Mapping[str, Ingredient], above: tuple[str, ...]) -> Iterator[Part]:
    """The parts of an ingredient; a substance comes as often as it is met."""
    here = name_key(thing.name)
    if here in above:
        raise RecipeError(f"{thing.name} contains itself: {' → '.join((*above, here))}; correct what it is made from")
    path = (*above, here)
    if thing.made_from:
        yield from _made(thing, names, path)
    elif thing.inside:
        yield from _bought(thing, names, path)
    elif len(thing.inci) == 1:
        yield Part(published_name(thing.inci[0]), Fraction(1), Fraction(1))
    elif thing.inci:
        yield from (Part(published_name(name), Fraction(0), Fraction(0), unknown=True) for name in thing.inci)
    else:
        yield Part(thing.name, Fraction(1), Fraction(1), unknown=True)


def _made(thing: Ingredient, names: Mapping[str, Ingredient], path: tuple[str, ...]) -> Iterator[Part]:
    shares = [(name, exact_share(percent, f"{name} in {thing.name}") / 100) for name, percent in thing.made_from]
    total = 100 * sum(share for _, share in shares)
    if abs(total - 100) > exact_number(SUM_TOLERANCE_PERCENT):
        raise RecipeError(f"{thing.name} is made from parts that add up to {float(total):g} %, not 100; correct a part")
    for name, share in shares:
        if name_key(name) not in names:
            raise RecipeError(
                f'{thing.name} is made from "{name}", which is not among the ingredients; add it or correct the name'
            )
        for p in _open(names[name_key(name)], names, path):
            yield Part(p.substance, p.low * share, p.high * share, p.unknown)


def _bought(thing: Ingredient, names: Mapping[str, Ingredient], path: tuple[str, ...]) -> Iterator[Part]:
    lows = highs = Fraction(0)
    blank, opened = [], False
    for share in thing.inside:
        key, where, unknown = (
            name_key(share.substance),
            f"{share.substance} in {thing.name}",
            share.high_percent is None,
        )
        low = exact_share(share.low_percent or 0, where) / 100
        high = low if unknown else exact_share(share.high_percent, where) / 100
        if low > high:
            raise RecipeError(
                f"{where}: from {share.low_percent} to {share.high_percent} % runs backwards; the low figure comes "
                "first"
            )
        lows, highs = lows + low, highs + high
        nested = names.get(key)
        if nested is not None and name_key(nested.name) != path[-1] and key not in map(name_key, nested.inci):
            opened = True
            for p in _open(nested, names, path):
                yield Part(p.substance, p.low * low, p.high * high, p.unknown or unknown)
            continue
        if low or not unknown:
            yield Part(published_name(share.substance), low, high, unknown)
        blank += [share.substance] if unknown else []
    if lows > 1 + exact_number(SUM_TOLERANCE_PERCENT) / 100:
        least = f"{float(100 * lows):g}"
        raise RecipeError(f"what is inside {thing.name} adds up to at least {least} %; it cannot be more than 100")
    told = {substance_key(s.substance) for s in thing.inside}
    blank += [n for n in thing.inci if substance_key(n) not in told]
    rest_is_it = len(blank) == 1 and not opened and (is_watery(blank[0]) or name_key(blank[0]) in SCENT_NAMES)
    low, high = (max(1 - x, Fraction(0)) if rest_is_it else Fraction(0) for x in (highs, lows))
    yield from (Part(published_name(name), low, high, unknown=not rest_is_it) for name in blank)


def expand(recipe: Recipe) -> Expansion:
    """Every substance of a recipe with its least and most, added up over all lines.

    ``low = Σ percent of line × low share``, ``high = Σ percent of line × high share``, in exact arithmetic; other
    spellings of a published name, in words or numbers, are that substance, under its published name.

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
    for line in recipe.lines:
        name = line.ingredient
        if name not in recipe.ingredients:
            raise RecipeError(
                f'{recipe.title} has a line "{name}" that is not among its ingredients; add it or correct the name'
            )
        level = exact_share(line.percent, f"{name} in {recipe.title}")
        percent[name] = percent.get(name, Fraction(0)) + level
    inside = {name: open_ingredient(recipe.ingredients[name], recipe.ingredients) for name in percent}
    found: dict[str, list[tuple[str, Fraction, Part]]] = {}
    for name, level in percent.items():
        for k, part in inside[name].items() if level else ():
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
