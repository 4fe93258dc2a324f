"""Text cells that no spreadsheet program takes for a formula."""

from __future__ import annotations

import re

_RUNS = re.compile(r"'*\s*[=+\-@＝＋－＠]")
_NEGATIVE = re.compile(r"-[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?")


def guard(text: str) -> str:
    """A text cell that no spreadsheet program takes for a formula: an apostrophe goes before one that starts with
    ``=``, ``+``, ``-`` or ``@``.

    A negative number stays a number. `unguard` gives the text back, whatever it was.
    """
    return "'" + text if _RUNS.match(text) and not _NEGATIVE.fullmatch(text) else text


def unguard(text: str) -> str:
    """The text that `guard` was given: one apostrophe is taken off again."""
    return text[1:] if text.startswith("'") and _RUNS.match(text) else text
