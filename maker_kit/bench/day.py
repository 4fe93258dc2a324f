"""The day itself, written into the log as it goes: a batch begun, weighed, stepped through, read, filled and numbered.

What is unusual does not pass unnoticed: a step skipped or a temperature not read, a lot that is unknown, past its date
or used up, a recipe that changed since the sheet was printed. Each may be gone over with a reason, which is kept as a
deviation.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from maker_kit.bench.log import BenchLog
from maker_kit.bench.version import is_version, recipe_version
from maker_kit.errors import NoticeError, QuantityError, short
from maker_kit.findings import PRACTICE, Finding, look
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.step import Step
from maker_kit.numbers import exact_number, number_text
from maker_kit.temperature import LEAST_CELSIUS, MOST_CELSIUS


@dataclass(frozen=True)
class DayStep:
    """One step of the recipe beside what was done.

    Attributes
    ----------
    step : Step
    state : {'open', 'done', 'skipped'}
    read_c : float or None
        The temperature that was read at it, last [°C].
    reason : str
        Why it was skipped.
    findings : tuple of Finding
    """

    step: Step
    state: str
    read_c: float | None
    reason: str
    findings: tuple[Finding, ...]


def do_step(
    log: BenchLog,
    batch: str,
    step: Step,
    read_at: str,
    celsius: float | None = None,
    reason: str = "",
    rescue: str = "",
    thermometer: str = "",
) -> tuple[Finding, ...]:
    """Mark a step as done, with the temperature that was read.

    Parameters
    ----------
    log : BenchLog
    batch : str
    step : Step
    read_at : str
        When, such as ``2026-11-02 14:05``.
    celsius : float or None
        What the thermometer shows [°C].
    reason : str
        Why it counts as done all the same where the temperature was not read or lies outside the step's window.
    rescue : str
        What was done about it.
    thermometer : str
        Its own number.

    Returns
    -------
    tuple of Finding
        ``step.outside`` (look) where a reason was given for a temperature outside.

    Raises
    ------
    NoticeError
        If the step has a window and the temperature was not read or lies outside, and no reason is given.
    QuantityError
        If no bench is so cold or so hot.
    """
    found: tuple[Finding, ...] = ()
    if celsius is not None:
        exact_number(celsius, f"the temperature at step {step.number}")
        if not LEAST_CELSIUS <= celsius <= MOST_CELSIUS:
            span = f"{number_text(LEAST_CELSIUS)} to {number_text(MOST_CELSIUS)} °C"
            raise QuantityError(
                f"{number_text(celsius)} °C cannot have been read at step {step.number}; {span} are taken"
            )
    off = outside(step, celsius)
    if off is not None:
        if not reason.strip():
            raise NoticeError(f"{off.text} {off.next_step} To go on all the same, give a reason; it is kept")
        found = (off,)
    if celsius is not None:
        log.add(
            "reading",
            batch=batch,
            kind="temperature",
            value=float(celsius),
            unit="°C",
            step=step.number,
            read_at=read_at,
            instrument=thermometer,
        )
    if off is not None:
        what = f"step {step.number}: {off.text}"
        log.add("deviation", batch=batch, step=step.number, what=what, rescue=rescue or None, reason=reason.strip())
    log.add("deed", batch=batch, step=step.number, state="done", reason=reason.strip() or None)
    return found


def skip_step(log: BenchLog, batch: str, step: Step, reason: str, rescue: str = "") -> None:
    """Mark a step as left out; a reason is needed, and is kept as a deviation. Raises QuantityError without one."""
    if not reason.strip():
        raise QuantityError(f"step {step.number} does not pass unnoticed: say why it was left out")
    what = f"step {step.number} left out: {step.text}"
    log.add("deviation", batch=batch, step=step.number, what=what, rescue=rescue or None, reason=reason.strip())
    log.add("deed", batch=batch, step=step.number, state="skipped", reason=reason.strip())


def outside(step: Step, celsius: float | None) -> Finding | None:
    """What is to be said of a temperature at a step; None where it lies in the step's window, or there is none.

    ``step.not_read`` or ``step.outside``, both looks, with the step's own rescue as the next step.
    """
    if step.from_c is None and step.to_c is None:
        return None
    low, high = (None if t is None else number_text(t) for t in (step.from_c, step.to_c))
    window = f"{low} to {high} °C" if low and high else f"at least {low} °C" if low else f"at most {high} °C"
    name = f"step {step.number}"
    rescue = step.rescue or (f"fine until {step.fine_until}" if step.fine_until else "")
    rescue = f"{rescue[:1].upper()}{rescue[1:].rstrip('.')}." if rescue else ""  # in the maker's words, as a sentence
    if celsius is None:
        text = f"Step {step.number} wants {window}, and the temperature was not read."
        return look(
            "step.not_read", name, text, level="unknown", next_step=f"Read it. {rescue}".strip(), source=PRACTICE
        )
    exact_number(celsius, f"the temperature at step {step.number}")
    if (step.from_c is not None and celsius < step.from_c) or (step.to_c is not None and celsius > step.to_c):
        text = f"Step {step.number} wants {window}; {number_text(celsius)} °C was read."
        back = rescue or "Bring it into the window, or begin anew; a batch that smells or looks wrong is thrown away."
        return look("step.outside", name, text, level="over", next_step=back, source=PRACTICE)
    return None


def other_version(log: BenchLog, batch: str, recipe: Recipe) -> tuple[Finding, ...]:
    """What is to be said where a batch was begun by another version than the recipe in hand: ``day.other_recipe``
    (look); its printed sheet no longer matches.
    """
    row = log.now("batch", id=log.root_of("batch", batch))[0]
    if is_version(row["version"], recipe):
        return ()
    text = (
        f"Batch {row['number']} was begun by version {short(row['version'])}, and the recipe in hand is "
        f"{recipe_version(recipe)}: its sheet no longer matches."
    )
    step = "Go by the sheet that it was begun with, or print a new one and begin a new batch."
    return (look("day.other_recipe", row["number"], text, level="over", next_step=step, source=PRACTICE),)


def planned_and_done(log: BenchLog, batch: str, recipe: Recipe) -> tuple[DayStep, ...]:
    """Every step of the recipe beside what the log holds of it.

    A step that is open although a later one was done gets a finding, ``step.jumped`` (look).
    """
    deeds = {row["step"]: row for row in log.now("deed", batch=batch)}
    read = {r["step"]: r["value"] for r in log.now("reading", batch=batch, kind="temperature") if r["step"]}
    last = max((s.number for s in recipe.steps if s.number in deeds), default=0)
    rows = []
    for step in recipe.steps:
        deed = deeds.get(step.number)
        state = deed["state"] if deed else "open"
        found = []
        if deed is None and step.number < last:
            text = f"Step {step.number} is open although step {last} is done: {step.text}"
            found.append(look("step.jumped", f"step {step.number}", text, next_step=step.rescue, source=PRACTICE))
        if state == "done" and (off := outside(step, read.get(step.number))):
            found.append(off)
        rows.append(DayStep(step, state, read.get(step.number), (deed or {}).get("reason") or "", tuple(found)))
    return tuple(rows)


def days_frame(rows: Sequence[DayStep]) -> pd.DataFrame:
    """Planned and done side by side: step, what, window, read, state, why."""
    table: list[tuple[Any, ...]] = [
        (r.step.number, r.step.text, r.step.from_c, r.step.to_c, r.read_c, r.state, r.reason) for r in rows
    ]
    return pd.DataFrame(table, columns=["step", "what", "from °C", "to °C", "read °C", "state", "why"])
