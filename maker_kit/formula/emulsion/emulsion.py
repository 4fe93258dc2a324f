"""Which pair of emulsifiers to start with: the HLB that an oil phase asks for, and the blend of two emulsifiers that has it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import pandas as pd

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.emulsion.hlb import (
    OWN,
    HlbValue,
    OwnValues,
    check_hlb,
    emulsifier_values,
    required_values,
    values_for,
)
from maker_kit.formula.recipe import Recipe
from maker_kit.names import near_miss
from maker_kit.units import exact_number

OIL_FUNCTIONS = ("oil", "wax", "butter", "fat", "ester", "emollient", "silicone", "hydrocarbon")
"""Words in an ingredient's function that put it into the oil phase."""
METHOD = "HLB system: Griffin 1949 and 1954, J. Soc. Cosmet. Chem. 1:311 and 5:249 (from memory)"
LIMITS_OF_HLB = (
    "It says with which blend to start, for oil-in-water with nonionic emulsifiers, not how much is needed nor that it holds: make small samples around it and watch them "
    "(common practice, no source)"
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
        """One row a value: part, share of the oil phase [%], required HLB, whether it is used, source, how it was checked. A part without a value has one row without figures."""
        total = sum(exact_number(p.amount, p.name) for p in self.parts)
        rows = []
        for part in self.parts:
            share = float(100 * exact_number(part.amount, part.name) / total)
            rows += [
                (part.name, share, v.hlb, "used" if k == 0 else "other source", v.source, v.checked)
                for k, v in enumerate(part.published)
            ] or [(part.name, share, None, "unknown", "none on file", "")]
        return pd.DataFrame(
            rows, columns=["part", "share of the oil phase %", "required HLB", "use", "source", "checked"]
        ).astype({"required HLB": "Float64"})


@dataclass(frozen=True)
class EmulsifierBlend:
    """A blend of two emulsifiers for a wanted HLB.

    Attributes
    ----------
    wanted_hlb : float
    first, second : HlbValue
    first_percent, second_percent : float
        Shares of the blend by mass [%].
    first_of_whole, second_of_whole : float or None
        Shares of the product [%], where the total of emulsifiers was given.
    source : str
    findings : tuple of Finding
    """

    wanted_hlb: float
    first: HlbValue
    second: HlbValue
    first_percent: float
    second_percent: float
    first_of_whole: float | None
    second_of_whole: float | None
    source: str
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """One row an emulsifier: name, HLB, share of the blend [%], of the whole [%], source, how it was checked."""
        rows = [
            (v.name, v.hlb, share, whole, v.source, v.checked)
            for v, share, whole in (
                (self.first, self.first_percent, self.first_of_whole),
                (self.second, self.second_percent, self.second_of_whole),
            )
        ]
        return pd.DataFrame(
            rows, columns=["emulsifier", "HLB", "of the blend %", "of the whole %", "source", "checked"]
        ).astype({"of the whole %": "Float64"})


def oil_phase(recipe: Recipe) -> tuple[OilPart, ...]:
    """The oil phase of a recipe: what its function calls oil, wax, butter, fat, ester, emollient, silicone or hydrocarbon [% of the whole].

    Emulsifiers, scents and what is dissolved in small amounts are left out, as the HLB system counts what is to be emulsified.
    """
    found: dict[str, Fraction] = {}
    for line in recipe.lines:
        words = recipe.ingredients[line.ingredient].function.casefold().split()
        if (
            line.percent > 0
            and "emulsifier" not in words
            and any(word.rstrip("s,;") in OIL_FUNCTIONS for word in words)
        ):
            found[line.ingredient] = found.get(line.ingredient, Fraction(0)) + exact_number(
                line.percent, f"the percent of {line.ingredient}"
            )
    return tuple(
        OilPart(name, float(amount), recipe.ingredients[name].inci if len(recipe.ingredients[name].inci) == 1 else ())
        for name, amount in found.items()
    )


def required_hlb(
    oils: Recipe | Iterable[OilPart | tuple[str, float]], own: OwnValues | None = None, folder: Path | str | None = None
) -> OilPhaseHlb:
    """The HLB that an oil phase asks for, oil-in-water.

    ``Σ m·h / Σ m`` over its parts, by mass (Griffin 1954, from memory). Where sources differ, the one that was read counts and the others are shown, with the range they give.

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
            msg = f"{part.name} stands at {float(mass):g}; an amount is 0 or more"
            raise QuantityError(msg)
        if mass:
            parts.append(replace(part, published=values_for((part.name, *part.inci), table, own)))
            masses.append(mass)
    if not parts:
        msg = "there is no oil phase: a required HLB takes at least one oil, wax, butter or ester above 0"
        raise QuantityError(msg)
    whole = sum(masses, Fraction(0))
    known = sum((m for p, m in zip(parts, masses, strict=True) if p.published), Fraction(0))

    def mean(choose: Callable[[list[float]], float]) -> float | None:
        return (
            float(
                sum(
                    (
                        m * exact_number(choose([v.hlb for v in p.published]), p.name)
                        for p, m in zip(parts, masses, strict=True)
                        if p.published
                    ),
                    Fraction(0),
                )
                / known
            )
            if known
            else None
        )

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


def blend_hlb(parts: Iterable[tuple[float, float]]) -> float:
    """HLB of a blend, ``Σ m·h / Σ m`` by mass (Griffin 1954, from memory).

    Parameters
    ----------
    parts : iterable of (float, float)
        HLB and amount by mass of each emulsifier.

    Raises
    ------
    QuantityError
        If nothing is above 0, an amount is below 0, or an HLB is none.
    """
    pairs = [(exact_number(check_hlb(h), "an HLB"), exact_number(m, "an amount of emulsifier")) for h, m in parts]
    total = sum((m for _, m in pairs), Fraction(0))
    if any(m < 0 for _, m in pairs) or not total:
        msg = "a blend takes amounts of 0 or more, and at least one above 0"
        raise QuantityError(msg)
    return float(sum((h * m for h, m in pairs), Fraction(0)) / total)


def emulsifier_hlb(name: str, own: OwnValues | None = None, folder: Path | str | None = None) -> HlbValue:
    """The HLB of an emulsifier, with its source.

    Raises
    ------
    UnknownNameError
        If no table has it and the maker gave no own value; the nearest name is given.
    """
    table = emulsifier_values(folder)
    found = values_for((name,), table, own)
    if not found:
        msg = f'no HLB is on file for "{name}": {near_miss(name, [v.name for v in table])} Ask its supplier and give the value yourself'
        raise UnknownNameError(msg)
    return found[0]


def blend_for(
    wanted_hlb: float,
    first: str | float,
    second: str | float,
    total_percent: float | None = None,
    own: OwnValues | None = None,
    folder: Path | str | None = None,
) -> EmulsifierBlend:
    """The blend of two emulsifiers that has a wanted HLB.

    ``share of the first = (wanted − h₂) / (h₁ − h₂)`` by mass, from the mean of `blend_hlb`.

    Parameters
    ----------
    wanted_hlb : float
    first, second : str or float
        Name of an emulsifier, or an HLB of the maker's own.
    total_percent : float, optional
        Both emulsifiers together [% of the whole].
    own, folder
        As for `emulsifier_hlb`.

    Returns
    -------
    EmulsifierBlend

    Raises
    ------
    QuantityError
        If the wanted HLB lies outside the pair, both have the same one, or a figure is out of range.
    UnknownNameError
        If an emulsifier's HLB is not on file.
    """
    wanted = exact_number(check_hlb(wanted_hlb, "a wanted HLB"), "a wanted HLB")
    a, b = (
        emulsifier_hlb(e, own, folder)
        if isinstance(e, str)
        else HlbValue(f"emulsifier of HLB {check_hlb(e):g}", check_hlb(e), OWN, OWN)
        for e in (first, second)
    )
    high, low = exact_number(a.hlb, a.name), exact_number(b.hlb, b.name)
    if high == low:
        msg = f"{a.name} and {b.name} both have an HLB of {a.hlb:g}, so no blend of them sets one; choose one above and one below {float(wanted):g}"
        raise QuantityError(msg)
    if not min(high, low) <= wanted <= max(high, low):
        msg = f"an HLB of {float(wanted):g} lies outside {a.name} ({a.hlb:g}) and {b.name} ({b.hlb:g}); choose one emulsifier above it and one below"
        raise QuantityError(msg)
    share = (wanted - low) / (high - low)
    total = None if total_percent is None else exact_number(total_percent, "the emulsifiers together in %")
    if total is not None and not 0 < total <= 100:
        msg = f"the emulsifiers together stand at {float(total):g} %; that is above 0 and at most 100 % of the whole"
        raise QuantityError(msg)
    note = know(
        "emulsion.note",
        f"{a.name} and {b.name}",
        f"{LIMITS_OF_HLB}.",
        next_step="Make three samples: at this blend, one HLB lower and one higher; look after a day and after warm and cold.",
        source=METHOD,
    )
    return EmulsifierBlend(
        float(wanted),
        a,
        b,
        float(100 * share),
        float(100 * (1 - share)),
        None if total is None else float(total * share),
        None if total is None else float(total * (1 - share)),
        f"{METHOD}; {a.name}: {a.source} ({a.checked}); {b.name}: {b.source} ({b.checked})",
        (note,),
    )


def _findings(parts: list[OilPart], unknown: tuple[str, ...], share: float) -> list[Finding]:
    found = []
    if unknown:
        found.append(
            look(
                "emulsion.unknown",
                ", ".join(unknown),
                f"No required HLB is on file for {', '.join(unknown)}: what the whole oil phase asks for is unknown; {share:.3g} % of it is known.",
                level="unknown",
                next_step="Ask the suppliers for it and give it as your own value, or find it by samples at several HLB.",
                source="hlb_required.csv",
            )
        )
    for part in parts:
        figures = list(dict.fromkeys(v.hlb for v in part.published))
        if len(figures) > 1:
            told = "; ".join(f"{v.hlb:g} by {v.source} ({v.checked})" for v in part.published)
            found.append(
                look(
                    "emulsion.note",
                    part.name,
                    f"Sources differ on the required HLB of {part.name}: {told}. {figures[0]:g} is used.",
                    next_step="Make samples at both, or give a value of your own.",
                    source=told,
                )
            )
    found.append(know("emulsion.note", "HLB", f"{LIMITS_OF_HLB}.", source=METHOD))
    return found
