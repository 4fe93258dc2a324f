"""What the trade knows to clash: pairs of families, a preservative at the pH that was read, a scent that nothing carries, a thick product in a foamer."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache

import pandas as pd

from maker_kit import reference
from maker_kit.findings import Finding, in_order
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.inside.undisclosed import is_essential_oil
from maker_kit.formula.limits.fragrance import scents_of
from maker_kit.formula.preservation.agents import figures
from maker_kit.formula.preservation.undissociated import check_ph, undissociated_fraction
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import exact_number

TABLE, FAMILIES = "clashes.csv", "clash_families.csv"
CARRIERS = ("surfactant", "emulsifier", "solubiliser", "solubilizer")
"""Functions, in the maker's own words, that carry a scent in water."""


@dataclass(frozen=True)
class Members:
    """What a recipe holds of one family.

    Attributes
    ----------
    family : str
    substances : tuple of str
        INCI names found, or the ingredient's name where the maker's own word for what it does decides.
    ingredients : tuple of str
        What brings them.
    """

    family: str
    substances: tuple[str, ...]
    ingredients: tuple[str, ...]

    def in_words(self) -> str:
        """The members for a maker: ``Sodium Chloride (in Betaine 30 % solution)``."""
        where = ", ".join(self.ingredients)
        names = ", ".join(self.substances)
        return names if name_key(names) == name_key(where) else f"{names} (in {where})"


def clashes(recipe: Recipe, container_kind: str = "") -> tuple[Finding, ...]:
    """The known clashes in a recipe, each with its kind and source; nothing found is no promise that nothing clashes.

    Families are told by INCI names (``clash_families.csv``, from memory; ``sulphate`` is read as ``sulfate``), read inside bought mixtures whatever their amount; what a supplier does not name
    cannot be found. The pH is only ever the one that was read; the awake share of an acid is that of `undissociated_fraction`. An essential oil counts as a scent whatever its function.

    Parameters
    ----------
    recipe : Recipe
    container_kind : str, optional
        ``foamer``, ``jar`` and so on; read from the container's name unless given.

    Returns
    -------
    tuple of Finding
        Of topic ``clash``, kind ``look``.

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible, or a percentage or the pH is no number in range.
    """
    if recipe.ph_read is not None:
        check_ph(recipe.ph_read, "a pH reading")
    expansion = expand(recipe)
    kind = name_key(container_kind or recipe.container)
    found = [_judge(row, recipe, expansion, kind) for row in reference.rows(TABLE)]
    return in_order(f for f in found if f is not None)


def clash_table() -> pd.DataFrame:
    """Every clash on file: what, the kind of finding, what to do, source, how checked."""
    rows = reference.rows(TABLE)
    return pd.DataFrame(
        [(r["subject"], r["kind"], r["next_step"], r["source"], r["checked"]) for r in rows],
        columns=["clash", "kind", "next step", "source", "checked"],
    )


def family_members(recipe: Recipe, family: str, expansion: Expansion | None = None) -> Members:
    """What a recipe holds of one family of INCI names.

    Parameters
    ----------
    recipe : Recipe
    family : str
        ``anionic``, ``cationic``, ``acrylic gel former``, ``salt``, ``acid preservative``, ``solubiliser`` or ``thickener``.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    Members
    """
    expansion = expansion or expand(recipe)
    rows = [r for r in expansion.rows if _belongs(r.substance, family, r.known_high, unknown=r.unknown)]
    return Members(family, tuple(r.substance for r in rows), tuple(dict.fromkeys(n for r in rows for n in r.lines)))


@cache
def _patterns(family: str) -> tuple[tuple[str, float | None], ...]:
    return tuple(
        (name_key(r["inci_like"]), float(r["least_percent"]) if r["least_percent"] else None)
        for r in reference.rows(FAMILIES)
        if r["family"] == family
    )


def _belongs(substance: str, family: str, most: object, *, unknown: bool) -> bool:
    name = name_key(substance).replace("sulph", "sulf").replace("aluminium", "aluminum")
    return any(
        fnmatchcase(name, like) and (least is None or unknown or most >= exact_number(least))
        for like, least in _patterns(family)
    )


def _by_function(recipe: Recipe, expansion: Expansion, words: Iterable[str]) -> tuple[str, ...]:
    wanted = set(words)
    return tuple(
        n for n, percent in expansion.percent.items() if percent and name_key(recipe.ingredients[n].function) in wanted
    )


def _judge(row: reference.Row, recipe: Recipe, expansion: Expansion, container: str) -> Finding | None:
    rule = row["rule"]
    if rule == "pair":
        one, other = (family_members(recipe, row[side], expansion) for side in ("one", "other"))
        lone = set(one.substances) - set(other.substances), set(other.substances) - set(one.substances)
        return _finding(row, one=one.in_words(), other=other.in_words()) if all(lone) else None
    if rule == "ph":
        found = family_members(recipe, row["one"], expansion)
        if not found.substances:
            return None
        if recipe.ph_read is None:
            text = f"{found.in_words()}: such a preservative works as an acid, up to about pH {row['above_ph']}; no pH was read, so whether it works here is unknown."
            return Finding(
                row["kind"],
                "clash.unknown",
                (row["subject"],),
                text,
                level="unknown",
                next_step="Read the pH of the finished batch and write it down; nothing computes it.",
                source=_source(row),
            )
        above = exact_number(recipe.ph_read) > exact_number(float(row["above_ph"]))
        return (
            _finding(
                row,
                one=found.in_words(),
                ph=f"{recipe.ph_read:g}",
                limit=row["above_ph"],
                awake=_awake(found, recipe.ph_read),
            )
            if above
            else None
        )
    if rule == "without":
        oils = (
            n for n in expansion.percent if any(is_essential_oil(p.substance) for p in expansion.inside[n].values())
        )
        scents = [n for n in dict.fromkeys((*scents_of(recipe), *oils)) if expansion.percent[n]]
        carried = family_members(recipe, row["other"], expansion).substances or _by_function(
            recipe, expansion, CARRIERS
        )
        return _finding(row, one=", ".join(scents)) if scents and recipe.holds_water and not carried else None
    thick = _by_function(recipe, expansion, ("thickener",)) or family_members(recipe, row["one"], expansion).ingredients
    if expansion.percent.get(recipe.thickener):
        thick = tuple(dict.fromkeys((recipe.thickener, *thick)))
    return _finding(row, one=", ".join(thick)) if thick and "foamer" in container else None


def _awake(found: Members, ph: float) -> str:
    """The share of each acid that is awake at a pH, in words; see `undissociated_fraction`."""
    inci = {name_key(name) for name in found.substances}
    acids = dict.fromkeys(
        r["acid"] for r in reference.rows("preservatives.csv") if name_key(r["inci"]) in inci and r["acid"]
    )
    shares = {acid: 100 * undissociated_fraction(ph, pka) for acid in acids if (pka := figures(acid).pka) is not None}
    words = [
        f"{f'{share:.1f}' if share >= 0.1 else 'less than 0.1'} % of the {acid[:1].lower()}{acid[1:]}"
        for acid, share in shares.items()
    ]
    return f"{' and '.join(words) or 'an unknown share of it'} {'are' if len(words) > 1 else 'is'}"


def _source(row: reference.Row) -> str:
    return row["source"] if row["checked"] in row["source"] else f"{row['source']} ({row['checked']})"


def _finding(row: reference.Row, **words: str) -> Finding:
    return Finding(
        row["kind"],
        "clash.note",
        (row["subject"],),
        row["text"].format(**words),
        next_step=row["next_step"],
        source=_source(row),
    )
