"""How much of a scent a product may hold: from what is inside it, from its certificate, and which of the two binds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from maker_kit.findings import Finding, look
from maker_kit.formula.inside.composition import Expansion, expand, open_ingredient
from maker_kit.formula.kinds import SCENT_NAMES
from maker_kit.formula.limits.categories import (
    FIRST_AMENDMENT,
    Categories,
    categories_of,
    certificate_for,
    refused_certificates,
)
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.limits.most_line import most_of
from maker_kit.formula.recipe import Certificate, Ingredient, ProductType, Recipe
from maker_kit.formula.substances.naming import part_key
from maker_kit.numbers import THOUSANDTH, exact_number, number_text, ordinal, round_down


@dataclass(frozen=True)
class CategoryCeiling:
    """The most of one scent in one category.

    Attributes
    ----------
    category : str
    from_constituents : float or None
        Most of the whole scent by the figures on file for what is inside [% of the product], rounded down to 0.001;
        None where no figure binds.
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


def fragrance_ceiling(
    scent: Ingredient,
    product_type: ProductType,
    limits: Iterable[Limit],
    recipe: Recipe | None = None,
    categories: tuple[str, ...] | None = None,
    *,
    expansion: Expansion | None = None,
) -> FragranceCeiling:
    """The most of a whole scent that a product may hold, for each category of the IFRA Standards it falls in.

    From what is inside: the least of ``limit / high share`` over the substances with a figure, less what the recipe's
    other lines bring. From the certificate: its figure, if it was made under the 49th Amendment or later. Both in
    percent by mass of the product.

    Parameters
    ----------
    scent : Ingredient
    product_type : ProductType
    limits : iterable of Limit
    recipe : Recipe, optional
        Whose other lines count too.
    categories : tuple of str, optional
        Categories instead of those of the product type.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

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
    called = recipe.title if recipe else ""
    seen = Categories(categories) if categories is not None else categories_of(product_type, called=called)
    known = {**(recipe.ingredients if recipe else {}), scent.name: scent}
    parts = {k: p for k, p in open_ingredient(scent, known).items() if k not in SCENT_NAMES}
    expansion = expansion or (expand(recipe) if recipe else Expansion((), {}, {}))
    others = expansion.others(scent.name)
    standards = [
        (x, held)
        for x in limits
        if (x.category or x.by_law) and (held := [k for n, _ in x.counts if (k := part_key(n)) in parts])
    ]
    rows = []
    for category in seen.found:
        best: tuple[float, str] | None = None
        settled: set[str] = set()
        for limit, held in standards:
            if limit.category and limit.category not in {category, "all"}:
                continue
            told = limit.most_percent is not None and not any(parts[k].unknown for k in held)
            settled |= set(held) if limit.unrestricted or told else set()
            if limit.most_percent is not None:
                most = most_of(parts, limit, exact_number(limit.most_percent), others, THOUSANDTH)
                if most is not None and (best is None or most < best[0]):
                    best = most, parts[held[0]].substance
        paper = certificate_for(scent, category)
        ends = [(best[0], "constituents")] if best else []
        ends += [(round_down(exact_number(paper.most_percent), THOUSANDTH), "certificate")] if paper else []
        rows.append(
            CategoryCeiling(
                category,
                *(best or (None, "")),
                tuple(p.substance for k, p in parts.items() if k not in settled),
                paper,
                *min(ends, default=(None, ""), key=lambda end: end[0]),
                category in seen.from_memory,
            )
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
            f"under the {ordinal(paper.amendment)} amendment, whose classes are not today's categories"
            if paper.amendment < FIRST_AMENDMENT
            else "for a category that today's standards do not know"
        )
        yield Finding(
            "know" if rows and all(r.certificate for r in rows) else "look",
            "scent.paper_refused",
            (scent.name, paper.category),
            f'The paper of {scent.name} that says {number_text(paper.most_percent)} % for "{paper.category}" was made '
            f"{why}: it is not read here.",
            next_step=f"Ask the supplier for a certificate under the {ordinal(FIRST_AMENDMENT)} amendment or later.",
            subject=scent.name,
            source=paper.source or f"certificate, {ordinal(paper.amendment)} amendment",
        )


def _gaps(scent: Ingredient, rows: list[CategoryCeiling], seen: Categories) -> Iterable[Finding]:
    if seen.unknown:
        yield look(
            "scent.no_category",
            scent.name,
            f"No category of the IFRA Standards is on file for: {'; '.join(seen.unknown)}; what {scent.name} may be "
            "there is unknown.",
            level="unknown",
            next_step="Ask the scent's supplier which category holds, and for the certificate's figure.",
            source="IFRA Standards, 49th Amendment; places partly from memory",
        )
    for row in rows:
        if row.ceiling is None:
            yield look(
                "scent.no_ceiling",
                (scent.name, row.category),
                f"Most of {scent.name} in {row.category_in_words}: unknown. It has no certificate to read, and "
                "nothing inside it has a figure on file that binds.",
                level="unknown",
                next_step=f"Ask the supplier for a certificate under the {ordinal(FIRST_AMENDMENT)} amendment or "
                "later.",
                source="IFRA Standards on file",
            )
