"""Which categories of the IFRA Standards a product falls in, by where it goes and whether it is rinsed off, and which
certificates may be read with them; what no table names stays unknown.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.formula.annexes.uses import for_small_children
from maker_kit.formula.recipe import Certificate, Ingredient, ProductType

FIRST_AMENDMENT = 49
"""The categories 1 to 12 with letters are those of the 49th Amendment (2020) and later; older papers number their
classes otherwise."""

_BY_FINGERTIPS = re.compile(
    r"(?i)\bmas(?:k|que|ke|chera|carilla|ker)s?\b|gesichtsmaske|\w*maske\b|make[ -]?up|foundation|concealer|\bblush"
)
"""How products for the face are called that are put on with the fingertips and meant to stay a while."""


@dataclass(frozen=True)
class Categories:
    """The categories of one product.

    Attributes
    ----------
    found : tuple of str
        Categories, each once, in the order of the places.
    from_memory : tuple of str
        Those of them that were matched to their place from memory.
    unknown : tuple of str
        Places or uses that no category is on file for, in words.
    """

    found: tuple[str, ...]
    from_memory: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def categories_of(product: ProductType, folder: Path | str | None = None, called: str = "") -> Categories:
    """The categories of a product: one for each place, and the baby's beside them when it is left on small children.

    Parameters
    ----------
    product : ProductType
    folder : path, optional
        Where to look for the tables first.
    called : str
        What the maker calls it: a mask, and make-up, of the face fall in a category of their own, which is stricter.

    Returns
    -------
    Categories
        Nothing is guessed: a place and use without a row, and a spray are listed as unknown.
    """
    use = "rinse-off" if product.rinse_off else "leave-on"
    table = {
        (r["place"], r["use"]): r
        for r in reference.rows("ifra_places.csv", folder, ("place", "use", "category", "checked"))
    }
    places = list(product.places)
    unknown = [f"{place}, {use}" for place in places if (place, use) not in table]
    if not places:
        unknown.append("no place named")
    if product.spray:
        unknown.append(f"spray, {use}")
    if for_small_children(product) and "baby" not in places:
        if ("baby", use) in table:
            places.append("baby")
        else:
            unknown.append(f"small children, {use}")
    rows = [table[place, use] for place in places if (place, use) in table]
    if "face" in places and _BY_FINGERTIPS.search(called):
        rows = [r for r in rows if (r["place"], r["use"]) != ("face", "rinse-off")] + [table["face", "mask or make-up"]]
    return Categories(
        tuple(dict.fromkeys(r["category"] for r in rows)),
        tuple(dict.fromkeys(r["category"] for r in rows if r.get("memory"))),
        tuple(unknown),
    )


def known_categories(folder: Path | str | None = None) -> dict[str, str]:
    """Category → its short meaning, from ``ifra_categories.csv`` (49th Amendment, 2020)."""
    return {
        r["category"]: r["short_meaning"]
        for r in reference.rows("ifra_categories.csv", folder, ("category", "short_meaning"))
    }


def plain_category(text: str) -> str:
    """A category as the tables write it: ``Category 5 a`` → ``5A``."""
    return re.sub(r"(?i)^\s*(?:category|cat\.?)\s*", "", text).replace(" ", "").upper()


def is_usable(certificate: Certificate) -> bool:
    """Whether a certificate may be read with today's categories: made under the 49th Amendment or a later one, for a
    category that exists.

    Raises
    ------
    QuantityError
        If its most is no number from 0 to 100 [%].
    """
    if not 0 <= certificate.most_percent <= 100:
        msg = (
            f"a certificate for category {certificate.category} allows {certificate.most_percent} %; it lies from 0 "
            "to 100 %; read the paper again"
        )
        raise QuantityError(msg)
    return certificate.amendment >= FIRST_AMENDMENT and plain_category(certificate.category) in known_categories()


def certificate_for(scent: Ingredient, category: str) -> Certificate | None:
    """The certificate of a scent that holds for a category: of the newest amendment, and the strictest of those; None
    where none is usable.

    Raises
    ------
    QuantityError
        If a certificate's most is no number from 0 to 100 [%].
    """
    usable = [c for c in scent.certificates if is_usable(c) and plain_category(c.category) == category]
    return min(usable, key=lambda c: (-c.amendment, c.most_percent), default=None)


def refused_certificates(scent: Ingredient) -> tuple[Certificate, ...]:
    """The certificates of a scent that may not be read with today's categories."""
    return tuple(c for c in scent.certificates if not is_usable(c))
