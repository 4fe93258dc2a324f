"""The screen of a blind side-by-side: the card with its verdicts, and one trial with its picture."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.formula.recipe import Recipe
from maker_kit.trial.run import TrialRun
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.trial import TRIAL
from maker_kit.workbook.fitting import first_recipe
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import FIELD, dropdown, look, recipe_choice
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.trial.planning import plan_part
from maker_kit.workbook.panels.trial.results import results_part
from maker_kit.workbook.shown import trial as shown
from maker_kit.workshop import Workshop
from maker_kit.workshop.judged_targets import card_of, judged_targets, runs_of

NOTHING = ("no trial planned yet", "")


class TrialPanel(LateScreen):
    """The screen of trials; `shop` is the workshop as the maker's acts have left it.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Empty for the first that has a target card with a trial.
    run : str
        Name of the trial that it begins with; empty for the card's first that can be judged.
    """

    def __init__(self, workshop: Workshop, recipe: str = "", run: str = "") -> None:
        self.shop = workshop
        first = first_recipe(workshop, recipe, _has_trial)
        self.which = recipe_choice(workshop, first.name)
        self.trial = w.Dropdown(options=_trials(workshop, first), description="trial", **look(FIELD, "4em"))
        self.trial.add_class("maker-trial-which")
        if run or len(self.trial.options) > 1:
            self.trial.value = dropdown("trial", self.trial.options, run or _first(workshop, first)).value
        self.which.observe(self._other_recipe, names="value")
        super().__init__(
            "maker-trial",
            (self.which, self.trial),
            self._shown,
            {"picture": TRIAL},
            {
                "target card": "card",
                "this trial": "state",
                "how it is done": "how",
            },
            more={"plan one": lambda: plan_part(self), "results and key": lambda: results_part(self)},
            rows=[self.which, self.trial],
        )

    @property
    def made(self) -> Recipe:
        """The recipe that is looked at."""
        return self.shop.recipe(self.which.value)

    @property
    def run(self) -> TrialRun | None:
        """The trial that is looked at; None where none is planned."""
        return next((r for r in self.shop.trials if r.name == self.trial.value), None)

    def _other_recipe(self, *_: Any) -> None:
        self.trial.options = _trials(self.shop, self.made)
        self.trial.value = _first(self.shop, self.made)

    def _shown(self) -> Shown:
        made, run = self.made, self.run
        found = shown.run_result(run)
        judged = judged_targets(self.shop, made)
        return {
            "answer": shown.trial_answer(self.shop, made),
            "stops": shown.trial_stops(judged),
            "picture": found and Of(made.title, found),
            "card": lambda: shown.card_sheet(self.shop, made),
            "state": lambda: shown.run_sheet(run),
            "how": lambda: shown.protocol_sheets(run),
        }

    def take(self, after: Workshop, run: str = "") -> None:
        """Go on with the workshop as it is after an act, looking at a trial of it."""
        self.shop = after
        now = run or self.trial.value
        self.trial.options = _trials(after, self.made)
        self.trial.value = now
        self.redraw()


@once_begun
def trial_panel(workshop: Workshop, recipe: str = "", run: str = "") -> TrialPanel:
    """Blind trials of a recipe beside its shop product; see `TrialPanel`.

    Raises
    ------
    UnknownNameError
        If there is no such recipe or trial.
    """
    return TrialPanel(workshop, recipe, run)


def _has_trial(workshop: Workshop, recipe: Recipe) -> bool:
    card = card_of(workshop, recipe)
    return card is not None and any(run.opened for run in runs_of(workshop, card))


def _trials(workshop: Workshop, recipe: Recipe) -> list[tuple[str, str]]:
    card = card_of(workshop, recipe)
    runs = runs_of(workshop, card) if card else ()
    return [(f"{run.plan.must_have} ({run.name})", run.name) for run in runs] or [NOTHING]


def _first(workshop: Workshop, recipe: Recipe) -> str:
    """The first trial that has a picture, else the first."""
    values = [value for _, value in _trials(workshop, recipe)]
    runs = {run.name: run for run in workshop.trials}
    return next((v for v in values if v in runs and shown.run_result(runs[v])), values[0])
