"""Trials: the screen, planning one, and its results."""

from maker_kit.workbook.panels.trial.screen import TrialPanel, trial_panel

__all__ = ["TrialPanel", "trial_panel"]
