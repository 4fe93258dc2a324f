"""What else must stand on our label: who made it, batch, durability, function, warnings; each with its section."""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import pandas as pd

from maker_kit import reference
from maker_kit.findings import Finding, know, look
from maker_kit.formula.recipe import Recipe
from maker_kit.frames import frame_of
from maker_kit.label.declared import Declaration
from maker_kit.label.net_content import NetContent
from maker_kit.label.warned import Warned

TABLE = "label_particulars.csv"
LONGEST_DATED_MONTHS = 30
"""A product that keeps no longer needs a date; one that keeps longer the months after opening (Article 19(1)(c))."""


@dataclass(frozen=True)
class LabelFacts:
    """What only the maker can tell.

    Attributes
    ----------
    business : str
        Name and address of whoever answers for it.
    batch : str
    made_on : date or None
    function : str
        What it is for, in a few words.
    contact : str
        Where harm is reported (US).
    origin : str
        Country of origin, where it is imported.
    tested : bool
        Whether a qualified person has found it safe.
    """

    business: str = ""
    batch: str = ""
    made_on: date | None = None
    function: str = ""
    contact: str = ""
    origin: str = ""
    tested: bool = False


@dataclass(frozen=True)
class Particular:
    """One thing that a label must bear.

    Attributes
    ----------
    code, what : str
    text : str
        What to print; empty while it is missing.
    note, source : str
    """

    code: str
    what: str
    text: str
    note: str
    source: str

    @property
    def blank(self) -> str:
        """What to say of it while there is nothing to print."""
        return {"warnings": "none found on file", "origin": "only where imported"}.get(self.code, "not told yet")


def durability(recipe: Recipe, made_on: date | None) -> str:
    """What to print of how long it keeps: a date, or the months after opening; empty where that is not known.

    Parameters
    ----------
    recipe : Recipe
    made_on : date or None
        Day on which it was made.
    """
    keeps = recipe.keeps_months
    if keeps is None:
        return ""
    if keeps > LONGEST_DATED_MONTHS:
        return f"{recipe.open_months:g} M after opening" if recipe.open_months else ""
    if made_on is None:
        return ""
    month = made_on.month - 1 + int(keeps)
    year, month = made_on.year + month // 12, month % 12 + 1
    if made_on.day < calendar.monthrange(year, month)[1]:  # "the end of" a month that is not reached whole
        year, month = (year, month - 1) if month > 1 else (year - 1, 12)
    return f"Best used before the end of: {month:02d}/{year}"


def particulars(
    recipe: Recipe, declaration: Declaration, net: NetContent, facts: LabelFacts, warned: Iterable[Warned]
) -> tuple[Particular, ...]:
    """All that the label must bear in its market, with what is to be printed as far as it is known.

    Parameters
    ----------
    recipe : Recipe
    declaration : Declaration
    net : NetContent
    facts : LabelFacts
    warned : iterable of Warned

    Returns
    -------
    tuple of Particular
    """
    head = "Ingredients: " if declaration.market == "EU" else "INGREDIENTS: "
    texts = {
        "business": facts.business,
        "net": net.text,
        "durability": durability(recipe, facts.made_on),
        "warnings": " ".join(
            dict.fromkeys(w.text if w.text.endswith((".", "!", ":", ",", ";")) else f"{w.text}." for w in warned)
        ),
        "batch": facts.batch,
        "function": facts.function,
        "ingredients": head + declaration.text + ("." if declaration.market == "US" else ""),
        "identity": recipe.title,
        "contact": facts.contact,
        "origin": facts.origin,
    }
    return tuple(
        Particular(r["code"], r["what"], texts[r["code"]].strip(), r["note"], reference.source_of(r))
        for r in reference.rows(TABLE, columns=("market", "code", "what", "note", "source", "checked"))
        if r["market"] == declaration.market
    )


def missing(found: Iterable[Particular]) -> tuple[Finding, ...]:
    """What is still to be told before the label is whole."""
    notes = []
    for one in found:
        if one.text or one.code == "origin":
            continue
        if one.code == "warnings":
            told = "No warning was found on file for what this holds. That is no promise that none is due."
            notes.append(know("label.no_warning", one.what, told, source=one.source))
        else:
            told = f"Not told yet: {one.what}." + (f" {one.note[:1].upper()}{one.note[1:]}." if one.note else "")
            notes.append(look(f"label.missing_{one.code}", one.what, told, level="missing", source=one.source))
    return tuple(notes)


def to_frame(found: Iterable[Particular]) -> pd.DataFrame:
    """What must stand on the label, what to print, and who says so."""
    return frame_of(found, {"what": "what", "to print": lambda p: p.text or p.blank, "source": "source"})
