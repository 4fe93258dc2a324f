"""Signed ranks exact and at once; and looks along the way at pairs: alpha and beta shared over them keep to both."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from brute_looks import largest_level
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from maker_kit.trial.looks import plan_chances, spread_looks
from maker_kit.trial.measured import judge_pairs
from maker_kit.trial.pairs_power import MOST_TASTERS, pairs_by_look, pairs_that_settle


@settings(deadline=None, max_examples=25)
@given(st.lists(st.integers(-6, 6), min_size=2, max_size=9).filter(any))
def test_the_signed_rank_test_is_that_of_scipy_with_ties_and_zeros(differences: list[int]) -> None:
    found = judge_pairs([d + 50 for d in differences], [50] * len(differences), gap=1)
    assert found.rank_p_value == pytest.approx(stats.wilcoxon(np.array(differences, float)).pvalue)


@pytest.mark.parametrize(("mean", "wrong"), [(0.0, "different"), (1.0, "the same within the gap")])
def test_looks_at_pairs_keep_to_alpha_and_beta_over_all_of_them(mean: float, wrong: str) -> None:
    """Differences drawn with no difference, and with one as large as the gap (1, scatter 1), judged after 8, 16 and 24
    pairs at alpha and beta shared over the three looks (Bonferroni's inequality) as `judge_run` does; a trial stops at
    the first look that says so. The same rules without looks stand beside: judged three times at the whole alpha, alike
    things would be called different too often.
    """
    rng, looks, runs, error = np.random.default_rng(20261126), spread_looks(24, 3), 600, 0.05
    draws = rng.normal(mean, 1.0, (runs, looks[-1]))

    def share(at: float) -> float:
        half = {n: stats.t.ppf(1 - at / (2 if mean == 0 else 1), n - 1) for n in looks}
        said = np.zeros(runs, bool)
        for n in looks:
            part = draws[:, :n]
            middle, width = part.mean(axis=1), half[n] * part.std(axis=1, ddof=1) / np.sqrt(n)
            same = np.abs(middle) + width < 1
            said |= (np.abs(middle) > width) if mean == 0 else same
        return float(said.mean())

    margin = 3 * np.sqrt(error * (1 - error) / runs)
    assert share(error / len(looks)) <= error + margin
    assert share(error) > share(error / len(looks))
    if mean == 0:
        assert share(error) > error + margin
    for k in range(40):  # what was reckoned at once above is what the room says one by one
        n = looks[k % 3]
        one = judge_pairs(draws[k, :n] + 9, np.full(n, 9.0), 1.0, alpha=error / 3, beta=error / 3)
        width = stats.t.ppf(1 - error / 3 / (2 if mean == 0 else 1), n - 1) * draws[k, :n].std(ddof=1) / np.sqrt(n)
        middle = abs(draws[k, :n].mean())
        if wrong == "different":
            assert (one.p_value <= error / 3) == (middle > width)
        else:
            assert (one.answer == wrong) == (middle + width < 1)


@pytest.mark.parametrize("looks", [(8, 16, 24), (1, 3, 6)])
def test_what_is_reckoned_of_looks_at_pairs_is_what_drawing_each_pair_gives(looks: tuple[int, ...]) -> None:
    rng, gap, scatter, runs = np.random.default_rng(20261127), 3.0, 2.5, 4000
    for truth in (0.0, 1.5, 3.0):
        draws, told, different, same = rng.normal(truth, scatter, (runs, looks[-1])), np.zeros(runs, bool), 0.0, 0.0
        found = pairs_by_look(looks, [truth], gap, scatter)
        for k, n in enumerate(looks):
            if n > 1:
                middle = np.abs(draws[:, :n].mean(axis=1))
                half = draws[:, :n].std(axis=1, ddof=1) / n**0.5
                alike = middle + stats.t.ppf(1 - 0.05 / len(looks), n - 1) * half < gap
                apart = (2 * stats.t.sf(middle / half, n - 1) <= 0.05 / len(looks)) & ~alike
                different, same = different + (apart & ~told).mean(), same + (alike & ~told).mean()
                told |= alike | apart
            assert found.different[k][0] == pytest.approx(different, abs=0.031)  # 3.5 standard errors of both
            assert found.same[k][0] == pytest.approx(same, abs=0.031)
        if truth == 0:
            assert found.different[-1][0] <= 0.05
        if truth == gap:
            assert found.same[-1][0] <= 0.05


def _largest_of_sameness(looks: tuple[int, int], gap: float, beta: float) -> float:
    """The largest level of the last look with which both sides keep within the gap at either look with chance beta at
    most, where as many as the gap can tell: every level tried.
    """
    first, last = looks
    right = 0.5 + gap / 2
    chances = np.array(
        [
            [stats.binom.pmf(a, first, right) * stats.binom.pmf(b - a, last - first, right) for b in range(last + 1)]
            for a in range(first + 1)
        ]
    )
    within = [stats.binom.cdf(np.maximum(x := np.arange(n + 1), n - x), n, right) for n in looks]
    tried = sorted({float(p) * last / n for n, ps in zip(looks, within, strict=True) for p in ps if p <= beta})
    kept = [0.0]
    for level in tried:
        at = [p <= level * n / last * (1 + 1e-9) for n, p in zip(looks, within, strict=True)]
        if chances[at[0][:, None] | at[1][None, :]].sum() <= beta:
            kept.append(level)
    return max(kept)


def test_looks_at_a_paired_trial_without_a_side_are_what_drawing_answers_gives() -> None:
    rng, looks, gap, runs = np.random.default_rng(20261128), (20, 40), 0.4, 20_000
    level, _ = largest_level("paired", looks, Fraction(1, 20), two_sided=True)
    alike_level = _largest_of_sameness(looks, gap, 0.05)
    for share in (0.0, 0.4):
        right, told, different, same = rng.random((runs, 40)) < 0.5 + share / 2, np.zeros(runs, bool), 0.0, 0.0
        for n in looks:
            most = right[:, :n].sum(axis=1)
            most = np.maximum(most, n - most)
            x = np.arange(n + 1)
            alike = (stats.binom.cdf(x, n, 0.5 + gap / 2) <= alike_level * n / 40 * (1 + 1e-9))[most]
            apart = (2 * stats.binom.sf(x - 1, n, 0.5) <= float(level) * n / 40 * (1 + 1e-9))[most] & ~alike
            different, same = different + (apart & ~told).mean(), same + (alike & ~told).mean()
            told |= alike | apart
        found = plan_chances("paired", looks, share, gap=gap, two_sided=True)
        assert found.different[-1] == pytest.approx(different, abs=0.013)
        assert found.same[-1] == pytest.approx(same, abs=0.013)


@pytest.mark.parametrize(("mean", "gap", "scatter"), [(1.0, 3.0, 3.0), (2.5, 3.0, 4.0), (5.0, 3.0, 6.0)])
def test_more_pairs_settle_it_as_often_as_is_said_and_fewer_do_not(mean: float, gap: float, scatter: float) -> None:
    rng, runs = np.random.default_rng(20261129), 20_000

    def settled(n: int) -> float:
        draws = rng.normal(mean, scatter, (runs, n))
        middle, half = np.abs(draws.mean(axis=1)), draws.std(axis=1, ddof=1) / n**0.5
        return ((middle + stats.t.ppf(0.95, n - 1) * half < gap) | (middle > stats.t.ppf(0.975, n - 1) * half)).mean()

    n = pairs_that_settle(mean, gap, scatter)
    assert settled(n) >= 0.8 - 0.01
    assert settled(n - 1) < 0.8 + 0.01
    assert pairs_that_settle(0.0, 0.001, 50.0) == MOST_TASTERS
