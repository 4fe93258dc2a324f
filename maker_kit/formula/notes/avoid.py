"""The avoid-list against a recipe, read inside bought mixtures: what a person should not be given, and where it
hides.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, in_order, know, look
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.inside.undisclosed import inner, undisclosed_in
from maker_kit.formula.notes.avoid_words import (
    TABLE,
    KnownNames,
    family_of,
    holds,
    is_like,
    names_scent_allergen,
    on_file,
    words_of,
)
from maker_kit.formula.recipe import Ingredient, Recipe
from maker_kit.formula.substances.naming import published_name
from maker_kit.formula.substances.spelling import american
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import number_text

ON_FILE = "ingredients on file"


class AvoidEntry(Protocol):
    """One row of an avoid-list: who, what (an ingredient, a substance or a word for a family), and why."""

    @property
    def person(self) -> str: ...  # noqa: D102
    @property
    def avoid(self) -> str: ...  # noqa: D102
    @property
    def reason(self) -> str: ...  # noqa: D102


@dataclass(frozen=True)
class AvoidMatch:
    """One avoided thing that a recipe holds.

    Attributes
    ----------
    person, avoid : str
        As on the list.
    substance : str
        INCI name found; empty where an ingredient is named so and holds nothing else by that name.
    ingredients : tuple of str
        What brings it.
    low_percent : float
        Least [% of the whole].
    high_percent : float or None
        Most [% of the whole]; None where it is unknown.
    by : str
        How it was recognised: by its name, by the name of an ingredient, or as a member of a family, with the source.
    source : str
    """

    person: str
    avoid: str
    substance: str
    ingredients: tuple[str, ...]
    low_percent: float
    high_percent: float | None
    by: str
    source: str


@dataclass(frozen=True)
class AvoidCheck:
    """An avoid-list against a recipe.

    Attributes
    ----------
    matches : tuple of AvoidMatch
    unknown_in : tuple of str
        Ingredients of which not all is told; what is not told cannot be found.
    findings : tuple of Finding
        One for each person and thing: found, not known, or nothing found.
    """

    matches: tuple[AvoidMatch, ...]
    unknown_in: tuple[str, ...]
    findings: tuple[Finding, ...]


def check_avoided(
    recipe: Recipe,
    entries: Iterable[AvoidEntry],
    known: Mapping[str, Ingredient] | KnownNames | None = None,
    *,
    expansion: Expansion | None = None,
) -> AvoidCheck:
    """What of an avoid-list a recipe holds, inside its mixtures too.

    A name is compared word by word, whatever its capitals and plural: ``almond`` finds *Sweet almond oil*, and so the
    INCI name *Prunus Amygdalus Dulcis Oil* in every mixture; ``benzyl alcohol`` finds the preservative that contains
    it; a word of ``avoid_words.csv`` (from memory) finds all INCI names of its family.

    Parameters
    ----------
    recipe : Recipe
    entries : iterable of AvoidEntry
        Rows with ``person``, ``avoid`` and ``reason``.
    known : Mapping of str to Ingredient, or KnownNames, optional
        All ingredients of the workshop, whose names teach which INCI name a word means; those of the recipe unless
        given. A recipe's own ingredients count in place of those of the same name.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    AvoidCheck

    Raises
    ------
    QuantityError
        If a row says not what is avoided.
    RecipeError
        If a composition is impossible.
    """
    expansion = expansion or expand(recipe)
    others = known if isinstance(known, KnownNames) else KnownNames(known or {})
    own = KnownNames(recipe.ingredients)
    closed = {allergen: undisclosed_in(recipe, expansion, scent_allergen=allergen) for allergen in (False, True)}
    matches: list[AvoidMatch] = []
    findings: list[Finding] = []
    for entry in entries:
        if not words_of(entry.avoid):
            raise QuantityError(
                f'"{entry.avoid}" for {entry.person}: an avoid-list names an ingredient, a substance or a family; '
                "write a word"
            )
        found = _matches(entry, recipe, expansion, {**own.taught(entry.avoid), **others.taught(entry.avoid, own)})
        matches += found
        if found:
            findings.append(_found(entry, found))
        elif own.hears(entry.avoid) or others.hears(entry.avoid, own) or on_file(entry.avoid, expansion):
            findings.append(_not_found(entry, closed[names_scent_allergen(entry.avoid)]))
        else:
            findings.append(_never_heard(entry, {**others.ingredients, **own.ingredients}))
    return AvoidCheck(tuple(matches), closed[True], in_order(findings))


def _matches(entry: AvoidEntry, recipe: Recipe, expansion: Expansion, taught: Mapping[str, str]) -> list[AvoidMatch]:
    wanted, family = words_of(entry.avoid), family_of(entry.avoid)
    entered = (entry.person, entry.avoid)
    found: list[AvoidMatch] = []
    for row in expansion.rows:
        inci = name_key(row.substance)
        member = (source for like, source in family if is_like(american(inci), like))
        if holds(row.substance, wanted) or any(
            holds(n, wanted) for n in _written(row.substance, row.lines, recipe.ingredients)
        ):
            by, source = "by its name", "INCI names on file"
        elif inci in taught:
            by, source = f"by the ingredient {taught[inci]}", ON_FILE
        elif (source := next(member, None)) is not None:
            by = f'as a member of the family "{entry.avoid}"'
        else:
            continue
        found.append(AvoidMatch(*entered, row.substance, row.lines, row.low_percent, row.high_percent, by, source))
    seen = {name for m in found for name in m.ingredients}
    for name, percent in expansion.percent.items():
        named = [n for n in (thing.name for thing in inner(recipe, name)) if holds(n, wanted)]
        if percent and named and name not in seen:
            by = f"by the name of {named[0]}"
            found.append(AvoidMatch(*entered, "", (name,), 0.0, float(percent), by, ON_FILE))
    return found


def _written(substance: str, lines: Iterable[str], names: Mapping[str, Ingredient]) -> Iterable[str]:
    """How the tables spell a substance in some ingredients, where that is not its published name."""
    told = (
        n for line in lines if line in names for n in (*names[line].inci, *(s.substance for s in names[line].inside))
    )
    return (n for n in told if published_name(n) == substance)


def _person(entry: AvoidEntry) -> str:
    return f"{entry.person[:1].upper()}{entry.person[1:]}"


def _told(entry: AvoidEntry) -> str:
    why = f" ({entry.reason})" if entry.reason else ""
    return f"{_person(entry)} avoids {entry.avoid}{why}"


def _found(entry: AvoidEntry, found: list[AvoidMatch]) -> Finding:
    told = "; ".join(
        f"{m.substance or ', '.join(m.ingredients)}{_amount(m)}, in {', '.join(m.ingredients)}, {m.by}" for m in found
    )
    return look(
        "avoid.found",
        (entry.avoid, entry.person, *dict.fromkeys(n for m in found for n in (m.substance, *m.ingredients) if n)),
        f"{_told(entry)}, and this holds {told}.",
        subject=_subject(entry),
        next_step=f"Do not give it to {entry.person}, or take another ingredient.",
        sources=tuple(m.source for m in found),
    )


def _not_found(entry: AvoidEntry, closed: tuple[str, ...]) -> Finding:
    about = (entry.avoid, entry.person, *closed)
    if closed:
        names = ", ".join(closed)
        return look(
            "avoid.undisclosed",
            about,
            f"{_told(entry)}. Nothing by such a name is on file here, but not all that is in {names} is told, so "
            "whether this holds it is unknown.",
            subject=_subject(entry),
            level="unknown",
            next_step=f"Ask the supplier of {names}.",
            source="what is inside, on file",
            brief=f"{_told(entry)}.",
        )
    return know(
        "avoid.not_found",
        about,
        f"{_told(entry)}. Nothing by such a name was found in what is on file; traces and other names are not looked "
        "for.",
        subject=_subject(entry),
        next_step="Show the ingredient list to the person before giving it.",
        source="what is inside, on file",
        brief=f"{_told(entry)}.",
    )


def _subject(entry: AvoidEntry) -> str:
    return f"{entry.person}: {entry.avoid}"


def _never_heard(entry: AvoidEntry, names: Mapping[str, Ingredient]) -> Finding:
    words = [*dict.fromkeys(r["word"] for r in reference.rows(TABLE)), *names]
    return look(
        "avoid.word_unknown",
        (entry.avoid, entry.person),
        f'{_person(entry)} avoids "{entry.avoid}", a word that no table on file knows, so whether this holds it '
        "is unknown.",
        subject=_subject(entry),
        level="unknown",
        next_step=f"Look at the spelling, or write the INCI name: {near_miss(entry.avoid, words)}",
        source="ingredients and families on file",
    )


def _amount(match: AvoidMatch) -> str:
    return (
        " (amount unknown)"
        if match.high_percent is None
        else f" (up to {number_text(match.high_percent)} % of the whole)"
    )
