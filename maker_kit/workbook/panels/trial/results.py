"""Results of a trial: sheets to print, results typed or from a file, a look along the way, and the key."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as w

from maker_kit.trial.plan import HANDS
from maker_kit.trial.run import kinds_for
from maker_kit.workbook import trial_desk as desk
from maker_kit.workbook.charts.trial import POWER
from maker_kit.workbook.panels.call import CallPanel, Shown, keep_button
from maker_kit.workbook.panels.controls import counter, dropdown, field, look, row, slider_to, text_box
from maker_kit.workbook.panels.trial.looked import WIDE, Looked, kept_said
from maker_kit.workbook.paper.pages import SIZES
from maker_kit.workbook.shown import trial as shown
from maker_kit.workbook.shown.answers import answer
from maker_kit.workshop import Workshop
from maker_kit.workshop.judged_targets import card_of


def results_part(self) -> w.VBox:
    return _results_part(self)


def trial_panel(workshop: Workshop, recipe: str = "", run: str = "") -> Looked:
    """Blind trials of a recipe beside its shop product; see `Looked`.

    Raises
    ------
    UnknownNameError
        If there is no such recipe or trial.
    """
    return Looked(workshop, recipe, run)


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


def _must_haves(panel: Looked) -> list[tuple[str, str]]:
    card = card_of(panel.shop, panel.made)
    rows = card.must_haves if card else ()
    return [(row.name, row.name) for row in rows if kinds_for(row.measure)] or [NOT_TRIED]


def _kinds(panel: Looked, must_have: str) -> tuple[str, ...]:
    card = card_of(panel.shop, panel.made)
    return kinds_for(card.must_have(must_have).measure) if card and must_have else ("triangle",)


def plan_part(panel: Looked) -> w.VBox:
    """A plan: what is tried, with how many, and what that can show; the button keeps it."""
    must = w.Dropdown(options=_must_haves(panel), description="must-have", **look(*WIDE))
    kind = w.Dropdown(options=_kinds(panel, must.value), description="kind", **look(*WIDE))
    count = counter("tasters, pairs", "", 18, 120, css="maker-trial-count", widths=ROOM)
    scatter = slider_to(50.0, "scatter", "of a difference", SCATTER, 0.1, 0.1, css="maker-trial-scatter", widths=ROOM)
    looks = counter("looks", "", 1, 3, css="maker-trial-looks", widths=ROOM)
    hands = dropdown("tried by", HANDS, HANDS[0], **look(*WIDE))
    name = field("short name", placeholder="such as rub-in-1", **look(*WIDE))
    fault, said = text_box("maker-trial-plan-fault"), text_box("maker-trial-plan-said")

    def fit(*_: Any) -> None:
        kind.options = _kinds(panel, must.value)

    def refit(*_: Any) -> None:
        must.options = _must_haves(panel)
        fit()

    def call() -> Shown:
        if not must.value or kind.value == "kind":
            text = (
                "A kind is looked at: two words are enough." if must.value else f"{panel.made.title} {shown.NO_CARD}."
            )
            return {"picture": None, "words": answer(text)}
        scatter.enable(kind.value == "pairs")
        curve = desk.plan_power(panel.shop, panel.made.name, must.value, kind.value, int(count.value), scatter.value)
        return {"picture": curve, "words": shown.power_sheets(curve)}

    def keep() -> str:
        after = desk.plan_trial(
            panel.shop,
            panel.made.name,
            must.value,
            name.value,
            int(count.value),
            kind=kind.value or "",
            hands=hands.value,
            looks=int(looks.value),
        )
        panel.take(after, name.value.strip())
        return f"{name.value.strip()} is planned; print its sheets under results and key. {kept_said(after)}"

    must.observe(fit, names="value")
    panel.which.observe(refit, names="value")
    plan = keep_button("plan it", keep, fault, said)
    plan.add_class("maker-trial-plan-it")
    controls = [must, kind, count.row, scatter.row, looks.row, hands, name, plan, fault, said]
    inside = CallPanel("maker-trial-plan", (must, kind, count, scatter), call, POWER, rows=[], below=[])
    left = w.VBox(controls, layout={"width": "29.5em", "min_width": "20em", "flex": "0 1 auto"})
    inside.layout.flex, inside.layout.min_width = "1 1 42em", "18em"
    return w.HBox([left, inside], layout={"flex_flow": "row wrap", "width": "100%"})


def results_part(panel: Looked) -> w.VBox:
    """Sheets to print, results typed or from a file, a look, and the key."""
    typed = field(
        "results",
        placeholder="one a line: 1 = 417 (taster = code), or 1 509 = 41 (pair code = value)",
        rows=5,
        **look(),
    )
    file = field("or a CSV file", placeholder="headings: place, code, value, note")
    folder = field("print into", placeholder="empty for the workshop's folder paper")
    paper = dropdown("paper", tuple(SIZES), "A4")
    fault, said = text_box("maker-trial-results-fault"), text_box("maker-trial-results-said")
    inside = CallPanel(
        "maker-trial-results", (panel.which, panel.trial), lambda: {"words": shown.entries_sheet(panel.run)}, rows=[]
    )

    def act(change: Callable[[], Workshop], words: str) -> Callable[[], str]:
        def call() -> str:
            after = change()
            panel.take(after)
            inside.redraw()
            typed.value = ""
            return f"{words} {kept_said(after)}"

        return call

    def look_now() -> str:
        after, told = desk.look_now(panel.shop, panel.trial.value)
        panel.take(after)
        return f"This look says: {told}. The key stays closed. {kept_said(after)}"

    def sheets() -> str:
        written = desk.print_sheets(panel.shop, panel.trial.value, folder.value, paper.value)
        return f"written: {written[0]} and {written[1]}; print at 100 %"

    def enter() -> Workshop:
        if file.value.strip():
            return desk.enter_file(panel.shop, panel.trial.value, file.value.strip())
        return desk.enter_results(panel.shop, panel.trial.value, typed.value)

    def key() -> Workshop:
        return desk.open_key(panel.shop, panel.trial.value)

    buttons = {
        "enter": keep_button("enter these results", act(enter, "entered."), fault, said),
        "look": keep_button("look along the way", look_now, fault, said),
        "key": keep_button("open the key", act(key, "The key is open: no result is taken any more."), fault, said),
        "print": keep_button("print sheets and key", sheets, fault, said),
    }
    for what, made in buttons.items():
        made.add_class(f"maker-trial-{what}")
    left = w.VBox(
        [
            typed,
            file,
            row([buttons["enter"], buttons["look"], buttons["key"]]),
            row([folder, paper, buttons["print"]]),
            fault,
            said,
        ]
    )
    return w.VBox([left, inside], layout={"width": "100%"})
