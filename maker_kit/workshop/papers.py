"""What is on file of a recipe beside its tables: papers with their date and who made them, what a watch saw, and what
the maker wants of it (how many, how much a use, what it is worth beside money).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from maker_kit.workshop.csv.faults import Names
from maker_kit.workshop.csv.records import Records
from maker_kit.workshop.csv.tables import ASSESSED, DEVIATION


@dataclass(frozen=True)
class Paper:
    """One paper on file.

    Attributes
    ----------
    paper : str
        Its kind, one of those that ``columns.csv`` has for ``papers``.
    date : date
        Its day.
    recipe : str
        Name of the recipe it is about; empty where it is about all of them.
    version : str
        Of the recipe; empty where the paper names none.
    about : tuple of str
        Ingredients, substances or persons it is about.
    by, qualification : str
        Who made it, and by what they may.
    kept : str
        Where it lies.
    closed_on : date or None
        For a deviation: the day on which it was settled.
    note : str
    row : int
        Of papers.csv, as a spreadsheet shows it.
    """

    paper: str
    date: date
    recipe: str = ""
    version: str = ""
    about: tuple[str, ...] = ()
    by: str = ""
    qualification: str = ""
    kept: str = ""
    closed_on: date | None = None
    note: str = ""
    row: int = 0


@dataclass(frozen=True)
class Watched:
    """One look at a batch that stands and is watched.

    Attributes
    ----------
    recipe, version, batch : str
    day : float
        Days since it was made.
    temperature_c : float
        Where it stood [°C].
    as_before : bool or None
        Whether it looks and smells as on the first day; None where that was not noted.
    ph : float or None
        pH that was read.
    spread_cm : float or None
        Spread [cm].
    weight_g : float or None
        Weight of the closed container [g].
    note : str
    row : int
        Of watch.csv, as a spreadsheet shows it.
    kept : str
        Where it stands, where that is not watch.csv but the bench log.
    """

    recipe: str
    version: str
    batch: str
    day: float
    temperature_c: float
    as_before: bool | None = None
    ph: float | None = None
    spread_cm: float | None = None
    weight_g: float | None = None
    note: str = ""
    row: int = 0
    kept: str = ""

    @property
    def place(self) -> str:
        """Where it stands in the tables or in the log."""
        return self.kept or f"watch.csv, row {self.row}"


@dataclass(frozen=True)
class Intent:
    """What the maker wants of one recipe.

    Attributes
    ----------
    recipe : str
    containers : int or None
        How many are to be made in one go.
    dose_g, shop_dose_g : float or None
        What one use takes, of ours and of the shop's [g].
    shop_density_g_per_ml : float or None
        Of the shop product [g/mL]: a size in millilitres holds that much more or less.
    dose_from : str
        Where the doses are from.
    worth_it_for : str
        What making it is worth beside money, in the maker's words; empty where it is not.
    row : int
        Of decisions.csv, as a spreadsheet shows it.
    """

    recipe: str
    containers: int | None = None
    dose_g: float | None = None
    shop_dose_g: float | None = None
    shop_density_g_per_ml: float | None = None
    dose_from: str = ""
    worth_it_for: str = ""
    row: int = 0


def read_papers(records: Records, recipes: Names) -> tuple[Paper, ...]:
    """The papers on file; one that needs a qualified person names who made it and by what they may."""
    found = []
    for r in records:
        recipe = r.named("recipe", recipes)
        if r["paper"] in ASSESSED:
            for key in ("by", "qualification"):
                if key in r.values and not r[key]:
                    r.refuse(key, f"who made the {r['paper']} and by what they may", "fill it in, or delete the row")
        if r["closed_on"] and r["paper"] != DEVIATION:
            r.refuse("closed_on", "blank, but for a deviation", "delete the date")
        if r["closed_on"] and r["date"] and r["closed_on"] < r["date"]:
            r.refuse("closed_on", f"{r['date'].isoformat()} or later, the day it was noted", "correct one of the two")
        if r["paper"] == DEVIATION and "recipe" in r.values and not r["recipe"]:
            r.refuse("recipe", "the recipe whose batch it was", "fill it in")
        if r.whole:
            found.append(r.make(Paper, recipe=recipe, row=r.row))
    return tuple(found)


def read_watch(records: Records, recipes: Names) -> tuple[Watched, ...]:
    """What a watch saw, in the order of the table."""
    found = []
    for r in records:
        recipe = r.named("recipe", recipes)
        seen = ("as_before", "ph", "spread_cm", "weight_g")
        if r.whole and all(r[key] in (None, "") for key in seen):
            r.refuse("as_before", "something that was seen or read", "fill in what was seen, or delete the row")
        elif r.whole and recipe:
            words = {"yes": True, "no": False}
            found.append(r.make(Watched, recipe=recipe, as_before=words.get(r["as_before"]), row=r.row))
    return tuple(found)


def read_intents(records: Records, recipes: Names) -> dict[str, Intent]:
    """What the maker wants, by recipe; doses say where they are from."""
    found = {}
    for r in records:
        recipe = r.named("recipe", recipes)
        if (r["dose_g"] or r["shop_dose_g"]) and "dose_from" in r.values and not r["dose_from"]:
            r.refuse("dose_from", "where the dose is from, such as: 20 pumps weighed", "fill it in")
        if r.whole and recipe:
            found[recipe] = r.make(Intent, recipe=recipe, row=r.row)
    return found
