"""Which blend of two emulsifiers to start with for a recipe: what its oil phase asks for, what is aimed at, and every source that says otherwise."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from maker_kit.errors import NoticeError, QuantityError
from maker_kit.findings import Finding, in_order, look
from maker_kit.formula.emulsion.emulsion import METHOD, EmulsifierBlend, OilPhaseHlb, blend_for, required_hlb
from maker_kit.formula.emulsion.hlb import OWN, HlbValue, OwnValues, emulsifier_values, values_for
from maker_kit.formula.recipe import Recipe

_OWN_LINE = re.compile(r"\s*([+-]?\d+(?:[.,]\d+)?)\s*(?:[,;:(]\s*(.*?)\)?)?\s*")


@dataclass(frozen=True)
class BlendChoice:
    """A blend of two emulsifiers for a recipe.

    Attributes
    ----------
    oils : OilPhaseHlb
        What the oil phase asks for, part by part.
    aimed_at : float or None
        The HLB that the blend is made for; None where the oil phase's is unknown and none was given.
    aimed_by : str
        Who says so.
    blend : EmulsifierBlend or None
        None where nothing is aimed at.
    on_file : tuple of (HlbValue, ...)
        Every value of the first and of the second emulsifier, the one that is used first.
    findings : tuple of Finding
        The gravest first.
    """

    oils: OilPhaseHlb
    aimed_at: float | None
    aimed_by: str
    blend: EmulsifierBlend | None
    on_file: tuple[tuple[HlbValue, ...], tuple[HlbValue, ...]]
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """One row a value: emulsifier, HLB, whether it is used, share of the blend and of the whole [%], source, how it was checked."""
        shares = (
            (
                (self.blend.first_percent, self.blend.first_of_whole),
                (self.blend.second_percent, self.blend.second_of_whole),
            )
            if self.blend
            else ((None, None), (None, None))
        )
        rows = []
        for values, (share, whole) in zip(self.on_file, shares, strict=True):
            rows += [
                (
                    v.name,
                    v.hlb,
                    "used" if k == 0 else "other source",
                    share if k == 0 else None,
                    whole if k == 0 else None,
                    v.source,
                    v.checked,
                )
                for k, v in enumerate(values)
            ]
        return pd.DataFrame(
            rows, columns=["emulsifier", "HLB", "use", "of the blend %", "of the whole %", "source", "checked"]
        ).astype({"of the blend %": "Float64", "of the whole %": "Float64"})


def own_value(text: str, what: str) -> tuple[float, str]:
    """A value of the maker's own with where it is from, as typed: ``7.5, the supplier's sheet``.

    Parameters
    ----------
    text : str
    what : str
        What it is the value of.

    Returns
    -------
    tuple of (float, str)
        HLB, and its source; "the maker's own" where none is named.

    Raises
    ------
    NoticeError
        If it does not begin with a number.
    """
    found = _OWN_LINE.fullmatch(text)
    if found is None:
        msg = f'"{text.strip()}" is no HLB of {what}: write a number, and where it is from, as in "7.5, the supplier\'s sheet"'
        raise NoticeError(msg)
    return float(found[1].replace(",", ".")), (found[2] or "").strip() or OWN


def choose_blend(
    recipe: Recipe,
    first: str,
    second: str,
    aim: float | None = None,
    total_percent: float | None = None,
    own_oils: OwnValues | None = None,
    own_emulsifiers: OwnValues | None = None,
    folder: Path | str | None = None,
) -> BlendChoice:
    """The blend of two emulsifiers that has the HLB which a recipe's oil phase asks for, or another that is aimed at.

    Parameters
    ----------
    recipe : Recipe
    first, second : str
        Emulsifiers by name.
    aim : float, optional
        HLB to aim at; what the oil phase asks for unless given.
    total_percent : float, optional
        Both emulsifiers together [% of the whole].
    own_oils, own_emulsifiers : mapping of str to float or (float, str), optional
        The maker's own values by name; they win, and what is on file stands beside them.
    folder : path, optional
        Where to look first for the tables of HLB.

    Returns
    -------
    BlendChoice

    Raises
    ------
    QuantityError
        If there is no oil phase, the pair does not reach the HLB, both are the same, or a figure is out of range.
    UnknownNameError
        If an emulsifier's HLB is not on file and the maker gave none.
    """
    oils = required_hlb(recipe, own_oils, folder)
    table = emulsifier_values(folder)
    aimed = oils.hlb if aim is None else aim
    if first == second:
        msg = (
            f"{first} is named twice; a blend takes two emulsifiers, one with an HLB above and one below what is wanted"
        )
        raise QuantityError(msg)
    blend = None if aimed is None else blend_for(aimed, first, second, total_percent, own_emulsifiers, folder)
    on_file = tuple(values_for((name,), table, own_emulsifiers) for name in (first, second))
    found = [f for f in oils.findings if blend is None or f.subject != "HLB"] + _not_there(own_oils, oils)
    if not recipe.holds_water:
        found.append(
            look(
                "emulsion.note",
                recipe.title,
                f"{recipe.title} holds no water, so there is nothing to emulsify.",
                next_step="choose a recipe with water and an oil phase",
                source="arithmetic",
            )
        )
    for values in on_file:
        found += _differ(values)
    if blend is None:
        found.append(
            look(
                "emulsion.unknown",
                f"{first} and {second}",
                "What HLB to aim at is unknown, so no blend is worked out.",
                level="unknown",
                next_step="Give the missing values of your own, or an HLB to aim at.",
                source=METHOD,
            )
        )
    else:
        found += [*blend.findings, *_range(oils, aim, blend, own_emulsifiers, folder)]
    by = "" if aimed is None else "the oil phase" if aim is None else OWN
    return BlendChoice(oils, aimed, by, blend, (on_file[0], on_file[1]), in_order(found))


def _not_there(own: Mapping[str, object] | None, oils: OilPhaseHlb) -> list[Finding]:
    """Values of one's own for what is not in this oil phase, which a slip in a name would make of any."""
    used = {v.name.casefold() for part in oils.parts for v in part.published if v.checked == OWN}
    names = [name for name in own or {} if name.casefold() not in used]
    parts = ", ".join(part.name for part in oils.parts)
    return [
        look(
            "emulsion.note",
            name,
            f"{name} is not in this oil phase, so the value given for it is not used.",
            next_step=f"The parts are: {parts}.",
        )
        for name in names
    ]


def _differ(values: tuple[HlbValue, ...]) -> list[Finding]:
    if len({v.hlb for v in values}) < 2:
        return []
    told = "; ".join(f"{v.hlb:g} by {v.source} ({v.checked})" for v in values)
    return [
        look(
            "emulsion.note",
            values[0].name,
            f"Sources differ on the HLB of {values[0].name}: {told}. {values[0].hlb:g} is used.",
            next_step="Ask the supplier, and make samples at both.",
            source=told,
        )
    ]


def _range(
    oils: OilPhaseHlb, aim: float | None, blend: EmulsifierBlend, own: OwnValues | None, folder: Path | str | None
) -> list[Finding]:
    """What other sources of the oil phase would change, and that the maker's aim is another than the oil phase's."""
    found = []
    if aim is not None and oils.hlb is not None and abs(aim - oils.hlb) >= 0.05:
        found.append(
            look(
                "emulsion.note",
                "HLB aimed at",
                f"The oil phase asks for {oils.hlb:.1f}, and {aim:g} is aimed at.",
                next_step="Make samples at both.",
                source=METHOD,
            )
        )
    if aim is None and oils.lowest is not None and oils.highest is not None and oils.highest > oils.lowest:
        ends = []
        for hlb in (oils.lowest, oils.highest):
            try:
                ends.append(
                    f"{blend_for(hlb, blend.first.name, blend.second.name, None, own, folder).first_percent:.1f} % at {hlb:.1f}"
                )
            except QuantityError:
                ends.append(f"out of this pair's reach at {hlb:.1f}")
        found.append(
            look(
                "emulsion.note",
                blend.first.name,
                f"Sources of the oil phase go from {oils.lowest:.1f} to {oils.highest:.1f}: the share of {blend.first.name} would be {ends[0]} and {ends[1]}.",
                next_step="Make a sample at each end as well.",
                source="arithmetic",
            )
        )
    return found
