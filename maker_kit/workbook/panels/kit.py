"""A kit that came: a box for what the scale shows of each thing, and one for what its label says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import ipywidgets as w

from maker_kit.formula.changes.received import Received
from maker_kit.names import name_key
from maker_kit.plan.kit_received import receive_kit
from maker_kit.plan.stock import find_kit
from maker_kit.workbook.asked import kit_came
from maker_kit.workbook.charts.kit import RECEIVED
from maker_kit.workbook.panels.call import result_panel
from maker_kit.workbook.panels.controls import counter, dropdown, field, look, recipe_choice, row, sentence
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown.kit import received_notes, received_sheet
from maker_kit.workbook.typed import read_answers, read_slip
from maker_kit.workshop import Kit, Workshop

MOST_CONTAINERS = 48
NO_KIT = "No kit is on file: write what a kit holds into kits.csv, and it can be checked here."
HINT = (
    "Weigh each thing without its pack. A number alone is grams; other units are written out (oz wt, fl oz, mL). "
    "Where no label is read, the scale is compared with the kit list."
)


class Slips:
    """Two boxes for each thing of a kit: on the scale, and on the label.

    Parameters
    ----------
    plan : Kit
    workshop : Workshop
        Whose ingredients are weighed; the rest is counted.
    scale, label : Mapping of str to str
        What stands in the boxes first.
    """

    def __init__(self, plan: Kit, workshop: Workshop, scale: Mapping[str, str], label: Mapping[str, str]) -> None:
        self._boxes: dict[str, tuple[w.Text, w.Text]] = {}
        for item in dict.fromkeys([*plan.listed, *scale, *label]):
            amount = plan.listed.get(item)
            listed = f"listed: {amount.text or f'{amount.value:g} {amount.unit}'}" if amount else "not on the kit list"
            how = "net on the scale, g" if item in workshop.ingredients else "counted, pieces"
            says = f"label of {item}"
            self._boxes[item] = (
                field(item, scale.get(item, ""), how, tooltip=item, **look("26em")),
                field(says, label.get(item, ""), listed, tooltip=says, **look("28em", "13em")),
            )
        self.rows = tuple(map(row, self._boxes.values()))
        self.controls = tuple(box for boxes in self._boxes.values() for box in boxes)

    def typed(self) -> Iterator[dict[str, str]]:
        """What stands in the boxes: on the scale, and on the labels."""
        for at in (0, 1):
            yield read_slip({item: boxes[at].value for item, boxes in self._boxes.items()})


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
        What the scale shows and what the labels say to begin with, as lines ``Propanediol = 28.9``.
    recipe : str
        Used where the kit names none; the workshop's first where neither does.
    makes : int
        Containers wanted, where the kit does not say how many it makes.
    """
    if not workshop.kits:
        return w.HTML(sentence(NO_KIT))
    if not kit.strip():
        kit, scale, labels = workshop.kits[0].name, "", ""
    first = find_kit(workshop, kit)
    start = first.recipe or workshop.recipe(recipe or next(iter(workshop.recipes))).name
    began = kit_came(workshop, kit, scale, labels, start, makes)
    spelled = {name_key(row.item): row.item for row in began.rows}
    typed = ({spelled.get(name_key(n), n): v for n, v in read_answers(text).items()} for text in (scale, labels))
    slips = Slips(first, workshop, *typed)
    which = dropdown("kit", [k.name for k in workshop.kits], first.name)
    made = recipe_choice(workshop, start, "for the recipe")
    wanted = counter("containers wanted", "containers", began.makes, MOST_CONTAINERS, css="maker-kit-wanted")
    boxes = w.VBox(slips.rows)

    def received() -> Received:
        return receive_kit(workshop, which.value, *slips.typed(), made.value, wanted.value)

    panel = result_panel(
        "maker-kit",
        (made, wanted, *slips.controls),
        received,
        (received_sheet, received_notes),
        RECEIVED,
        rows=[which, made, wanted.row, w.HTML(sentence(HINT)), boxes],
        below=[keeping("maker-kit", workshop, received, "kit.csv")],
    )

    def changed(_: object) -> None:
        nonlocal slips
        plan = find_kit(workshop, which.value)
        slips = Slips(plan, workshop, {}, {})
        boxes.children = slips.rows
        panel.watch(slips.controls)
        made.value = plan.recipe or made.value
        count = plan.makes or 1
        wanted.reach(count, 1, max(MOST_CONTAINERS, count), 1)
        panel.redraw()

    which.observe(changed, names="value")
    return panel
