"""A line of a pasted recipe, and a question about it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from maker_kit.formula.pasted.amounts import Found


@dataclass(frozen=True)
class Question:
    """Something the text does not say.

    Attributes
    ----------
    key : str
        What to answer under: ``line 2: amount``, ``line 2: ingredient``, ``density of shea``, ``total``, ``percent of``, ``sum``, ``bare numbers``, ``density of the whole``.
    text : str
        The question, with what was found.
    answer : str
        What an answer looks like.
    """

    key: str
    text: str
    answer: str


@dataclass(frozen=True)
class TextLine:
    """One line of a pasted recipe.

    Attributes
    ----------
    number : int
        Its place, from 1.
    text : str
        As pasted.
    phase : str
    written : str
        The name as written.
    ingredient : str
        The ingredient on file, or the written name where the maker said so; empty while that is a question.
    amount : str
        The amount as written.
    basis : str
        ``mass``, ``volume``, ``percent``, ``drops``, ``ounces`` (of weight or volume: unknown), ``parts``, ``number``, ``unsized``, ``pieces``, ``unclear`` or ``none``.
    low, high : Fraction or None
        The amount [g, mL, %, drops, ounces or a bare number].
    least_g, most_g : Fraction or None
        What it weighs at least and at most [g], exactly; None where that cannot be told.
    balance : bool
        Whether it takes what the others leave.
    note : str
    target : Found or None
        What the whole is made up to, where the line says so.
    """

    number: int
    text: str
    phase: str
    written: str
    ingredient: str
    amount: str
    basis: str
    low: Fraction | None
    high: Fraction | None
    least_g: Fraction | None
    most_g: Fraction | None
    balance: bool = False
    note: str = ""
    target: Found | None = None

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
