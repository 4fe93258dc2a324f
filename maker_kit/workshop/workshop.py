"""A workshop: the maker's folder of tables, read and checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TypeVar

import pandas as pd

from maker_kit.buying.market import Market
from maker_kit.errors import Fault, UnknownNameError, WorkshopError, short
from maker_kit.findings import Finding
from maker_kit.formula.container import Container
from maker_kit.formula.kinds import is_scent
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.notes.avoid import KnownNames
from maker_kit.formula.recipe import Ingredient, Recipe
from maker_kit.formula.thickness.readings import ThicknessReading
from maker_kit.names import by_key, name_key, near_miss
from maker_kit.trial.card import TargetCard
from maker_kit.trial.run import TrialRun
from maker_kit.workshop.beside import is_book
from maker_kit.workshop.papers import Intent, Paper, Watched
from maker_kit.workshop.slips.asked import Question
from maker_kit.workshop.things import Avoided, Kit, Settings, ShopProduct, Swap, WantedThickness
from maker_kit.workshop.xlsx.sheets import as_sheets

T = TypeVar("T")
NO_RECIPE = (
    "no recipe is on file in this workshop: fill in containers.csv and ingredients.csv first, then paste a recipe in "
    "01a_from_any_text, or write one into recipes.csv"
)


@dataclass(frozen=True)
class CheckReport:
    """What was read of a workshop in which no fault was found.

    Attributes
    ----------
    folder : Path
    counts : tuple of (str, int)
        What, in the plural, and how many.
    notes : tuple of str
        What else there is to say, a sentence each.
    """

    folder: Path
    counts: tuple[tuple[str, int], ...]
    notes: tuple[str, ...] = ()

    def to_frame(self) -> pd.DataFrame:
        """The counts as a table: what, how many."""
        return pd.DataFrame(list(self.counts), columns=["what", "how many"])

    def sentence(self) -> str:
        """The counts in words, and under them the notes, one a line."""
        words = [f"{n} {(_ONE if n == 1 else {}).get(what, what)}" for what, n in self.counts]
        read = f"no fault found in {self.folder}: read " + ", ".join(words[:-1]) + f" and {words[-1]}"
        return "\n".join((read, *self.notes))

    def __str__(self) -> str:
        return self.sentence()


_ONE = {
    "recipes": "recipe",
    "ingredients": "ingredient",
    "certificates of scents": "certificate of scents",
    "own limits": "own limit",
    "containers": "container",
    "suppliers": "supplier",
    "packs": "pack",
    "kits": "kit",
    "shop products": "shop product",
    "thickness samples": "thickness sample",
    "things to avoid": "thing to avoid",
    "swaps": "swap",
    "target cards": "target card",
    "runs of trials": "run of trials",
    "papers on file": "paper on file",
    "looks at watched batches": "look at a watched batch",
    "decisions": "decision",
}


@dataclass(frozen=True)
class Workshop:
    """Everything in a maker's folder of tables.

    Attributes
    ----------
    folder : Path
    settings : Settings
    ingredients : Mapping of str to Ingredient
    recipes : Mapping of str to Recipe
        By name, in the order of recipes.csv.
    containers : Mapping of str to Container
    market : Market
        Suppliers, packs and kits; items are named as ingredients and containers are, and ``Label``.
    kits : tuple of Kit
        What each kit is meant for; its price stands in the market under the same name.
    shop_products : Mapping of str to ShopProduct
    limits : tuple of Limit
        The maker's own, to be added to the package's.
    thickness_readings : tuple of ThicknessReading
    wanted : tuple of WantedThickness
        One for each recipe and way of reading that a thickness is named of.
    avoid : tuple of Avoided
    swaps : tuple of Swap
    target_cards : Mapping of str to tuple of TargetCard
        What each recipe's product must do, by recipe, versions rising; the last is in force.
    trials : tuple of TrialRun
        By the day they were planned.
    papers : tuple of Paper
        What is on file of recipes beside their tables.
    watched : tuple of Watched
        What was seen of batches that stand and are watched.
    intents : Mapping of str to Intent
        What the maker wants of a recipe, by its name.
    faults : tuple of Fault
        What could not be read, where a workshop was read partly; it is then not in the other fields.
    left_out : Mapping of str to tuple of Fault
        Recipes that are listed and left out, by name, with the faults that each stands on.
    beside : tuple of Finding
        A note for every spreadsheet beside the tables that is not read, and on a workbook's sheets.
    tables : Path or None
        The folder or the workbook that was read; None where no file was.
    not_counted : tuple of Fault
        Those by which a rule may be missed in any recipe: own limits, the avoid-list, what is inside nobody knows what.
    asked : tuple of Question
        Cells that may be slips, of which nothing was changed.
    logged : Mapping of str to Finding
        What the bench log says of a recipe's last pH, by recipe; empty where no log was asked.
    """

    folder: Path
    settings: Settings
    ingredients: Mapping[str, Ingredient]
    recipes: Mapping[str, Recipe]
    containers: Mapping[str, Container]
    market: Market
    kits: tuple[Kit, ...] = ()
    shop_products: Mapping[str, ShopProduct] = field(default_factory=dict)
    limits: tuple[Limit, ...] = ()
    thickness_readings: tuple[ThicknessReading, ...] = ()
    wanted: tuple[WantedThickness, ...] = ()
    avoid: tuple[Avoided, ...] = ()
    swaps: tuple[Swap, ...] = ()
    target_cards: Mapping[str, tuple[TargetCard, ...]] = field(default_factory=dict)
    trials: tuple[TrialRun, ...] = ()
    papers: tuple[Paper, ...] = ()
    watched: tuple[Watched, ...] = ()
    intents: Mapping[str, Intent] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    left_out: Mapping[str, tuple[Fault, ...]] = field(default_factory=dict)
    not_counted: tuple[Fault, ...] = ()
    beside: tuple[Finding, ...] = ()
    asked: tuple[Question, ...] = ()
    logged: Mapping[str, Finding] = field(default_factory=dict)
    tables: Path | None = field(default=None, compare=False)

    def recipe(self, name: str | Recipe) -> Recipe:
        """The recipe of that name or title; capitals and blanks make no difference. A recipe is given back as it is.

        Raises
        ------
        UnknownNameError
            If there is none; the nearest name is given.
        WorkshopError
            If it is left out, with the faults it stands on.
        """
        if isinstance(name, Recipe):
            return name
        if (faults := by_key(self.left_out).get(name_key(name))) is not None:
            raise WorkshopError(faults)
        if (found := self.recipes.get(name)) is not None:
            return found
        titles = {r.title: r for r in self.recipes.values()}
        return _find("recipe", name, {**titles, **self.recipes}, [*self.recipes, *titles])

    @cached_property
    def known_names(self) -> KnownNames:
        """What the names of all ingredients teach about a word to avoid."""
        return KnownNames(self.ingredients)

    def ingredient(self, name: str) -> Ingredient:
        """The ingredient of that name. Raises UnknownNameError with the nearest name if there is none."""
        return _find("ingredient", name, self.ingredients)

    def scent(self, name: str) -> Ingredient:
        """The scent of that name. Raises UnknownNameError with the nearest name if there is none, or it is no scent."""
        return _find("scent", name, {n: thing for n, thing in self.ingredients.items() if is_scent(thing)})

    def container(self, name: str) -> Container:
        """The container of that name. Raises UnknownNameError with the nearest name if there is none."""
        return _find("container", name, self.containers)

    def shop_product(self, name: str) -> ShopProduct:
        """The shop product of that name. Raises UnknownNameError with the nearest name if there is none."""
        return _find("shop product", name, self.shop_products)

    def wanted_thickness(self, recipe: str | Recipe, measure: str = "spread") -> WantedThickness | None:
        """The thickness that is wanted of a recipe by one way of reading; None where the tables name none. Raises
        UnknownNameError if there is no such recipe.
        """
        name = self.recipe(recipe).name
        return next((w for w in self.wanted if w.recipe == name and w.measure == measure), None)

    def summary(self) -> CheckReport:
        """What was read."""
        kits = len(self.kits)
        return CheckReport(
            self.tables or self.folder,
            (
                ("recipes", len(self.recipes)),
                ("ingredients", len(self.ingredients)),
                ("certificates of scents", sum(len(i.certificates) for i in self.ingredients.values())),
                ("own limits", len(self.limits)),
                ("containers", len(self.containers)),
                ("suppliers", len(self.market.suppliers)),
                ("packs", len(self.market.packs) - kits),
                ("kits", kits),
                ("shop products", len(self.shop_products)),
                ("thickness samples", len(self.thickness_readings)),
                ("things to avoid", len(self.avoid)),
                ("swaps", len(self.swaps)),
                ("target cards", len(self.target_cards)),
                ("runs of trials", len(self.trials)),
                ("papers on file", len(self.papers)),
                ("looks at watched batches", len(self.watched)),
                ("decisions", len(self.intents)),
            ),
            tuple(self._notes()),
        )

    def told(self, text: str) -> str:
        """A sentence that names tables, as the maker finds them: by their sheets where they stand in a workbook."""
        return as_sheets(text) if self.tables is not None and is_book(self.tables) else text

    def _notes(self) -> Iterator[str]:
        if not self.recipes:
            yield NO_RECIPE[0].upper() + NO_RECIPE[1:]
        marked = sum(thing.invented for thing in (*self.market.packs, *self.market.suppliers))
        if marked:
            yield (
                f"{marked} of {len(self.market.packs) + len(self.market.suppliers)} packs, kits and suppliers have "
                "prices that are invented: write your own over them"
            )
        yield from (finding.text for finding in self.beside)
        if self.asked:
            one = len(self.asked) == 1
            yield f"{len(self.asked)} {'cell is' if one else 'cells are'} asked about, nothing was changed:"
        yield from (f"  {question.sentence()}" for question in self.asked)


def _find(what: str, name: str, things: Mapping[str, T], known: list[str] | None = None) -> T:
    found = things.get(name) or by_key(things).get(name_key(name))
    if found is None:
        raise UnknownNameError(f'there is no {what} "{short(str(name), 80)}": {near_miss(name, known or things)}')
    return found
