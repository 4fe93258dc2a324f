"""What 21 CFR Part 700, Subpart B, and 250.250 prohibit or restrict in cosmetics of the United States, as far as it
could be read.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance, substance_key
from maker_kit.formula.substances.spelling import words


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
    checked : str
        How it was read.
    """

    inci: str
    section: str
    says: str
    prohibited: bool
    only_spray: bool
    checked: str


@lru_cache(maxsize=1)
def us_rules() -> tuple[UsRule, ...]:
    """All rules on file. Colours (21 CFR 73, 74, 82) are not on file: unknown."""
    rows = reference.rows("us_prohibited.csv", columns=("inci", "section", "says", "flag", "only", "checked"))
    return tuple(
        UsRule(r["inci"], r["section"], r["says"], r["flag"] == "prohibited", r["only"] == "spray", r["checked"])
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
    groups = {"Mercury": {"mercury", "mercuric", "mercurous"}, "Zirconium": {"zirconium", "zirconyl"}}
    return tuple(
        rule
        for rule in us_rules()
        if (substance_key(rule.inci) == meant.key or said & groups.get(rule.inci, set()))
        and (product.spray or not rule.only_spray)
    )
