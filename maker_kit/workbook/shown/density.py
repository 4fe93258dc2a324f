"""A recipe's density as a maker reads it."""

from __future__ import annotations

from maker_kit.formula.density import density_of
from maker_kit.formula.recipe import Recipe
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet


def density_sheet(recipe: Recipe) -> Sheet:
    """The recipe's measured density beside the additive rule."""
    return findings_sheet(density_of(recipe).findings)
