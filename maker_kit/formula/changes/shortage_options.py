"""A bottle is short: four options side by side, each with its percentages, its batch and all flags run again.

No option needs more than there is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

import pandas as pd

from maker_kit.findings import Finding
from maker_kit.formula.batch import as_bought, containers_in, counted, exact_batch_mass, filled, needs_of
from maker_kit.formula.changes.in_hand import split_stock
from maker_kit.formula.changes.rescaling import STEP, exact_percents, largest_batch, percent_in, with_percents
from maker_kit.formula.changes.shortage import KitCheck, check_kit
from maker_kit.formula.changes.swap import StandIn, untested, with_stand_in
from maker_kit.formula.notes.flags import Judge, judge_by, new_findings
from maker_kit.formula.preservation.old_reading import old_reading, without_old_reading
from maker_kit.formula.recipe import Recipe
from maker_kit.frames import frame_of
from maker_kit.names import look_up, name_key
from maker_kit.numbers import exact_number, floor_to, number_text

SMALLER, MAKE_UP, SWAP, SHORT = "smaller batch", "make up", "part swap", "leave short"
"""The options, for logic."""


@dataclass(frozen=True)
class ShortageOption:
    """One thing to do when a bottle is short.

    Attributes
    ----------
    code : {'smaller batch', 'make up', 'part swap', 'leave short'}
    name : str
        The same in words: ``make up with water``, or with whatever the balance is.
    text : str
        What is done, in a sentence; why not, where it is not possible.
    recipe : Recipe or None
        With the new percentages; None where it is not possible.
    exact_batch_g : Fraction
        The batch [g].
    containers, unrounded : int, float
        Full containers, and before rounding down.
    exact_needs_g : Mapping of str to Fraction
        What the batch takes of each bought ingredient [g].
    findings, new_findings : tuple of Finding
        All flags of the new recipe; and those that the recipe as written does not have.
    """

    code: str
    name: str
    text: str
    recipe: Recipe | None = None
    exact_batch_g: Fraction = Fraction(0)
    containers: int = 0
    unrounded: float = 0.0
    exact_needs_g: Mapping[str, Fraction] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    new_findings: tuple[Finding, ...] = ()

    @property
    def possible(self) -> bool:
        """Whether it can be done."""
        return self.recipe is not None

    @property
    def batch_mass_g(self) -> float:
        """The batch [g]."""
        return float(self.exact_batch_g)


@dataclass(frozen=True)
class Shortage:
    """What is short, and the options.

    Attributes
    ----------
    recipe, check : Recipe, KitCheck
        As written, and need beside have.
    options : tuple of ShortageOption
        The four, in a fixed order; empty where nothing is short.
    """

    recipe: Recipe
    check: KitCheck
    options: tuple[ShortageOption, ...]

    @property
    def short(self) -> tuple[str, ...]:
        """What is short, the scarcest first."""
        return self.check.short

    def option(self, code: str) -> ShortageOption:
        """One of the options by its code. Raises UnknownNameError if there is none: nothing is short then."""
        why = "there is no such option" if self.options else "nothing is short"
        return look_up(code, {option.code: option for option in self.options}, f'no "{code}", since {why}')

    def to_frame(self) -> pd.DataFrame:
        """One row an option: what is done, possible, full containers, batch [g], stops, new flags (a line each)."""
        columns = {"way": "name", "what is done": "text", "possible": "possible", "full containers": "containers"}
        columns |= {
            "batch g": "batch_mass_g",
            "stops": lambda option: sum(f.kind == "stop" for f in option.findings),
            "new flags": lambda option: "\n".join(f"{f.kind}: {f.text}" for f in option.new_findings),
        }
        return frame_of(self.options, columns)

    def percents(self) -> pd.DataFrame:
        """The percentages side by side [% of the whole]: as written, and a column an option; blank where it is not
        possible.
        """
        recipes = {"as written": self.recipe, **{option.name: option.recipe for option in self.options}}
        names = dict.fromkeys(line.ingredient for r in recipes.values() if r is not None for line in r.lines)
        levels = {t: [None if r is None else float(percent_in(r, n)) for n in names] for t, r in recipes.items()}
        return pd.DataFrame({"ingredient": list(names), **levels}).astype(dict.fromkeys(recipes, "Float64"))


def shortage_options(
    recipe: Recipe,
    have: Mapping[str, float],
    makes: int,
    stand_ins: Mapping[str, StandIn] | None = None,
    judge: Judge | None = None,
) -> Shortage:
    """Four ways on when something is short: a smaller batch, make up with the balance, a part swap, leave short.

    Smaller batch: everything as written, for as many full containers as the scarcest fills. Make up with water: the
    same batch, each short line at what there is and the balance at what that leaves. Part swap: the same, but the
    missing part is replaced by a stand-in, gram for gram or by its ratio. Leave short: all other masses as planned, so
    that the batch is lighter and the other percentages rise. What is short once such a plan is written (the stand-in
    itself, say) makes its batch smaller: no way needs more than there is. Only the smaller batch keeps the pH that was
    read; the others are other recipes, and have to be read again.

    Parameters
    ----------
    recipe : Recipe
    have : Mapping of str to float
        What there is of each ingredient [g], and of the container [pieces]. What is not named is got ready separately
        and bounds nothing.
    makes : int
        Containers that are wanted.
    stand_ins : Mapping of str to StandIn, optional
        What may be taken instead, by the ingredient that is short.
    judge : callable, optional
        ``judge(recipe, containers)`` gives all findings; limits, scents, preservation and clashes by the published
        tables unless given.

    Returns
    -------
    Shortage

    Raises
    ------
    QuantityError, RecipeError
        As `check_kit` does.
    """
    grams, pieces = split_stock(recipe, have)
    check = check_kit(recipe, grams, makes)
    boxes = pieces.get(recipe.container)
    if not check.short and (boxes is None or boxes >= check.makes):
        return Shortage(recipe, check, ())
    judge = judge or judge_by()
    plan = _Plan(recipe, grams, boxes, check.makes, check, judge, judge(recipe, check.makes))
    return Shortage(recipe, check, (plan.smaller(), plan.made_up(), plan.swapped(stand_ins or {}), plan.left_short()))


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
        result = []
        for line, percent in zip(self.recipe.lines, exact_percents(self.recipe), strict=True):
            alone = replace(self.recipe, lines=(replace(line, percent=100.0),))
            least = min((factor[p] for p in as_bought(alone, frozenset(self.have)) if p in factor), default=Fraction(1))
            result.append(percent if least >= 1 else floor_to(percent * least, STEP))
        return result

    def option(
        self, code: str, text: str, recipe: Recipe, most: Fraction, extra: tuple[Finding, ...] = (), name: str = ""
    ) -> ShortageOption:
        """An option with its batch, shrunk to what there is, and its flags."""
        batch, first = largest_batch(recipe, self.have, most)
        reach = containers_in(recipe, batch)
        count = math.floor(reach if self.boxes is None else min(reach, self.boxes))
        if first and batch < most * Fraction(99999, 100000):
            text += (
                f" Then {first} is what runs out ({number_text(self.have[first])} g there): the batch is "
                f"{float(batch):.1f} g, {counted(count) if count else filled(0)}."
            )
        found = self.judge(recipe, max(count, 1)) + extra + old_reading(self.recipe, recipe)
        needs = needs_of(recipe, batch, frozenset(self.have))
        new = new_findings(self.before, found)
        return ShortageOption(code, name or code, text, recipe, batch, count, float(reach), needs, found, new)

    def smaller(self) -> ShortageOption:
        count = min(self.check.full_containers, self.makes)
        count = count if self.boxes is None else min(count, math.floor(self.boxes))
        if not count:
            return _not(SMALLER, f"{self.check.runs_out_first} is not even enough for one full container.")
        batch = exact_batch_mass(self.recipe, count)
        text = (
            f"Fill {count} instead of {self.makes}: make {float(batch):.1f} g, everything else as written (have over "
            f"need {self.check.factor:.3f}, {self.check.unrounded:.2f} containers before rounding down)."
        )
        return self.option(SMALLER, text, self.recipe, batch)

    def made_up(self) -> ShortageOption:
        at = next((k for k, line in enumerate(self.recipe.lines) if line.balance), None)
        balance = "water" if at is None else self.recipe.lines[at].ingredient
        name = f"make up with {'water' if name_key(balance) == 'water' else balance}"
        percents, kept = exact_percents(self.recipe), self.kept()
        if not self.check.short:
            return _not(MAKE_UP, _JARS, name)
        if at is None:
            why = f"{self.recipe.title} has no line marked as the balance that could take up what is missing."
            return _not(MAKE_UP, why, name)
        if kept[at] < percents[at]:
            return _not(MAKE_UP, f"{balance} is itself what is short, or is mixed from it.", name)
        kept[at] += sum(percents) - sum(kept)
        after = without_old_reading(self.recipe, with_percents(self.recipe, kept))
        text = f"Keep the batch of {float(self.target):.1f} g: {self._moves(after)}; everything else as written."
        return self.option(MAKE_UP, text, after, self.target, name=name)

    def swapped(self, stand_ins: Mapping[str, StandIn]) -> ShortageOption:
        if not self.check.short:
            return _not(SWAP, _JARS)
        after, extra, taken, without = self.recipe, [], [], []
        lines = list(zip(self.recipe.lines, exact_percents(self.recipe), self.kept(), strict=True))
        for name in dict.fromkeys(line.ingredient for line, percent, kept in lines if kept < percent):
            other = stand_ins.get(name)
            if other is None:
                without.append(name)
                continue
            keep = [kept for line, _, kept in lines if line.ingredient == name]
            added = sum(line.ingredient == name for line in after.lines) - len(keep)  # lines of an earlier stand-in
            after = with_stand_in(after, name, other, keep + [Fraction(0)] * added)
            missing = (percent_in(self.recipe, name) - sum(keep)) * self.target / 100
            come = float(missing * exact_number(other.ratio, f"the ratio of {other.ingredient.name}"))
            changes = f" ({other.what_changes})" if other.what_changes else ""
            taken.append(f"{come:.1f} g of {other.ingredient.name} for {float(missing):.1f} g of {name}{changes}")
            extra.append(untested(name, other))
        nothing = f"othing is on file that may stand in for {', '.join(without)}."
        if not taken:
            return _not(SWAP, f"n{nothing}")
        text = f"Take {'; '.join(taken)}: {self._moves(after)}. Untested.{f' N{nothing}' if without else ''}"
        return self.option(SWAP, text, after, self.target, tuple(extra))

    def left_short(self) -> ShortageOption:
        kept, whole = self.kept(), sum(exact_percents(self.recipe))
        total = sum(kept)
        if not (self.check.short and total):
            return _not(SHORT, "nothing would be left." if self.check.short else _JARS)
        after = without_old_reading(self.recipe, with_percents(self.recipe, [k * whole / total for k in kept]))
        batch = self.target * total / whole
        text = (
            f"Weigh everything else as planned and leave {', '.join(self.check.short)} at what there is: the batch is "
            f"{float(batch):.1f} g instead of {float(self.target):.1f}, and all other percentages rise by a factor of "
            f"{float(whole / total):.4f}."
        )
        return self.option(SHORT, text, after, batch)

    def _moves(self, after: Recipe) -> str:
        names = dict.fromkeys(line.ingredient for r in (self.recipe, after) for line in r.lines)
        pairs = [(n, percent_in(self.recipe, n), percent_in(after, n)) for n in names]
        return ", ".join(f"{n} {number_text(was)} → {number_text(now)} %" for n, was, now in pairs if was != now)


_JARS = "it is the containers that are short."


def _not(code: str, why: str, name: str = "") -> ShortageOption:
    return ShortageOption(code, name or code, f"Not possible: {why}")
