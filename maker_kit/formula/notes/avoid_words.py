"""What a word of an avoid-list means: an ingredient, an INCI name, a family of names, a scent allergen; word by word,
whatever the capitals and the plural.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.inside.composition import Expansion
from maker_kit.formula.kinds import SCENT_NAMES, is_watery
from maker_kit.formula.recipe import Ingredient
from maker_kit.formula.substances.naming import part_key
from maker_kit.formula.substances.spelling import american
from maker_kit.names import fits, name_key

TABLE, ALLERGENS = "avoid_words.csv", "eu_fragrance_allergens.csv"


@lru_cache(maxsize=1 << 14)
def words_of(text: str) -> tuple[str, ...]:
    """The words of a text as they are compared: small, in the singular, `american`."""
    return tuple(
        w[:-1] if len(w) > 3 and w.endswith("s") and not w.endswith("ss") else w
        for w in re.findall(r"[^\W_]+", american(text.casefold()))
    )


def holds(text: str, wanted: tuple[str, ...]) -> bool:
    """Whether the words stand in a text, one after the other."""
    have = words_of(text)
    return any(have[k : k + len(wanted)] == wanted for k in range(len(have) - len(wanted) + 1))


@lru_cache(maxsize=1024)
def family_of(avoid: str) -> tuple[tuple[str, str], ...]:
    """INCI names that a family word means, each with its source."""
    wanted = words_of(avoid)
    return tuple(
        (american(name_key(r["inci_like"])), reference.source_of(r))
        for r in reference.rows(TABLE)
        if words_of(r["word"]) == wanted
        or (len(wanted) > 1 and words_of(r["word"]) == wanted[:-1] and wanted[-1] in {"oil", "butter", "allergy"})
    )


def is_like(name: str, like: str) -> bool:
    """Whether a name fits a pattern, or begins with it."""
    return fits(name, like) or name.startswith(f"{like} ")


def is_common(inci: str) -> bool:
    """Water and scent are in many things, so that one ingredient's name teaches nothing about them."""
    return (is_watery(inci) and "flower" not in name_key(inci)) or name_key(inci) in SCENT_NAMES


def names_scent_allergen(avoid: str) -> bool:
    """Whether a word names something of the EU list of scent allergens, or scent as a whole."""
    wanted = words_of(avoid)
    return any(holds(r["name"], wanted) for r in reference.rows(ALLERGENS)) or any(
        inci in SCENT_NAMES for inci, _ in family_of(avoid)
    )


def on_file(avoid: str, expansion: Expansion) -> bool:
    """Whether a word means a family, a scent allergen, a preservative, or a substance of the recipe."""
    wanted = words_of(avoid)
    told = [r["name"] for r in reference.rows(ALLERGENS)] + [r["inci"] for r in reference.rows("preservatives.csv")]
    told += [r.substance for r in expansion.rows]
    return bool(family_of(avoid)) or any(holds(text, wanted) for text in told)


@dataclass(frozen=True)
class KnownNames:
    """What the names of some ingredients teach about words, looked up once a word: a workshop asks for every recipe.

    Attributes
    ----------
    ingredients : Mapping of str to Ingredient
    """

    ingredients: Mapping[str, Ingredient]
    _holding: dict[str, tuple[frozenset[str], dict[str, str]]] = field(default_factory=dict, repr=False, compare=False)

    def taught(self, avoid: str, but: KnownNames | None = None) -> dict[str, str]:
        """Folded INCI name to the ingredient that is called by a word and is that substance alone; those that `but`
        has too are left out.
        """
        out = but.ingredients if but else {}
        return {inci: name for name, inci in self._of(avoid)[1].items() if name not in out}

    def hears(self, avoid: str, but: KnownNames | None = None) -> bool:
        """Whether a word is in the name of an ingredient, its INCI names or what is inside."""
        out = but.ingredients if but else {}
        return any(name not in out for name in self._of(avoid)[0])

    def _of(self, avoid: str) -> tuple[frozenset[str], dict[str, str]]:
        if avoid not in self._holding:
            wanted = words_of(avoid)
            heard, taught = set(), {}
            for name, i in self.ingredients.items():
                if any(holds(n, wanted) for n in (name, *i.inci, *(s.substance for s in i.inside))):
                    heard.add(name)
                alone = len(i.inci) == 1 and not i.inside and not i.made_from
                if alone and holds(i.name, wanted) and not is_common(i.inci[0]):
                    taught[name] = part_key(i.inci[0])
            self._holding[avoid] = frozenset(heard), taught
        return self._holding[avoid]
