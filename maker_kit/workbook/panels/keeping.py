"""Keeping what was tried, under a panel and closed until it is wanted: its table as CSV, its recipe in the workshop."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

from maker_kit.formula.recipe import Recipe
from maker_kit.workbook.keep import keep_recipe, keep_table
from maker_kit.workbook.panels.call import keep_button
from maker_kit.workbook.panels.controls import field, text_box
from maker_kit.workshop import Workshop


def keeping(
    name: str,
    workshop: Workshop,
    result: Callable[[], Any],
    file: str,
    recipe: Callable[[], Recipe] | None = None,
    source: str = "",
    which: Sequence[w.Widget] = (),
) -> w.VBox:
    """The two ways to keep what is shown.

    Parameters
    ----------
    name : str
        Class of the panel it belongs to; what is said stands in ``NAME-kept``, a fault in ``NAME-kept-fault``.
    workshop : Workshop
    result : callable
        Gives what has the table, as `keep_table` takes it.
    file : str
        File name that is proposed.
    recipe : callable, optional
        Gives the changed recipe.
    source : str
        Where it is from, as proposed.
    which : sequence of ipywidgets.Widget
        What else says which recipe is kept.

    Returns
    -------
    ipywidgets.VBox
    """
    fault, said = text_box(f"{name}-kept-fault"), text_box(f"{name}-kept")

    path = field("file name", file)
    table = keep_button("save the table as CSV", lambda: keep_table(workshop, result(), path.value), fault, said)
    boxes = {"keep the table": [path, table]}
    if recipe is not None:
        fields = [field("short name"), field("title"), field("where it is from", source)]

        def save() -> str:
            return keep_recipe(workshop, recipe(), *(box.value.strip() for box in fields))

        kept = keep_button("save as a recipe", save, fault, said)
        boxes["keep the changed recipe"] = [*which, *fields, kept]
    folded = w.Accordion([w.VBox(inside) for inside in boxes.values()], titles=tuple(boxes), selected_index=None)
    both = w.VBox([folded, fault, said])
    both.add_class(f"{name}-keeping")
    return both
