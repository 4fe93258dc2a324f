"""What each preservative reaches: bacteria, yeast, mould, and the pH it is trusted at; a product is only kept from what
its agents reach together.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from maker_kit import reference
from maker_kit.findings import Finding, look
from maker_kit.formula.substances.naming import part_key
from maker_kit.numbers import exact_number

TABLE = "preservative_reach.csv"
ORGANISMS = ("bacteria", "yeast", "mould")
GOOD, WEAK, NONE = "good", "weak", "none"
SOURCE = "common practice, no source"


@dataclass(frozen=True)
class Reach:
    """What one preservative reaches.

    Attributes
    ----------
    substance : str
        Name as the table has it; an acid stands for its salts.
    against : Mapping of str to {'good', 'weak', 'none'}
        For each of `ORGANISMS`.
    works_from_ph, works_to_ph : float or None
        pH at which it is trusted; None where the table names no end.
    remark : str
    """

    substance: str
    against: Mapping[str, str]
    works_from_ph: float | None
    works_to_ph: float | None
    remark: str = ""

    def outside(self, low: float, high: float) -> bool:
        """Whether a pH that may lie anywhere from `low` to `high` may be one at which it is not trusted."""
        return (self.works_from_ph is not None and exact_number(low) < exact_number(self.works_from_ph)) or (
            self.works_to_ph is not None and exact_number(high) > exact_number(self.works_to_ph)
        )


@cache
def _table() -> Mapping[str, Reach]:
    return {
        part_key(r["substance"]): Reach(
            r["substance"],
            {organism: r[organism] for organism in ORGANISMS},
            float(r["works_from_ph"]) if r["works_from_ph"] else None,
            float(r["works_to_ph"]) if r["works_to_ph"] else None,
            r["remark"],
        )
        for r in reference.rows(TABLE)
    }


def reach_of(substance: str) -> Reach | None:
    """What a preservative reaches; None where no table says so."""
    return _table().get(part_key(substance))


def not_reached(substances: Iterable[str]) -> tuple[str, ...]:
    """The organisms that none of some preservatives is known to be good against.

    Parameters
    ----------
    substances : iterable of str
        Preservatives that are there in a working amount; acids by the acid's name.

    Returns
    -------
    tuple of str
        Of `ORGANISMS`. What no table knows reaches nothing.
    """
    known = [r for r in map(reach_of, substances) if r is not None]
    return tuple(o for o in ORGANISMS if not any(r.against[o] == GOOD for r in known))


def reach_findings(substances: Iterable[str], ph: tuple[float, float] | None) -> tuple[Finding, ...]:
    """What the preservatives of a product leave open, each a look: an organism that none of them reaches, and a pH at
    which one is not trusted.

    Parameters
    ----------
    substances : iterable of str
        Preservatives that are there in a working amount.
    ph : (float, float) or None
        Lowest and highest pH that the reading may mean; None where none was read.

    Returns
    -------
    tuple of Finding
        Codes ``preservation.reach`` and ``preservation.outside_ph``.
    """
    names = tuple(substances)
    if not names:
        return ()
    found = []
    if not any(map(reach_of, names)):
        found.append(
            look(
                "preservation.reach",
                names,
                f"{' and '.join(names)}: the law lists {'it' if len(names) == 1 else 'them'} as preservatives, but "
                "against which microbes is not on file.",
                subject=", ".join(names),
                level="unknown",
                next_step="Ask the supplier what it keeps out and at which pH, and have the product tested.",
                source=SOURCE,
            )
        )
    elif missing := not_reached(names):
        found.append(
            look(
                "preservation.reach",
                names,
                f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'} weak against {' and '.join(missing)}: "
                f"{'alone it is' if len(names) == 1 else 'even together they are'} not known to keep "
                f"{' and '.join(missing)} out.",
                subject=", ".join(names),
                level="under",
                next_step=f"Add a preservative that is good against {' and '.join(missing)}, and have the product "
                "tested.",
                source=SOURCE,
            )
        )
    for name in names:
        known = reach_of(name)
        if ph is not None and known is not None and known.outside(*ph):
            ends = f"from pH {known.works_from_ph:g}" if known.works_from_ph is not None else ""
            ends += f"{' ' if ends else ''}up to pH {known.works_to_ph:g}" if known.works_to_ph is not None else ""
            found.append(
                look(
                    "preservation.outside_ph",
                    name,
                    f"{name} is trusted {ends}; the pH read may be {ph[0]:g} to {ph[1]:g}."
                    + (f" It {known.remark}." if known.remark else ""),
                    level="under",
                    next_step="Bring the pH to where it works and read it again, or take another preservative.",
                    source=SOURCE,
                )
            )
    return tuple(found)
