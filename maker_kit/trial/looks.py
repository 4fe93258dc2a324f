"""Looks along the way with an honest correction, and how many tasters a plan takes; exact, by the binomial law.

Alpha and beta are shared equally over the planned looks (Bonferroni's inequality), so that all looks together keep to
them; what a plan then really does is worked out exactly, look by look.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from maker_kit.errors import QuantityError
from maker_kit.trial.binomial import MOST_TASTERS, chance, check_tasters, share_right
from maker_kit.trial.difference import right_for_sameness, right_needed, tasters_needed


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
        msg = f"{looks} looks at {count} answers: a whole number, at least one and not more than there are answers"
        raise QuantityError(msg)
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
        Of the whole plan; each look has its equal part.
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
    from scipy.stats import binom

    right, parts = share_right(kind, share), len(looks)
    state, before = np.array([1.0]), 0
    different, same = [], []
    for n in looks:
        state = np.convolve(state, binom.pmf(np.arange(n - before + 1), n - before, right))
        needed = right_needed(kind, n, alpha / parts, two_sided=two_sided)
        alike = right_for_sameness(kind, n, gap, beta / parts)
        x = np.arange(n + 1)
        most = np.maximum(x, n - x) if kind == "paired" else x  # many for the other side are no sameness
        says_same = most <= (-1 if alike is None else alike)
        says_different = ((most if two_sided else x) >= (n + 1 if needed is None else needed)) & ~says_same
        same.append(float(state[says_same].sum()))
        different.append(float(state[says_different].sum()))
        state, before = np.where(says_same | says_different, 0.0, state), n
    return PlanChances(tuple(looks), share, tuple(np.cumsum(different).tolist()), tuple(np.cumsum(same).tolist()))


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
    msg = f"sameness within a gap of {gap:.0%} would take more than {most} tasters: choose a wider gap"
    raise QuantityError(msg)


def tasters_with_looks(
    kind: str, gap: float, looks: int, alpha: float = 0.05, beta: float = 0.05, *, two_sided: bool = False
) -> int:
    """Smallest number of tasters with which a plan with evenly spread looks finds a difference with chance 1 − beta
    where as many as the gap can tell.

    Raises
    ------
    UnknownNameError, QuantityError
        As `tasters_needed`, and if there are no looks.
    """
    first = tasters_needed(kind, gap, alpha, beta, two_sided=two_sided)
    for n in range(max(first, looks), MOST_TASTERS + 1):
        found = plan_chances(kind, spread_looks(n, looks), gap, gap=gap, alpha=alpha, beta=beta, two_sided=two_sided)
        if found.different[-1] >= (1 - beta) * (1 - 1e-12):
            return n
    msg = f"{looks} looks at a gap of {gap:.0%} would take more than {MOST_TASTERS} tasters: choose a wider gap"
    raise QuantityError(msg)
