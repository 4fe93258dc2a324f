"""How lines come to a terminal, a pipe or a file: signs that it cannot show are folded, orders to a screen are written
out, and an output that is closed or full is told in a sentence.
"""

from __future__ import annotations

import argparse
import codecs
import contextlib
import os
import re
import signal
import sys
import threading
import unicodedata
from collections.abc import Callable
from typing import Any, TextIO

from maker_kit.errors import MakerKitError, NoticeError, path_text, short
from maker_kit.visible import unsteered

FOLDED = "maker_kit.folded"
"""Name of the way of writing a sign that an output has no code for."""
_PLAIN = str.maketrans(
    {
        "–": "-", "—": "-", "−": "-", "‐": "-", "…": "...", "“": '"', "”": '"', "„": '"', "‘": "'",
        "’": "'", "×": "x", "·": "*", "•": "*", "°": " deg ", "€": "EUR", "£": "GBP", "µ": "u",
        "μ": "u", "■": "#", "▲": "^", "●": "o", "☐": "[ ]", "≤": "<=", "≥": ">=", "≈": "~",
        "→": "->", "←": "<-", "ß": "ss", "\u00a0": " ", "\u2009": " ", "\u202f": " ",
        "█": "#", "│": "|", "─": "-",
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
        raise OutputError("there is nowhere to write to: the output of this command is closed")
    try:
        stream.write(unsteered(" ".join(map(str, texts))) + end)
        if flush:
            stream.flush()
    except (OSError, ValueError) as error:
        raise OutputError(_gone(error)) from error


def _finish() -> None:
    """Write what still waits. Raises OutputError where it cannot be written."""
    if sys.stdout is not None:
        try:
            sys.stdout.flush()
        except (OSError, ValueError) as error:
            raise OutputError(_gone(error)) from error


def _give_up() -> None:
    """Let what cannot be written go, so that nothing is said of it once more as Python ends."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())


def _gone(error: Exception) -> str:
    if isinstance(error, BrokenPipeError):
        return "not all could be written: whatever was reading has closed the output"
    why = getattr(error, "strerror", None) or error
    return f"not all could be written ({why}): look whether the disk has room, or write to another place"


class Parser(argparse.ArgumentParser):
    """What it says of words that it does not know goes the way of all lines."""

    def _print_message(self, message: str, file: Any = None) -> None:
        if message:
            say(message, file=file or sys.stderr, end="")


def whole_number(text: str) -> int:
    """A whole number in digits, of the words of a command."""
    if not re.fullmatch(r"[+-]?[0-9]{1,18}", text.strip()):
        raise argparse.ArgumentTypeError(f'"{short(text)}" is no whole number; write it in digits, such as 12')
    return int(text)


def ended(work: Callable[[], int], may_be_stopped: Callable[[], bool], *, last: bool) -> int:
    """The code that a command ends with, 1 with a sentence on the error stream where something was wrong.

    Parameters
    ----------
    work : callable
        What it does; gives its code.
    may_be_stopped : callable
        Whether Ctrl-C is how it ends: then with 0, and without a word.
    last : bool
        Whether Python ends with it: Ctrl-C then says nothing more.
    """
    try:
        prepare()
        try:
            code = work()
        except SystemExit:  # after help, and after words that were not understood
            _finish()
            raise
        _finish()
    except OutputError as error:
        _give_up()
        code = _ends_with(error)
    except MakerKitError as error:
        code = _ends_with(error)
    except OSError as error:
        code = _ends_with(_cannot(error))
    except (KeyboardInterrupt, RuntimeError) as error:
        if not isinstance(error, KeyboardInterrupt) and not isinstance(error.__cause__, KeyboardInterrupt):
            raise  # Python 3.11 wraps whatever stops it while a class is being made
        with contextlib.suppress(ValueError):
            signal.signal(signal.SIGINT, signal.SIG_IGN)
        code = 0 if may_be_stopped() else _ends_with("stopped; nothing was left half written")
    if last and threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    return code


def _ends_with(said: object) -> int:
    with contextlib.suppress(OutputError):
        say(said, file=sys.stderr, flush=True)
    return 1


def _cannot(error: OSError) -> str:
    """A file or folder that the system refuses, in a sentence."""
    try:
        os.getcwd()  # noqa: PTH109, asked only whether it is there
    except OSError as gone:
        why = gone.strerror or gone
        return f"the folder that this command was typed in is not there any more ({why}); go to another"
    named = path_text(error.filename) if error.filename else "something that is needed"
    return f"{named} cannot be used: {error.strerror or error}; give another name or place"
