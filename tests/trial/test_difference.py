"""Blind trials against the tables of ISO 4120, 5495 and 10399 (in `tests/reference`) and scipy.stats."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_tables import reference_rows
from scipy.stats import binom, binomtest

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.trial.binomial import CHANCE, MOST_TASTERS, clopper_pearson
from maker_kit.trial.difference import (
    ANSWERS,
    judge_difference,
    power,
    right_for_sameness,
    right_needed,
    tasters_needed,
)

KINDS = sorted(CHANCE)


@pytest.mark.parametrize("row", reference_rows("triangle_min_correct.csv"), ids=lambda r: r["n"])
def test_triangle_right_answers_that_show_a_difference(row: dict[str, str]) -> None:
    for column, cell in row.items():
        if column.startswith("a0."):
            assert right_needed("triangle", int(row["n"]), float(column[1:])) == (int(cell) if cell else None)


@pytest.mark.parametrize("row", reference_rows("paired_duotrio_min_correct.csv"), ids=lambda r: r["n"])
def test_paired_and_duo_trio_right_answers_that_show_a_difference(row: dict[str, str]) -> None:
    for column, cell in row.items():
        side, _, alpha = column.partition("_a")
        if alpha:
            found = right_needed("paired", int(row["n"]), float(alpha), two_sided=side == "two")
            assert found == (int(cell) if cell else None)
            if side == "one":
                assert right_needed("duo-trio", int(row["n"]), float(alpha)) == found


@pytest.mark.parametrize(
    "row", reference_rows("similarity_max_correct.csv"), ids=lambda r: f"{r['test']}-{r['n']}-{r['beta']}"
)
def test_right_answers_that_show_sameness(row: dict[str, str]) -> None:
    for column, cell in row.items():
        if column.startswith("pd"):
            found = right_for_sameness(row["test"], int(row["n"]), int(column[2:]) / 100, float(row["beta"]))
            assert found == (int(cell) if cell else None)


@pytest.mark.parametrize(
    "row", reference_rows("min_assessors.csv"), ids=lambda r: f"{r['test']}-{r['pd']}-{r['alpha']}"
)
def test_tasters_that_meet_both_errors(row: dict[str, str]) -> None:
    for column, cell in row.items():
        if column.startswith("beta") and cell:
            found = tasters_needed(row["test"].split("/")[0], float(row["pd"]), float(row["alpha"]), float(column[4:]))
            assert found == int(cell)


@pytest.mark.parametrize("row", reference_rows("triangle_power.csv"), ids=lambda r: r["n"])
def test_power_of_a_triangle(row: dict[str, str]) -> None:
    n = int(row["n"])
    assert right_needed("triangle", n, 0.05) == int(row["min_correct_a05"])
    for column, cell in row.items():
        if column.startswith("power_pd"):
            assert power("triangle", n, int(column[8:]) / 100) == pytest.approx(float(cell), abs=6e-5)


def test_nine_of_eighteen_is_neither_and_asks_for_more() -> None:
    found = judge_difference("triangle", 18, 9, gap=0.3)
    assert found.p_value == pytest.approx(binomtest(9, 18, 1 / 3, alternative="greater").pvalue)
    assert (found.answer, found.most_right_same) == ("neither yet", 5)
    assert found.more_needed > 0


def test_seven_of_eight_pairs_shows_a_side() -> None:
    assert judge_difference("paired", 8, 7).p_value == pytest.approx(9 / 256)  # 8 · (1/2)^8 + (1/2)^8
    assert right_needed("paired", 8) == 7
    assert right_needed("paired", 8, two_sided=True) == 8


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(KINDS), st.integers(1, 120), st.data())
def test_every_figure_is_the_binomial_distributions(kind: str, n: int, data: st.DataObject) -> None:
    right = data.draw(st.integers(0, n))
    found = judge_difference(kind, n, right, gap=data.draw(st.sampled_from([0.2, 0.3, 0.5])))
    assert found.p_value == pytest.approx(binom.sf(right - 1, n, CHANCE[kind]), abs=1e-12)
    exact = binomtest(right, n).proportion_ci(0.95, method="exact")
    assert clopper_pearson(right, n) == pytest.approx((exact.low, exact.high), abs=1e-9)
    assert 0 <= found.share_low <= found.share_who_can_tell <= found.share_high <= 1
    assert (found.more_needed == 0) == (found.answer != ANSWERS[2])


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(KINDS), st.integers(3, 60), st.sampled_from([0.2, 0.3, 0.4, 0.5]))
def test_more_right_answers_never_speak_for_sameness(kind: str, n: int, gap: float) -> None:
    first = n // 2 + n % 2 if kind == "paired" else 0  # fewer speak for the other side
    answers = [judge_difference(kind, n, x, gap=gap).answer for x in range(first, n + 1)]
    order = {ANSWERS[1]: 0, ANSWERS[2]: 1, ANSWERS[0]: 2}
    assert [order[a] for a in answers] == sorted(order[a] for a in answers)


def test_false_alarms_and_wrong_sameness_keep_to_their_chances() -> None:
    rng = np.random.default_rng(20260101)
    n, gap = 66, 0.3
    guessing = rng.binomial(n, 1 / 3, 4000)
    said = [judge_difference("triangle", n, x, gap=gap).answer for x in range(n + 1)]
    wrong = np.mean([said[x] == ANSWERS[0] for x in guessing])
    at_gap = rng.binomial(n, gap + (1 - gap) / 3, 4000)
    same = np.mean([said[x] == ANSWERS[1] for x in at_gap])
    assert wrong <= 0.05 + 0.011  # three standard errors of 4000 trials
    assert same <= 0.05 + 0.011


@pytest.mark.parametrize(
    ("kind", "n", "right", "error"),
    [
        ("triangel", 8, 3, UnknownNameError),
        ("triangle", 0, 0, QuantityError),
        ("triangle", 8, 9, QuantityError),
        ("triangle", 8, -1, QuantityError),
        ("triangle", 8.5, 3, QuantityError),
        ("triangle", True, 1, QuantityError),
    ],
)
def test_what_is_no_result_is_refused(kind: str, n: int, right: int, error: type[Exception]) -> None:
    with pytest.raises(error):
        judge_difference(kind, n, right)


def test_all_answers_for_the_other_side_are_no_sameness() -> None:
    assert judge_difference("paired", 40, 0).answer == "neither yet"
    other = judge_difference("paired", 40, 0, two_sided=True)
    assert (other.answer, other.share_who_can_tell) == ("different", 1.0)
    assert other.p_value == pytest.approx(binomtest(0, 40).pvalue)


def test_seven_of_eight_without_a_direction_shows_no_preference() -> None:
    found = judge_difference("paired", 8, 7, two_sided=True)
    assert found.p_value == pytest.approx(18 / 256)
    assert found.answer == "neither yet"
    with pytest.raises(QuantityError):
        judge_difference("triangle", 8, 7, two_sided=True)


def test_a_difference_that_is_shown_to_lie_within_the_gap_is_the_same_within_it() -> None:
    n, right = 2000, 720  # 4 % of the tasters can tell: shown, and far below 30 %
    assert binomtest(right, n, 1 / 3, alternative="greater").pvalue < 0.05
    assert judge_difference("triangle", n, right, gap=0.3).answer == "the same within the gap"


def test_one_taster_shows_nothing() -> None:
    assert judge_difference("triangle", 1, 1).answer == "neither yet"


@pytest.mark.parametrize(("kind", "two_sided"), [*((kind, False) for kind in KINDS), ("paired", True)])
def test_so_many_more_settle_it_whatever_they_answer_and_no_fewer(kind: str, two_sided: bool) -> None:
    gap, guess = 0.4, CHANCE[kind]

    def settled(n: int) -> bool:
        x = np.arange(n + 1)
        apart = binom.sf(x - 1, n, guess) <= 0.05 / (2 if two_sided else 1)
        return bool((apart | (binom.cdf(x, n, gap + guess * (1 - gap)) <= 0.05)).all())

    for n in (2, 7, 18, 33, 41, 55, 69, 80):
        said = (judge_difference(kind, n, x, gap=gap, two_sided=two_sided) for x in range((n + 1) // 2, n + 1))
        open_one = next((found for found in said if found.answer == ANSWERS[2]), None)
        if open_one is not None:
            after = n + open_one.more_needed
            assert settled(after)
            assert not any(settled(m) for m in range(n + 1, after))


def test_a_gap_that_no_number_of_tasters_settles_is_judged_all_the_same() -> None:
    assert judge_difference("triangle", 18, 9, gap=0.005).more_needed == MOST_TASTERS - 18
