"""Fills. Expected values: the invented scenario (hand lotion, 250 mL = 245.0 g, ten bottles: mean 244.35 g = 249.3 mL,
one at 241.2 mL within the 9 mL that one may lack), the allowance tables, and scipy's Student t.
"""

from __future__ import annotations

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows
from scipy import stats

from maker_kit.bench.fills import check_fills
from maker_kit.errors import QuantityError
from maker_kit.units import Amount

LOTION = (245.8, 244.9, 246.1, 243.7, 245.2, 236.4, 245.5, 244.8, 246.0, 245.1)
ML_250 = Amount(250, "volume")


def codes(check) -> list[str]:
    return [f.code for f in check.findings]


def test_the_mean_fails_though_each_is_within_what_one_may_lack() -> None:
    check = check_fills(LOTION, ML_250, 0.98)
    assert round(check.mean_g, 2) == 244.35
    assert round(check.mean_g / 0.98, 1) == 249.3
    assert round(check.lowest_g / 0.98, 1) == 241.2
    assert check.may_lack_g == pytest.approx(9 * 0.98)
    assert codes(check) == ["fill.mean"]


def test_one_that_lacks_too_much_is_another_fault() -> None:
    check = check_fills([249, 250, 251, 235.9, 260, 258], ML_250, 0.98)
    assert "fill.single" in codes(check)
    assert "fill.mean" not in codes(check)
    both = check_fills([245, 245, 230], ML_250, 0.98)
    assert codes(both) == ["fill.mean", "fill.single"]


@pytest.mark.parametrize("row", reference_rows("sample_correction_factor.csv"), ids=lambda r: r["sample_n"])
def test_the_mass_to_aim_at_lies_above_by_student_s_share(row) -> None:
    # NIST Handbook 133, Table 2-1: t(0.975, n - 1) / sqrt(n)
    n = int(row["sample_n"])
    masses = [245 + (1 if k % 2 else -1) for k in range(n)]
    check = check_fills(masses, ML_250, 0.98)
    assert (check.may_fill_g - check.target_g) / check.spread_g == pytest.approx(float(row["scf"]), rel=2e-4)


def test_a_mean_that_is_enough_only_by_chance_is_to_be_looked_at() -> None:
    assert codes(check_fills([245.1, 246, 244.2], ML_250, 0.98)) == ["fill.few"]
    assert codes(check_fills([250, 250.1, 249.9], ML_250, 0.98)) == ["fill.enough"]


def test_by_weight_and_where_no_rule_is_on_file() -> None:
    check = check_fills([50.2, 50.3, 50.4], Amount(50, "mass"), 0.93)
    assert (check.target_g, codes(check)) == (50, ["fill.enough"])
    assert "fill.no_rule" in codes(check_fills([245.1, 246, 247], ML_250, 0.98, "US"))  # by volume: none on file


@given(st.lists(st.floats(230, 260), min_size=3, max_size=12))
def test_the_two_faults_are_those_of_the_plain_figures(masses) -> None:
    check = check_fills(masses, ML_250, 0.98)
    mean = statistics.fmean(masses)
    half = stats.t.ppf(0.975, len(masses) - 1) * statistics.stdev(masses) / len(masses) ** 0.5
    assert ("fill.mean" in codes(check)) == (mean < 245 - 1e-9)
    assert ("fill.single" in codes(check)) == (min(masses) < 245 - 9 * 0.98 - 1e-9)
    assert check.may_fill_g == pytest.approx(245 + half)
    assert len(check.to_frame()) == len(masses)


@pytest.mark.parametrize(
    ("masses", "density", "says"),
    [
        ([245, 245], 0.98, "at least 3"),
        ([245, -1, 3], 0.98, "above 0 g"),
        ([1, 2, 3], 980, "density"),
        ([245, float("nan"), 3], 0.98, "above 0 g"),
        ([1.0] * 10001, 0.98, "more than 10000"),
    ],
)
def test_what_is_no_fill_is_refused(masses, density, says) -> None:
    with pytest.raises(QuantityError, match=says):
        check_fills(masses, ML_250, density)
