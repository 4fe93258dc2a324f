"""A blend of two emulsifiers as a maker reads it: what the oil phase asks for, the share of each, every source."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from maker_kit.formula.emulsion.blend_choice import BlendChoice
from maker_kit.formula.emulsion.emulsion import OilPhaseHlb
from maker_kit.workbook.shown.sheets import Sheet

WORDS = ("use", "source", "checked")


def blend_answer(choice: BlendChoice) -> str:
    """The share of each emulsifier for the HLB that is aimed at, in one sentence."""
    blend = choice.blend
    if blend is None:
        return f"What HLB to aim at is unknown: no required HLB is on file for {', '.join(choice.oils.unknown)}"
    parts = [(blend.first, blend.first_of_whole), (blend.second, blend.second_of_whole)]
    shares = [value.name if of is None else f"{of:.2f} % of the whole {value.name}" for value, of in parts]
    by_mass = f"{blend.first_percent:.1f} to {blend.second_percent:.1f} by mass"
    return f"HLB {blend.wanted_hlb:.1f}: {by_mass}; {' and '.join(shares)}"


def oils_sheet(oils: OilPhaseHlb) -> Sheet:
    """The oil phase part by part: share, required HLB, source; unknown where no value is on file or one's own."""
    frame = oils.to_frame()
    unknown = ["unknown"] * len(frame)
    frame["required HLB"] = _figures(frame["required HLB"], "g", unknown)
    frame["share of the oil phase [%]"] = _figures(frame["share of the oil phase %"], ".2f", unknown)
    shown = ["part", "share of the oil phase [%]", "required HLB", *WORDS]
    return Sheet(frame, ("part", *WORDS), columns=shown)


def blend_sheet(choice: BlendChoice) -> Sheet:
    """The two emulsifiers: HLB, share of the blend and of the whole, source; other sources beside them."""
    frame = choice.to_frame()
    used = (frame["use"] == "used").map({True: "unknown" if choice.blend is None else "–", False: ""})
    frame["HLB"] = _figures(frame["HLB"], "g", used)
    for of in ("blend", "whole"):
        frame[f"of the {of} [%]"] = _figures(frame[f"of the {of} %"], ".2f", used)
    shown = ["emulsifier", "HLB", "use", "of the blend [%]", "of the whole [%]", *WORDS[1:]]
    return Sheet(frame, ("emulsifier", *WORDS), columns=shown)


def _figures(column: pd.Series, form: str, blanks: Iterable[str]) -> list[str]:
    return [blank if pd.isna(v) else format(v, form) for v, blank in zip(column, blanks, strict=True)]
