"""How likely a plan says different, or the same, by what is truly so; and how many tasters or pairs that takes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.trial.binomial import MOST_TASTERS
from maker_kit.trial.difference import power, tasters_needed
from maker_kit.trial.looks import plan_chances, tasters_for_sameness
from maker_kit.trial.pairs_power import DRAWN, LEAST_PAIRS, pairs_by_look, pairs_chances, pairs_needed

STEPS = 50


@dataclass(frozen=True)
class PowerCurve:
    """How likely a plan finds a difference, and how likely it says the same.

    Attributes
    ----------
    kind : str
        ``triangle``, ``duo-trio``, ``paired`` or ``pairs``.
    count : int
        Tasters or pairs.
    gap : float
        A share of tasters who can tell, 0 to 1, or in the unit.
    unit : str
        Of `truths` and `gap`; empty for shares.
    alpha, beta : float
    looks : tuple of int
        Results after which is judged.
    truths : tuple of float
        What may truly be so: the share who can tell, or how far ours lies from the shop's; the gap is among them.
    different_by, same_by : tuple of tuple of float
        For each look, the chance to have said so by then at each truth; a trial stops where it says either.
    for_difference, for_sameness : int
        Tasters or pairs that it takes without looks along the way: for the test to find a difference as large as the
        gap with chance 1 − beta, and to call alike things the same with chance 1 − alpha.
    scatter : float or None
        Standard deviation of a difference that was reckoned with, for pairs.
    two_sided : bool
        Whether a paired trial has no expected side; all who can tell are then taken to lean to one.
    drawn : int
        Trials drawn to find the chances; 0 where they are worked out.
    """

    kind: str
    count: int
    gap: float
    unit: str
    alpha: float
    beta: float
    looks: tuple[int, ...]
    truths: tuple[float, ...]
    different_by: tuple[tuple[float, ...], ...]
    same_by: tuple[tuple[float, ...], ...]
    for_difference: int
    for_sameness: int
    scatter: float | None = None
    two_sided: bool = False
    drawn: int = 0

    @property
    def different(self) -> tuple[float, ...]:
        """Chance to say different at each truth, when all is in."""
        return self.different_by[-1]

    @property
    def same(self) -> tuple[float, ...]:
        """Chance to say the same at each truth, when all is in."""
        return self.same_by[-1]

    def at_gap(self) -> tuple[float, float]:
        """Chances to say different, and to say the same, where the truth lies at the gap."""
        at = self.truths.index(self.gap)
        return self.different[at], self.same[at]

    def to_frame(self) -> pd.DataFrame:
        """The curve as a table: what is truly so, and the chance of each answer."""
        name = "share who can tell" if not self.unit else f"truly apart [{self.unit}]"
        return pd.DataFrame({name: self.truths, "says different": self.different, "says the same": self.same})


def power_curve(
    kind: str,
    tasters: int,
    gap: float,
    *,
    alpha: float = 0.05,
    beta: float = 0.05,
    looks: Sequence[int] = (),
    two_sided: bool = False,
) -> PowerCurve:
    """How likely each answer is with so many tasters, by the share who can truly tell, in steps of 2 % and at the gap;
    `two_sided` for a paired trial without an expected side.

    Raises
    ------
    UnknownNameError, QuantityError
        As `right_needed`.
    """
    power(kind, tasters, gap, alpha, two_sided=two_sided)  # refuses what is out of range
    at = tuple(looks) or (tasters,)
    shares = tuple(sorted({k / STEPS for k in range(STEPS + 1)} | {gap}))
    how = {"gap": gap, "alpha": alpha, "beta": beta, "two_sided": two_sided}
    found = [plan_chances(kind, at, share, **how) for share in shares]
    return PowerCurve(
        kind,
        tasters,
        gap,
        "",
        alpha,
        beta,
        at,
        shares,
        tuple(zip(*(f.different for f in found), strict=True)),
        tuple(zip(*(f.same for f in found), strict=True)),
        tasters_needed(kind, gap, alpha, beta, two_sided=two_sided),
        tasters_for_sameness(kind, gap, alpha, beta),
        two_sided=two_sided,
    )


def pairs_curve(
    pairs: int,
    gap: float,
    scatter: float,
    *,
    unit: str,
    alpha: float = 0.05,
    beta: float = 0.05,
    looks: Sequence[int] = (),
) -> PowerCurve:
    """How likely each answer is with so many measured pairs, by how far the two truly lie apart, up to three gaps.

    With looks along the way the chances are drawn (`pairs_by_look`), else worked out.

    Parameters
    ----------
    pairs : int
        2 to `MOST_TASTERS`.
    gap, scatter : float
        Largest difference that is still called the same, and the standard deviation of a difference, in the unit;
        above 0.
    unit : str
    alpha, beta : float
    looks : sequence of int
        Pairs after which is judged; all unless given.

    Returns
    -------
    PowerCurve

    Raises
    ------
    QuantityError
        If a number is out of range.
    """
    if isinstance(pairs, bool) or not isinstance(pairs, int) or not LEAST_PAIRS <= pairs <= MOST_TASTERS:
        raise QuantityError(f"{pairs} pairs: the number is whole, from {LEAST_PAIRS} to {MOST_TASTERS}")
    for value, what in ((gap, "a gap"), (scatter, "a scatter")):
        if not 0 < value < math.inf:
            raise QuantityError(f"{what} of {value}: it is above 0")
    truths = tuple(sorted({3 * gap * k / STEPS for k in range(STEPS + 1)} | {gap}))
    at = tuple(looks) or (pairs,)
    if len(at) > 1:
        drawn = pairs_by_look(at, truths, gap, scatter, alpha, beta)
        different, same = drawn.different, drawn.same
    else:
        found = [pairs_chances(pairs, truth, gap, scatter, alpha, beta) for truth in truths]
        different, same = (tuple(d for d, _ in found),), (tuple(s for _, s in found),)
    return PowerCurve(
        "pairs",
        pairs,
        gap,
        unit,
        alpha,
        beta,
        at,
        truths,
        different,
        same,
        pairs_needed(gap, scatter, alpha, beta),
        pairs_needed(gap, scatter, alpha, beta, same=True),
        scatter,
        drawn=DRAWN if len(at) > 1 else 0,
    )
