"""What Annexes II–VI say of all that a product holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.annexes.counted import Held, groups, held
from maker_kit.formula.annexes.entries import Entry
from maker_kit.formula.annexes.law import Law, law
from maker_kit.formula.annexes.listed import against, entry_verdicts, verdict_of
from maker_kit.formula.annexes.prohibited import is_named, prohibitions_of
from maker_kit.formula.annexes.purpose import serves
from maker_kit.formula.annexes.uses import Clause, any_means, read_clauses
from maker_kit.formula.annexes.verdict import (
    DECLARE,
    ORDER,
    PROHIBITED,
    UNKNOWN_CONDITION,
    USE_NOT_LISTED,
    Content,
    Verdict,
)
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.cas import cas_number
from maker_kit.formula.substances.naming import carrier, colour_index, substance
from maker_kit.formula.substances.spelling import words

PIGMENTS = ("Titanium Dioxide", "Zinc Oxide")
"""UV filters that are white pigments too (common practice)."""
NOT_ONLY_FILTERS = (
    *PIGMENTS,
    "Benzophenone-3",
    "Benzophenone-4",
    "Benzophenone-5",
    "Ethylhexyl Salicylate",
)
"""UV filters that are in a product for other reasons too: pigments, and what protects the product itself (common
practice).
"""


def verdicts(contents: Iterable[Content], product: ProductType, ph: float | None = None) -> tuple[Verdict, ...]:
    """What Annexes II–VI of Regulation (EC) No 1223/2009 say of all that a product holds.

    Parameters
    ----------
    contents : iterable of Content
        Every substance of the product; what comes to nothing is passed over.
    product : ProductType
        The strictest of its places counts.
    ph : float, optional
        The pH that was read.

    Returns
    -------
    tuple of Verdict
        The gravest first. A substance that no entry names gets none: whether a table knows it at all,
        `maker_kit.formula.substances.naming.known` says.
    """
    there = tuple(c for c in contents if c.high is None or c.high > 0 or c.low > 0)
    whole = law()
    found: list[Verdict] = []
    by_entry: dict[int, list[Content]] = {}
    for content in there:
        found += prohibitions_of(content, whole, product)
        for place in _entries_of(content.name, whole):
            by_entry.setdefault(place, []).append(content)
        found += _not_on_a_list(content, whole, by_entry)
    judged = {place: _judge(whole.entries[place], tuple(members), product, ph) for place, members in by_entry.items()}
    for place, said in judged.items():
        found += _for_its_purpose(whole.entries[place], said, by_entry[place], whole, by_entry)
    found += _sums(whole, by_entry, product)
    banned = {name for v in found if v.code == PROHIBITED for name in v.names}
    found = [v for v in found if v.code != USE_NOT_LISTED or not banned.issuperset(v.names)]
    return tuple(sorted(dict.fromkeys(found), key=lambda v: ORDER.index(v.code)))


def named(name: str) -> bool:
    """Whether any entry of Annexes II–VI names a substance, by a name, a number, its acid or the word of a group."""
    return bool(_places_of(name)) or is_named(name, law())


def entries_of(name: str) -> tuple[Entry, ...]:
    """The entries of Annexes III–VI that name a substance, by a name, a number, its acid or the word of a group."""
    return tuple(law().entries[place] for place in _places_of(name))


@lru_cache(maxsize=4096)
def _places_of(name: str) -> tuple[int, ...]:
    whole = law()
    meant = substance(name)
    found = list(whole.by_key.get(meant.key, ()))
    number = cas_number(name)
    if number and not meant.faulty_cas and not found:
        found += whole.by_cas.get(number, ())
    annexes = {whole.entries[place].annex for place in found}
    for family in meant.families:
        found += [
            p for p in whole.by_key.get(family, ()) if whole.entries[p].annex not in annexes and whole.entries[p].salts
        ]
    for position, word in enumerate(words(meant.name)):
        for annex, entry, where, unless in whole.words.get(word, ()):
            if annex != "II" and meant.key not in unless and (where != "first" or position == 0):
                found += [p for p, e in enumerate(whole.entries) if e.annex == annex and e.number == entry]
    return tuple(dict.fromkeys(found))


def _entries_of(name: str, whole: Law) -> tuple[int, ...]:
    return _places_of(name) if whole is law() else ()


def _judge(entry: Entry, members: tuple[Content, ...], product: ProductType, ph: float | None) -> list[Verdict]:
    group_of = groups().get((entry.annex, entry.number))
    if group_of is None:
        return list(entry_verdicts(entry, held(entry, members), product, ph))
    apart: dict[str, list[Content]] = {}
    for content in members:
        apart.setdefault(group_of.get(substance(content.name).key, content.name), []).append(content)
    return [v for some in apart.values() for v in entry_verdicts(entry, held(entry, tuple(some)), product, ph)]


def _for_its_purpose(
    entry: Entry, said: list[Verdict], members: list[Content], whole: Law, by_entry: dict[int, list[Content]]
) -> list[Verdict]:
    """The verdicts that hold for what the substances are there for.

    Where nobody says what that is, the stricter reading holds, and the verdict says that it hangs on the purpose: what
    is not told never takes a stop away.
    """
    if entry.annex == "IV":
        use = [True if colour_index(c.name) else serves(c, "colour") for c in members]
        return said if any(use) else _hanging(said, "colour") if None in use else []
    if entry.annex == "VI":
        use = [serves(c, "UV filter") for c in members]
        if any(use):
            return said
        if None in use:
            return _hanging(said, "UV filter")
        if not all(_is_one_of(NOT_ONLY_FILTERS, c.name) for c in members):
            return said  # what is made for nothing else filters, whatever it is called
        return [] if all(_is_one_of(PIGMENTS, c.name) for c in members) else [_softened(v, "UV filter") for v in said]
    preservative = [serves(c, "preservative") for c in members]
    if entry.annex == "V" and any(_is_twin(whole.entries[p], entry) for p in by_entry):
        if any(preservative):
            return said
        return _hanging(said, "purpose") if None in preservative else []
    if entry.annex == "III" and any(c.kind == "other_purpose" for c in entry.conditions):
        if all(preservative):
            return [v for v in said if v.code == DECLARE]
        return said if False in preservative else _hanging(said, "purpose")
    return said


def _hanging(said: list[Verdict], purpose: str) -> list[Verdict]:
    """The verdicts with what they hang on: a purpose that nobody has told."""
    return [replace(v, about=v.about or purpose) for v in said if v.is_stop or v.is_look or v.code == DECLARE]


def _is_twin(other: Entry, entry: Entry) -> bool:
    return other.annex == "III" and any(
        c.kind == "other_purpose" and c.value == f"V {entry.number}" for c in other.conditions
    )


def _is_one_of(names: tuple[str, ...], name: str) -> bool:
    return substance(name).key.removesuffix("nano") in {substance(n).key for n in names}


def _softened(verdict: Verdict, about: str) -> Verdict:
    return replace(verdict, code=UNKNOWN_CONDITION, about=about) if verdict.is_stop else verdict


def _not_on_a_list(content: Content, whole: Law, by_entry: dict[int, list[Content]]) -> list[Verdict]:
    """A colour that Annex IV does not list, a UV filter that Annex VI does not list (Article 14(1) points (c) and
    (e) of the Regulation).
    """
    annexes = {whole.entries[p].annex for p, members in by_entry.items() if content in members}
    number = colour_index(content.name)
    result = []
    for annex, purpose, code in (
        ("IV", "colour", USE_NOT_LISTED if number else UNKNOWN_CONDITION),
        ("VI", "UV filter", USE_NOT_LISTED),
    ):
        used = serves(content, purpose) or (annex == "IV" and bool(number))
        if used and annex not in annexes and not carrier(content.name) and not _holds_listed(content.name, annex):
            result.append(
                Verdict(
                    code,
                    annex,
                    "",
                    content.name,
                    (content.name,),
                    low=content.low,
                    high=content.high,
                    about=purpose,
                    quote=f"{purpose}s listed in Annex {annex} only",
                    source=f"Regulation (EC) No 1223/2009, Article 14(1) and Annex {annex}",
                )
            )
    return result


def _holds_listed(name: str, annex: str) -> bool:
    """Whether a name that stands for several holds one that the annex lists, such as ``Iron Oxides``."""
    return annex == "IV" and bool({"iron", "oxides"} <= set(words(name)))


@lru_cache(maxsize=1)
def _sum_rows() -> tuple[tuple[tuple[tuple[str, str], ...], Fraction, tuple[Clause, ...], str], ...]:
    rows = reference.rows("annex_sums.csv", columns=("entries", "most", "says", "where"))
    return tuple(
        (
            tuple(tuple(e.split(" ")) for e in row["entries"].split("; ")),
            Fraction(row["most"]),
            read_clauses(row["where"]),
            row["says"],
        )  # type: ignore[misc]
        for row in rows
    )


def _sums(whole: Law, by_entry: dict[int, list[Content]], product: ProductType) -> list[Verdict]:
    """Entries whose substances count together beside each by itself."""
    result = []
    places = {(whole.entries[p].annex, whole.entries[p].number): p for p in by_entry}
    for entries, most, where, says in _sum_rows():
        there = [places[e] for e in entries if e in places]
        if len(there) < 1 or (where and not any(any_means(where, place, product) for place in product.places)):
            continue
        parts = [held(whole.entries[p], tuple(by_entry[p])) for p in there]
        if sum(len(h.contents) for h in parts) < 2:
            continue
        high = None if any(h.high is None for h in parts) else sum((h.high or Fraction(0) for h in parts), Fraction(0))
        together = Held(
            tuple(c for h in parts for c in h.contents),
            sum((h.low for h in parts), Fraction(0)),
            high,
            all(h.sure for h in parts),
            sum((h.worst for h in parts), Fraction(0)),
        )
        said = against(verdict_of(whole.entries[there[0]], together), together, most)
        result.append(replace(said, about="sum", quote=says))
    return result
