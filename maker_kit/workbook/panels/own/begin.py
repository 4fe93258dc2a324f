"""What stands in place of a screen in a workshop that holds no recipe yet, and over one whose tables have faults."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import ipywidgets as w

from maker_kit.workbook.panels.controls import sentence
from maker_kit.workbook.shown.answers import answer, faults_told
from maker_kit.workbook.shown.own.begin import first_steps
from maker_kit.workshop import Workshop

Panel = Callable[..., w.Widget]


def once_begun(panel: Panel) -> Panel:
    """The panel, with what is wrong with the tables over it; or what to fill in first where the workshop has no recipe.

    Parameters
    ----------
    panel : callable
        Its first argument is the workshop.
    """

    @wraps(panel)
    def shown(workshop: Workshop, *args: Any, **more: Any) -> w.Widget:
        if workshop.recipes:
            made = panel(workshop, *args, **more)
            faults = faults_told(workshop)
            if faults and isinstance(made, w.Box):
                made.children = (w.HTML(sentence(" ".join(faults)), layout={"width": "100%"}), *made.children)
            return made
        if workshop.left_out:
            return w.HTML(sentence(" ".join(faults_told(workshop))), layout={"width": "100%"})
        head, *steps = first_steps(workshop)
        box = w.HTML(answer(head) + "".join(steps), layout={"width": "100%"})
        box.add_class("maker-begin")
        return box

    return shown
