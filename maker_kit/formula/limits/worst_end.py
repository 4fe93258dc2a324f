"""The most that a recipe can hold of a substance whose amount nobody has told: the unfavourable end of what is
inside, so that a fact that is not told never makes a recipe look better.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache

from maker_kit.formula.annexes.law import law
from maker_kit.formula.inside.composition import Expansion, Part
from maker_kit.formula.kinds import is_meant_as_preservative
from maker_kit.formula.recipe import Ingredient, Recipe
from maker_kit.formula.substances.naming import part_key, substance_key

ANY_ORDER_BELOW = Fraction(1, 100)
"""Share of a mixture below which names may stand in any order: Article 19(1)(g) of Regulation (EC) No 1223/2009."""


def is_meant_to_preserve(ingredient: Ingredient) -> bool:
    """Whether an ingredient is bought to preserve: its function says so, or it is one substance alone. Any other only
    carries what keeps itself.
    """
    return is_meant_as_preservative(ingredient) or (len(ingredient.inci) == 1 and not ingredient.made_from)


@cache
def legal_maxima(inci: tuple[str, ...]) -> tuple[Fraction, ...]:
    """The legal maxima of some INCI names, the least first [% of the whole].

    Parameters
    ----------
    inci : tuple of str

    Returns
    -------
    tuple of Fraction
        Of every use that Annex V of Regulation (EC) No 1223/2009 lists for one of them, for whatever product; empty
        where none does.
    """
    return tuple(sorted({use.most for n in inci for use in _uses(n, "V") if use.most}))


@cache
def only_preserves(inci: str) -> bool:
    """Whether the law has a figure for a substance as a preservative, and none for anything else it may be there for
    (Annexes V and III: salicylic acid and climbazole have both).
    """
    return bool(legal_maxima((inci,))) and not any(use.most for use in _uses(inci, "III"))


def _uses(inci: str, annex: str) -> list:
    whole = law()
    places = whole.by_key.get(substance_key(inci), ())
    return [use for place in places if whole.entries[place].annex == annex for use in whole.entries[place].uses]


def most_inside(
    parts: Mapping[str, Part], substance: str, *, meant: bool, order: tuple[str, ...] = (), practice: bool = True
) -> Fraction:
    """The most of a substance that one ingredient can hold, as a share of it, 0 to 1.

    A told amount is its high end. An undisclosed one is all that the least of everything else leaves, shared with what
    stands before it where the names are listed most first: the k-th of a list is at most a k-th of that room, and no
    more than any before it (or 1 %, below which the order is free). Where the ingredient is not bought to preserve, a
    substance that only preserves is no more than its highest legal maximum (Annex V) in the ingredient itself, since it
    is there to keep that alone (common practice, no source).

    Parameters
    ----------
    parts : Mapping of str to Part
        What is inside the ingredient, by `part_key` of the INCI name.
    substance : str
        That key.
    meant : bool
        Whether the ingredient is bought to preserve.
    order : tuple of str
        Keys of the ingredient's names, most first; empty where no order is known.
    practice : bool
        Whether common practice counts; without it the most is sure.

    Returns
    -------
    Fraction
    """
    part = parts[substance]
    if not part.unknown:
        return part.high
    room = max(1 - sum((p.low for name, p in parts.items() if name != substance), Fraction(0)), Fraction(0))
    most = room
    if substance in order:
        before = [parts[name] for name in order[: order.index(substance)] if name in parts]
        told = [p.high for p in before if not p.unknown]
        most = min(room, max(min([Fraction(1, len(before) + 1), *told]), ANY_ORDER_BELOW))
    if practice and not meant and only_preserves(part.substance):
        most = min(most, legal_maxima((part.substance,))[-1] / 100)
    return max(most, part.high)


def worst_ends(recipe: Recipe, expansion: Expansion, *, practice: bool = True) -> dict[str, Fraction]:
    """The most of every substance that a recipe can hold [% of the whole].

    Parameters
    ----------
    recipe : Recipe
    expansion : Expansion
        Its substances.
    practice : bool
        Whether common practice counts, see `most_inside`.

    Returns
    -------
    dict of str to Fraction
        By `part_key` of the name: Σ percent of the ingredient × `most_inside` of it.
    """
    found: dict[str, Fraction] = {}
    for name, parts in expansion.inside.items():
        thing, percent = recipe.ingredients[name], expansion.percent[name]
        order = () if thing.made_from else tuple(map(part_key, thing.inci))
        meant = is_meant_to_preserve(thing)
        for key in parts if percent else ():
            share = most_inside(parts, key, meant=meant, order=order, practice=practice)
            found[key] = found.get(key, Fraction(0)) + percent * share
    return found
