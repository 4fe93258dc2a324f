"""Watch and band. Expected values: the invented scenario (gel cream, days 0, 1, 7, 28: steady at 20 °C, spread 6.6 →
7.9 at 40 °C), and the flow rate example of the NIST/SEMATECH e-Handbook, 6.3.2.2 (individuals chart; from memory).
"""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.bench.watching import Observation, band, judge_watch
from maker_kit.errors import QuantityError

DAYS = (0, 1, 7, 28)
GEL = [Observation(d, "20 °C", "spread", v) for d, v in zip(DAYS, (6.6, 6.4, 6.4, 6.5), strict=True)]
GEL += [Observation(d, "20 °C", "pH", v) for d, v in zip(DAYS, (5.6, 5.6, 5.6, 5.5), strict=True)]
GEL += [Observation(d, "40 °C", "spread", v) for d, v in zip(DAYS, (6.6, 6.5, 6.9, 7.9), strict=True)]
DATES = {"Gel former": date(2028, 1, 1)}


def codes(watch) -> list[str]:
    return [f.code for f in watch.findings]


def test_nothing_watched_is_nothing_known() -> None:
    watch = judge_watch([])
    assert (watch.may_say_months, codes(watch)) == (None, ["watch.none"])


def test_the_gel_thins_in_the_warm_and_is_known_for_28_days_only() -> None:
    watch = judge_watch(GEL, DATES, date(2026, 11, 2))
    assert codes(watch) == ["watch.changed"]
    assert watch.findings[0].about == ("40 °C", "spread")
    assert watch.watched_days == 28
    assert watch.may_say_months == 0.9  # 28 of 30.4 days, rounded down
    assert watch.to_frame().loc[28, "spread, 40 °C"] == 7.9


def test_never_longer_than_the_shortest_ingredient() -> None:
    watch = judge_watch(GEL[:8], {"Gel former": date(2026, 11, 12), "Water": date(2030, 1, 1)}, date(2026, 11, 2))
    assert watch.may_say_months == 0.3
    assert codes(watch) == ["watch.ingredient", "watch.steady"]
    assert judge_watch(GEL[:8], {"x": date(2026, 1, 1)}, date(2026, 11, 2)).may_say_months == 0.0


def test_ingredients_without_dates_are_told() -> None:
    assert "watch.no_dates" in codes(judge_watch(GEL[:8]))


def test_a_bad_smell_stops_and_ends_the_time() -> None:
    seen = [Observation(d, "20 °C", "smell", words=w) for d, w in ((0, "same"), (7, "same"), (28, "bad"), (90, "bad"))]
    watch = judge_watch(seen, DATES, date(2026, 11, 2))
    assert codes(watch) == ["watch.bad"]
    assert watch.may_say_months == 0.2  # seven days


@given(st.lists(st.tuples(st.integers(0, 400), st.sampled_from(["same", "changed", "bad"])), min_size=1, max_size=8))
def test_no_shelf_life_is_longer_than_what_was_watched_well(rows) -> None:
    watch = judge_watch([Observation(d, "20 °C", "look", words=w) for d, w in rows])
    bad = [d for d, w in rows if w != "same"]
    good = [d for d, _ in rows if not bad or d < min(bad)]
    assert watch.may_say_months <= max(good, default=0) / 30.4375 + 1e-9
    assert bool(bad) == any(f.code in ("watch.bad", "watch.changed") for f in watch.findings)


@pytest.mark.parametrize("seen", [Observation(-1, "20 °C", "pH", 5.5), Observation(1, "20 °C", "pH", float("nan"))])
def test_what_cannot_be_is_refused(seen) -> None:
    with pytest.raises(QuantityError):
        judge_watch([seen])


FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)


def test_the_band_is_that_of_the_handbook_s_example() -> None:
    # e-Handbook 6.3.2.2, flow rate of ten batches: centre 50.81, moving range 1.8778, limits 55.8041 and 45.8159
    found = band([*FLOW, 50.0], "flow")
    assert round(found.mean, 2) == 50.81
    assert (round(found.high, 2), round(found.low, 2)) == (55.80, 45.82)
    assert [f.code for f in found.findings] == ["band.inside"]
    assert [f.code for f in band([*FLOW, 56.0], "flow").findings] == ["band.outside"]


def test_fewer_than_five_before_tell_no_band() -> None:
    found = band(FLOW[:5], "flow")
    assert (found.mean, [f.code for f in found.findings]) == (None, ["band.few"])
    assert band(FLOW[:6], "flow").mean is not None
    with pytest.raises(QuantityError):
        band([1.0, float("inf")], "flow")
