"""What one entry of Annexes III–VI says of what a product holds: the use that covers it, the figure, and what is
beside the figure.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.formula.annexes.conditions import conditions_of
from maker_kit.formula.annexes.counted import Held
from maker_kit.formula.annexes.entries import Entry, Use, WarningLine
from maker_kit.formula.annexes.uses import PLACES, any_means
from maker_kit.formula.annexes.verdict import (
    DECLARE,
    NEEDS_WARNING,
    OVER_MOST,
    UNKNOWN_AMOUNT,
    UNKNOWN_PRODUCT_TYPE,
    USE_NOT_LISTED,
    WITHIN,
    OtherUse,
    Verdict,
)
from maker_kit.formula.ingredient import ProductType


@dataclass(frozen=True)
class Covered:
    """The uses of an entry that a product is, on one of its places.

    Attributes
    ----------
    surely, perhaps : tuple of Use
        Uses whose words surely mean it, and such as may mean it.
    """

    surely: tuple[Use, ...]
    perhaps: tuple[Use, ...]


def covered(entry: Entry, place: str, product: ProductType) -> Covered:
    """Which uses of an entry a product is, on one place.

    "Other products" are what the sure words of the entry's other uses do not mean.

    Parameters
    ----------
    entry : Entry
    place : str
    product : ProductType

    Returns
    -------
    Covered
    """
    surely = tuple(use for use in entry.uses if any_means(use.covers, place, product))
    if not surely:
        surely = tuple(use for use in entry.uses if use.the_rest)
    perhaps = tuple(use for use in entry.uses if use not in surely and any_means(use.may, place, product))
    return Covered(surely, perhaps)


def entry_verdicts(entry: Entry, found: Held, product: ProductType, ph: float | None = None) -> tuple[Verdict, ...]:
    """What an entry says of what a product holds of its substances.

    Parameters
    ----------
    entry : Entry
    found : Held
    product : ProductType
        The strictest of its places counts.
    ph : float, optional
        The pH that was read; None where nobody read it.

    Returns
    -------
    tuple of Verdict
        One on the figure, and one for each condition, warning and declaration that concerns the product. Nothing
        where the product holds nothing of it.
    """
    blank = verdict_of(entry, found)
    worst: Verdict | None = None
    letters: set[str] = set()
    sure: set[str] = set()
    for place in product.places or PLACES:
        uses = covered(entry, place, product)
        letters |= {use.letter for use in (*uses.surely, *uses.perhaps)}
        sure |= {use.letter for use in uses.surely}
        here = _on_place(blank, uses, found)
        if here.code == USE_NOT_LISTED and place not in PLACES:
            here = replace(here, code=UNKNOWN_PRODUCT_TYPE, about="place")
        worst = here if worst is None or _grave(here) < _grave(worst) else worst
    if worst is None or worst.code == USE_NOT_LISTED:
        return () if worst is None else (worst,)
    result = [*conditions_of(entry, blank, letters, product, ph), worst]
    lines = warnings_for(entry, sure)
    if lines:
        words = {"wording": " | ".join(line.line for line in lines), "printed": printed(lines)}
        result.append(replace(blank, code=NEEDS_WARNING, letter=worst.letter, **words))
    above = entry.declare_rinse_off if product.rinse_off else entry.declare_leave_on
    if above is not None and (found.high is None or found.high > above):
        result.append(replace(blank, code=DECLARE, most=above, wording=entry.declare_as, quote=entry.declare_quote))
    return tuple(result)


def warnings_for(entry: Entry, letters: set[str]) -> tuple[WarningLine, ...]:
    """The lines of an entry's warnings that are for uses of these letters, and those for all uses; a use without a
    letter takes all.
    """
    return tuple(line for line in entry.warnings if letters and (not line.letters or line.letters & letters))


def printed(lines: tuple[WarningLine, ...]) -> tuple[tuple[str, str], ...]:
    """The texts to be printed of some lines, each once, with what the law says around it."""
    footnotes = " ".join(line.text for line in lines if line.footnote)
    told = ((n.text, "; ".join(filter(None, (n.around, footnotes)))) for n in lines if n.text and not n.footnote)
    return tuple(dict.fromkeys(told))


def verdict_of(entry: Entry, found: Held) -> Verdict:
    """A verdict of an entry on what was found, its code still open (``within``)."""
    return Verdict(
        WITHIN,
        entry.annex,
        entry.number,
        entry.substance,
        tuple(dict.fromkeys(c.name for c in found.contents)),
        low=found.low,
        high=found.high,
        basis=entry.basis,
        source=entry.source,
        updated=entry.updated,
    )


def against(blank: Verdict, found: Held, most: Fraction | None) -> Verdict:
    """The verdict on an amount against a figure: within, over, or an amount that cannot be worked out."""
    if most is None:
        return replace(blank, code=WITHIN)
    if found.low > most:
        return replace(blank, code=OVER_MOST, most=most)
    if found.high is None:
        return replace(blank, code=OVER_MOST if found.sure and found.worst > most else UNKNOWN_AMOUNT, most=most)
    if found.high <= most:
        return replace(blank, code=WITHIN, most=most)
    return replace(blank, code=OVER_MOST if found.sure else UNKNOWN_AMOUNT, most=most)


def _on_place(blank: Verdict, uses: Covered, found: Held) -> Verdict:
    if not uses.surely and not uses.perhaps:
        return replace(blank, code=USE_NOT_LISTED)
    others = tuple(OtherUse(use.letter, use.product, use.most) for use in uses.perhaps)
    if uses.surely:
        tight = min(uses.surely, key=lambda use: (use.most is None, use.most or 0))
        sure = replace(against(blank, found, tight.most), letter=tight.letter, quote=tight.product, alternatives=others)
        stricter = [
            use for use in uses.perhaps if use.most is not None and (tight.most is None or use.most < tight.most)
        ]
        broken = [use for use in stricter if against(blank, found, use.most).code != WITHIN]
        if sure.code == WITHIN and broken:
            use = min(broken, key=lambda u: u.most or 0)
            return replace(sure, code=UNKNOWN_PRODUCT_TYPE, most=use.most, letter=use.letter, quote=use.product)
        return sure
    loosest = max(uses.perhaps, key=lambda use: (use.most is None, use.most or 0))
    at_best = replace(
        against(blank, found, loosest.most), letter=loosest.letter, quote=loosest.product, alternatives=others
    )
    return at_best if at_best.code == OVER_MOST else replace(at_best, code=UNKNOWN_PRODUCT_TYPE)


def _grave(verdict: Verdict) -> tuple[int, bool, Fraction]:
    order = (OVER_MOST, USE_NOT_LISTED, UNKNOWN_AMOUNT, UNKNOWN_PRODUCT_TYPE, WITHIN)
    return order.index(verdict.code), verdict.most is None, verdict.most or Fraction(0)
