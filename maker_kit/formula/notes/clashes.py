"""What the trade knows to clash: pairs of families, a preservative at the pH that was read, a scent that nothing
carries, a thick product in a foamer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.findings import Finding, in_order
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.kinds import is_essential_oil
from maker_kit.formula.preservation.agents import acids_of, figures
from maker_kit.formula.preservation.ph_reading import READ_IT
from maker_kit.formula.preservation.undissociated import check_ph, undissociated_fraction
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.spelling import american
from maker_kit.names import fits, name_key
from maker_kit.numbers import exact_number

TABLE, FAMILIES = "clashes.csv", "clash_families.csv"
CARRIERS = ("surfactant", "emulsifier", "solubiliser", "solubilizer")
"""Functions, in the maker's own words, that carry a scent in water."""


@dataclass(frozen=True)
class Members:
    """What a recipe holds of one family.

    Attributes
    ----------
    substances : tuple of str
        INCI names found.
    ingredients : tuple of str
        What brings them.
    """

    substances: tuple[str, ...]
    ingredients: tuple[str, ...]

    def in_words(self) -> str:
        """The members for a maker: ``Sodium Chloride (in Betaine 30 % solution)``."""
        where = ", ".join(self.ingredients)
        names = ", ".join(self.substances)
        return names if name_key(names) == name_key(where) else f"{names} (in {where})"


def clashes(recipe: Recipe, container_kind: str = "", *, expansion: Expansion | None = None) -> tuple[Finding, ...]:
    """The known clashes in a recipe, each with its kind and source; nothing found is no promise that nothing clashes.

    Families are told by INCI names (``clash_families.csv``, from memory; however they are spelled, `american`), read
    inside bought mixtures whatever their amount; what a supplier does not name cannot be found. The pH is only ever the
    one that was read; the undissociated share of an acid is that of `undissociated_fraction`. An essential oil counts
    as a scent whatever its function.

    Parameters
    ----------
    recipe : Recipe
    container_kind : str, optional
        ``foamer``, ``jar`` and so on; read from the container's name unless given.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    tuple of Finding
        Of topic ``clash``.

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible, or a percentage or the pH is no number in range.
    """
    if recipe.ph_read is not None:
        check_ph(recipe.ph_read, "a pH reading")
    expansion = expansion or expand(recipe)
    kind = name_key(container_kind or recipe.container)
    found = (_RULES[row["rule"]](row, recipe, expansion, kind) for row in reference.rows(TABLE))
    return in_order(f for f in found if f is not None)


def family_members(recipe: Recipe, family: str, expansion: Expansion | None = None) -> Members:
    """What a recipe holds of one family of INCI names.

    Parameters
    ----------
    recipe : Recipe
    family : str
        ``anionic``, ``cationic``, ``acrylic gel former``, ``salt``, ``acid preservative``, ``solubiliser`` or
        ``thickener``.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    Members
    """
    rows = [
        r
        for r in (expansion or expand(recipe)).rows
        if any(r.unknown or r.known_high >= least for least in _least_of(r.substance, family))
    ]
    return Members(tuple(r.substance for r in rows), tuple(dict.fromkeys(n for r in rows for n in r.lines)))


def _least_of(substance: str, family: str) -> tuple[Fraction, ...]:
    """From which amount on [% of the whole] a substance belongs to a family, by each of its patterns that fits; empty
    where it does not.
    """
    return _families_of(substance).get(family, ())


@lru_cache(maxsize=1 << 12)
def _families_of(substance: str) -> dict[str, tuple[Fraction, ...]]:
    """The families that a substance belongs to, each with its least amounts; one that it is said not to be in is left
    out.
    """
    name, found = american(name_key(substance)), defaultdict(tuple)
    for like, family, least in _patterns():
        if fits(name, like):
            found[family] += (least,)
    return {family: least for family, least in found.items() if f"not {family}" not in found}


@lru_cache(maxsize=1)
def _patterns() -> tuple[tuple[str, str, Fraction], ...]:
    """Pattern, family and least amount [% of the whole] of every row of `FAMILIES`."""
    return tuple(
        (american(name_key(r["inci_like"])), r["family"], exact_number(float(r["least_percent"] or 0)))
        for r in reference.rows(FAMILIES)
    )


def _by_function(recipe: Recipe, expansion: Expansion, words: Iterable[str]) -> tuple[str, ...]:
    wanted = set(words)
    return tuple(
        n for n, percent in expansion.percent.items() if percent and name_key(recipe.ingredients[n].function) in wanted
    )


def _pair(row: reference.Row, recipe: Recipe, expansion: Expansion, container: str) -> Finding | None:
    one, other = (family_members(recipe, row[side], expansion) for side in ("one", "other"))
    if set(one.substances) <= set(other.substances) or set(other.substances) <= set(one.substances):
        return None
    about = (*one.substances, *other.substances, *one.ingredients, *other.ingredients)
    return _finding(row, about, one=one.in_words(), other=other.in_words())


def _above_ph(row: reference.Row, recipe: Recipe, expansion: Expansion, container: str) -> Finding | None:
    found = family_members(recipe, row["one"], expansion)
    if not found.substances:
        return None
    acids = acids_of(found.substances)
    about = (*acids, *found.substances, *found.ingredients)
    if recipe.ph_read is None:
        text = (
            f"{found.in_words()}: such a preservative works as an acid, up to about pH {row['above_ph']}; no pH was "
            "read, so whether it works here is unknown."
        )
        unread = _finding(row, about)
        return replace(unread, code=f"{unread.code}_not_read", text=text, level="unknown", next_step=READ_IT)
    highest = recipe.ph_span[1]
    if exact_number(highest) <= exact_number(float(row["above_ph"])):
        return None
    shares = {
        acid: 100 * undissociated_fraction(highest, pka) for acid in acids if (pka := figures(acid).pka) is not None
    }
    words = [
        f"{f'{share:.1f}' if share >= 0.1 else 'less than 0.1'} % of the {acid[:1].lower()}{acid[1:]}"
        for acid, share in shares.items()
    ]
    told = f"{' and '.join(words) or 'an unknown share of it'} {'are' if len(words) > 1 else 'is'}"
    return _finding(row, about, one=found.in_words(), ph=f"{highest:g}", limit=row["above_ph"], share=told)


def _uncarried(row: reference.Row, recipe: Recipe, expansion: Expansion, container: str) -> Finding | None:
    oils = (n for n in expansion.percent if any(is_essential_oil(p.substance) for p in expansion.inside[n].values()))
    scents = [n for n in dict.fromkeys((*recipe.scents, *oils)) if expansion.percent[n]]
    carried = family_members(recipe, row["other"], expansion).substances or _by_function(recipe, expansion, CARRIERS)
    return _finding(row, scents, one=", ".join(scents)) if scents and recipe.holds_water and not carried else None


def _in_container(row: reference.Row, recipe: Recipe, expansion: Expansion, container: str) -> Finding | None:
    thick = _by_function(recipe, expansion, ("thickener",)) or family_members(recipe, row["one"], expansion).ingredients
    if expansion.percent.get(recipe.thickener):
        thick = tuple(dict.fromkeys((recipe.thickener, *thick)))
    return _finding(row, thick, one=", ".join(thick)) if thick and "foamer" in container else None


_RULES = {"pair": _pair, "ph": _above_ph, "without": _uncarried, "container": _in_container}


def _finding(row: reference.Row, about: Iterable[str], **words: str) -> Finding:
    return Finding(
        row["kind"],
        f"clash.{row['key'].replace(' ', '_').casefold()}",
        tuple(dict.fromkeys(about)),
        row["text"].format_map(defaultdict(str, words)),
        subject=row["subject"],
        next_step=row["next_step"],
        source=reference.source_of(row),
    )
