"""What a word of an avoid-list means: an ingredient, an INCI name, a family of names, a scent allergen; word by word,
whatever the capitals and the plural.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.inside.composition import Expansion
from maker_kit.formula.kinds import SCENT_NAMES, is_watery
from maker_kit.formula.recipe import Ingredient
from maker_kit.names import fits, name_key

TABLE, ALLERGENS = "avoid_words.csv", "eu_fragrance_allergens.csv"


@lru_cache(maxsize=1 << 14)
def words_of(text: str) -> tuple[str, ...]:
    """The words of a text as they are compared: small, in the singular, ``sulf`` for ``sulph``."""
    return tuple(
        w[:-1] if len(w) > 3 and w.endswith("s") and not w.endswith("ss") else w
        for w in re.findall(r"[^\W_]+", text.casefold().replace("sulph", "sulf"))
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
        (name_key(r["inci_like"]), reference.source_of(r))
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


def is_scent_allergen(avoid: str) -> bool:
    """Whether a word names something of the EU list of scent allergens, or scent as a whole."""
    wanted = words_of(avoid)
    return any(holds(r["name"], wanted) for r in reference.rows(ALLERGENS)) or any(
        inci in SCENT_NAMES for inci, _ in family_of(avoid)
    )


def heard_of(avoid: str, expansion: Expansion, names: Mapping[str, Ingredient]) -> bool:
    """Whether a word means anything to the tables: an ingredient, an INCI name, a family, a scent allergen or a
    preservative.
    """
    wanted = words_of(avoid)
    told = [
        *names,
        *(n for i in names.values() for n in (*i.inci, *(s.substance for s in i.inside))),
        *(r.substance for r in expansion.rows),
    ]
    told += [r["name"] for r in reference.rows(ALLERGENS)] + [r["inci"] for r in reference.rows("preservatives.csv")]
    return bool(family_of(avoid)) or any(holds(text, wanted) for text in told)
