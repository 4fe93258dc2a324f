"""One ingredient or scent for another: the recipe with the stand-in, and everything that changes.

A swap is untested until a batch was made and watched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.findings import Finding, in_order, look
from maker_kit.formula.changes.rescaling import exact_percents, percent_in, with_percents
from maker_kit.formula.density import AdditiveDensity, additive_density
from maker_kit.formula.kinds import is_scent
from maker_kit.formula.notes.allergens import Allergen, allergens
from maker_kit.formula.notes.flags import Judge, judge_by, new_findings
from maker_kit.formula.preservation.old_reading import old_reading, without_old_reading
from maker_kit.formula.recipe import Ingredient, Line, Recipe, check_sum
from maker_kit.numbers import exact_number, number_text

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class StandIn:
    """What may be taken instead of an ingredient.

    Attributes
    ----------
    ingredient : Ingredient
    ratio : float
        Grams of it for one gram of what it replaces, above 0.
    what_changes : str
        In the maker's own words.
    known : Mapping of str to Ingredient
        What it is mixed from at the bench, if it is.
    """

    ingredient: Ingredient
    ratio: float = 1.0
    what_changes: str = ""
    known: dict[str, Ingredient] = field(default_factory=dict)


COLUMNS = ["what", "before", "after", "note"]


@dataclass(frozen=True)
class SwapResult:
    """A swap and all that it changes.

    Attributes
    ----------
    old, new : str
        What is taken out, and what goes in.
    ratio : float
        Grams of the new for one gram of the old.
    before, after : Recipe
    findings : tuple of Finding
        All flags of the recipe after the swap, that it is untested, and that its pH has to be read again; the gravest
        first.
    new_findings, gone_findings : tuple of Finding
        What was not said before, and what is no longer said.
    allergens_before, allergens_after : tuple of Allergen
    density_before, density_after : AdditiveDensity
        By the additive rule.
    """

    old: str
    new: str
    ratio: float
    before: Recipe
    after: Recipe
    findings: tuple[Finding, ...]
    new_findings: tuple[Finding, ...]
    gone_findings: tuple[Finding, ...]
    allergens_before: tuple[Allergen, ...]
    allergens_after: tuple[Allergen, ...]
    density_before: AdditiveDensity
    density_after: AdditiveDensity

    @property
    def clashes(self) -> tuple[Finding, ...]:
        """The known clashes after the swap."""
        return tuple(f for f in self.findings if f.topic == "clash")

    def to_frame(self) -> pd.DataFrame:
        """What changes as a table: what, before, after, note.

        Percentages of the lines that change, density, allergens to name, and every finding that comes or goes with its
        source.
        """
        return pd.concat([self.changes_to_frame(), self.notes_to_frame()], ignore_index=True)

    def changes_to_frame(self) -> pd.DataFrame:
        """Of `to_frame` what is no finding: percentages, density, allergens to name."""
        names = dict.fromkeys(line.ingredient for r in (self.before, self.after) for line in r.lines)
        levels = [(name, percent_in(self.before, name), percent_in(self.after, name)) for name in names]
        rows = [(f"{name} [%]", number_text(was), number_text(now), "") for name, was, now in levels if was != now]
        densities = (_density(self.density_before), _density(self.density_after), self.density_after.error)
        named = (_names(self.allergens_before), _names(self.allergens_after), "over the threshold, or unknown")
        rows += [("density, additive [g/mL]", *densities), ("allergens to name", *named)]
        return pd.DataFrame(rows, columns=COLUMNS)

    def notes_to_frame(self) -> pd.DataFrame:
        """Of `to_frame` the findings that come or go."""
        rows = [(f"{f.kind}: {f.subject}", "", f.text, f.source) for f in self.new_findings]
        rows += [(f"{f.kind}: {f.subject}", f.text, "", f.source) for f in self.gone_findings]
        return pd.DataFrame(rows, columns=COLUMNS)


def with_stand_in(recipe: Recipe, old: str, stand_in: StandIn, keep: Sequence[Fraction] | None = None) -> Recipe:
    """The recipe with a stand-in for all or a part of one ingredient; the sum of the lines stays what it was. A scent
    line stays one only where a scent stands in.

    A part of ``freed`` percent goes out and ``freed · ratio`` comes in; the balance line takes the difference. In a
    phase that holds the stand-in already, the two lines become one. The pH that was read is that of the recipe before,
    and is not taken along.

    Parameters
    ----------
    recipe : Recipe
    old : str
        Ingredient to take out.
    stand_in : StandIn
    keep : sequence of Fraction, optional
        For each line of `old`, the percent that stays [% of the whole]; nothing stays unless given.

    Returns
    -------
    Recipe

    Raises
    ------
    UnknownNameError
        If no line holds `old`.
    QuantityError
        If the ratio is no number above 0.
    RecipeError
        If old and new are the same, or a ratio other than 1 meets a recipe whose balance cannot take the difference.
    """
    recipe.percent_of(old)
    new = stand_in.ingredient.name
    ratio = exact_number(stand_in.ratio, f"the ratio of {new} to {old}")
    if ratio <= 0:
        raise QuantityError(
            f"{float(ratio):g} g of {new} for one gram of {old}: a ratio is above 0; write 1 to take as much as before"
        )
    if new == old:
        raise RecipeError(f"{new} would stand in for itself; name another ingredient")
    percents = exact_percents(recipe)
    at = [k for k, line in enumerate(recipe.lines) if line.ingredient == old]
    kept = dict(zip(at, keep or [Fraction(0)] * len(at), strict=True))
    lines = list(recipe.lines)
    shares = list(percents)
    whole = keep is None or not any(kept.values())
    rest = Fraction(0)
    for k in at:
        freed = percents[k] - kept[k]
        rest += freed * (1 - ratio)
        host = next(
            (j for j, line in enumerate(lines) if line.ingredient == new and line.phase == lines[k].phase), None
        )
        if host is not None:
            shares[host] += freed * ratio
            shares[k] = kept[k]
            if whole and lines[k].balance:
                lines[host] = replace(lines[host], balance=True)
                lines[k] = replace(lines[k], balance=False)
        elif whole:
            lines[k], shares[k] = replace(lines[k], ingredient=new), freed * ratio
        else:
            shares[k] = kept[k]
            lines.append(Line(lines[k].phase, new, 0.0))
            shares.append(freed * ratio)
    if rest:
        _give_to_balance(recipe, lines, shares, rest, old, new, ratio)
    pairs = [(line, p) for line, p in zip(lines, shares, strict=True) if not (whole and line.ingredient == old)]
    trial = replace(
        recipe,
        lines=tuple(line for line, _ in pairs),
        ingredients={**recipe.ingredients, **stand_in.known, new: stand_in.ingredient},
        scent=(new if is_scent(stand_in.ingredient) else "") if whole and recipe.scent == old else recipe.scent,
        thickener=new if whole and recipe.thickener == old else recipe.thickener,
    )
    return check_sum(without_old_reading(recipe, with_percents(trial, [p for _, p in pairs])))


def _give_to_balance(
    recipe: Recipe, lines: list[Line], shares: list[Fraction], rest: Fraction, old: str, new: str, ratio: Fraction
) -> None:
    at = next((k for k, line in enumerate(lines) if line.balance), None)
    if at is None:
        raise RecipeError(
            f"{recipe.title} has no line marked as the balance, so {new} can stand in for {old} only gram for gram, "
            f"not {float(ratio):g} g for one"
        )
    if lines[at].ingredient in {old, new}:
        raise RecipeError(
            f"{old} or {new} is the balance of {recipe.title} and makes up 100 itself: it is taken gram for gram, not "
            f"{float(ratio):g} g for one"
        )
    shares[at] += rest
    if shares[at] < 0:
        raise RecipeError(
            f"{new} for {old}, {float(ratio):g} g for one, leaves {lines[at].ingredient} at {number_text(shares[at])} "
            "%, below zero: take a smaller part"
        )


def swap(
    recipe: Recipe, old: str, stand_in: StandIn | Ingredient, judge: Judge | None = None, containers: int = 1
) -> SwapResult:
    """Take another ingredient or scent, and judge everything again: the new one's own limits and certificates count,
    not those of the old one.

    Parameters
    ----------
    recipe : Recipe
    old : str
        Ingredient to take out.
    stand_in : StandIn or Ingredient
        An ingredient alone is taken gram for gram.
    judge : callable, optional
        ``judge(recipe, containers)`` gives all findings; limits, scents, preservation and clashes by the published
        tables unless given.
    containers : int
        What the judge is asked for.

    Returns
    -------
    SwapResult

    Raises
    ------
    UnknownNameError, QuantityError, RecipeError
        As `with_stand_in` does.
    """
    taken = stand_in if isinstance(stand_in, StandIn) else StandIn(stand_in)
    after = with_stand_in(recipe, old, taken)
    judge = judge or judge_by()
    was, now = judge(recipe, containers), judge(after, containers)
    notes = (untested(old, taken), *old_reading(recipe, after))
    return SwapResult(
        old,
        taken.ingredient.name,
        float(taken.ratio),
        recipe,
        after,
        in_order((*now, *notes)),
        (*new_findings(was, now), *notes),
        new_findings(now, was),
        allergens(recipe),
        allergens(after),
        additive_density(recipe),
        additive_density(after),
    )


def untested(old: str, stand_in: StandIn) -> Finding:
    """That a swap is untested, with what is known to change."""
    new = stand_in.ingredient.name
    known = f" Known to change: {stand_in.what_changes}." if stand_in.what_changes else ""
    return look(
        "swap.untested",
        new,
        f"{new} for {old} is untested: how it feels, keeps and holds together is unknown.{known}",
        level="unknown",
        next_step="Make a small batch, watch it, and read pH and thickness again before relying on it.",
        source=PRACTICE,
    )


def _names(rows: Sequence[Allergen]) -> str:
    return ", ".join(a.substance + ("" if a.level == "over" else " (unknown)") for a in rows if a.on_label) or "none"


def _density(found: AdditiveDensity) -> str:
    return (
        f"{found.density_g_per_ml:.3f}"
        if found.density_g_per_ml is not None
        else f"unknown ({', '.join(found.unknown)} not known)"
    )
