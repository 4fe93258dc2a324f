"""An engine of papermill that runs a notebook without controls in this very process: no kernel has to start.

A fault that a control swallows is not met here, so a notebook with controls runs in a kernel.
"""

from __future__ import annotations

import ast
import base64
import contextlib
import io
import traceback
from collections.abc import Iterator
from typing import Any

from nbformat.v4 import new_output
from papermill.engines import Engine, papermill_engines

NAME = "maker-kit-here"


class Here(Engine):
    """Runs the steps one after the other, keeps what each shows, and stops at the first that fails."""

    @classmethod
    def execute_managed_notebook(cls, nb_man: Any, kernel_name: str, **_: Any) -> None:
        """Run the steps of a notebook; papermill calls this and raises what it finds among the outputs."""
        names: dict[str, Any] = {"__name__": "__main__"}
        for index, cell in enumerate(nb_man.nb.cells):
            nb_man.cell_start(cell, index)
            try:
                if cell.cell_type == "code" and cell.source:
                    cell.outputs = []
                    cell.execution_count = index + 1
                    cell.outputs = list(_outputs(cell, names))
            except Exception as fault:  # noqa: BLE001, whatever a step raises is its result
                cell.outputs = [_error(fault)]
                nb_man.cell_exception(cell, index, exception=fault)
                return
            finally:
                nb_man.cell_complete(cell, index)


def _outputs(cell: Any, names: dict[str, Any]) -> Iterator[Any]:
    """What a step prints, and what its last line is, in all forms that it can be shown in."""
    tree, printed = ast.parse(cell.source), io.StringIO()
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    with contextlib.redirect_stdout(printed):
        exec(compile(tree, "<step>", "exec"), names)
        value = eval(compile(ast.Expression(last.value), "<step>", "eval"), names) if last else None
    if printed.getvalue():
        yield new_output("stream", name="stdout", text=printed.getvalue())
    if value is not None:
        yield _shown(value, cell.execution_count)


def _shown(value: Any, count: int) -> Any:
    data, metadata = {"text/plain": repr(value)}, {}
    if hasattr(value, "_repr_html_"):
        data["text/html"] = value._repr_html_()
    if hasattr(value, "_repr_png_"):
        png, metadata["image/png"] = value._repr_png_()
        data["image/png"] = base64.b64encode(png).decode("ascii")
    return new_output("execute_result", data=data, metadata=metadata, execution_count=count)


def _error(fault: Exception) -> Any:
    lines = traceback.format_exception(fault)
    return new_output("error", ename=type(fault).__name__, evalue=str(fault), traceback=lines)


papermill_engines.register(NAME, Here)
