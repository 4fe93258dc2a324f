"""Water without a working preservative is a stop. No market, no use and no blank field takes it away."""

from __future__ import annotations

from dataclasses import replace

from maker_kit.findings import Finding
from maker_kit.formula.awake import preservation_rows
from maker_kit.formula.composition import expand, is_watery
from maker_kit.formula.preservation import judge_preservation
from maker_kit.formula.preservatives import low_risk
from maker_kit.formula.recipe import Recipe

OWN_USE = "This holds for own use, for gifts and for sale, in every market."
NOT_READ = "Read the pH of the batch and write it down; nothing computes it. Until then let nobody use it."


def preservation_stop(recipe: Recipe) -> Finding | None:
    """The one finding that stops a product with water in it and no preservative that is known to work.

    Built on `judge_preservation`. Beside what that stops for, a blank does not help: where the pH was not read and only acids preserve, the product stops until it is read, and
    where not even the wanted band would wake them, it says so. Water that is only called water, without INCI names, counts as water.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    Finding or None
        Kind ``stop``; None where nothing stops it, which is not the same as preserved: the other findings stand beside it.

    Raises
    ------
    QuantityError
        If a pH lies outside 0 to 14.
    RecipeError
        If a composition is impossible.
    """
    found = next((f for f in judge_preservation(recipe) if f.kind == "stop"), None)
    if found is not None:
        return replace(found, text=f"{found.text} {OWN_USE}")
    return _by_its_name(recipe) or _unread(recipe)


def _by_its_name(recipe: Recipe) -> Finding | None:
    expansion = expand(recipe)
    wet = [n for n, percent in expansion.percent.items() if percent and is_watery(n) and not recipe.ingredients[n].inci and not recipe.ingredients[n].inside and not recipe.ingredients[n].made_from]
    if not wet or any(row.level in {"fine", "near", "unknown"} for row in preservation_rows(recipe)):
        return None
    text = f"{', '.join(wet)} is water by its name, and no preservative is known in it. {OWN_USE}"
    return Finding("stop", "missing", "preservation", ", ".join(wet), text, "Write its INCI names, and add a preservative that works at this pH or make a version without water.", source="name of the ingredient; common practice, no source")


def _unread(recipe: Recipe) -> Finding | None:
    if recipe.ph_read is not None:
        return None
    rows = preservation_rows(recipe)
    acids = [row.substance for row in rows if row.acid]
    if not acids or any(not row.acid and row.level != "under" for row in rows) or low_risk(recipe, expand(recipe)):
        return None
    if not recipe.holds_water and not any(is_watery(r.substance) for r in expand(recipe).rows):
        return None
    names = ", ".join(acids)
    at_best = None if recipe.ph_low is None else next((f for f in judge_preservation(replace(recipe, ph_read=recipe.ph_low)) if f.kind == "stop"), None)
    if at_best is not None:
        text = f"{names}: no pH was read, and even at the low end of the wanted band, pH {recipe.ph_low:g}, too little would be awake. {OWN_USE}"
        return Finding("stop", "under", "preservation", names, text, "Choose a band in which the preservative works, or another preservative.", source=at_best.source)
    text = f"{names} preserves only at a low enough pH, and none was read: nothing shows that this is preserved. {OWN_USE}"
    return Finding("stop", "unknown", "preservation", names, text, NOT_READ, source="awake share of an acid: Henderson and Hasselbalch")
