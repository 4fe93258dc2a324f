"""Whether what holds water is preserved: how much of each acid is awake at the pH that was read, and what is known of the others. Nothing computes a pH."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from maker_kit.findings import Finding, in_order, know, look, stop
from maker_kit.formula.inside.composition import Expansion, expand, is_watery
from maker_kit.formula.limits.judging import judgements
from maker_kit.formula.limits.limit import Limit, load_limits
from maker_kit.formula.preservation.agents import Agent, figures, helpers_in, is_preservative, low_risk
from maker_kit.formula.preservation.traces import legal_maxima, trace_below
from maker_kit.formula.preservation.undissociated import (
    PreservativeRow,
    check_ph,
    is_dissociated_by_ph,
    preservation_rows,
    preservation_to_frame,
    rows_with_agents,
    undissociated_fraction,
)
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.numbers import number_text

__all__ = [
    "PreservativeRow",
    "judge_preservation",
    "preservation_rows",
    "preservation_to_frame",
    "undissociated_fraction",
]

NO_TEST = "No challenge test was made: only one (ISO 11930 or USP <51>) shows that a product is preserved."
TEST_SOURCE = "preservation_criteria.csv: ISO 11930; USP <51>"
ANHYDROUS = "ISO 29621, products of low microbiological risk: anhydrous; read"
PRACTICE = "common practice, no source"
NOT_READ = "Read the pH of the batch and write it down; nothing computes it. Until then let nobody use it."


def judge_preservation(recipe: Recipe, limits: tuple[Limit, ...] | None = None) -> tuple[Finding, ...]:
    """What is known of a recipe's preservation, the gravest first.

    Acids are judged at the least amount the suppliers say, counted as acid, and at the pH that was read: against published amounts that held microbes back where there
    are any, and against the pH that common practice trusts them to. Others are judged by their supplier's working range. A trace (see `preservation_rows`) counts for nothing, and neither does what is called
    a preservative and known as one by no table. Where the pH was not read and nothing but acids preserves, the product stops until it is read, whatever its market and use. Unknown is never fine.

    Parameters
    ----------
    recipe : Recipe
    limits : tuple of Limit, optional
        For the remark that what does not protect is allowed all the same; the workbook's own tables unless given.

    Returns
    -------
    tuple of Finding

    Raises
    ------
    QuantityError
        If a pH read or wanted lies outside 0 to 14.
    RecipeError
        If a composition is impossible.
    """
    for value, what in (
        (recipe.ph_read, "a pH reading"),
        (recipe.ph_low, "the low end of the pH band"),
        (recipe.ph_high, "the high end of the pH band"),
    ):
        if value is not None:
            check_ph(value, what)
    expansion = expand(recipe)
    if not recipe.holds_water and not any(is_watery(r.substance) for r in expansion.rows):
        return in_order(_without_water(recipe, expansion))
    rows = rows_with_agents(recipe, expansion)
    reason = low_risk(recipe, expansion)
    working = [row.substance for row, _ in rows if row.level in {"fine", "near"}]
    more = any(row.level != "under" for row, _ in rows)
    findings = [
        _trace(row, agent, reason, more=more)
        if row.trace
        else _acid(row, agent, recipe, working, reason, limits)
        if row.acid
        else _other(row, recipe)
        for row, agent in rows
    ]
    if not rows:
        findings.append(_missing(recipe, expansion, reason))
    elif odd := _not_known(recipe, expansion):
        findings.append(odd)
    if not any(f.kind == "stop" for f in findings) and (
        doubt := _by_its_name(recipe, expansion, rows) or _unread(recipe, rows, reason, limits)
    ):
        findings.append(doubt)
    findings += _reading(recipe)
    findings.append(
        know(
            "preservation.note",
            "challenge test",
            f"{NO_TEST} A clean start and a short keeping time help; they do not replace it.",
            next_step="Before selling, have the product tested, and let a qualified safety assessor decide.",
            source=TEST_SOURCE,
        )
    )
    return in_order(findings)


def _without_water(recipe: Recipe, expansion: Expansion) -> list[Finding]:
    nameless = [
        n
        for n in expansion.percent
        if not recipe.ingredients[n].inci and not recipe.ingredients[n].inside and not recipe.ingredients[n].made_from
    ]
    if nameless:
        return [
            look(
                "preservation.unknown",
                ", ".join(nameless),
                f"What is inside {', '.join(nameless)} is not on file, so whether this holds water, and needs a preservative, is unknown.",
                level="unknown",
                next_step="Ask the supplier for the INCI names.",
                source="ingredients on file",
            )
        ]
    return [
        know(
            "preservation.fine",
            "no water",
            "No preservative needed: there is no water in it, and microbes do not grow without water (anhydrous, low risk). "
            "Wet fingers, steam and a wet spoon bring water in. " + NO_TEST,
            level="fine",
            next_step="Keep it dry: use a dry spoon or dry hands, and say so on the label.",
            source=ANHYDROUS,
        )
    ]


def _not_known(recipe: Recipe, expansion: Expansion) -> Finding | None:
    """What the maker calls a preservative and no table knows."""
    names = [
        n
        for n, parts in expansion.inside.items()
        if "preserv" in recipe.ingredients[n].function.casefold()
        and not helpers_in(expansion, (n,))
        and not any(map(is_preservative, parts))
    ]
    if not names:
        return None
    return look(
        "preservation.unknown",
        ", ".join(names),
        f"{', '.join(names)} is used as a preservative, but no table on file knows it as one: whether it preserves is unknown.",
        level="unknown",
        next_step="Ask the supplier what it protects against, at which level and pH, and for a challenge test.",
        source="preservatives.csv",
    )


def _by_its_name(recipe: Recipe, expansion: Expansion, rows: list[tuple[PreservativeRow, Agent]]) -> Finding | None:
    """Water that is only called water, without INCI names, counts as water."""
    wet = [
        n
        for n, percent in expansion.percent.items()
        if percent
        and is_watery(n)
        and not recipe.ingredients[n].inci
        and not recipe.ingredients[n].inside
        and not recipe.ingredients[n].made_from
    ]
    if not wet or any(row.level != "under" for row, _ in rows):
        return None
    return stop(
        "preservation.missing",
        ", ".join(wet),
        f"{', '.join(wet)} is water by its name, and no preservative is known in it.",
        level="missing",
        next_step="Write its INCI names, and add a preservative that works at this pH or make a version without water.",
        source="name of the ingredient; common practice, no source",
    )


def _unread(
    recipe: Recipe, rows: list[tuple[PreservativeRow, Agent]], reason: str, limits: tuple[Limit, ...] | None
) -> Finding | None:
    """Without a reading nothing shows that acids alone preserve; where not even the low end of the wanted band would wake them, that is said."""
    acids = [row.substance for row, _ in rows if row.acid]
    if (
        recipe.ph_read is not None
        or reason
        or not acids
        or any(not row.acid and row.level != "under" for row, _ in rows)
    ):
        return None
    names = ", ".join(acids)
    at_best = (
        None
        if recipe.ph_low is None
        else next(
            (f for f in judge_preservation(replace(recipe, ph_read=recipe.ph_low), limits) if f.kind == "stop"), None
        )
    )
    if at_best is not None:
        return stop(
            "preservation.under",
            names,
            f"{names}: no pH was read, and even at the low end of the wanted band, pH {recipe.ph_low:g}, too little would be awake.",
            level="under",
            next_step="Choose a band in which the preservative works, or another preservative.",
            source=at_best.source,
        )
    return stop(
        "preservation.unknown",
        names,
        f"{names} preserves only at a low enough pH, and none was read: nothing shows that this is preserved.",
        level="unknown",
        next_step=NOT_READ,
        source="awake share of an acid: Henderson and Hasselbalch",
    )


def _missing(recipe: Recipe, expansion: Expansion, reason: str) -> Finding:
    odd = _not_known(recipe, expansion)
    others = helpers_in(expansion, tuple(expansion.percent))
    text = f"It holds water and no preservative {'that any table on file knows' if odd else 'at all'}: bacteria, yeast and mould grow in it, also where nothing can be seen or smelt."
    if odd:
        text += f" {odd.subject} is used as a preservative, but no table on file knows it as one."
    if others:
        text += f" No preservatives are: {'; '.join(f'{name} ({why})' for name, why in others)}."
    if reason:
        return look(
            "preservation.missing",
            "preservative",
            f"{text} It may be of low risk all the same: {reason}.",
            level="missing",
            next_step="Let someone qualified decide; " + NO_TEST,
            source="ISO 29621, products of low microbiological risk; read",
        )
    step = f"Add a preservative that works at this pH, or make a version without water{f'; ask the supplier of {odd.subject} for a challenge test at your level' if odd else ''}. Until then make only what is used the same day."
    return stop(
        "preservation.missing",
        odd.subject if odd else "preservative",
        text,
        level="missing",
        next_step=step,
        source="water-based products need a preservative: " + PRACTICE,
    )


def _trace(row: PreservativeRow, agent: Agent, reason: str, *, more: bool) -> Finding:
    """What can be there at most is too little to count; a stop where nothing else is left that might preserve."""
    where, maxima = ", ".join(agent.ingredients), legal_maxima(agent.inci)
    told = (
        f"an untold amount in {', '.join(agent.unknown_in)}, which can be no more than"
        if agent.unknown_in
        else f"from {where}, at most"
    )
    bound = (
        f"a tenth of its least legal maximum of {number_text(maxima[0])} %"
        if maxima
        else "what is taken as too little where no legal maximum is on file"
    )
    if agent.most >= trace_below(agent.inci):
        bound = f"what would have to be there: at the pH read, {row.ph_read:g}, only {_share(row)} % of it is awake"
    text = f"{row.substance}: {told} about {_two_digits(agent.most)} % of the whole{', counted as acid' if row.acid else ''}: less than {bound}. Such a trace keeps nothing but what brought it, and counts for nothing here."
    text += f" It may be of low risk all the same: {reason}." if reason else ""
    kind = "know" if more else "look" if reason else "stop"
    step = (
        ""
        if more
        else f"Add a preservative at its supplier's level that works at this pH, or make a version without water. If {where} is meant to preserve, ask its supplier how much is inside and write it down."
    )
    sources = (
        f"share of the maximum: {PRACTICE}",
        *(["maximum: Regulation (EC) 1223/2009 Annex V, eu_preservative_limits.csv"] if maxima else []),
        *figures(row.substance).sources,
    )
    return Finding(
        kind,
        "preservation.under",
        (row.substance,),
        text,
        level="under",
        next_step=step,
        found_percent=float(agent.most),
        limit_percent=float(trace_below(agent.inci)),
        source="; ".join(sources),
    )


def _acid(
    row: PreservativeRow,
    agent: Agent,
    recipe: Recipe,
    working: list[str],
    reason: str,
    limits: tuple[Limit, ...] | None,
) -> Finding:
    known = figures(row.substance)
    name, total = row.substance, float(agent.total)
    source = "; ".join(dict.fromkeys(known.sources))
    if agent.unknown_in:
        return _hidden(name, agent.unknown_in, row, source, working, reason)
    if row.ph_read is None:
        return look(
            "preservation.unknown",
            name,
            f"{name}: {total:.3f} % of the whole counted as acid, but no pH was read, so how much of it is awake is unknown.",
            level="unknown",
            next_step="Read the pH of the finished batch and write it down; nothing computes it.",
            found_percent=total,
            source=source,
        )
    if row.undissociated_percent is None:
        return look(
            "preservation.unknown",
            name,
            f"{name}: {total:.3f} % of the whole; no pKa is on file, so how much of it is awake at pH {row.ph_read:g} is unknown.",
            level="unknown",
            next_step="Ask the supplier at which pH it works.",
            found_percent=total,
            source=source,
        )
    awake = f"{name}: at the pH read, {row.ph_read:g}, {_share(row)} % of {total:.3f} % (counted as acid) is awake: {row.undissociated_percent:.4f} % of the whole"
    by_supplier = not known.least_undissociated and (
        known.enough_undissociated is None or row.undissociated_percent < known.enough_undissociated
    )
    bound = (
        f"common practice trusts it up to pH {known.works_to_ph:g} (no source)" if known.works_to_ph is not None else ""
    )
    above = is_dissociated_by_ph(known, row.ph_read, row.undissociated_share_percent / 100)
    text = awake + "."
    if known.least_undissociated:
        low, high = min(known.least_undissociated), max(known.least_undissociated)
        text += f" Published for {name.casefold()} against one mould at 25 °C: {low:g} to {high:g} % un-ionised."
        if row.level == "under" and row.undissociated_percent > 0:
            text += (
                f" That is {low / row.undissociated_percent:.0f}–{high / row.undissociated_percent:.0f} times under."
                if low > row.undissociated_percent * 1.5
                else " That is under it."
            )
    elif known.enough_undissociated is not None:
        text += f" Published: {known.enough_undissociated:g} % un-ionised held every yeast and mould tried back; less was not told."
    else:
        text += " No published working minimum is on file."
    if row.level == "under":
        text += (
            f" It is asleep: {bound or 'hardly any of it is awake'}." if above else " That is too little."
        ) + _legal(recipe, agent, limits)
        kind = "look" if reason or any(w != name for w in working) else "stop"
        if kind == "look":
            text += (
                f" Others carry the product: {', '.join(w for w in working if w != name)}."
                if not reason
                else f" It may be of low risk all the same: {reason}."
            )
        step = (
            "Bring the pH down into the band where it works (and read it again), or take a preservative that works at this pH."
            if above or row.undissociated_share_percent < 20
            else "Use more, within its limit, or add another preservative."
        )
        return Finding(
            kind,
            "preservation.under",
            (name,),
            text,
            level="under",
            next_step=step,
            found_percent=row.undissociated_percent,
            limit_percent=row.least_undissociated_percent,
            source=source,
        )
    if row.level == "near":
        step = f"Lower the pH a little: {bound}." if above else "Lower the pH a little, or use more within its limit."
        return look(
            "preservation.near",
            name,
            f"{text} That is little to spare. {NO_TEST}",
            level="near",
            next_step=step,
            found_percent=row.undissociated_percent,
            limit_percent=row.least_undissociated_percent,
            source=source,
        )
    if row.level == "unknown":
        other = next((w for w in working if w != name), "")
        return Finding(
            "know" if other else "look",
            "preservation.unknown",
            (name,),
            f"{text} Whether that is enough is unknown." + (f" {other} works beside it." if other else ""),
            level="unknown",
            next_step="Ask the supplier for the level and pH at which it works, and for a challenge test.",
            found_percent=row.undissociated_percent,
            source=source,
        )
    text += " It stands within its supplier's working range." if by_supplier else ""
    return know(
        "preservation.fine",
        name,
        f"{text} {bound[:1].upper() + bound[1:] + '. ' if bound else ''}{NO_TEST}",
        level="fine",
        found_percent=row.undissociated_percent,
        limit_percent=row.least_undissociated_percent,
        source=source,
    )


def _two_digits(percent: Fraction) -> str:
    return f"{Decimal(f'{float(percent):.2g}'):f}"


def _share(row: PreservativeRow) -> str:
    share = row.undissociated_share_percent or 0.0
    return f"{share:.1f}" if share >= 10 else f"{share:.3f}"


def _legal(recipe: Recipe, agent: Agent, limits: tuple[Limit, ...] | None) -> str:
    own = [
        j
        for j in judgements(recipe, load_limits() if limits is None else limits)
        if j.limit.kind == "law" and {name_key(m) for m in j.members} & {name_key(i) for i in agent.inci}
    ]
    if not own or any(j.level not in {"fine", "near"} or j.standing.to_check for j in own):
        return ""
    tightest = min(own, key=lambda j: j.most or Fraction(100))
    return f" Legal all the same: {number_text(tightest.known_high)} % of at most {number_text(tightest.most or 0)} % ({tightest.limit.region} law). Legal is not protected."


def _hidden(
    name: str,
    unknown_in: tuple[str, ...],
    row: PreservativeRow,
    source: str,
    working: list[str] | None = None,
    reason: str = "",
) -> Finding:
    where = ", ".join(unknown_in)
    text = f"{name} is in {where}, in an amount that nobody has told: whether it protects the finished product is unknown. Everything added to {where} dilutes it."
    step = f"Ask the supplier of {where} how much is inside and how much may be added before it no longer protects."
    if row.level == "under" and row.acid:
        text += (
            f" However much it is, at the pH read, {row.ph_read:g}, only {_share(row)} % of it is awake: it is asleep."
        )
        return Finding(
            "look" if working or reason else "stop",
            "preservation.under",
            (name,),
            text,
            level="under",
            next_step=f"{step} Bring the pH down to where it works, and read it again.",
            limit_percent=row.least_undissociated_percent,
            source=source,
        )
    text += " No pH was read either." if row.acid and row.ph_read is None else ""
    return look(
        "preservation.unknown",
        name,
        text,
        level="unknown",
        next_step=step,
        limit_percent=row.least_undissociated_percent,
        source=source or "what is inside, on file",
    )


def _other(row: PreservativeRow, recipe: Recipe) -> Finding:
    where = ", ".join(row.ingredients)
    amount = (
        "an unknown amount"
        if row.total_percent is None
        else f"at least {number_text(row.total_percent)} % of the whole"
    )
    text = f"{row.substance}: {amount}, from {where}; it hardly depends on the pH (common practice, no source)."
    source = f"supplier's range of {where}"
    if row.total_percent is None:
        return _hidden(row.substance, row.ingredients, row, "what is inside, on file")
    thing = next(
        (recipe.ingredients[n] for n in row.ingredients if recipe.ingredients[n].least_percent is not None), None
    )
    if row.level == "under" and thing is not None:
        return stop(
            "preservation.under",
            row.substance,
            f"{text} {thing.name} stands under its supplier's least of {number_text(thing.least_percent)} %: too little protects nothing.",
            level="under",
            next_step=f"Raise {thing.name} to at least {number_text(thing.least_percent)} %, within its limit.",
            found_percent=recipe.percent_of(thing.name),
            limit_percent=thing.least_percent,
            source=source,
        )
    if row.level == "fine" and thing is not None:
        most = f" to {number_text(thing.most_percent)}" if thing.most_percent is not None else ""
        return know(
            "preservation.fine",
            row.substance,
            f"{text} {thing.name} stands at {number_text(recipe.percent_of(thing.name))} %, from the supplier's least of {number_text(thing.least_percent)}{most} %. {NO_TEST}",
            level="fine",
            found_percent=recipe.percent_of(thing.name),
            limit_percent=thing.least_percent,
            source=source,
        )
    return look(
        "preservation.unknown",
        row.substance,
        f"{text} No working range of its supplier is on file, so whether this is enough is unknown.",
        level="unknown",
        next_step=f"Ask the supplier of {where} for the least that protects, and write it into the ingredients.",
        found_percent=row.total_percent,
        source="none on file",
    )


def _reading(recipe: Recipe) -> list[Finding]:
    low, high, read = recipe.ph_low, recipe.ph_high, recipe.ph_read
    if low is None and high is None:
        return []
    band = (
        f"{low:g}–{high:g}"
        if low is not None and high is not None
        else f"{low:g} or more"
        if low is not None
        else f"{high:g} or less"
    )
    if read is None:
        return [
            look(
                "preservation.unknown",
                "pH",
                f"No pH was read; wanted is {band}.",
                level="unknown",
                next_step="Read the pH of the finished batch and write it down; nothing computes it.",
                source="the recipe's own band",
            )
        ]
    if (low is not None and read < low) or (high is not None and read > high):
        return [
            look(
                "preservation.note",
                "pH",
                f"The pH read, {read:g}, is outside the recipe's band of {band}.",
                next_step="Correct it by small steps, stir, wait and read again.",
                source="the recipe's own band",
            )
        ]
    return []
