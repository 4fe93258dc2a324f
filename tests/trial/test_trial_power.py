"""What a plan can show: looks along the way exact, tasters and pairs against scipy.stats and brute force."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from brute_looks import fewest_with_looks, largest_level
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_tables import reference_rows
from scipy import stats
from scipy.stats import binom

from maker_kit.errors import QuantityError
from maker_kit.trial.binomial import CHANCE
from maker_kit.trial.difference import power, right_for_sameness, right_needed
from maker_kit.trial.each_look import level_for_sameness
from maker_kit.trial.looks import plan_chances, spread_looks, tasters_for_sameness
from maker_kit.trial.pairs_power import pairs_chances, pairs_needed
from maker_kit.trial.power_curve import pairs_curve, power_curve

KINDS = sorted(CHANCE)


@settings(max_examples=60)
@given(
    st.sampled_from(KINDS),
    st.integers(4, 90),
    st.integers(1, 4),
    st.sampled_from([0.01, 0.05, 0.1]),
    st.sampled_from([0.2, 0.3, 0.5]),
)
def test_alarms_and_wrong_sameness_keep_to_their_chances_at_every_look(
    kind: str, n: int, parts: int, error: float, gap: float
) -> None:
    looks = spread_looks(n, parts)
    guessing = plan_chances(kind, looks, 0.0, gap=gap, alpha=error, beta=error)
    at_gap = plan_chances(kind, looks, gap, gap=gap, alpha=error, beta=error)
    assert max(guessing.different) <= error + 1e-12
    assert max(at_gap.same) <= error + 1e-12
    assert all(a <= b for a, b in pairwise(guessing.different))
    assert 0 <= guessing.neither <= 1


@pytest.mark.parametrize("row", reference_rows("triangle_power.csv"), ids=lambda r: r["n"])
def test_one_look_has_the_power_of_the_published_rule(row: dict[str, str]) -> None:
    n = int(row["n"])
    for column, cell in row.items():
        if column.startswith("power_pd"):
            share = int(column[8:]) / 100
            same = right_for_sameness("triangle", n, share)
            found = plan_chances("triangle", (n,), share, gap=share).different[-1]
            if same is None or right_needed("triangle", n) > same:
                assert found == pytest.approx(float(cell), abs=6e-5)
            else:  # what is shown to lie within the gap is called the same
                assert 0.95 <= found <= float(cell) + 6e-5


def test_looks_by_hand_two_looks_of_a_paired_trial() -> None:
    # 8 or more of ten has p = 56/1024, and half of that is below 5 of 5 (1/32); at a level of 64/1024 that stops
    # too, and both together are 0.0703; the next level up, for 7 of ten (176/1024), is above alpha
    found = plan_chances("paired", (5, 10), 0.0, gap=0.9, alpha=0.1, beta=1e-9)
    assert found.different[0] == pytest.approx(1 / 32)
    later = sum(binom.pmf(a, 5, 0.5) * binom.sf(7 - a, 5, 0.5) for a in range(5))
    assert found.different[1] == pytest.approx(1 / 32 + later)


def test_looks_are_what_drawing_answers_gives() -> None:
    rng, looks, runs = np.random.default_rng(20260304), (20, 40), 4000
    right = rng.random((runs, looks[-1])) < 0.4 + 0.6 / 3
    counts = np.cumsum(right, axis=1)[:, [n - 1 for n in looks]]
    stopped = np.zeros(runs, bool)
    different, level = 0, largest_level("triangle", looks, Fraction(1, 20))[0]
    alike_level = level_for_sameness("triangle", looks, 0.4, 0.05)
    for k, n in enumerate(looks):
        hit = ~stopped & (binom.sf(counts[:, k] - 1, n, 1 / 3) <= float(level) * n / looks[-1] * (1 + 1e-9))
        different += hit.sum()
        stopped |= hit | (counts[:, k] <= (right_for_sameness("triangle", n, 0.4, alike_level * n / looks[-1]) or -1))
    exact = plan_chances("triangle", looks, 0.4, gap=0.4).different[-1]
    assert abs(different / runs - exact) < 4 * (exact * (1 - exact) / runs) ** 0.5


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("gap", [0.3, 0.5])
def test_tasters_for_sameness_and_with_looks_meet_their_chances(kind: str, gap: float) -> None:
    n = tasters_for_sameness(kind, gap)
    pc = gap + CHANCE[kind] * (1 - gap)

    def meets(m: int) -> bool:
        x = np.arange(m + 1)  # of a paired trial the other side has to keep within the gap too
        low = binom.cdf(m - x - 1, m, 0.5) if kind == "paired" else 0.0
        return bool(((binom.cdf(x, m, pc) <= 0.05) & (binom.cdf(x, m, CHANCE[kind]) - low >= 0.95)).any())

    assert meets(n)
    assert not any(meets(m) for m in range(1, n))
    many = fewest_with_looks(kind, gap, 2)
    assert plan_chances(kind, spread_looks(many, 2), gap, gap=gap).different[-1] >= 0.95
    assert plan_chances(kind, spread_looks(many - 1, 2), gap, gap=gap).different[-1] < 0.95


def test_the_scenarios_thirty_six_guests() -> None:
    assert right_needed("triangle", 36) == 18
    assert power("triangle", 36, 0.4) == pytest.approx(0.917, abs=5e-4)
    curve = power_curve("triangle", 36, 0.4)
    assert curve.at_gap()[0] == pytest.approx(0.917, abs=5e-4)
    assert (np.diff(curve.to_frame()["says different"]) > -1e-12).all()


def test_pairs_find_a_difference_as_the_noncentral_t_has_it() -> None:
    n, scatter, truth = 9, 2.0, 1.7
    crit = stats.t.ppf(0.975, n - 1)
    far = truth / (scatter / n**0.5)
    exact = stats.nct.sf(crit, n - 1, far) + stats.nct.cdf(-crit, n - 1, far)
    assert pairs_chances(n, truth, 1e-6, scatter)[0] == pytest.approx(exact, abs=2e-3)


def test_pairs_are_called_the_same_as_drawing_them_has_it() -> None:
    rng, n, gap = np.random.default_rng(20260305), 8, 3.0
    drawn = rng.normal(0.5, 2.0, (20_000, n))
    half = stats.t.ppf(0.95, n - 1) * drawn.std(axis=1, ddof=1) / n**0.5
    same = (np.abs(drawn.mean(axis=1)) + half < gap).mean()
    assert pairs_chances(n, 0.5, gap, 2.0)[1] == pytest.approx(same, abs=0.012)


@settings(max_examples=25)
@given(st.floats(0.5, 5), st.floats(0.5, 5))
def test_pairs_needed_are_the_fewest(gap: float, scatter: float) -> None:
    n = pairs_needed(gap, scatter)

    def found(pairs: int) -> float:  # that it is found by the t test alone
        crit, far = stats.t.ppf(0.975, pairs - 1), gap / scatter * pairs**0.5
        return stats.nct.sf(crit, pairs - 1, far)

    assert found(n) >= 0.95
    assert n == 2 or found(n - 1) < 0.95
    assert pairs_chances(max(n, 3), gap, gap, scatter)[1] <= 0.051


@pytest.mark.parametrize("bad", [(1, 3, 2), (2.5, 3, 2), (6, 0, 2), (6, 3, -1), (True, 3, 2), (6, float("inf"), 2)])
def test_what_is_no_number_of_pairs_is_refused(bad: tuple) -> None:
    with pytest.raises(QuantityError):
        pairs_curve(bad[0], bad[1], bad[2], unit="s")


def test_looks_are_spread_evenly_and_none_are_refused() -> None:
    assert spread_looks(66, 3) == (22, 44, 66)
    for bad in ((5, 0), (5, 6)):
        with pytest.raises(QuantityError):
            spread_looks(*bad)
