"""The costing report without a screen: run the notebook with other values, strictly, and write one offline page."""

from __future__ import annotations

import contextlib
import html
import importlib
import os
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from importlib import resources
from pathlib import Path
from typing import Any

from maker_kit import errors
from maker_kit.errors import NoticeError
from maker_kit.formula.recipe import Recipe
from maker_kit.workbook.run.settings import notebook_settings, read_settings

REPORT_NOTEBOOK = "06_costing_report.ipynb"
RESERVED = {
    "recipe": "name the recipe itself, as in: maker-kit report r1b-hand-wash",
    "workshop": "use --workshop FOLDER",
    "write_to": "use --to FOLDER",
}


def notebook_folder() -> Path:
    """The folder of the notebooks, beside the package.

    Raises
    ------
    NoticeError
        If it is not there.
    """
    folder = Path(__file__).resolve().parents[3] / "notebooks"
    if not (folder / REPORT_NOTEBOOK).is_file():
        msg = (
            f"the notebooks are not where they belong ({folder.name}/{REPORT_NOTEBOOK} beside the package maker_kit); "
            "install from the project's folder with: pip install -e ."
        )
        raise NoticeError(msg)
    return folder


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


def run_notebook(source: Path, target: Path, values: Mapping[str, Any], *, progress: str = "") -> Any:
    """Run a notebook with other values, and raise whatever went wrong; once more where its kernel ended by itself.

    Parameters
    ----------
    source, target : pathlib.Path
        The notebook, and where the run one is written.
    values : Mapping of str to object
        Values for its settings; each must be one that it declares.
    progress : str
        What the progress bar says; no bar where empty.

    Returns
    -------
    nbformat.NotebookNode

    Raises
    ------
    NoticeError
        If a value is not declared, anything in the notebook failed (a step, or a control), or its kernel ended twice.
    """
    _leave_out_the_grammar()
    import papermill
    from papermill.exceptions import PapermillExecutionError

    unknown = [name for name in values if name not in notebook_settings(source)]
    if unknown:
        msg = f"{source.name} takes no setting named {', '.join(unknown)}"
        raise NoticeError(msg)
    bar: Any = (
        {"desc": progress, "unit": "step", "bar_format": "{desc} |{bar:24}| {n_fmt}/{total_fmt} steps", "leave": False}
        if progress
        else False
    )

    def execute() -> Any:
        return papermill.execute_notebook(
            str(source),
            str(target),
            parameters=dict(values),
            kernel_name="python3",
            cwd=str(source.parent),
            progress_bar=bar,
            log_output=False,
            extra_arguments=["--log-level=ERROR"],
        )

    with _environment(MAKER_KIT_HEADLESS="1"):
        try:
            try:
                notebook = execute()
            except RuntimeError:  # the kernel ended by itself: killed, or its ports were taken while it started
                notebook = execute()
        except RuntimeError as error:
            msg = "Python ended twice while the notebook ran; close other programs to free memory, and try again"
            raise NoticeError(msg) from error
        except PapermillExecutionError as error:
            raise NoticeError(_sentence(error.ename, error.evalue, error.source)) from error
    faults = swallowed_faults(notebook)
    if faults:
        raise NoticeError(_sentence(*faults[0]))
    return notebook


def _sentence(name: str, value: str, source: str = "") -> str:
    if issubclass(getattr(errors, name.rpartition(".")[2], Exception), errors.MakerKitError):
        return value
    step = next((line.lstrip("# ") for line in source.splitlines() if line.startswith("#")), "")
    where = f' at the step "{step}"' if step else ""
    return f"the notebook failed{where}: {name}: {value.splitlines()[0] if value else 'no reason given'}"


def _leave_out_the_grammar() -> None:
    """Keep jsonschema from importing a grammar for one optional check; that takes longer than the notebook."""
    sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]


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


def page(notebook: Any, title: str) -> str:
    """A notebook that was run, as one HTML page: no code, no scripts, pictures inside, no outside address.

    Parameters
    ----------
    notebook : nbformat.NotebookNode
    title : str

    Returns
    -------
    str
    """
    _leave_out_the_grammar()
    from nbconvert import HTMLExporter

    exporter = HTMLExporter(
        template_name="basic",
        exclude_input=True,
        exclude_input_prompt=True,
        exclude_output_prompt=True,
        embed_images=True,
        anchor_link_text="",
    )
    body, _ = exporter.from_notebook_node(notebook)
    style = resources.files("maker_kit.workbook").joinpath("report.css").read_text(encoding="utf-8")
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{html.escape(title)}</title>\n<style>\n{style}</style>\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def write_reports(
    recipes: Sequence[str],
    workshop: str,
    texts: Sequence[str],
    to: Path,
    *,
    progress: bool = True,
    tell: Callable[[str], None] | None = None,
) -> list[Path]:
    """Run the costing report for each recipe and write ``RECIPE.html``, ``RECIPE.json`` and ``RECIPE-curve.csv``.

    Parameters
    ----------
    recipes : sequence of str
        Names of recipes.
    workshop : str
        Folder of the workshop; empty for the demo's.
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
    from maker_kit.workshop import find_folder

    to, source = to.absolute(), notebook_folder() / REPORT_NOTEBOOK
    values = read_settings(texts, notebook_settings(source), RESERVED)
    folder = find_folder(workshop)
    with ThreadPoolExecutor(max_workers=1) as aside:
        checked = aside.submit(_checked, folder, tuple(recipes))  # reads all tables while the first notebook starts
        names = list(dict.fromkeys(recipes))
        if not all((folder / "recipes" / f"{name}.csv").is_file() for name in names):
            names = list(checked.result())  # a title, or a name that nobody knows
        left_out = _left_out(values, [checked.result()[name] for name in names]) if len(names) > 1 else {}
        for name, settings in left_out.items():
            if tell:
                tell(f"{name} has no line for {', '.join(settings)}, so its report is made without")
        try:
            to.mkdir(parents=True, exist_ok=True)
            written: list[Path] = []
            with tempfile.TemporaryDirectory(prefix=".report-", dir=to) as scratch:
                for name in names:
                    room = Path(scratch) / name
                    room.mkdir()
                    run = run_notebook(
                        source,
                        room / "run.ipynb",
                        {k: v for k, v in values.items() if k not in left_out.get(name, ())}
                        | {"recipe": name, "workshop": str(folder), "write_to": str(room)},
                        progress=name if progress else "",
                    )
                    (room / f"{name}.html").write_text(
                        page(run, f"Costing report: {checked.result()[name].title}"), encoding="utf-8"
                    )
                    parts = [f"{name}.html", f"{name}.json", f"{name}-curve.csv"]
                    if not all((room / part).is_file() for part in parts):
                        msg = f"the report of {name} did not come out whole, so nothing of it is kept"
                        raise NoticeError(msg)
                    for part in parts:
                        (room / part).replace(to / part)
                        written.append(to / part)
        except OSError as error:
            msg = f'the report cannot be written to "{to}": {error.strerror or error}; choose another folder with --to'
            raise NoticeError(msg) from error
    return written


def _left_out(values: Mapping[str, Any], recipes: Sequence[Recipe]) -> dict[str, list[str]]:
    """For every recipe the settings that it has no line for and another of the recipes has; where none has, nothing is
    left out.
    """
    from maker_kit.plan.plan import LINE_OF

    asked = [(setting, line) for setting, line in LINE_OF.items() if values.get(setting) not in (None, "")]
    held = [(setting, line) for setting, line in asked if any(getattr(recipe, line) for recipe in recipes)]
    found = {recipe.name: [s for s, line in held if not getattr(recipe, line)] for recipe in recipes}
    return {name: settings for name, settings in found.items() if settings}


def _checked(folder: Path, recipes: tuple[str, ...]) -> dict[str, Recipe]:
    """The asked recipes by name, from tables without a fault; and the page's tools fetched meanwhile."""
    from maker_kit.workshop import load_workshop

    shop = load_workshop(folder)
    found = {recipe.name: recipe for recipe in map(shop.recipe, recipes)}
    _leave_out_the_grammar()
    importlib.import_module("nbconvert")
    return found
