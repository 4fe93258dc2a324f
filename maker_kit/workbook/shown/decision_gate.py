"""The gate on the page of a decision: at a glance, and with all that each step still asks for."""

from __future__ import annotations

from collections.abc import Iterator

from maker_kit import reference
from maker_kit.decision.decision import Decision
from maker_kit.decision.gate_step import APART, NOT_ASKED, GateStep
from maker_kit.decision.need import STATES
from maker_kit.workbook.linked import Cell, Part, cells, one_each

MOST_ROWS = 3
"""Reasons that stand on the first sheet; all of them stand in the parts that follow."""
TRUST = (
    "No one has tested this product here. What is not on file is unknown, and unknown never opens a step. "
    "Local law and a qualified person decide before it is given away or sold."
)


def steps_part(made: Decision) -> Part:
    """The gate at a glance: every step and what stands in its way, the gravest first."""
    rows = []
    for step in made.gate.steps:
        if step.answer != NOT_ASKED:
            unmet = sorted(step.unmet, key=lambda need: STATES.index(need.state))
            words = list(dict.fromkeys(f"{need.asked} ({need.state})" for need in unmet))
            more = [f"and {len(words) - MOST_ROWS} more"] if len(words) > MOST_ROWS else []
            waits = [f"{name} not open" for name in step.waits_for]
            rows.append(cells(step.step, step.answer, Cell("; ".join([*waits, *words[:MOST_ROWS], *more]), (), "gate")))
    apart = [name for name in APART if made.gate.step(name).answer == NOT_ASKED]
    said = [f"It goes neither to nor into: {', '.join(apart)}. Before it does, each has a gate of its own."] * bool(
        apart
    )
    columns = ("step", "answer", "because")
    return Part(
        "steps", "May I use it, give it, sell it?", one_each([*said, TRUST]), columns, tuple(rows), (10, 26, 64)
    )


def gate_parts(made: Decision) -> Iterator[Part]:
    """The gate with all that each step still asks for, and the duties of a gift and of a sale."""
    order = {state: place for place, state in enumerate(STATES)}
    rows = []
    for step in made.gate.steps:
        if step.answer == NOT_ASKED:
            continue
        unmet = sorted(step.unmet, key=lambda need: order[need.state])
        waits = "".join(f"{name} is not open; " for name in step.waits_for)
        rows.append(cells(step.step, step.answer, waits + _met(step), ""))
        for need in unmet:
            who = f" Who: {need.who}." * bool(need.who)
            because = f"{need.asked}: {need.because}{who}"
            todo = Cell(need.next_step, tuple(filter(None, (*need.rests_on, need.source))))
            rows.append(cells("", need.state, because, todo))
    columns = ("step", "answer", "what was looked at", "what to do")
    heading = "The gate: what each step still asks for"
    yield Part("gate", heading, (), columns, tuple(rows), (10, 15, 45, 30))
    duties = tuple(cells(row["step"], Cell(row["text"], (reference.source_of(row),))) for row in made.gate.words)
    yield Part("duties", f"The duties, in {made.gate.market}", (), ("of", "in words"), duties, (10, 90))


def _met(step: GateStep) -> str:
    met = sum(need.met for need in step.needs)
    return f"{met} of {len(step.needs)} things asked for: nothing found against them"
