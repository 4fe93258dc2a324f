"""What the law says of a recipe: the annexes' verdicts as limits, and as findings in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import cache

from maker_kit.findings import Finding, know
from maker_kit.formula.annexes import verdict as codes
from maker_kit.formula.annexes.counted import factor_of
from maker_kit.formula.annexes.entries import Entry
from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.state import law_as_of, law_states
from maker_kit.formula.annexes.verdict import Content, Verdict
from maker_kit.formula.annexes.verdicts import verdicts
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.kinds import is_scent
from maker_kit.formula.limits.limit import Limit, load_limits
from maker_kit.formula.limits.us_law import us_findings
from maker_kit.formula.limits.worst_end import worst_ends
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import part_key, substance_key
from maker_kit.numbers import number_text

FIGURES = frozenset({codes.WITHIN, codes.OVER_MOST, codes.UNKNOWN_AMOUNT})
"""Verdicts that are a figure, which `judge_limits` says."""
BARRED = {
    codes.PROHIBITED: "prohibited in cosmetics",
    codes.USE_NOT_LISTED: "the law lists it for other products only",
    codes.AGE_BARRED: "not allowed for such an age",
    codes.SPRAY_BARRED: "not allowed in a spray",
    codes.PH_OUTSIDE: "not allowed at such a pH",
}
MOST_QUOTED = 260
"""Longest quote of the law in a sentence [characters]; the source leads to the rest."""


def law_verdicts(recipe: Recipe, expansion: Expansion | None = None) -> tuple[Verdict, ...]:
    """What Annexes II–VI of Regulation (EC) No 1223/2009 say of a recipe, the gravest first.

    Judged at the high end of what is inside, and at both ends of what the pH may be.

    Parameters
    ----------
    recipe : Recipe
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    tuple of Verdict
    """
    contents = _contents(recipe, expansion or expand(recipe))
    ends = recipe.ph_span or (None,)
    product = replace(recipe.product_type, called=recipe.product_type.called or recipe.title)
    found = dict.fromkeys(v for ph in dict.fromkeys(ends) for v in verdicts(contents, product, ph))
    return tuple(sorted(found, key=lambda v: codes.ORDER.index(v.code)))


def _contents(recipe: Recipe, expansion: Expansion) -> tuple[Content, ...]:
    worst = worst_ends(recipe, expansion)
    return tuple(
        Content(
            row.substance,
            row.low,
            None if row.unknown else row.known_high,
            tuple(dict.fromkeys(_function(recipe, line) for line in row.lines)),
            worst.get(part_key(row.substance)),
        )
        for row in expansion.rows
    )


def _function(recipe: Recipe, line: str) -> str:
    thing = recipe.ingredients[line]
    return "scent" if line == recipe.scent or is_scent(thing) else thing.function


def law_limits(found: Iterable[Verdict]) -> tuple[Limit, ...]:
    """The verdicts that bound a substance, as limits for such a product: its figure, or nothing at all where it is
    barred.

    Parameters
    ----------
    found : iterable of Verdict
        From `law_verdicts`.

    Returns
    -------
    tuple of Limit
        Of kind ``law`` and region ``EU``.
    """
    return tuple(
        Limit(
            _short_name(v),
            0.0 if v.code in BARRED else float(v.most or 0),
            tuple((name, float(_factor(v, name))) for name in v.names),
            v.basis or "as supplied",
            kind="law",
            region="EU",
            amendment=_instrument(v),
            date=v.updated,
            source=_source(v),
            in_table=v.quote,
            by_law=v.code,
        )
        for v in found
        if v.code in BARRED or (v.code in FIGURES and v.most is not None)
    )


def limits_of(recipe: Recipe, own: Iterable[Limit] = (), expansion: Expansion | None = None) -> tuple[Limit, ...]:
    """All limits for a recipe: the law's for such a product, the trade's standard, and the maker's own."""
    return (*law_limits(law_verdicts(recipe, expansion)), *load_limits(), *own)


def law_findings(recipe: Recipe, found: Iterable[Verdict], market: str = "EU") -> tuple[Finding, ...]:
    """What the law says of a recipe beside plain figures (those are `judge_limits`'s): bans, uses that are not listed,
    conditions, warnings, what is to be declared.

    Parameters
    ----------
    recipe : Recipe
    found : iterable of Verdict
        From `law_verdicts`.
    market : {'EU', 'US'}
        For the US the annexes are shown for comparison, and what 21 CFR 700 and 250 say stands beside them.

    Returns
    -------
    tuple of Finding
        Codes ``law.`` and a code of `maker_kit.formula.annexes.verdict`.
    """
    found = tuple(found)
    said = [_said(v, market) for v in found if v.code not in FIGURES | {codes.DECLARE, codes.NEEDS_WARNING}]
    return (
        *_once(said),
        *_warnings([v for v in found if v.code == codes.NEEDS_WARNING]),
        *_declared([v for v in found if v.code == codes.DECLARE]),
        *(us_findings(recipe, _contents(recipe, expand(recipe))) if market == "US" else ()),
    )


def _said(v: Verdict, market: str) -> Finding:
    names, amount = ", ".join(v.names), _amount(v)
    where = f"EU law, Annex {v.annex} entry {v.entry}"
    if market != "EU":
        where += f", shown for comparison: it is not {market} law"
    if v.code in BARRED:
        text = f"{names}: {BARRED[v.code]} ({where}), and this holds {amount}."
        if v.code == codes.PROHIBITED:
            text = f"{names}: {BARRED[v.code]} ({where}: “{_cut(v.quote or v.substance)}”); this holds {amount}."
        elif v.code == codes.USE_NOT_LISTED:
            listed = "; ".join(_uses(v)) or v.quote
            text += f" Listed: {_cut(listed)}." if listed else " No such product is listed."
        elif v.quote:
            text += f" The law says: “{_cut(v.quote)}”."
        step = "Leave it out." if v.code == codes.PROHIBITED else "Leave it out, or change where the product goes."
    elif v.about == "quality":
        text = f"{names}: the law asks for a quality of its own ({where}): “{_cut(v.quote)}”."
        step = "Ask the supplier for a certificate that says so."
    else:
        text = (
            f"{names}: {amount}; whether it is allowed here hangs on what the workbook cannot tell ({where}): "
            f"“{_cut(v.quote or v.substance)}”."
        )
        others = "; ".join(
            f"{o.product} {number_text(o.most)} %" if o.most is not None else o.product
            for o in v.alternatives
            if o.product != v.quote or o.most is not None
        )
        if others:
            same = {o.product for o in v.alternatives} == {v.quote}
            text += f" Listed {'is' if same else 'are also'}: {_cut(others)}."
        step = "Read the condition in the law itself, or ask someone who knows it; until then it is unknown, not fine."
    kind = "stop" if v.is_stop and market == "EU" else "know" if v.about == "quality" else "look"
    return Finding(
        kind,
        f"law.{v.about or 'condition'}" if v.code == codes.UNKNOWN_CONDITION else f"law.{v.code}",
        v.names,
        text,
        level="over" if v.is_stop else "unknown",
        subject=names,
        next_step=step,
        found_percent=None if v.high is None else float(v.high),
        limit_percent=None if v.most is None else float(v.most),
        source=_source(v),
    )


def _once(said: Iterable[Finding]) -> tuple[Finding, ...]:
    """One row a substance and code: the gravest speaks, in the order given."""
    kept: dict[tuple[str, tuple[str, ...]], Finding] = {}
    for finding in said:
        kept.setdefault((finding.code, finding.about), finding)
    return tuple(kept.values())


def _warnings(found: list[Verdict]) -> tuple[Finding, ...]:
    return tuple(
        know(
            "law.needs_warning",
            v.names,
            f"{', '.join(v.names)}: the label has to say (EU law, Annex {v.annex} entry {v.entry}): "
            f"“{_cut(v.wording)}”.",
            next_step="Print it on the label, in the language of whoever gets it.",
            source=_source(v),
        )
        for v in {(v.names, v.wording): v for v in found}.values()
    )


def _declared(found: list[Verdict]) -> tuple[Finding, ...]:
    """All scent allergens to be named on the label, in one row."""
    if not found:
        return ()
    names: dict[str, Verdict] = {}
    for v in found:
        names.setdefault(v.wording or v.names[0], v)
    listed = "; ".join(
        name if name in v.names else f"{name} ({', '.join(v.names)}, {_amount(v)})" for name, v in names.items()
    )
    threshold = number_text(found[0].most) if found[0].most is not None else "?"
    return (
        know(
            "law.declare",
            tuple(dict.fromkeys(n for v in found for n in v.names)),
            f"To be named on the label, being over {threshold} %: {listed}. Some people are allergic to them.",
            subject="scent allergens",
            next_step="Name each in the ingredient list, and warn whoever is allergic. New products since 31 July "
            "2026, all "
            "from 31 July 2028 (as the footnotes of that regulation say; the old ones, longer).",
            source=f"Regulation (EU) 2023/1545 in {_state('III')}",
        ),
    )


def _amount(v: Verdict) -> str:
    basis = f" {v.basis}" if v.basis else ""
    if v.high is None:
        return f"an amount that nobody has told{f' (at least {number_text(v.low)} %{basis})' if v.low else ''}"
    return f"{number_text(v.high)} % of the whole{basis}"


def _entry(v: Verdict) -> Entry | None:
    return _entries().get((v.annex, v.entry, v.substance))


@cache
def _entries() -> dict[tuple[str, str, str], Entry]:
    """The first entry of each annex, number and substance."""
    return {(e.annex, e.number, e.substance): e for e in reversed(law().entries)}


def _uses(v: Verdict) -> tuple[str, ...]:
    entry = _entry(v)
    return tuple(dict.fromkeys(u.product or u.most_text for u in entry.uses)) if entry else ()


def _factor(v: Verdict, name: str) -> Fraction:
    entry = _entry(v)
    return (factor_of(entry, substance_key(name)) if entry else None) or Fraction(1)


def _instrument(v: Verdict) -> str:
    entry = _entry(v)
    return entry.instrument if entry else ""


def _state(annex: str) -> str:
    return law_states()[annex].in_words


def _source(v: Verdict) -> str:
    return f"{v.source}; law as of {law_as_of()}" + (f", record of {v.updated}" if v.updated else "")


def _short_name(v: Verdict) -> str:
    return v.names[0] if len(v.names) == 1 else f"{v.names[0]} and {len(v.names) - 1} more of Annex {v.annex} {v.entry}"


def _cut(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= MOST_QUOTED else f"{text[: MOST_QUOTED - 2].rstrip()} …"
