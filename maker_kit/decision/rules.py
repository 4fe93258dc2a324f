"""The written rules: make, buy, change, do not use, not yet. The first that holds decides, and names the rows it
stands on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from maker_kit.decision.card import CardRow
from maker_kit.decision.gate_step import Gate
from maker_kit.decision.money import Money, amount_of
from maker_kit.decision.need import AGAINST
from maker_kit.plan.judged import Judged

MAKE, BUY, CHANGE, DO_NOT_USE, NOT_YET = "make", "buy", "change", "do not use", "not yet"
APART_RULE = "apart"
"""Code of the rule that holds while a step apart is not open."""
COMPARING = ("dearer", "make")
"""Codes of the rules whose rows say what ours costs beside the shop's."""
INVENTED = "cost.invented"
"""Code of the note that prices came with the demo, in a workshop of the maker's own."""


@dataclass(frozen=True)
class Facts:
    """All that the rules read.

    Attributes
    ----------
    judged : Judged
    gate : Gate
    card : tuple of CardRow
    money : Money
    """

    judged: Judged
    gate: Gate
    card: tuple[CardRow, ...]
    money: Money


@dataclass(frozen=True)
class Row:
    """One row that a rule stands on.

    Attributes
    ----------
    part : str
        The part of the page it stands in: ``card``, ``money``, ``gate``, ``notes``.
    text : str
    short : str
        The same in a few words, where the part says the rest; empty where there are none.
    about : str
        What a note is about; empty for anything else.
    """

    part: str
    text: str
    short: str = ""
    about: str = ""


@dataclass(frozen=True)
class Rule:
    """One rule.

    Attributes
    ----------
    code : str
        Stable.
    verdict : str
        What is decided where it holds.
    words : str
        When it holds, in words.
    holds : callable
        The rows it holds by; none where it does not.
    """

    code: str
    verdict: str
    words: str
    holds: Callable[[Facts], tuple[Row, ...]]


@dataclass(frozen=True)
class Ruled:
    """What one rule said.

    Attributes
    ----------
    rule : Rule
    rows : tuple of Row
        Those it holds by; none where it does not.
    decides : bool
        Whether it is the first that holds.
    """

    rule: Rule
    rows: tuple[Row, ...]
    decides: bool


def _of_card(row: CardRow) -> Row:
    return Row("card", row.sentence(), row.short)


def _stopped(facts: Facts) -> tuple[Row, ...]:
    return tuple(Row("notes", f.text, about=f.subject) for f in facts.judged.of_kind("stop"))


def _apart(facts: Facts) -> tuple[Row, ...]:
    return tuple(Row("gate", step.sentence()) for step in facts.gate.waits)


def _against(facts: Facts) -> tuple[Row, ...]:
    unmet = facts.gate.step("own use").unmet
    return tuple(Row("gate", need.because) for need in unmet if need.state == AGAINST and need.code != "own.stop")


def _own_closed(facts: Facts) -> tuple[Row, ...]:
    own = facts.gate.step("own use")
    return (
        ()
        if own.is_open
        else tuple(Row("gate", f"{n.asked}: {n.state}. {n.because}") for n in own.unmet)
        or (Row("gate", own.sentence()),)
    )


def _deviation(facts: Facts) -> tuple[Row, ...]:
    needs = facts.gate.step("gift").unmet
    return tuple(Row("gate", need.because) for need in needs if need.code == "gift.deviation")


def _missed(facts: Facts) -> tuple[Row, ...]:
    return tuple(_of_card(row) for row in facts.card if row.must and not row.cost and row.met is False)


def _unjudged(facts: Facts) -> tuple[Row, ...]:
    musts = [row for row in facts.card if row.must and not row.cost]
    if not musts:
        return (Row("card", "No target card with a must is on file."),)
    return tuple(_of_card(row) for row in musts if row.met is None)


def _too_many(facts: Facts) -> tuple[Row, ...]:
    made, used = facts.money.plan.containers, facts.money.used_containers
    if used is None or made <= used:
        return ()
    return (Row("money", f"{made} are made and {used} are used up in time: make at most {used}."),)


def _cost_unknown(facts: Facts) -> tuple[Row, ...]:
    rows = [row for row in facts.card if row.must and row.cost and row.met is None]
    if facts.money.pair(False) is None:
        return tuple(Row("money", text) for text in facts.money.why)
    invented = [Row("money", f.text) for f in facts.judged.findings if f.code == INVENTED]
    return (*map(_of_card, rows), *invented)


def _cost_missed(facts: Facts) -> tuple[Row, ...]:
    return tuple(_of_card(row) for row in facts.card if row.must and row.cost and row.met is False)


def _dearer(facts: Facts) -> tuple[Row, ...]:
    if any(row.must and row.cost for row in facts.card):
        return ()  # the card says how much dearer is allowed
    pair = facts.money.pair(facts.money.by_use)
    if pair is None or pair[0] <= pair[1]:
        return ()
    return (Row("money", compared(facts.money)),)


def _make(facts: Facts) -> tuple[Row, ...]:
    met = [_of_card(row) for row in facts.card if row.must]
    return (*met, Row("money", compared(facts.money)), Row("gate", facts.gate.step("own use").sentence()))


def compared(money: Money) -> str:
    """Ours and the shop's in a sentence, by the use where both are known so, else by the container."""
    pair = money.pair(money.by_use)
    if pair is None:
        return "Ours and the shop's cannot be compared."
    what = "use" if money.by_use else "container"
    ours, theirs = (amount_of(end, money.by_use) for end in pair)
    word = "no dearer" if pair[0] <= pair[1] else "dearer"
    return f"One {what} of ours costs {ours} {money.plan.currency}, of the shop's {theirs}: ours is {word}."


RULES = (
    Rule("stop", DO_NOT_USE, "a note stops it", _stopped),
    Rule("against", CHANGE, "something at the step own use stands against it", _against),
    Rule("deviation", CHANGE, "a deviation of a batch is not settled", _deviation),
    Rule(
        APART_RULE,
        NOT_YET,
        "it goes to eyes, lips, a child under three or into a spray, and waits for that step of the gate; it is not to "
        "be used before",
        _apart,
    ),
    Rule("own_use", NOT_YET, "own use is not open: something is missing or unknown", _own_closed),
    Rule("must_missed", CHANGE, "a must of the target card is missed", _missed),
    Rule("must_unknown", NOT_YET, "a must of the target card is not judged, or there is no card", _unjudged),
    Rule("too_many", CHANGE, "more are made than are used up in time", _too_many),
    Rule(
        "cost_unknown",
        NOT_YET,
        "what it costs, or the fair price in the shop, is unknown, or a price in it is invented",
        _cost_unknown,
    ),
    Rule("cost_missed", BUY, "the card's must of cost is missed", _cost_missed),
    Rule("dearer", BUY, "ours is dearer than the fair price in the shop, and the card allows nothing more", _dearer),
    Rule(
        "make",
        MAKE,
        "no rule before it holds: own use is open, every must is met, and it costs no more than allowed",
        _make,
    ),
)
"""In this order; every one is shown with its rows, and the first that holds decides."""


def ruled(facts: Facts) -> tuple[Ruled, ...]:
    """What every rule says of the facts, in their order; exactly one decides."""
    said = [(rule, rule.holds(facts)) for rule in RULES]
    first = next(place for place, (_, rows) in enumerate(said) if rows)
    return tuple(
        Ruled(rule, rows if rule.code != "make" or place == first else (), place == first)
        for place, (rule, rows) in enumerate(said)
    )
