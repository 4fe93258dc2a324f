"""What the limits say of a recipe: one finding a limit, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, in_order, look, stop
from maker_kit.formula.annexes.verdict import OVER_MOST, UNKNOWN_AMOUNT, WITHIN
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.categories import categories_of
from maker_kit.formula.limits.judging import Judgement, judgements
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.limits.most_line import most_in_line
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import HUNDREDTH, exact_number, number_text, ordinal

MARKETS = ("EU", "US")
SAID_HERE = frozenset({"", WITHIN, OVER_MOST, UNKNOWN_AMOUNT})
"""Verdicts of the law that are a figure, and what is no law; `law_findings` says the others."""


def judge_limits(
    recipe: Recipe,
    limits: Iterable[Limit],
    market: str = "EU",
    categories: tuple[str, ...] | None = None,
    *,
    expansion: Expansion | None = None,
    judged: tuple[Judgement, ...] | None = None,
) -> tuple[Finding, ...]:
    """What the limits on file say of a recipe, the gravest first.

    Every substance is judged at the unfavourable end of what is inside: the high end against a most; an ingredient's
    own level against its supplier's least and most. Near is said from 80 % of a most up to and including exactly at it.
    The supplier's range has no "near".

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit
        From `load_limits`, with the maker's own beside them.
    market : {'EU', 'US'}
        Law of another region is shown for comparison only.
    categories : tuple of str, optional
        Categories of the IFRA Standards to judge by; those of the product type unless given.
    expansion, judged : optional
        The recipe's substances, and what `judgements` says of them, where they are known already.

    Returns
    -------
    tuple of Finding

    Raises
    ------
    QuantityError
        If the market is neither, or a percentage is no number from 0 to 100.
    RecipeError
        If a composition is impossible.
    """
    if market not in MARKETS:
        msg = f'"{market}" is no market with limits on file: {near_miss(market, MARKETS)}'
        raise QuantityError(msg)
    limits = tuple(limits)
    expansion = expansion or expand(recipe)
    judged = judgements(recipe, limits, categories, expansion=expansion) if judged is None else judged
    remembered = categories_of(recipe.product_type, called=recipe.title).from_memory if categories is None else ()
    rivals = Counter(name_key(j.members[0]) for j in judged)
    findings = [
        _finding(j, expansion, market, remembered, rivals[name_key(j.members[0])])
        for j in judged
        if j.limit.by_law in SAID_HERE
    ]
    findings += _supplier(recipe, expansion)
    if market != "EU" and not any(x.kind == "law" and x.region == market for x in limits):
        findings.append(
            look(
                "limit.no_law_on_file",
                market,
                f"No limits of {market} law are on file, so whether this keeps to them is unknown; EU law and the "
                "IFRA Standards are shown for comparison.",
                subject=f"{market} limits",
                level="unknown",
                next_step=f"Ask someone who knows {market} cosmetics law before giving or selling this.",
                source="none on file",
            )
        )
    return in_order(findings)


def _what(judged: Judgement, market: str, remembered: tuple[str, ...]) -> str:
    """What kind of limit it is, in words."""
    limit = judged.limit
    kinds = {
        "law": f"{limit.region} law" if limit.region else "law",
        "standard": "the IFRA Standards" if limit.category or "IFRA" in limit.source else "a standard",
        "certificate": "a certificate",
        "supplier": "the supplier",
        "practice": "common practice",
    }
    words = kinds.get(limit.kind, limit.kind)
    if limit.category and limit.category != "all":
        words += f", category {limit.category}" + (
            " (that it is the category of this place is from memory)" if limit.category in remembered else ""
        )
    if limit.amendment and limit.kind == "standard":
        words += f", {ordinal(int(limit.amendment)) if limit.amendment.isdigit() else limit.amendment} amendment"
    if limit.kind == "standard":
        words += ", a standard of the trade, not law"
    if _foreign(limit, market):
        words += f", shown for comparison: it is not {market} law"
    if limit.checked not in {"", "read"}:
        words += f"; {limit.checked}"
    return words


def _foreign(limit: Limit, market: str) -> bool:
    return limit.kind == "law" and limit.region not in {"", market}


def _amount(judged: Judgement) -> str:
    limit, high = judged.limit, judged.known_high
    as_what = "" if limit.counted_as in {"as supplied", "as is"} else f" {limit.counted_as}"
    lines = ", ".join(judged.lines)
    if judged.unknown_in:
        told = f"{number_text(high)} % of the whole{as_what} is known, " if high else ""
        return f"{told}{', '.join(judged.unknown_in)} brings an amount that nobody has told"
    low = number_text(judged.low)
    reach = (
        f"{low} to {number_text(high, judged.most)} %" if judged.low != high else f"{number_text(high, judged.most)} %"
    )
    return f"{reach} of the whole{as_what}, from {lines}"


def _finding(judged: Judgement, expansion: Expansion, market: str, remembered: tuple[str, ...], rivals: int) -> Finding:
    limit, most = judged.limit, judged.most
    what, amount, name = _what(judged, market, remembered), _amount(judged), limit.substance
    found, level, step = judged.level, judged.level, ""
    if judged.standing.kind == "barred":
        found = "barred"
        text = f'{name}: not allowed here ("{judged.standing.reason}", {what}), and this holds {amount}.'
        step = "Leave it out, or change where the product goes."
    elif limit.unrestricted:
        found, text = "unrestricted", f"{name}: {amount}; no restriction by {what}."
    elif judged.level == "unknown" and most is None:
        found = "no_figure"
        text = (
            f"{name}: {amount}; what may be in it is unknown: no figure is on file (the table says "
            f'"{(limit.in_table or "nothing").casefold()}"; {what}).'
        )
        text += f" Instead {judged.covered_by}." if judged.covered_by else ""
        step = (
            "Keep to what binds instead."
            if judged.covered_by
            else "Unknown is not fine: find the figure in the current standard or law, or ask the supplier for a "
            "certificate."
        )
    elif judged.within_all_the_same:
        found, level = "fine", "fine"
        text = (
            f"{name}: {amount}; there can be no more than {number_text(judged.surely, most)} % of it, within the most "
            f"of {number_text(most, judged.surely)} % ({what})."
        )
    elif judged.level == "unknown" and judged.unknown_in:
        found = "undisclosed"
        text = (
            f"{name}: {amount}; allowed is at most {number_text(most)} % ({what}), so whether it keeps to it is "
            "unknown."
        )
        step = f"Ask the supplier of {', '.join(judged.unknown_in)} how much is inside."
        if judged.may_be_over:
            text = (
                f"{name}: {amount}; there can be up to {number_text(judged.worst, most)} % of it, and allowed is at "
                f"most {number_text(most)} % ({what})."
            )
            text += f" Instead {judged.covered_by}." if judged.covered_by else " That it is over cannot be ruled out."
            step += "" if judged.covered_by else " Until it is told, do not make it."
    elif judged.level == "unknown":
        found = "condition"
        text = (
            f"{name}: {amount}; at most {number_text(most)} % ({what}), but only if this holds, which the workbook "
            f'cannot judge: "{"; ".join(judged.standing.to_check)}".'
        )
        step = "Check the condition in the law itself, or with someone who knows it."
    else:
        stand = {"over": "over", "near": "exactly at" if judged.exactly_at else "near", "fine": "within"}[judged.level]
        share = (
            f"{number_text(100 * judged.known_high / most)} % of it; "
            if most and judged.level == "near" and not judged.exactly_at
            else ""
        )
        maybe = (
            " at the high end of what the supplier says"
            if judged.level == "over" and judged.low <= most < judged.known_high
            else ""
        )
        text = f"{name}: {amount}, {stand} the most of {number_text(most, judged.known_high)} %{maybe} ({share}{what})."
        step = _permitted(judged, expansion) if judged.level != "fine" else ""
    if judged.binding and rivals > 1:
        text += f" Of the {rivals} limits on {judged.members[0]} this one binds."
    if conditions := "; ".join((*judged.standing.to_check, *limit.scope.duties)):
        text += f' The table adds: "{conditions}".'
    return Finding(
        _kind(judged, market),
        f"limit.{limit.kind}_{found}",
        (*judged.members, *judged.unknown_in, *filter(None, (limit.category,))),
        text,
        level,
        name,
        step,
        None if judged.unknown_in and judged.level != "over" else float(judged.known_high),
        None if most is None else float(most),
        limit.source_in_words,
    )


def _kind(judged: Judgement, market: str) -> str:
    limit = judged.limit
    if judged.level == "over":
        return "look" if limit.kind == "practice" or _foreign(limit, market) else "stop"
    if judged.within_all_the_same:
        return "know"
    if judged.may_be_over:
        milder = limit.kind == "practice" or _foreign(limit, market) or judged.covered_by
        return "look" if milder else "stop"
    if judged.level == "unknown":
        return "know" if judged.covered_by else "look"
    return "look" if judged.level == "near" and not _foreign(judged.limit, market) else "know"


def _permitted(judged: Judgement, expansion: Expansion) -> str:
    """The most of the line that brings most of it, the other lines left as they are."""
    line, step = judged.lines[0], HUNDREDTH
    most = most_in_line(judged, expansion, line, step)
    while most == 0 and judged.most and step > Fraction(1, 10**8):
        step /= 10
        most = most_in_line(judged, expansion, line, step)
    if most is None:
        return ""
    if not most:
        return f"Even without {line} the other lines are over it: lower those first."
    shown = f"{most:.2f}" if step == HUNDREDTH else number_text(most)
    if judged.level == "over":
        return f"Lower {line} to at most {shown} % of the whole (rounded down), or choose another."
    return f"At most {shown} % of {line} stays within this limit (rounded down)."


def _supplier(recipe: Recipe, expansion: Expansion) -> Iterable[Finding]:
    for name, percent in expansion.percent.items():
        least, most = recipe.ingredients[name].least_percent, recipe.ingredients[name].most_percent
        figures = {"found_percent": float(percent), "source": f"supplier of {name}"}
        if most is not None and percent > exact_number(most):
            yield stop(
                "supplier.over",
                name,
                f"{name}: {number_text(percent, most)} % of the whole, over the supplier's most of "
                f"{number_text(most, percent)} %.",
                level="over",
                next_step=f"Lower it to at most {number_text(most)} %, or ask the supplier.",
                limit_percent=most,
                **figures,
            )
        elif least is not None and 0 < percent < exact_number(least):
            yield look(
                "supplier.under",
                name,
                f"{name}: {number_text(percent, least)} % of the whole, under the supplier's least of "
                f"{number_text(least, percent)} %: it may not do its work.",
                level="under",
                next_step=f"Raise it to at least {number_text(least)} %, or ask the supplier.",
                limit_percent=least,
                **figures,
            )
