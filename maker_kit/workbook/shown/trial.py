"""Trials as a maker reads them: the card with its verdicts, what is open, what was entered, how it is done."""

from __future__ import annotations

from collections.abc import Sequence

from maker_kit.findings import Finding, know, look, stop
from maker_kit.formula.recipe import Recipe
from maker_kit.trial.judge import can_judge, judge_run
from maker_kit.trial.judge_card import figures_said
from maker_kit.trial.oddities import WHY_IN_WORDS
from maker_kit.trial.plan import key_frame
from maker_kit.trial.power_curve import PowerCurve
from maker_kit.trial.protocols import ONE_PAIR, general_steps, protocols
from maker_kit.trial.run import TrialRun
from maker_kit.trial.run_result import RunResult
from maker_kit.trial.verdict import DIFFERENT, IN_WORDS, NEITHER, NOT_JUDGED, SAME, JudgedTarget
from maker_kit.workbook.charts.trial import power_words
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, words_sheet
from maker_kit.workshop import Workshop
from maker_kit.workshop.judged_targets import card_news, card_of, judged_targets

NO_CARD = "has no target card: write three to six must-haves into targets.csv before the next batch"
SOURCES = {
    "triangle": "exact binomial test, ISO 4120:2021",
    "duo-trio": "exact binomial test, ISO 10399:2017",
    "paired": "exact binomial test, ISO 5495:2005",
    "pairs": "paired t, and two one-sided t tests (Schuirmann 1987)",
    "kind": "looked at",
}
RANKS = "signed ranks (Wilcoxon 1945; interval by Hodges and Lehmann 1963)"
CHANGED = ("card changed", "results changed")


def trial_answer(workshop: Workshop, recipe: Recipe) -> str:
    """What the trials say of a recipe, in one sentence."""
    card = card_of(workshop, recipe)
    if card is None:
        return f"{recipe.title} {NO_CARD}."
    judged = [j for j in judged_targets(workshop, recipe) if j.measure != "cost"]
    parts = [_listed(judged, SAME), _listed(judged, DIFFERENT), _listed(judged, NEITHER), _listed(judged, NOT_JUDGED)]
    return f"{recipe.title} beside {card.against}: {'; '.join(filter(None, parts))}."


def _listed(judged: Sequence[JudgedTarget], answer: str) -> str:
    names = [j.must_have + (f" ({j.side})" if j.side else "") for j in judged if j.answer == answer]
    return f"{IN_WORDS[answer]}: {', '.join(names)}" if names else ""


def trial_stops(judged: Sequence[JudgedTarget]) -> tuple[Finding, ...]:
    """A stop for each must-have whose card or results were changed after they were locked."""
    return tuple(stop("trial.changed", j.must_have, j.text) for j in judged if j.why_not in CHANGED)


def card_sheet(workshop: Workshop, recipe: Recipe) -> tuple[Sheet, ...]:
    """The card with a verdict a row; how many were judged together; and what the last version changed."""
    card = card_of(workshop, recipe)
    if card is None:
        return (words_sheet("target card", f"{recipe.title} {NO_CARD}."),)
    judged = judged_targets(workshop, recipe)
    rows = [
        (
            f"{j.must_have} ({j.weight})",
            "" if j.gap is None else f"{j.gap:g} {j.unit}",
            IN_WORDS[j.answer] + (f", {j.side}" if j.side else ""),
            j.text,
            j.how,
        )
        for j in judged
    ]
    widths = {"gap allowed": "12%", "answer": "14%", "what it stands on": "36%", "how measured": "24%"}
    table = Sheet(rows, widths=widths, columns=["must-have", *widths])
    said = [f"Version {card.version}, written on {card.written_on.isoformat()}; digest {card.digest}."]
    together = max((j.judged_together for j in judged), default=0)
    if together > 1:
        said.append(f"{together} must-haves were judged together, so a difference is corrected for that (Holm).")
    said += [f"Changed in version {card.version}: {text}." for text in card_news(workshop, recipe)]
    return table, words_sheet("the card", *said)


def run_result(run: TrialRun | None) -> RunResult | None:
    """What a run shows, for its picture; None where it cannot be judged, or asks for a kind."""
    if run is None or run.plan.kind == "kind" or can_judge(run):
        return None
    return judge_run(run)


def run_sheet(run: TrialRun | None) -> tuple[Sheet, ...]:
    """Where a run stands: what it asks, what is in, what is open, what is odd, and its last seal."""
    if run is None:
        return (words_sheet("this trial", "No trial is planned yet: plan one in the next tab."),)
    plan = run.plan
    noun = "taster" if plan.is_counted else "pair"
    lines = [
        f"{plan.must_have}: {plan.kind}, {plan.count} {noun}s, {plan.hands}; planned on {plan.planned_on.isoformat()}.",
        f"{len(run.done())} of {plan.count} {noun}s are in; {_key_said(run)}.",
        f"Last seal {run.last_seal}: write it down elsewhere, and nobody can take entries away unseen.",
    ]
    if len(plan.looks) > 1:
        lines.insert(1, f"Judged after {', '.join(map(str, plan.looks))}, at alpha and beta shared over them.")
    why = can_judge(run)
    if why:
        text = WHY_IN_WORDS[why].format(run=run.name)
        found = [(stop if why in CHANGED else look)(f"trial.{why.replace(' ', '_')}", run.name, f"{text}.")]
    else:
        shown = judge_run(run)
        told = figures_said(shown) if not shown.words else f"ours is {shown.words[0]}, the shop's {shown.words[1]}"
        text = f"{IN_WORDS[shown.answer]}: {told}."
        found = [know("trial.answer", run.name, text, source=SOURCES[plan.kind]), *shown.findings]
        if shown.rank_low is not None:
            ranks = f"by ranks {shown.rank_low:.3g} to {shown.rank_high:.3g} {shown.unit}, p = {shown.rank_p_value:.3f}"
            text = f"By means p = {shown.p_value:.3f}; {ranks}."
            found.append(know("trial.ranks", run.name, text, source=RANKS))
    return words_sheet("this trial", *lines), findings_sheet(found)


def _key_said(run: TrialRun) -> str:
    return "the key is open" if run.opened else "no key is needed" if run.plan.kind == "kind" else "the key is closed"


def entries_sheet(run: TrialRun | None) -> Sheet:
    """What is to be filled in, taster by taster; with the key beside it once that is open."""
    if run is None:
        return words_sheet("results", "No trial is planned yet.")
    values = run.values()
    behind = dict(zip((p.number for p in run.key), key_frame(run.key)["behind"], strict=True)) if run.opened else {}
    rows = []
    for place in run.key:
        told = [values.get((place.number, what), "") for what in ("answer", *place.codes)]
        entered, key = " ".join(filter(None, told)), behind.get(place.number, "")
        rows.append((place.number, " ".join(place.codes), place.side, entered, key))
    number = "taster" if run.plan.is_counted else "pair"
    return Sheet(rows, columns=[number, "codes in order", "first on", "entered", "behind the codes"])


def protocol_sheets(run: TrialRun | None) -> tuple[Sheet, ...]:
    """How a run is done: cautions first, then the steps."""
    if run is None:
        return (words_sheet("how", *ONE_PAIR),)
    found = protocols().get(run.plan.protocol)
    general = general_steps(run.plan.kind, run.plan.hands)
    sheets = [words_sheet("first", *(f"▲ {text}" for text in found.cautions))] if found else []
    steps = (*general, *(found.steps if found else ()))
    numbered = [(k, text) for k, text in enumerate(steps, 1)]
    source = f"source: {found.source}" if found else "source: common practice, no source"
    return (*sheets, Sheet(numbered, columns=["", f"how ({source})"]))


def power_sheets(curve: PowerCurve) -> tuple[Sheet, ...]:
    """What a plan can show, and how many it takes for a difference and for sameness."""
    noun = "pairs" if curve.unit else "tasters"
    test = "t test" if curve.unit else "binomial test"
    judged_once = ", judged once" if len(curve.looks) > 1 else ""
    lines = [
        f"{power_words(curve)}.",
        f"For the {test} to find a difference as large as the gap with {100 * (1 - curve.beta):.0f} % chance: "
        f"{curve.for_difference} {noun}{judged_once}.",
        f"To call alike things the same with {100 * (1 - curve.alpha):.0f} % chance: "
        f"{curve.for_sameness} {noun}{judged_once}.",
    ]
    if judged_once:
        at = curve.truths.index(curve.gap)
        found, alike = (
            [f"{100 * by[k]:.0f} %" for by in bys] for bys, k in ((curve.different_by, at), (curve.same_by, 0))
        )
        lines.insert(
            1,
            f"Judged after {', '.join(map(str, curve.looks))}, at alpha and beta shared over them: by then a "
            f"difference as large as the gap is found {', '.join(found)} of the time, alike things are called the same "
            f"{', '.join(alike)}.",
        )
    if curve.two_sided:
        lines.append("No side is expected before it begins, so either may have more: that takes more to show.")
    if curve.drawn:
        lines.append(f"The chances were drawn from {curve.drawn} trials with a kept seed: each may be 1 % off.")
    if curve.scatter is not None:
        lines.append(f"Reckoned with differences that scatter by {curve.scatter:g} {curve.unit} from pair to pair.")
    return (words_sheet("how many", *lines),)
