"""A sentence in place of a fault, where somebody looks at a notebook; where nobody does, the fault is raised."""

from __future__ import annotations

import html
import os
import sys
from collections.abc import Mapping
from types import TracebackType
from typing import Any

from maker_kit.errors import MakerKitError
from maker_kit.visible import NO_FORMULA

TYPES = {"int": "a whole number", "float": "a number", "str": "a text", "bool": "yes or no"}
"""What a setting takes, in words, by its type."""
BELOW = "The steps below wait: mend this first, then refresh the page (in JupyterLab: Run → Run All Cells)."
EARLIER = (
    "An earlier step did not work, and this one needs it: mend that one, then refresh the page (in "
    "JupyterLab: Run → Run All Cells)."
)


def headless() -> bool:
    """Whether nobody is looking at the notebook (``MAKER_KIT_HEADLESS=1``): then a fault is raised instead of shown."""
    return os.environ.get("MAKER_KIT_HEADLESS") == "1"


def fault_box(text: str) -> str:
    """A fault as a framed sentence in HTML, with everything escaped."""
    style = "border:2px solid; padding:.4em .7em; white-space:pre-line"
    return (
        f'<p class="{NO_FORMULA}" role="alert" style="{style}"><b>■ This cannot be shown.</b> {html.escape(text)}</p>'
    )


def for_faults() -> None:
    """Show what goes wrong in a step of this notebook as one sentence, from now on.

    Called by the step that fetches the tools; the step that fails still counts as failed, so that those below it do not
    run. Done only where a notebook is open before somebody: nothing happens in plain Python, and under
    ``MAKER_KIT_HEADLESS=1``, where the fault is raised. What is no maker's fault keeps its long message.
    """
    interactive = sys.modules.get("IPython")
    shell = interactive.get_ipython() if interactive else None
    if shell is None or not hasattr(shell, "kernel"):
        return
    if headless():
        shell.set_custom_exc((), None)
        return
    shown: list[BaseException] = []

    def handler(
        shell: Any,
        kind: type[BaseException],
        fault: BaseException,
        trace: TracebackType | None,
        tb_offset: int | None = None,
    ) -> None:
        text = said(fault, trace, shell.user_ns, earlier=bool(shown))
        if not text:
            shell.showtraceback((kind, fault, trace), tb_offset=tb_offset, running_compiled_code=True)
            return
        shown.append(fault)
        interactive.display.display({"text/html": fault_box(text), "text/plain": text}, raw=True)
        shell._showtraceback(kind, fault, [BELOW])  # tells whoever runs the notebook that the step failed

    shell.set_custom_exc((Exception,), handler)


def said(fault: BaseException, trace: TracebackType | None, names: Mapping[str, Any], *, earlier: bool) -> str:
    """What to tell the maker of a fault; empty where it is a defect of the workbook, or of a line of her own.

    Parameters
    ----------
    fault : BaseException
    trace : traceback, optional
        Where it came up.
    names : Mapping of str to object
        The names of the notebook, with the types that its settings ask for in ``__annotations__``.
    earlier : bool
        Whether an earlier step failed before: a name that is missing then is no fault of this step.

    Returns
    -------
    str
    """
    if isinstance(fault, MakerKitError):
        return str(fault)
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if isinstance(fault, NameError) and trace is not None and trace.tb_frame.f_globals is names:
        return EARLIER if earlier else ""
    return _unfit(names) if isinstance(fault, TypeError | AttributeError | ValueError) else ""


def _unfit(names: Mapping[str, Any]) -> str:
    """The settings whose value is of another type than they ask for, in words."""
    faults = []
    for name, kind in names.get("__annotations__", {}).items():
        allowed, value = getattr(kind, "__args__", (kind,)), names.get(name)
        words = " or ".join(TYPES[k.__name__] for k in allowed if getattr(k, "__name__", "") in TYPES)
        fits = isinstance(value, (*allowed, int) if float in allowed else allowed)
        if words and (not fits or (isinstance(value, bool) and bool not in allowed)):
            quotes = ' in quotes, such as "name"' if str in allowed else ""
            faults.append(f"the setting {name} is {value!r}, and takes {words}{quotes}")
    return "; ".join(faults)
