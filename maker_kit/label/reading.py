"""A shop's label read: least and most of every name, from its order, the 1 % line, the law, claims and practice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

import pandas as pd

from maker_kit.errors import ContradictionError
from maker_kit.findings import Finding, in_order
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance
from maker_kit.frames import frame_of
from maker_kit.label.label_rules import USUAL, LabelRule, claim_rules, law_rules, order_names, own_rules, usual_rules
from maker_kit.label.label_text import COLOUR, INSIDE, MAYBE, ORDERED, LabelText, Listed, Question, read_text
from maker_kit.label.order.bounds import Bound, OrderBounds, bounds_of
from maker_kit.label.order.chain import FLOOR
from maker_kit.label.order.label_order import LabelOrder, NameSum, Percent, label_order
from maker_kit.label.read_findings import asked_finding, label_findings, unusual_findings
from maker_kit.names import name_key


@dataclass(frozen=True)
class LabelRow:
    """One name of a label with its range.

    Attributes
    ----------
    name, written, role : str
    of : tuple of str
        Names that hold it, for one inside others.
    place : int or None
        Place in the order; None for what stands in none.
    least, most : Bound or None
        By all rules; None where the label contradicts itself.
    bare_least, bare_most : Bound or None
        By the order, claims and what the maker told alone.
    """

    name: str
    written: str
    role: str
    of: tuple[str, ...]
    place: int | None
    least: Bound | None
    most: Bound | None
    bare_least: Bound | None
    bare_most: Bound | None


@dataclass(frozen=True)
class LabelReading:
    """A label as it was read. Made by `read_label`.

    Attributes
    ----------
    text : LabelText
    law, where : str
    on : date or None
        When it was read.
    rules : tuple of LabelRule
    rows : tuple of LabelRow
        In the label's order.
    bounds, bare : OrderBounds or None
        With all rules, and without those of the law and of practice; None where they contradict themselves.
    clash : ContradictionError or None
        Why the label contradicts itself.
    questions : tuple of Question
    findings : tuple of Finding
    """

    text: LabelText
    law: str
    where: str
    on: date | None
    rules: tuple[LabelRule, ...]
    rows: tuple[LabelRow, ...]
    bounds: OrderBounds | None
    bare: OrderBounds | None
    clash: ContradictionError | None
    questions: tuple[Question, ...]
    findings: tuple[Finding, ...]

    def of(self, name: str) -> LabelRow:
        """The row of a name in any spelling. Raises KeyError where the label does not hold it."""
        key = substance(name).key or name_key(name)
        return {substance(r.name).key or name_key(r.name): r for r in self.rows}[key]

    def to_frame(self) -> pd.DataFrame:
        """Place, name, what it is, least and most [%] by all rules and whether each is reached or only approached; both
        by the order alone; what makes them.
        """
        return frame_of(
            self.rows,
            {
                "place": "place",
                "name": "name",
                "as written": "written",
                "what it is": lambda r: r.role if not r.of else f"{r.role} {', '.join(r.of)}",
                "least %": "least.percent",
                "most %": "most.percent",
                "least reached": lambda r: "" if r.least is None else r.least.reached,
                "most reached": lambda r: "" if r.most is None else r.most.reached,
                "least %, order alone": "bare_least.percent",
                "most %, order alone": "bare_most.percent",
                "least by": lambda r: "" if r.least is None else _by(r.least),
                "most by": lambda r: "" if r.most is None else _by(r.most),
            },
            blank=("least %", "most %", "least %, order alone", "most %, order alone"),
            whole=("place",),
        )


def _by(bound: Bound) -> str:
    if not bound.exact and bound.rule == FLOOR:
        return "nothing but that it is listed"
    words_of = {"cap": "most of", "floor": "least of", "line": "the 1 % line", "sum": "all make 100"}
    return f"{words_of[bound.rule]} {bound.by}".strip() if bound.by or bound.rule in {"line", "sum"} else "the order"


def read_label(
    text: str,
    *,
    law: str = "eu",
    product: ProductType | None = None,
    claims: Iterable[str] = (),
    where: str = "",
    on: date | None = None,
    at_most: Mapping[str, Percent] | None = None,
    at_least: Mapping[str, Percent] | None = None,
    colours_most: Percent | None = None,
    meant: Mapping[str, str] | None = None,
) -> LabelReading:
    """The least and the most of every name on a label.

    Parameters
    ----------
    text : str
        The list as it stands on the pack.
    law : {'eu', 'us', 'all'}
        Whose 1 % line it follows.
    product : ProductType, optional
        Where the product goes; legal maxima are those of any product unless told.
    claims : iterable of str
        What the pack says besides: ``5 % glycerin``.
    where, on : str, date
        Where and when it was read; asked for where they are missing, as a label changes.
    at_most, at_least : Mapping of str to number
        What the maker knows besides [%], by name.
    colours_most : number, optional
        Most of all colours last together [%]; about 1 % unless told, which is practice.
    meant : Mapping of str to str
        What a name means that was asked about.

    Returns
    -------
    LabelReading
        Where the label contradicts itself it has no bounds, and `clash` says which names and rules collide.

    Raises
    ------
    LabelError
        If there is nothing to read, or too much.
    QuantityError
        If a figure is no percentage.
    """
    read = read_text(text, meant)
    questions = [*read.questions, *_place_and_day(where, on)]
    rules = [
        *law_rules(read, product, law),
        *usual_rules(read, colours_most),
        *claim_rules(read, claims, questions),
        *own_rules(read, at_most or {}, at_least or {}),
    ]
    if colours_most is None and any(n.role == COLOUR for n in read.names):
        told = "all colours together are taken to be about 1 % at most, which is practice; how much may they be?"
        questions.append(Question("colours", "", told, ("1", "5")))
    bare, bare_clash = _solved(read, [r for r in rules if not r.soft], law)
    full, clash, unusual = (bare, bare_clash, ()) if bare is None else _as_usual(read, rules, law)
    rules = [r for r in rules if r not in unusual]
    rows = tuple(_row(n, read, full, bare, rules) for n in read.names)
    findings = (
        *label_findings(read, rules, clash, where, on),
        *unusual_findings(unusual),
        *map(asked_finding, questions),
    )
    return LabelReading(
        read, law, where, on, tuple(rules), rows, full, bare, clash, tuple(questions), in_order(findings)
    )


def _place_and_day(where: str, on: date | None) -> list[Question]:
    asked = []
    if not where.strip():
        asked.append(Question("where", "", "Where was this label read? A list without its source cannot be checked"))
    if on is None:
        asked.append(Question("when", "", "When was this label read? What is in a product changes"))
    return asked


def _solved(
    read: LabelText, rules: Iterable[LabelRule], law: str
) -> tuple[OrderBounds | None, ContradictionError | None]:
    try:
        return bounds_of(order_of(read, rules, law)), None
    except ContradictionError as clash:
        return None, clash


def _as_usual(
    read: LabelText, rules: Iterable[LabelRule], law: str
) -> tuple[OrderBounds | None, ContradictionError | None, tuple[LabelRule, ...]]:
    """Bounds by all rules; what is only practice is left out where it cannot be true of this label, and given back."""
    kept, left_out = list(rules), []
    while True:
        found, clash = _solved(read, kept, law)
        blamed = [r for r in kept if r.kind == USUAL and clash is not None and _is_of(r, clash)]
        if not blamed:
            return found, clash, tuple(left_out)
        left_out += blamed
        kept = [r for r in kept if r not in blamed]


def _is_of(rule: LabelRule, clash: ContradictionError) -> bool:
    names = [(kind, what.names if isinstance(what, NameSum) else (what,)) for kind, what in clash.rules]
    return any(rule.names == of and kind in {f"at_{rule.end}", "sum"} for kind, of in names)


def order_of(read: LabelText, rules: Iterable[LabelRule], law: str) -> LabelOrder:
    """The names that stand in the order, and the colours, with their rules."""
    listed = order_names(read)
    names = [n.name for n in listed]
    most: dict[str, Fraction] = {}
    least: dict[str, Fraction] = {}
    sums = []
    for rule in rules:
        if len(rule.names) > 1:
            sums.append(NameSum(rule.names, None, rule.percent))
        elif rule.names[0] in names:
            name = rule.names[0]
            if rule.end == "most":
                most[name] = min(most.get(name, rule.percent), rule.percent)
            else:
                least[name] = max(least.get(name, rule.percent), rule.percent)
    return label_order(
        names,
        law=law,
        colours_last=sum(n.role in {COLOUR, MAYBE} for n in listed),
        at_most=most,
        at_least=least,
        sums=sums,
        maybe_absent=[n.name for n in listed if n.role == MAYBE],
    )


def _row(
    one: Listed, read: LabelText, full: OrderBounds | None, bare: OrderBounds | None, rules: Iterable[LabelRule]
) -> LabelRow:
    ordered = [n.name for n in read.names if n.role == ORDERED]
    place = ordered.index(one.name) + 1 if one.role == ORDERED else None
    if one.role != INSIDE:
        ends = [(b.of(one.name).least, b.of(one.name).most) if b else (None, None) for b in (full, bare)]
        return LabelRow(one.name, one.written, one.role, one.of, place, *ends[0], *ends[1])
    own = min((r.percent for r in rules if r.names == (one.name,) and r.end == "most"), default=None)
    ends = [(_nothing(), _held(b, one, own if b is full else None)) if b else (None, None) for b in (full, bare)]
    return LabelRow(one.name, one.written, one.role, one.of, None, *ends[0], *ends[1])


def _nothing() -> Bound:
    return Bound(Fraction(0), False, "sum")


def _held(found: OrderBounds, one: Listed, own: Fraction | None) -> Bound:
    """Most of a name inside others: no more than they, nor than the law allows."""
    most = min(sum((found.of(n).most.exact for n in one.of if n in found.order.names), Fraction(0)) or 100, 100)
    capped = own is not None and own < most
    return Bound(Fraction(own if capped else most), capped, "cap", one.name if capped else ", ".join(one.of))
