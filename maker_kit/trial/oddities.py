"""What is odd about the results of a run, in words: missing, tied, early, out of balance, not taken in, corrected."""

from __future__ import annotations

from maker_kit.findings import Finding, know, look
from maker_kit.trial.plan import order_counts
from maker_kit.trial.run import MISSING, TIE, TrialRun

WHY_IN_WORDS = {
    "no run": "nothing was planned for it yet",
    "waits for results": "no result is entered in {run} yet",
    "sealed": "the key of {run} is not open yet: open it when all results are in",
    "too few": "too few whole results are in {run} to say how sure anything is",
    "card changed": "the card was changed after the first result of {run}: write it as a new version, and try again",
    "results changed": "an entry of {run} was changed after it was kept, so it is not judged",
    "costed elsewhere": "a cost is worked out from prices, not tried",
    "another must-have": "{run} asks for something that the card does not name",
}
"""Code of why nothing is judged → a sentence; ``{run}`` is the run's name."""


def odd_results(run: TrialRun, done: int, *, early: bool) -> list[Finding]:
    """What is odd about the results of a run, in words."""
    plan, values, found = run.plan, run.values(), []
    noun = "taster" if plan.is_counted else "pair"
    missing = len([1 for v in values.values() if v == MISSING])
    ties = len([1 for v in values.values() if v == TIE])
    if missing:
        text = f"{missing} results are missing for good: their {noun}s are left out"
        found.append(look("trial.missing", plan.name, text))
    if ties:
        text = f"{ties} said that they cannot tell and would not guess: they are left out; next time let them guess"
        found.append(look("trial.cannot_tell", plan.name, text))
    if early:
        text = (
            f"the key was opened after {done} of {plan.count} {noun}s, at no planned look: that counts as a look more, "
            "so it takes more to be sure"
        )
        found.append(look("trial.opened_early", plan.name, text))
    whole = [n for n in run.done() if MISSING not in _of_place(values, n)]
    counts = order_counts(run.key, whole)
    orders = set(order_counts(run.key, [p.number for p in run.key]))
    spread = [counts.get(order, 0) for order in orders]
    if spread and max(spread) - min(spread) > 1:
        text = f"the orders are out of balance: one was had {max(spread)} times, another {min(spread)} times"
        found.append(look("trial.unbalanced", plan.name, text))
    if run.typed_by_hand:
        text = f"{run.typed_by_hand} rows were typed into the file and not taken in: they are not counted"
        found.append(look("trial.not_taken_in", plan.name, text, next_step="take them in before the key is opened"))
    if any(e.act == "correct" for e in run.entries):
        changed = len([1 for e in run.entries if e.act == "correct"])
        found.append(know("trial.corrected", plan.name, f"{changed} results were corrected; the old ones are kept"))
    return found


def again(name: str, times: int) -> list[Finding]:
    """That the same was tried several times, and what that costs; nothing for once."""
    text = f"this was tried {times} times in runs of their own: each counts as a look more, so it takes more to be sure"
    return [look("trial.again", name, text)] if times > 1 else []


def _of_place(values: dict[tuple[int, str], str], number: int) -> list[str]:
    return [value for (place, _), value in values.items() if place == number]
