"""Looks along the way with an honest correction, how many tasters a plan takes, and plans that could show nothing;
exact, by the binomial law.

Each look is judged at a level with which all looks together keep to alpha and beta (`each_look`); what a plan then
really does is worked out look by look.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.errors import QuantityError
from maker_kit.trial.binomial import MOST_TASTERS, chance, check_tasters, share_right
from maker_kit.trial.difference import right_for_sameness
from maker_kit.trial.each_look import (
    answers_by_look,
    level_for_difference,
    level_for_sameness,
    levels,
    says_different,
    says_same,
)
from maker_kit.trial.pairs_power import LEAST_PAIRS
from maker_kit.trial.plan import CODES, TrialPlan, code_count


@dataclass(frozen=True)
class PlanChances:
    """What a counted trial will say, if so many can truly tell.

    Attributes
    ----------
    looks : tuple of int
        Answers after which is judged.
    share_who_can_tell : float
        Share of tasters who truly can, 0 to 1.
    different, same : tuple of float
        Chance to have said so by each look, this one included.
    """

    looks: tuple[int, ...]
    share_who_can_tell: float
    different: tuple[float, ...]
    same: tuple[float, ...]

    @property
    def neither(self) -> float:
        """Chance that all is over and nothing is said."""
        return max(1 - self.different[-1] - self.same[-1], 0.0)


def spread_looks(count: int, looks: int) -> tuple[int, ...]:
    """Looks spread evenly over a number of answers, the last being all.

    Raises
    ------
    QuantityError
        If either is not a whole number of 1 or more, or there are more looks than answers.
    """
    check_tasters(count)
    if isinstance(looks, bool) or not isinstance(looks, int) or not 1 <= looks <= count:
        raise QuantityError(
            f"{looks} looks at {count} answers: a whole number, at least one and not more than there are answers"
        )
    return tuple(round(count * k / looks) for k in range(1, looks + 1))


def plan_chances(
    kind: str,
    looks: Sequence[int],
    share: float,
    *,
    gap: float,
    alpha: float = 0.05,
    beta: float = 0.05,
    two_sided: bool = False,
) -> PlanChances:
    """What a plan with looks along the way will say, exactly.

    The number of right answers that is reached without having stopped is carried from look to look; between two looks
    the answers are binomial. A trial stops where it says *different* or *the same*; where both could be said, the gap
    decides and it is *the same*.

    Parameters
    ----------
    kind : str
        ``triangle``, ``duo-trio`` or ``paired``.
    looks : sequence of int
        Answers after which is judged, rising.
    share : float
        Share of tasters who can truly tell, 0 to 1.
    gap, alpha, beta : float
        Of the whole plan, all looks together.
    two_sided : bool
        For a paired trial without an expected side; all who can tell are then taken to lean to one side.

    Returns
    -------
    PlanChances

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    at = tuple(looks)
    apart_at = levels(at, level_for_difference(kind, at, alpha, two_sided=two_sided))
    alike_at = levels(at, level_for_sameness(kind, at, gap, beta))
    different, same = [], []
    for (n, stop), apart_level, alike_level in zip(
        answers_by_look(at, share_right(kind, share)), apart_at, alike_at, strict=True
    ):
        alike = says_same(kind, n, gap, alike_level)
        same.append(stop(alike))
        different.append(stop(says_different(kind, n, apart_level, two_sided=two_sided) & ~alike))
    return PlanChances(at, share, tuple(np.cumsum(different).tolist()), tuple(np.cumsum(same).tolist()))


def tasters_for_sameness(
    kind: str, gap: float, alpha: float = 0.05, beta: float = 0.05, *, most: int = MOST_TASTERS
) -> int:
    """Smallest number of tasters with which alike things are called the same with chance 1 − alpha, while those that
    as many as the gap can tell are called so with chance beta at most.

    Raises
    ------
    UnknownNameError, QuantityError
        As `tasters_needed`.
    """
    from scipy.special import bdtr

    guess = chance(kind)
    for n in range(1, most + 1):
        alike = right_for_sameness(kind, n, gap, beta)
        if alike is None:
            continue
        below = float(bdtr(n - alike - 1, n, guess)) if kind == "paired" and alike < n else 0.0
        if float(bdtr(alike, n, guess)) - below >= (1 - alpha) * (1 - 1e-12):
            return n
    raise QuantityError(f"sameness within a gap of {gap:.0%} would take more than {most} tasters: choose a wider gap")


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
        raise QuantityError(
            f"{plan.count} {noun}s with {each} codes each: the {len(CODES)} codes of three digits are enough for "
            f"{len(CODES) // each}; plan so many, or several runs"
        )
    least = _least(plan)
    if plan.count < least:
        parts = f", judged {len(plan.looks)} times," if len(plan.looks) > 1 else ""
        raise QuantityError(
            f"{plan.count} {noun}{'s' * (plan.count > 1)}{parts} could show nothing, whatever comes out: it takes at "
            f"least {least}; far more are needed to be likely to show anything"
        )


def _least(plan: TrialPlan) -> int:
    """The fewest with which the last look of a plan can say anything at its part of alpha and beta."""
    if not plan.is_counted:
        return LEAST_PAIRS
    count = parts = len(plan.looks)
    while not _says_anything(plan, spread_looks(count, parts)):
        count += 1
    return count


def _says_anything(plan: TrialPlan, at: tuple[int, ...]) -> bool:
    """Whether the last of some looks can say different, or the same, whatever comes out."""
    apart = level_for_difference(plan.kind, at, plan.alpha, two_sided=plan.two_sided)
    alike = level_for_sameness(plan.kind, at, plan.gap, plan.beta)
    shows = says_different(plan.kind, at[-1], apart, two_sided=plan.two_sided)
    return bool((shows | says_same(plan.kind, at[-1], plan.gap, alike)).any())
