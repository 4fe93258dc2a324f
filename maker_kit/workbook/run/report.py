"""The costing report without a screen: run the notebook with other values, strictly, and write one offline page."""

from __future__ import annotations

import contextlib
import json
import logging
import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from maker_kit import errors
from maker_kit.collecting import seldom_collected
from maker_kit.errors import NoticeError
from maker_kit.formula.recipe import Recipe
from maker_kit.scratch import room as scratch_room
from maker_kit.together import filling, put_together
from maker_kit.workbook.run.bar import bar
from maker_kit.workbook.run.copies import REPORT_NOTEBOOK, notebook_folder
from maker_kit.workbook.run.here import StepError, run_here
from maker_kit.workbook.run.lean import leave_out_the_grammar
from maker_kit.workbook.run.page import page
from maker_kit.workbook.run.settings import notebook_settings, read_settings

RESERVED = {
    "recipe": "name the recipe itself, as in: maker-kit report r1b-hand-wash",
    "workshop": "use --workshop FOLDER",
    "write_to": "use --to FOLDER",
}


def swallowed_faults(notebook: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Faults that a run keeps to itself: errors among the outputs, and errors held inside a widget's own output area.

    Parameters
    ----------
    notebook : Mapping
        A notebook that was run.

    Returns
    -------
    list of (str, str)
        Kind and message, in order; empty if there are none.
    """
    outputs = [output for cell in notebook["cells"] for output in cell.get("outputs", [])]
    for state in notebook.get("metadata", {}).get("widgets", {}).values():
        for model in state.get("state", {}).values():
            outputs += model.get("state", {}).get("outputs", []) or []
    return [(o.get("ename", "fault"), o.get("evalue", "")) for o in outputs if o.get("output_type") == "error"]


def run_notebook(
    source: Path, target: Path, values: Mapping[str, Any], *, progress: str = "", here: bool = False
) -> Any:
    """Run a notebook with other values, and raise whatever went wrong; once more where its kernel ended by itself.

    Parameters
    ----------
    source : pathlib.Path
        The notebook.
    target : pathlib.Path
        Where the run one is written; of one that runs here nothing is.
    values : Mapping of str to object
        Values for its settings; each must be one that it declares.
    progress : str
        What the progress bar of a notebook that runs here says; no bar where empty.
    here : bool
        Whether it runs in this process, which is faster; only for a notebook without controls.

    Returns
    -------
    Mapping
        The notebook that was run.

    Raises
    ------
    NoticeError
        If a value is not declared, anything in the notebook failed (a step, or a control), or its kernel ended twice.
    """
    unknown = [name for name in values if name not in notebook_settings(source)]
    if unknown:
        msg = f"{source.name} takes no setting named {', '.join(unknown)}"
        raise NoticeError(msg)
    with _environment(MAKER_KIT_HEADLESS="1"):
        notebook = _run_here(source, values, progress) if here else _in_a_kernel(source, target, values)
    faults = swallowed_faults(notebook)
    if faults:
        raise NoticeError(_sentence(*faults[0]))
    return notebook


def _run_here(source: Path, values: Mapping[str, Any], progress: str) -> Any:
    try:
        return run_here(source, values, lambda steps: bar(steps, progress, "steps"))
    except StepError as error:
        raise NoticeError(_sentence(error.name, error.value, error.source)) from error


def _in_a_kernel(source: Path, target: Path, values: Mapping[str, Any]) -> Any:
    leave_out_the_grammar()
    import papermill
    from papermill.exceptions import PapermillExecutionError

    logging.getLogger("papermill").setLevel(logging.ERROR)  # it knows no setting of two types, and would say so

    def execute() -> Any:
        return papermill.execute_notebook(
            str(source),
            str(target),
            parameters=dict(values),
            kernel_name="python3",
            cwd=str(source.parent),
            progress_bar=False,
            log_output=False,
            request_save_on_cell_execute=False,  # it would write the whole notebook twice for every step
            extra_arguments=["--log-level=ERROR"],
        )

    try:
        try:
            return execute()
        except RuntimeError:  # the kernel ended by itself: killed, or its ports were taken while it started
            return execute()
    except RuntimeError as error:
        msg = "Python ended twice while the notebook ran; close other programs to free memory, and try again"
        raise NoticeError(msg) from error
    except PapermillExecutionError as error:
        raise NoticeError(_sentence(error.ename, error.evalue, error.source)) from error


def _sentence(name: str, value: str, source: str = "") -> str:
    if issubclass(getattr(errors, name.rpartition(".")[2], Exception), errors.MakerKitError):
        return value
    step = next((line.lstrip("# ") for line in source.splitlines() if line.startswith("#")), "")
    where = f' at the step "{step}"' if step else ""
    return f"the notebook failed{where}: {name}: {value.splitlines()[0] if value else 'no reason given'}"


@contextlib.contextmanager
def _environment(**values: str):
    before = {name: os.environ.get(name) for name in values}
    os.environ.update(values)
    try:
        yield
    finally:
        for name, old in before.items():
            if old is None:
                del os.environ[name]
            else:
                os.environ[name] = old


@seldom_collected()
def write_reports(
    recipes: Sequence[str],
    workshop: str,
    texts: Sequence[str],
    to: Path,
    *,
    progress: bool = True,
    tell: Callable[[str], None] | None = None,
) -> list[Path]:
    """Run the costing report for each recipe, several side by side, and write ``RECIPE.html``, ``RECIPE.json`` and
    ``RECIPE-curve.csv``.

    Parameters
    ----------
    recipes : sequence of str
        Names of recipes.
    workshop : str
        Folder or workbook of the workshop; empty for the demo's.
    texts : sequence of str
        ``NAME=VALUE`` texts.
    to : pathlib.Path
        Folder to write to; made if it is not there.
    progress : bool
        Whether to show a progress bar on the error stream.
    tell : callable, optional
        Called with a line for every recipe to which a setting does not apply, where it applies to another of them.

    Returns
    -------
    list of pathlib.Path
        The files written.

    Raises
    ------
    MakerKitError
        If anything is wrong. No file of the recipe that failed is written or changed.
    """
    from maker_kit.workbook.run.side_by_side import cores, side_by_side
    from maker_kit.workshop import find_tables
    from maker_kit.workshop.loading import read_once
    from maker_kit.workshop.making import from_here

    from_here(".")  # a notebook runs in its own folder and comes back to this one, which must be there
    to, source = from_here(to), notebook_folder() / REPORT_NOTEBOOK
    values = read_settings(texts, notebook_settings(source), RESERVED)
    folder = find_tables(workshop)
    names, left_out = list(dict.fromkeys(recipes)), {}
    if len(names) > 1 or names[0] not in _stems(folder):
        checked = _checked(folder, names)  # several, a title, or a name that nobody knows
        names, left_out = list(checked), _left_out(values, list(checked.values()))
    for name, settings in left_out.items():
        if tell:
            tell(f"{name} has no line for {', '.join(settings)}, so its report is made without")
    written: list[Path] = []
    with filling(to, "the report"), scratch_room("reporting", to) as scratch:
        given = [
            {
                "name": name,
                "values": {k: v for k, v in values.items() if k not in left_out.get(name, ())},
                "folder": str(folder),
                "room": scratch / name,
            }
            for name in names
        ]
        if len(names) > 1 and cores() > 1:
            made = side_by_side(one_report, given, progress="reports" if progress else "")
        else:
            made = (one_report(**each, progress=each["name"] if progress else "") for each in given)
        with contextlib.closing(made), read_once():
            for room, parts in made:
                written += put_together(to, "report", {part: (room / part).read_bytes() for part in parts})
    return written


def _stems(folder: Path) -> set[str]:
    """Names of the recipes' tables in a workshop's folder, in their own capitals."""
    try:
        return {path.stem for path in (folder / "recipes").iterdir()}
    except OSError:
        return set()


def one_report(
    name: str, values: Mapping[str, Any], folder: str, room: Path, progress: str = ""
) -> tuple[Path, list[str]]:
    """Run the costing report of one recipe in a room of its own.

    Parameters
    ----------
    name : str
    values : Mapping of str to object
    folder : str
        Folder or workbook of the workshop.
    room : pathlib.Path
        A folder that is not there yet.
    progress : str
        What the progress bar says; no bar where empty.

    Returns
    -------
    room : pathlib.Path
    parts : list of str
        The files of the report in it.

    Raises
    ------
    MakerKitError
        If anything went wrong.
    """
    room.mkdir()
    given = {**values, "recipe": name, "workshop": folder, "write_to": str(room)}
    source = notebook_folder() / REPORT_NOTEBOOK
    run = run_notebook(source, room / "run.ipynb", given, progress=progress, here=True)
    parts = [f"{name}.json", f"{name}-curve.csv", f"{name}.html"]
    if not all((room / part).is_file() for part in parts[:2]):
        msg = f"the report of {name} did not come out whole, so nothing of it is kept"
        raise NoticeError(msg)
    title = json.loads((room / parts[0]).read_text(encoding="utf-8"))["title"]
    (room / parts[2]).write_text(page(run, title), encoding="utf-8")
    return room, parts


def _left_out(values: Mapping[str, Any], recipes: Sequence[Recipe]) -> dict[str, list[str]]:
    """For every recipe the settings that it has no line for and another of the recipes has; none where none has."""
    from maker_kit.plan.plan import LINE_OF

    asked = [(setting, line) for setting, line in LINE_OF.items() if values.get(setting) not in (None, "")]
    held = [(setting, line) for setting, line in asked if any(getattr(recipe, line) for recipe in recipes)]
    found = {recipe.name: [s for s, line in held if not getattr(recipe, line)] for recipe in recipes}
    return {name: settings for name, settings in found.items() if settings}


def _checked(folder: Path, recipes: Sequence[str]) -> dict[str, Recipe]:
    """The asked recipes by name; a fault of the tables matters only where one of them stands on it."""
    from maker_kit.workshop import load_workshop

    shop = load_workshop(folder, partly=True)
    return {recipe.name: recipe for recipe in map(shop.recipe, recipes)}
