"""Which pair of emulsifiers to start with: the HLB that an oil phase asks for, and the blend of two emulsifiers that
has it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.emulsion.hlb import (
    HlbValue,
    OwnValues,
    required_values,
    value_rows,
    values_for,
)
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number

OIL_FUNCTIONS = ("oil", "wax", "butter", "fat", "ester", "emollient", "silicone", "hydrocarbon")
"""Words in an ingredient's function that put it into the oil phase."""
METHOD = "HLB system: Griffin 1949 and 1954, J. Soc. Cosmet. Chem. 1:311 and 5:249 (from memory)"
LIMITS_OF_HLB = (
    "It says with which blend to start, for oil-in-water with nonionic emulsifiers, not how much is needed nor that it "
    "holds: make small samples around it and watch them (common practice, no source)"
)


@dataclass(frozen=True)
class OilPart:
    """One part of an oil phase.

    Attributes
    ----------
    name : str
    amount : float
        By mass, in any one unit [g or %].
    inci : tuple of str
        Other names it is looked up by.
    published : tuple of HlbValue
        What is known of its required HLB, the one that is used first; filled in by `required_hlb`.
    """

    name: str
    amount: float
    inci: tuple[str, ...] = ()
    published: tuple[HlbValue, ...] = ()


@dataclass(frozen=True)
class OilPhaseHlb:
    """What HLB an oil phase asks for.

    Attributes
    ----------
    hlb : float or None
        Required HLB; None while that of any part is unknown.
    of_known : float or None
        Of the known parts taken alone; None where none is.
    known_percent : float
        Share of the oil phase, by mass, whose required HLB is known [%].
    lowest, highest : float or None
        Of the known parts, with every part at the lowest and at the highest of its published values.
    parts : tuple of OilPart
    unknown : tuple of str
    findings : tuple of Finding
    """

    hlb: float | None
    of_known: float | None
    known_percent: float
    lowest: float | None
    highest: float | None
    parts: tuple[OilPart, ...]
    unknown: tuple[str, ...]
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """One row a value: part, share of the oil phase [%], required HLB, use, source, how it was checked.

        A part without a value has one row without figures.
        """
        total = sum(exact_number(p.amount, p.name) for p in self.parts)
        shares = [float(100 * exact_number(p.amount, p.name) / total) for p in self.parts]
        rows = [
            (part.name, share, *row)
            for part, share in zip(self.parts, shares, strict=True)
            for row in value_rows(part.published) or [(None, "unknown", "none on file", "")]
        ]
        columns = ["part", "share of the oil phase %", "required HLB", "use", "source", "checked"]
        return pd.DataFrame(rows, columns=columns).astype({"required HLB": "Float64"})


def oil_phase(recipe: Recipe) -> tuple[OilPart, ...]:
    """The oil phase of a recipe: the lines whose function has one of `OIL_FUNCTIONS` [% of the whole].

    Emulsifiers, scents and what is dissolved in small amounts are left out, as the HLB system counts what is to be
    emulsified.
    """
    found: dict[str, Fraction] = {}
    for line in recipe.lines:
        words = [word.rstrip("s,;") for word in recipe.ingredients[line.ingredient].function.casefold().split()]
        if line.percent > 0 and "emulsifier" not in words and set(words) & set(OIL_FUNCTIONS):
            level = exact_number(line.percent, f"the percent of {line.ingredient}")
            found[line.ingredient] = found.get(line.ingredient, Fraction(0)) + level
    things = {name: recipe.ingredients[name].inci for name in found}
    return tuple(OilPart(n, float(m), things[n] if len(things[n]) == 1 else ()) for n, m in found.items())


def required_hlb(
    oils: Recipe | Iterable[OilPart | tuple[str, float]], own: OwnValues | None = None, folder: Path | str | None = None
) -> OilPhaseHlb:
    """The HLB that an oil phase asks for, oil-in-water.

    ``Σ m·h / Σ m`` over its parts, by mass (Griffin 1954, from memory). Where sources differ, the one that was read
    counts and the others are shown, with the range they give.

    Parameters
    ----------
    oils : Recipe, or iterable of OilPart or (str, float)
        A recipe, or names and amounts by mass [g or %].
    own : mapping of str to float or (float, str), optional
        The maker's own values by name; they win.
    folder : path, optional
        Where to look first for ``hlb_required.csv``.

    Returns
    -------
    OilPhaseHlb

    Raises
    ------
    QuantityError
        If there is no oil phase, an amount is below 0 or no number, or an own value is no HLB.
    """
    given = (
        oil_phase(oils)
        if isinstance(oils, Recipe)
        else [p if isinstance(p, OilPart) else OilPart(p[0], p[1]) for p in oils]
    )
    table = required_values(folder)
    parts, masses = [], []
    for part in given:
        mass = exact_number(part.amount, f"the amount of {part.name}")
        if mass < 0:
            raise QuantityError(f"{part.name} stands at {float(mass):g}; an amount is 0 or more")
        if mass:
            parts.append(replace(part, published=values_for((part.name, *part.inci), table, own)))
            masses.append(mass)
    if not parts:
        raise QuantityError(
            "there is no oil phase: a required HLB takes at least one oil, wax, butter or ester above 0"
        )
    whole = sum(masses)
    known = sum(m for p, m in zip(parts, masses, strict=True) if p.published)

    def mean(choose: Callable[[list[float]], float]) -> float | None:
        told = [(m, choose([v.hlb for v in p.published])) for p, m in zip(parts, masses, strict=True) if p.published]
        return float(sum(m * exact_number(h, "an HLB") for m, h in told) / known) if known else None

    of_known, lowest, highest = mean(lambda v: v[0]), mean(min), mean(max)
    unknown = tuple(dict.fromkeys(p.name for p in parts if not p.published))
    share = float(100 * known / whole)
    return OilPhaseHlb(
        None if unknown else of_known,
        of_known,
        share,
        lowest,
        highest,
        tuple(parts),
        unknown,
        tuple(_findings(parts, unknown, share)),
    )


def _findings(parts: list[OilPart], unknown: tuple[str, ...], share: float) -> list[Finding]:
    found = []
    if unknown:
        names = ", ".join(unknown)
        text = (
            f"No required HLB is on file for {names}: what the whole oil phase asks for is unknown; {share:.3g} % of "
            "it is known."
        )
        step = "Ask the suppliers for it and give it as your own value, or find it by samples at several HLB."
        about = {"level": "unknown", "subject": names, "source": "hlb_required.csv"}
        found.append(look("emulsion.oil_unknown", unknown, text, next_step=step, **about))
    step = "Make samples at both, or give a value of your own."
    found += [f for p in parts for f in sources_differ(p.name, p.published, "required HLB", step)]
    found.append(know("emulsion.method", "HLB", f"{LIMITS_OF_HLB}.", source=METHOD))
    return found


def sources_differ(name: str, values: tuple[HlbValue, ...], what: str, next_step: str) -> list[Finding]:
    """That the published values of one thing are not the same, and which is used: the first."""
    if len({v.hlb for v in values}) < 2:
        return []
    told = "; ".join(f"{v.hlb:g} by {v.source} ({v.checked})" for v in values)
    text = f"Sources differ on the {what} of {name}: {told}. {values[0].hlb:g} is used."
    return [look("emulsion.sources_differ", name, text, next_step=next_step, source=told)]
