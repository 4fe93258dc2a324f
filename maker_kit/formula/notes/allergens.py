"""Scent allergens of a recipe against the thresholds above which a label names them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from maker_kit import reference
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.kinds import SCENT_NAMES, holds_many
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import part_key, published_name
from maker_kit.names import name_key
from maker_kit.numbers import exact_number

TABLE, ADDED = "eu_fragrance_allergens.csv", "added 2023"
"""The list, and the word in its column ``group`` for what came onto it later."""
LATIN = {"rose": "rosa", "jasmine": "jasminum", "lemongrass oil": "cymbopogon"}
"""English names of the allergen list and how the INCI name of the plant begins (from memory)."""


@dataclass(frozen=True)
class Allergen:
    """One listed scent allergen of a recipe.

    Attributes
    ----------
    substance : str
        INCI name; the scent's own name where nobody has told what is inside it.
    low_percent : float
        Least in the product [% of the whole].
    high_percent : float or None
        Most [% of the whole]; None where it is unknown.
    threshold_percent : float
        Above this a label names it [% of the whole].
    level : {'over', 'fine', 'unknown'}
        At the high end; exactly at the threshold is not over it.
    lines : tuple of str
        Ingredients that bring it.
    source : str
    undisclosed : bool
        Whether it stands for an ingredient whose supplier has not told what is inside.
    added : bool
        Whether it came onto the list later, and is due from a day on.
    """

    substance: str
    low_percent: float
    high_percent: float | None
    threshold_percent: float
    level: str
    lines: tuple[str, ...]
    source: str
    undisclosed: bool = False
    added: bool = False

    @property
    def on_label(self) -> bool:
        """Whether a label has to name it, or may have to: over the threshold, or unknown."""
        return self.level != "fine"


def allergens(
    recipe: Recipe, folder: Path | str | None = None, *, expansion: Expansion | None = None
) -> tuple[Allergen, ...]:
    """The listed scent allergens that a recipe holds, those over their threshold first.

    Regulation (EC) 1223/2009, Annex III, as amended by Regulation (EU) 2023/1545: named on the label above 0.001 % in
    what is left on and above 0.01 % in what is rinsed off.

    Parameters
    ----------
    recipe : Recipe
        Its product type decides which threshold holds.
    folder : path, optional
        A folder with a table of the same name and columns; the workbook's own unless given.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    tuple of Allergen
        With a row of level ``unknown`` for each scent whose inside nobody has told, and for each essential oil, extract
        or the like in another ingredient (`maker_kit.formula.kinds.holds_many`), unless all of it is too little to pass
        the threshold.

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible.
    """
    expansion = expansion or expand(recipe)
    column = "rinse_off_threshold_pct" if recipe.product_type.rinse_off else "leave_on_threshold_pct"
    listed = reference.rows(TABLE, folder)
    found = []
    for row in expansion.rows:
        entry = next((r for r in listed if is_listed_as(r["name"], row.substance)), None)
        if entry is not None:
            most = exact_number(float(entry[column]))
            level = "over" if row.known_high > most else "unknown" if row.unknown else "fine"
            about = row.lines, reference.source_of(entry)
            added = entry["group"] == ADDED
            found.append(
                Allergen(row.substance, row.low_percent, row.high_percent, float(most), level, *about, added=added)
            )
    threshold, named = float(listed[0][column]), {a.substance for a in found}
    closed = [
        (n, (n,)) for n in recipe.scents if not recipe.ingredients[n].inside and not recipe.ingredients[n].made_from
    ]
    for row in expansion.rows:
        lines = tuple(n for n in row.lines if n not in recipe.scents)
        whole = holds_many(row.substance) and name_key(row.substance) not in SCENT_NAMES
        if lines and whole and row.substance not in named and (row.unknown or row.known_high > exact_number(threshold)):
            closed.append((row.substance, lines))
    why = "its supplier has not told what is inside"
    found += [Allergen(what, 0.0, None, threshold, "unknown", lines, why, undisclosed=True) for what, lines in closed]
    return tuple(sorted(found, key=lambda a: ("over", "unknown", "fine").index(a.level)))


@lru_cache(maxsize=1 << 14)
def is_listed_as(listed: str, inci: str) -> bool:
    """Whether a listed allergen is this substance: the same name, or for ``… Oil/Extract`` any oil or extract of that
    plant.

    Parameters
    ----------
    listed : str
        Name as the table of allergens writes it (`reference/eu_fragrance_allergens.csv`, with its source).
    inci : str
        Name of the substance on a label; case and spaces do not matter.

    Returns
    -------
    bool
    """
    name, this = name_key(listed), name_key(inci)
    plant = name.removesuffix(" oil/extract").removesuffix(" flower")
    if name.endswith(" oil/extract") or plant in LATIN:
        starts = {LATIN.get(plant, plant), " ".join(name_key(published_name(f"{plant} oil")).split()[:2])}
        return name == this or (
            any(this.startswith(f"{start} ") for start in starts) and this.endswith(("oil", "extract", "absolute"))
        )
    return name == this or part_key(listed) == part_key(inci)
