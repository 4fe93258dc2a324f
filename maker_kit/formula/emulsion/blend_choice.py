"""Which blend of two emulsifiers to start with for a recipe: what its oil phase asks for, what is aimed at, and every
source that says otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from maker_kit.errors import NoticeError, QuantityError
from maker_kit.findings import Finding, in_order, know, look
from maker_kit.formula.emulsion.emulsion import LIMITS_OF_HLB, METHOD, OilPhaseHlb, required_hlb, sources_differ
from maker_kit.formula.emulsion.hlb import (
    OWN,
    HlbValue,
    OwnValues,
    check_hlb,
    emulsifier_hlb,
    emulsifier_values,
    value_rows,
    values_for,
)
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, typed_number

_OWN_LINE = re.compile(r"\s*([+-]?\d+(?:[.,]\d+)?)\s*(?:[,;:(]\s*(.*?)\)?)?\s*")


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


@dataclass(frozen=True)
class BlendChoice:
    """A blend of two emulsifiers for a recipe.

    Attributes
    ----------
    oils : OilPhaseHlb
        What the oil phase asks for, part by part.
    aimed_at : float or None
        The HLB that the blend is made for; None where the oil phase's is unknown and none was given.
    own_aim : bool
        Whether the maker says so; the oil phase does otherwise.
    blend : EmulsifierBlend or None
        None where nothing is aimed at.
    on_file : tuple of (HlbValue, ...)
        Every value of the first and of the second emulsifier, the one that is used first.
    findings : tuple of Finding
        The gravest first.
    """

    oils: OilPhaseHlb
    aimed_at: float | None
    own_aim: bool
    blend: EmulsifierBlend | None
    on_file: tuple[tuple[HlbValue, ...], tuple[HlbValue, ...]]
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """One row a value: emulsifier, HLB, use, share of the blend and of the whole [%], source, how checked."""
        of, blank = self.blend, (None, None)
        shares = [
            (of.first_percent, of.first_of_whole) if of else blank,
            (of.second_percent, of.second_of_whole) if of else blank,
        ]
        rows = [
            (values[0].name, hlb, use, *(share if use == "used" else blank), source, checked)
            for values, share in zip(self.on_file, shares, strict=True)
            for hlb, use, source, checked in value_rows(values)
        ]
        columns = ["emulsifier", "HLB", "use", "of the blend %", "of the whole %", "source", "checked"]
        return pd.DataFrame(rows, columns=columns).astype(dict.fromkeys(columns[3:5], "Float64"))


def blend_for(
    wanted_hlb: float,
    first: str | float,
    second: str | float,
    total_percent: float | None = None,
    own: OwnValues | None = None,
    folder: Path | str | None = None,
) -> EmulsifierBlend:
    """The blend of two emulsifiers that has a wanted HLB.

    ``share of the first = (wanted − h₂) / (h₁ − h₂)`` by mass, from the mean ``Σ m·h / Σ m`` (Griffin
    1954, from memory).

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
        raise QuantityError(
            f"{a.name} and {b.name} both have an HLB of {a.hlb:g}, so no blend of them sets one; choose one above and "
            f"one below {float(wanted):g}"
        )
    if not min(high, low) <= wanted <= max(high, low):
        raise QuantityError(
            f"an HLB of {float(wanted):g} lies outside {a.name} ({a.hlb:g}) and {b.name} ({b.hlb:g}); choose one "
            "emulsifier above it and one below"
        )
    share = (wanted - low) / (high - low)
    total = None if total_percent is None else exact_number(total_percent, "the emulsifiers together in %")
    if total is not None and not 0 < total <= 100:
        raise QuantityError(
            f"the emulsifiers together stand at {float(total):g} %; that is above 0 and at most 100 % of the whole"
        )
    step = "Make three samples: at this blend, one HLB lower and one higher; look after a day and after warm and cold."
    note = know("emulsion.how_far", (a.name, b.name), f"{LIMITS_OF_HLB}.", next_step=step, source=METHOD)
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
        like = "7.5, the supplier's sheet"
        raise NoticeError(f'"{text.strip()}" is no HLB of {what}: write a number, and where it is from, as in "{like}"')
    return float(typed_number(found[1], f"an HLB of {what}", "7.5")), (found[2] or "").strip() or OWN


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
        raise QuantityError(
            f"{first} is named twice; a blend takes two emulsifiers, one with an HLB above and one below what is wanted"
        )
    blend = None if aimed is None else blend_for(aimed, first, second, total_percent, own_emulsifiers, folder)
    on_file = [values_for((name,), table, own_emulsifiers) for name in (first, second)]
    found = [f for f in oils.findings if blend is None or f.code != "emulsion.method"] + _not_there(own_oils, oils)
    if not recipe.holds_water:
        text = f"{recipe.title} holds no water, so there is nothing to emulsify."
        step = "choose a recipe with water and an oil phase"
        found.append(look("emulsion.no_water", recipe.title, text, next_step=step, source="arithmetic"))
    step = "Ask the supplier, and make samples at both."
    found += [f for values in on_file if values for f in sources_differ(values[0].name, values, "HLB", step)]
    if blend is None:
        text = "What HLB to aim at is unknown, so no blend is worked out."
        step = "Give the missing values of your own, or an HLB to aim at."
        about = {"level": "unknown", "subject": f"{first} and {second}", "source": METHOD}
        found.append(look("emulsion.aim_unknown", (first, second), text, next_step=step, **about))
    else:
        found += [*blend.findings, *_range(oils, aim, blend, own_emulsifiers, folder)]
    return BlendChoice(oils, aimed, aim is not None, blend, (on_file[0], on_file[1]), in_order(found))


def _not_there(own: Mapping[str, object] | None, oils: OilPhaseHlb) -> list[Finding]:
    """Values of one's own for what is not in this oil phase, which a slip in a name would make of any."""
    used = {name_key(v.name) for part in oils.parts for v in part.published if v.checked == OWN}
    step = f"The parts are: {', '.join(part.name for part in oils.parts)}."
    text = "{} is not in this oil phase, so the value given for it is not used."
    names = [name for name in own or {} if name_key(name) not in used]
    return [look("emulsion.unused_value", name, text.format(name), next_step=step) for name in names]


def _range(
    oils: OilPhaseHlb, aim: float | None, blend: EmulsifierBlend, own: OwnValues | None, folder: Path | str | None
) -> list[Finding]:
    """What other sources of the oil phase would change, and that the maker's aim is another than the oil phase's."""
    found = []
    if aim is not None and oils.hlb is not None and abs(aim - oils.hlb) >= 0.05:
        text = f"The oil phase asks for {oils.hlb:.1f}, and {aim:g} is aimed at."
        found.append(look("emulsion.other_aim", "HLB aimed at", text, next_step="Make samples at both.", source=METHOD))
    if aim is None and oils.lowest is not None and oils.highest is not None and oils.highest > oils.lowest:
        pair = (blend.first.name, blend.second.name)
        ends = []
        for hlb in (oils.lowest, oils.highest):
            try:
                ends.append(f"{blend_for(hlb, *pair, None, own, folder).first_percent:.1f} % at {hlb:.1f}")
            except QuantityError:
                ends.append(f"out of this pair's reach at {hlb:.1f}")
        text = (
            f"Sources of the oil phase go from {oils.lowest:.1f} to {oils.highest:.1f}: the share of {pair[0]} would "
            f"be {ends[0]} and {ends[1]}."
        )
        step = "Make a sample at each end as well."
        found.append(look("emulsion.range", pair[0], text, next_step=step, source="arithmetic"))
    return found
