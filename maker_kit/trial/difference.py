"""Triangle, duo-trio and paired trials: how many right answers show a difference, how many sameness; all exact."""

from __future__ import annotations

import statistics
from bisect import bisect_left
from dataclasses import dataclass

from maker_kit.errors import QuantityError
from maker_kit.trial.binomial import (
    MOST_TASTERS,
    at_least,
    at_most,
    between,
    chance,
    check_tasters,
    clopper_pearson,
    share_of,
    share_right,
)

ANSWERS = ("different", "the same within the gap", "neither yet")


@dataclass(frozen=True)
class DifferenceResult:
    """What the right answers of a blind trial show.

    Attributes
    ----------
    kind : str
        ``triangle``, ``duo-trio`` or ``paired``.
    tasters, right : int
        Answers given, and right ones.
    alpha, beta : float
        Accepted chance to call alike things different, and different things the same.
    gap : float
        Share of tasters who can truly tell that is still called the same (`pd` in the standards), 0 to 1.
    p_value : float
        Chance of as many right answers or more by guessing alone; two-sided, of as uneven answers on either side.
    needed_right : int or None
        Fewest right answers that show a difference; None where even all would not.
    most_right_same : int or None
        Most right answers that show sameness within the gap; None where even none would not.
    answer : str
        One of `ANSWERS`.
    share_who_can_tell : float
        Best guess of the share of tasters who can tell, 0 to 1.
    share_low, share_high : float
        Ends of its exact interval with confidence 1 − alpha (two-sided, Clopper and Pearson 1934).
    more_needed : int
        Tasters still wanted until any outcome is settled (`tasters_that_settle`), `MOST_TASTERS` where that is more
        than is reckoned; 0 where the answer is settled.
    two_sided : bool
        Whether a paired trial had no expected direction.
    """

    kind: str
    tasters: int
    right: int
    alpha: float
    beta: float
    gap: float
    p_value: float
    needed_right: int | None
    most_right_same: int | None
    answer: str
    share_who_can_tell: float
    share_low: float
    share_high: float
    more_needed: int
    two_sided: bool = False


def right_needed(kind: str, tasters: int, alpha: float = 0.05, *, two_sided: bool = False) -> int | None:
    """Fewest right answers that show a difference: the smallest x with ``P(X ≥ x | p0) ≤ alpha``.

    Parameters
    ----------
    kind : str
        ``triangle``, ``duo-trio`` or ``paired``.
    tasters : int
        Answers given, 1 to `MOST_TASTERS`.
    alpha : float
        Accepted chance to call alike things different, above 0 and below 1.
    two_sided : bool
        For a paired trial without an expected direction (ISO 5495): half of alpha on each side.

    Returns
    -------
    int or None
        None where even all answers right would not show it.

    Raises
    ------
    UnknownNameError, QuantityError
        If the kind is unknown, or a number is out of range.
    """
    guess, n = chance(kind), check_tasters(tasters)
    share = between(alpha, "alpha") / (2 if two_sided else 1)
    found = bisect_left(range(n + 1), True, key=lambda x: at_least(n, x, guess) <= share * (1 + 1e-12))
    return found if found <= n else None


def right_for_sameness(kind: str, tasters: int, gap: float, beta: float = 0.05) -> int | None:
    """Most right answers that show sameness within a gap: the largest x with ``P(X ≤ x | pc) ≤ beta``, pc at the
    gap (ISO 4120 Table A.2 rule).

    Parameters
    ----------
    kind : str
    tasters : int
    gap : float
        Share of tasters who can truly tell that is still called the same, above 0 and below 1.
    beta : float
        Accepted chance to call them the same where as many as the gap can tell.

    Returns
    -------
    int or None
        None where even no right answer would show it.

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    n, share = check_tasters(tasters), share_right(kind, between(gap, "the gap"))
    most = between(beta, "beta") * (1 + 1e-12)
    found = bisect_left(range(n + 1), True, key=lambda x: at_most(n, x, share) > most) - 1
    return found if found >= 0 else None


def power(kind: str, tasters: int, share_who_can_tell: float, alpha: float = 0.05, *, two_sided: bool = False) -> float:
    """Chance that a trial shows a difference where so many tasters can truly tell; two-sided, all to one side.

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    needed = right_needed(kind, tasters, alpha, two_sided=two_sided)
    share = share_right(kind, share_of(share_who_can_tell, "the share who can tell"))
    if needed is None:
        return 0.0
    return at_least(tasters, needed, share) + (at_most(tasters, tasters - needed, share) if two_sided else 0.0)


def tasters_needed(
    kind: str,
    gap: float,
    alpha: float = 0.05,
    beta: float = 0.05,
    *,
    most: int = MOST_TASTERS,
    two_sided: bool = False,
) -> int:
    """Smallest number of tasters that meets both errors: ``P(difference | guessing) ≤ alpha`` and ``P(no difference |
    gap) ≤ beta``.

    The rule of ISO 4120 Table A.3 and ISO 10399 Table A.3. As the chance of an error does not fall evenly with every
    taster more, a few tasters more can be worse by a hair; the smallest number is given.

    Raises
    ------
    UnknownNameError
        If the kind of trial is unknown.
    QuantityError
        If a number is out of range, or more than `most` tasters would be needed.
    """
    between(gap, "the gap"), between(beta, "beta")
    for n in range(1, most + 1):
        if 1 - power(kind, n, gap, alpha, two_sided=two_sided) <= beta * (1 + 1e-12):
            return n
    raise QuantityError(f"a gap of {gap:.0%} would take more than {most} tasters: choose a wider gap")


def tasters_that_settle(
    kind: str, gap: float, alpha: float = 0.05, beta: float = 0.05, *, above: int = 0, two_sided: bool = False
) -> int:
    """Smallest number of tasters above another with which any number of right answers shows a difference or sameness:
    ``right_needed ≤ right_for_sameness + 1``. `MOST_TASTERS` where it is more than that.

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    guess, true, normal = chance(kind), share_right(kind, between(gap, "the gap")), statistics.NormalDist()
    z_alpha = normal.inv_cdf(1 - between(alpha, "alpha") / (2 if two_sided else 1))
    z_beta = normal.inv_cdf(1 - between(beta, "beta"))
    spread = z_alpha * (guess * (1 - guess)) ** 0.5 + z_beta * (true * (1 - true)) ** 0.5
    near = max(0.8 * (max(spread, 0.0) / (true - guess)) ** 2 - 10, 0.0)  # well below the answer, by the normal law
    for n in range(max(above, min(int(near), MOST_TASTERS)) + 1, MOST_TASTERS):
        needed = right_needed(kind, n, alpha, two_sided=two_sided)
        same = right_for_sameness(kind, n, gap, beta)
        if needed is not None and same is not None and needed <= same + 1:
            return n
    return MOST_TASTERS


def judge_difference(
    kind: str,
    tasters: int,
    right: int,
    *,
    gap: float = 0.3,
    alpha: float = 0.05,
    beta: float = 0.05,
    two_sided: bool = False,
) -> DifferenceResult:
    """What the right answers of a blind trial show; a trial that found no difference shows no sameness by that alone.

    A difference that is shown, and shown to be within the gap, is *the same within the gap*. In a paired trial many
    answers for the other side are no sameness either: both sides have to keep within the gap.

    Parameters
    ----------
    kind : str
        ``triangle``, ``duo-trio`` or ``paired``.
    tasters, right : int
        Answers given, and right ones; in a paired trial, those for the expected side.
    gap : float
        Share of tasters who can truly tell that is still called the same, above 0 and below 1.
    alpha, beta : float
        Accepted chances of the two errors.
    two_sided : bool
        For a paired trial without an expected direction (ISO 5495): either side may have more.

    Returns
    -------
    DifferenceResult

    Raises
    ------
    UnknownNameError, QuantityError
        If the kind is unknown, a number is out of range, there are more right answers than tasters, or another kind
        than a paired trial is to be two-sided.
    """
    guess, n = chance(kind), check_tasters(tasters)
    if isinstance(right, bool) or not isinstance(right, int) or not 0 <= right <= n:
        raise QuantityError(f"{right} right answers of {n}: they are whole, and from none to all")
    if two_sided and kind != "paired":
        raise QuantityError(f"a {kind} trial has one side only: right answers; a paired trial may have two")
    most = max(right, n - right) if kind == "paired" else right
    counted = most if two_sided else right
    needed, same = right_needed(kind, n, alpha, two_sided=two_sided), right_for_sameness(kind, n, gap, beta)
    alike = same is not None and most <= same
    different = needed is not None and counted >= needed and not alike
    answer = ANSWERS[0] if different else ANSWERS[1] if alike else ANSWERS[2]
    told = share_told(right, n, alpha, guess, two_sided=two_sided)
    more = 0
    if answer == ANSWERS[2]:
        more = max(tasters_that_settle(kind, gap, alpha, beta, above=n, two_sided=two_sided) - n, 1)
    p_value = min(at_least(n, counted, guess) * (2 if two_sided else 1), 1.0)
    return DifferenceResult(
        kind, n, right, alpha, beta, gap, p_value, needed, same, answer, *told, more, two_sided=two_sided
    )


def share_told(right: int, n: int, alpha: float, guess: float, *, two_sided: bool) -> list[float]:
    """Best guess of the share who can tell, and the ends of its interval with confidence 1 − alpha; on two sides,
    whichever side it is.
    """
    low, high = clopper_pearson(right, n, alpha)
    if two_sided:
        best, *ends = (abs(2 * x - 1) for x in (right / n, low, high))
        return [best, 0.0 if low <= guess <= high else min(ends), max(ends)]
    return [min(max((x - guess) / (1 - guess), 0.0), 1.0) for x in (right / n, low, high)]
