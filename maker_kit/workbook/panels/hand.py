"""What a maker has in hand: one recipe, one kit, one count, one set of weighed amounts, for all that is asked of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import ipywidgets as w

from maker_kit.formula.batch import as_bought
from maker_kit.formula.changes.received import Received
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.plan.kit_received import first_kit, receive_kit
from maker_kit.plan.stock import find_kit
from maker_kit.workbook.asked import stock_that_came
from maker_kit.workbook.panels.controls import counter, dropdown, field, look, recipe_choice, row
from maker_kit.workbook.typed import read_answers, read_slip
from maker_kit.workshop import Workshop

MOST_CONTAINERS, SOME = 48, 4
NO_KIT = "none: what stands on the shelf"
NAME, BOX = "10.5em", "6.5em"
HINT = "Without the pack; a number alone is grams."


class Slips:
    """Two boxes for each thing: on the scale, and on the label.

    Parameters
    ----------
    things : Mapping of str to str
        Thing → what the kit list says of it; empty where there is none.
    workshop : Workshop
        Whose ingredients are weighed; the rest is counted.
    scale, label : Mapping of str to str
        What stands in the boxes first; a name that is not among the things gets boxes too.
    """

    def __init__(
        self, things: Mapping[str, str], workshop: Workshop, scale: Mapping[str, str], label: Mapping[str, str]
    ) -> None:
        self._boxes: dict[str, tuple[w.Text, w.Text]] = {}
        for item in dict.fromkeys([*things, *scale, *label]):
            how = "g" if item in workshop.ingredients else "pieces"
            listed = things.get(item) or "–"
            tight = {"margin": "0 2px", "width": BOX}
            wide = {"style": {"description_width": NAME}, "layout": {**tight, "width": f"calc({NAME} + {BOX})"}}
            self._boxes[item] = (
                field(item, scale.get(item, ""), how, tooltip=f"{item}, on the scale", **wide),
                field("", label.get(item, ""), listed, tooltip=f"label of {item}", layout=tight),
            )
        self.rows = tuple(w.HBox(boxes) for boxes in self._boxes.values())
        self.controls = tuple(box for boxes in self._boxes.values() for box in boxes)

    def typed(self) -> Iterator[dict[str, str]]:
        """What stands in the boxes: on the scale, and on the labels."""
        for at in (0, 1):
            yield read_slip({item: boxes[at].value for item, boxes in self._boxes.items()})


class Hand:
    """The controls that all questions about what is in hand share.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Empty for the one that the kit is meant for, or the workshop's first.
    kit : str
        Its name, or a part of it; empty for the first that is meant for the recipe.
    scale, labels : str
        What the scale shows and the labels say to begin with, as lines ``Propanediol = 28.9``.
    makes : int
        Containers wanted; 0 for what the kit is meant to make.

    Raises
    ------
    UnknownNameError
        If there is no such recipe or kit.
    """

    def __init__(
        self, workshop: Workshop, recipe: str = "", kit: str = "", scale: str = "", labels: str = "", makes: int = 0
    ) -> None:
        self.workshop, self._busy = workshop, False
        self._calls: list[Callable[..., None]] = []
        chosen = find_kit(workshop, kit) if kit.strip() else first_kit(workshop, recipe)
        made = recipe or (chosen.recipe if chosen else "") or next(iter(workshop.recipes), "")
        count = makes or (chosen.makes if chosen else None) or SOME
        options = [(NO_KIT, ""), *((k.name, k.name) for k in workshop.kits)]
        near = look("25em", "3em")
        self.kit = dropdown("kit", options, chosen.name if chosen else "", **near)
        self.recipe = recipe_choice(workshop, made, **look("25em", "4em"))
        room = {"css": "maker-wanted", "widths": ("9.5em", "13.5em", "9em")}
        self.wanted = counter("containers wanted", "", count, max(MOST_CONTAINERS, count), **room)
        self.row = row([self.kit, self.recipe, self.wanted.row])
        self.boxes = w.VBox(layout={"max_height": "25.5em", "overflow": "hidden auto", "width": "100%"})
        self._place(read_answers(scale), read_answers(labels))
        self.kit.observe(self._another_kit, names="value")
        self.recipe.observe(self._another_recipe, names="value")
        self.wanted.watch(self._changed)

    @property
    def made(self) -> Recipe:
        """The recipe that is looked at."""
        return self.workshop.recipe(self.recipe.value)

    def received(self) -> Received | None:
        """What came against recipe, kit list and scale; None where there is no kit and nothing was weighed."""
        scale, labels = self.slips.typed()
        if not (self.kit.value or scale or labels):
            return None
        return receive_kit(self.workshop, self.kit.value, scale, labels, self.recipe.value, self.wanted.value)

    def there(self, more: str = "") -> dict[str, Any]:
        """What there is: as weighed, else as its label says, else as the kit list says; and what is named besides."""
        return stock_that_came(self.workshop, self.received(), more)

    def watch(self, call: Callable[..., None]) -> None:
        """Call whenever recipe, kit, count or an amount changes."""
        self._calls.append(call)

    def _place(self, scale: Mapping[str, str], labels: Mapping[str, str]) -> None:
        """Boxes for what the kit holds; without a kit, for what the recipe takes."""
        if self.kit.value:
            listed = find_kit(self.workshop, self.kit.value).listed
            things = {item: n.text or f"{n.value:g} {n.unit}" for item, n in listed.items()}
        else:
            things = dict.fromkeys([*as_bought(self.made), self.made.container], "")
        spelled = {name_key(name): name for name in (*things, *self.workshop.ingredients, *self.workshop.containers)}
        typed = ({spelled.get(name_key(n), n): v for n, v in slip.items()} for slip in (scale, labels))
        self.slips = Slips(things, self.workshop, *typed)
        self.boxes.children = self.slips.rows
        for box in self.slips.controls:
            box.observe(self._changed, names="value")

    def _another_kit(self, *_: Any) -> None:
        self._busy = True
        try:
            if self.kit.value:
                plan = find_kit(self.workshop, self.kit.value)
                self.recipe.value = plan.recipe or self.recipe.value
                count = plan.makes or self.wanted.value
                self.wanted.reach(count, 1, max(MOST_CONTAINERS, count), 1)
            self._place({}, {})
        finally:
            self._busy = False
        self._changed()

    def _another_recipe(self, *_: Any) -> None:
        if not self._busy and not self.kit.value:
            scale, labels = self.slips.typed()
            self._place(scale, labels)
        self._changed()

    def _changed(self, *_: Any) -> None:
        if not self._busy:
            for call in self._calls:
                call()
