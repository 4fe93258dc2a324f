"""All notes on a recipe without its costs, for one recipe or all of a workshop: which of them break under the law as it
is now?
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from maker_kit.errors import Fault, MakerKitError, WorkshopError
from maker_kit.findings import Finding, in_order, stop
from maker_kit.formula.annexes.state import law_as_of
from maker_kit.formula.notes.once import as_told, told_once
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.log.logged_ph import with_own_log
from maker_kit.plan.notes import MEND, not_counted_findings
from maker_kit.plan.plan import make_plan
from maker_kit.workshop import Workshop, find_tables, load_workshop

FLAG = ("kind", "code", "subject", "text", "next_step", "source")
"""What is told of each note to other programs."""
OF_A_BATCH = frozenset({"kit", "keeping"})
"""Topics of notes on how much is made: what a bought kit is enough for, and what is used up in time."""
LAW_OF = "EU"
"""The market whose law on file has a date."""


@dataclass(frozen=True)
class Judged:
    """One recipe and all that there is to say of it before it is made.

    Attributes
    ----------
    recipe : str
        Its name.
    title, version : str
        Empty where it could not be read.
    law_as_of : str
        Day of the newest record of the law on file (ISO date); empty where the market's law on file has no date.
    findings : tuple of Finding
        Notes and usual cautions, each thing said once, the gravest first: for logic.
    """

    recipe: str
    title: str
    version: str
    law_as_of: str
    findings: tuple[Finding, ...]

    @cached_property
    def notes(self) -> tuple[Finding, ...]:
        """The findings as they are shown, those that say one thing in one row (`as_told`)."""
        return as_told(self.findings)

    def of_kind(self, kind: str) -> tuple[Finding, ...]:
        """The notes of one kind, as they are shown: ``stop``, ``look`` or ``know``."""
        return tuple(f for f in self.notes if f.kind == kind)

    @property
    def stopped(self) -> bool:
        """Whether anything stops it."""
        return bool(self.of_kind("stop"))

    def sentence(self) -> str:
        """What the maker reads first: how many things stop it, how many are to be looked at, and of what day the law
        is.
        """
        stops, looks = len(self.of_kind("stop")), len(self.of_kind("look"))
        words = "nothing stops this recipe"
        if stops:
            words = "1 thing stops this recipe" if stops == 1 else f"{stops} things stop this recipe"
        law = f"law as of {self.law_as_of}" if self.law_as_of else "the law on file has no date"
        return f"{self.title or self.recipe}: {words}, {looks or 'nothing'} to look at; {law}"

    def record(self) -> dict[str, Any]:
        """It as plain values for other programs: recipe, version, law_as_of and flags."""
        flags = [{name: getattr(f, name) for name in FLAG} for f in self.notes]
        return {"recipe": self.recipe, "version": self.version, "law_as_of": self.law_as_of, "flags": flags}


def judge_folder(folder: str | Path = "", names: Iterable[str] = ()) -> tuple[Judged, ...]:
    """The recipes of a workshop's folder, judged; the pH is the last that its bench log holds, where there is one.

    Parameters
    ----------
    folder : str or Path
        The workshop's folder or workbook; found as `maker_kit.workshop.find_tables` does where empty.
    names : iterable of str
        Names or titles of recipes; all that are listed where there are none.

    Returns
    -------
    tuple of Judged
        A recipe that cannot be read has one stop, ``table.fault``.

    Raises
    ------
    UnknownNameError
        If there is no such recipe.
    WorkshopError
        If nothing at all can be read, and no recipe is named.
    """
    names = tuple(dict.fromkeys(names))
    try:
        workshop = _listed(find_tables(folder))
    except WorkshopError as error:
        if not names:
            raise
        return tuple(_not_read(name, error.faults, law_as_of()) for name in names)
    return judge_recipes(with_own_log(workshop)[0], names)


def _listed(folder: Path) -> Workshop:
    """What can be read of a workshop. Raises WorkshopError where not even its list of recipes can."""
    workshop = load_workshop(folder, partly=True)
    if workshop.faults and not (workshop.recipes or workshop.left_out):
        raise WorkshopError(workshop.faults)
    return workshop


def judge_recipes(workshop: Workshop, names: Iterable[str | Recipe] = ()) -> tuple[Judged, ...]:
    """Recipes of a workshop, judged: the law, limits, scents, preservation, clashes, supplies, the avoid-list,
    cautions; nothing of what it costs, nor of how a batch is weighed.

    Parameters
    ----------
    workshop : Workshop
        Read whole, or partly.
    names : iterable of str or Recipe
        Names or titles; all recipes that are listed where there are none.

    Returns
    -------
    tuple of Judged
        Each recipe once, in the order asked for.

    Raises
    ------
    UnknownNameError
        If there is no such recipe.
    """
    found: dict[str, Judged] = {}
    law = law_as_of() if workshop.settings.market == LAW_OF else ""
    for name in tuple(names) or (*workshop.recipes, *workshop.left_out):
        try:
            recipe = workshop.recipe(name)
        except WorkshopError as error:
            found.setdefault(str(name), _not_read(str(name), error.faults, law))
        else:
            if recipe.name not in found:
                told = told_once(_notes(workshop, recipe))
                found[recipe.name] = Judged(recipe.name, recipe.title, recipe.version, law, told)
    return tuple(found.values())


def _notes(workshop: Workshop, recipe: Recipe) -> tuple[Finding, ...]:
    """All notes on a recipe but those that hang on the batch: weighing and `OF_A_BATCH`; what is missed for faults of
    the tables; and why it could not be judged, where it could not.
    """
    missed = not_counted_findings(workshop)
    try:
        plan = make_plan(workshop, recipe)
    except MakerKitError as error:
        return (*missed, stop("table.fault", recipe.name, str(error), subject=recipe.title, next_step=MEND))
    weighing = frozenset(plan.weigh_out.findings)
    return (*(f for f in plan.findings if f not in weighing and f.topic not in OF_A_BATCH), *plan.cautions)


def _not_read(name: str, faults: Iterable[Fault], law: str) -> Judged:
    text = "; ".join(fault.sentence() for fault in faults)
    said = stop("table.fault", name, f"This recipe cannot be read, so nobody has judged it: {text}.", next_step=MEND)
    return Judged(name, "", "", law, in_order([said]))
