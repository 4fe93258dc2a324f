"""What the parts of the screen of trials know of it: the workshop, the recipe and the trial that are looked at."""

from __future__ import annotations

from typing import Protocol

import ipywidgets as w

from maker_kit.formula.recipe import Recipe
from maker_kit.trial.run import TrialRun
from maker_kit.workbook.panels.controls import look
from maker_kit.workshop import Workshop
from maker_kit.workshop.making import is_demo

WIDE = look("26em", "8em")


class Looked(Protocol):
    """The screen as its parts see it.

    Attributes
    ----------
    shop : Workshop
        As the maker's acts have left it.
    which, trial : ipywidgets.Dropdown
        Choices of recipe and trial.
    """

    shop: Workshop
    which: w.Dropdown
    trial: w.Dropdown

    @property
    def made(self) -> Recipe:
        """The recipe that is looked at."""

    @property
    def run(self) -> TrialRun | None:
        """The trial that is looked at; None where none is planned."""

    def take(self, after: Workshop, run: str = "") -> None:
        """Go on with the workshop as it is after an act, looking at a trial of it."""


def kept_said(workshop: Workshop) -> str:
    """Whether what was done is kept, in words."""
    demo = is_demo(workshop.folder)
    return "Only tried out: the demo stays as it is." if demo else "It is kept in the folder trials."
