"""The decision without a screen: one page, its PDF and its JSON, the same on every run but for its day."""

from __future__ import annotations

import datetime
import html
import json
from collections.abc import Mapping, Sequence
from importlib import resources
from pathlib import Path
from typing import Any

from maker_kit.decision.decision import decide
from maker_kit.formula.recipe import Recipe
from maker_kit.plan import CurveView, Plan, Purchase, Unpriced, curve_view, make_plan, priced, purchase, settled_view
from maker_kit.plan.log.logged_ph import with_own_log
from maker_kit.together import filling, put_together
from maker_kit.workbook.linked import Linked
from maker_kit.workbook.run.copies import REPORT_NOTEBOOK, notebook_folder
from maker_kit.workbook.run.page import MONTHS
from maker_kit.workbook.run.settings import notebook_settings, read_settings
from maker_kit.workbook.shown.decision import decision_page
from maker_kit.workshop import Workshop, find_tables, load_workshop
from maker_kit.workshop.making import from_here

TAKES = ("batch_size", "batches", "fragrance_load", "thickener_level", "scent", "ph_read", "upto")
"""Settings of the report that a decision takes too."""
NO_COUNT = 12
"""Containers looked at where no count is on file and none is set."""


def asked(
    workshop: Workshop, name: str | Recipe, values: Mapping[str, Any]
) -> tuple[Plan, Purchase | Unpriced, CurveView | Unpriced]:
    """What a decision is made on: a recipe with its sliders set, its shopping list and its curve.

    Parameters
    ----------
    workshop : Workshop
    name : str or Recipe
    values : Mapping of str to object
        Any of `TAKES`. Without ``batches``, the containers of decisions.csv in batches of ``batch_size``, and
        `NO_COUNT` where there are none.

    Returns
    -------
    tuple of Plan, Purchase or Unpriced, CurveView or Unpriced

    Raises
    ------
    MakerKitError
        If anything is wrong with what was given.
    """
    recipe = workshop.recipe(name)
    chosen = {key: value for key, value in values.items() if key != "upto" and value is not None}
    intent = workshop.intents.get(recipe.name)
    wanted = (intent.containers if intent else None) or NO_COUNT
    if "batches" not in chosen:
        chosen["batches"] = max(1, -(-wanted // max(1, chosen.get("batch_size", 1))))
    plan = make_plan(workshop, recipe, **chosen)
    bought = priced(purchase, plan)
    upto = max(values.get("upto") or 48, plan.batches)
    known = None if isinstance(bought, Unpriced) else bought
    view = priced(
        curve_view, plan, upto, bought=known, settle=False
    )  # of the other counts only what they cost is asked
    return plan, bought, priced(settled_view, view, bought)


def decision_html(shown: Linked, title: str, on: datetime.date) -> str:
    """A decision's page as one HTML file: no scripts, no outside address."""
    style = resources.files("maker_kit.workbook").joinpath("report.css").read_text(encoding="utf-8")
    day = f"{on.day} {MONTHS[on.month - 1]} {on.year}"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>Decision: {html.escape(title)}</title>\n<style>\n{style}</style>\n</head>\n"
        f'<body class="decision">\n<main>\n<header><h1>{html.escape(title)}</h1>'
        f"<p>Shall I make it? Decision of {day}.</p></header>\n{shown.html()}\n</main>\n</body>\n</html>\n"
    )


def write_decisions(
    recipes: Sequence[str],
    workshop: str,
    texts: Sequence[str],
    to: Path,
    *,
    paper: str = "A4",
    on: datetime.date | None = None,
) -> list[Path]:
    """Decide on each recipe and write ``RECIPE-decision.html``, ``.pdf`` and ``.json``.

    Parameters
    ----------
    recipes : sequence of str
        Names or titles.
    workshop : str
        Folder or workbook of the workshop; empty for the demo's.
    texts : sequence of str
        ``NAME=VALUE`` texts for the settings of `TAKES`.
    to : pathlib.Path
        Folder to write to; made if it is not there.
    paper : {'A4', 'Letter'}
    on : datetime.date, optional
        The day that is written on it; today unless given. Nothing else of it hangs on the clock.

    Returns
    -------
    list of pathlib.Path
        The files written.

    Raises
    ------
    MakerKitError
        If anything is wrong. No file of any recipe is then written or changed.
    """
    from maker_kit.workbook.paper.decision import decision_paper

    day, to = on or datetime.date.today(), from_here(to)
    declared = notebook_settings(notebook_folder() / REPORT_NOTEBOOK)
    values = read_settings(texts, {name: declared[name] for name in TAKES}, {})
    shop, _ = with_own_log(load_workshop(find_tables(workshop)))
    made = {}
    for recipe in dict.fromkeys(shop.recipe(name).name for name in recipes):
        decision = decide(*asked(shop, recipe, values))
        shown, title = decision_page(decision), decision.plan.recipe.title
        record = json.dumps(decision.record(), ensure_ascii=False, indent=1, allow_nan=False) + "\n"
        made[f"{recipe}-decision.html"] = decision_html(shown, title, day).encode()
        made[f"{recipe}-decision.pdf"] = decision_paper(shown, title, day, paper)
        made[f"{recipe}-decision.json"] = record.encode()
    with filling(to, "the decision"):
        return put_together(to, "decide", made)
