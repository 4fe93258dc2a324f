"""A button that writes the costing report of what the screen shows, into the maker's workshop."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

import ipywidgets as w

from maker_kit.errors import NoticeError
from maker_kit.plan.plan import Plan
from maker_kit.workbook.keep import own_folder
from maker_kit.workbook.panels.call import keep_button
from maker_kit.workbook.panels.controls import sentence, text_box

REPORTS = "reports"
"""Folder of a workshop that reports are written into; nothing is read from it."""
HOLDS = (
    "A page to print or to hand over: the answer, the curve, the shopping list, what to weigh, the notes with their "
    "sources. It takes some seconds."
)


def write_report(plan: Plan, upto: int) -> str:
    """Write the report of a plan into the workshop's folder of reports.

    Parameters
    ----------
    plan : Plan
    upto : int
        Largest count of the curve.

    Returns
    -------
    str
        Where it went.

    Raises
    ------
    NoticeError
        If the workshop is the demo's, or the report could not be written; with its own sentence.
    """
    folder, recipe = own_folder(plan.workshop), plan.recipe
    levels = {
        "fragrance_load": plan.load_on_whole if recipe.scent else None,
        "thickener_level": plan.thickener_level if recipe.thickener else None,
        "scent": recipe.scent or None,
    }
    values = {"batch_size": plan.batch_size, "batches": plan.batches, "upto": upto}
    if recipe.lines != plan.workshop.recipe(recipe.name).lines:  # else the recipe's own, to the last digit
        values |= {name: value for name, value in levels.items() if value is not None}
    given = [word for name, value in values.items() for word in ("--set", f"{name}={value}")]
    asked = [
        sys.executable,
        "-m",
        "maker_kit.cli",
        "report",
        recipe.name,
        "--workshop",
        str((plan.workshop.tables or folder).resolve()),
    ]
    done = subprocess.run(
        [*asked, "--to", str(folder.resolve() / REPORTS), *given],
        capture_output=True,
        text=True,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if done.returncode:
        lines = done.stderr.strip().splitlines()
        raise NoticeError(lines[-1] if lines else "the report could not be written, and nothing says why")
    return f"written: {folder.resolve() / REPORTS / f'{recipe.name}.html'}; open it in any browser, or print it"


def report_button(plan: Callable[[], Plan], upto: int) -> w.VBox:
    """A button that writes the report of what is looked at when it is pressed, and says where it went."""
    fault, said = text_box("maker-report-fault"), text_box("maker-report-written")
    made = keep_button("write the report", lambda: write_report(plan(), upto), fault, said)
    made.add_class("maker-report-button")
    box = w.VBox([w.HTML(sentence(HOLDS)), made, fault, said])
    box.add_class("maker-report")
    return box
