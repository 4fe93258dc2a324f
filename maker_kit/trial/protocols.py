"""How a must-have is tried: the steps with their cautions, one protocol a measure. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import pandas as pd

from maker_kit.findings import PRACTICE
from maker_kit.frames import frame_of
from maker_kit.trial.binomial import CHANCE

SKIN = (
    "Patch first: a pea of each product on the inner arm, left for 24 hours; go on only where nothing shows.",
    "Never on broken, sore or freshly shaved skin, and never on somebody who is allergic to something in it.",
    "Stop at stinging, redness or itching, wash it off, and write that down as a result.",
)
NO_SKIN = ("Only for the bench: what stood open or in a cylinder is thrown away, not used.",)
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
    source: str = PRACTICE

    def to_frame(self) -> pd.DataFrame:
        """Cautions and steps as a table, numbered in the order they are read."""
        rows = [("caution", text) for text in self.cautions] + [("step", text) for text in self.steps]
        return frame_of(
            list(enumerate(rows, 1)),
            {"number": lambda r: r[0], "what": lambda r: r[1][0], "do": lambda r: r[1][1]},
        )


_ALL = (
    Protocol(
        "foam height",
        "measured",
        "mm",
        (
            "Weigh 1.0 g of the product into 99 g of water of 30 °C, the same water for both; stir without foam.",
            "Pour 50 mL of it into a closed cylinder of 250 mL, and turn it over ten times in twenty seconds.",
            "Stand it down, start the clock, and read the height of the foam at its middle after five minutes [mm].",
            "Rinse the cylinder until water runs off it without a film; then the other code.",
        ),
        NO_SKIN,
        1.0,
    ),
    Protocol(
        "rub-in time",
        "measured",
        "s",
        (
            "Wash both forearms with water only, pat dry, wait ten minutes.",
            "Weigh the dose of the first code on a spoon, put it on the middle of the forearm that the sheet names.",
            "Rub in circles with two fingers, one circle a second, and stop the clock when it no longer slides [s].",
            "The other code on the other arm with the other hand; write both down before you compare.",
        ),
        SKIN,
        0.5,
        24.0,
    ),
    Protocol(
        "colour removed",
        "measured",
        "strokes",
        (
            "Draw two strokes of the same eye pencil, 5 cm long, on the inside of each forearm; let them dry for ten "
            "minutes.",
            "Weigh the dose of a code onto a cotton pad, lay it on for ten seconds, then wipe in one direction.",
            "Count the strokes until no colour is seen at arm's length, at most forty; forty means not removed.",
            "The other code on the other arm; then rinse both with water.",
        ),
        (
            "On the forearm, never at the eye first. At the eye only when the forearm has shown it, the preservative "
            "works at the pH that was read, and the rules for the eye area are met; then one eye a day, and stop at "
            "the first sting.",
            *SKIN,
        ),
        1.0,
        24.0,
    ),
    Protocol(
        "spread",
        "measured",
        "cm",
        (
            "Let both stand in one room for a day; write its temperature down.",
            "Set a ring on a glass plate with squared paper under it, fill it level with 10 mL, lift it straight up.",
            "After sixty seconds read the width across in two directions, and write down the middle of both [cm].",
        ),
        NO_SKIN,
    ),
    Protocol(
        "drip",
        "measured",
        "s",
        (
            "Stand a glass plate upright; mark a line 10 cm under its upper edge.",
            "Put the dose at the upper edge, start the clock, and stop it when the front passes the line [s].",
            "Nothing passed in five minutes: write 300, and that it was cut off there.",
        ),
        NO_SKIN,
        0.5,
    ),
    Protocol(
        "scent strength",
        "words",
        "mm on the line",
        (
            "Weigh the dose of each code onto a paper strip in a closed jar; wait ten minutes.",
            "Smell the first code for three seconds, put a mark on its line of 100 mm; breathe through your own sleeve "
            "for one minute; then the other.",
            "Measure from the left end to the mark [mm].",
        ),
        ("Not with asthma, a cold, or an allergy to a scent; open a window between two people.", *SKIN[2:]),
        0.2,
        1.0,
        ("no scent at all", "stronger than I would wear"),
    ),
    Protocol(
        "likeness",
        "words",
        "mm on the line",
        (
            "Each code is a pair of pots: in one pair ours stands beside the shop product, in the other the shop "
            "product stands beside itself. Try both pots of a code in the same way.",
            "Put a mark on its line of 100 mm; then the other code.",
            "Measure from the left end to the mark [mm]. How far the shop product is marked from itself is what chance "
            "does.",
        ),
        SKIN,
        0.5,
        1.0,
        ("as one and the same", "nothing alike"),
    ),
    Protocol(
        "can they tell",
        "tasters",
        "% of tasters",
        (
            "Weigh the same dose of each code into small pots.",
            "Each taster has the codes of one strip, from left to right, and ticks one of them as the sheet asks.",
            "Between two servings wash with water, dry, and wait five minutes.",
        ),
        SKIN,
        0.5,
        0.1,
    ),
    Protocol(
        "kind",
        "kind",
        "",
        (
            "Put a spoonful of each on a plate, look from the side, and choose the word that the card names.",
            "Two people choose by themselves; where they differ, a third decides.",
        ),
        NO_SKIN,
    ),
)
PROTOCOLS: Mapping[str, Protocol] = MappingProxyType({p.name: p for p in _ALL})


def general_steps(kind: str, hands: str) -> tuple[str, ...]:
    """What holds for every trial, before the steps of its protocol, for one pair of hands or a panel; nothing where
    only the kind is looked at.
    """
    if kind == "kind":
        return ()
    return (ONE_PAIR if hands == "one pair of hands" else PANEL) + (GUESS if kind in CHANCE else ())


def protocol_for(must_have: str, measure: str) -> str:
    """The protocol that fits a must-have: the one of its name, else that of its kind of measure; empty for none."""
    if must_have in PROTOCOLS and PROTOCOLS[must_have].measure == measure:
        return must_have
    named = {"tasters": "can they tell", "kind": "kind"}
    return named.get(measure, "")
