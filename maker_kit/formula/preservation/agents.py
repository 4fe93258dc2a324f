"""Which substances preserve, and the published figures of those that are acids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from maker_kit import reference
from maker_kit.formula.inside.composition import Expansion
from maker_kit.formula.kinds import is_meant_as_preservative
from maker_kit.formula.limits.counting import salt_factors
from maker_kit.formula.limits.worst_end import is_meant_to_preserve, most_inside
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import part_key
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, significant

ALCOHOLS = ("alcohol", "alcohol denat.", "alcohol denat", "ethanol", "isopropyl alcohol", "propyl alcohol")
LOW_RISK_ALCOHOL_PERCENT = 20
"""Alcohol above this [% of the whole] makes a product one of low microbiological risk (ISO 29621, read)."""
LOW_RISK_PH = (3, 10)
"""A pH below the first or above the second makes a product one of low microbiological risk (ISO 29621, read)."""


@dataclass(frozen=True)
class Figures:
    """Published figures of one acid.

    Attributes
    ----------
    pka : float or None
    least_undissociated : tuple of float
        Published least un-ionised amounts that held microbes back [% of the whole].
    enough_undissociated : float or None
        Published un-ionised amount that held microbes back, where less was not tried [% of the whole].
    works_to_ph : float or None
        Highest pH that common practice trusts it to.
    sources : tuple of str
        Where they are published and how they were checked.
    """

    pka: float | None
    least_undissociated: tuple[float, ...]
    enough_undissociated: float | None
    works_to_ph: float | None
    sources: tuple[str, ...]


@cache
def figures(acid: str) -> Figures:
    """The published figures of an acid, from ``preservation_figures.csv``; all None for one that is not there.

    Parameters
    ----------
    acid : str
        Such as ``Benzoic acid``.
    """
    rows = [r for r in reference.rows("preservation_figures.csv") if name_key(r["acid"]) == name_key(acid)]

    def values(figure: str) -> list[float]:
        return [float(r["value"]) for r in rows if r["figure"] == figure]

    one = {f: next(iter(values(f)), None) for f in ("pKa", "enough un-ionised percent", "works up to pH")}
    sources = tuple(f"{r['figure']}: {reference.source_of(r)}" for r in rows)
    return Figures(
        one["pKa"],
        tuple(values("least un-ionised percent")),
        one["enough un-ionised percent"],
        one["works up to pH"],
        sources,
    )


@dataclass(frozen=True)
class Agent:
    """One preservative of a recipe: an acid with its salts, or a substance by itself.

    Attributes
    ----------
    name : str
        The acid, or the INCI name.
    acid : bool
    total : Fraction
        Least in the product, counted as acid where it is one [% of the whole].
    most : Fraction
        Most that can be in the product, what nobody has told counted by `most_inside` [% of the whole].
    inci : tuple of str
        INCI names found.
    ingredients, unknown_in : tuple of str
        What brings it; what brings it in an amount nobody has told.
    """

    name: str
    acid: bool
    total: Fraction
    most: Fraction
    inci: tuple[str, ...]
    ingredients: tuple[str, ...]
    unknown_in: tuple[str, ...]


NO_PRESERVATIVE = "none"
"""Code of ``preservatives.csv`` for what is taken for a preservative and is none; the others are ``acid``, which works
undissociated, and ``steady``, which hardly depends on the pH."""


@cache
def _table() -> Mapping[str, reference.Row]:
    return {part_key(r["inci"]): r for r in reference.rows("preservatives.csv")}


@cache
def _factors() -> Mapping[str, float]:
    counted = {part_key(r["inci"]): float(r["factor"]) for r in reference.rows("counted_as.csv") if r["factor"]}
    return counted | {part_key(salt): factor for salt, (_, factor) in salt_factors().items()}


def agents_in(recipe: Recipe, expansion: Expansion) -> tuple[Agent, ...]:
    """The preservatives among a recipe's substances; what is inside a scent preserves nothing.

    Parameters
    ----------
    recipe : Recipe
    expansion : Expansion
        Its substances.

    Returns
    -------
    tuple of Agent
        Salts of one acid together, counted as acid at their least.
    """
    bought = {n for n in expansion.percent if is_meant_to_preserve(recipe.ingredients[n])}
    found: dict[tuple[str, bool], Agent] = {}
    for row in expansion.rows:
        name = part_key(row.substance)
        lines = tuple(n for n in row.lines if n not in recipe.scents)
        if not is_preservative(name) or not lines:
            continue
        if _table()[name]["only_if_meant"] and not any(is_meant_as_preservative(recipe.ingredients[n]) for n in lines):
            continue
        inside = [(n, expansion.percent[n], expansion.inside[n]) for n in lines]
        total = sum((percent * parts[name].low for _, percent, parts in inside), Fraction(0))
        most = sum((percent * most_inside(parts, name, meant=n in bought) for n, percent, parts in inside), Fraction(0))
        acid, factor = _table()[name]["acid"], exact_number(_factors().get(name, 1.0))
        if acid and factor != 1:
            total, most = significant(total * factor), most * factor
        key = (acid or row.substance, bool(acid))
        old = found.get(key, Agent(*key, Fraction(0), Fraction(0), (), (), ()))
        found[key] = Agent(
            *key,
            old.total + total,
            old.most + most,
            (*old.inci, row.substance),
            tuple(dict.fromkeys((*old.ingredients, *lines))),
            tuple(dict.fromkeys((*old.unknown_in, *(n for n in row.unknown_in if n in lines)))),
        )
    return tuple(found.values())


def is_preservative(inci: str) -> bool:
    """Whether a table on file knows an INCI name as a preservative."""
    row = _table().get(part_key(inci))
    return row is not None and row["code"] != NO_PRESERVATIVE


def acids_of(inci: Iterable[str]) -> tuple[str, ...]:
    """The acids that some INCI names are, or are salts of, as a table on file knows them."""
    rows = (_table().get(part_key(name)) for name in inci)
    return tuple(dict.fromkeys(row["acid"] for row in rows if row and row["acid"]))


def helpers_in(expansion: Expansion, ingredients: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """What in some ingredients is known *not* to preserve though it may be taken for it: (INCI name, what it is
    instead).
    """
    chosen = set(ingredients)
    rows = [(r.substance, _table().get(part_key(r.substance))) for r in expansion.rows if chosen & set(r.lines)]
    return tuple((name, row["how"]) for name, row in rows if row is not None and row["code"] == NO_PRESERVATIVE)


def low_risk(recipe: Recipe, expansion: Expansion) -> str:
    """Why microbes hardly grow in a product with water by ISO 29621 (alcohol, pH read with all its error), in words;
    empty where nothing says so. It says nothing of skin.
    """
    rows = {row.substance: row.low for name in ALCOHOLS if (row := expansion.find(name))}  # several names find one row
    alcohol = sum(rows.values(), Fraction(0))
    if alcohol > LOW_RISK_ALCOHOL_PERCENT:
        return (
            f"microbes hardly grow in it, since it holds {float(alcohol):.3g} % alcohol, more than "
            f"{LOW_RISK_ALCOHOL_PERCENT} %"
        )
    span = recipe.ph_span
    if span is not None and (span[1] < LOW_RISK_PH[0] or span[0] > LOW_RISK_PH[1]):
        place = "below 3" if span[1] < LOW_RISK_PH[0] else "above 10"
        return f"microbes hardly grow at the pH read, {recipe.ph_read:g}, {place}, which burns skin"
    return ""
