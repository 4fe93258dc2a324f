"""A blend of two emulsifiers for an oil phase: which two, values of one's own, the HLB to aim at, how much of both."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.formula.emulsion.blend_choice import BlendChoice
from maker_kit.formula.emulsion.hlb import emulsifier_values
from maker_kit.workbook import asked
from maker_kit.workbook.charts.emulsion import BLEND
from maker_kit.workbook.fitting import first_recipe, has_emulsifier, has_oil_phase
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import dropdown, field, look, recipe_choice, sentence, slider_to
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.screen import SLIDER
from maker_kit.workbook.shown.emulsion import blend_answer, blend_sheet, oils_sheet
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workshop import Workshop

MOST_TOTAL, TOTAL_STEP = 15.0, 0.1
WIDE = look("26em", "9em")
NO_OILS = "No recipe of this workshop has water and an oil phase, so there is nothing to emulsify."


def blend_panel(
    workshop: Workshop,
    recipe: str,
    first: str,
    second: str,
    own_oils: str = "",
    aim: str = "",
    total_percent: float = 5.0,
) -> w.Widget:
    """Two emulsifiers for what an oil phase asks for: the share of each, with every source, and what is unknown.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first; empty for the first that has an oil phase.
    first, second : str
        Emulsifiers by name.
    own_oils : str
        Required HLB of oils by the maker's own sources; see `maker_kit.workbook.typed.own_of_oils`.
    aim : str
        HLB to aim at; empty for what the oil phase asks for.
    total_percent : float
        Both emulsifiers together [% of the whole].
    """
    begun = first_recipe(workshop, recipe, has_emulsifier, has_oil_phase)
    if not recipe and not has_oil_phase(workshop, begun):
        return w.HTML(sentence(NO_OILS))
    made = recipe_choice(workshop, begun.name)
    lines = "\n".join(part.strip() for part in own_oils.split(";"))
    oils = field("own HLB of oils", lines, "Sunflower oil = 7, where it is from", rows=3, **WIDE)
    goal = field("HLB to aim at", aim, "empty: what the oils ask for", **WIDE)
    by_hlb = sorted(emulsifier_values(), key=lambda v: (v.hlb, v.name))
    on_file = [(f"{v.name} (HLB {v.hlb:g})", v.name) for v in by_hlb]
    named = (("first", first), ("second", second))
    pair = [dropdown(f"{which} emulsifier", on_file, name, **WIDE) for which, name in named]
    hint = "empty: as on file; or 7.5, where from"
    own = [field(f"own HLB, {which}", placeholder=hint, **WIDE) for which in ("first", "second")]
    unit, css = "% of the whole", "maker-blend-total"
    total = slider_to(MOST_TOTAL, "both together", unit, total_percent, 0.1, TOTAL_STEP, css=css, widths=SLIDER)

    def choice() -> BlendChoice:
        names, typed = (box.value for box in (made, *pair, goal)), (box.value for box in (oils, *own))
        return asked.blend(workshop, *names, total.value, *typed)

    def call() -> Shown:
        found = choice()
        return {
            "answer": blend_answer(found),
            "stops": found.findings,
            "picture": found,
            "words": (blend_sheet(found), findings_sheet(found.findings)),
            "oils": lambda: oils_sheet(found.oils),
        }

    return LateScreen(
        "maker-blend",
        (made, oils, goal, pair[0], own[0], pair[1], own[1], total),
        call,
        {"picture": BLEND},
        {"shares": "words", "the oils": "oils"},
        rows=[made, total.row, pair[0], own[0], pair[1], own[1], goal, oils],
        below=[keeping("maker-blend", workshop, choice, "blend.csv")],
    )
