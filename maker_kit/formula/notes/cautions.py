"""The usual cautions of a recipe, set off by what it holds, where it goes and what its steps say."""

from __future__ import annotations

import re
from collections.abc import Iterable

from maker_kit import reference
from maker_kit.findings import Finding, in_order
from maker_kit.formula.inside.composition import Expansion, FoundSubstance, expand
from maker_kit.formula.limits.fragrance import scents_of
from maker_kit.formula.limits.scope import for_small_children
from maker_kit.formula.preservation.agents import is_preservative
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, number_text

LATIN = {"rose": "rosa", "jasmine": "jasminum", "lemongrass oil": "cymbopogon"}
"""English names of the allergen list and how the INCI name of the plant begins (from memory)."""
_OIL = re.compile(r"\b(?:oil|extract|absolute|concrete|resinoid)\b", re.IGNORECASE)


def cautions(recipe: Recipe) -> tuple[Finding, ...]:
    """The cautions that stand beside a recipe: eye area, small children, lips, intimate area, spray, allergens, nut oils, hot phases, acids, alkalis, neat preservatives, what burns.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    tuple of Finding
        Of kind ``look`` for where it goes and for what is unknown, else ``know``; each with its source, and each defers to local law and a qualified safety assessor.

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible or a percentage is no number from 0 to 100.
    """
    expansion = expand(recipe)
    used = {n: recipe.ingredients[n] for n, percent in expansion.percent.items() if percent}
    product = recipe.product_type
    found: list[Finding] = [
        _caution(place) for place in ("eye area", "lips", "intimate area") if place in product.places
    ]
    if for_small_children(product):
        found.append(_caution("small children"))
    if product.spray or any("spray" in text.casefold() for text in (recipe.container, recipe.title)):
        found.append(_caution("spray"))
    found += _allergens(recipe, expansion)
    families = {f: _family(f, expansion) for f in ("nut", "other food allergen", "acid", "alkali", "flammable", "wax")}
    plants = [
        n
        for n, i in used.items()
        if name_key(i.function) == "essential oil" or (n in scents_of(recipe) and any(_OIL.search(x) for x in i.inci))
    ]
    if plants:
        found.append(_caution("essential oil", plants))
    found += [_caution(f, families[f]) for f in ("nut", "other food allergen") if families[f]]
    if (
        families["wax"]
        or any("wax" in i.function.casefold() or "wax" in n.casefold() for n, i in used.items())
        or any(step.is_hot for step in recipe.steps)
    ):
        found.append(_caution("hot"))
    found += [_caution(f, families[f]) for f in ("acid", "alkali", "flammable") if families[f]]
    scents = set(scents_of(recipe))
    neat = [
        n
        for n, i in used.items()
        if n not in scents and ("preserv" in i.function.casefold() or _mostly_preservative(expansion, n))
    ]
    if neat:
        found.append(_caution("preservative", neat))
    return in_order(found)


def _caution(name: str, names: Iterable[str] = ()) -> Finding:
    row = next(r for r in reference.rows("cautions.csv") if r["key"] == name)
    source = row["source"] if row["checked"] in {"", row["source"]} else f"{row['source']} ({row['checked']})"
    return Finding(
        row["kind"],
        f"caution.{name.replace(' ', '_')}",
        (*names,) or (row["subject"],),
        row["text"].replace("{names}", ", ".join(names)),
        level="unknown" if name == "allergens unknown" else "note",
        subject=row["subject"],
        next_step=row["next_step"],
        source=source,
    )


def _family(family: str, expansion: Expansion) -> list[str]:
    """Substances of a recipe whose INCI name begins with one of a family's names, word by word."""
    starts = [name_key(r["inci_starts_with"]) for r in reference.rows("families.csv") if r["family"] == family]
    whole = family in {"acid", "alkali", "flammable"}
    return [
        r.substance
        for r in expansion.rows
        if any(name_key(r.substance) == s or (not whole and name_key(r.substance).startswith(f"{s} ")) for s in starts)
    ]


def _mostly_preservative(expansion: Expansion, ingredient: str) -> bool:
    return any(
        is_preservative(p.substance) and p.high >= exact_number(0.1) for p in expansion.inside[ingredient].values()
    )


def _allergens(recipe: Recipe, expansion: Expansion) -> list[Finding]:
    """Named allergens over their threshold at the high end, or in an unknown amount; and scents of which nothing is known."""
    column = "rinse_off_threshold_pct" if recipe.product_type.rinse_off else "leave_on_threshold_pct"
    named = {}
    for row in reference.rows("eu_fragrance_allergens.csv"):
        for substance in expansion.rows:
            if is_listed_as(row["name"], substance.substance) and (
                substance.unknown or substance.known_high > exact_number(float(row[column]))
            ):
                named[substance.substance] = _shown(substance)
    found = [_caution("allergens", [f"{name} ({amount})" for name, amount in named.items()])] if named else []
    closed = [n for n in scents_of(recipe) if not recipe.ingredients[n].inside and not recipe.ingredients[n].made_from]
    return found + ([_caution("allergens unknown", closed)] if closed else [])


def _shown(substance: FoundSubstance) -> str:
    return "amount unknown" if substance.unknown else f"up to {number_text(substance.known_high)} %"


def is_listed_as(listed: str, inci: str) -> bool:
    """Whether a listed allergen is this substance: the same name, or for ``… Oil/Extract`` any oil or extract of that plant.

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
        return name == this or (
            this.startswith(f"{LATIN.get(plant, plant)} ") and this.endswith(("oil", "extract", "absolute"))
        )
    return name == this
