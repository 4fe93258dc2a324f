"""A notebook without controls, run in this very process: no kernel has to start, and nothing that talks to one is
fetched.

A fault that a control swallows is not met here, so a notebook with controls runs in a kernel.
"""

from __future__ import annotations

import ast
import base64
import contextlib
import io
import json
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any


class StepError(Exception):
    """A step that failed.

    Attributes
    ----------
    name, value : str
        Kind and message of what it raised.
    source : str
        The step.
    """

    def __init__(self, name: str, value: str, source: str) -> None:
        super().__init__(value)
        self.name, self.value, self.source = name, value, source


def run_here(
    source: Path, values: Mapping[str, Any], bar: Callable[[int], contextlib.AbstractContextManager[Any]]
) -> dict[str, Any]:
    """Run the steps of a notebook one after the other, in its own folder, and keep what each shows.

    Parameters
    ----------
    source : pathlib.Path
        The notebook, in the form 4 of Jupyter's format.
    values : Mapping of str to object
        Set after the step tagged ``parameters``.
    bar : callable
        Given the number of steps, a context that gives what is called after every step.

    Returns
    -------
    dict
        The notebook with outputs and counts.

    Raises
    ------
    StepError
        At the first step that fails.
    """
    notebook = json.loads(source.read_text(encoding="utf-8"))
    names: dict[str, Any] = {"__name__": "__main__"}
    with contextlib.chdir(source.parent), bar(len(notebook["cells"])) as count:
        for index, cell in enumerate(notebook["cells"], 1):
            text = cell["source"] = "".join(cell["source"])
            if cell["cell_type"] == "code":
                cell["outputs"], cell["execution_count"] = [], index
                try:
                    cell["outputs"] = list(_outputs(text, index, names))
                except Exception as fault:
                    raise StepError(type(fault).__name__, str(fault), text) from fault
            if "parameters" in cell["metadata"].get("tags", ()):
                names.update(values)
            count()
    return notebook


def _outputs(step: str, count: int, names: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """What a step prints, and what its last line is, in all forms that it can be shown in."""
    tree, printed = ast.parse(step), io.StringIO()
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    with contextlib.redirect_stdout(printed):
        exec(compile(tree, "<step>", "exec"), names)
        value = eval(compile(ast.Expression(last.value), "<step>", "eval"), names) if last else None
    if printed.getvalue():
        yield {"output_type": "stream", "name": "stdout", "text": printed.getvalue()}
    if value is not None:
        yield _shown(value, count)


def _shown(value: Any, count: int) -> dict[str, Any]:
    data, metadata = {"text/plain": repr(value)}, {}
    if hasattr(value, "_repr_html_"):
        data["text/html"] = value._repr_html_()
    if hasattr(value, "_repr_png_"):
        png, metadata["image/png"] = value._repr_png_()
        data["image/png"] = base64.b64encode(png).decode("ascii")
    return {"output_type": "execute_result", "data": data, "metadata": metadata, "execution_count": count}
