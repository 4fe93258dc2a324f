"""Scent allergens of a recipe against the thresholds above which a label names them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from maker_kit import reference
from maker_kit.formula.inside.composition import SCENT_NAMES, expand
from maker_kit.formula.inside.undisclosed import holds_many
from maker_kit.formula.limits.fragrance import scents_of
from maker_kit.formula.notes.cautions import is_listed_as
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import exact_number

TABLE = "eu_fragrance_allergens.csv"
UNTOLD = "its supplier has not told what is inside"


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
    """

    substance: str
    low_percent: float
    high_percent: float | None
    threshold_percent: float
    level: str
    lines: tuple[str, ...]
    source: str

    @property
    def on_label(self) -> bool:
        """Whether a label has to name it, or may have to: over the threshold, or unknown."""
        return self.level != "fine"


def allergens(recipe: Recipe, folder: Path | str | None = None) -> tuple[Allergen, ...]:
    """The listed scent allergens that a recipe holds, those over their threshold first.

    Regulation (EC) 1223/2009, Annex III, as amended by Regulation (EU) 2023/1545: named on the label above 0.001 % in what is left on and above 0.01 % in what is rinsed off.

    Parameters
    ----------
    recipe : Recipe
        Its product type decides which threshold holds.
    folder : path, optional
        A folder with a table of the same name and columns; the workbook's own unless given.

    Returns
    -------
    tuple of Allergen
        With a row of level ``unknown`` for each scent whose inside nobody has told, and for each essential oil, extract or the like in another ingredient (`maker_kit.formula.inside.undisclosed.holds_many`),
        unless all of it is too little to pass the threshold.

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible.
    """
    expansion = expand(recipe)
    column = "rinse_off_threshold_pct" if recipe.product_type.rinse_off else "leave_on_threshold_pct"
    listed = reference.rows(TABLE, folder)
    found = []
    for row in expansion.rows:
        entry = next((r for r in listed if is_listed_as(r["name"], row.substance)), None)
        if entry is None:
            continue
        threshold = exact_number(float(entry[column]))
        level = "over" if row.known_high > threshold else "unknown" if row.unknown else "fine"
        found.append(
            Allergen(
                row.substance,
                row.low_percent,
                row.high_percent,
                float(threshold),
                level,
                row.lines,
                f"{entry['source']} ({entry['checked']})",
            )
        )
    threshold = float(listed[0][column])
    for name in scents_of(recipe):
        thing = recipe.ingredients[name]
        if not thing.inside and not thing.made_from:
            found.append(Allergen(name, 0.0, None, threshold, "unknown", (name,), UNTOLD))
    scents, named = set(scents_of(recipe)), {a.substance for a in found}
    for row in expansion.rows:
        lines = tuple(n for n in row.lines if n not in scents)
        if (
            lines
            and row.substance not in named
            and name_key(row.substance) not in SCENT_NAMES
            and holds_many(row.substance)
            and (row.unknown or row.known_high > exact_number(threshold))
        ):
            found.append(Allergen(row.substance, 0.0, None, threshold, "unknown", lines, UNTOLD))
    return tuple(sorted(found, key=lambda a: ("over", "unknown", "fine").index(a.level)))


def allergens_to_frame(rows: Iterable[Allergen]) -> pd.DataFrame:
    """The allergens as a table: substance, least, most and threshold [% of the whole], level, from, source."""
    table = [
        (a.substance, a.low_percent, a.high_percent, a.threshold_percent, a.level, ", ".join(a.lines), a.source)
        for a in rows
    ]
    return pd.DataFrame(
        table, columns=["substance", "least %", "most %", "named above %", "level", "from", "source"]
    ).astype({"most %": "Float64"})
