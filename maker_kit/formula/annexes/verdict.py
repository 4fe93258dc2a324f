"""What the annexes say of a substance in a product: a code, the entry, the figures as the law counts them, and the
law's words. No sentences.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

PROHIBITED = "prohibited"
OVER_MOST = "over_most"
USE_NOT_LISTED = "use_not_listed"
AGE_BARRED = "age_barred"
SPRAY_BARRED = "spray_barred"
PH_OUTSIDE = "ph_outside"
UNKNOWN_AMOUNT = "unknown_amount"
UNKNOWN_CONDITION = "unknown_condition"
UNKNOWN_PRODUCT_TYPE = "unknown_product_type"
NEEDS_WARNING = "needs_warning"
DECLARE = "declare"
WITHIN = "within"

STOPS = frozenset({PROHIBITED, OVER_MOST, USE_NOT_LISTED, AGE_BARRED, SPRAY_BARRED, PH_OUTSIDE})
LOOKS = frozenset({UNKNOWN_AMOUNT, UNKNOWN_CONDITION, UNKNOWN_PRODUCT_TYPE})
ORDER = (
    PROHIBITED,
    OVER_MOST,
    USE_NOT_LISTED,
    AGE_BARRED,
    SPRAY_BARRED,
    PH_OUTSIDE,
    UNKNOWN_AMOUNT,
    UNKNOWN_PRODUCT_TYPE,
    UNKNOWN_CONDITION,
    NEEDS_WARNING,
    DECLARE,
    WITHIN,
)
"""Codes from the gravest on."""


@dataclass(frozen=True)
class Content:
    """One substance of a product.

    Attributes
    ----------
    name : str
        Name as written.
    low : Fraction
        Least of it [% by mass of the whole].
    high : Fraction or None
        Most of it [% of the whole]; None where nobody has told, and `low` is then what is known.
    functions : tuple of str
        What it is there for, in the maker's words (``preservative``, ``UV filter``, ``colour``, ``scent``); empty
        where nobody says.
    worst : Fraction or None
        Most that there can be where nobody has told [% of the whole]; None where that is not known either.
    """

    name: str
    low: Fraction
    high: Fraction | None
    functions: tuple[str, ...] = ()
    worst: Fraction | None = None

    @property
    def at_most(self) -> Fraction:
        """The unfavourable end of what is told, or of what there can be [% of the whole]."""
        return self.high if self.high is not None else max(self.low, self.worst or Fraction(0))


@dataclass(frozen=True)
class OtherUse:
    """Another use of the same entry, which holds only if the product is that: our words cannot tell.

    Attributes
    ----------
    letter, product : str
        The law's letter and words.
    most : Fraction or None
        Its figure [%].
    """

    letter: str
    product: str
    most: Fraction | None


@dataclass(frozen=True)
class Verdict:
    """What one entry says of what a product holds.

    Attributes
    ----------
    code : str
        One of `ORDER`.
    annex, entry, letter : str
        Where it stands.
    substance : str
        The law's words for the substance.
    names : tuple of str
        Names in the product that it is about, as written.
    low : Fraction
        Least of it, counted as the law counts [% of the whole].
    high : Fraction or None
        Most of it, counted likewise; None where it cannot be worked out.
    most : Fraction or None
        Most that the law allows [%]; None where it gives no figure.
    basis : str
        How it is counted (``as acid``); empty for as supplied.
    about : str
        What the verdict hangs on: ``pH``, ``age``, ``spray``, ``place``, ``hair dye``, ``fragrance``, ``content``,
        ``natural``, ``nano``, ``linked``, ``quality``, ``nitrosamines``,
        ``purpose``, ``sunscreen``, ``combination``, ``professional``, ``sum``, ``colour``, ``UV filter``; empty for
        the figure itself.
    quote : str
        The law's words that decide.
    wording : str
        Warnings and declarations, in the law's words.
    printed : tuple of (str, str)
        Warnings to be printed, each with what the law says around it.
    alternatives : tuple of OtherUse
        Other uses that the product may be.
    source, updated : str
        Title, annex, entry and regulation; date of the record (ISO).
    """

    code: str
    annex: str
    entry: str
    substance: str
    names: tuple[str, ...]
    letter: str = ""
    low: Fraction = Fraction(0)
    high: Fraction | None = Fraction(0)
    most: Fraction | None = None
    basis: str = ""
    about: str = ""
    quote: str = ""
    wording: str = ""
    alternatives: tuple[OtherUse, ...] = ()
    source: str = ""
    updated: str = ""
    printed: tuple[tuple[str, str], ...] = ()

    @property
    def is_stop(self) -> bool:
        """Whether the product must not be made or given as it is."""
        return self.code in STOPS

    @property
    def is_look(self) -> bool:
        """Whether something has to be found out first."""
        return self.code in LOOKS
