"""A pasted recipe in percent, once every question is answered; and a recipe as text that reads the same again."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pandas as pd

from maker_kit.errors import RecipeError
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.pasted.recipe_text import RecipeText, answered
from maker_kit.formula.recipe import Line
from maker_kit.numbers import exact_number, parts_that_add_up

LEAST_DECIMALS, MOST_DECIMALS = 4, 9
"""Decimals of a percent: at least 4, and more where the smallest line would keep less than three figures."""


@dataclass(frozen=True)
class PercentRecipe:
    """The lines of a recipe in percent by mass of the whole.

    Attributes
    ----------
    lines : tuple of Line
    masses_g : tuple of float or None
        Of each line [g]; None for a recipe that was written in percent alone.
    total_g : float or None
        The whole [g].
    before_g, before_percent : float or None
        What the lines came to as written, without the one that takes the rest [g, %].
    notes : tuple of str
        What was put together, set aside or answered.
    ingredients : Mapping of str to Ingredient
        Those on file.
    new : tuple of str
        Names that are not on file; an ingredient needs a row before its recipe can be saved.
    """

    lines: tuple[Line, ...]
    masses_g: tuple[float | None, ...]
    total_g: float | None
    before_g: float | None
    before_percent: float | None
    notes: tuple[str, ...]
    ingredients: Mapping[str, Ingredient]
    new: tuple[str, ...]

    @property
    def after_percent(self) -> float:
        """What the lines come to now [%]."""
        return float(sum(exact_number(line.percent) for line in self.lines))

    def to_frame(self) -> pd.DataFrame:
        """The lines as a table: phase, ingredient, mass [g], percent, note."""
        rows = [
            (n.phase, n.ingredient, g, n.percent, "; ".join(self._notes(n)))
            for n, g in zip(self.lines, self.masses_g, strict=True)
        ]
        return pd.DataFrame(rows, columns=["phase", "ingredient", "mass [g]", "percent", "note"])

    def _notes(self, line: Line) -> list[str]:
        told = {"takes the rest": line.balance, "not on file": line.ingredient in self.new}
        return [note for note, holds in told.items() if holds]

    def sums_frame(self) -> pd.DataFrame:
        """The sums before and after as a table: what, mass [g], percent."""
        return pd.DataFrame(
            [
                ("as written, without the line that takes the rest", self.before_g, self.before_percent),
                ("now", self.total_g, self.after_percent),
            ],
            columns=["what", "mass [g]", "percent"],
        )


def to_percent(parsed: RecipeText, answers: Mapping[str, object] | None = None) -> PercentRecipe:
    """The recipe in percent by mass of the whole.

    Percents that do not end are rounded so that the lines still make 100 (the largest remainders go up); a percent that
    was written stays as written.

    Parameters
    ----------
    parsed : RecipeText
    answers : Mapping of str to object, optional
        More answers, each under its question's key.

    Raises
    ------
    RecipeError
        If a question is still open; all of them are named.
    UnknownNameError, QuantityError
        As `read_recipe_text` raises them.
    """
    read = answered(parsed, answers or {})
    if read.questions or not read.whole.percents:
        still = "; ".join(f"{q.key}: {q.text}" for q in read.questions[:8])
        more = f"; and {len(read.questions) - 8} more" if len(read.questions) > 8 else ""
        raise RecipeError(f"the recipe cannot be put into percent before these are answered: {still}{more}")
    merged: dict[tuple[str, str], tuple[Fraction, Fraction | None, bool]] = {}
    notes = list(read.notes)
    for line, percent, mass in zip(read.lines, read.whole.percents, read.whole.masses_g, strict=True):
        key = (line.phase, line.ingredient)
        if key in merged:
            notes.append(f"{line.ingredient} stands more than once in phase {line.phase}; the lines are put together.")
            level, weight, rest = merged[key]
            both = None if mass is None or weight is None else weight + mass
            merged[key] = (level + percent, both, rest or line.balance)
        else:
            merged[key] = (percent, mass, line.balance)
    percents = rounded(tuple(p for p, _, _ in merged.values()))
    one_rest = sum(rest for _, _, rest in merged.values()) == 1
    lines = tuple(
        Line(phase, name, float(p), rest and one_rest)
        for ((phase, name), (_, _, rest)), p in zip(merged.items(), percents, strict=True)
    )
    names = {line.ingredient: None for line in lines}
    return PercentRecipe(
        lines,
        tuple(None if m is None else float(m) for _, m, _ in merged.values()),
        _float(read.whole.total_g),
        _float(read.whole.before_g),
        _float(read.whole.before_percent),
        tuple(dict.fromkeys(notes)),
        {n: read.known[n] for n in names if n in read.known},
        tuple(n for n in names if n not in read.known),
    )


def _float(number: Fraction | None) -> float | None:
    return None if number is None else float(number)


def rounded(percents: tuple[Fraction, ...]) -> tuple[Decimal, ...]:
    """Exact percents at so many decimals that they keep their sum; see `parts_that_add_up`."""
    smallest = min((p for p in percents if p > 0), default=Fraction(1))
    decimals = min(MOST_DECIMALS, max(LEAST_DECIMALS, 2 - math.floor(math.log10(smallest))))
    units = parts_that_add_up([p * 10**decimals for p in percents])
    return tuple(Decimal(u).scaleb(-decimals) for u in units)
