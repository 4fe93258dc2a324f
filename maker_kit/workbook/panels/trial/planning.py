"""Planning a trial: what is tried, with how many, and what that can show; a button keeps the plan."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.trial.plan import HANDS
from maker_kit.trial.run import kinds_for
from maker_kit.workbook import trial_desk as desk
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.trial import POWER
from maker_kit.workbook.panels.call import CallPanel, Shown, keep_button
from maker_kit.workbook.panels.controls import counter, dropdown, field, slider_to, text_box
from maker_kit.workbook.panels.trial.looked import WIDE, Looked, kept_said
from maker_kit.workbook.shown import trial as shown
from maker_kit.workbook.shown.answers import answer
from maker_kit.workshop.judged_targets import card_of

ROOM = ("8em", "12.5em", "8em")
NOT_TRIED = ("none that is tried", "")
EXPECTED = (("no side, before it begins", ""), ("ours has more", "ours"), ("the shop's has more", "shop"))
SCATTER = 3.0
"""Scatter of a difference that the slider begins with, in the unit, before anything was measured."""


def plan_part(panel: Looked) -> w.VBox:
    """A plan: what is tried, with how many, and what that can show; the button keeps it."""
    must = w.Dropdown(options=_must_haves(panel), description="must-have", **WIDE)
    kind = w.Dropdown(options=_kinds(panel, must.value), description="kind", **WIDE)
    count = counter("tasters, pairs", "", 18, 120, css="maker-trial-count", widths=ROOM)
    scatter = slider_to(50.0, "scatter", "of a difference", SCATTER, 0.1, 0.1, css="maker-trial-scatter", widths=ROOM)
    looks = counter("looks", "", 1, 3, css="maker-trial-looks", widths=ROOM)
    expected = dropdown("expected", EXPECTED, "", **WIDE)
    hands = dropdown("tried by", HANDS, HANDS[0], **WIDE)
    name = field("short name", placeholder="such as rub-in-1", **WIDE)
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
        expected.disabled = kind.value != "paired"
        curve = desk.plan_power(
            panel.shop,
            panel.made.name,
            must.value,
            kind.value,
            int(count.value),
            scatter.value,
            int(looks.value),
            expected.value if kind.value == "paired" else "",
        )
        return {"picture": Of(panel.made.title, curve), "words": shown.power_sheets(curve)}

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
            expected=expected.value if kind.value == "paired" else "",
        )
        panel.take(after, name.value.strip())
        return f"{name.value.strip()} is planned; print its sheets under results and key. {kept_said(after)}"

    must.observe(fit, names="value")
    panel.which.observe(refit, names="value")
    plan = keep_button("plan it", keep, fault, said)
    plan.add_class("maker-trial-plan-it")
    controls = [must, kind, count.row, scatter.row, looks.row, expected, hands, name, plan, fault, said]
    inside = CallPanel(
        "maker-trial-plan", (must, kind, count, scatter, looks, expected), call, POWER, rows=[], below=[]
    )
    left = w.VBox(controls, layout={"width": "29.5em", "min_width": "20em", "flex": "0 1 auto"})
    inside.layout.flex, inside.layout.min_width = "1 1 42em", "18em"
    return w.HBox([left, inside], layout={"flex_flow": "row wrap", "width": "100%"})


def _must_haves(panel: Looked) -> list[tuple[str, str]]:
    card = card_of(panel.shop, panel.made)
    rows = sorted(card.must_haves if card else (), key=lambda row: row.measure == "kind")  # what takes a number first
    return [(row.name, row.name) for row in rows if kinds_for(row.measure)] or [NOT_TRIED]


def _kinds(panel: Looked, must_have: str) -> tuple[str, ...]:
    card = card_of(panel.shop, panel.made)
    return kinds_for(card.must_have(must_have).measure) if card and must_have else ("triangle",)
