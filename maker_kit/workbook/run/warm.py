"""Fetches what the notebooks need, and does once what their first screens do, while the browser is still starting."""

from __future__ import annotations

import contextlib
import importlib

from maker_kit.collecting import set_apart

TOOLS = (
    "maker_kit.plan",
    "maker_kit.workbook.asked",
    "maker_kit.workbook.charts.make_or_buy",
    "maker_kit.workbook.shown.formula",
    "maker_kit.workbook.shown.make_or_buy",
    "maker_kit.workshop",
)
"""Not the panels: controls that are fetched before a page is there come seconds late."""


def fetch() -> None:
    """Import the tools, and look at the workshop's first recipe once, so that tables are read, and names and letters
    known; what is wrong or not there is left to the step that needs it.
    """
    for name in TOOLS:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
    with contextlib.suppress(Exception):
        _look()
    set_apart()  # all of it stays for good: looking it over for garbage would hold up a slider for a tenth of a second


def _look() -> None:
    from maker_kit.plan import curve_view, make_plan
    from maker_kit.workbook.charts.make_or_buy import CURVE
    from maker_kit.workbook.charts.picture import kept_picture
    from maker_kit.workshop import find_workshop

    workshop = find_workshop("", partly=True)
    plan = make_plan(workshop, next(iter(workshop.recipes)))
    kept_picture(CURVE).png(curve_view(plan, 12, seconds=0.05, close=False))
