"""A kit that came: a box for what the scale shows of each thing and one for what its label says, against kit list and recipe."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.formula.changes.received import Received
from maker_kit.names import by_key, name_key
from maker_kit.plan.stock import find_kit
from maker_kit.workbook import keep
from maker_kit.workbook.charts import split as charts_split
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.call import CallPanel, dropdown
from maker_kit.workbook.panels.controls import Level, sentence
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown import kit as show_kit
from maker_kit.workbook.shown.answers import read_answers
from maker_kit.workshop import Kit, Workshop

MOST_CONTAINERS = 48


class Slips:
    """Two boxes for each thing of a kit: on the scale, and on the label.

    Parameters
    ----------
    plan : Kit
    workshop : Workshop
        Whose ingredients are weighed; the rest is counted.
    scale, label : dict of str to str
        What stands in the boxes first.
    """

    def __init__(self, plan: Kit, workshop: Workshop, scale: dict[str, str], label: dict[str, str]) -> None:
        self.scale, self.label = {}, {}
        rows = []
        for item in dict.fromkeys([*plan.listed, *scale, *label]):
            amount = plan.listed.get(item)
            listed = (
                "not on the kit list"
                if amount is None
                else f"listed: {amount.text or f'{amount.value:g} {amount.unit}'}"
            )
            weighed = item in workshop.ingredients
            self.scale[item] = w.Text(
                value=scale.get(item, ""),
                description=item,
                placeholder="net on the scale, g" if weighed else "counted, pieces",
                continuous_update=False,
                tooltip=item,
                style={"description_width": "11em"},
                layout=w.Layout(width="26em"),
            )
            self.label[item] = w.Text(
                value=label.get(item, ""),
                description=f"label of {item}",
                placeholder=listed,
                continuous_update=False,
                tooltip=f"what the label of {item} says",
                style={"description_width": "13em"},
                layout=w.Layout(width="28em"),
            )
            rows.append(w.HBox([self.scale[item], self.label[item]], layout=w.Layout(flex_flow="row wrap")))
        self.rows = tuple(rows)
        self.controls = (*self.scale.values(), *self.label.values())

    def typed(self, boxes: dict[str, w.Text]) -> dict[str, str]:
        """What stands in the boxes."""
        return {item: box.value for item, box in boxes.items()}


def kit_panel(
    workshop: Workshop, kit: str, scale: str = "", labels: str = "", recipe: str = "", makes: int = 1
) -> w.Widget:
    """A kit against recipe and scale: choose it, write down what the scale shows, see what is short.

    Parameters
    ----------
    workshop : Workshop
    kit : str
        Which is shown first: its name, or a part of it; empty for the first of the workshop, with nothing weighed yet.
    scale, labels : str
        What the scale shows and what the labels say to begin with: lines ``Propanediol = 28.9``, or with ";" between them.
    recipe : str
        Used where the kit names none; the workshop's first where neither does.
    makes : int
        Containers wanted, where the kit does not say how many it makes.
    """
    if not workshop.kits:
        return w.HTML(sentence("No kit is on file: write what a kit holds into kits.csv, and it can be checked here."))
    if not kit.strip():
        kit, scale, labels = workshop.kits[0].name, "", ""
    first = find_kit(workshop, kit)
    start = first.recipe or workshop.recipe(recipe or next(iter(workshop.recipes))).name
    began = show_kit.received(workshop, kit, scale, labels, start, first.makes or makes)
    named = {row.item: row for row in began.rows}
    which = dropdown("kit", [k.name for k in workshop.kits], first.name)
    made = dropdown("for the recipe", [(r.title, r.name) for r in workshop.recipes.values()], start)
    wanted = Level("containers wanted", "containers", began.makes, 1, max(MOST_CONTAINERS, began.makes), 1, whole=True)
    wanted.row.add_class("maker-kit-wanted")
    state: dict[str, Any] = {"slips": Slips(first, workshop, _spelled(scale, named), _spelled(labels, named))}
    boxes = w.VBox(state["slips"].rows)

    def received() -> Received:
        slips = state["slips"]
        return show_kit.received(
            workshop, which.value, slips.typed(slips.scale), slips.typed(slips.label), made.value, int(wanted.value)
        )

    def call() -> tuple[str, Any]:
        found = received()
        return show_kit.received_sheet(found).html() + show_kit.received_notes(found).html(), found

    below = keeping("maker-kit", lambda file: keep.keep_table(workshop, received(), file), "kit.csv")
    hint = w.HTML(
        sentence(
            "Weigh each thing without its pack. A number alone is grams; other units are written out (oz wt, fl oz, mL). Where no label is read, the scale is compared with the kit list."
        )
    )
    panel = CallPanel(
        "maker-kit",
        (made, wanted, *state["slips"].controls),
        call,
        Picture(charts_split.draw_received, 9.4, charts_split.received_height),
        rows=[which, made, wanted.row, hint, boxes],
        below=[below],
    )

    def changed(_: object) -> None:
        plan = find_kit(workshop, which.value)
        state["slips"] = Slips(plan, workshop, {}, {})
        boxes.children = state["slips"].rows
        panel.watch(state["slips"].controls)
        made.value = plan.recipe or made.value
        wanted.reach(plan.makes or 1, 1, max(MOST_CONTAINERS, plan.makes or 1), 1)
        panel.redraw()

    which.observe(changed, names="value")
    return panel


def _spelled(text: str, named: dict[str, Any]) -> dict[str, str]:
    """What was given to begin with, under the workshop's own spelling."""
    folded = by_key({name: name for name in named})
    return {folded.get(name_key(name), name): amount for name, amount in read_answers(text.replace(";", "\n")).items()}
