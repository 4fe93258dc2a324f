"""A plan as lines of text, as it is kept in a run's file, and read again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date

from maker_kit.errors import QuantityError, short
from maker_kit.trial.plan import TrialPlan

_TEXTS = ("name", "recipe", "against", "must_have", "kind", "hands", "unit", "expected", "protocol")
_WHOLE = ("count", "seed", "card_version")
_OPEN = ("dose_g", "wash_out_h")
_DAY = "planned_on"


def plan_lines(plan: TrialPlan) -> dict[str, str]:
    """The plan as lines of text, but for its day, which every entry has; `read_plan` reads them."""
    found = {}
    for field in fields(plan):
        value = getattr(plan, field.name)
        if field.name == _DAY:
            continue
        if isinstance(value, tuple):
            value = "; ".join(map(str, value))
        if isinstance(value, float):
            value = number_said(value)
        found[field.name.replace("_", " ")] = "" if value is None else str(value)
    return found


def number_said(number: float) -> str:
    """A number in its fewest digits, without a point where it is whole, as a spreadsheet program writes it too."""
    return repr(number).removesuffix(".0")


def read_plan(lines: Mapping[str, str], planned_on: date) -> TrialPlan:
    """The plan of its lines and the day it was made.

    Raises
    ------
    QuantityError
        If a line is missing, or is none of its kind.
    UnknownNameError
        If a word is unknown.
    """
    found: dict[str, object] = {_DAY: planned_on}
    for field in fields(TrialPlan):
        name, heading = field.name, field.name.replace("_", " ")
        if name == _DAY:
            continue
        if heading not in lines:
            raise QuantityError(f"the plan has no line {heading!r}")
        text = lines[heading].strip()
        try:
            if name in _TEXTS:
                found[name] = text
            elif name in _WHOLE:
                found[name] = int(text)
            elif name == "looks":
                found[name] = tuple(int(part) for part in text.split(";"))
            else:
                found[name] = None if not text and name in _OPEN else float(text)
        except ValueError as error:
            raise QuantityError(f"the plan's line {heading!r} is {short(text)!r}, which cannot be read") from error
    return TrialPlan(**found)  # type: ignore[arg-type]
