"""Fetches what the notebooks need while the browser is still starting."""

from __future__ import annotations

import contextlib
import importlib

TOOLS = ("maker_kit.verdict", "maker_kit.workbook.charts", "maker_kit.workbook.show", "maker_kit.workshop")
"""Not the panels: controls that are fetched before a page is there come seconds late."""


def fetch() -> None:
    """Import the tools; one that is not there is left to the step that needs it."""
    for name in TOOLS:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
