"""Small panels for a recipe before the bench: any text, a short bottle, a swap, thickness, preservatives along the pH. Each is controls, one call, and words or a picture."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as w

from maker_kit.formula.awake_strip import awake_strip
from maker_kit.formula.recipe import with_thickener_level
from maker_kit.formula.ways_on import SHORT, SWAP, WATER
from maker_kit.verdict.stock import CostedWays, short_bottle
from maker_kit.verdict.swap import SwapPlan, plan_swap
from maker_kit.workbook import charts_life, keep, show_life
from maker_kit.workbook.panels.call import FIELD, CallPanel, dropdown
from maker_kit.workbook.panels.controls import Level, guarded, sentence, text_box
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.picture import Picture
from maker_kit.workshop import Workshop


def text_panel(workshop: Workshop, text: str, answers: str = "") -> CallPanel:
    """A recipe in any mess, read as it is typed: lines, questions, percentages."""
    pasted = w.Textarea(value=text, description="recipe text", rows=8, continuous_update=False, **FIELD)
    replies = w.Textarea(value=answers, description="answers", rows=4, continuous_update=False, placeholder="line 2: amount = 56.7 g", **FIELD)

    def call() -> tuple[str, None]:
        parsed = show_life.read_text(workshop, pasted.value, replies.value)
        return "".join(sheet(parsed).html() for sheet in (show_life.questions_sheet, show_life.percent_sheet, show_life.sums_sheet, show_life.text_sheet)), None

    panel = CallPanel("maker-text", (pasted, replies), call)
    name, title, source = (w.Text(description=what, **FIELD) for what in ("short name", "title", "where it was found"))
    like = w.Dropdown(options=[(r.title, r.name) for r in workshop.recipes.values()], description="kept like", **FIELD)
    button, said = w.Button(description="save as a recipe"), text_box("maker-text-saved")

    def save() -> None:
        parsed = show_life.read_text(workshop, pasted.value, replies.value)
        said.value = sentence(show_life.save_text(workshop, parsed, name.value.strip(), title.value.strip(), source.value.strip(), like.value))

    kept = guarded(save, panel.fault)
    button.on_click(kept)
    panel.children = (*panel.children, name, title, source, like, button, said)
    return panel


def short_panel(workshop: Workshop, recipe: str, kit: str = "", have: str = "", makes: int = 4) -> CallPanel:
    """What is there against what is wanted, the four ways on, and a way kept as a table or a recipe."""
    there = w.Textarea(value=have, description="what is there", rows=3, continuous_update=False, placeholder="Propanediol = 32 g", **FIELD)
    wanted = Level("containers wanted", "containers", makes, 1, max(48, makes), 1, whole=True)
    wanted.row.add_class("maker-wanted")

    def stock() -> dict[str, float | str]:
        return show_life.stock_of(workshop, kit, there.value)

    def ways() -> CostedWays:
        return short_bottle(workshop, recipe, stock(), int(wanted.value))

    def call() -> tuple[str, Any]:
        reach = show_life.in_hand(workshop, recipe, stock())
        return show_life.ways_sheet(ways()).html() + show_life.fills_sheet(reach).html() + show_life.more_sheet(reach).html(), (reach, int(wanted.value))

    which = w.Dropdown(options=[("make up with the balance", WATER), (SWAP, SWAP), (SHORT, SHORT)], description="which way", **FIELD)
    below = keeping("maker-short", lambda file: keep.keep_table(workshop, ways(), file), f"{recipe}-ways.csv",
                    lambda *said: keep.keep_recipe(workshop, keep.way_recipe(ways(), which.value), *said), "a way on from a short bottle; untested", [which])
    return CallPanel("maker-short", (there, wanted), call, Picture(charts_life.draw_reach, 9.4, charts_life.reach_height), below=[below])


def swap_panel(workshop: Workshop, recipe: str, old: str, new: str, containers: int = 1) -> CallPanel:
    """One ingredient for another: what changes, and the changed recipe kept as a table or a recipe."""
    made = workshop.recipe(recipe)
    gone = dropdown("instead of", list(dict.fromkeys(line.ingredient for line in made.lines)), old)
    comes = dropdown("take", list(workshop.ingredients), new)

    count = Level("containers", "what the cost and the scale are looked at for", containers, 1, max(48, containers), 1, whole=True)
    count.row.add_class("maker-swap-count")

    def planned() -> SwapPlan:
        return plan_swap(workshop, recipe, gone.value, comes.value, int(count.value))

    below = keeping("maker-swap", lambda file: keep.keep_table(workshop, planned(), file), f"{recipe}-swap.csv",
                    lambda *said: keep.keep_recipe(workshop, planned().result.after, *said), "a swap; untested")
    return CallPanel("maker-swap", (gone, comes, count), lambda: (show_life.swap_sheet(planned()).html(), None), below=[below])


def thickness_panel(workshop: Workshop, recipe: str) -> CallPanel:
    """The thickener's level against the ladder: predicted thickness, the shop's ring, the wall."""
    made = workshop.recipe(recipe)
    curve = show_life.ladder_of(workshop, made)
    level = Level("thickener level", "% of the whole", made.percent_of(made.thickener), 0.0, round(1.5 * curve.highest, 2), 0.01)
    level.row.add_class("maker-ladder-level")

    def call() -> tuple[str, Any]:
        moved = with_thickener_level(made, level.value)
        return show_life.ladder_sheet(workshop, moved).html(), show_life.ladder_shown(workshop, moved, level.value)

    return CallPanel("maker-ladder", (level,), call, Picture(charts_life.draw_ladder, 9.4, 4.2))


def awake_panel(workshop: Workshop, recipe: str) -> CallPanel:
    """A reading of the pH: which share of each preservative is awake, and what that means."""
    made = workshop.recipe(recipe)
    reading = Level("pH that was read", "only a reading counts; none is computed", made.ph_read or 5.0, 3.0, 9.0, 0.1)
    reading.row.add_class("maker-ph")

    def call() -> tuple[str, Any]:
        read = replace(made, ph_read=reading.value)
        return show_life.preservation_sheet(read).html(), awake_strip(read)

    return CallPanel("maker-awake", (reading,), call, Picture(charts_life.draw_awake, 9.4, 4.0))
