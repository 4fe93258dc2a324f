"""A bottle is short: four ways on, side by side, each with its percentages, its batch and all flags run again. No way needs more than there is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding
from maker_kit.formula.batch import as_bought, counted, exact_batch_mass
from maker_kit.formula.changes.in_hand import split_stock
from maker_kit.formula.changes.rescaling import (
    containers_in,
    down,
    exact_percents,
    full,
    largest_batch,
    mass_for,
    needs_of,
    with_percents,
)
from maker_kit.formula.changes.shortage import KitCheck, check_kit
from maker_kit.formula.changes.swap import StandIn, percent_in, untested, with_stand_in
from maker_kit.formula.notes.flags import Judge, judge_by, new_findings
from maker_kit.formula.preservation.old_reading import old_reading, without_old_reading
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import number_text

SMALLER, WATER, SWAP, SHORT = "smaller batch", "make up with water", "part swap", "leave short"


@dataclass(frozen=True)
class Way:
    """One way on.

    Attributes
    ----------
    name : str
        ``smaller batch``, ``make up with water`` (or with whatever the balance is), ``part swap``, ``leave short``.
    possible : bool
    text : str
        What is done, in a sentence; why not, where it is not possible.
    recipe : Recipe or None
        With the new percentages; None where it is not possible.
    exact_batch_g : Fraction
        The batch [g].
    containers : int
        Full containers.
    unrounded : float
        The same before rounding down.
    exact_needs_g : Mapping of str to Fraction
        What the batch takes of each bought ingredient [g].
    findings, new_findings : tuple of Finding
        All flags of the new recipe; and those that the recipe as written does not have.
    """

    name: str
    possible: bool
    text: str
    recipe: Recipe | None
    exact_batch_g: Fraction
    containers: int
    unrounded: float
    exact_needs_g: Mapping[str, Fraction]
    findings: tuple[Finding, ...] = ()
    new_findings: tuple[Finding, ...] = ()

    @property
    def batch_mass_g(self) -> float:
        """The batch [g]."""
        return float(self.exact_batch_g)

    @property
    def needs_g(self) -> dict[str, float]:
        """What the batch takes of each bought ingredient [g]."""
        return {name: float(mass) for name, mass in self.exact_needs_g.items()}


@dataclass(frozen=True)
class ShortBottle:
    """What is short, and the ways on.

    Attributes
    ----------
    recipe : Recipe
        As written.
    check : KitCheck
        Need beside have.
    ways : tuple of Way
        The four, in a fixed order; empty where nothing is short.
    """

    recipe: Recipe
    check: KitCheck
    ways: tuple[Way, ...]

    @property
    def short(self) -> tuple[str, ...]:
        """What is short, the scarcest first."""
        return self.check.short

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is short, or that nothing is."""
        return self.check.findings

    def way(self, name: str) -> Way:
        """One of the ways by its name; ``make up with water`` is the one with the balance, whatever that is.

        Raises
        ------
        QuantityError
            If there is no such way.
        """
        for way in self.ways:
            if way.name == name or (name == WATER and way.name.startswith("make up with")):
                return way
        msg = f'there is no way "{name}"; there are: {", ".join(w.name for w in self.ways) or "none, since nothing is short"}'
        raise QuantityError(msg)

    def to_frame(self) -> pd.DataFrame:
        """The ways as a table: way, what is done, full containers, batch [g], new stops, new looks, what they say."""
        return pd.DataFrame(
            {
                "way": [w.name for w in self.ways],
                "what is done": [w.text for w in self.ways],
                "possible": [w.possible for w in self.ways],
                "full containers": [w.containers for w in self.ways],
                "batch g": [w.batch_mass_g for w in self.ways],
                "stops": [sum(f.kind == "stop" for f in w.findings) for w in self.ways],
                "new flags": ["; ".join(f"{f.kind}: {f.text}" for f in w.new_findings) for w in self.ways],
            }
        )

    def percents(self) -> pd.DataFrame:
        """The percentages side by side [% of the whole]: ingredient, as written, and a column a way; blank where a way is not possible."""
        recipes = [self.recipe, *(w.recipe for w in self.ways)]
        names = dict.fromkeys(line.ingredient for r in recipes if r is not None for line in r.lines)
        table = {"ingredient": list(names)}
        for title, r in zip(["as written", *(w.name for w in self.ways)], recipes, strict=True):
            table[title] = pd.array([None if r is None else float(percent_in(r, n)) for n in names], dtype="Float64")
        return pd.DataFrame(table)


def shortage_options(
    recipe: Recipe,
    have: Mapping[str, float],
    makes: int,
    stand_ins: Mapping[str, StandIn] | None = None,
    judge: Judge | None = None,
) -> ShortBottle:
    """Four ways on when something is short: a smaller batch, make up with the balance, a part swap, leave short.

    Smaller batch: everything as written, for as many full containers as the scarcest fills. Make up with water: the same batch, each short line at what there is and the balance at what that leaves.
    Part swap: the same, but the missing part is replaced by a stand-in, gram for gram or by its ratio. Leave short: all other masses as planned, so that the batch is lighter and the other percentages rise.
    What is short once such a plan is written (the stand-in itself, say) makes its batch smaller: no way needs more than there is. Only the smaller batch keeps the pH that was read; the others are other
    recipes, and have to be read again.

    Parameters
    ----------
    recipe : Recipe
    have : Mapping of str to float
        What there is of each ingredient [g], and of the container [pieces]. What is not named is got ready separately and bounds nothing.
    makes : int
        Containers that are wanted.
    stand_ins : Mapping of str to StandIn, optional
        What may be taken instead, by the ingredient that is short.
    judge : callable, optional
        ``judge(recipe, containers)`` gives all findings; limits, scents, preservation and clashes by the published tables unless given.

    Returns
    -------
    ShortBottle

    Raises
    ------
    QuantityError, RecipeError
        As `check_kit` does.
    """
    grams, pieces = split_stock(recipe, have)
    check = check_kit(recipe, grams, makes)
    boxes = pieces.get(recipe.container)
    if not check.short and (boxes is None or boxes >= check.makes):
        return ShortBottle(recipe, check, ())
    judge = judge or judge_by()
    plan = _Plan(recipe, grams, boxes, check.makes, check, judge, judge(recipe, check.makes))
    return ShortBottle(
        recipe, check, (plan.smaller(), plan.made_up(), plan.swapped(stand_ins or {}), plan.left_short())
    )


@dataclass(frozen=True)
class _Plan:
    recipe: Recipe
    have: Mapping[str, Fraction]
    boxes: Fraction | None
    makes: int
    check: KitCheck
    judge: Judge
    before: tuple[Finding, ...]

    @property
    def target(self) -> Fraction:
        return exact_batch_mass(self.recipe, self.makes)

    def kept(self) -> list[Fraction]:
        """Of each line, what there is enough of for the whole batch [%], rounded down where it is short."""
        shares = as_bought(self.recipe, frozenset(self.have))
        factor = {n: self.have[n] * 100 / (self.target * s) for n, s in shares.items() if n in self.have}
        percents = exact_percents(self.recipe)
        result = []
        for line, percent in zip(self.recipe.lines, percents, strict=True):
            parts = (
                [line.ingredient]
                if line.ingredient in self.have
                else as_bought(_alone(self.recipe, line.ingredient), frozenset(self.have))
            )
            least = min((factor[p] for p in parts if p in factor), default=Fraction(1))
            result.append(percent if least >= 1 else down(percent * least))
        return result

    def way(self, name: str, text: str, recipe: Recipe, most: Fraction, extra: tuple[Finding, ...] = ()) -> Way:
        """A way with its batch, shrunk to what there is, and its flags."""
        batch, first = largest_batch(recipe, self.have, most)
        reach = containers_in(recipe, batch)
        count = full(reach if self.boxes is None else min(reach, self.boxes))
        if first and batch < most * Fraction(99999, 100000):
            text += f" Then {first} is what runs out ({number_text(self.have[first])} g there): the batch is {float(batch):.1f} g, {counted(count) if count else 'not even one full container'}."
        found = self.judge(recipe, max(count, 1)) + extra + old_reading(self.recipe, recipe)
        return Way(
            name,
            True,
            text,
            recipe,
            batch,
            count,
            float(reach),
            needs_of(recipe, batch, frozenset(self.have)),
            found,
            new_findings(self.before, found),
        )

    def smaller(self) -> Way:
        count = self.check.full_containers if self.boxes is None else min(self.check.full_containers, full(self.boxes))
        count = min(count, self.makes)
        if not count:
            return _not(
                SMALLER, f"Not possible: {self.check.runs_out_first} is not even enough for one full container."
            )
        batch = mass_for(self.recipe, count)
        text = f"Fill {count} instead of {self.makes}: make {float(batch):.1f} g, everything else as written (have over need {self.check.factor:.3f}, {self.check.unrounded:.2f} containers before rounding down)."
        return self.way(SMALLER, text, self.recipe, batch)

    def made_up(self) -> Way:
        balance = next((line for line in self.recipe.lines if line.balance), None)
        watery = balance is not None and self.recipe.ingredients[balance.ingredient].inci[:1] in {
            ("Aqua",),
            ("Water",),
            ("Eau",),
        }
        name = WATER if balance is None or watery else f"make up with {balance.ingredient}"
        if not self.check.short:
            return _not(name, "Not possible: it is the containers that are short.")
        if balance is None:
            return _not(
                name,
                f"Not possible: {self.recipe.title} has no line marked as the balance that could take up what is missing.",
            )
        percents, kept = exact_percents(self.recipe), self.kept()
        at = self.recipe.lines.index(balance)
        if kept[at] < percents[at]:
            return _not(name, f"Not possible: {balance.ingredient} is itself what is short, or is mixed from it.")
        kept[at] += sum(percents, Fraction(0)) - sum(kept, Fraction(0))
        after = without_old_reading(self.recipe, with_percents(self.recipe, kept))
        return self.way(
            name,
            f"Keep the batch of {float(self.target):.1f} g: {self._moves(after)}; everything else as written.",
            after,
            self.target,
        )

    def swapped(self, stand_ins: Mapping[str, StandIn]) -> Way:
        if not self.check.short:
            return _not(SWAP, "Not possible: it is the containers that are short.")
        percents, kept = exact_percents(self.recipe), self.kept()
        after, extra, taken = self.recipe, [], []
        without = []
        for name in dict.fromkeys(
            line.ingredient for line, p, k in zip(self.recipe.lines, percents, kept, strict=True) if k < p
        ):
            other = stand_ins.get(name)
            if other is None:
                without.append(name)
                continue
            keep = [k for line, k in zip(self.recipe.lines, kept, strict=True) if line.ingredient == name]
            added = sum(line.ingredient == name for line in after.lines) - len(
                keep
            )  # lines that an earlier stand-in brought
            after = with_stand_in(after, name, other, keep + [Fraction(0)] * added)
            missing = (percent_in(self.recipe, name) - sum(keep, Fraction(0))) * self.target / 100
            taken.append(
                f"{float(missing * exact_ratio(other)):.1f} g of {other.ingredient.name} for {float(missing):.1f} g of {name}"
                + (f" ({other.what_changes})" if other.what_changes else "")
            )
            extra.append(untested(name, other))
        if not taken:
            return _not(SWAP, f"Not possible: nothing is on file that may stand in for {', '.join(without)}.")
        text = f"Take {'; '.join(taken)}: {self._moves(after)}. Untested."
        text += f" Nothing is on file that may stand in for {', '.join(without)}." if without else ""
        return self.way(SWAP, text, after, self.target, tuple(extra))

    def left_short(self) -> Way:
        if not self.check.short:
            return _not(SHORT, "Not possible: it is the containers that are short.")
        kept = self.kept()
        whole = sum(exact_percents(self.recipe), Fraction(0))
        total = sum(kept, Fraction(0))
        if not total:
            return _not(SHORT, "Not possible: nothing would be left.")
        after = without_old_reading(self.recipe, with_percents(self.recipe, [k * whole / total for k in kept]))
        batch = self.target * total / whole
        text = f"Weigh everything else as planned and leave {', '.join(self.check.short)} at what there is: the batch is {float(batch):.1f} g instead of {float(self.target):.1f}, and all other percentages rise by a factor of {float(whole / total):.4f}."
        return self.way(SHORT, text, after, batch)

    def _moves(self, after: Recipe) -> str:
        names = dict.fromkeys(line.ingredient for r in (self.recipe, after) for line in r.lines)
        pairs = [(n, percent_in(self.recipe, n), percent_in(after, n)) for n in names]
        return ", ".join(f"{n} {number_text(was)} → {number_text(now)} %" for n, was, now in pairs if was != now)


def exact_ratio(stand_in: StandIn) -> Fraction:
    """Grams of a stand-in for one gram, exactly."""
    return Fraction(str(stand_in.ratio))


def _alone(recipe: Recipe, name: str) -> Recipe:
    return replace(recipe, lines=tuple(line for line in recipe.lines if line.ingredient == name and line.percent > 0))


def _not(name: str, text: str) -> Way:
    return Way(name, False, text, None, Fraction(0), 0, 0.0, {})
