"""What to weigh, at the steps the scale can show: every line rounded, its error, a pre-mix for what is too small."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, look
from maker_kit.formula.premix import PreMix, Ranges, check_scale, plan_premix, step_for
from maker_kit.formula.recipe import Recipe, check_sum
from maker_kit.frames import frame_of
from maker_kit.numbers import exact_number, plain_text, round_to_step
from maker_kit.units import Amount

GOOD_TO_PERCENT = 5.0
"""How far half a step of the scale may be of what is weighed [%]; common practice, no source."""
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Weighing:
    """One line of a recipe, at the scale.

    Attributes
    ----------
    phase, ingredient : str
    percent : float
        Percent by mass of the whole [%].
    mass_g : float
        Mass that the recipe asks for [g].
    weighed_g : float
        The same at the scale's step, rounded half up [g].
    step_g : float
        Step of the scale's range that covers it, or that covers one portion [g].
    error_percent : float
        By how much the rounding misses the mass [%]; 0 for a line of 0 g.
    worst_percent : float
        Half a step as a share of the mass [%]: how far a reading may be off whatever it shows.
    portions : int
        Into how many portions it is weighed; above 1 where it is too much for the scale.
    too_small : bool
        Whether half a step is too large a share of the mass.
    balance : bool
        Whether the line is the recipe's balance.
    """

    phase: str
    ingredient: str
    percent: float
    mass_g: float
    weighed_g: float
    step_g: float
    error_percent: float
    worst_percent: float
    portions: int = 1
    too_small: bool = False
    balance: bool = False

    @property
    def oz(self) -> float:
        """The mass in avoirdupois ounces [oz]."""
        return float(Amount(self.mass_g, "mass").exact_in("oz wt"))

    @property
    def weighed_oz(self) -> float:
        """What is weighed in avoirdupois ounces [oz]."""
        return float(Amount(self.weighed_g, "mass").exact_in("oz wt"))

    @property
    def note(self) -> str:
        """What to know when weighing it, in a few words."""
        if self.portions > 1:
            return f"in {self.portions} portions"
        return "too small for the scale" if self.too_small else "to 100" if self.balance else ""


@dataclass(frozen=True)
class WeighOut:
    """Every line of a batch, at the scale.

    Attributes
    ----------
    title : str
        Of the recipe.
    batch_mass_g : float
        Mass of the batch [g].
    rows : tuple of Weighing
        In the order of the recipe.
    premixes : tuple of PreMix
        One for each line that is too small, where the balance line can give the carrier.
    findings : tuple of Finding
        What is too small or too much for the scale.
    """

    title: str
    batch_mass_g: float
    rows: tuple[Weighing, ...]
    premixes: tuple[PreMix, ...]
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """One row a line: phase, ingredient, percent, mass [g], weigh [g], step [g], error [%], ounces, note."""
        columns = {name: name for name in ("phase", "ingredient", "percent")}
        columns |= {"mass g": "mass_g", "weigh g": "weighed_g", "step g": "step_g", "error %": "error_percent"}
        return frame_of(self.rows, {**columns, "oz": "oz", "note": "note"})


def decimals_of(step: float) -> int:
    """How many decimals a scale of that step shows."""
    return next((digits for digits in range(6) if abs(round(step, digits) - step) < 1e-9), 6)


def weigh_out(
    recipe: Recipe,
    batch_mass_g: float | Fraction,
    scale: Iterable[tuple[float, float]],
    good_to_percent: float = GOOD_TO_PERCENT,
) -> WeighOut:
    """What to weigh for a batch, line by line.

    A line's mass is its percent of the batch. It is rounded to the step of the first range that covers it; what is
    heavier than the widest range is weighed in equal portions. A line is too small where half a step is more than
    `good_to_percent` of it (common practice, no source); then a pre-mix with the balance line's ingredient is planned,
    if the balance can give the carrier.

    Parameters
    ----------
    recipe : Recipe
    batch_mass_g : float or Fraction
        Mass of the batch [g], above 0; from `batch_mass_g` or as the maker wishes.
    scale : iterable of (float, float)
        Heaviest load and step of each range [g], the finest first: ``((500, 0.1), (10000, 1))``.
    good_to_percent : float
        How good a weighing has to be [%], above 0 to 50.

    Returns
    -------
    WeighOut

    Raises
    ------
    QuantityError
        If the batch's mass is no number or not above 0, the scale is none, or the wanted goodness is out of range.
    RecipeError
        If the lines do not make 100.
    """
    check_sum(recipe)
    batch = exact_number(batch_mass_g, "the mass of the batch in g")
    good = exact_number(good_to_percent, "how good a weighing has to be in %") / 100
    if batch <= 0:
        raise QuantityError(f"a batch of {float(batch):g} g: write a mass above 0 g")
    if not 0 < good <= Fraction(1, 2):
        raise QuantityError(f"weighings good to {float(good * 100):g} %: write a share above 0 and at most 50 %")
    ranges = check_scale(scale)
    masses = [batch * exact_number(line.percent, f"the percent of {line.ingredient}") / 100 for line in recipe.lines]
    rows = tuple(
        _weighing(line.phase, line.ingredient, line.percent, line.balance, mass, ranges, good)
        for line, mass in zip(recipe.lines, masses, strict=True)
    )
    carrier = next((line.ingredient for line in recipe.lines if line.balance), "")
    left = next((mass for line, mass in zip(recipe.lines, masses, strict=True) if line.balance), Fraction(0))
    premixes: list[PreMix] = []
    findings: list[Finding] = []
    for row, mass in zip(rows, masses, strict=True):
        if row.portions > 1:
            findings.append(_too_much(row, ranges[-1][0]))
        if row.too_small:
            plan = (
                None if row.balance or not carrier else plan_premix(row.ingredient, carrier, mass, left, ranges, good)
            )
            if plan is not None:
                left -= exact_number(plan.carrier_taken_g, "the carrier in g")
                premixes.append(plan)
            findings.append(_too_small(row, mass, good, carrier, plan))
    return WeighOut(recipe.title, float(batch), rows, tuple(premixes), tuple(findings))


def _weighing(
    phase: str, ingredient: str, percent: float, balance: bool, mass: Fraction, ranges: Ranges, good: Fraction
) -> Weighing:
    portions = max(1, math.ceil(mass / ranges[-1][0]))
    step = step_for(mass / portions, ranges) or ranges[-1][1]
    weighed = round_to_step(mass, step)
    # each portion but the last is a whole number of steps, so only the last one is rounded
    return Weighing(
        phase,
        ingredient,
        percent,
        float(mass),
        float(weighed),
        float(step),
        float((weighed - mass) / mass * 100) if mass else 0.0,
        float(step / 2 / mass * 100) if mass else 0.0,
        portions,
        bool(mass) and step / 2 > good * mass,
        balance,
    )


def _too_much(row: Weighing, most: Fraction) -> Finding:
    text = (
        f"{row.ingredient}: {row.mass_g:,.1f} g is more than the scale takes ({float(most):,g} g): weigh in "
        f"{row.portions} portions of about {row.mass_g / row.portions:,.1f} g."
    )
    return look(
        "scale.too_much",
        row.ingredient,
        text,
        next_step=f"weigh {row.portions - 1} equal portions, then the rest up to {row.weighed_g:,g} g in all",
        source="arithmetic",
    )


def _too_small(row: Weighing, mass: Fraction, good: Fraction, carrier: str, plan: PreMix | None) -> Finding:
    finer = Fraction(10) ** math.floor(math.log10(2 * good * mass))
    shown = f"{row.mass_g:.2f}" if row.mass_g >= 0.1 else f"{row.mass_g:.2g}"
    text = (
        f"{row.ingredient}: {shown} g is too small for your scale ({row.step_g:g} g): a reading may be "
        f"{row.worst_percent:.1f} % off"
    )
    by_scale = f"weigh it on a scale that shows {plain_text(finer)} g"
    if plan is not None:
        text += f": make a {plan.strength_percent:g} % pre-mix."
        step = f"{plan.sentence()}; only if {row.ingredient} spreads evenly in {carrier}. Or {by_scale}"
    else:
        why = (
            "it is the balance itself"
            if row.balance
            else f"{carrier} cannot hold the carrier of a pre-mix"
            if carrier
            else "the recipe has no balance line to take a carrier from"
        )
        text += f", and a pre-mix does not help: {why}."
        step = f"{by_scale}, or make a larger batch"
    return look("scale.too_small", row.ingredient, text, next_step=step, source=PRACTICE)
