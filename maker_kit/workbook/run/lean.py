"""What Jupyter would fetch or ask at its start, and neither the report nor the opened notebooks need."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager


def leave_out_the_grammar() -> None:
    """Keep jsonschema from importing a grammar for one optional check of addresses; building it takes longer than a
    notebook, or than all the rest of the server's start.
    """
    sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]


@contextmanager
def out_of_reach() -> Iterator[None]:
    """No program is found while this lasts: JupyterLab asks Node.js, where there is one, for a registry of packages as
    soon as it is imported, which takes as long as all its other imports.
    """
    before = os.environ.get("PATH")
    os.environ["PATH"] = os.devnull  # an empty one would be taken for the usual places
    try:
        yield
    finally:
        if before is None:
            del os.environ["PATH"]
        else:
            os.environ["PATH"] = before
