"""What a careful reviewer would say of a recipe beside the law: a table of hazards, each set off by what is in it,
where it goes and what was read.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache, lru_cache

from maker_kit import reference
from maker_kit.findings import Finding, in_order
from maker_kit.formula.inside.composition import Expansion, FoundSubstance, expand
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.spelling import american
from maker_kit.names import fits, name_key
from maker_kit.numbers import exact_number, number_text

TABLE, FAMILIES = "hazards.csv", "hazard_families.csv"
UNREAD = "unread"
"""In a pH column of the table: the row holds where no pH was read."""


def hazards(recipe: Recipe, inside: Expansion | None = None, container_kind: str = "") -> tuple[Finding, ...]:
    """The hazards on file that a recipe sets off, the gravest first; nothing found is no promise.

    A row of ``hazards.csv`` is set off when all that it names holds: a family of substances (counted together at the
    high end of what is inside, and set off by an amount that nobody told), a place, rinsed off or left on, for whom, a
    spray, a kind of container, a maker's word in the title, a function, no member of another family, and a pH read that
    may be below or above a figure (by the error of what it was read with). Of several rows with one code the gravest
    speaks.

    Parameters
    ----------
    recipe : Recipe
    inside : Expansion, optional
        The recipe's substances, where they are known already.
    container_kind : str, optional
        ``spray``, ``jar`` and so on; read from the container's name unless given.

    Returns
    -------
    tuple of Finding
        Each with its source; each defers to local law and a qualified person.

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible, or a percentage is no number from 0 to 100.
    """
    inside = expand(recipe) if inside is None else inside
    kind = name_key(container_kind or recipe.container)
    found: dict[str, Finding] = {}
    for row in reference.rows(TABLE):
        if _goes(row, recipe, kind):
            said = _said(row, recipe, inside)
            if said is not None:
                known = found.get(said.code)
                found[said.code] = said if known is None else in_order((known, said))[0]
    return in_order(found.values())


def family(name: str, inside: Expansion) -> tuple[FoundSubstance, ...]:
    """The substances of a recipe that belong to a family of ``hazard_families.csv`` (INCI names with ``*`` for any
    words, from memory or common practice).
    """
    return tuple(r for r in inside.rows if _belongs(r.substance, name))


@lru_cache(maxsize=100_000)
def _belongs(inci: str, name: str) -> bool:
    """Whether a substance belongs to a family."""
    return any(fits(_plain(inci), like) for like in _patterns(name))


@cache
def _patterns(name: str) -> tuple[str, ...]:
    return tuple(_plain(r["inci_like"]) for r in reference.rows(FAMILIES) if r["family"] == name)


@lru_cache(maxsize=4096)
def _plain(inci: str) -> str:
    return american(name_key(inci))


def _words(cell: str) -> tuple[str, ...]:
    return tuple(name_key(word) for word in cell.split(";") if word.strip())


def _goes(row: reference.Row, recipe: Recipe, container: str) -> bool:
    """Whether a row holds for such a product, whatever is in it."""
    product = recipe.product_type
    places, title = _words(row["places"]), name_key(recipe.title)
    read = recipe.ph_span
    return (
        (not places or any(name_key(p) in places for p in product.places))
        and (not row["use"] or (row["use"] == "rinse-off") is product.rinse_off)
        and (not row["whom"] or name_key(row["whom"]) == name_key(product.for_whom) or "baby" in product.places)
        and (not row["spray"] or (row["spray"] == "yes") is product.spray)
        and (not row["container"] or row["container"] in container)
        and (not row["title_words"] or any(f" {word}" in f" {title}" for word in _words(row["title_words"])))
        and (row["ph_below"] != UNREAD or read is None)
        and (
            row["ph_below"] in {"", UNREAD}
            or (read is not None and exact_number(read[0]) < exact_number(float(row["ph_below"])))
        )
        and (not row["ph_above"] or (read is not None and exact_number(read[1]) > exact_number(float(row["ph_above"]))))
    )


def _said(row: reference.Row, recipe: Recipe, inside: Expansion) -> Finding | None:
    """The finding of a row that holds for such a product, where what it names is there."""
    if row["without"] and any(r.known_high or r.unknown for r in family(row["without"], inside)):
        return None
    functions = _words(row["functions"])
    doing = [n for n, p in inside.percent.items() if p and name_key(recipe.ingredients[n].function) in functions]
    if functions and not doing:
        return None
    members = family(row["any_of"], inside) if row["any_of"] else ()
    least = exact_number(float(row["least_percent"] or 0))
    total = sum((r.known_high for r in members), Fraction(0))
    if row["any_of"] and not (members and (total >= least or any(r.unknown for r in members))):
        return None
    perhaps = bool(members) and total < least  # set off by an amount that nobody has told
    about = tuple(r.substance for r in members) or tuple(doing) or (row["subject"],)
    names = ", ".join(f"{r.substance} ({_amount(r)})" for r in members) or ", ".join(doing)
    text = row["text"].format(names=names, ph=recipe.ph_in_words)
    if perhaps:
        text = f"Nobody has told how much is there; where it is {number_text(least)} % or more: {text}"
    read = recipe.ph_span
    calm = perhaps and row["ph_calm"] and read is not None and read[0] >= float(row["ph_calm"])
    return Finding(
        "know" if calm else row["kind"],  # such a pH was read: an acid nobody told is hardly there at that strength
        row["code"],
        about,
        text,
        level="unknown" if perhaps else "note",
        subject=row["subject"],
        next_step=row["next_step"],
        found_percent=float(total) if members and not any(r.unknown for r in members) else None,
        source=reference.source_of(row),
    )


def _amount(substance: FoundSubstance) -> str:
    return "amount unknown" if substance.unknown else f"{number_text(substance.known_high)} %"
