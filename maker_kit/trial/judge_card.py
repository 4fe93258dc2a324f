"""What all runs of a target card show together: one verdict a must-have, corrected for being several."""

from __future__ import annotations

from collections.abc import Sequence

from maker_kit.names import name_key
from maker_kit.trial.binomial import MOST_TASTERS
from maker_kit.trial.card import MustHave, TargetCard
from maker_kit.trial.judge import can_judge, judge_run, next_count
from maker_kit.trial.measured import holm
from maker_kit.trial.oddities import WHY_IN_WORDS
from maker_kit.trial.run import TrialRun
from maker_kit.trial.run_result import RunResult
from maker_kit.trial.verdict import DIFFERENT, NEITHER, NOT_JUDGED, SAME, JudgedTarget

CARD_CHANGED, RESULTS_CHANGED = "card changed", "results changed"


def judge_card(card: TargetCard, runs: Sequence[TrialRun]) -> tuple[JudgedTarget, ...]:
    """One verdict for each must-have of a card, in the card's order.

    Of several runs of a must-have the last that can be judged counts, whatever it says, at alpha and beta shared over
    all of them. A difference has to hold after Holm's correction over all must-haves that were judged. Sameness is not
    corrected for those: the product is called the same only where every must-have is, so no must-have gains from the
    others (intersection-union test: Berger, Technometrics 24 (1982) 295).

    Parameters
    ----------
    card : TargetCard
    runs : sequence of TrialRun
        Of the workshop, in the order in which they were planned; those of other recipes, products and versions are
        passed over.

    Returns
    -------
    tuple of JudgedTarget
    """
    mine = [r for r in runs if is_of(r, card)]
    results: dict[str, RunResult] = {}
    for row in card.must_haves:
        asked = runs_for(row, mine)
        ready = [r for r in asked if not _why_not(r, card)]
        if ready and row.measure != "cost":
            results[ready[-1].name] = judge_run(ready[-1], _times(asked, card))
    p_values = holm({name: found.p_value for name, found in results.items() if found.p_value is not None})
    return tuple(_verdict(card, row, runs_for(row, mine), results, p_values) for row in card.must_haves)


def runs_for(row: MustHave, runs: Sequence[TrialRun]) -> list[TrialRun]:
    """Those of some runs of a card that ask for one must-have."""
    return [r for r in runs if name_key(r.plan.must_have) == name_key(row.name)]


def is_of(run: TrialRun, card: TargetCard) -> bool:
    """Whether a run was planned from this version of this card."""
    plan = run.plan
    names = ((plan.recipe, card.recipe), (plan.against, card.against))
    return all(name_key(a) == name_key(b) for a, b in names) and plan.card_version == card.version


def _why_not(run: TrialRun, card: TargetCard) -> str:
    """Why a run cannot be judged by this card, as a code of `WHY_NOT`; empty where it can."""
    return CARD_CHANGED if run.locked_digest not in ("", card.digest) else can_judge(run)


def _times(runs: Sequence[TrialRun], card: TargetCard) -> int:
    """How often the same was tried: runs that can be judged, and those that were spoilt by a change afterwards, as
    somebody may have seen what they show.
    """
    return sum(_why_not(r, card) in ("", CARD_CHANGED, RESULTS_CHANGED) for r in runs)


def _verdict(
    card: TargetCard,
    row: MustHave,
    runs: Sequence[TrialRun],
    results: dict[str, RunResult],
    p_values: dict[str, float],
) -> JudgedTarget:
    about = {
        "must_have": row.name,
        "weight": row.weight,
        "measure": row.measure,
        "how": row.how,
        "unit": row.unit,
        "gap": row.gap,
        "digest": card.digest,
        "card_version": card.version,
    }
    if row.measure == "cost":
        return _not_judged(about, "costed elsewhere")
    if not runs:
        return _not_judged(about, "no run")
    judged = [r for r in runs if r.name in results]
    spoilt = [r for r in runs if _why_not(r, card) in (CARD_CHANGED, RESULTS_CHANGED)]
    run = (judged or spoilt or runs)[-1]
    about |= {"run": run.name, "day": run.last_day.isoformat()}
    if not judged:
        about["digest"] = run.locked_digest or card.digest
        return _not_judged(about, _why_not(run, card))
    found, together = results[run.name], len(p_values)
    answer, p_value = found.answer, p_values.get(run.name)
    if answer == DIFFERENT and p_value is not None and p_value > run.plan.alpha:
        answer = NEITHER
    more = next_count(run, found, _times(runs, card), together) if answer == NEITHER else None
    side = ""
    if answer == DIFFERENT and row.better and found.towards:
        side = "better" if found.towards == row.better else "worse"
    return JudgedTarget(
        **about,
        answer=answer,
        estimate=found.estimate,
        low=found.low,
        high=found.high,
        side=side,
        more_needed=more,
        results=found.results,
        judged_together=together,
        text=_said(row, found, answer, more, p_value, together),
    )


def _not_judged(about: dict[str, object], why: str) -> JudgedTarget:
    text = WHY_IN_WORDS[why].format(run=about.get("run", ""))
    return JudgedTarget(**about, answer=NOT_JUDGED, why_not=why, text=f"{text}.")


def _said(row: MustHave, found: RunResult, answer: str, more: int | None, p_value: float | None, together: int) -> str:
    if found.words:
        ours, shop = found.words
        return f"ours is {ours}, the shop's {shop}: {'the same' if answer == SAME else 'different'}."
    figures = figures_said(found)
    several = f" (p = {p_value:.3f} after Holm's correction for {together} judged)" if together > 1 else ""
    if answer == SAME:
        return f"the same within the gap of {found.gap:g} {row.unit}: {figures}."
    if answer == DIFFERENT:
        return f"different: {figures}{several}."
    noun = "pairs" if found.right is None else "answers"
    many = f"more than {MOST_TASTERS}" if more == MOST_TASTERS else f"{more}"
    return f"neither yet: {figures}{several}; {many} more {noun} needed, in a run of their own."


def figures_said(found: RunResult) -> str:
    """The estimate with its interval, in words and with its unit."""
    sure = f"{100 * found.confidence:.3g} % interval {found.low:.3g} to {found.high:.3g}"
    if found.right is not None:
        told = f"{found.right} of {found.results} right, so {found.estimate:.0f} {found.unit}"
        return f"{told} can tell ({sure})"
    apart = f"{found.estimate:+.3g}" if found.estimate else "0"
    return f"ours less the shop's {apart} {found.unit} in {found.results} pairs ({sure})"
