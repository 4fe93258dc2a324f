"""The usual cautions of a recipe, set off by what it holds, where it goes and what its steps say."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from maker_kit import reference
from maker_kit.findings import Finding, in_order
from maker_kit.formula.annexes.uses import for_small_children
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.kinds import is_meant_as_preservative, is_plant_scent
from maker_kit.formula.notes.allergens import Allergen, allergens
from maker_kit.formula.preservation.agents import is_preservative
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, number_text

BY_THE_WHOLE_NAME = frozenset({"acid", "alkali", "flammable"})
"""Families of ``families.csv`` whose names stand for themselves alone; those of the others may be followed by more
words."""
_NEAT_SHARE = exact_number(0.1)
"""An ingredient with a preservative of this share or more is handled as a neat one (common practice, no source)."""


def cautions(recipe: Recipe, *, expansion: Expansion | None = None) -> tuple[Finding, ...]:
    """The cautions that stand beside a recipe: eye area, small children, lips, intimate area, spray, allergens, nut
    oils, hot phases, acids, alkalis, neat preservatives, what burns.

    Parameters
    ----------
    recipe : Recipe
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    tuple of Finding
        Of kind ``look`` for where it goes and for what is unknown, else ``know``; each with its source, and each defers
        to local law and a qualified safety assessor.

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible or a percentage is no number from 0 to 100.
    """
    expansion = expansion or expand(recipe)
    used = {n: recipe.ingredients[n] for n, percent in expansion.percent.items() if percent}
    product = recipe.product_type
    rows = allergens(recipe, expansion=expansion)
    families = {
        family: [r.substance for r in expansion.rows if is_of_family(r.substance, family)]
        for family in ("nut", "other food allergen", "acid", "alkali", "flammable", "wax")
    }
    named_wax = [n for n, i in used.items() if "wax" in name_key(f"{n} {i.function}")]
    set_off: dict[str, bool | list[str]] = {
        **{place: place in product.places for place in ("eye area", "lips", "intimate area")},
        "small children": for_small_children(product),
        "spray": product.spray or any("spray" in text.casefold() for text in (recipe.container, recipe.title)),
        "allergens": [_amount(a) for a in rows if a.on_label and not a.undisclosed],
        "allergens unknown": [a.substance for a in rows if a.undisclosed and a.substance in recipe.scents],
        "essential oil": [n for n, i in used.items() if is_plant_scent(i, used_as_scent=n in recipe.scents)],
        "nut": families["nut"],
        "other food allergen": families["other food allergen"],
        "hot": bool(families["wax"] or named_wax) or any(step.is_hot for step in recipe.steps),
        **{family: families[family] for family in ("acid", "alkali", "flammable")},
        "preservative": [
            n
            for n, i in used.items()
            if n not in recipe.scents and (is_meant_as_preservative(i) or _neat(n, expansion))
        ],
    }
    about = {"allergens": [a.substance for a in rows if a.on_label and not a.undisclosed]}
    return in_order(
        _caution(key, names if isinstance(names, list) else [], about.get(key))
        for key, names in set_off.items()
        if names
    )


@lru_cache(maxsize=1 << 14)
def is_of_family(inci: str, family: str) -> bool:
    """Whether an INCI name is, or begins with, one of the names of a family in ``families.csv``, word by word."""
    name = name_key(inci)
    starts = (name_key(r["inci_starts_with"]) for r in reference.rows("families.csv") if r["family"] == family)
    return any(name == s or (family not in BY_THE_WHOLE_NAME and name.startswith(f"{s} ")) for s in starts)


def _neat(ingredient: str, expansion: Expansion) -> bool:
    parts = expansion.inside[ingredient].values()
    return any(is_preservative(p.substance) and p.high >= _NEAT_SHARE for p in parts)


def _amount(allergen: Allergen) -> str:
    most = allergen.high_percent
    return f"{allergen.substance} ({'amount unknown' if most is None else f'up to {number_text(most)} %'})"


def _caution(key: str, names: Iterable[str], about: Iterable[str] | None = None) -> Finding:
    row = next(r for r in reference.rows("cautions.csv") if r["key"] == key)
    return Finding(
        row["kind"],
        f"caution.{key.replace(' ', '_')}",
        tuple(about or names) or (row["subject"],),
        row["text"].format(names=", ".join(names)),
        level="unknown" if key == "allergens unknown" else "note",
        subject=row["subject"],
        next_step=row["next_step"],
        source=reference.source_of(row),
    )
