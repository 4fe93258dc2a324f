"""Whether what holds water is preserved. Water without a working preservative is a stop, for whomever it is made.
Nothing computes a pH.
"""

from __future__ import annotations

from dataclasses import replace

from maker_kit.findings import PRACTICE, Finding, in_order, know, look, stop
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.kinds import UNKNOWN, WET, is_meant_as_preservative, is_nameless, wetness
from maker_kit.formula.limits.judging import Judgement, judgements
from maker_kit.formula.limits.law import limits_of
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.preservation.agents import LOW_RISK_PH, helpers_in, is_preservative, low_risk
from maker_kit.formula.preservation.ph_reading import BAND, READ_IT, band_in_words
from maker_kit.formula.preservation.reach import reach_findings
from maker_kit.formula.preservation.undissociated import PreservativeRow, check_ph, preservation_rows
from maker_kit.formula.preservation.verdicts import LOW_RISK, NO_TEST, Case, verdict
from maker_kit.formula.recipe import Recipe

HOLDS_FOR = "This holds for own use, for gifts and for sale, in every market."
"""What the first stop of a product says beside its reason: no market, no use and no blank field takes it away."""
SOAP_FROM_PH = 9
"""A pH above which a product with water may be soap of oils and lye; common practice, no source."""
TEST_SOURCE = "ISO 11930; USP <51>"
ANHYDROUS = "ISO 29621, products of low microbiological risk: anhydrous; read"
NOT_READ = "Read the pH of the batch and write it down; nothing computes it. Until then let nobody use it."


def judge_preservation(
    recipe: Recipe,
    limits: tuple[Limit, ...] | None = None,
    *,
    expansion: Expansion | None = None,
    judged: tuple[Judgement, ...] | None = None,
) -> tuple[Finding, ...]:
    """What is known of a recipe's preservation, the gravest first; the first stop says for whom it holds.

    Acids are judged at the least amount the suppliers say, counted as acid, and at the pH that was read: against
    published amounts that held microbes back where there are any, and against the pH that common practice trusts them
    to. Others are judged by their supplier's working range. A trace (see `preservation_rows`) counts for nothing, and
    neither does what is called a preservative and known as one by no table. Where the pH was not read and nothing but
    acids preserves, the product stops until it is read, whatever its market and use. Unknown is never fine.

    Parameters
    ----------
    recipe : Recipe
    limits : tuple of Limit, optional
        For the remark that what does not protect is allowed all the same; the workbook's own tables unless given.
    expansion, judged : optional
        The recipe's substances, and what `judgements` says of them by those limits, where they are known already.

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
    expansion = expansion or expand(recipe)
    if recipe.wetness != WET:
        return (_may_hold_water(recipe, expansion) if recipe.wetness == UNKNOWN else _NO_WATER,)
    if judged is None:
        judged = judgements(
            recipe, limits_of(recipe, expansion=expansion) if limits is None else limits, expansion=expansion
        )
    found = in_order(_of_wet(recipe, expansion, judged))
    return (replace(found[0], text=f"{found[0].text} {HOLDS_FOR}"), *found[1:]) if found[0].kind == "stop" else found


_NO_WATER = know(
    "preservation.no_water",
    "water",
    "No preservative needed: there is no water in it, and microbes do not grow without water (anhydrous, low risk). "
    f"Wet fingers, steam and a wet spoon bring water in. {NO_TEST}",
    subject="no water",
    level="fine",
    next_step="Keep it dry: use a dry spoon or dry hands, and say so on the label.",
    source=ANHYDROUS,
)


def _may_hold_water(recipe: Recipe, expansion: Expansion) -> Finding:
    names = [n for n, p in expansion.percent.items() if p and _wet(recipe, n) == UNKNOWN]
    return look(
        "preservation.water_unknown",
        names,
        f"What is inside {', '.join(names)} is not on file, so whether this holds water, and needs a preservative, "
        "is unknown.",
        subject=", ".join(names),
        level="unknown",
        next_step="Ask the supplier for the INCI names.",
        source="ingredients on file",
    )


def _wet(recipe: Recipe, name: str) -> str:
    return wetness(recipe.ingredients[name], recipe.ingredients)


def _of_wet(recipe: Recipe, expansion: Expansion, judged: tuple[Judgement, ...]) -> list[Finding]:
    rows = preservation_rows(recipe, expansion)
    nameless = [
        n for n, p in expansion.percent.items() if p and is_nameless(recipe.ingredients[n]) and _wet(recipe, n) == WET
    ]
    reason = "" if nameless else low_risk(recipe, expansion)
    case = Case(
        recipe,
        tuple(row.substance for row in rows if row.level in {"fine", "near"}),
        any(row.level != "under" for row in rows),
        reason,
        judged,
        tuple(r.substance for r in rows if r.level == "unknown" and not (r.acid or r.trace or r.only_undisclosed)),
    )
    odd = _not_known(recipe, expansion)
    findings = [verdict(row, case) for row in rows] + ([odd] if odd and rows else [])
    if not rows:
        findings.append(_missing(recipe, expansion, reason, odd, nameless))
    elif not any(f.kind == "stop" for f in findings):
        findings += _unread(recipe, expansion, rows, case)
    reach = [row.substance for row in rows if row.level != "under" and not row.trace]
    findings += [] if reason else reach_findings(reach, recipe.ph_span)
    findings += _reading(recipe)
    findings.append(
        know(
            "preservation.no_challenge_test",
            "challenge test",
            f"{NO_TEST} A clean start and a short keeping time help; they do not replace it.",
            next_step="Before selling, have the product tested, and let a qualified safety assessor decide.",
            source=TEST_SOURCE,
        )
    )
    return findings


def _not_known(recipe: Recipe, expansion: Expansion) -> Finding | None:
    """What the maker calls a preservative and no table knows."""
    names = [
        n
        for n, parts in expansion.inside.items()
        if is_meant_as_preservative(recipe.ingredients[n])
        and not helpers_in(expansion, (n,))
        and not any(map(is_preservative, parts))
    ]
    if not names:
        return None
    return look(
        "preservation.agent_unknown",
        names,
        f"{', '.join(names)} is used as a preservative, but no table on file knows it as one: whether it preserves "
        "is unknown.",
        subject=", ".join(names),
        level="unknown",
        next_step="Ask the supplier what it protects against, at which level and pH, and for a challenge test.",
        source="common practice, no source",
    )


def _missing(recipe: Recipe, expansion: Expansion, reason: str, odd: Finding | None, nameless: list[str]) -> Finding:
    others = helpers_in(expansion, tuple(expansion.percent))
    text = f"It holds water and no preservative {'that any table on file knows' if odd else 'at all'}"
    text += "." if reason else ": bacteria, yeast and mould grow in it, also where nothing can be seen or smelt."
    if nameless:
        text += f" {', '.join(nameless)} is water by its name: write its INCI names."
    if recipe.ph_span is not None and recipe.ph_span[1] > SOAP_FROM_PH and not reason:
        text += (
            f" Soap of oils and lye counts as one that microbes hardly grow in above pH {LOW_RISK_PH[1]} alone (ISO "
            f"29621, read), and with the error of its reading this one may lie below."
        )
    if odd:
        text += f" {odd.subject} is used as a preservative, but no table on file knows it as one."
    if others:
        text += f" No preservatives are: {'; '.join(f'{name} ({why})' for name, why in others)}."
    about = odd.about if odd else ("preservative",)
    if reason:
        return look(
            "preservation.missing_at_low_risk",
            about,
            f"{text} {reason[0].upper()}{reason[1:]}.",
            subject="preservative",
            level="missing",
            next_step=f"Let someone qualified decide; {NO_TEST}",
            source=LOW_RISK,
        )
    ask = f"; ask the supplier of {odd.subject} for a challenge test at your level" if odd else ""
    return stop(
        "preservation.missing",
        about,
        text,
        subject=odd.subject if odd else "preservative",
        level="missing",
        next_step=f"Add a preservative that works at this pH, or make a version without water{ask}. Until then make "
        "only what is used the same day.",
        source=f"water-based products need a preservative: {PRACTICE}",
    )


def _unread(recipe: Recipe, expansion: Expansion, rows: tuple[PreservativeRow, ...], case: Case) -> list[Finding]:
    """Without a reading nothing shows that acids alone preserve; where not even the low end of the wanted band would
    let them work, that is said.
    """
    acids = [row.substance for row in rows if row.acid]
    others = any(not row.acid and row.level != "under" for row in rows)
    if recipe.ph_read is not None or case.low_risk or not acids or others:
        return []
    names = ", ".join(acids)
    at_best = None
    if recipe.ph_low is not None:
        best = judge_preservation(replace(recipe, ph_read=recipe.ph_low), expansion=expansion, judged=case.judged)
        at_best = next((f for f in best if f.kind == "stop"), None)
    if at_best is not None:
        return [
            stop(
                "preservation.band_too_high",
                acids,
                f"{names}: no pH was read, and even at the low end of the wanted band, pH {recipe.ph_low:g}, too "
                "little of it would be undissociated (the part of the acid that works).",
                subject=names,
                level="under",
                next_step="Choose a band in which the preservative works, or another preservative.",
                source=at_best.source,
            )
        ]
    return [
        stop(
            "preservation.not_read",
            acids,
            f"{names} preserves only at a low enough pH, and none was read: nothing shows that this is preserved.",
            subject=names,
            level="unknown",
            next_step=NOT_READ,
            source="undissociated share of an acid: Henderson and Hasselbalch",
        )
    ]


def _reading(recipe: Recipe) -> list[Finding]:
    low, high, read = recipe.ph_low, recipe.ph_high, recipe.ph_read
    if low is None and high is None:
        return []
    if read is None:
        text = f"No pH was read; wanted is {band_in_words(low, high)}."
        return [look("preservation.ph_not_read", "pH", text, level="unknown", next_step=READ_IT, source=BAND)]
    if (low is not None and read < low) or (high is not None and read > high):
        text = f"The pH read, {recipe.ph_in_words}, is outside the recipe's band of {band_in_words(low, high)}."
        step = "Correct it by small steps, stir, wait and read again."
        return [look("preservation.ph_outside", "pH", text, next_step=step, source=BAND)]
    return []
