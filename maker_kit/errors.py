"""What the workbook says when it cannot go on: one sentence.

It names what, where, what was found, what is allowed and how to mend it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from maker_kit.visible import visible

MOST_PATH = 160
"""How much of a path is quoted [characters]."""


class MakerKitError(Exception):
    """Base of every failure the workbook raises on purpose. Its text is a sentence for a maker."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else self.__class__.__name__


class UnknownNameError(MakerKitError):
    """A recipe, ingredient, container or setting that nobody has heard of."""


class QuantityError(MakerKitError, ValueError):
    """A text that is no amount, an amount of unknown basis, or a number out of range."""


class BasisUnknownError(QuantityError):
    """A bare "oz": a mass or a volume, and nobody can know which.

    Attributes
    ----------
    as_mass_g : float
        What it is if ounces of weight are meant [g].
    as_volume_ml : float
        What it is if US fluid ounces are meant [mL].
    """

    def __init__(self, message: str, as_mass_g: float, as_volume_ml: float) -> None:
        self.as_mass_g = as_mass_g
        self.as_volume_ml = as_volume_ml
        super().__init__(message)


class RecipeError(MakerKitError, ValueError):
    """A recipe that does not add up, or a level that its balance line cannot hold."""


class BasketError(MakerKitError):
    """A need that no basket of the market covers, or one that could not be proved."""


class LabelError(MakerKitError, ValueError):
    """A label that cannot be read or laid out: no names, too many, a name twice, a page with room for none."""


class ContradictionError(LabelError):
    """A label whose names and figures cannot all be true.

    Attributes
    ----------
    rules : tuple of (str, object)
        A smallest set of rules that collide: kind (``at_most``, ``at_least``, ``sum``) and whose it is. None of them
        can be left out.
    """

    def __init__(self, message: str, rules: Iterable[tuple[str, object]]) -> None:
        self.rules = tuple(rules)
        super().__init__(message)


class NoticeError(MakerKitError):
    """A report, notebook or panel that failed; the text is what to tell the maker."""


@dataclass(frozen=True)
class Fault:
    """One fault of one table of a workshop.

    Attributes
    ----------
    file : str
        File, relative to the workshop's folder.
    row : int or None
        Row as a spreadsheet counts it (the header is row 1); None where the fault concerns the whole file.
    column : str
        Heading of the column; empty where the fault concerns a whole row or file.
    found : str
        What stands there.
    allowed : str
        What may stand there.
    mend : str
        What to do about it.
    place : str
        How the cell is called in a workbook, ``packs!F12``; empty where file, row and heading say it.
    meant : str
        What was probably meant in place of the whole cell or heading; empty where nothing is near.
    known : collection of str
        What could have been meant; empty where only one thing can.
    """

    file: str
    row: int | None
    column: str
    found: str
    allowed: str
    mend: str
    place: str = ""
    meant: str = ""
    known: Collection[str] = field(default=(), compare=False, repr=False)

    def sentence(self) -> str:
        """The fault in one line of text."""
        place = (
            (self.place + (f", column {self.column!r}" if self.column else ""))
            if self.place
            else path_text(self.file)
            + (f", row {self.row}" if self.row is not None else "")
            + (f", column {self.column!r}" if self.column else "")
        )
        return f"{place}: found {self.found}; allowed: {self.allowed}; to mend it: {self.mend}"


class WorkshopError(MakerKitError):
    """Every fault of a workshop's tables, all at once.

    Attributes
    ----------
    faults : tuple of Fault
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(dict.fromkeys(f.sentence() for f in self.faults)))


def short(text: str, most: int = 40) -> str:
    """The text in one line of at most so many characters, to quote in a sentence."""
    line = visible(" ".join(str(text)[: 4 * most].split())) + ("…" if len(str(text)) > 4 * most else "")
    return line if len(line) <= most else line[: most - 1] + "…"


def path_text(path: object) -> str:
    """A path as a sentence quotes it, at most `MOST_PATH` characters."""
    return short(str(path), MOST_PATH)
