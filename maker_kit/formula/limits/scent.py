"""What certificates and ceilings say of the scents in a recipe, in words."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from maker_kit.findings import Finding, in_order, look
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.categories import FIRST_AMENDMENT
from maker_kit.formula.limits.fragrance import CategoryCeiling, fragrance_ceiling
from maker_kit.formula.limits.judging import NEAR
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.limits.older import older_certificates
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number, number_text, ordinal

MOST_IN_A_WASH_PERCENT = 5.0
"""A fragrance load in a wash is at most about this [% of the whole] (common practice, no source)."""
PRACTICE = "common practice, no source"


def judge_scent(
    recipe: Recipe,
    limits: Iterable[Limit],
    market: str = "EU",
    categories: tuple[str, ...] | None = None,
    *,
    expansion: Expansion | None = None,
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
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    tuple of Finding

    Raises
    ------
    RecipeError, QuantityError
        As `fragrance_ceiling` does.
    """
    limits, expansion = tuple(limits), expansion or expand(recipe)
    loads = {name: expansion.percent[name] for name in recipe.scents}
    findings: list[Finding] = []
    used = Fraction(0)
    for name, load in loads.items():
        thing = recipe.ingredients[name]
        ceiling = fragrance_ceiling(thing, recipe.product_type, limits, recipe, categories, expansion=expansion)
        findings += ceiling.findings
        if papers := [r for r in ceiling.rows if r.certificate]:
            findings.append(_against_paper(name, load, min(papers, key=lambda r: r.from_certificate or 0), market))
        if bare := [r for r in ceiling.rows if not r.certificate and r.from_constituents is not None]:
            findings.append(_without_paper(name, load, min(bare, key=lambda r: r.from_constituents or 0)))
        if ceiling.percent:
            used += load / exact_number(ceiling.percent)
    if len(loads) > 1 and used > 1:
        findings.append(
            look(
                "scent.shares_over",
                loads,
                f"Each scent's share of its own ceiling, added up, makes {number_text(100 * used)} %: a ceiling is for "
                "one scent alone.",
                subject=" + ".join(loads),
                level="over",
                next_step="Lower them until the shares add up to 100 % or less, or ask the supplier.",
                source=PRACTICE,
            )
        )
    total = sum(loads.values(), Fraction(0))
    if recipe.product_type.rinse_off and total > exact_number(MOST_IN_A_WASH_PERCENT):
        most = number_text(MOST_IN_A_WASH_PERCENT)
        findings.append(
            look(
                "scent.much_for_a_wash",
                loads,
                f"A fragrance load of {number_text(total, MOST_IN_A_WASH_PERCENT)} % of the whole is more than a wash "
                f"usually takes: about {most} % at most.",
                subject=", ".join(loads),
                level="over",
                next_step=f"Lower it to {most} % or less: more irritates, thins and separates.",
                found_percent=float(total),
                limit_percent=MOST_IN_A_WASH_PERCENT,
                source=PRACTICE,
            )
        )
    return in_order((*findings, *older_certificates(recipe)))


def _level(load: Fraction, most: float) -> str:
    return "over" if load > exact_number(most) else "near" if load >= NEAR * exact_number(most) else "fine"


def _against_paper(name: str, load: Fraction, row: CategoryCeiling, market: str) -> Finding:
    paper = row.certificate
    most = paper.most_percent
    level = _level(load, most)
    stand = "exactly at" if load == exact_number(most) else {"over": "over", "near": "near", "fine": "within"}[level]
    text = (
        f"{name}: {number_text(load, most)} % of the whole, {stand} the most of its certificate, "
        f"{number_text(most, load)} % in {row.category_in_words} ({ordinal(paper.amendment)} amendment; a standard of "
        f"the trade, not {market} law)."
    )
    if row.from_constituents == most:
        text += f" What is inside allows as much: {number_text(row.from_constituents)} % because of {row.constituent}."
    elif row.binds == "constituents":
        text += (
            f" What is inside binds tighter: at most {number_text(row.from_constituents)} % because of "
            f"{row.constituent}."
        )
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
        f"scent.certificate_{level}",
        (name, row.constituent) if row.constituent and row.from_constituents == row.ceiling else (name,),
        text,
        level=level,
        next_step=step,
        found_percent=float(load),
        limit_percent=most,
        source=paper.source or f"certificate of {name}, {ordinal(paper.amendment)} amendment",
    )


def _without_paper(name: str, load: Fraction, row: CategoryCeiling) -> Finding:
    most = row.from_constituents
    level = _level(load, most)
    rest = f"; without a figure on file: {', '.join(row.unknown)}" if row.unknown else ""
    text = (
        f"{name}: {number_text(load, most)} % of the whole; no certificate for {row.category_in_words} can be read. By "
        f"what is inside at most {number_text(most, load)} % (because of {row.constituent}){rest}."
    )
    if level == "fine":
        text += " Whether the whole scent keeps to the standard is unknown."
    kind = "stop" if level == "over" else "look"
    step = f"Lower {name} to at most {number_text(most)} %. " if level == "over" else ""
    return Finding(
        kind,
        f"scent.without_certificate_{level}",
        (name, row.constituent),
        text,
        level="unknown" if level == "fine" else level,
        next_step=f"{step}Ask the supplier for a certificate under the {ordinal(FIRST_AMENDMENT)} amendment or later.",
        found_percent=float(load),
        limit_percent=most,
        source="IFRA Standards on file, a standard of the trade, not law",
    )
