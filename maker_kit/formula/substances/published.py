"""The names that the published tables hold: which of them is whose, and which stand alone for one substance."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.substances.cas import cas_numbers
from maker_kit.formula.substances.spelling import fold

NAMES = "substance_names.csv"
CARRIERS = "plain_carriers.csv"
ENTRIES = "annex_entries.csv"
PROHIBITED = "annex_ii.csv"
OTHERS = (
    ("eu_fragrance_allergens.csv", "name"),
    ("counted_as.csv", "inci"),
    ("preservatives.csv", "inci"),
    ("fatty_oils.csv", "inci"),
    ("hlb_emulsifiers.csv", "inci"),
    ("us_prohibited.csv", "inci"),
    ("us_colours.csv", "inci"),
    ("annex_members.csv", "inci"),
    ("annex_factors.csv", "inci"),
)
"""Other tables whose names are known, with the column they stand in; a table without that column is passed over."""


@dataclass(frozen=True)
class Published:
    """What the tables say of names.

    Attributes
    ----------
    means : dict of str to str
        Folded name → the name it is another spelling of.
    names : dict of str to str
        Folded name → the name as published, for every name that stands in a table.
    families : dict of str to tuple of (str, str)
        Folded name → what it belongs to: (``isomer_of`` or ``salt_of``, name).
    cas : dict of str to str
        CAS number → name, where a number means one substance.
    carriers : dict of str to str
        Folded name of a plain carrier → what it is.
    distinct : dict of str to str
        Folded name of a substance that is only told apart from others: no table says more of it.
    either : dict of str to tuple of str
        Folded short name → the substances it is used for: which one is meant has to be asked.
    """

    means: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    families: dict[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    cas: dict[str, str] = field(default_factory=dict)
    carriers: dict[str, str] = field(default_factory=dict)
    distinct: dict[str, str] = field(default_factory=dict)
    either: dict[str, tuple[str, ...]] = field(default_factory=dict)


@lru_cache(maxsize=1)
def published() -> Published:
    """The names of all published tables, read once."""
    found = Published()
    for row in reference.rows(CARRIERS, columns=("inci", "what")):
        found.carriers[fold(row["inci"])] = row["what"]
        found.names.setdefault(fold(row["inci"]), row["inci"])
    for row in reference.rows(NAMES, columns=("name", "means", "kind")):
        name, means = row["name"], row["means"]
        if row["kind"] in {"isomer_of", "salt_of"}:
            found.families[fold(name)] = (*found.families.get(fold(name), ()), (row["kind"], means))
        elif row["kind"] == "cas":
            found.cas[name] = means
        elif row["kind"] == "either":
            found.either[fold(name)] = tuple(m.strip() for m in means.split(";"))
        elif row["kind"] == "distinct":
            found.distinct[fold(name)] = name
        else:
            found.means[fold(name)] = means
    for row in reference.rows(ENTRIES, columns=("substance", "names", "more_names", "texts", "moved", "group", "cas")):
        _read_entry(row, found)
    for row in reference.rows(PROHIBITED, columns=("entry", "name", "names", "linked", "cas", "flag")):
        if row["flag"] != "moved":
            own = row["names"].split("; ") if row["names"] else [row["name"]]
            for name in (*own, *(n for n in row["linked"].split("; ") if n)):
                found.names.setdefault(fold(name), name)
            numbers = cas_numbers(row["cas"])
            if len(numbers) == 1:
                found.cas.setdefault(numbers[0], own[0])
    for table, column in OTHERS:
        if (reference.package_folder() / table).exists():
            for row in reference.rows(table):
                if row.get(column):
                    found.names.setdefault(fold(row[column]), row[column])
    for name in found.means.values():
        if fold(name) not in found.distinct:
            found.names[fold(name)] = name
    return found


def in_title_case(name: str) -> str:
    """A name that a table prints in capitals throughout, as labels print it: ``BENZYL ALCOHOL`` → ``Benzyl
    Alcohol``; any other as it is.
    """
    if not name.isupper() or name.startswith(("CI ", "HC ", "PEG", "BH")) or len(name) < 5:
        return name
    return re.sub(
        r"[A-Z]{3,}|(?<![A-Z-])[A-Z]{2}(?![A-Z])",
        lambda found: (
            found[0]
            if found[0]
            in {"PEG", "PPG", "MEA", "TEA", "DEA", "MIPA", "PVP", "DMDM", "EDTA", "PABA", "HCL", "PG", "SE", "MEK"}
            else found[0].capitalize()
        ),
        name,
    )


def names_of(row: reference.Row, *columns: str) -> tuple[str, ...]:
    """The names in some cells of a published table, each once."""
    return tuple(dict.fromkeys(n for column in columns for n in row[column].split("; ") if n))


def _read_entry(row: reference.Row, found: Published) -> None:
    for name in names_of(row, "names", "more_names"):
        found.names.setdefault(fold(name), name)
    alone, texts = names_of(row, "names"), names_of(row, "texts")
    if row["moved"]:
        return
    if len(alone) == 1 and not row["group"]:
        for text in texts:
            if fold(text) != fold(alone[0]):
                found.means.setdefault(fold(text), alone[0])
        for number in cas_numbers(row["cas"]):
            found.cas.setdefault(number, alone[0])
    else:
        for text in texts:
            found.names.setdefault(fold(text), text)
