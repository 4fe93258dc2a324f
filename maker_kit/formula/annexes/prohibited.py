"""Annex II: whether a substance is prohibited, outright or under a condition that has to be found out."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from maker_kit.formula.annexes.entries import Prohibition
from maker_kit.formula.annexes.law import Law
from maker_kit.formula.annexes.listed import covered
from maker_kit.formula.annexes.purpose import serves
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.annexes.verdict import PROHIBITED, UNKNOWN_CONDITION, Content, Verdict
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.cas import cas_number
from maker_kit.formula.substances.naming import substance
from maker_kit.formula.substances.spelling import fold, words

SAFROLE_MOST = Fraction(1, 100)
"""Safrole from natural essences in the finished product [%]: 100 ppm, Annex II, entry 360."""

_SALT = re.compile(
    r"(?i)\s+(?:di)?(?:hydrochloride|hcl|hydrobromide|hbr|sul[fp]h?ate|nitrate|acetate|phosphate|citrate|tartrate|"
    r"maleate|fumarate|mesylate|bromide|chloride|iodide|valerate|propionate|butyrate|furoate|acetonide|succinate|"
    r"palmitate|caproate|pivalate|sodium|potassium)$"
)
"""Words with which the names of salts and esters end."""


def prohibitions_of(content: Content, law: Law, product: ProductType) -> tuple[Verdict, ...]:
    """What Annex II says of one substance.

    Parameters
    ----------
    content : Content
    law : Law
    product : ProductType

    Returns
    -------
    tuple of Verdict
        ``prohibited``, or ``unknown_condition`` with the law's words where the ban hangs on something a recipe does
        not tell. Empty for what no entry names.
    """
    found: dict[int, bool] = {}
    for place, linked in _matches(content.name, law):
        found[place] = found.get(place, True) and linked
    verdicts = []
    for place, linked in sorted(found.items()):
        verdict = _verdict(law.prohibitions[place], content, law, product, linked=linked)
        if verdict is not None:
            verdicts.append(verdict)
    outright = [v for v in verdicts if v.code == PROHIBITED]
    return (outright[0],) if outright else tuple(verdicts)


def is_named(name: str, law: Law) -> bool:
    """Whether an entry of Annex II names a substance, under a condition or outright."""
    return bool(_matches(name, law))


def numbers_named(name: str, law: Law) -> frozenset[str]:
    """Numbers of the entries of Annex II that name a substance."""
    return frozenset(law.prohibitions[place].number for place, _ in _matches(name, law))


def _matches(name: str, law: Law) -> list[tuple[int, bool]]:
    """Places in the prohibitions, each with whether only a linked name leads there."""
    meant = substance(name)
    keys = {meant.key, fold(name)}
    found = [(place, False) for key in keys for place in law.banned.get(key, ())]
    found += [(place, True) for key in keys for place in law.banned_linked.get(key, ())]
    number = cas_number(name)
    if number and not meant.faulty_cas:
        found += [(place, False) for place in law.banned_cas.get(number, ())]
    found += [(place, False) for family in meant.families for place in law.banned_salts.get(family, ())]
    if not found and not meant.known:
        found += _salts(name, law)
    said = words(meant.name)
    for start in {"".join(said[:2]), "".join(said[:1])}:
        found += [(place, False) for place in law.banned_starts.get(start, ())]
    colour = any(law.entries[place].annex == "IV" for place in law.by_key.get(meant.key, ()))
    for position, word in enumerate(() if colour else said):
        for annex, number, where, unless in law.words.get(word, ()):
            if annex == "II" and meant.key not in unless and (where != "first" or position == 0):
                found += [
                    (place, False)
                    for place, entry in enumerate(law.prohibitions)
                    if entry.number == number and entry.conditional != "moved"
                ]
    return found


def _salts(name: str, law: Law) -> list[tuple[int, bool]]:
    """Places of what an unknown name is a salt or an ester of (``Betamethasone Valerate``, ``Diclofenac Sodium``):
    outright where the entry names its salts or compounds, else as a linked name.
    """
    base = _SALT.sub("", name.strip())
    if base == name.strip():
        return []
    key = substance(base).key
    salts = law.banned_salts.get(key, ())
    return [(place, False) for place in salts] or [(place, True) for place in law.banned.get(key, ())]


def _verdict(entry: Prohibition, content: Content, law: Law, product: ProductType, *, linked: bool) -> Verdict | None:
    banned = Verdict(
        PROHIBITED,
        "II",
        entry.number,
        entry.name,
        (content.name,),
        low=content.low,
        high=content.high,
        most=Fraction(0),
        quote=entry.name,
        source=entry.source,
        updated=entry.updated,
    )
    unknown = replace(banned, code=UNKNOWN_CONDITION, most=None, about=entry.conditional or "linked")
    if substance(content.name).key in entry.excepted:
        return None
    if entry.conditional == "hair dye":
        return unknown if set(product.places) & {"hair", "eye area"} else None
    if entry.conditional == "fragrance":
        return banned if serves(content, "scent") and not linked else unknown
    if entry.conditional == "annex":
        return _excepted_elsewhere(entry, content, law, product, banned, unknown, linked=linked)
    if entry.conditional == "natural":
        pure = entry.number == "360" and not linked
        return replace(banned, most=SAFROLE_MOST) if pure and content.at_most > SAFROLE_MOST else unknown
    if entry.conditional == "nano":
        return banned if {"nano", "colloidal"} & set(words(content.name)) else unknown
    if linked or entry.conditional:
        return unknown
    return banned


def _excepted_elsewhere(
    entry: Prohibition,
    content: Content,
    law: Law,
    product: ProductType,
    banned: Verdict,
    unknown: Verdict,
    *,
    linked: bool,
) -> Verdict | None:
    """A ban that excepts what another annex lists: nothing more to say where that entry lists such a use, unknown
    where it may, else prohibited.
    """
    key = substance(content.name).key
    for place in law.by_key.get(key, ()):
        other = law.entries[place]
        if (other.annex, other.number) in entry.see:
            uses = [covered(other, p, product) for p in product.places or PLACES]
            if all(u.surely for u in uses):
                return None
            if all(u.surely or u.perhaps for u in uses):
                return unknown
            return banned
    return unknown if linked else banned
