"""How lines come to a terminal, a pipe or a file: signs that it cannot show are folded, orders to a screen are written
out, and an output that is closed or full is told in a sentence.
"""

from __future__ import annotations

import codecs
import contextlib
import os
import sys
import unicodedata
from typing import Any, TextIO

from maker_kit.errors import NoticeError
from maker_kit.visible import unsteered

FOLDED = "maker_kit.folded"
"""Name of the way of writing a sign that an output has no code for."""
_PLAIN = str.maketrans(
    {
        "–": "-", "—": "-", "−": "-", "‐": "-", "…": "...", "“": '"', "”": '"', "„": '"', "‘": "'", "’": "'", "×": "x",
        "·": "*", "•": "*", "°": " deg ", "€": "EUR", "£": "GBP", "µ": "u", "μ": "u", "■": "#", "▲": "^", "●": "o",
        "☐": "[ ]", "≤": "<=", "≥": ">=", "≈": "~", "→": "->", "←": "<-", "ß": "ss", "\u00a0": " ", "\u2009": " ",
        "\u202f": " ", "█": "#", "│": "|", "─": "-",
    }
)  # fmt: skip


class OutputError(NoticeError):
    """What was to be read could not be written."""


def folded(error: UnicodeError) -> tuple[str, int]:
    """A sign that an output cannot show, as near as it can: by a sign like it, without its accent, or written out."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    text = error.object[error.start : error.end].translate(_PLAIN)
    found = []
    for sign in text:
        bare = sign if sign.isascii() else unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode()
        found.append(bare or sign.encode("unicode_escape").decode())
    return "".join(found), error.end


def prepare() -> None:
    """Let both outputs fold what they cannot show."""
    codecs.register_error(FOLDED, folded)
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, OSError, ValueError):
            stream.reconfigure(errors=FOLDED)  # type: ignore[union-attr]


def say(*texts: Any, file: TextIO | None = None, end: str = "\n", flush: bool = False) -> None:
    """Write a line, as `print` does. Raises OutputError where it cannot be written."""
    stream = file if file is not None else sys.stdout
    if stream is None:
        msg = "there is nowhere to write to: the output of this command is closed"
        raise OutputError(msg)
    try:
        stream.write(unsteered(" ".join(map(str, texts))) + end)
        if flush:
            stream.flush()
    except (OSError, ValueError) as error:
        raise OutputError(_gone(error)) from error


def finish() -> None:
    """Write what still waits. Raises OutputError where it cannot be written."""
    if sys.stdout is not None:
        try:
            sys.stdout.flush()
        except (OSError, ValueError) as error:
            raise OutputError(_gone(error)) from error


def give_up() -> None:
    """Let what cannot be written go, so that nothing is said of it once more as Python ends."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())


def _gone(error: Exception) -> str:
    if isinstance(error, BrokenPipeError):
        return "not all could be written: whatever was reading has closed the output"
    why = getattr(error, "strerror", None) or error
    return f"not all could be written ({why}): look whether the disk has room, or write to another place"
