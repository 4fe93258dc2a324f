"""One key per substance, whatever the spelling: INCI old and new, English and botanical names, names of the trade,
CAS and colour index numbers.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from maker_kit.formula.substances.cas import cas_number, check_digit_holds
from maker_kit.formula.substances.published import Published, in_title_case, published
from maker_kit.formula.substances.spelling import american, fold, without_brackets, without_grade
from maker_kit.names import name_key

_COLOUR = re.compile(r"(?i)^\s*(?:pigment\s+)?(?:c\.?\s?i\.?[\s:-]*)?(?:no\.?\s*)?([1-7]\d{4})(?:\s*:\s*(\d))?\s*$")
_COLOUR_BEHIND = re.compile(r"(?i)^(.*?)[\s,(/-]*\bc\.?i\.?\s*([1-7]\d{4})(?::\d)?\)?\s*$")
_STEREO = re.compile(
    r"(?i)^\s*(?:\(?(?:[+±-]|\+/-|rs?|s|e|z|d|l)\)?-|(?:d|l|dl|trans|cis|rac|racemic|r|s|e|z)[-\s]+|\([±+-]\)\s*)"
)
_CATIONS = (
    "sodium",
    "disodium",
    "trisodium",
    "potassium",
    "dipotassium",
    "calcium",
    "magnesium",
    "ammonium",
    "lithium",
    "zinc",
    "mea",
    "dea",
    "tea",
    "ethanolamine",
    "triethanolamine",
)
_BRACKET_BEHIND = re.compile(r"^\s*([^()]+?)\s*\(([^()]+)\)\s*$")
_COMMA_BEHIND = re.compile(r"^\s*([^,();]+?)\s*,\s*([^,();]+?)\s*$")
_WHOLE_SCENTS = frozenset({"parfum", "fragrance", "aroma", "perfume"})
_TONGUES = re.compile(r"\s*/\s*")


@dataclass(frozen=True)
class Substance:
    """What a name means.

    Attributes
    ----------
    key : str
        One per substance: two names mean the same where their keys are equal.
    name : str
        The published name; the name itself, as written, where no table knows it.
    known : bool
        Whether a published table knows it.
    families : tuple of str
        Keys of what it belongs to beside itself: the acid of a salt, the mixture an isomer is a part of.
    faulty_cas : bool
        Whether the name is a CAS number whose check digit does not hold; it then means nothing.
    """

    key: str
    name: str
    known: bool
    families: tuple[str, ...] = ()
    faulty_cas: bool = False


@lru_cache(maxsize=16384)
def substance(name: str) -> Substance:
    """Which substance a name means.

    Parameters
    ----------
    name : str
        A name in any spelling, a CAS number (``122-99-6``, ``CAS 122-99-6``) or a colour index number (``CI 77891``,
        ``CI77891``, ``77891``).

    Returns
    -------
    Substance
    """
    tables = published()
    number = cas_number(name)
    if number is not None:
        if not check_digit_holds(number):
            return Substance(fold(number), name.strip(), known=False, faulty_cas=True)
        meant = tables.cas.get(number)
        if meant is None:
            return Substance(fold(number), number, known=False)
        return _found(fold(meant), tables) or Substance(fold(meant), meant, known=False)
    at_once = _found(fold(name), tables)
    if at_once is not None:
        return at_once
    if either_of(name):
        return Substance(fold(name), " ".join(name.split()), known=False)
    for spelling in _spellings(name):
        found = _found(fold(spelling), tables)
        if found is not None:
            return found
    return Substance(fold(name), " ".join(name.split()), known=False, families=_families(fold(name), name, tables))


@lru_cache(maxsize=16384)
def either_of(name: str) -> tuple[str, ...]:
    """The substances that one name may mean, where only the maker can tell: a short name used for several (``DHA``), or
    a name with another substance in brackets behind it (``BHA (salicylic)``); empty for any other.

    Parameters
    ----------
    name : str

    Returns
    -------
    tuple of str
        Published names.
    """
    tables = published()
    if told := tables.either.get(fold(name)):
        return told
    found = _BRACKET_BEHIND.match(name)
    if not found or len(found[1].split()) > 2 or fold(found[1]) in _WHOLE_SCENTS:
        return ()
    if _found(fold(f"{found[2]} {found[1]}"), tables) is not None:
        return ()
    outside = _found(fold(found[1]), tables)
    inside = _found(fold(found[2]), tables) or _found(fold(f"{found[2]} acid"), tables)
    if outside is None or inside is None or not (outside.known and inside.known) or outside.key == inside.key:
        return ()
    same = inside.key in outside.families or outside.key in inside.families
    numbers = bool(colour_index(found[1]) or colour_index(found[2]) or cas_number(found[2]))
    plain = outside.key in tables.carriers and inside.key in tables.carriers
    return () if same or numbers or plain else (outside.name, inside.name)


def substance_key(name: str) -> str:
    """The key of the substance that a name means; see `substance`."""
    return substance(name).key


@lru_cache(maxsize=16384)
def published_name(name: str) -> str:
    """The name under which the tables hold what a name is another spelling of, such as ``Phenoxyethanol`` for
    ``122-99-6`` or ``Phenoxy-éthanol*``; the name as written where it is a published one itself, whatever its capitals
    and in British spelling too, where no table knows it, for water, and for what goes by a colour index number.

    Parameters
    ----------
    name : str

    Returns
    -------
    str
    """
    meant = _in_the_tables(name)
    return name if american(name_key(meant)) == american(name_key(name)) else meant


def _in_the_tables(name: str) -> str:
    """The name under which the tables hold a substance; the name as written where it has none, or goes by a number."""
    meant = substance(name)
    if not meant.known or meant.key == "aqua" or colour_index(name) or colour_index(meant.name):
        return name
    return meant.name


@lru_cache(maxsize=16384)
def part_key(name: str) -> str:
    """The key of a name among the parts of a mixture or the rows of a table, whatever its spelling."""
    return name_key(_in_the_tables(name))


def known(name: str) -> bool:
    """Whether any published table knows the substance: an annex, a table of limits or preservatives, or the list of
    plain carriers.
    """
    return substance(name).known


def carrier(name: str) -> str:
    """What a plain carrier is (``fatty oil``, ``gum`` and so on); empty for what is on that list not."""
    return published().carriers.get(substance(name).key, "")


def colour_index(name: str) -> str:
    """The colour index number that a name is, such as ``CI 77891``; empty for any other name. A bare number counts
    where it has five digits from 10000 to 77999.
    """
    found = _COLOUR.match(name)
    if not found:
        return ""
    return f"CI {found[1]}:{found[2]}" if found[2] else f"CI {found[1]}"


def _spellings(name: str) -> tuple[str, ...]:
    """The name, and what it may be another spelling of, the likeliest first."""
    colour = colour_index(name)
    if colour:
        return (colour, colour.partition(":")[0])
    found = [
        name,
        without_brackets(name),
        without_grade(name),
        without_grade(without_brackets(name)),
        without_grade(without_grade(name)),
    ]
    turned = _BRACKET_BEHIND.match(name) or _COMMA_BEHIND.match(name)
    found += [f"{turned[2]} {turned[1]}"] if turned else []  # ``Paraben (methyl)``, ``Benzoate, Sodium``
    bracketed = re.findall(r"\(([^()]{3,})\)", name)
    behind = _COLOUR_BEHIND.match(name)
    if behind:
        found += [f"CI {behind[2]}"]
    stereo = _STEREO.sub("", name)
    found += [stereo, _STEREO.sub("", stereo)] if stereo != name else []
    if "/" in name:
        tongues = [t for t in _TONGUES.split(name) if t]
        keys = {published().means.get(fold(t), t) for t in tongues}
        found += [tongues[0]] if len({fold(k) for k in keys}) == 1 else []
    if bracketed and without_brackets(name) and fold(without_brackets(name)) not in published().names:
        inside = [b for b in bracketed if fold(b) in published().means or fold(b) in published().names]
        found += inside if len(without_brackets(name).split()) <= 2 else []
    return tuple(dict.fromkeys(s for s in found if fold(s)))


def table_key(name: str) -> str:
    """The key of a name as a table prints it: what `substance_key` gives, without trying other spellings."""
    return _meant(fold(name), published())


def _meant(key: str, tables: Published) -> str:
    """The key that a folded name stands for."""
    meant = tables.means.get(key)
    if meant is None:
        return key
    further = fold(meant)
    return fold(tables.means[further]) if further in tables.means else further


def _found(key: str, tables: Published) -> Substance | None:
    key = _meant(key, tables)
    if key in tables.names:
        name = in_title_case(tables.names[key])
        return Substance(key, name, known=True, families=_families(key, name, tables))
    if key in tables.distinct:
        return Substance(key, tables.distinct[key], known=False)
    return None


def _families(key: str, name: str, tables: Published) -> tuple[str, ...]:
    """What a substance belongs to: by the table, or by its name where it is a salt of an acid that a table knows."""
    told = [fold(n) for _, n in tables.families.get(key, ())]
    cation, _, rest = name.casefold().replace("-", " ").partition(" ")
    if rest.endswith("ate") and cation in _CATIONS:
        acid = fold(f"{rest[:-3]}ic acid")
        if acid in tables.names or acid in tables.means:
            told.append(fold(tables.means.get(acid, tables.names.get(acid, ""))))
    if rest and cation in _CATIONS and fold(rest) in tables.names:
        told.append(fold(rest))
    return tuple(dict.fromkeys(told))


def spoken(name: str) -> str:
    """A name as a label writes it: some entries of the annexes are in capitals all over; what is short is meant so."""
    words = name.split()
    short_one = len(words) == 1 and len(name) <= 4 and name != "TALC"
    loud = name.isupper() and all(w.isalpha() for w in words) and not short_one
    return " ".join(w.capitalize() for w in words) if loud else name
