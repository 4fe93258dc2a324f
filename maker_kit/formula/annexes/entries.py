"""What an annex holds: an entry with the uses it lists and their conditions, and a prohibition."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from maker_kit.formula.annexes.uses import Clause

TITLE = "Regulation (EC) No 1223/2009"
FIRST = "(EC) 2009/1223"
"""How a record names the Regulation itself."""


@dataclass(frozen=True)
class Condition:
    """One condition of an entry.

    Attributes
    ----------
    kind : str
        ``spray_barred``, ``age_barred``, ``place_barred``, ``ph_least``, ``ph_most``, ``ph_below``, ``ph_above``,
        ``other_purpose``, ``over_here``, or what the maker has to check:
        ``nitrosamines``, ``quality``, ``sunscreen``, ``combination``, ``content``, ``professional``.
    letters : str
        Letter of the uses it is for; empty for all.
    members : str
        INCI name it is for, ``not NAME`` for all others; empty for all.
    value : str
        A figure (years, pH, percent), or the entry it refers to.
    where : tuple of Clause
        Products it is for; empty for all.
    unless : tuple of Clause
        Products it is not for.
    says : str
        The law's words.
    """

    kind: str
    letters: str
    members: str
    value: str
    where: tuple[Clause, ...]
    unless: tuple[Clause, ...]
    says: str


@dataclass(frozen=True)
class Use:
    """One use that an entry lists.

    Attributes
    ----------
    letter : str
    product : str
        The law's words for the product type or the body part; empty for any product.
    most : Fraction or None
        Most of the substance [% of the ready-made product]; None where the entry gives no figure for it.
    most_text : str
        The law's words for the figure.
    covers, may : tuple of Clause
        Products that the words surely mean, and such as they may mean: our words cannot tell.
    the_rest : bool
        "Other products": all that the sure words of the entry's other uses do not mean.
    """

    letter: str
    product: str
    most: Fraction | None
    most_text: str
    covers: tuple[Clause, ...] = ()
    may: tuple[Clause, ...] = ()
    the_rest: bool = False


@dataclass(frozen=True)
class WarningLine:
    """One line of an entry's wording of warnings.

    Attributes
    ----------
    letters : frozenset of str
        Uses that it is for; none for all.
    line : str
        As the annex has it.
    text, around : str
        What is to be printed of it, and what the law says around that; a footnote says something around all others.
    footnote : bool
    """

    letters: frozenset[str]
    line: str
    text: str
    around: str
    footnote: bool


@dataclass(frozen=True)
class Entry:
    """One entry of Annexes III–VI.

    Attributes
    ----------
    annex, number : str
    substance : str
        The law's words for it.
    names : tuple of str
        Names that the entry lists.
    uses : tuple of Use
    conditions : tuple of Condition
    basis : str
        How its figures are counted (``as acid``); empty for as supplied.
    warnings : tuple of WarningLine
    declare_quote : str
        The law's words on naming it on the label.
    declare_as : str
        Name to be declared, where the law names one.
    declare_leave_on, declare_rinse_off : Fraction or None
        Above which content it has to be named on the label [%].
    instrument, updated : str
        Regulation that the record names, date of the record.
    salts : bool
        Whether it is of salts, too.
    """

    annex: str
    number: str
    substance: str
    names: tuple[str, ...]
    uses: tuple[Use, ...]
    conditions: tuple[Condition, ...] = ()
    basis: str = ""
    warnings: tuple[WarningLine, ...] = ()
    declare_quote: str = ""
    declare_as: str = ""
    declare_leave_on: Fraction | None = None
    declare_rinse_off: Fraction | None = None
    instrument: str = ""
    updated: str = ""
    salts: bool = False

    @property
    def source(self) -> str:
        """Title, annex, entry and the regulation that set it."""
        return f"{TITLE}, Annex {self.annex}, entry {self.number}" + (
            f", as set by Regulation {self.instrument}" if self.instrument != FIRST else ""
        )


@dataclass(frozen=True)
class Prohibition:
    """One entry of Annex II.

    Attributes
    ----------
    number, name : str
        The entry and the law's words.
    conditional : str
        Empty where the ban is without condition; else what it hangs on: ``hair dye``, ``fragrance``, ``content``,
        ``natural``, ``nano``, ``annex``, ``linked``.
    see : tuple of (str, str)
        Entries of other annexes that the ban excepts, as (annex, number).
    excepted : frozenset of str
        Keys of what the entry's words except.
    instrument, updated : str
    """

    number: str
    name: str
    conditional: str = ""
    see: tuple[tuple[str, str], ...] = ()
    excepted: frozenset[str] = frozenset()
    instrument: str = ""
    updated: str = ""

    @property
    def source(self) -> str:
        """Title, annex and entry."""
        return f"{TITLE}, Annex II, entry {self.number}"
