"""Names as people type them: how two spellings are told to be one name, and which known name a slip was meant for."""

from __future__ import annotations

import difflib
import fnmatch
import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from maker_kit.errors import UnknownNameError

T = TypeVar("T")

LISTED = 8
"""How many known names a near miss lists where none is close."""
SEVERAL = 6
"""How many close names are listed."""
CLOSE = 0.6
"""Least likeness of two names that are called close, as `difflib.SequenceMatcher.ratio` has it."""
FEW, COMPARED = 24, 8
"""More than `FEW` names are not all compared letter by letter, but only the `COMPARED` that share most with the one."""
LONGEST = 200
"""How much of a name is compared [characters]."""


@lru_cache(maxsize=1 << 15)
def name_key(name: str) -> str:
    """The name as names are compared: without capitals, superfluous blanks and ways to write an accent.

    Parameters
    ----------
    name : str

    Returns
    -------
    str
        ``"Sodium  Benzoate"`` and ``"sodium benzoate"`` have the same key.
    """
    return " ".join(unicodedata.normalize("NFC", name).casefold().split())


@lru_cache(maxsize=1 << 12)
def _matcher(like: str) -> Callable[[str], object]:
    """What tells whether a name fits; most patterns are a plain word, with stars at its ends or without, and a thousand
    regular expressions would take longer to make than all else that is asked of them.
    """
    word = like.strip("*")
    if any(sign in word for sign in "*?["):
        return re.compile(fnmatch.translate(like)).match
    first, last = like.startswith("*"), like.endswith("*")
    if first and last:
        return lambda name: word in name
    if first:
        return lambda name: name.endswith(word)
    return (lambda name: name.startswith(word)) if last else (lambda name: name == word)


def fits(name: str, like: str) -> bool:
    """Whether a whole name fits a pattern with ``*`` and ``?``, capitals as they are: `fnmatch.fnmatchcase`, which
    before Python 3.12 forgets patterns as soon as a table has more than 256 of them.
    """
    return bool(_matcher(like)(name))


def by_key(things: Mapping[str, T]) -> dict[str, T]:
    """The things by the `name_key` of their names."""
    return {name_key(name): thing for name, thing in things.items()}


@dataclass(frozen=True)
class NearMiss:
    """What a name that nobody knows was perhaps meant for. It prints itself as a clause.

    Attributes
    ----------
    close : tuple of str
        The nearest known names; empty where none is near.
    known : tuple of str
        Known names, `LISTED` at most.
    more : bool
        Whether there are more known names than listed.
    """

    close: tuple[str, ...]
    known: tuple[str, ...]
    more: bool = False

    def __str__(self) -> str:
        if len(self.close) == 1:
            return f'did you mean "{self.close[0]}"?'
        if self.close:
            named = ", ".join(f'"{n}"' for n in self.close[:SEVERAL])
            return f"it may be {named}{', …' if len(self.close) > SEVERAL else ''}"
        return f"there are: {', '.join(self.known)}{', …' if self.more else ''}" if self.known else "there are none"

    @property
    def sentence(self) -> str:
        """The clause with its full stop or question mark, to be followed by what to do."""
        cut = len(self.close) > SEVERAL or (not self.close and self.more)
        return str(self) if cut or len(self.close) == 1 else f"{self}."


def look_up(name: str, things: Mapping[str, T], missing: str) -> T:
    """The thing of that name.

    Parameters
    ----------
    name : str
    things : Mapping of str to thing
    missing : str
        What to say where there is none, such as ``there is no "Sand" in this kit``; the near miss follows.

    Raises
    ------
    UnknownNameError
        If there is none.
    """
    if name not in things:
        raise UnknownNameError(f"{missing}: {near_miss(name, things)}")
    return things[name]


def one_of(words: Iterable[str], text: str, missing: str) -> str:
    """The word that a text is, whatever its capitals; `missing` as in `look_up`. Raises UnknownNameError if none is."""
    found = {name_key(word): word for word in words}
    if name_key(text) not in found:
        raise UnknownNameError(f"{missing}: {near_miss(text, found.values())}")
    return found[name_key(text)]


def close_names(folded: str, known: Iterable[str], most: int, cutoff: float = CLOSE) -> list[str]:
    """Folded names like one, the likest first (`difflib.get_close_matches`); of very many names only those that share
    the most runs of three signs with it are compared, so that thousands of questions take seconds.

    Parameters
    ----------
    folded : str
    known : iterable of str
        Folded names.
    most : int
        How many at most.
    cutoff : float
        Least likeness, 0 to 1.

    Returns
    -------
    list of str
    """
    names = tuple(known)
    folded = folded[:LONGEST]
    if len(names) > FEW:
        index = _runs_of(names)
        shared = Counter(place for run in _runs(folded) for place in index.get(run, ()))
        names = tuple(names[place] for place, _ in shared.most_common(COMPARED))
    return difflib.get_close_matches(folded, names, n=most, cutoff=cutoff)


def _runs(folded: str) -> set[str]:
    """The runs of three signs in a folded name, its ends marked."""
    marked = f"\n\n{folded}\n"
    return {marked[k : k + 3] for k in range(len(marked) - 2)}


@lru_cache(maxsize=16)
def _runs_of(names: tuple[str, ...]) -> dict[str, list[int]]:
    """Run of three signs → places of the names that hold it."""
    found: dict[str, list[int]] = {}
    for place, name in enumerate(names):
        for run in _runs(name[:LONGEST]):
            found.setdefault(run, []).append(place)
    return found


@lru_cache(maxsize=16)
def _folded(names: tuple[str, ...]) -> dict[str, str]:
    """Folded name → name."""
    return {name_key(n): n for n in names}


def near_miss(name: str, known: Iterable[str], cutoff: float = CLOSE) -> NearMiss:
    """The known name nearest to one that nobody knows, or a few of those there are.

    Parameters
    ----------
    name : str
        What was asked for.
    known : iterable of str
        What there is.
    cutoff : float
        Least likeness, 0 to 1.

    Returns
    -------
    NearMiss
        Its text is ``'did you mean "Glycerin"?'`` or ``'there are: …'``.
    """
    names = list(dict.fromkeys(known))
    folded = _folded(tuple(names))
    close = close_names(name_key(name), folded, 1, cutoff)
    return NearMiss(tuple(folded[c] for c in close), tuple(names[:LISTED]), len(names) > LISTED)
