"""Paired measures against scipy.stats; the demo scenario's rub-in seconds and foam heights (invented) by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from maker_kit.errors import QuantityError
from maker_kit.trial.measured import holm, judge_pairs

RUB_IN = [(41, 33), (38, 35), (44, 34), (40, 36), (39, 30), (43, 37)]
FOAM = ([62, 60, 64, 61, 63], [63, 61, 62, 64, 60])


def test_rub_in_takes_longer_than_the_shops() -> None:
    ours, shop = zip(*RUB_IN, strict=True)
    found = judge_pairs(ours, shop, gap=3)
    assert found.mean == pytest.approx(40 / 6)  # (8 + 3 + 10 + 4 + 9 + 6) / 6
    assert found.answer == "different"
    test = stats.ttest_rel(ours, shop)
    assert found.p_value == pytest.approx(test.pvalue)
    interval = test.confidence_interval(0.95)
    assert (found.low, found.high) == pytest.approx((interval.low, interval.high))
    assert found.rank_p_value == pytest.approx(stats.wilcoxon(np.subtract(ours, shop)).pvalue)


def test_foam_is_the_same_within_five_millimetres_and_not_within_one() -> None:
    assert judge_pairs(*FOAM, gap=5).answer == "the same within the gap"
    narrow = judge_pairs(*FOAM, gap=1)
    assert narrow.answer == "neither yet"
    assert narrow.more_needed >= 1


values = st.lists(st.tuples(st.integers(0, 90), st.integers(0, 90)), min_size=2, max_size=18)


@settings(deadline=None, max_examples=40)
@given(values, st.floats(0.5, 40))
def test_figures_are_those_of_scipy_and_sameness_is_two_one_sided_tests(
    pairs: list[tuple[int, int]], gap: float
) -> None:
    ours, shop = zip(*pairs, strict=True)
    found = judge_pairs(ours, shop, gap)
    differences = np.subtract(ours, shop)
    if differences.std() == 0:
        return
    test = stats.ttest_rel(ours, shop)
    assert found.p_value == pytest.approx(test.pvalue, abs=1e-12)
    above = stats.ttest_1samp(differences, -gap, alternative="greater").pvalue
    below = stats.ttest_1samp(differences, gap, alternative="less").pvalue
    if abs(max(above, below) - 0.05) > 1e-9:
        assert (found.answer == "the same within the gap") == (max(above, below) < 0.05)
    assert found.low <= found.mean <= found.high
    assert found.rank_low <= float(np.median(differences)) + 1e-9 or found.rank_low <= found.rank_high


@settings(deadline=None, max_examples=40)
@given(st.lists(st.integers(-30, 30).filter(bool), min_size=6, max_size=12, unique_by=abs))
def test_the_rank_interval_leaves_out_what_wilcoxons_test_refuses(differences: list[int]) -> None:
    """The interval holds exactly the shifts that the exact two-sided signed-rank test does not refuse at 5 %."""
    found = judge_pairs([d + 100 for d in differences], [100] * len(differences), gap=1)
    for shift, inside in (
        (found.rank_low - 0.01, False),
        (found.rank_high + 0.01, False),
        (found.rank_low + 0.01, True),
    ):
        moved = np.array(differences) - shift
        if len(set(np.abs(moved))) == len(moved) and found.rank_low + 0.01 < found.rank_high:
            assert (stats.wilcoxon(moved, method="exact").pvalue > 0.05) == inside


@given(st.dictionaries(st.text("abcdefg", min_size=1, max_size=3), st.floats(0, 1), min_size=1))
def test_holm_never_lowers_and_keeps_the_order(p_values: dict[str, float]) -> None:
    found = holm(p_values)
    assert list(found) == list(p_values)
    for name, p in p_values.items():
        assert p <= found[name] <= 1
    smallest = min(p_values.values())
    assert min(found.values()) == pytest.approx(min(len(p_values) * smallest, 1))


def test_holm_by_hand() -> None:
    assert holm({"a": 0.01, "b": 0.04, "c": 0.03}) == pytest.approx({"a": 0.03, "b": 0.06, "c": 0.06})


def test_missing_values_are_left_out_and_counted() -> None:
    found = judge_pairs([1.0, None, 3.0, 4.0], [1.0, 2.0, None, 4.5], gap=1)
    assert (found.pairs, found.missing, found.ties) == (2, 2, 1)


def test_nothing_but_ties_is_no_difference() -> None:
    """Three say nothing yet, for how they scatter is not known; of five, 0.5⁵ is below 0.05."""
    found = judge_pairs([5, 5, 5], [5, 5, 5], gap=1)
    assert (found.p_value, found.answer, found.ties) == (1.0, "neither yet", 3)
    assert judge_pairs([5] * 5, [5] * 5, gap=1).answer == "the same within the gap"


@pytest.mark.parametrize(
    ("ours", "shop", "gap"),
    [([1], [2], 1), ([1, 2], [1], 1), ([1, -2], [1, 2], 1), ([1, 2], [1, 2], 0), ([1, float("nan")], [1, 2], 1)],
)
def test_what_are_no_pairs_is_refused(ours: list[float], shop: list[float], gap: float) -> None:
    with pytest.raises(QuantityError):
        judge_pairs(ours, shop, gap)


@pytest.mark.parametrize(("difference", "gap", "first"), [(0.0, 3.0, 5), (1.0, 3.0, 5), (7.0, 3.0, 6), (0.1, 3.0, 5)])
def test_differences_all_alike_are_judged_by_signs_and_not_sure_after_two_pairs(difference, gap, first) -> None:
    """The sign test by scipy: sameness from 0.5ⁿ ≤ 0.05 on, a difference from 2 · 0.5ⁿ ≤ 0.05 on."""
    for n in range(2, 9):
        found = judge_pairs([40.2 + difference] * n, [40.2] * n, gap)
        settled = "different" if difference >= gap else "the same within the gap"
        assert found.answer == (settled if n >= first else "neither yet")
        if difference:
            assert found.p_value == pytest.approx(stats.binomtest(n, n, 0.5).pvalue)
        assert found.more_needed == max(first - n, 0)
    moved = judge_pairs([40.2 + difference] * 5 + [40.3 + difference], [40.2] * 6, gap)
    assert moved.scatter > 0
