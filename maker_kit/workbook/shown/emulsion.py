"""The blend of two emulsifiers as a maker reads it: what the oil phase asks for, what is aimed at, the share of each, with every source."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd

from maker_kit.errors import NoticeError, QuantityError
from maker_kit.formula.emulsion.blend_choice import BlendChoice, choose_blend, own_value
from maker_kit.formula.emulsion.emulsion import required_hlb
from maker_kit.formula.emulsion.hlb import emulsifier_values
from maker_kit.numbers import typed_number
from maker_kit.workbook.charts import split as charts_split
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.shown.answers import read_answers
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet
from maker_kit.workshop import Workshop


def emulsifiers() -> tuple[tuple[str, str], ...]:
    """Every emulsifier on file, from the lowest HLB to the highest: its name with its HLB, and its name."""
    return tuple(
        (f"{v.name} (HLB {v.hlb:g})", v.name) for v in sorted(emulsifier_values(), key=lambda v: (v.hlb, v.name))
    )


def blend(
    workshop: Workshop,
    recipe: str,
    first: str,
    second: str,
    aim: str = "",
    total_percent: float | None = None,
    own_oils: str = "",
    own_first: str = "",
    own_second: str = "",
) -> BlendChoice:
    """A blend of two emulsifiers for a recipe, from what was typed.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
    first, second : str
        Emulsifiers by name.
    aim : str
        HLB to aim at; empty for what the oil phase asks for.
    total_percent : float, optional
        Both emulsifiers together [% of the whole].
    own_oils : str
        Required HLB of oils by the maker's own sources: lines ``Sunflower oil = 7, where it is from``, or with ";" between them.
    own_first, own_second : str
        The maker's own HLB of each emulsifier, with where it is from; empty for what is on file.

    Returns
    -------
    BlendChoice

    Raises
    ------
    MakerKitError
        If a value is none, and as `maker_kit.formula.emulsion.blend_choice.choose_blend` does.
    """
    own = {name: own_value(text, name) for name, text in ((first, own_first), (second, own_second)) if text.strip()}
    return choose_blend(workshop.recipe(recipe), first, second, _aim(aim), total_percent, own_of_oils(own_oils), own)


def own_of_oils(text: str) -> Mapping[str, tuple[float, str]]:
    """Required HLB of oils by the maker's own sources, from lines ``Sunflower oil = 7, where it is from``."""
    return {
        name: own_value(value, name)
        for name, value in read_answers(text.replace(";", "\n"), "Sunflower oil = 7, the supplier's sheet").items()
    }


def oils_sheet(choice: BlendChoice) -> Sheet:
    """The oil phase part by part: share, required HLB, source."""
    return _oils(choice.oils.to_frame())


def emulsion_sheet(workshop: Workshop, recipe: str, own_oils: str = "") -> Sheet:
    """The required HLB of a recipe's oil phase, part by part, with sources; unknown where no value is on file and none of one's own is given."""
    return _oils(required_hlb(workshop.recipe(recipe), own_of_oils(own_oils)).to_frame())


def blend_sheet(choice: BlendChoice) -> Sheet:
    """The two emulsifiers: HLB, share of the blend and of the whole, source; other sources beside them."""
    frame = choice.to_frame()
    shown = pd.DataFrame(
        {
            "emulsifier": frame["emulsifier"],
            "HLB": [f"{v:g}" for v in frame["HLB"]],
            "use": frame["use"],
            "of the blend [%]": _numbers(frame, "of the blend %", choice),
            "of the whole [%]": _numbers(frame, "of the whole %", choice),
            "source": frame["source"],
            "checked": frame["checked"],
        }
    )
    return Sheet(shown, left=("emulsifier", "use", "source", "checked"))


def blend_notes(choice: BlendChoice) -> Sheet:
    """What is unknown, where sources differ, and how far to trust it."""
    return findings_sheet(choice.findings)


def blend_picture(choice: BlendChoice) -> Still:
    """Where the blend stands between the two emulsifiers."""
    return Still(Picture(charts_split.draw_blend, 9.4, 2.6).png(choice), charts_split.words_of_blend(choice))


def _aim(text: str) -> float | None:
    try:
        return float(typed_number(text, "an HLB", "10")) if text.strip() else None
    except QuantityError as error:
        msg = f'"{text.strip()}" is no HLB to aim at: write a number such as 10, or leave it empty'
        raise NoticeError(msg) from error


def _oils(frame: pd.DataFrame) -> Sheet:
    shown = pd.DataFrame(
        {
            "part": frame["part"],
            "share of the oil phase [%]": [f"{v:.2f}" for v in frame["share of the oil phase %"]],
            "required HLB": ["unknown" if pd.isna(v) else f"{v:g}" for v in frame["required HLB"]],
            "use": frame["use"],
            "source": frame["source"],
            "checked": frame["checked"],
        }
    )
    return Sheet(shown, left=("part", "use", "source", "checked"))


def _numbers(frame: pd.DataFrame, column: str, choice: BlendChoice) -> list[str]:
    blank = "unknown" if choice.blend is None else "–"
    return [
        (blank if use == "used" else "") if pd.isna(v) else f"{v:.2f}"
        for v, use in zip(frame[column], frame["use"], strict=True)
    ]
