"""Triangle, duo-trio and paired trials: how many right answers show a difference, how many sameness; all exact."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.names import near_miss

CHANCE = {"triangle": 1 / 3, "duo-trio": 1 / 2, "paired": 1 / 2}
"""Share of right answers by guessing alone, for each kind of trial (ISO 4120:2021 triangle, ISO 10399:2017 duo-trio,
ISO 5495:2005 paired).
"""
MOST_TASTERS = 10_000
"""Most tasters a trial is reckoned for."""
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
        Tasters still wanted for a plan that settles both questions; 0 where the answer is settled.
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


def chance(kind: str) -> float:
    """Share of right answers by guessing alone.

    Raises
    ------
    UnknownNameError
        If the kind of trial is none of `CHANCE`.
    """
    if kind not in CHANCE:
        msg = f'there is no trial called "{kind}": {near_miss(kind, CHANCE)}'
        raise UnknownNameError(msg)
    return CHANCE[kind]


def share_right(kind: str, share_who_can_tell: float) -> float:
    """Share of right answers where so many tasters can truly tell and the others guess: ``pc = pd + p0 (1 − pd)``
    (Abbott's formula, ISO 4120 annex B).
    """
    guess = chance(kind)
    return share_who_can_tell + guess * (1 - share_who_can_tell)


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
    guess, n = chance(kind), _tasters(tasters)
    share = _between(alpha, "alpha") / (2 if two_sided else 1)
    found = bisect_left(range(n + 1), True, key=lambda x: _at_least(n, x, guess) <= share * (1 + 1e-12))
    return found if found <= n else None


def right_for_sameness(kind: str, tasters: int, gap: float, beta: float = 0.05) -> int | None:
    """Most right answers that show sameness within a gap: the largest x with ``P(X ≤ x | pc) ≤ beta``, pc at the gap
    (ISO 4120 Table A.2 rule).

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
    n, share = _tasters(tasters), share_right(kind, _between(gap, "the gap"))
    most = _between(beta, "beta") * (1 + 1e-12)
    found = bisect_left(range(n + 1), True, key=lambda x: _at_most(n, x, share) > most) - 1
    return found if found >= 0 else None


def power(kind: str, tasters: int, share_who_can_tell: float, alpha: float = 0.05) -> float:
    """Chance that a trial shows a difference where so many tasters can truly tell.

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    needed = right_needed(kind, tasters, alpha)
    share = share_right(kind, _share(share_who_can_tell, "the share who can tell"))
    return 0.0 if needed is None else _at_least(tasters, needed, share)


def tasters_needed(kind: str, gap: float, alpha: float = 0.05, beta: float = 0.05, *, most: int = MOST_TASTERS) -> int:
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
    _between(gap, "the gap"), _between(beta, "beta")
    for n in range(1, most + 1):
        if 1 - power(kind, n, gap, alpha) <= beta * (1 + 1e-12):
            return n
    msg = f"a gap of {gap:.0%} would take more than {most} tasters: choose a wider gap"
    raise QuantityError(msg)


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
    guess, n = chance(kind), _tasters(tasters)
    if isinstance(right, bool) or not isinstance(right, int) or not 0 <= right <= n:
        msg = f"{right} right answers of {n}: they are whole, and from none to all"
        raise QuantityError(msg)
    if two_sided and kind != "paired":
        msg = f"a {kind} trial has one side only: right answers; a paired trial may have two"
        raise QuantityError(msg)
    most = max(right, n - right) if kind == "paired" else right
    counted = most if two_sided else right
    needed, same = right_needed(kind, n, alpha, two_sided=two_sided), right_for_sameness(kind, n, gap, beta)
    alike = same is not None and most <= same
    different = needed is not None and counted >= needed and not alike
    answer = ANSWERS[0] if different else ANSWERS[1] if alike else ANSWERS[2]
    told = _share_told(right, n, alpha, guess, two_sided=two_sided)
    more = 0 if answer != ANSWERS[2] else max(tasters_needed(kind, gap, alpha, beta) - n, 1)
    p_value = min(_at_least(n, counted, guess) * (2 if two_sided else 1), 1.0)
    return DifferenceResult(
        kind, n, right, alpha, beta, gap, p_value, needed, same, answer, *told, more, two_sided=two_sided
    )


def _share_told(right: int, n: int, alpha: float, guess: float, *, two_sided: bool) -> list[float]:
    """Best guess of the share who can tell, and the ends of its interval; on two sides, whichever side it is."""
    low, high = clopper_pearson(right, n, alpha)
    if two_sided:
        best, *ends = (abs(2 * x - 1) for x in (right / n, low, high))
        return [best, 0.0 if low <= guess <= high else min(ends), max(ends)]
    return [min(max((x - guess) / (1 - guess), 0.0), 1.0) for x in (right / n, low, high)]


def clopper_pearson(right: int, tasters: int, alpha: float = 0.05) -> tuple[float, float]:
    """Exact two-sided interval of a share with confidence 1 − alpha (Clopper and Pearson, Biometrika 26 (1934) 404), by
    scipy.special.
    """
    from scipy.special import betaincinv

    low = 0.0 if right == 0 else float(betaincinv(right, tasters - right + 1, alpha / 2))
    high = 1.0 if right == tasters else float(betaincinv(right + 1, tasters - right, 1 - alpha / 2))
    return low, high


def _at_least(n: int, x: int, share: float) -> float:
    """``P(X ≥ x)`` for n answers of which each is right with this share, by scipy's binomial tail."""
    from scipy.special import bdtrc

    return 1.0 if x <= 0 else float(bdtrc(x - 1, n, share)) if x <= n else 0.0


def _at_most(n: int, x: int, share: float) -> float:
    from scipy.special import bdtr

    return 0.0 if x < 0 else float(bdtr(min(x, n), n, share))


def _tasters(number: int) -> int:
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= MOST_TASTERS:
        msg = f"{number} tasters: the number is whole, from 1 to {MOST_TASTERS}"
        raise QuantityError(msg)
    return number


def _between(value: float, what: str) -> float:
    if not 0 < value < 1:
        msg = f"{what} is {value}: it lies above 0 and below 1"
        raise QuantityError(msg)
    return value


def _share(value: float, what: str) -> float:
    if not 0 <= value <= 1:
        msg = f"{what} is {value}: it lies from 0 to 1"
        raise QuantityError(msg)
    return value
