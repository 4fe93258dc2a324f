"""What is known of the names of a label beside their order: the law's maxima, the trade's habit, claims, and what the
maker tells.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from maker_kit.findings import PRACTICE
from maker_kit.formula.annexes.most import most_by_law
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.kinds import SCENT_NAMES
from maker_kit.formula.substances.naming import substance
from maker_kit.formula.substances.spelling import words
from maker_kit.label.label_text import COLOUR, INSIDE, MAYBE, ORDERED, LabelText, Listed, Question
from maker_kit.label.order.label_order import Percent, label_order
from maker_kit.names import name_key
from maker_kit.numbers import number_text, with_point

LAW, USUAL, CLAIM, YOURS = "law", "practice", "claim", "yours"
SOFT = frozenset({LAW, USUAL})
"""Rules that hold only for a label that keeps the law, or is made as labels mostly are; bounds are told without them
too."""
MOST_SCENT, MOST_COLOUR = Fraction(5), Fraction(1)
"""Most scent, and most of all colours last outside make-up [%]: common practice, no source."""
_CLAIMED = re.compile(r"(?i)(?<![\d./–-])(\d{1,3}(?:[.,]\d{1,4})?)\s*(?:%|per ?cent\b)")
_AT_MOST = re.compile(r"(?i)\b(?:up to|at most|no more than|not more than|less than|under|below|max(?:imum)?)\b\.?")
_FILLING = frozenset(
    {
        "with",
        "of",
        "contains",
        "containing",
        "enriched",
        "at",
        "least",
        "min",
        "min.",
        "minimum",
        "more",
        "than",
        "over",
    }
    | {"und", "mit", "avec", "and", "pure", "full", "a"}
)
"""What a claim says around a figure and a name."""


@dataclass(frozen=True)
class LabelRule:
    """One thing known of a name.

    Attributes
    ----------
    kind : {'law', 'practice', 'claim', 'yours'}
    end : {'most', 'least'}
    names : tuple of str
        One, or several that are bounded together.
    percent : Fraction
        [% by mass of the product].
    why, source : str
    """

    kind: str
    end: str
    names: tuple[str, ...]
    percent: Fraction
    why: str
    source: str

    @property
    def soft(self) -> bool:
        """Whether it holds only for a label that keeps the law or the trade's practice."""
        return self.kind in SOFT


def order_names(read: LabelText) -> list[Listed]:
    """The names that stand in the order, then the colours and what may be there."""
    ordered = [n for n in read.names if n.role == ORDERED]
    return [*ordered, *(n for n in read.names if n.role in {COLOUR, MAYBE})]


def law_rules(read: LabelText, product: ProductType | None, law: str = "eu") -> Iterable[LabelRule]:
    """What the EU's law allows at most of each name that it knows; on a US label that is practice at most."""
    for one in read.names:
        if one.known and (most := most_by_law(one.name, product)) is not None:
            counted = f" {most.basis}" if most.basis else ""
            only = f", if it is there as a {most.only_as}" if most.only_as else ""
            why = f"the law allows {number_text(most.figure)} %{counted}{only}"
            if law == "us":
                why = f"EU law, not of the US: {why}"
            yield LabelRule(USUAL if law == "us" else LAW, "most", (one.name,), most.percent, why, most.source)


def usual_rules(read: LabelText, colours_most: Percent | None) -> Iterable[LabelRule]:
    """What is practice of scents and colours; what is told of colours takes its place."""
    for one in read.names:
        if one.role == ORDERED and name_key(one.name) in SCENT_NAMES:
            yield LabelRule(USUAL, "most", (one.name,), MOST_SCENT, "a scent is rarely more than about 5 %", PRACTICE)
    colours = tuple(n.name for n in read.names if n.role in {COLOUR, MAYBE})
    if colours and colours_most is None:
        why = "all colours together are rarely more than about 1 % outside make-up"
        yield LabelRule(USUAL, "most", colours, MOST_COLOUR, why, PRACTICE)
    elif colours:
        most = label_order(("colours",), at_most={"colours": colours_most}).at_most["colours"]
        yield LabelRule(YOURS, "most", colours, most, "as you told", "you")


def claim_rules(read: LabelText, claims: Iterable[str], questions: list[Question]) -> Iterable[LabelRule]:
    """What the pack claims, beside a name or besides; a claim that fits no name is asked about."""
    for one in read.names:
        if one.percent is not None and one.role != INSIDE:
            yield LabelRule(
                CLAIM, "least", (one.name,), _printed_down(one.percent), f"printed beside it: {one.written}", "the pack"
            )
    for claim in claims:
        for said in _claims_of(claim) if re.search(r"(?i)%|per ?cent", claim) else ():
            figure = _CLAIMED.search(said)
            name = " ".join(
                w for w in _AT_MOST.sub(" ", _CLAIMED.sub(" ", said)).split() if w.casefold() not in _FILLING
            )
            found = _meant_by(name, read) if figure else None
            if found is None:
                choices = tuple(n.name for n in order_names(read))[:6]
                asked = f'The pack says "{said}": which name of the list is that?'
                questions.append(Question("claim", name or said, asked, choices))
                continue
            percent = Fraction(Decimal(with_point(figure[1])))
            why = f'the pack says "{said}"'
            if _AT_MOST.search(said):
                yield LabelRule(
                    CLAIM, "most", (found,), min(percent + _half_a_step(percent), Fraction(100)), why, "the pack"
                )
            else:
                yield LabelRule(CLAIM, "least", (found,), _printed_down(percent), why, "the pack")


def _claims_of(claim: str) -> list[str]:
    """One claim for each figure: "5 % glycerin and 2 % urea" says two things."""
    parts = [p.strip() for p in re.split(r"(?i)\s+(?:and|&|\+)\s+|[,;]\s+", claim) if p.strip()]
    whole = len(parts) > 1 and all(len(_CLAIMED.findall(p)) == 1 for p in parts)
    return parts if whole else [claim.strip()]


def _half_a_step(percent: Fraction) -> Fraction:
    """Half of the last figure that is printed, tenths or hundredths (common practice)."""
    return Fraction(1, 20 if (10 * percent).denominator == 1 else 200)


def _printed_down(percent: Fraction) -> Fraction:
    """The least that may be printed so: 1.95 % may be printed as 2 %, 2.495 % as 2.50 % (common practice)."""
    return max(percent - _half_a_step(percent), Fraction(0))


def _meant_by(name: str, read: LabelText) -> str | None:
    key = substance(name).key
    exact = [n.name for n in order_names(read) if substance(n.name).key == key]
    if exact:
        return exact[0]
    said = set(words(name)) - _FILLING
    close = [n.name for n in order_names(read) if said and said <= set(words(n.name))]
    return close[0] if len(close) == 1 else None


def own_rules(read: LabelText, at_most: Mapping[str, Percent], at_least: Mapping[str, Percent]) -> Iterable[LabelRule]:
    """What the maker tells."""
    names = tuple(n.name for n in order_names(read))
    by_key = {substance(n).key or name_key(n): n for n in names}
    for end, given in (("most", at_most), ("least", at_least)):
        own = {by_key.get(substance(n).key or name_key(n), n): p for n, p in given.items()}
        checked = label_order(names, at_most=own)  # says what is no name or no figure
        for name, percent in checked.at_most.items():
            yield LabelRule(YOURS, end, (name,), percent, "as you told", "you")
