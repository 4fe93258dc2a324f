"""How much of a preservative there can be at most, and below which amount it is a trace that counts for nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache

from maker_kit.formula.annexes.law import law
from maker_kit.formula.inside.composition import Part
from maker_kit.formula.kinds import is_meant_as_preservative
from maker_kit.formula.recipe import Ingredient
from maker_kit.formula.substances.naming import substance_key

TRACE_SHARE = Fraction(1, 10)
"""A preservative below this share of its legal maximum is a trace: those in use stand between a tenth and the whole of
it (common practice, no source)."""
TRACE_WITHOUT_MAXIMUM = Fraction(1, 10)
"""Below this a preservative of which no legal maximum is on file is a trace [% of the whole]; common practice, no
source."""


def is_meant_to_preserve(ingredient: Ingredient) -> bool:
    """Whether an ingredient is bought to preserve: its function says so, or it is one substance alone. Any other only
    carries what keeps itself.
    """
    return is_meant_as_preservative(ingredient) or (len(ingredient.inci) == 1 and not ingredient.made_from)


@cache
def legal_maxima(inci: tuple[str, ...]) -> tuple[Fraction, ...]:
    """The legal maxima of some INCI names, the least first [% of the whole].

    Parameters
    ----------
    inci : tuple of str

    Returns
    -------
    tuple of Fraction
        Of every use that Annex V of Regulation (EC) No 1223/2009 lists for one of them, for whatever product; empty
        where none does.
    """
    whole = law()
    entries = {
        place for n in inci for place in whole.by_key.get(substance_key(n), ()) if whole.entries[place].annex == "V"
    }
    return tuple(sorted({use.most for place in entries for use in whole.entries[place].uses if use.most}))


def trace_below(inci: Iterable[str]) -> Fraction:
    """Below this a preservative is a trace [% of the whole].

    ``TRACE_SHARE · m`` with `m` the least of its legal maxima (Annex V; the share is common practice, no source);
    `TRACE_WITHOUT_MAXIMUM` where none is on file.

    Parameters
    ----------
    inci : iterable of str
        INCI names of the preservative; an acid with its salts together, counted as acid.
    """
    known = legal_maxima(tuple(inci))
    return TRACE_SHARE * known[0] if known else TRACE_WITHOUT_MAXIMUM


def most_inside(parts: Mapping[str, Part], substance: str, *, meant: bool) -> Fraction:
    """The most of a substance that one ingredient can hold, as a share of it, 0 to 1.

    A told amount is its high end. An untold one is all that the least of everything else leaves; and where the
    ingredient is not bought to preserve, no more than its highest legal maximum (Annex V) in the ingredient itself,
    since it is there to keep that alone (common practice, no source).

    Parameters
    ----------
    parts : Mapping of str to Part
        What is inside the ingredient, by `key` of the INCI name.
    substance : str
        That `key`.
    meant : bool
        Whether the ingredient is bought to preserve.
    """
    part = parts[substance]
    if not part.unknown:
        return part.high
    room = max(1 - sum((p.low for name, p in parts.items() if name != substance), Fraction(0)), Fraction(0))
    maxima = legal_maxima((part.substance,))
    return room if meant or not maxima else min(room, max(part.high, maxima[-1] / 100))
