"""What 21 CFR Part 700, Subpart B, and 250.250 prohibit or restrict in cosmetics of the United States, as far as it
could be read.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.prohibited import numbers_named
from maker_kit.formula.annexes.purpose import serves
from maker_kit.formula.annexes.uses import PLACES, Clause, any_means, read_clauses
from maker_kit.formula.annexes.verdict import Content
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance, substance_key
from maker_kit.formula.substances.spelling import words

_COLUMNS = ("inci", "section", "says", "flag", "only", "where", "purpose", "trace", "most", "checked")
_WORDS = {"Mercury": {"mercury", "mercuric", "mercurous"}, "Zirconium": {"zirconium", "zirconyl"}}
_MERCURY = "221"
"""Entry of Annex II that names mercury and its compounds, whatever they are called."""


@dataclass(frozen=True)
class UsRule:
    """One substance that a section names.

    Attributes
    ----------
    inci, section, says : str
        Substance, section and what it says, in our words.
    prohibited : bool
        Outright; else under a condition.
    only_spray : bool
        Only in sprays.
    where : tuple of Clause
        Products in which it is let under its condition; empty for all. In any other it is prohibited.
    purpose : str
        What alone it may be there for (``preservative``); empty for anything.
    trace, most : Fraction or None
        Up to `trace` [% of the whole] it is let anywhere; above `most` [%] it is prohibited everywhere.
    checked : str
        How it was read.
    """

    inci: str
    section: str
    says: str
    prohibited: bool
    only_spray: bool
    checked: str
    where: tuple[Clause, ...] = ()
    purpose: str = ""
    trace: Fraction | None = None
    most: Fraction | None = None

    def bars(self, content: Content, product: ProductType) -> bool:
        """Whether it prohibits so much of the substance in a product; where nobody has told what it is there for, its
        condition stays open.
        """
        if self.prohibited:
            return True
        if self.trace is not None and content.high is not None and content.high <= self.trace:
            return False
        if self.most is not None and content.at_most > self.most:
            return True
        if self.where and not all(any_means(self.where, place, product) for place in product.places or PLACES):
            return True
        return bool(self.purpose) and serves(content, self.purpose) is False


@lru_cache(maxsize=1)
def us_rules() -> tuple[UsRule, ...]:
    """All rules on file; colours stand apart (`us_colours`)."""
    rows = reference.rows("us_prohibited.csv", columns=_COLUMNS)
    return tuple(
        UsRule(
            r["inci"],
            r["section"],
            r["says"],
            r["flag"] == "prohibited",
            r["only"] == "spray",
            r["checked"],
            read_clauses(r["where"]),
            r["purpose"],
            Fraction(r["trace"]) if r["trace"] else None,
            Fraction(r["most"]) if r["most"] else None,
        )
        for r in rows
    )


def us_rules_of(name: str, product: ProductType) -> tuple[UsRule, ...]:
    """The rules that concern a substance in a product; compounds of mercury and zirconium by the word in their name.

    Parameters
    ----------
    name : str
    product : ProductType

    Returns
    -------
    tuple of UsRule
    """
    meant = substance(name)
    said = set(words(meant.name))
    found = [rule for rule in us_rules() if substance_key(rule.inci) == meant.key]
    if not found:
        groups = {"Mercury"} if _MERCURY in numbers_named(name, law()) or said & _WORDS["Mercury"] else set()
        groups |= {"Zirconium"} if said & _WORDS["Zirconium"] else set()
        found = [rule for rule in us_rules() if rule.inci in groups]
    return tuple(rule for rule in found if product.spray or not rule.only_spray)
