"""How much of a scent a product may hold: from what is inside it, from its certificate, and which of the two binds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

import pandas as pd

from maker_kit.findings import Finding, in_order, look
from maker_kit.formula.inside.composition import SCENT_NAMES, expand, open_ingredient
from maker_kit.formula.limits.categories import (
    FIRST_AMENDMENT,
    Categories,
    categories_of,
    certificate_for,
    refused_certificates,
)
from maker_kit.formula.limits.judging import NEAR, most_of
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.recipe import Certificate, Ingredient, ProductType, Recipe
from maker_kit.names import name_key
from maker_kit.numbers import THOUSANDTH, exact_number, number_text, round_down

MOST_IN_A_WASH_PERCENT = 5.0
"""A fragrance load in a wash is at most about this [% of the whole] (common practice, no source)."""
PRACTICE = "common practice, no source"
SCENT_FUNCTIONS = ("scent", "fragrance", "perfume", "essential oil")


@dataclass(frozen=True)
class CategoryCeiling:
    """The most of one scent in one category.

    Attributes
    ----------
    category : str
    from_constituents : float or None
        Most of the whole scent by the figures on file for what is inside [% of the product], rounded down to 0.001; None where no figure binds.
    constituent : str
        The substance that binds it.
    unknown : tuple of str
        What is inside without a figure for this category, or in an amount nobody has told.
    certificate : Certificate or None
        The one that may be read with today's categories.
    ceiling : float or None
        The lower of the two [%]; None where neither is known.
    binds : {'', 'constituents', 'certificate'}
    from_memory : bool
        That the category is that of the place is from memory.
    """

    category: str
    from_constituents: float | None
    constituent: str
    unknown: tuple[str, ...]
    certificate: Certificate | None
    ceiling: float | None
    binds: str
    from_memory: bool = False

    @property
    def category_in_words(self) -> str:
        """The category, with "from memory" where its place was matched so."""
        return f"category {self.category}" + (
            " (that it is the category of this place is from memory)" if self.from_memory else ""
        )

    @property
    def from_certificate(self) -> float | None:
        """Most of the whole scent by its certificate [%]; None where there is none to read."""
        return self.certificate.most_percent if self.certificate else None


@dataclass(frozen=True)
class FragranceCeiling:
    """The most of one scent in a product, by category.

    Attributes
    ----------
    scent : str
    rows : tuple of CategoryCeiling
    unknown : tuple of str
        Places or uses without a category on file.
    refused : tuple of Certificate
        Certificates that may not be read with today's categories.
    findings : tuple of Finding
        What is refused or unknown, in words.
    """

    scent: str
    rows: tuple[CategoryCeiling, ...]
    unknown: tuple[str, ...]
    refused: tuple[Certificate, ...]
    findings: tuple[Finding, ...]

    @property
    def percent(self) -> float | None:
        """The strictest ceiling of all categories [% of the whole]; None where one of them is unknown."""
        if not self.rows or self.unknown or any(r.ceiling is None for r in self.rows):
            return None
        return min(r.ceiling for r in self.rows if r.ceiling is not None)

    def row(self, category: str) -> CategoryCeiling:
        """The row of a category (KeyError where the product is not in it)."""
        return {r.category: r for r in self.rows}[category]

    def to_frame(self) -> pd.DataFrame:
        """Category, most from what is inside and its substance, most by certificate and amendment, the lower of the two, what binds, what is unknown."""
        table = [
            (
                r.category,
                r.from_constituents,
                r.constituent,
                r.from_certificate,
                r.certificate.amendment if r.certificate else None,
                r.ceiling,
                r.binds,
                ", ".join(r.unknown),
            )
            for r in self.rows
        ]
        frame = pd.DataFrame(
            table,
            columns=[
                "category",
                "from what's inside %",
                "substance",
                "certificate %",
                "amendment",
                "most %",
                "binds",
                "unknown",
            ],
        )
        return frame.astype(
            {"from what's inside %": "Float64", "certificate %": "Float64", "amendment": "Int64", "most %": "Float64"}
        )


def fragrance_ceiling(
    scent: Ingredient,
    product_type: ProductType,
    limits: Iterable[Limit],
    recipe: Recipe | None = None,
    categories: tuple[str, ...] | None = None,
) -> FragranceCeiling:
    """The most of a whole scent that a product may hold, for each category of the IFRA Standards it falls in.

    From what is inside: the least of ``limit / high share`` over the substances with a figure, less what the recipe's other lines bring. From the certificate: its figure,
    if it was made under the 49th Amendment or later. Both in percent by mass of the product.

    Parameters
    ----------
    scent : Ingredient
    product_type : ProductType
    limits : iterable of Limit
    recipe : Recipe, optional
        Whose other lines count too.
    categories : tuple of str, optional
        Categories instead of those of the product type.

    Returns
    -------
    FragranceCeiling

    Raises
    ------
    RecipeError
        If what is inside is impossible.
    QuantityError
        If a percentage is no number from 0 to 100.
    """
    seen = Categories(categories) if categories is not None else categories_of(product_type)
    known = {**(recipe.ingredients if recipe else {}), scent.name: scent}
    parts = {k: p for k, p in open_ingredient(scent, known).items() if k not in SCENT_NAMES}
    rest = (
        expand(replace(recipe, lines=tuple(x for x in recipe.lines if x.ingredient != scent.name))).by_name
        if recipe
        else {}
    )
    standards = [x for x in limits if x.category]

    def others(name: str) -> Fraction:
        return rest[name_key(name)].known_high if name_key(name) in rest else Fraction(0)

    rows = []
    for category in seen.found:
        best: float | None = None
        constituent = ""
        settled: set[str] = set()
        for limit in standards:
            inside = [n for n, _ in limit.counts if name_key(n) in parts]
            if limit.category not in {category, "all"} or not inside:
                continue
            if limit.unrestricted or (
                limit.most_percent is not None and not any(parts[name_key(n)].unknown for n in inside)
            ):
                settled |= {name_key(n) for n in inside}
            if limit.most_percent is not None:
                most = most_of(parts, limit, exact_number(limit.most_percent), others, THOUSANDTH)
                if most is not None and (best is None or most < best):
                    best, constituent = most, parts[name_key(inside[0])].substance
        unknown = tuple(p.substance for k, p in parts.items() if k not in settled)
        paper = certificate_for(scent, category)
        both = [
            (v, b)
            for v, b in (
                (best, "constituents"),
                (round_down(exact_number(paper.most_percent), THOUSANDTH) if paper else None, "certificate"),
            )
            if v is not None
        ]
        ceiling, binds = min(both, default=(None, ""), key=lambda x: x[0])
        rows.append(
            CategoryCeiling(category, best, constituent, unknown, paper, ceiling, binds, category in seen.from_memory)
        )
    refused = refused_certificates(scent)
    return FragranceCeiling(
        scent.name,
        tuple(rows),
        seen.unknown,
        refused,
        tuple(_refusals(scent, refused, rows)) + tuple(_gaps(scent, rows, seen)),
    )


def _refusals(scent: Ingredient, refused: Iterable[Certificate], rows: list[CategoryCeiling]) -> Iterable[Finding]:
    for paper in refused:
        why = (
            f"under the {paper.amendment}th amendment, whose classes are not today's categories"
            if paper.amendment < FIRST_AMENDMENT
            else "for a category that today's standards do not know"
        )
        yield Finding(
            "know" if rows and all(r.certificate for r in rows) else "look",
            "scent.note",
            (scent.name,),
            f'The paper of {scent.name} that says {number_text(paper.most_percent)} % for "{paper.category}" was made {why}: it is not read here.',
            next_step=f"Ask the supplier for a certificate under the {FIRST_AMENDMENT}th amendment or later.",
            source=paper.source or f"certificate, {paper.amendment}th amendment",
        )


def _gaps(scent: Ingredient, rows: list[CategoryCeiling], seen: Categories) -> Iterable[Finding]:
    if seen.unknown:
        yield look(
            "scent.unknown",
            scent.name,
            f"No category of the IFRA Standards is on file for: {'; '.join(seen.unknown)}; what {scent.name} may be there is unknown.",
            level="unknown",
            next_step="Ask the scent's supplier which category holds, and for the certificate's figure.",
            source="ifra_places.csv",
        )
    for row in rows:
        if row.ceiling is None:
            yield look(
                "scent.unknown",
                scent.name,
                f"Most of {scent.name} in {row.category_in_words}: unknown. It has no certificate to read, and nothing inside it has a figure on file that binds.",
                level="unknown",
                next_step=f"Ask the supplier for a certificate under the {FIRST_AMENDMENT}th amendment or later.",
                source="IFRA Standards on file",
            )


def scents_of(recipe: Recipe) -> tuple[str, ...]:
    """The ingredients of a recipe that are scents: by the recipe's own word, by function, by certificates or by ``Parfum`` among their INCI names."""
    used = dict.fromkeys(x.ingredient for x in recipe.lines if x.percent > 0)
    return tuple(n for n in used if n == recipe.scent or is_scent(recipe.ingredients[n]))


def is_scent(ingredient: Ingredient) -> bool:
    """Whether an ingredient is a scent by its function, its certificates or ``Parfum`` among its INCI names."""
    return (
        bool(ingredient.certificates)
        or name_key(ingredient.function) in SCENT_FUNCTIONS
        or any(name_key(n) in SCENT_NAMES for n in ingredient.inci)
    )


def judge_scent(
    recipe: Recipe, limits: Iterable[Limit], market: str = "EU", categories: tuple[str, ...] | None = None
) -> tuple[Finding, ...]:
    """What certificates and ceilings say of the scents in a recipe, the gravest first.

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit
    market : {'EU', 'US'}
        Named in the text only: the IFRA Standards are law in neither.
    categories : tuple of str, optional
        Categories instead of those of the product type.

    Returns
    -------
    tuple of Finding

    Raises
    ------
    RecipeError, QuantityError
        As `fragrance_ceiling` does.
    """
    limits = tuple(limits)
    scents = scents_of(recipe)
    findings: list[Finding] = []
    used = Fraction(0)
    for name in scents:
        ceiling = fragrance_ceiling(recipe.ingredients[name], recipe.product_type, limits, recipe, categories)
        load = expand(recipe).percent[name]
        papers = [r for r in ceiling.rows if r.certificate]
        findings += [
            *ceiling.findings,
            *(
                [_against_paper(name, load, min(papers, key=lambda r: r.from_certificate or 0), market)]
                if papers
                else []
            ),
        ]
        bare = [r for r in ceiling.rows if not r.certificate and r.from_constituents is not None]
        findings += [_without_paper(name, load, min(bare, key=lambda r: r.from_constituents or 0))] if bare else []
        if ceiling.percent:
            used += load / exact_number(ceiling.percent)
    if len(scents) > 1 and used > 1:
        findings.append(
            look(
                "scent.over",
                " + ".join(scents),
                f"Each scent's share of its own ceiling, added up, makes {number_text(100 * used)} %: a ceiling is for one scent alone.",
                level="over",
                next_step="Lower them until the shares add up to 100 % or less, or ask the supplier.",
                source=PRACTICE,
            )
        )
    total = sum((expand(recipe).percent[n] for n in scents), Fraction(0))
    if recipe.product_type.rinse_off and total > exact_number(MOST_IN_A_WASH_PERCENT):
        findings.append(
            look(
                "scent.over",
                ", ".join(scents),
                f"A fragrance load of {number_text(total, MOST_IN_A_WASH_PERCENT)} % of the whole is more than a wash usually takes: about {number_text(MOST_IN_A_WASH_PERCENT)} % at most.",
                level="over",
                next_step=f"Lower it to {number_text(MOST_IN_A_WASH_PERCENT)} % or less: more irritates, thins and separates.",
                found_percent=float(total),
                limit_percent=MOST_IN_A_WASH_PERCENT,
                source=PRACTICE,
            )
        )
    return in_order(findings)


def _level(load: Fraction, most: float) -> str:
    return "over" if load > exact_number(most) else "near" if load >= NEAR * exact_number(most) else "fine"


def _against_paper(name: str, load: Fraction, row: CategoryCeiling, market: str) -> Finding:
    paper = row.certificate
    most = paper.most_percent
    level = _level(load, most)
    stand = "exactly at" if load == exact_number(most) else {"over": "over", "near": "near", "fine": "within"}[level]
    text = f"{name}: {number_text(load, most)} % of the whole, {stand} the most of its certificate, {number_text(most, load)} % in {row.category_in_words} ({paper.amendment}th amendment; a standard of the trade, not {market} law)."
    if row.from_constituents == most:
        text += f" What is inside allows as much: {number_text(row.from_constituents)} % because of {row.constituent}."
    elif row.binds == "constituents":
        text += f" What is inside binds tighter: at most {number_text(row.from_constituents)} % because of {row.constituent}."
    elif row.from_constituents is None:
        text += " By what is inside alone the most is unknown: the certificate binds."
    else:
        text += (
            f" The certificate binds; by {row.constituent} inside it, at most {number_text(row.from_constituents)} %."
        )
    if row.unknown:
        text += f" Without a figure on file: {', '.join(row.unknown)}."
    step = {
        "over": f"Lower {name} to at most {number_text(row.ceiling)} % of the whole.",
        "near": f"At most {number_text(row.ceiling)} % stays within.",
    }.get(level, "")
    kind = {"over": "stop", "near": "look", "fine": "know"}[level]
    return Finding(
        kind,
        f"scent.{level}",
        (name,),
        text,
        level=level,
        next_step=step,
        found_percent=float(load),
        limit_percent=most,
        source=paper.source or f"certificate of {name}, {paper.amendment}th amendment",
    )


def _without_paper(name: str, load: Fraction, row: CategoryCeiling) -> Finding:
    most = row.from_constituents
    level = _level(load, most)
    rest = f"; without a figure on file: {', '.join(row.unknown)}" if row.unknown else ""
    text = f"{name}: {number_text(load, most)} % of the whole; no certificate for {row.category_in_words} can be read. By what is inside at most {number_text(most, load)} % (because of {row.constituent}){rest}."
    if level == "fine":
        text += " Whether the whole scent keeps to the standard is unknown."
    kind = "stop" if level == "over" else "look"
    step = f"Lower {name} to at most {number_text(most)} %. " if level == "over" else ""
    return Finding(
        kind,
        f"scent.{'unknown' if level == 'fine' else level}",
        (name,),
        text,
        level="unknown" if level == "fine" else level,
        next_step=f"{step}Ask the supplier for a certificate under the {FIRST_AMENDMENT}th amendment or later.",
        found_percent=float(load),
        limit_percent=most,
        source="IFRA Standards on file, a standard of the trade, not law",
    )
