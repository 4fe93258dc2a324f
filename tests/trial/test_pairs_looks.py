"""Signed ranks exact and at once; and looks along the way at pairs: alpha and beta shared over them keep to both."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from maker_kit.trial.looks import spread_looks
from maker_kit.trial.measured import judge_pairs


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
