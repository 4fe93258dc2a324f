"""Where colours may go in cosmetics of the United States: 21 CFR 73 and 74, Subpart C, as far as they could be read.

Only colours that are listed for a use are allowed there. The table is not the whole list: a colour that it does not
name is unknown, not barred.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance_key

TABLE = "us_colours.csv"
_COLUMNS = (
    "inci",
    "us_name",
    "section",
    "eye",
    "lips",
    "outside",
    "most_lips",
    "only",
    "certified",
    "source",
    "checked",
)
_CERTIFIED = re.compile(r"(?i)^\s*(ext\.?\s*)?(f\s*)?d\s*(?:&|and)\s*c\.?\s+([a-z]+)\s+(?:no\.?\s*|#\s*)?(\d+)\s*$")


@dataclass(frozen=True)
class UsColour:
    """What was read of one colour.

    Attributes
    ----------
    inci, us_name : str
        Its INCI name and the name of its section.
    section : str
        Section of 21 CFR that lists it for cosmetics; empty where none does.
    eye, lips, outside : bool
        Whether it is listed for the area of the eye, for lips, and for what is applied from outside.
    most_lips : Fraction or None
        Most on lips [% by mass of the whole]; None where no figure is set.
    only : str
        The only products it is listed for, in words; empty where it is listed for places.
    certified : bool
        Whether each lot has to be certified by the authority.
    source, checked : str
    """

    inci: str
    us_name: str
    section: str
    eye: bool
    lips: bool
    outside: bool
    most_lips: Fraction | None
    only: str
    certified: bool
    source: str
    checked: str

    def barred_from(self, product: ProductType) -> tuple[str, ...]:
        """The places of a product that it is not listed for; of all places where none is told. Nothing for a colour
        that is listed for some products only. What is listed as applied from outside is for no part with a mucous
        membrane (82.3(n)).
        """
        if self.only:
            return ()
        may = {"eye area": self.eye, "lips": self.lips, "intimate area": self.lips and self.most_lips is None}
        return tuple(place for place in product.places or PLACES if not may.get(place, self.outside))

    @property
    def named_by_itself(self) -> bool:
        """Whether it goes by a name of its own, not by a number of the colour index."""
        return not self.inci.startswith("CI ")


@lru_cache(maxsize=1)
def us_colours() -> dict[str, UsColour]:
    """All rows of ``us_colours.csv``, by `substance_key` of the INCI name, and by that of the name in the US."""
    rows = [
        UsColour(
            r["inci"],
            r["us_name"],
            r["section"],
            *(r[column] == "yes" for column in ("eye", "lips", "outside")),
            Fraction(r["most_lips"]) if r["most_lips"] else None,
            r["only"],
            r["certified"] == "yes",
            r["source"],
            r["checked"],
        )
        for r in reference.rows(TABLE, columns=_COLUMNS)
    ]
    return {substance_key(_spelt(c.us_name)): c for c in rows} | {substance_key(c.inci): c for c in rows}


def _spelt(name: str) -> str:
    """A certified colour's name as the sections spell it: ``D and C Yellow 10`` is ``D&C Yellow No. 10``."""
    found = _CERTIFIED.match(name)
    if not found:
        return name
    return f"{'Ext. ' if found[1] else ''}{'F' if found[2] else ''}D&C {found[3].title()} No. {found[4]}"


def us_colour(name: str) -> UsColour | None:
    """What was read of a colour, by any name of it on file; None where nothing was.

    Parameters
    ----------
    name : str

    Returns
    -------
    UsColour or None
    """
    return us_colours().get(substance_key(name)) or us_colours().get(substance_key(_spelt(name)))
