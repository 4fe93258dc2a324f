"""What is read in a pasted recipe: its amounts, and its lines as they are cut out and as they are read."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.errors import short


@dataclass(frozen=True)
class Doubt:
    """Why an amount cannot be taken as it is; as text, a sentence to go on after.

    Attributes
    ----------
    code, text : str
    """

    code: str
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class Found:
    """One amount as it stands in a text.

    Attributes
    ----------
    start, end : int
        Its place in the text; for a target with the words before it.
    low, high : Fraction
        The band [g, mL, %, drops, ounces or a bare number]; equal where one number is written.
    basis : str
        ``mass``, ``volume``, ``percent``, ``drops``, ``ounces`` (of weight or volume: unknown), ``cups`` and
        ``pints`` (whose: unknown), ``parts``, ``number``
        (no unit), ``unsized``, ``pieces`` or ``unclear``.
    written : str
    target : bool
        Whether it is what the whole is made up to.
    doubt : Doubt or None
        Why it cannot be taken as it is.
    """

    start: int
    end: int
    low: Fraction
    high: Fraction
    basis: str
    written: str
    target: bool = False
    doubt: Doubt | None = None

    def doubted(self, code: str, text: str) -> Found:
        """The same, not to be taken as it is; a doubt that it has already stays."""
        return replace(self, basis="unclear", doubt=self.doubt or Doubt(code, text))


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One line of a pasted recipe, before it is known what it is.

    Attributes
    ----------
    text : str
        As written, in plain signs.
    phase : str
        Phase it stands under; ``A`` where the text names none.
    written : str
        The name as written, without the amount; empty where there is none.
    low, high : Fraction or None
        The band of the amount [g, mL, %, drops, ounces or a bare number]; None where there is none.
    basis : str
        As `Found` has it, and ``none`` where there is no amount.
    amount : str
        The amount as written.
    balance : bool
        Whether it takes what the others leave.
    target : Found or None
        What the whole is made up to, where the piece says so.
    doubt : Doubt or None
        Why the amount cannot be taken as it is.
    note : str
        What was read and set aside.
    """

    text: str
    phase: str = "A"
    written: str = ""
    low: Fraction | None = None
    high: Fraction | None = None
    basis: str = "none"
    amount: str = ""
    balance: bool = False
    target: Found | None = None
    doubt: Doubt | None = None
    note: str = ""

    @property
    def is_name(self) -> bool:
        """Whether it is a name alone."""
        return bool(self.written) and self.basis == "none" and not self.balance

    @property
    def is_amount(self) -> bool:
        """Whether it is an amount alone."""
        return not self.written and (self.basis != "none" or self.balance)


@dataclass(frozen=True, kw_only=True)
class TextLine(Piece):
    """One line of a pasted recipe, with what is known and answered of it.

    Attributes
    ----------
    number : int
        Its place, from 1.
    ingredient : str
        The ingredient on file, or the written name where the maker said so; empty while that is a question.
    least_g, most_g : Fraction or None
        What it weighs at least and at most [g], exactly; None where that cannot be told.
    """

    number: int
    ingredient: str = ""
    least_g: Fraction | None = None
    most_g: Fraction | None = None

    @property
    def low_g(self) -> float | None:
        """What it weighs at least [g]; None where that cannot be told."""
        return None if self.least_g is None else float(self.least_g)

    @property
    def high_g(self) -> float | None:
        """What it weighs at most [g]; None where that cannot be told."""
        return None if self.most_g is None else float(self.most_g)

    @property
    def weighed(self) -> bool:
        """Whether it has an amount that is no percent."""
        return self.basis not in {"percent", "none"}

    @property
    def called(self) -> str:
        """What to call it in a sentence."""
        return self.ingredient or short(self.written) or short(self.text)


@dataclass(frozen=True)
class CutText:
    """A pasted recipe in pieces.

    Attributes
    ----------
    pieces : tuple of Piece
    total : Found or None
        A total that the text states on a line of its own.
    notes : tuple of str
        What was left aside, in sentences.
    bare_unit : str
        What numbers without a unit are in, where the heading of a column says so: ``%`` or ``g``; else empty.
    """

    pieces: tuple[Piece, ...]
    total: Found | None = None
    notes: tuple[str, ...] = ()
    bare_unit: str = ""
