"""The binomial law of blind trials: how often guessing is right, tails, exact intervals; what is refused."""

from __future__ import annotations

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.names import near_miss

CHANCE = {"triangle": 1 / 3, "duo-trio": 1 / 2, "paired": 1 / 2}
"""Share of right answers by guessing alone, for each kind of trial (ISO 4120:2021 triangle, ISO 10399:2017 duo-trio,
ISO 5495:2005 paired).
"""
MOST_TASTERS = 10_000
"""Most tasters a trial is reckoned for."""


def chance(kind: str) -> float:
    """Share of right answers by guessing alone.

    Raises
    ------
    UnknownNameError
        If the kind of trial is none of `CHANCE`.
    """
    if kind not in CHANCE:
        raise UnknownNameError(f'there is no trial called "{kind}": {near_miss(kind, CHANCE)}')
    return CHANCE[kind]


def share_right(kind: str, share_who_can_tell: float) -> float:
    """Share of right answers where so many tasters can truly tell and the others guess: ``pc = pd + p0 (1 − pd)``
    (Abbott's formula, ISO 4120 annex B).
    """
    guess = chance(kind)
    return share_who_can_tell + guess * (1 - share_who_can_tell)


def clopper_pearson(right: int, tasters: int, alpha: float = 0.05) -> tuple[float, float]:
    """Exact two-sided interval of a share with confidence 1 − alpha (Clopper and Pearson, Biometrika 26 (1934) 404),
    by scipy.special.
    """
    from scipy.special import betaincinv

    low = 0.0 if right == 0 else float(betaincinv(right, tasters - right + 1, alpha / 2))
    high = 1.0 if right == tasters else float(betaincinv(right + 1, tasters - right, 1 - alpha / 2))
    return low, high


def at_least(n: int, x: int, share: float) -> float:
    """``P(X ≥ x)`` for n answers of which each is right with this share, by scipy's binomial tail."""
    from scipy.special import bdtrc

    return 1.0 if x <= 0 else float(bdtrc(x - 1, n, share)) if x <= n else 0.0


def at_most(n: int, x: int, share: float) -> float:
    """``P(X ≤ x)``, likewise."""
    from scipy.special import bdtr

    return 0.0 if x < 0 else float(bdtr(min(x, n), n, share))


def check_tasters(number: int) -> int:
    """The number of tasters, if it is one. Raises QuantityError."""
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= MOST_TASTERS:
        raise QuantityError(f"{number} tasters or pairs: the number is whole, from 1 to {MOST_TASTERS}")
    return number


def between(value: float, what: str) -> float:
    """A chance or a gap, if it lies between 0 and 1. Raises QuantityError."""
    if not 0 < value < 1:
        raise QuantityError(f"{what} is {value}: it lies above 0 and below 1")
    return value


def share_of(value: float, what: str) -> float:
    """A share, if it lies from 0 to 1. Raises QuantityError."""
    if not 0 <= value <= 1:
        raise QuantityError(f"{what} is {value}: it lies from 0 to 1")
    return value
