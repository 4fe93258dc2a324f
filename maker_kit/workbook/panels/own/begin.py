"""What stands in place of a screen in a workshop that holds no recipe yet: what to fill in first."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import ipywidgets as w

from maker_kit.workbook.shown.answers import answer
from maker_kit.workbook.shown.own.begin import first_steps
from maker_kit.workshop import Workshop

Panel = Callable[..., w.Widget]


def once_begun(panel: Panel) -> Panel:
    """The panel, or what to fill in first where the workshop has no recipe.

    Parameters
    ----------
    panel : callable
        Its first argument is the workshop.
    """

    @wraps(panel)
    def shown(workshop: Workshop, *args: Any, **more: Any) -> w.Widget:
        if workshop.recipes or workshop.left_out:
            return panel(workshop, *args, **more)
        head, *steps = first_steps(workshop)
        box = w.HTML(answer(head) + "".join(steps), layout={"width": "100%"})
        box.add_class("maker-begin")
        return box

    return shown
