"""Which substances preserve, and the published figures of those that are acids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from maker_kit import reference
from maker_kit.formula.inside.composition import Expansion
from maker_kit.formula.preservation.traces import most_inside
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, significant

ALCOHOLS = ("alcohol", "alcohol denat.", "alcohol denat", "ethanol")
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
    sources = tuple(
        f"{r['figure']}: {r['source']}" + ("" if r["checked"] in {"", r["source"]} else f" ({r['checked']})")
        for r in rows
    )
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


@cache
def _table() -> Mapping[str, reference.Row]:
    return {name_key(r["inci"]): r for r in reference.rows("preservatives.csv")}


@cache
def _factors() -> Mapping[str, float]:
    return {name_key(r["inci"]): float(r["factor"]) for r in reference.rows("counted_as.csv") if r["factor"]}


def agents_in(
    expansion: Expansion, not_from: Iterable[str], salts: Mapping[str, tuple[str, float]], meant: Iterable[str] = ()
) -> tuple[Agent, ...]:
    """The preservatives among a recipe's substances.

    Parameters
    ----------
    expansion : Expansion
    not_from : iterable of str
        Ingredients that are no preservatives whatever is inside them (scents).
    salts : Mapping of str to (str, float)
        From `salt_factors`.
    meant : iterable of str
        Ingredients that are bought to preserve.

    Returns
    -------
    tuple of Agent
        Salts of one acid together, counted as acid at their least.
    """
    scents, bought = set(not_from), set(meant)
    found: dict[tuple[str, bool], list[tuple[str, Fraction, Fraction, tuple[str, ...], tuple[str, ...]]]] = {}
    for substance in expansion.rows:
        row = _table().get(name_key(substance.substance))
        lines = tuple(n for n in substance.lines if n not in scents)
        if row is None or row["how"].startswith("no preservative") or not lines:
            continue
        name = name_key(substance.substance)
        total = sum((expansion.percent[n] * expansion.inside[n][name].low for n in lines), Fraction(0))
        most = sum(
            (expansion.percent[n] * most_inside(expansion.inside[n], name, meant=n in bought) for n in lines),
            Fraction(0),
        )
        factor = salts[name][1] if name in salts else _factors().get(name, 1.0)
        if row["acid"] and factor != 1:
            total, most = significant(total * exact_number(factor)), most * exact_number(factor)
        found.setdefault((row["acid"] or substance.substance, bool(row["acid"])), []).append(
            (substance.substance, total, most, lines, tuple(n for n in substance.unknown_in if n in lines))
        )
    return tuple(
        Agent(
            name,
            acid,
            sum((t for _, t, _, _, _ in parts), Fraction(0)),
            sum((m for _, _, m, _, _ in parts), Fraction(0)),
            tuple(i for i, *_ in parts),
            tuple(dict.fromkeys(n for *_, lines, _ in parts for n in lines)),
            tuple(dict.fromkeys(n for *_, u in parts for n in u)),
        )
        for (name, acid), parts in found.items()
    )


def is_preservative(inci: str) -> bool:
    """Whether a table on file knows an INCI name as a preservative."""
    row = _table().get(name_key(inci))
    return row is not None and not row["how"].startswith("no preservative")


def helpers_in(expansion: Expansion, ingredients: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """What in some ingredients is known *not* to preserve though it may be taken for it: (INCI name, what it is instead)."""
    chosen = set(ingredients)
    rows = [(r.substance, _table().get(name_key(r.substance))) for r in expansion.rows if chosen & set(r.lines)]
    return tuple(
        (name, row["how"].partition(": ")[2])
        for name, row in rows
        if row is not None and row["how"].startswith("no preservative")
    )


def low_risk(recipe: Recipe, expansion: Expansion) -> str:
    """Why a product with water may be of low risk by ISO 29621 (alcohol, pH read), in words; empty where nothing says so."""
    alcohol = sum((row.low for name in ALCOHOLS if (row := expansion.find(name))), Fraction(0))
    if alcohol > LOW_RISK_ALCOHOL_PERCENT:
        return f"it holds {float(alcohol):.3g} % alcohol, more than {LOW_RISK_ALCOHOL_PERCENT} %"
    if recipe.ph_read is not None and not LOW_RISK_PH[0] <= recipe.ph_read <= LOW_RISK_PH[1]:
        return f"the pH read, {recipe.ph_read:g}, is {'below 3' if recipe.ph_read < LOW_RISK_PH[0] else 'above 10'}"
    return ""
