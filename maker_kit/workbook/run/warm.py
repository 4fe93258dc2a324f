"""Fetches what the notebooks need while the browser is still starting."""

from __future__ import annotations

import contextlib
import importlib

TOOLS = (
    "maker_kit.plan",
    "maker_kit.workbook.asked",
    "maker_kit.workbook.shown.formula",
    "maker_kit.workbook.shown.make_or_buy",
    "maker_kit.workshop",
)
"""Not the panels: controls that are fetched before a page is there come seconds late."""


def fetch() -> None:
    """Import the tools; one that is not there is left to the step that needs it."""
    for name in TOOLS:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
