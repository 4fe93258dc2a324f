"""Cooling. Expected values: worked examples of OpenStax Calculus Volumes 1 and 2 and College Algebra 2e, as the check
table holds them, and the invented scenario (75 → 61 °C in 10 min at 20 °C: 40 °C at 34.4 min).
"""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit.bench.cooling import Reading, fit_cooling, when_at
from maker_kit.errors import QuantityError

ROWS = reference_rows("newton_cooling.csv")
OTHER = {
    ("7.0", "6.9823"): "200 F, room 75 F, 185 F at 2 min",
    ("113", "112.74"): "165 F, room 75 F, 145 F at 30 min",
    ("-", "134.2"): "165 F, room 75 F, 145 F at 30 min",
}
"""Rows that the table calls "same" and that stand under another example of the book: the checkpoint after the coffee
(Calculus Volume 2, section 2.8), and the turkey of College Algebra 2e, section 6.7.
"""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def worked(rows):
    """The examples as numbers: start, room, later reading, what is asked, and the exact answer."""
    named = ""
    for row in rows:
        named = named if row["inputs"] == "same" else row["inputs"]
        inputs = OTHER.get((row["published"], row["recomputed"]), named)
        start, room, later = re.fullmatch(r"(\d+) F(?: \w+)?, (?:room|freezer|fridge) (\d+) F, (.*)", inputs).groups()
        then, after = re.fullmatch(r"(\d+) F at (\d+) (?:min|h)", later).groups()
        yield pytest.param(
            *map(float, (start, room, then, after)),
            row["asked"],
            float(row["recomputed"]),
            id=f"{inputs}: {row['asked']}",
        )


@pytest.mark.parametrize(("start", "room", "then", "after", "asked", "answer"), [*worked(ROWS)])
def test_the_textbooks_examples(start, room, then, after, asked, answer) -> None:
    law = fit_cooling([(0, celsius(start)), (after, celsius(then))], celsius(room))
    if asked.startswith("k"):
        found = law.per_minute
    elif to := re.match(r"time to (\d+) F", asked):
        found = when_at(law, celsius(float(to[1]))).minutes
    elif near := re.match(r"time to within (\d+) F", asked):
        found = when_at(law, celsius(room + float(near[1]))).minutes
    else:
        found = 32 + 1.8 * law.celsius_at(float(re.match(r"T at (\d+) min", asked)[1]))
    assert found == pytest.approx(answer, rel=5e-4)  # the table gives five figures


def test_the_hand_lotion_is_at_40_after_34_minutes() -> None:
    law = fit_cooling([(0, 75), (10, 61)], 20)
    assert round(law.per_minute, 5) == 0.02938
    forecast = when_at(law, 40)
    assert round(forecast.minutes, 1) == 34.4
    assert forecast.earliest < 34.4 < forecast.latest


def test_the_range_is_that_of_a_thermometer_one_degree_off() -> None:
    # brute force: both readings and the room anywhere within one degree
    law = fit_cooling([(0, 75), (10, 61)], 20, off_c=1)
    forecast = when_at(law, 40)
    tries = [
        math.log((75 + a - 20) / (40 - 20)) / (math.log((75 + a - 20) / (61 + b - 20)) / 10)
        for a in np.linspace(-1, 1, 21)
        for b in np.linspace(-1, 1, 21)
    ]
    assert forecast.earliest <= min(tries) + 1e-6
    assert forecast.latest >= max(tries) - 1e-6


@given(
    st.floats(0.005, 0.2), st.floats(5, 30), st.floats(45, 95), st.lists(st.floats(-0.4, 0.4), min_size=5, max_size=9)
)
def test_more_readings_are_fitted_as_numpy_would(k, room, start, noise) -> None:
    times = np.arange(len(noise)) * 4.0
    read = room + (start - room) * np.exp(-k * times) + np.array(noise)
    gaps = read - room
    assume(gaps.min() > 0.5 and gaps[-1] < gaps[0] - 1)
    law = fit_cooling(list(zip(times, read, strict=True)), room)

    def rest(a, b):
        return float(((read - room - (b - room) * np.exp(-a * times)) ** 2).sum())

    best = rest(law.per_minute, law.start_c)
    for a in (0.98, 1.0, 1.02):
        for b in (-0.3, 0.0, 0.3):
            assert best <= rest(law.per_minute * a, law.start_c + b) + 1e-6


@given(st.floats(0.001, 0.3), st.floats(-5, 35), st.floats(40, 99), st.floats(0, 5000))
def test_it_is_never_beyond_the_room(k, room, start, minutes) -> None:
    law = fit_cooling([Reading(0, start), Reading(1, room + (start - room) * math.exp(-k))], room)
    assert room - 1e-9 <= law.celsius_at(minutes) <= start + 1e-9


def test_what_is_warmed_up_comes_from_the_other_side() -> None:
    # OpenStax College Algebra 2e, 6.7: 40 °F water in a 70 °F room is at 45 °F after an hour
    law = fit_cooling([(0, celsius(40)), (60, celsius(45))], celsius(70))
    assert law.celsius_at(1e6) == pytest.approx(celsius(70))
    assert when_at(law, celsius(80)).minutes is None


@pytest.mark.parametrize("target", [20, 15, -3, 80])
def test_what_is_never_reached_is_said(target) -> None:
    law = fit_cooling([(0, 75), (10, 61)], 20)
    forecast = when_at(law, target)
    if target < 61:
        assert forecast.minutes is None
        assert [f.code for f in forecast.findings] == ["cooling.never"]
    else:
        assert forecast.minutes < 0
        assert [f.code for f in forecast.findings] == ["cooling.passed"]


def test_readings_near_one_another_are_told_to_be_rough() -> None:
    forecast = when_at(fit_cooling([(0, 75), (1, 73.4)], 20), 40)
    assert [f.code for f in forecast.findings] == ["cooling.wide"]


@pytest.mark.parametrize(
    ("readings", "room", "says"),
    [
        ([(0, 75)], 20, "one reading"),
        ([], 20, "one reading"),
        ([(10, 75), (0, 61)], 20, "clock go back"),
        ([(0, 75), (0, 61)], 20, "clock go back"),
        ([(0, 75), (10, 80)], 20, "still heated"),
        ([(0, 75), (10, 75)], 20, "still heated"),
        ([(0, 75), (10, 20)], 20, "at or beyond"),
        ([(0, 75), (10, 15)], 20, "at or beyond"),
        ([(0, float("nan")), (10, 15)], 20, "number"),
        ([(0, 75), (10, 61)], float("inf"), "number"),
        ([(0, 75), (10, -300)], 20, "absolute zero"),
    ],
)
def test_readings_that_tell_nothing_are_refused(readings, room, says) -> None:
    with pytest.raises(QuantityError, match=says):
        fit_cooling(readings, room)


def test_what_was_passed_long_ago_is_told_as_passed() -> None:
    # Newton's law by hand: 20 + 55 · exp(−t / 30000) is 40 at 30000 · ln(55 / 20) = 30348 min, three weeks
    slow = fit_cooling([(t, 20 + 55 * math.exp(-t / 30_000)) for t in (0, 30_000, 60_000, 90_000)], 20.0)
    found = when_at(slow, 40.0)
    assert found.minutes == pytest.approx(30_348, abs=1)
    assert [f.code for f in found.findings] == ["cooling.passed"]
