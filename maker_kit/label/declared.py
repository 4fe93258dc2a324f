"""The list of our own label: its names, each with its amount and where it stands."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.findings import Finding
from maker_kit.frames import frame_of

ABOVE, MAYBE_UNDER, UNDER, ALLERGEN, COLOUR = (
    "above 1 %",
    "may fall under the 1 % line",
    "under 1 %, any order",
    "allergen of a scent",
    "colour, last",
)
GROUPS = (ABOVE, MAYBE_UNDER, UNDER, ALLERGEN, COLOUR)
SOURCES = {
    "EU": "Regulation (EC) No 1223/2009, Article 19(1)(g), from memory",
    "US": "21 CFR 701.3 (paragraph (a) read in the edition of April 1996, the rest from memory)",
}
SCENT = {"EU": "Parfum", "US": "Fragrance"}
WATER = {"EU": "Aqua", "US": "Water"}


@dataclass(frozen=True)
class Declared:
    """One name of our list.

    Attributes
    ----------
    name : str
        As it is to be printed.
    substance : str
        The INCI name as the recipe has it.
    group : str
        One of `GROUPS`.
    low, high : Fraction
        Least and most [% by mass of the whole].
    told : bool
        Whether its amount is told; else it is worked out from the order of a supplier's list.
    lines : tuple of str
        Ingredients that bring it.
    ties : tuple of str
        Names of the same amount: any order of these is right.
    overlaps : tuple of str
        Later names that may be more than this one, since their ranges overlap.
    """

    name: str
    substance: str
    group: str
    low: Fraction
    high: Fraction
    told: bool
    lines: tuple[str, ...]
    ties: tuple[str, ...] = ()
    overlaps: tuple[str, ...] = ()

    @property
    def middle(self) -> Fraction:
        """Middle of its range [%], by which it is ordered."""
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class Declaration:
    """The list of our own label. Made by `declare`.

    Attributes
    ----------
    market : {'EU', 'US'}
    rows : tuple of Declared
        In the order to be printed.
    gaps : tuple of str
        Ingredients whose inside is not told: the list cannot be finished without them.
    findings : tuple of Finding
    """

    market: str
    rows: tuple[Declared, ...]
    gaps: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def text(self) -> str:
        """The list as one text; a gap stands in it by name."""
        open_ends = [f"[not told: what is inside {gap}]" for gap in self.gaps]
        return ", ".join([*(r.name for r in self.rows), *open_ends])

    def to_frame(self) -> pd.DataFrame:
        """Name, where it stands, middle, least and most [%], ties, overlaps, and what brings it; then the gaps."""
        frame = frame_of(
            self.rows,
            {
                "name": "name",
                "where": "group",
                "middle %": "middle",
                "least %": "low",
                "most %": "high",
                "same amount as": "ties",
                "may be less than": "overlaps",
                "from": "lines",
                "amount": lambda r: "told" if r.told else "from the order of its supplier's list",
            },
        )
        rest = pd.DataFrame(
            [(f"[not told: {g}]", "gap", g, "not told") for g in self.gaps], columns=["name", "where", "from", "amount"]
        )
        return pd.concat([frame, rest], ignore_index=True) if self.gaps else frame
