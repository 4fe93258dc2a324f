"""The bench sheet: the recipe of the day as it is worked through, from a clean start to the last container.

It carries the recipe's version: a sheet whose version is not the recipe's in hand is refused when its batch is begun.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.bench.version import recipe_version
from maker_kit.findings import Finding
from maker_kit.formula.batch import counted
from maker_kit.formula.kinds import is_meant_as_preservative
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.scale import WeighOut, decimals_of
from maker_kit.formula.step import Step
from maker_kit.numbers import number_text

AT_THE_SCALE = frozenset({"caution.acid", "caution.alkali", "caution.preservative", "caution.flammable"})
AT_THE_STEPS = frozenset({"caution.hot"})
"""Cautions that stand over what they are about; the others stand on top."""


@dataclass(frozen=True)
class SheetLine:
    """One thing to weigh.

    Attributes
    ----------
    phase, ingredient : str
    weigh : str
        At the scale's step, with its unit.
    running : str
        What the display shows when it is in, within its phase and without tare between.
    note : str
    """

    phase: str
    ingredient: str
    weigh: str
    running: str
    note: str


@dataclass(frozen=True)
class SheetStep:
    """One step, with room to tick.

    Attributes
    ----------
    number : int
    what, with_and_into, window, minutes, else_ : str
        What to do; tool and what it goes into; temperature; time; fine until and rescue.
    reads : bool
        Whether a temperature is to be written down.
    """

    number: int
    what: str
    with_and_into: str
    window: str
    minutes: str
    else_: str
    reads: bool


@dataclass(frozen=True)
class BenchSheet:
    """What is printed for one batch.

    Attributes
    ----------
    title, recipe, version, number : str
        Of the recipe; the version is `maker_kit.bench.version.recipe_version`; the number may be empty, to write in.
    batch : str
        Containers, content and mass in a sentence.
    lines : tuple of SheetLine
        In pouring order.
    phases : tuple of (str, str)
        Each phase and its part of the whole [%], in pouring order; together they are 100.00.
    premixes : tuple of str
    tools : tuple of str
        Every tool of the steps, each once.
    steps : tuple of SheetStep
    targets : tuple of (str, str)
        What is read, and what is wanted.
    cautions, stops : tuple of Finding
        The usual cautions; what stops the recipe, which is printed first.
    """

    title: str
    recipe: str
    version: str
    number: str
    batch: str
    lines: tuple[SheetLine, ...]
    phases: tuple[tuple[str, str], ...]
    premixes: tuple[str, ...]
    tools: tuple[str, ...]
    steps: tuple[SheetStep, ...]
    targets: tuple[tuple[str, str], ...]
    cautions: tuple[Finding, ...]
    stops: tuple[Finding, ...]

    @property
    def of_phases(self) -> str:
        """The parts of the phases, and what they come to, in a sentence."""
        return f"Of the whole: {', '.join(f'{phase} {part} %' for phase, part in self.phases)}; together 100.00 %."

    def cautions_at(self, place: str) -> tuple[Finding, ...]:
        """The cautions that stand on ``top``, at the ``scale``, or at the ``steps``."""

        def at(f: Finding) -> str:
            return "scale" if f.code in AT_THE_SCALE else "steps" if f.code in AT_THE_STEPS else "top"

        return tuple(f for f in self.cautions if at(f) == place)


def bench_sheet(
    recipe: Recipe,
    containers: int,
    weigh_out: WeighOut,
    cautions: Iterable[Finding] = (),
    findings: Iterable[Finding] = (),
    number: str = "",
    *,
    ounces: bool = False,
) -> BenchSheet:
    """The sheet of one batch.

    Parameters
    ----------
    recipe : Recipe
    containers : int
    weigh_out : WeighOut
        Of the batch; `maker_kit.formula.scale.weigh_out`.
    cautions, findings : iterable of Finding
        The usual cautions; of the findings only the stops are printed.
    number : str
        The batch's; empty to write it in by hand.
    ounces : bool
        Whether what is weighed is said in ounces (of weight) too.

    Returns
    -------
    BenchSheet
    """
    lines, phase, running = [], None, 0.0
    for row in weigh_out.rows:
        if not row.percent:
            continue
        running = row.weighed_g if row.phase != phase else running + row.weighed_g
        phase = row.phase
        digits = decimals_of(row.step_g)
        note = "pre-mix, see below" if row.too_small else f"in {row.portions} portions" if row.portions > 1 else ""
        weigh = f"{row.weighed_g:.{digits}f} g" + (f" ({row.weighed_oz:.3f} oz)" if ounces else "")
        lines.append(SheetLine(phase, row.ingredient, weigh, f"{running:.{digits}f} g", note))
    content = f"{recipe.fill_mass_g:.1f} g" + ("" if recipe.sold_by_mass else f" ({number_text(recipe.fill_ml)} mL)")
    batch = f"{counted(containers)} of {content} in {recipe.container}: {weigh_out.batch_mass_g:.1f} g with losses"
    tools = dict.fromkeys(t.strip() for s in recipe.steps for t in s.tool.split(",") if t.strip())
    return BenchSheet(
        recipe.title,
        recipe.name,
        recipe_version(recipe),
        number,
        batch,
        tuple(lines),
        _phases(recipe),
        tuple(mix.sentence() for mix in weigh_out.premixes),
        tuple(tools),
        tuple(_step(s) for s in recipe.steps),
        _targets(recipe),
        tuple(cautions),
        tuple(f for f in findings if f.kind == "stop"),
    )


def _phases(recipe: Recipe) -> tuple[tuple[str, str], ...]:
    """Parts of the phases as printed; the last takes what rounding leaves, so that they add up to 100.00."""
    parts: dict[str, Fraction] = {}
    for line in recipe.lines:
        if line.percent:
            parts[line.phase] = parts.get(line.phase, Fraction(0)) + Fraction(repr(line.percent))
    ends = [round(sum(list(parts.values())[: k + 1]) * 100) for k in range(len(parts))]
    told = [end - before for end, before in zip(ends, [0, *ends], strict=False)]
    return tuple((phase, f"{part / 100:.2f}") for phase, part in zip(parts, told, strict=True))


def _step(step: Step) -> SheetStep:
    low, high = (None if t is None else number_text(t) for t in (step.from_c, step.to_c))
    window = (
        f"{low}–{high}\u00a0°C"
        if low and high
        else f"≥\u00a0{low}\u00a0°C"
        if low
        else f"≤\u00a0{high}\u00a0°C"
        if high
        else ""
    )
    into = f"into {step.into}" if step.into else ""
    late = f"fine until {step.fine_until}" if step.fine_until else ""
    rescue = f"if missed: {step.rescue}" if step.rescue else ""
    return SheetStep(
        step.number,
        step.text,
        ", ".join(filter(None, (step.tool, into))),
        window,
        said_minutes(step.minutes).replace(" ", "\u00a0") if step.minutes else "",
        "; ".join(filter(None, (late, rescue))),
        bool(window),
    )


def _targets(recipe: Recipe) -> tuple[tuple[str, str], ...]:
    rows = []
    if recipe.holds_water:
        known = None not in (recipe.ph_low, recipe.ph_high)
        wanted = f"{number_text(recipe.ph_low)} to {number_text(recipe.ph_high)}" if known else "not on file: unknown"
        rows.append(("pH, with tool and temperature", wanted))
    rows.append(("density", f"{number_text(recipe.density_g_per_ml)} g/mL on file"))
    rows.append(("fill of each container", f"{recipe.fill_mass_g:.1f} g"))
    keeps = [n for n, t in recipe.ingredients.items() if is_meant_as_preservative(t)]
    used = [n for n in keeps if any(x.ingredient == n and x.percent > 0 for x in recipe.lines)]
    if used:
        rows.append(("preservative in", ", ".join(used)))
    return tuple(rows)


def said_minutes(minutes: float) -> str:
    """Minutes as a person says them: ``30 min``, ``24 h``."""
    return f"{minutes:g} min" if minutes < 120 else f"{minutes / 60:.3g} h"
