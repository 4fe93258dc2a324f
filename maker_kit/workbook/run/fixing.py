"""Near misses of the tables in the terminal: each change shown, then a question, then written with a copy kept."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from maker_kit.errors import NoticeError
from maker_kit.workshop.mending.fixing import propose, write_fixes

_MOST_ROUNDS = 10
"""A mended heading shows what its cells say, and so on; after so many rounds the maker looks herself."""


def ask_in_terminal(question: str) -> bool:
    """Whether the maker agrees; no where nobody is there to answer."""
    if sys.stdin is None or not sys.stdin.isatty():
        return False
    try:
        return input(f"{question} [y/n] ").strip().casefold() in ("y", "yes")
    except EOFError:
        return False


def say_in_terminal(line: str) -> None:
    """Write a line where the maker reads."""
    sys.stdout.write(line)


def fix_tables(
    folder: Path,
    *,
    yes: bool = False,
    ask: Callable[[str], bool] = ask_in_terminal,
    say: Callable[[str], object] = say_in_terminal,
) -> int:
    """Show what was probably meant, and write it where the maker agrees.

    Parameters
    ----------
    folder : Path
        A workshop's folder or workbook.
    yes : bool
        Whether to write without a question.
    ask, say : callable
        Asks a question, and takes each line.

    Returns
    -------
    int
        How many cells were changed.

    Raises
    ------
    MakerKitError
        If a table cannot be read or written.
    """
    changed, told = 0, frozenset()
    for _ in range(_MOST_ROUNDS):
        proposal = propose(folder)
        places = frozenset((f.file, f.row, f.column, f.new) for f in proposal.fixes)
        if not proposal.fixes or places <= told:
            if not changed:
                say("nothing stands near what is on file, so no change is proposed\n")
            return changed
        told |= places
        for fix in proposal.fixes:
            say(f"{fix.sentence()}\n")
        what = "this change" if len(proposal.fixes) == 1 else f"these {len(proposal.fixes)} changes"
        if not yes and not ask(f"write {what}?"):
            say("nothing was written; add --yes to write without a question\n")
            return changed
        backup = write_fixes(proposal)
        changed += len(proposal.fixes)
        say(f"written; the tables as they were are kept in {backup}\n")
    raise NoticeError(f"after {_MOST_ROUNDS} rounds there is still something to mend: look at the tables yourself")
