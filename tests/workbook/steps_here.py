"""The steps of a notebook in this very process.

Its settings are set and its faults stop it as papermill would, without the seconds that a kernel takes to start.
"""

from __future__ import annotations

import contextlib
from typing import Any

from papermill.exceptions import PapermillExecutionError
from papermill.iorw import load_notebook_node
from papermill.parameterize import parameterize_notebook


def run_here(source: str, target: str, *, parameters: dict[str, Any], cwd: str, **_: Any) -> None:
    """In the place of ``papermill.execute_notebook``, for a run that must end in a fault."""
    notebook = parameterize_notebook(load_notebook_node(source), parameters)
    names: dict[str, Any] = {"__name__": "__main__"}
    with contextlib.chdir(cwd):
        for k, cell in enumerate(c for c in notebook.cells if c.cell_type == "code"):
            try:
                exec(compile(cell.source, source, "exec"), names)
            except Exception as fault:
                raise PapermillExecutionError(k, k + 1, cell.source, type(fault).__name__, str(fault), []) from fault
    msg = f"no step of {source} failed, and {target} was not written"
    raise AssertionError(msg)
