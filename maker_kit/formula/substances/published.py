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

_GROUP = re.compile(
    r"(?i)\b(?:salts?|esters?|derivatives|mixture|oils?|extracts?|complexes|ingredients|polymers?|lakes|pigments|"
    r"polyacrylamides|amides|peptides|alloys|and|compounds)\b"
)
_TAIL = re.compile(r"(?i),?\s+(?:and|or)\s+(?:its|their)\b.*$|\s*\((?:see note )?\d+\s*\)$|\s+\(see note \d+\)")
_SLASHED = re.compile(r"(?<=[A-Za-z)])\s+/\s*(?=[A-Za-z])|(?<=[A-Za-z)])/\s+(?=[A-Za-z])")
_ANY_SLASH = re.compile("/")
_ALL_SLASHED = frozenset({("V", "12"), ("V", "12a"), ("III", "157")})
_NO_NAME = re.compile(r"(?i)when used|see note|normal content|exception of entry|^if the|shall be|is a mixture of")


def entry_names(annex: str, entry: str, inci: str, other: str = "") -> tuple[str, ...]:
    """The names that an entry's INCI cell and its cell of other names list.

    Parameters
    ----------
    annex, entry : str
        Such as ``V`` and ``12``: a few entries cut their names at "/".
    inci, other : str
        The cells.

    Returns
    -------
    tuple of str
        Each once; what is a sentence and no name is left out.
    """
    found: dict[str, None] = {}
    slashed = _ANY_SLASH if annex == "IV" or (annex, entry) in _ALL_SLASHED else _SLASHED
    for cell in (inci, other):
        for piece in cell.split(";"):
            if len(piece) > 16 and _NO_NAME.search(piece):
                continue
            whole = piece.strip(" .,’")
            names = [n.strip() for n in slashed.split(whole)] if "/" in whole else [whole]
            if ", " in whole and annex in {"V", "III"} and whole.isupper() and not re.search(r"\d|-$|-,", whole):
                names = [n.strip() for n in whole.split(",")]
            for name in names:
                if name and name != "-":
                    found[_TAIL.sub("", name) if "(" in name or " " in name else name] = None
    return tuple(found)


def text_names(text: str) -> tuple[str, ...]:
    """The chemical names in the text of an entry, cut at semicolons, without "and its salts" and the like."""
    pieces = [_TAIL.sub("", piece.strip(" .,")) if " " in piece else piece for piece in text.split(";")]
    halves = [h.strip() for p in pieces for h in (p.split(" / ") if " / " in p else [])]
    return tuple(dict.fromkeys(n for n in (*pieces, *halves) if len(n) > 3))


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
    for row in reference.rows(ENTRIES, columns=("annex", "entry", "substance", "inci", "other_names", "cas")):
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


def _read_entry(row: reference.Row, found: Published) -> None:
    names = entry_names(row["annex"], row["entry"], row["inci"], row["other_names"])
    for name in names:
        found.names.setdefault(fold(name), name)
    alone = entry_names(row["annex"], row["entry"], row["inci"])
    texts = text_names(row["substance"])
    if len(alone) == 1 and not _GROUP.search(row["substance"]) and not row["substance"].startswith("Moved"):
        for text in texts:
            if fold(text) != fold(alone[0]):
                found.means.setdefault(fold(text), alone[0])
        for number in cas_numbers(row["cas"]):
            found.cas.setdefault(number, alone[0])
    elif not row["substance"].startswith("Moved"):
        for text in texts:
            found.names.setdefault(fold(text), text)
