"""Planning a trial: what is tried, with how many, and what that can show; a button keeps the plan."""

from __future__ import annotations

import ipywidgets as w

ROOM = ("8em", "12.5em", "8em")
NOT_TRIED = ("none that is tried", "")
SCATTER = 3.0
"""Scatter of a difference that the slider begins with, in the unit, before anything was measured."""


def plan_part(self) -> w.VBox:
    return _plan_part(self)
