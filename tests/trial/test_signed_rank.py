"""Signed ranks against scipy.stats.wilcoxon, and against every sign set both ways where scipy only estimates."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from maker_kit.trial.signed_rank import rank_interval, signed_rank_p

wholes = st.lists(st.integers(-12, 12), min_size=1, max_size=10)


@settings(deadline=None, max_examples=25)
@given(wholes)
def test_every_sign_set_both_ways_counts_as_many(differences: list[int]) -> None:
    left = np.array([d for d in differences if d], float)
    found = signed_rank_p(np.array(differences, float))
    if not len(left):
        assert found == 1
        return
    ranks = stats.rankdata(np.abs(left))
    sums = np.array([ranks @ np.array(signs) for signs in itertools.product((0, 1), repeat=len(left))])
    seen = float(ranks[left > 0].sum())
    tail = min(np.mean(sums <= seen + 1e-9), np.mean(sums >= seen - 1e-9))
    assert found == pytest.approx(min(1.0, 2 * tail))


@pytest.mark.parametrize("size", [2, 6, 13, 30, 50, 51, 80])
def test_without_ties_it_is_scipys_test(size: int) -> None:
    differences = np.random.default_rng(size).normal(0.3, 1, size)
    theirs = stats.wilcoxon(differences, correction=False).pvalue
    assert signed_rank_p(differences) == pytest.approx(theirs, rel=1e-9)


def test_many_ties_are_scipys_normal_with_their_variance() -> None:
    differences = np.random.default_rng(4).integers(-3, 6, 90).astype(float)
    assert signed_rank_p(differences) == pytest.approx(stats.wilcoxon(differences, correction=False).pvalue)


@pytest.mark.parametrize(("size", "alpha"), [(6, 0.05), (9, 0.05), (14, 0.1), (20, 0.02), (5, 0.05)])
def test_the_interval_ends_where_scipys_test_turns(size: int, alpha: float) -> None:
    """What lies inside is not rejected as the middle difference, what lies outside is, both by scipy's exact test."""
    differences = np.random.default_rng(100 + size).normal(0.4, 1, size)
    low, high = rank_interval(differences, alpha)

    def chance(middle: float) -> float:
        return stats.wilcoxon(differences - middle, mode="exact").pvalue

    assert min(chance(low + 1e-9), chance(high - 1e-9)) > alpha
    if 2 / 2**size <= alpha:  # else no middle difference at all can be rejected
        assert max(chance(low - 1e-9), chance(high + 1e-9)) <= alpha
    else:
        assert (low, high) == (differences.min(), differences.max())
