"""A blend of two emulsifiers for a recipe's oil phase: which two, with values of one's own, the HLB to aim at, and how much of both together."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.workbook import keep
from maker_kit.workbook.charts import split as charts_split
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.call import FIELD, CallPanel, dropdown
from maker_kit.workbook.panels.controls import Level
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown import emulsion as show_blend
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
        Required HLB of oils by the maker's own sources; see `maker_kit.workbook.shown.emulsion.own_of_oils`.
    aim : str
        HLB to aim at; empty for what the oil phase asks for.
    total_percent : float
        Both emulsifiers together [% of the whole].
    """
    made = w.Dropdown(
        options=[(r.title, r.name) for r in workshop.recipes.values()],
        value=workshop.recipe(recipe).name,
        description="recipe",
        **FIELD,
    )
    oils = w.Textarea(
        value="\n".join(part.strip() for part in own_oils.split(";")),
        description="own HLB of oils",
        rows=4,
        continuous_update=False,
        placeholder="Sunflower oil = 7, where it is from",
        style=FIELD["style"],
        layout=w.Layout(width="50em"),
    )
    goal = w.Text(
        value=aim,
        description="HLB to aim at",
        placeholder="empty: what the oil phase asks for",
        continuous_update=False,
        **FIELD,
    )
    on_file = list(show_blend.emulsifiers())
    pair = [dropdown(f"{which} emulsifier", on_file, name) for which, name in (("first", first), ("second", second))]
    own = [
        w.Text(
            description=f"own HLB, {which}",
            placeholder="empty: as on file; or 7.5, where it is from",
            continuous_update=False,
            **FIELD,
        )
        for which in ("first", "second")
    ]
    total = Level("both together", "% of the whole", total_percent, 0.1, max(MOST_TOTAL, total_percent), TOTAL_STEP)
    total.row.add_class("maker-blend-total")

    def choice() -> Any:
        return show_blend.blend(
            workshop,
            made.value,
            pair[0].value,
            pair[1].value,
            goal.value,
            total.value,
            oils.value,
            own[0].value,
            own[1].value,
        )

    def call() -> tuple[str, Any]:
        found = choice()
        return show_blend.blend_sheet(found).html() + show_blend.oils_sheet(found).html() + show_blend.blend_notes(
            found
        ).html(), found

    below = keeping("maker-blend", lambda file: keep.keep_table(workshop, choice(), file), "blend.csv")
    return CallPanel(
        "maker-blend",
        (made, oils, goal, pair[0], own[0], pair[1], own[1], total),
        call,
        Picture(charts_split.draw_blend, 9.4, 2.6),
        below=[below],
    )
