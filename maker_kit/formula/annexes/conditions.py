"""The conditions of an entry for one product: what bars it, what the maker has to check, with the law's words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from maker_kit.formula.annexes.entries import Condition, Entry
from maker_kit.formula.annexes.uses import PLACES, any_means, for_small_children
from maker_kit.formula.annexes.verdict import (
    AGE_BARRED,
    OVER_MOST,
    PH_OUTSIDE,
    SPRAY_BARRED,
    UNKNOWN_CONDITION,
    USE_NOT_LISTED,
    Verdict,
)
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance_key

TO_CHECK = frozenset({"nitrosamines", "quality", "sunscreen", "combination", "content", "professional", "nappy area"})


def conditions_of(
    entry: Entry, blank: Verdict, letters: set[str], product: ProductType, ph: float | None
) -> Iterator[Verdict]:
    """What the conditions of an entry say of a product.

    Parameters
    ----------
    entry : Entry
    blank : Verdict
        The entry's verdict, its code still open.
    letters : set of str
        Letters of the uses that the product is, or may be.
    product : ProductType
    ph : float or None
        The pH that was read.

    Yields
    ------
    Verdict
        ``spray_barred``, ``age_barred``, ``use_not_listed`` (a barred place), ``ph_outside``, ``over_most``, or
        ``unknown_condition`` with what it is about.
    """
    for condition in entry.conditions:
        if condition.letters and not set(condition.letters.split()) & letters:
            continue
        names = _concerned(condition, blank.names)
        if names and _concerns(condition, product):
            code, about = _code(condition, blank, product, ph)
            if code:
                yield replace(
                    blank, code=code, about=about, names=names, letter=condition.letters, quote=condition.says
                )


def _concerned(condition: Condition, names: tuple[str, ...]) -> tuple[str, ...]:
    if not condition.members:
        return names
    key = substance_key(condition.members.removeprefix("not "))
    return tuple(n for n in names if (substance_key(n) == key) != condition.members.startswith("not "))


def _concerns(condition: Condition, product: ProductType) -> bool:
    places = product.places or PLACES
    inside = not condition.where or any(any_means(condition.where, place, product) for place in places)
    return inside and not (condition.unless and all(any_means(condition.unless, place, product) for place in places))


def _code(condition: Condition, blank: Verdict, product: ProductType, ph: float | None) -> tuple[str, str]:
    kind = condition.kind
    if kind == "spray_barred":
        return (SPRAY_BARRED, "spray") if product.spray else ("", "")
    if kind == "age_barred":
        if for_small_children(product):
            return AGE_BARRED, "age"
        return ("", "") if product.for_whom else (UNKNOWN_CONDITION, "age")
    if kind == "place_barred":
        return USE_NOT_LISTED, "place"
    if kind == "over_here":
        return (OVER_MOST, "place") if blank.high is None or float(blank.high) > float(condition.value) else ("", "")
    if kind.startswith("ph_"):
        if ph is None:
            return UNKNOWN_CONDITION, "pH"
        edge = float(condition.value)
        holds = {"ph_least": ph >= edge, "ph_most": ph <= edge, "ph_below": ph < edge, "ph_above": ph > edge}[kind]
        return ("", "") if holds else (PH_OUTSIDE, "pH")
    return (UNKNOWN_CONDITION, kind) if kind in TO_CHECK else ("", "")
