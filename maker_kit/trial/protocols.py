"""How a must-have is tried: the steps with their cautions, one protocol a measure, from ``trial_protocols.csv``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import pandas as pd

from maker_kit import reference
from maker_kit.frames import frame_of
from maker_kit.trial.binomial import CHANCE

ONE_PAIR = (
    "Let somebody else fill both products into two pots of the same kind and write the codes on them; that person "
    "keeps the key folded and closed. Alone: fill both, stick the codes underneath, and mix the pots with closed eyes.",
    "One pair a day, at the same hour; take the code that the sheet names first on the side that it names.",
)
PANEL = (
    "Serve the codes in the order of the sheet, in pots of the same kind, at the same warmth, with the same dose; "
    "whoever serves does not know the key, or does not speak.",
    "Nobody talks before all sheets are in.",
)
GUESS = ("Who cannot tell guesses all the same.",)


@dataclass(frozen=True)
class Protocol:
    """How something is tried.

    Attributes
    ----------
    name : str
    measure : str
        Kind of measure on the card that it goes with.
    unit : str
        As the card has it.
    steps : tuple of str
    cautions : tuple of str
        Told before the steps.
    dose_g : float or None
        Dose of each serving [g]; None where another amount is measured out.
    wash_out_h : float or None
        Hours between two pairs on the same skin [h].
    ends : tuple of str
        The words at both ends of a line, for words.
    source : str
    """

    name: str
    measure: str
    unit: str
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    dose_g: float | None = None
    wash_out_h: float | None = None
    ends: tuple[str, ...] = ()
    source: str = ""

    def to_frame(self) -> pd.DataFrame:
        """Cautions and steps as a table, numbered in the order they are read."""
        rows = [("caution", text) for text in self.cautions] + [("step", text) for text in self.steps]
        return frame_of(
            list(enumerate(rows, 1)),
            {"number": lambda r: r[0], "what": lambda r: r[1][0], "do": lambda r: r[1][1]},
        )


@cache
def protocols() -> Mapping[str, Protocol]:
    """Every protocol on file by its name."""

    def each(cell: str) -> tuple[str, ...]:
        return tuple(filter(None, cell.split(" | ")))

    columns = ("name", "measure", "unit", "cautions", "steps", "dose_g", "wash_out_h", "ends", "source")
    rows = reference.rows("trial_protocols.csv", columns=columns)
    numbers = [[float(row[key]) if row[key] else None for key in ("dose_g", "wash_out_h")] for row in rows]
    return MappingProxyType(
        {
            row["name"]: Protocol(
                row["name"],
                row["measure"],
                row["unit"],
                each(row["steps"]),
                each(row["cautions"]),
                *figures,
                each(row["ends"]),
                row["source"],
            )
            for row, figures in zip(rows, numbers, strict=True)
        }
    )


def general_steps(kind: str, hands: str) -> tuple[str, ...]:
    """What holds for every trial, before the steps of its protocol, for one pair of hands or a panel; nothing where
    only the kind is looked at.
    """
    if kind == "kind":
        return ()
    return (ONE_PAIR if hands == "one pair of hands" else PANEL) + (GUESS if kind in CHANCE else ())


def protocol_for(must_have: str, measure: str) -> str:
    """The protocol that fits a must-have: the one of its name, else that of its kind of measure; empty for none."""
    fits = protocols().get(must_have)
    if fits and fits.measure == measure:
        return must_have
    named = {"tasters": "can they tell", "kind": "kind"}
    return named.get(measure, "")
