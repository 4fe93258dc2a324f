"""A recipe to start from, inside the bounds of a shop's label: a guess, untried, in phases by what each name does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

import pandas as pd

from maker_kit.errors import ContradictionError, LabelError
from maker_kit.findings import PRACTICE, Finding, look
from maker_kit.formula.substances.spelling import words
from maker_kit.frames import frame_of
from maker_kit.label.kind import WATERS
from maker_kit.label.label_text import COLOUR, INSIDE, MAYBE
from maker_kit.label.order.bounds import OrderBounds, bounds_of
from maker_kit.label.order.label_order import Percent
from maker_kit.label.order.middle import likely_middle
from maker_kit.label.reading import LabelReading
from maker_kit.label.roles import OILY, is_soap, role_of
from maker_kit.numbers import parts_that_add_up, plain_text

STEP = Fraction(1, 100)
WATER_PHASE, OIL_PHASE, COOL_PHASE = "A", "B", "C"
USUAL_MOST = {
    "gum": Fraction(1),
    "preservative": Fraction(1),
    "chelator": Fraction(1, 2),
    "pH adjuster": Fraction(1),
    "tocopherol": Fraction(1),
    "hydroxide": Fraction(1, 2),
}
"""What a recipe to start from holds at most [%] of what does such things, or is named so, from its fourth name on and
where the label allows it (common practice, no source): a lye or a gum at what an order allows would burn, or set like
rubber.
"""
FIRST_NAMES = 3
_DELICATE = frozenset({"scent", "essential oil", "active, ordinary"})
_COOL = _DELICATE | {"preservative", "pH adjuster", "colour"}


@dataclass(frozen=True)
class StartLine:
    """One line: phase, name, percent [%], what it does, and what the label allows [%]."""

    phase: str
    name: str
    percent: Fraction
    role: str
    low: Fraction
    high: Fraction


@dataclass(frozen=True)
class StartingRecipe:
    """A recipe inside a label's bounds that nobody has tried. Made by `starting_recipe`."""

    lines: tuple[StartLine, ...]
    findings: tuple[Finding, ...]
    source: str

    def to_frame(self) -> pd.DataFrame:
        """Phase, name, percent, function, and what the label allows."""
        return frame_of(
            self.lines,
            {
                "phase": "phase",
                "name": "name",
                "%": "percent",
                "function": "role",
                "label: least %": "low",
                "label: most %": "high",
            },
        )

    @property
    def text(self) -> str:
        """As lines of text that `maker_kit.formula.pasted.recipe_text.read_recipe_text` reads."""
        return "\n".join(f"{line.name} {plain_text(line.percent)} %" for line in self.lines)


def starting_recipe(reading: LabelReading, first: tuple[Percent, Percent]) -> StartingRecipe:
    """A recipe inside the bounds of a label: its likely middle, to a hundredth of a percent.

    Names that stand inside others, and colours that may be absent, are left out.

    Parameters
    ----------
    reading : LabelReading
    first : (number, number)
        Least and most of the first name [%], as whoever knows such products would say.

    Returns
    -------
    StartingRecipe
        Its lines make 100, and each lies within what the label allows, as far as hundredths go.

    Raises
    ------
    LabelError
        If the label contradicts itself or is a soap's, or it is not told where and when it was read.
    ContradictionError
        If the first name's range does not fit the label.
    """
    if reading.bounds is None:
        raise LabelError(f"there is no recipe inside a label that contradicts itself. {reading.clash}")
    if not reading.where.strip() or reading.on is None:
        raise LabelError(
            "tell where and when the label was read before a recipe is made from it; it is kept as its source"
        )
    if any(is_soap(r.name) for r in reading.rows):
        raise LabelError(
            "there is no recipe inside a soap's list: it tells what lye made of oils, not how much of either went in"
        )
    usual, found = _as_usual(reading.bounds)
    guess = dict(zip(found.order.names, likely_middle(found, first), strict=True))
    rows = [r for r in reading.rows if r.role not in {INSIDE, MAYBE}]
    near = parts_that_add_up([Fraction(guess[r.name]) for r in rows], STEP)
    ends = [(ceil(100 * r.least.exact), floor(100 * r.most.exact)) for r in rows]
    hundredths = [
        min(max(part, low), high) if low <= high else part for part, (low, high) in zip(near, ends, strict=True)
    ]
    hundredths[0] += 10_000 - sum(hundredths)  # what may be absent is left out, and the first name takes it
    lines = [
        StartLine(
            _phase(r.name, r.role, roles=[role_of(x.name) for x in rows]),
            r.name,
            Fraction(part, 100),
            role_of(r.name),
            r.least.exact,
            r.most.exact,
        )
        for r, part in zip(rows, hundredths, strict=True)
    ]
    told = "Nobody has made this: it is a guess inside what the label allows, and not the shop's recipe."
    step = "Take it to 01_formula, look at its limits, and make a small one first."
    source = f"label read {reading.where.strip()}, {reading.on.isoformat()}"
    untried = look("label.untried", "starting recipe", told, next_step=step, source=PRACTICE)
    notes = [untried]
    if usual:
        told = f"{', '.join(usual)}: held at a usual level, as the order alone would allow far more."
        notes.append(look("label.usual_level", usual, told, next_step="Look up what each is used at.", source=PRACTICE))
    return StartingRecipe(tuple(sorted(lines, key=lambda line: line.phase)), tuple(notes), source)


def _as_usual(found: OrderBounds) -> tuple[list[str], OrderBounds]:
    """The bounds with usual levels where the label allows them, and whose they are; a level that does not fit is
    left out.
    """
    held: list[str] = []
    for row in found.rows[FIRST_NAMES:]:
        said = {role_of(row.name), *words(row.name)}
        most = min((p for what, p in USUAL_MOST.items() if what in said), default=None)
        if most is None or most >= row.most.exact:
            continue
        caps = {**found.order.at_most, row.name: most}
        try:
            found = bounds_of(replace(found.order, at_most=caps))
        except ContradictionError:
            continue
        held.append(row.name)
    return held, found


def _phase(name: str, role: str, roles: Sequence[str]) -> str:
    """Water, oils, or what goes in last; all in one where there is no water, but what spoils when it is hot."""
    what = role_of(name)
    if not WATERS & {*roles}:
        return COOL_PHASE if what in _DELICATE else WATER_PHASE
    if what in OILY or what == "emulsifier" or (what == "colour" and role != COLOUR):  # a powder is wetted in the oils
        return OIL_PHASE
    return COOL_PHASE if what in _COOL or role == COLOUR else WATER_PHASE
