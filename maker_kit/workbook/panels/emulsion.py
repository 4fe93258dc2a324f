"""A blend of two emulsifiers for an oil phase: which two, values of one's own, the HLB to aim at, how much of both."""

from __future__ import annotations

from maker_kit.formula.emulsion.blend_choice import BlendChoice
from maker_kit.formula.emulsion.hlb import emulsifier_values
from maker_kit.workbook import asked
from maker_kit.workbook.charts.emulsion import BLEND
from maker_kit.workbook.panels.call import CallPanel, result_panel
from maker_kit.workbook.panels.controls import dropdown, field, look, recipe_choice, slider_to
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown.emulsion import blend_sheet, oils_sheet
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workshop import Workshop

MOST_TOTAL, TOTAL_STEP = 15.0, 0.1


def blend_panel(
    workshop: Workshop,
    recipe: str,
    first: str,
    second: str,
    own_oils: str = "",
    aim: str = "",
    total_percent: float = 5.0,
) -> CallPanel:
    """Two emulsifiers for what an oil phase asks for: the share of each, with every source, and what is unknown.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first.
    first, second : str
        Emulsifiers by name.
    own_oils : str
        Required HLB of oils by the maker's own sources; see `maker_kit.workbook.typed.own_of_oils`.
    aim : str
        HLB to aim at; empty for what the oil phase asks for.
    total_percent : float
        Both emulsifiers together [% of the whole].
    """
    made = recipe_choice(workshop, recipe)
    lines = "\n".join(part.strip() for part in own_oils.split(";"))
    oils = field("own HLB of oils", lines, "Sunflower oil = 7, where it is from", rows=4, **look("50em"))
    goal = field("HLB to aim at", aim, "empty: what the oil phase asks for")
    by_hlb = sorted(emulsifier_values(), key=lambda v: (v.hlb, v.name))
    on_file = [(f"{v.name} (HLB {v.hlb:g})", v.name) for v in by_hlb]
    pair = [dropdown(f"{which} emulsifier", on_file, name) for which, name in (("first", first), ("second", second))]
    hint = "empty: as on file; or 7.5, where it is from"
    own = [field(f"own HLB, {which}", placeholder=hint) for which in ("first", "second")]
    unit, css = "% of the whole", "maker-blend-total"
    total = slider_to(MOST_TOTAL, "both together", unit, total_percent, 0.1, TOTAL_STEP, css=css)

    def choice() -> BlendChoice:
        names, typed = (box.value for box in (made, *pair, goal)), (box.value for box in (oils, *own))
        return asked.blend(workshop, *names, total.value, *typed)

    return result_panel(
        "maker-blend",
        (made, oils, goal, pair[0], own[0], pair[1], own[1], total),
        choice,
        (blend_sheet, lambda found: oils_sheet(found.oils), lambda found: findings_sheet(found.findings)),
        BLEND,
        below=[keeping("maker-blend", workshop, choice, "blend.csv")],
    )
