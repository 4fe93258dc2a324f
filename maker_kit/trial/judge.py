"""What one run shows: different, the same within the gap, or neither yet; what is odd about its results, in words."""

from __future__ import annotations

from dataclasses import replace

from maker_kit.errors import NoticeError
from maker_kit.findings import know, look
from maker_kit.names import name_key
from maker_kit.trial.binomial import CHANCE
from maker_kit.trial.difference import ANSWERS, DifferenceResult, judge_difference, share_told, tasters_that_settle
from maker_kit.trial.each_look import levels_of_a_look
from maker_kit.trial.measured import PairedResult, judge_pairs
from maker_kit.trial.oddities import WHY_IN_WORDS, again, odd_results
from maker_kit.trial.pairs_power import LEAST_PAIRS, pairs_that_settle
from maker_kit.trial.plan import OURS, SHOP
from maker_kit.trial.run import ANSWER, MISSING, TIE, TrialRun
from maker_kit.trial.run_result import RunResult
from maker_kit.trial.verdict import DIFFERENT, NEITHER, SAME

OF_ANSWER = dict(zip(ANSWERS, (DIFFERENT, SAME, NEITHER), strict=True))
PERCENT = 100.0


def can_judge(run: TrialRun) -> str:
    """Why a run cannot be judged, as a code of `verdict.WHY_NOT`; empty where it can."""
    if run.broken_at is not None:
        return "results changed"
    if not run.values():
        return "waits for results"
    if run.plan.kind == "kind":
        return "" if len(run.done()) == 1 and MISSING not in run.values().values() else "too few"
    if not run.opened:
        return "sealed"
    return "" if _whole(run) >= (1 if run.plan.is_counted else LEAST_PAIRS) else "too few"


def judge_run(run: TrialRun, times: int = 1) -> RunResult:
    """What a run shows, once its key is open.

    Where looks along the way were planned, each is judged so that all of them keep to alpha and beta together: answers
    that are counted by the exact level of `each_look`, pairs at alpha and beta shared equally (Bonferroni). A key that
    was opened before all results were in, at no planned look, counts as one look more.

    Parameters
    ----------
    run : TrialRun
    times : int
        How often the same was tried in runs of their own, this one included: alpha and beta are shared over them too,
        for who tries until the answer pleases is right by chance in the end.

    Returns
    -------
    RunResult

    Raises
    ------
    NoticeError
        If it cannot be judged: `can_judge` says why.
    """
    why = can_judge(run)
    if why:
        raise NoticeError(WHY_IN_WORDS[why].format(run=run.name))
    if run.plan.kind == "kind":
        return _kind(run)
    found = _judged(run, len(run.done()), times)
    return replace(found, more_needed=next_count(run, found, times)) if found.answer == NEITHER else found


def next_count(run: TrialRun, found: RunResult, times: int = 1, together: int = 1) -> int:
    """Tasters or pairs of a run more, which is judged by itself, until it is settled.

    The key of a judged run is open, so no result is added to it; the same tried again has its alpha and beta shared
    over all runs, and over the must-haves that are judged with it. So many tasters settle it whatever they answer; so
    many pairs with a chance of `pairs_power.LIKELY`, if the difference and its scatter are truly as they were read.

    Parameters
    ----------
    run : TrialRun
    found : RunResult
        What it shows.
    times : int
        How often the same was tried, this run included.
    together : int
        Must-haves over which Holm's correction goes.

    Returns
    -------
    int
        `MOST_TASTERS` where it is more than that.
    """
    plan = run.plan
    alpha, beta = plan.alpha / ((times + 1) * max(together, 1)), plan.beta / (times + 1)
    if plan.is_counted:
        return tasters_that_settle(plan.kind, plan.gap, alpha, beta, two_sided=plan.two_sided)
    return pairs_that_settle(found.estimate, plan.gap, found.scatter, alpha, beta)


def judge_look(run: TrialRun) -> str:
    """What a look along the way says, and nothing more, so that the key stays sealed: one of the three answers.

    Raises
    ------
    NoticeError
        If no look was planned after as many results as are in now, or it was not taken.
    """
    done = len(run.done())
    if run.opened or done not in run.looks_taken or run.broken_at is not None:
        raise NoticeError(f"no look was taken after the {done} results of {run.name}")
    fewest = 1 if run.plan.is_counted else LEAST_PAIRS
    return _judged(run, done).answer if _whole(run) >= fewest else NEITHER


def _whole(run: TrialRun) -> int:
    """Answers that count, or pairs of which both sides were read."""
    if run.plan.is_counted:
        return len([v for v in run.values().values() if v not in (MISSING, TIE)])
    return len([1 for ours, shop in _pairs(run) if None not in (ours, shop)])


def _judged(run: TrialRun, done: int, times: int = 1) -> RunResult:
    plan = run.plan
    early = done < plan.count and done not in plan.looks
    looks = (len(plan.looks) + early) * times
    alpha, beta = plan.alpha / looks, plan.beta / looks
    if plan.is_counted:
        found = _counted(run, alpha, times, early=early)
    else:
        found = _measured(run, alpha, beta)
        found = replace(found, p_value=found.p_value * looks)
    return replace(
        found,
        confidence=1 - alpha,
        p_value=min(found.p_value, 1.0),
        looks=looks,
        findings=(*odd_results(run, done, early=early), *again(plan.name, times), *found.findings),
    )


def whole_by_look(run: TrialRun, done: int) -> list[int]:
    """Whole answers that were in when a counted run came to each of its planned looks, up to some results."""
    told: dict[int, str] = {}
    found = []
    for entry in run.sealed_entries:
        if entry.act in ("result", "correct"):
            new = entry.place not in told
            told[entry.place or 0] = entry.value
            if new and len(told) in run.plan.looks and len(told) <= done:
                found.append(len([v for v in told.values() if v not in (MISSING, TIE)]))
    return found


def _counted(run: TrialRun, interval_alpha: float, times: int, *, early: bool) -> RunResult:
    plan, values = run.plan, run.values()
    dots = []
    for place in run.key:
        answer = values.get((place.number, ANSWER), MISSING)
        if answer not in (MISSING, TIE):
            dots.append(float(_is_right(plan.kind, place.behind, place.is_behind(answer), plan.expected)))
    right = int(sum(dots))
    whole = whole_by_look(run, len(run.done()))
    if not early and whole:
        whole[-1] = len(dots)  # as corrected since
    apart, alike = levels_of_a_look(run.plan, whole, times, early=early)
    shown: DifferenceResult = judge_difference(
        plan.kind, len(dots), right, gap=plan.gap, alpha=apart.level, beta=alike.level, two_sided=plan.two_sided
    )
    told = share_told(right, len(dots), interval_alpha, CHANCE[plan.kind], two_sided=plan.two_sided)
    towards = ""
    if plan.kind == "paired":
        towards = "more" if (right * 2 > len(dots)) == (plan.expected != SHOP) else "less"
    findings = []
    if plan.kind != "paired" and right / len(dots) < CHANCE[plan.kind] and told[1] == told[2] == 0:
        findings.append(
            look(
                "trial.below_guessing",
                plan.name,
                f"{right} of {len(dots)} right is far less than guessing gives: were codes mixed up?",
                next_step="compare the codes on the pots with the key",
            )
        )
    return RunResult(
        plan.name,
        plan.must_have,
        plan.kind,
        plan.unit,
        plan.gap * PERCENT,
        OF_ANSWER[shown.answer],
        len(dots),
        *(share * PERCENT for share in told),
        p_value=times * apart.corrected(shown.p_value),
        dots=tuple(dots),
        towards=towards,
        right=right,
        needed_right=shown.needed_right,
        most_right_same=shown.most_right_same,
        two_sided=plan.two_sided,
        findings=tuple(findings),
    )


def _is_right(kind: str, behind: tuple[str, ...], picked: str, expected: str) -> bool:
    """Whether an answer is right: the odd one of three, the one like the reference, or the one expected to have more
    (ours, where none is).
    """
    if kind == "triangle":
        return behind.count(picked) == 1
    if kind == "duo-trio":
        return picked == behind[0]
    return picked == (expected or OURS)


def _pairs(run: TrialRun) -> list[tuple[float | None, float | None]]:
    values, found = run.values(), []
    for place in run.key:
        read = {}
        for code, what in zip(place.codes, place.behind, strict=True):
            text = values.get((place.number, code), MISSING)
            read[what] = None if text == MISSING else float(text)
        found.append((read[OURS], read[SHOP]))
    return found


def _measured(run: TrialRun, alpha: float, beta: float) -> RunResult:
    plan, pairs = run.plan, _pairs(run)
    shown: PairedResult = judge_pairs(*zip(*pairs, strict=True), plan.gap, alpha=alpha, beta=beta)
    findings = []
    if not shown.scatter:
        text = (
            f"all {shown.pairs} differences are alike to the last digit, so how much they scatter is not known: they "
            "are judged by their signs alone, and the interval is left as it was read"
        )
        findings.append(look("trial.no_scatter", plan.name, text, next_step="read finer, or measure more pairs"))
    if shown.ties:
        findings.append(
            know(
                "trial.ties", plan.name, f"{shown.ties} of {shown.pairs} pairs were alike to the last digit; they count"
            )
        )
    if (shown.p_value <= alpha) != (shown.rank_p_value <= alpha):
        findings.append(
            look(
                "trial.methods_differ",
                plan.name,
                f"by the means p is {shown.p_value:.3f}, by ranks {shown.rank_p_value:.3f}: the two do not agree, so "
                "one odd pair, or too few pairs, may decide",
                next_step="look at the dots; more pairs settle it",
            )
        )
    return RunResult(
        plan.name,
        plan.must_have,
        plan.kind,
        plan.unit,
        plan.gap,
        OF_ANSWER[shown.answer],
        shown.pairs,
        shown.mean,
        shown.low,
        shown.high,
        p_value=shown.p_value,
        rank_p_value=shown.rank_p_value,
        rank_low=shown.rank_low,
        rank_high=shown.rank_high,
        same_low=shown.same_low,
        same_high=shown.same_high,
        dots=tuple(ours - shop for ours, shop in pairs if ours is not None and shop is not None),
        scatter=shown.scatter,
        towards="more" if shown.mean > 0 else "less" if shown.mean < 0 else "",
        findings=tuple(findings),
    )


def _kind(run: TrialRun) -> RunResult:
    values = run.values()
    ours, shop = values[1, OURS], values[1, SHOP]
    alike = name_key(ours) == name_key(shop)
    return RunResult(
        run.name,
        run.plan.must_have,
        "kind",
        run.plan.unit,
        0.0,
        SAME if alike else DIFFERENT,
        1,
        words=(ours, shop),
        confidence=1.0,
    )
