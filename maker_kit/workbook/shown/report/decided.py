"""What was decided and found, on the report: the verdict with its reasons, the steps, the card, every note once."""

from __future__ import annotations

import html
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from maker_kit.decision.decision import Decision
from maker_kit.decision.filed import answered, where
from maker_kit.decision.gate_step import APART, NOT_ASKED, GateStep
from maker_kit.decision.need import AGAINST, MISSING, UNKNOWN
from maker_kit.findings import Finding, in_order
from maker_kit.plan.plan import Plan
from maker_kit.visible import NO_FORMULA
from maker_kit.workbook.amounts import short
from maker_kit.workbook.shown.answers import NOTHING
from maker_kit.workbook.shown.decision import IN_WORDS, MOST_SIGNS
from maker_kit.workbook.shown.report.answer import Words
from maker_kit.workbook.shown.sheets import SIGNS, Sheet

MOST_OF_ONE = 110
"""Letters of one thing that stands in a step's way."""

MOST_REASONS = 5
"""So many reasons stand beside the verdict; what they stand on stands in the tables that follow."""


def verdict(choice: Decision) -> Words:
    """The verdict of the written rules, and what it stands on, in few sentences."""
    said = choice.decided_by
    named = [row.short or row.about or short(row.text, MOST_SIGNS) for row in said.rows]  # a note stands below, whole
    reasons = list(dict.fromkeys(name.rstrip(".") for name in named))
    more = f"; and {len(reasons) - MOST_REASONS} more" if len(reasons) > MOST_REASONS else ""
    by = f"Decided by the rule {said.rule.code}: {'; '.join(reasons[:MOST_REASONS])}{more}." if reasons else ""
    return Words(f"{IN_WORDS[choice.verdict]}: {choice.because}.", *filter(None, (by, " ".join(choice.beside()))))


def card_sheet(choice: Decision) -> Sheet | None:
    """The target card, a must-have a row with its result; nothing where there is no card."""
    rows = [
        (
            f"{row.target.must_have} ({row.target.weight})",
            row.result,
            row.answer,
        )
        for row in choice.card
    ]
    widths = {"must-have": "20%", "result": "66%", "answer": "14%"}
    return Sheet(rows, widths=widths, columns=list(widths)) if rows else None


def gate_sheet(choice: Decision, numbers: Mapping[str, int]) -> Sheet:
    """Every step that it is asked of, its answer, and what stands in its way, with the numbers of who asks for it."""
    rows = []
    for step in choice.gate.steps:
        if step.answer == NOT_ASKED:
            continue
        ways = [f"{name} is not open." for name in step.waits_for]
        ways += _grave(step)
        lacking = "; ".join(need.asked for need in step.unmet if need.state == MISSING)
        ways += [f"missing: {lacking}."] if lacking else []
        asking = dict.fromkeys(numbers[need.source] for need in step.unmet if need.source in numbers)
        because = "\n".join(ways) or f"Nothing was found against any of the {len(step.needs)} things asked for."
        rows.append((step.step, step.answer, because, ", ".join(map(str, asking))))
    widths = {"step": "9%", "answer": "17%", "what stands in its way": "62%", "source": "12%"}
    return Sheet(rows, widths=widths, columns=list(widths))


def _grave(step: GateStep) -> list[str]:
    """What stands against a step and what nobody knows, a line each thing asked for; the notes hold the whole of it."""
    found: dict[tuple[str, str], list[str]] = {}
    for need in step.unmet:
        if need.state in (AGAINST, UNKNOWN):
            found.setdefault((need.state, need.asked), []).append(short(need.because, MOST_OF_ONE))
    return [f"{state}: {asked}: {' '.join(reasons)}" for (state, asked), reasons in found.items()]


def apart_words(choice: Decision) -> Words:
    """Where it is not meant to go, and what an open step does not promise."""
    apart = [name for name in APART if choice.gate.step(name).answer == NOT_ASKED]
    nowhere = f"It goes neither to nor into: {', '.join(apart)}; before it does, each asks for things of its own. "
    return Words("", nowhere * bool(apart) + "What is not on file is unknown, and unknown never opens a step.")


def told_notes(made: Plan, choice: Decision) -> tuple[Finding, ...]:
    """Every note once, the gravest first: of what is made, and what the decision was told besides; what a supplier's
    sheet answers says so.
    """
    mine = (*made.notes, *made.cautions)
    known = {(f.code, f.about) for f in mine}
    more = [f for f in (*choice.judged.of_kind("stop"), *choice.risks) if (f.code, f.about) not in known]
    return in_order(tuple(_answered(choice, finding) for finding in (*mine, *more)))


def _answered(choice: Decision, finding: Finding) -> Finding:
    paper = answered(choice.plan.workshop, choice.plan.recipe, finding)
    step = paper and f"Answered by the supplier's sheet of {paper.date.isoformat()} ({where(paper)}); keep it."
    return replace(finding, next_step=step) if step else finding


def source_numbers(notes: Iterable[Finding], choice: Decision) -> dict[str, int]:
    """A number for every source: of the notes in their order, then of what the steps still ask for."""
    asked = (need.source for step in choice.gate.steps if step.answer != NOT_ASKED for need in step.unmet)
    named = (*(finding.source for finding in notes), *asked)
    return {source: number for number, source in enumerate(dict.fromkeys(filter(None, named)), 1)}


def stops_sheet(notes: Sequence[Finding], numbers: Mapping[str, int]) -> Sheet | Words:
    """What to stop for; says so where there is nothing."""
    stops = [finding for finding in notes if finding.kind == "stop"]
    if stops:
        return _notes(stops, numbers)
    subjects = dict.fromkeys(finding.subject for finding in notes if finding.kind == "look")
    if not subjects:
        return Words("", NOTHING)
    none = "Nothing to stop for was found in the tables on file. That is not a promise that it is safe."
    return Words("", none, f"▲ To look at, in the notes: {'; '.join(subjects)}.")


def notes_sheet(notes: Sequence[Finding], numbers: Mapping[str, int]) -> Sheet | None:
    """Every other note and caution, the gravest first, with the numbers of their sources."""
    rest = [finding for finding in notes if finding.kind != "stop"]
    return _notes(rest, numbers) if rest else None


def _notes(findings: Iterable[Finding], numbers: Mapping[str, int]) -> Sheet:
    rows = [
        (SIGNS[f.kind], f.subject, f.text + (f"\n→ {f.next_step}" if f.next_step else ""), numbers.get(f.source, ""))
        for f in findings
    ]
    widths = {"about": "15%", "what was found": "70%", "source": "7%"}
    return Sheet(rows, ("note", "about", "what was found"), widths, columns=["note", *widths])


class Sources:
    """The sources by their numbers, as a list; in two columns where it is printed.

    Parameters
    ----------
    numbers : Mapping of str to int
    """

    def __init__(self, numbers: Mapping[str, int]) -> None:
        self.numbers = dict(numbers)

    def _repr_html_(self) -> str:
        lines = "".join(f'<li value="{n}">{html.escape(source)}</li>' for source, n in self.numbers.items())
        return f'<ol class="sources {NO_FORMULA}">{lines}</ol>' if lines else "<p>No note names a source.</p>"

    def __repr__(self) -> str:
        return "\n".join(f"{n}. {source}" for source, n in self.numbers.items()) or "No note names a source."
