"""What the limits say of a recipe: one finding a limit, in words, and one bar a limited substance for the picture."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, in_order, know, look, stop
from maker_kit.formula.inside.composition import SCENT_NAMES, Expansion, expand
from maker_kit.formula.limits.categories import categories_of
from maker_kit.formula.limits.judging import Judgement, judgements, most_of
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import HUNDREDTH, exact_number, number_text

MARKETS = ("EU", "US")


@dataclass(frozen=True)
class LimitBar:
    """One limited substance of a recipe beside its wall.

    Attributes
    ----------
    substance : str
        Name as the limit's table has it.
    found_low_percent, found_high_percent : float or None
        Least and most in the product, counted as the limit counts [% of the whole]; the most is None where an amount is unknown.
    limit_percent : float or None
        The tightest limit [%]: 0 where such a use is barred, None where no figure is known or there is no restriction.
    counted_as : str
    level : {'over', 'near', 'unknown', 'fine'}
    kind : str
        law, standard, certificate, supplier or practice.
    category : str
        Category of the IFRA Standards; empty for others.
    unrestricted : bool
    source : str
        With how it was checked.
    """

    substance: str
    found_low_percent: float
    found_high_percent: float | None
    limit_percent: float | None
    counted_as: str
    level: str
    kind: str
    category: str
    unrestricted: bool
    source: str


def bars_to_frame(bars: Iterable[LimitBar]) -> pd.DataFrame:
    """The bars as a table: substance, least, most and limit [% of the whole], counted as, level, kind, category, source."""
    return pd.DataFrame(
        [
            (
                b.substance,
                b.found_low_percent,
                b.found_high_percent,
                b.limit_percent,
                b.counted_as,
                b.level,
                b.kind,
                b.category,
                b.source,
            )
            for b in bars
        ],
        columns=["substance", "least %", "most %", "limit %", "counted as", "level", "kind", "category", "source"],
    ).astype({"most %": "Float64", "limit %": "Float64"})


def limit_bars(
    recipe: Recipe, limits: Iterable[Limit], categories: tuple[str, ...] | None = None
) -> tuple[LimitBar, ...]:
    """One bar a limited substance, with the tightest of its limits; the fullest first, then those without a figure.

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit
    categories : tuple of str, optional
        Categories of the IFRA Standards to judge by; those of the product type unless given.

    Returns
    -------
    tuple of LimitBar
    """
    shown = sorted(
        (j for j in judgements(recipe, limits, categories) if j.binding),
        key=lambda j: (j.most is None, -(j.known_high / j.most) if j.most else Fraction(-1000)),
    )
    return tuple(
        LimitBar(
            _name(j),
            float(j.low),
            None if j.unknown_in else float(j.known_high),
            None if j.most is None else float(j.most),
            j.limit.counted_as,
            j.level,
            j.limit.kind,
            j.limit.category,
            j.limit.unrestricted,
            j.limit.source_in_words,
        )
        for j in shown
    )


def judge_limits(
    recipe: Recipe, limits: Iterable[Limit], market: str = "EU", categories: tuple[str, ...] | None = None
) -> tuple[Finding, ...]:
    """What the limits on file say of a recipe, the gravest first.

    Every substance is judged at the unfavourable end of what is inside: the high end against a most; an ingredient's own level against its supplier's least and most.
    Near is said from 80 % of a most up to and including exactly at it. The supplier's range has no "near".

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit
        From `load_limits`, with the maker's own beside them.
    market : {'EU', 'US'}
        Law of another region is shown for comparison only.
    categories : tuple of str, optional
        Categories of the IFRA Standards to judge by; those of the product type unless given.

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
    expansion = expand(recipe)
    judged = judgements(recipe, limits, categories)
    remembered = categories_of(recipe.product_type).from_memory if categories is None else ()
    rivals = Counter(name_key(j.members[0]) for j in judged if not j.limit.label_trigger)
    findings = [_finding(j, recipe, expansion, market, remembered, rivals[name_key(j.members[0])]) for j in judged]
    findings += _supplier(recipe, expansion)
    if market != "EU" and not any(x.kind == "law" and x.region == market for x in limits):
        findings.append(
            look(
                "limit.unknown",
                f"{market} limits",
                f"No limits of {market} law are on file, so whether this keeps to them is unknown; EU law and the IFRA Standards are shown for comparison.",
                level="unknown",
                next_step=f"Ask someone who knows {market} cosmetics law before giving or selling this.",
                source="none on file",
            )
        )
    return in_order([*findings, *_unnamed(expansion, limits)])


def _name(judged: Judgement) -> str:
    limit = judged.limit
    return f"{limit.substance}: {limit.group}" if limit.group else limit.substance


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
        words += f", {limit.amendment}th amendment"
    if limit.kind == "standard":
        words += ", a standard of the trade, not law"
    if _foreign(limit, market):
        words += f", shown for comparison: it is not {market} law"
    if "memory" in limit.checked or "secondary" in limit.checked:
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


def _finding(
    judged: Judgement, recipe: Recipe, expansion: Expansion, market: str, remembered: tuple[str, ...], rivals: int
) -> Finding:
    limit, most = judged.limit, judged.most
    what, amount, name = _what(judged, market, remembered), _amount(judged), _name(judged)
    also = f" Of the {rivals} limits on {judged.members[0]} this one binds." if judged.binding and rivals > 1 else ""
    conditions = "; ".join((*judged.standing.to_check, *limit.scope.duties))
    if conditions:
        also += f' The table adds: "{conditions}".'
    step = ""
    if judged.standing.kind == "barred":
        text = f'{name}: not allowed here ("{judged.standing.reason}", {what}), and this holds {amount}.'
        step = "Leave it out, or change where the product goes."
    elif limit.unrestricted:
        text = f"{name}: {amount}; no restriction by {what}."
    elif judged.level == "unknown" and most is None:
        text = f'{name}: {amount}; what may be in it is unknown: no figure is on file ("{limit.in_table or "blank"}", {what}).'
        text += f" Instead {judged.covered_by}." if judged.covered_by else ""
        step = (
            "Keep to what binds instead."
            if judged.covered_by
            else "Unknown is not fine: find the figure in the current standard or law, or ask the supplier for a certificate."
        )
    elif judged.level == "unknown" and judged.unknown_in:
        text = f"{name}: {amount}; allowed is at most {number_text(most)} % ({what}), so whether it keeps to it is unknown."
        step = f"Ask the supplier of {', '.join(judged.unknown_in)} how much is inside."
    elif judged.level == "unknown":
        text = f'{name}: {amount}; at most {number_text(most)} % ({what}), but only if this holds, which the workbook cannot judge: "{"; ".join(judged.standing.to_check)}".'
        step = "Check the condition in the law itself, or with someone who knows it."
    else:
        stand = {"over": "over", "near": "exactly at" if judged.exactly_at else "near", "fine": "within"}[judged.level]
        beyond = "the figure for a warning on the label" if limit.label_trigger else "the most"
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
        text = f"{name}: {amount}, {stand} {beyond} of {number_text(most, judged.known_high)} %{maybe} ({share}{what})."
        step = _permitted(judged, recipe, expansion) if judged.level != "fine" else ""
        if limit.label_trigger and judged.level == "over":
            step = "Name it on the label as the law asks. " + step
    kind = _kind(judged, market)
    found = None if judged.unknown_in and judged.level != "over" else float(judged.known_high)
    return Finding(
        kind,
        f"limit.{judged.level}",
        (name,),
        text + also,
        level=judged.level,
        next_step=step,
        found_percent=found,
        limit_percent=None if most is None else float(most),
        source=limit.source_in_words,
    )


def _kind(judged: Judgement, market: str) -> str:
    limit = judged.limit
    if judged.level == "over":
        return "look" if limit.label_trigger or limit.kind == "practice" or _foreign(limit, market) else "stop"
    if judged.level == "unknown":
        return "know" if judged.covered_by else "look"
    return {"near": "look", "fine": "know"}[judged.level]


def _permitted(judged: Judgement, recipe: Recipe, expansion: Expansion) -> str:
    """The most of the line that brings most of it, the other lines left as they are."""
    line = judged.lines[0]
    mine = expansion.inside[line]
    now = expansion.percent[line]

    def others(name: str) -> Fraction:
        row = expansion.find(name)
        return (
            row.known_high - (mine[name_key(name)].high * now if name_key(name) in mine else 0) if row else Fraction(0)
        )

    step = HUNDREDTH
    most = most_of(mine, judged.limit, judged.most, others, step)
    while most == 0 and judged.most and step > Fraction(1, 10**8):
        step /= 10
        most = most_of(mine, judged.limit, judged.most, others, step)
    if most is None:
        return ""
    if not most:
        return f"Even without {line} the other lines are over it: lower those first."
    shown = f"{most:.2f}" if step == HUNDREDTH else number_text(most)
    if judged.level == "over":
        return f"Lower {line} to at most {shown} % of the whole (rounded down), or choose another."
    return f"At most {shown} % of {line} stays within this limit (rounded down)."


def _supplier(recipe: Recipe, expansion: Expansion) -> list[Finding]:
    findings = []
    for name, percent in expansion.percent.items():
        thing = recipe.ingredients[name]
        least, most = thing.least_percent, thing.most_percent
        if most is not None and percent > exact_number(most):
            findings.append(
                stop(
                    "supplier.over",
                    name,
                    f"{name}: {number_text(percent, most)} % of the whole, over the supplier's most of {number_text(most, percent)} %.",
                    level="over",
                    next_step=f"Lower it to at most {number_text(most)} %, or ask the supplier.",
                    found_percent=float(percent),
                    limit_percent=most,
                    source=f"supplier of {name}",
                )
            )
        elif least is not None and 0 < percent < exact_number(least):
            findings.append(
                look(
                    "supplier.under",
                    name,
                    f"{name}: {number_text(percent, least)} % of the whole, under the supplier's least of {number_text(least, percent)} %: it may not do its work.",
                    level="under",
                    next_step=f"Raise it to at least {number_text(least)} %, or ask the supplier.",
                    found_percent=float(percent),
                    limit_percent=least,
                    source=f"supplier of {name}",
                )
            )
    return findings


def _unnamed(expansion: Expansion, limits: Iterable[Limit]) -> list[Finding]:
    named = {name_key(n) for x in limits for n in (*(n for n, _ in x.counts), *x.uncounted)}
    rest = [r.substance for r in expansion.rows if name_key(r.substance) not in named | SCENT_NAMES]
    if not rest:
        return []
    return [
        know(
            "limit.unknown",
            "no limit on file",
            f"The tables on file name no limit for: {', '.join(rest)}; that does not mean that they are fine.",
            level="unknown",
            next_step="Ask the suppliers, and someone who knows the law, what else applies.",
            source="all limit tables on file",
        )
    ]
