"""Which products an entry's words mean, in the words of a product type: places, rinsed off or left on, spray or not,
for whom.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from maker_kit.formula.ingredient import ProductType

PLACES = ("hands", "body", "face", "eye area", "lips", "hair", "underarm", "intimate area", "baby")
FEET, PERHAPS_FEET = "feet", "perhaps feet"
"""Places of a clause that the words of a product type do not tell apart from the body: the product's title does. Feet
are meant where it names them, perhaps where nobody told a title."""
_FEET = re.compile(
    r"(?i)\b(?:foot|feet|heels?|toes?|soles?|pedicures?|ped(?:al|i)\w*|fu(?:ß|ss)\w*|f(?:ü|ue)(?:ß|ss)e?\w*|"
    r"fersen?\w*|pieds?|talons?|pies|tal(?:ó|o)n(?:es)?|pied[ei]|tallon[ei]|p(?:é|e)s)\b"
)
_SMALL_CHILDREN = re.compile(
    r"(?i)child|bab(?:y|ies)|infant|toddler|newborn|nappy|nappies|diaper|\bkids?\b|kinder\b|kleinkind|säugling|windel|"
    r"\bbébés?\b|enfant|\bniñ[oa]s?\b|\bbebés?\b|bambin|neonat"
)
_CLAUSE = re.compile(
    r"^(any|"
    + "|".join((*PLACES, FEET, PERHAPS_FEET))
    + r")(?: (rinse-off|leave-on))?(?: (spray|still))?(?: (adults|small children))?$"
)


@dataclass(frozen=True)
class Clause:
    """Products that one clause means, such as ``body leave-on spray``.

    Attributes
    ----------
    place : str
        One of `PLACES`, ``any``, `FEET` or `PERHAPS_FEET`.
    use : {'', 'rinse-off', 'leave-on'}
    form : {'', 'spray', 'still'}
        ``still`` is what leaves its container not as a spray.
    whom : {'', 'adults', 'small children'}
    """

    place: str
    use: str = ""
    form: str = ""
    whom: str = ""

    def means(self, place: str, product: ProductType) -> bool:
        """Whether it means a product of this type where it goes on this place."""
        return (
            self._means_place(place, product)
            and self.use in {"", "rinse-off" if product.rinse_off else "leave-on"}
            and self.form in {"", "spray" if product.spray else "still"}
            and self.whom in {"", "small children" if for_small_children(product) else "adults"}
        )

    def _means_place(self, place: str, product: ProductType) -> bool:
        if self.place in {FEET, PERHAPS_FEET}:
            told = bool(_FEET.search(product.called)) if self.place == FEET else not product.called
            return place == "body" and told
        return self.place in {"any", place}


@lru_cache(maxsize=512)
def read_clauses(text: str) -> tuple[Clause, ...]:
    """Clauses of a table's cell, ``;`` between them.

    Parameters
    ----------
    text : str
        Such as ``hair rinse-off; face``; empty for no product that a maker's words can be.

    Returns
    -------
    tuple of Clause

    Raises
    ------
    ValueError
        If a clause is not written in these words; the table is then faulty.
    """
    found = []
    for piece in (p.strip() for p in text.split(";")):
        if piece:
            match = _CLAUSE.match(piece)
            if match is None:
                raise ValueError(
                    f"{piece!r} is no clause: a place or any, rinse-off or leave-on, spray or still, for whom"
                )
            found.append(Clause(*(part or "" for part in match.groups())))
    return tuple(found)


def any_means(clauses: tuple[Clause, ...], place: str, product: ProductType) -> bool:
    """Whether one of the clauses means the product on that place."""
    return any(clause.means(place, product) for clause in clauses)


def for_small_children(product: ProductType) -> bool:
    """Whether a product is for children under three years: by whom it is for, or because it goes on a baby."""
    return names_small_children(product.for_whom) or "baby" in product.places


def names_small_children(text: str) -> bool:
    """Whether a text, such as a title, names children under three years, or what is made for them."""
    return _SMALL_CHILDREN.search(text) is not None
