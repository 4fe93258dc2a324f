"""Each look at its exact level: against plain fractions, which know nothing of the package."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from brute_looks import GUESS, ever, fewest_with_looks, largest_level, p_value, tail
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.trial.difference import right_for_sameness, right_needed
from maker_kit.trial.each_look import (
    level_for_difference,
    level_for_sameness,
    levels,
    look_level,
    says_different,
    wrongly_different,
)
from maker_kit.trial.looks import plan_chances, spread_looks

KINDS = st.sampled_from(sorted(GUESS))
ALPHA = Fraction(1, 20)


@settings(max_examples=30, deadline=None)
@given(KINDS, st.lists(st.integers(2, 26), min_size=2, max_size=3, unique=True).map(sorted), st.booleans())
def test_the_level_of_a_difference_is_the_largest_that_keeps_to_alpha(kind, looks, two_sided) -> None:
    two_sided = two_sided and kind == "paired"
    found = level_for_difference(kind, tuple(looks), float(ALPHA), two_sided=two_sided)
    level, reached = largest_level(kind, looks, ALPHA, two_sided=two_sided)
    for n in looks:
        needed = [x for x in range(n // 2, n + 1) if p_value(kind, n, x, two_sided=two_sided) <= level * n / looks[-1]]
        assert right_needed(kind, n, found * n / looks[-1], two_sided=two_sided) == (min(needed) if needed else None)
    assert reached <= ALPHA
    assert wrongly_different(kind, looks, levels(looks, found), two_sided=two_sided) == pytest.approx(float(reached))


@settings(max_examples=20, deadline=None)
@given(KINDS, st.integers(6, 30), st.integers(2, 3), st.sampled_from([Fraction(3, 10), Fraction(1, 2)]))
def test_the_level_of_sameness_keeps_to_beta_and_the_last_look_is_no_stricter_than_an_equal_share(
    kind, n, parts, gap
) -> None:
    looks, true = spread_looks(n, parts), gap + GUESS[kind] * (1 - gap)
    level = level_for_sameness(kind, looks, float(gap), float(ALPHA))
    most = {at: right_for_sameness(kind, at, float(gap), level * at / n) for at in looks}
    counted = (lambda at, x: max(x, at - x)) if kind == "paired" else (lambda at, x: x)
    reached = ever(looks, true, lambda at, x: most[at] is not None and counted(at, x) <= most[at])
    assert reached <= ALPHA
    shared = right_for_sameness(kind, n, float(gap), float(ALPHA) / parts)
    assert shared is None or (most[n] is not None and most[n] >= shared)


@settings(max_examples=40, deadline=None)
@given(KINDS, st.integers(6, 80), st.integers(2, 5), st.sampled_from([0.01, 0.05, 0.1]))
def test_the_last_look_takes_no_more_right_answers_than_an_equal_share_would(kind, n, parts, alpha) -> None:
    looks = spread_looks(n, parts)
    level = level_for_difference(kind, looks, alpha)
    assert (right_needed(kind, n, level) or n + 1) <= (right_needed(kind, n, alpha / parts) or n + 1)
    assert wrongly_different(kind, looks, levels(looks, level)) <= alpha * (1 + 1e-9)


def test_a_corrected_p_value_is_at_most_alpha_where_the_look_says_different_and_never_above_the_sum() -> None:
    looks, alpha = (12, 24, 36), 0.05

    def exact(at, error):
        return level_for_difference("triangle", at, error)

    def wrongly(at, each):
        return wrongly_different("triangle", at, each)

    for k, n in enumerate(looks, 1):
        at = look_level(alpha, looks, looks[:k], exact, wrongly)
        told = [at.corrected(float(tail(n, x, GUESS["triangle"]))) for x in range(n + 1)]
        assert [p <= alpha * (1 + 1e-9) for p in told] == says_different("triangle", n, at.level).tolist()
        assert all(a >= b for a, b in pairwise(told))
        times = sum(looks) / n  # Bonferroni's inequality, each look weighed by its answers
        assert all(p <= min(times * float(tail(n, x, GUESS["triangle"])), 1) + 1e-9 for x, p in enumerate(told))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2), st.lists(st.integers(0, 3), min_size=3, max_size=3), st.integers(0, 3))
def test_missing_answers_and_a_key_opened_early_keep_to_alpha_too(passed, lost, more) -> None:
    """Three looks are planned; answers are lost, and after `passed` looks the key is opened a few answers later."""
    looks, alpha = (8, 16, 24), 0.05

    def exact(at, error):
        return level_for_difference("triangle", at, error)

    def wrongly(at, each):
        return wrongly_different("triangle", at, each)

    whole = [n - sum(lost[: k + 1]) for k, n in enumerate(looks)]
    early = more > 0
    taken = whole[:passed] if early else whole
    levels = {n: look_level(alpha, looks, whole[: k + 1], exact, wrongly).level for k, n in enumerate(taken)}
    ends = list(taken)
    if early:
        ends.append((taken[-1] if taken else 0) + more)
        levels[ends[-1]] = look_level(alpha, looks, taken, exact, wrongly, early=True).level
    reached = ever(ends, GUESS["triangle"], lambda n, x: float(tail(n, x, GUESS["triangle"])) <= levels[n] * (1 + 1e-9))
    assert float(reached) <= alpha * (1 + 1e-9)


def test_looks_cost_fewer_tasters_than_equal_shares_would() -> None:
    """With three looks at a triangle and a gap of 30 %, boundaries at a third of alpha each would take 89 tasters, as
    plain sums of binomials have it; one look takes 66 (ISO 4120 Table A.3).
    """
    found = fewest_with_looks("triangle", 0.3, 3)
    assert 66 <= found <= 76
    looks = spread_looks(found, 3)
    guessing, at_gap = (plan_chances("triangle", looks, share, gap=0.3) for share in (0.0, 0.3))
    assert max(guessing.different) <= 0.05
    assert at_gap.different[-1] >= 0.95
    assert max(at_gap.same) <= 0.05
