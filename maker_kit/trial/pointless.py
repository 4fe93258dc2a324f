"""Plans that are refused before anybody is asked: those that can show nothing, and those with too few codes."""

from __future__ import annotations

from maker_kit.errors import QuantityError
from maker_kit.trial.difference import right_for_sameness, right_needed
from maker_kit.trial.pairs_power import LEAST_PAIRS
from maker_kit.trial.plan import CODES, TrialPlan, code_count


def refuse_pointless(plan: TrialPlan) -> None:
    """Refuse a plan that could show nothing whatever is answered, or has more servings than there are codes.

    Parameters
    ----------
    plan : TrialPlan

    Raises
    ------
    QuantityError
        With the fewest, or the most, that may be planned.
    """
    if plan.kind == "kind":
        return
    noun, each = "taster" if plan.is_counted else "pair", code_count(plan.kind)
    if plan.count * each > len(CODES):
        msg = (
            f"{plan.count} {noun}s with {each} codes each: the {len(CODES)} codes of three digits are enough for "
            f"{len(CODES) // each}; plan so many, or several runs"
        )
        raise QuantityError(msg)
    least = _least(plan)
    if plan.count < least:
        parts = f", judged {len(plan.looks)} times," if len(plan.looks) > 1 else ""
        msg = (
            f"{plan.count} {noun}{'s' * (plan.count > 1)}{parts} could show nothing, whatever comes out: it takes at "
            f"least {least}; far more are needed to be likely to show anything"
        )
        raise QuantityError(msg)


def _least(plan: TrialPlan) -> int:
    """The fewest with which the last look of a plan can say anything at its part of alpha and beta."""
    if not plan.is_counted:
        return LEAST_PAIRS
    parts, count = len(plan.looks), 1
    while (
        right_needed(plan.kind, count, plan.alpha / parts, two_sided=plan.two_sided) is None
        and right_for_sameness(plan.kind, count, plan.gap, plan.beta / parts) is None
    ):
        count += 1
    return count
