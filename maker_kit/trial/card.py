"""The target card: what a product must do, written down before the batch, and the digest that locks it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import pandas as pd

from maker_kit.frames import frame_of
from maker_kit.names import look_up, name_key

MEASURES = ("measured", "tasters", "words", "kind", "cost")
WEIGHTS = ("must", "wish")
BETTER = ("more", "less")
LEAST_MUST_HAVES, MOST_MUST_HAVES = 3, 6
DIGITS = 16
"""Length of a digest as it is shown and kept [hexadecimal digits]."""


@dataclass(frozen=True)
class MustHave:
    """One row of a target card.

    Attributes
    ----------
    name : str
        Such as ``rub-in time``.
    measure : {'measured', 'tasters', 'words', 'kind', 'cost'}
        With a unit; a count of tasters who can tell; a place on a line between two words; what kind of thing it is; a
        cost, which no trial judges.
    how : str
        How it is measured.
    unit : str
        For a kind, the words to choose from with ``;`` between them.
    gap : float or None
        Largest difference that is still called the same, in the unit; None for a kind.
    better : {'more', 'less', ''}
        Which side is better; empty where likeness is wanted.
    weight : {'must', 'wish'}
    note : str
    """

    name: str
    measure: str
    how: str
    unit: str
    gap: float | None
    better: str = ""
    weight: str = "must"
    note: str = ""

    @property
    def kinds(self) -> tuple[str, ...]:
        """The words to choose from, for a kind."""
        return tuple(part.strip() for part in self.unit.split(";") if part.strip()) if self.measure == "kind" else ()


@dataclass(frozen=True)
class TargetCard:
    """What a recipe's product must do beside a shop product.

    Attributes
    ----------
    recipe : str
        Name of the recipe.
    against : str
        The shop product.
    version : int
        From 1; a card that is changed after the first result is a new version.
    written_on : date
    must_haves : tuple of MustHave
        Three to six.
    """

    recipe: str
    against: str
    version: int
    written_on: date
    must_haves: tuple[MustHave, ...]

    def must_have(self, name: str) -> MustHave:
        """The row of that name, whatever its capitals. Raises UnknownNameError with the nearest name."""
        found = {name_key(m.name): m for m in self.must_haves}
        if name_key(name) in found:
            return found[name_key(name)]
        return look_up(name, {m.name: m for m in self.must_haves}, f'the card has no must-have "{name}"')

    @property
    def digest(self) -> str:
        """What locks the card: the first digits of the SHA-256 of all that it says but its notes."""
        head = (self.recipe, self.against, str(self.version), self.written_on.isoformat())
        rows = (
            (m.name, m.measure, m.how, m.unit, "" if m.gap is None else repr(float(m.gap)), m.better, m.weight)
            for m in self.must_haves
        )
        return digest_of(head, *rows)

    def to_frame(self) -> pd.DataFrame:
        """The card as a table, one must-have a row."""
        return frame_of(
            self.must_haves,
            {
                "must-have": "name",
                "weight": "weight",
                "how measured": "how",
                "unit": "unit",
                "gap allowed": "gap",
                "better": "better",
            },
            blank=("gap allowed",),
        )


def digest_of(*rows: Iterable[str]) -> str:
    """The first `DIGITS` hexadecimal digits of the SHA-256 (FIPS 180-4) of some rows of cells; the border between two
    cells counts. A letter stands in front, so that no spreadsheet program takes it for a number.
    """
    whole = "\x1e".join("\x1f".join(cells) for cells in rows)
    return "d" + hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()[:DIGITS]


def card_changes(old: TargetCard, new: TargetCard) -> tuple[str, ...]:
    """What a new version of a card changed, one sentence a must-have; empty where nothing but its date did.

    Parameters
    ----------
    old, new : TargetCard

    Returns
    -------
    tuple of str
    """
    said = [] if old.against == new.against else [f"compared with {new.against} instead of {old.against}"]
    before, after = ({name_key(m.name): m for m in card.must_haves} for card in (old, new))
    said += [f"{m.name}: taken out" for key, m in before.items() if key not in after]
    words = {"measure": "kind of measure", "how": "how measured", "unit": "unit", "gap": "gap", "better": "better"}
    for key, m in after.items():
        was = before.get(key)
        if was is None:
            said.append(f"{m.name}: new")
            continue
        for field, word in (words | {"weight": "weight"}).items():
            if getattr(was, field) != getattr(m, field):
                told = [("none" if v in (None, "") else f"{v}") for v in (getattr(was, field), getattr(m, field))]
                said.append(f"{m.name}: {word} {told[1]} instead of {told[0]}")
    return tuple(said)
