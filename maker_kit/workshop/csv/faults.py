"""Gathering the faults of a workshop, so that a maker hears of all of them at once."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
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
    """The faults found so far, in the order they were found, each once.

    Attributes
    ----------
    place : callable, optional
        How a cell is called where a maker looks for it, from file, row and heading; as a file's row unless given.
    told : callable, optional
        A sentence with the tables named as the maker sees them.
    """

    place: Callable[[str, int | None, str], str] | None = None
    told: Callable[[str], str] | None = None
    _faults: dict[Fault, None] = field(default_factory=dict)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """All of them."""
        return tuple(self._faults)

    def add(
        self,
        file: str,
        row: int | None,
        column: str,
        found: str,
        allowed: str,
        mend: str,
        meant: str = "",
        known: Collection[str] = (),
    ) -> None:
        """Write one fault down; the words are those of `maker_kit.errors.Fault`."""
        place = self.place(file, row, column) if self.place else ""
        if self.told:
            allowed, mend = self.told(allowed), self.told(mend)
        self._faults[Fault(file, row, column, found, allowed, mend, place, meant, known)] = None

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


class CellError(Exception):
    """A cell that cannot be taken: what is allowed in it, how to mend it, and what was meant where one text is near."""

    def __init__(self, allowed: str, mend: str, meant: str = "") -> None:
        self.allowed, self.mend, self.meant = allowed, mend, meant
        super().__init__(allowed)
