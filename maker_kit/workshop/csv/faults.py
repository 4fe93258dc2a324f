"""Gathering the faults of a workshop, so that a maker hears of all of them at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from maker_kit.errors import Fault
from maker_kit.names import name_key
from maker_kit.visible import visible

MOST_SHOWN = 80
"""How much of a cell is quoted in a fault [characters]."""


def shown(text: str) -> str:
    """A cell's text as a sentence quotes it: in one line, in quotes, at most `MOST_SHOWN` characters; it is text and
    nothing else, whatever it looks like: signs that cannot be seen are written out.
    """
    line = visible(" ".join(text[: 4 * MOST_SHOWN].split()))
    if not line:
        return "nothing"
    cut = len(line) > MOST_SHOWN or len(text) > 4 * MOST_SHOWN
    return f'"{line[:MOST_SHOWN]}…" ({len(text)} characters)' if cut else f'"{line}"'


@dataclass
class FaultBook:
    """The faults found so far, in the order they were found, each once."""

    _faults: dict[Fault, None] = field(default_factory=dict)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """All of them."""
        return tuple(self._faults)

    def add(self, file: str, row: int | None, column: str, found: str, allowed: str, mend: str) -> None:
        """Write one fault down; the words are those of `maker_kit.errors.Fault`."""
        self._faults[Fault(file, row, column, found, allowed, mend)] = None

    def extend(self, faults: Iterable[Fault]) -> None:
        """Write several faults down."""
        self._faults.update(dict.fromkeys(faults))

    def in_order(self, files: Iterable[str]) -> tuple[Fault, ...]:
        """The faults by file, in the order of `files`, and by row; those of a whole file first."""
        place = {file: i for i, file in enumerate(files)}
        return tuple(sorted(self.faults, key=lambda f: (place.get(f.file, len(place)), f.file, f.row or 0)))


@dataclass(frozen=True)
class Names:
    """The names that may be used for one kind of thing.

    Attributes
    ----------
    what : str
        The kind, with its article: ``an ingredient``.
    file : str
        Table that lists them.
    known : Mapping of str to str, or None
        Folded name to the name as written; None where the table could not be read, so that nothing can be said about a
        name.
    """

    what: str
    file: str
    known: Mapping[str, str] | None

    @classmethod
    def of(cls, what: str, file: str, names: Iterable[str] | None) -> Names:
        """The names as written, each under its folded form."""
        return cls(what, file, None if names is None else {name_key(n): n for n in names})

    def find(self, name: str) -> str | None:
        """The name as the table writes it; None where there is no such name. Where the table could not be read, the
        name itself.
        """
        return name if self.known is None else self.known.get(name_key(name))

    def spelled(self, name: str) -> str:
        """The name as the table writes it; where it lists none such, the name itself."""
        return self.find(name) or name
