"""The steps of the gate, each with what it asks for and its answer."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from maker_kit import reference
from maker_kit.decision.need import Need

STEPS = ("own use", "gift", "sale")
APART = ("eyes", "lips", "under three", "spray")
GATES = {"eyes": "eye gate", "lips": "lip gate", "under three": "gate for children under three", "spray": "spray gate"}
"""What the steps apart are called where something waits for them."""
OPEN, CLOSED, NOT_ASKED = "nothing found against it in the tables listed", "not yet", "does not go there"
BEFORE = {"own use": (), "gift": ("own use",), "sale": ("own use", "gift")}


@dataclass(frozen=True)
class GateStep:
    """One step of the gate.

    Attributes
    ----------
    step : str
        One of `STEPS` or `APART`.
    answer : str
        `OPEN`, `CLOSED`, or, for a place it does not go to, `NOT_ASKED`; a step is never called safe.
    needs : tuple of Need
        All that the step itself asks for.
    waits_for : tuple of str
        Other steps that have to open first and have not.
    """

    step: str
    answer: str
    needs: tuple[Need, ...]
    waits_for: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        """Whether nothing was found against it."""
        return self.answer == OPEN

    @property
    def unmet(self) -> tuple[Need, ...]:
        """What still stands in its way."""
        return tuple(need for need in self.needs if not need.met)

    def sentence(self) -> str:
        """The step in a sentence: "not yet, because …"."""
        if self.answer == NOT_ASKED:
            return f"{self.step}: it does not go there; before it does, ask for what is listed."
        if self.is_open:
            return f"{self.step}: {OPEN}. That is not a promise that it is harmless."
        reasons = [f"{name} is not open" for name in self.waits_for]
        reasons += [f"{need.asked}: {need.state}" for need in self.unmet]
        return f"{self.step}: not yet, because " + "; ".join(reasons) + "."


@dataclass(frozen=True)
class Gate:
    """All steps of one recipe in one market.

    Attributes
    ----------
    recipe, version, market : str
    law_as_of : str
        Day of the law on file (ISO date); empty where it has none.
    steps : tuple of GateStep
        Own use, gift, sale; then eyes, lips, under three, spray.
    words : tuple of Mapping
        The duties of a gift and of a sale in words: step, text, source.
    """

    recipe: str
    version: str
    market: str
    law_as_of: str
    steps: tuple[GateStep, ...]
    words: tuple[reference.Row, ...]

    def step(self, name: str) -> GateStep:
        """The step of that name."""
        return next(step for step in self.steps if step.step == name)

    @property
    def waits(self) -> tuple[GateStep, ...]:
        """The steps apart that it goes to and that are not open."""
        return tuple(s for s in self.steps if s.step in APART and s.answer == CLOSED)

    def to_frame(self) -> pd.DataFrame:
        """One row a need: step, answer of the step, what is asked, how it stands, because, next step, who, source."""
        columns = ["step", "answer", "asked for", "how it stands", "because", "next step", "who", "source"]
        rows = [
            (s.step, s.answer, n.asked, n.state, n.because, n.next_step, n.who, n.source)
            for s in self.steps
            for n in s.needs
        ]
        return pd.DataFrame(rows, columns=columns)
