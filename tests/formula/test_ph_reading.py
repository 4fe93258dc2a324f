"""pH as it was read, the strip of undissociated shares, and the start dose of acid. Expected: Henderson and Hasselbalch
by table and by hand; the demo workshop's sums; exact arithmetic.
"""

from __future__ import annotations

import datetime
import itertools
import math
from dataclasses import replace
from fractions import Fraction

import pytest
from formula.judged_recipes import ALL, R1, R1B, R2, R3_V1, R4, R5, WASH, recipe, thing
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit.errors import QuantityError
from maker_kit.formula.preservation.acid_dose import start_dose
from maker_kit.formula.preservation.agents import figures
from maker_kit.formula.preservation.ph_reading import PhReading, judge_reading, newest
from maker_kit.formula.preservation.ph_strip import ph_strip

MONDAY, TUESDAY = datetime.date(2024, 5, 6), datetime.date(2024, 5, 7)


def read(ph, tool="meter", celsius=21.0, day=MONDAY):
    return PhReading(ph, tool, celsius, day)


def test_the_newest_reading_counts_and_of_one_time_the_last() -> None:
    assert newest([]) is None
    assert newest([read(5.4, day=TUESDAY), read(6.6)]).ph == 5.4
    assert newest([read(5.4), read(5.2)]).ph == 5.2
    at_noon = read(5.0, day=datetime.datetime(2024, 5, 6, 12))
    assert newest([at_noon, read(6.6)]).ph == 5.0
    assert newest([at_noon, read(6.6, day=TUESDAY)]).ph == 6.6
    zone = read(6.0, day=datetime.datetime(2024, 5, 6, 12, tzinfo=datetime.UTC))
    assert newest([zone]).ph == 6.0
    with pytest.raises(QuantityError, match="time zone"):
        newest([zone, at_noon])


@pytest.mark.parametrize(
    ("reading", "kind", "level"),
    [
        (read(5.05), "know", "fine"),
        (read(5.25), "look", "near"),
        (read(4.85), "look", "near"),
        (read(5.05, "strip"), "look", "near"),
        (read(5.4), "look", "note"),
        (read(4.7), "look", "note"),
        (read(4.9), "know", "fine"),
        (read(5.2), "know", "fine"),
    ],
)
def test_a_reading_is_in_the_band_only_with_all_its_error(reading, kind, level) -> None:
    # band 4.8–5.3; strips ± 0.5, meters ± 0.1: common practice, no source
    found = judge_reading(R1, [reading])
    assert (found[0].kind, found[0].level) == (kind, level)
    assert "common practice, no source" in found[0].text
    assert len(found) == 1


def test_no_reading_no_band_and_no_temperature_are_unknown_never_fine() -> None:
    assert [(f.kind, f.level) for f in judge_reading(R1, [])] == [("look", "unknown")]
    assert [(f.kind, f.level) for f in judge_reading(R1B, [read(5.0)])] == [("look", "unknown")]
    assert [f.level for f in judge_reading(R1, [read(5.05, celsius=None)])] == ["fine", "unknown"]
    assert [f.kind for f in judge_reading(R1, [read(5.05, celsius=40)])] == ["know", "look"]
    one_sided = replace(R1, ph_high=None)
    assert judge_reading(one_sided, [read(9)])[0].level == "fine"
    assert judge_reading(one_sided, [read(4)])[0].level == "note"


@pytest.mark.parametrize(
    "reading",
    [
        read(-0.1),
        read(14.1),
        read(math.nan),
        read(5, "tongue"),
        read(5, celsius=math.nan),
        read(5, celsius=300),
        PhReading(5, "meter", 20, "today"),
    ],
)
def test_a_senseless_reading_is_refused(reading) -> None:
    for ask in (lambda: newest([reading]), lambda: judge_reading(R1, [reading]), lambda: ph_strip(R1, reading)):
        with pytest.raises(QuantityError):
            ask()


def test_a_band_that_runs_backwards_is_refused() -> None:
    with pytest.raises(QuantityError, match="lower end first"):
        judge_reading(replace(R1, ph_low=6.0, ph_high=5.0), [read(5)])


@pytest.mark.parametrize(
    "row",
    [
        r
        for r in reference_rows("undissociated_fraction.csv")
        if figures(r["acid"]).pka is not None and 0 <= float(r["pH"]) <= 14
    ],
    ids=lambda r: f"{r['acid']} at {r['pH']}",
)
def test_the_strip_of_each_acid_is_that_of_the_published_table(row) -> None:
    product = recipe("acid in water", WASH, {"It": 0.5}, extra=(thing("It", row["acid"], "preservative"),))
    strip = ph_strip(product, low=float(row["pH"]), high=float(row["pH"]))
    assert strip.acids == (row["acid"],)
    if strip.rows[0].pka == float(row["pKa"]):
        assert strip.rows[0].share_percent == pytest.approx(float(row["percent_undissociated"]), abs=0.00051)


def test_the_strip_runs_from_3_to_9_with_the_band_and_the_reading() -> None:
    strip = ph_strip(R1)
    assert strip.acids == ("Benzoic acid", "Sorbic acid")
    marks = [r.ph for r in strip.rows if r.acid == "Benzoic acid"]
    assert marks == [round(3 + k / 10, 1) for k in range(61)]
    assert (strip.band_low, strip.band_high, strip.ph_read) == (4.8, 5.3, 5.1)
    # the demo workshop: at 5.1, 11.2 % and 31.4 % undissociated, 0.0474 % and 0.0702 % of the product; at 7.4, 0.063 %
    # and 0.229 %
    assert [(round(r.share_percent, 1), round(r.undissociated_percent, 4)) for r in strip.at_reading()] == [
        (11.2, 0.0474),
        (31.4, 0.0702),
    ]
    assert [round(r.share_percent, 3) for r in ph_strip(replace(R1, ph_read=7.4)).at_reading()] == [0.063, 0.229]
    frame = strip.to_frame()
    assert set(frame.loc[frame["in the band"] == "yes", "pH"]) == {4.8, 4.9, 5.0, 5.1, 5.2, 5.3}
    assert dict(strip.trusted_to) == {"Benzoic acid": 5.5, "Sorbic acid": 5.5}  # common practice, no source


def test_a_reading_with_its_tool_shows_how_far_it_may_be_off() -> None:
    strip = ph_strip(R1, read(6.6, "strip"))
    assert (strip.ph_read, strip.read_low, strip.read_high) == (6.6, 6.1, 7.1)


def test_nothing_computes_a_ph() -> None:
    strip = ph_strip(replace(R1, ph_read=None))
    assert strip.ph_read is None
    assert strip.at_reading() == ()
    assert strip.rows  # the strip itself needs no reading


def test_what_nobody_has_told_stays_unknown_on_the_strip() -> None:
    hidden = ph_strip(R1B)
    assert hidden.rows
    assert all(r.total_percent is None and r.undissociated_percent is None for r in hidden.rows)
    odd = ph_strip(recipe("undecylenic", WASH, {"It": 0.5}, extra=(thing("It", "Undecylenic Acid"),)))
    assert odd.unknown == ("Undecylenic acid",)
    assert odd.rows == ()
    assert ph_strip(R4).rows == ph_strip(R2).rows == ()
    assert ph_strip(R5).acids == ("Dehydroacetic acid",)


@given(st.floats(0, 14), st.floats(0, 14), st.floats(0.05, 2))
def test_less_is_undissociated_along_the_strip(a, b, step) -> None:
    low, high = sorted((round(a, 2), round(b, 2)))
    strip = ph_strip(R3_V1, low=low, high=high, step=round(step, 2))
    for acid in strip.acids:
        rows = [r for r in strip.rows if r.acid == acid]
        assert rows[0].ph == low
        assert rows[-1].ph == high
        assert all(x.share_percent > y.share_percent and x.ph < y.ph for x, y in itertools.pairwise(rows))
        assert all(0 <= r.undissociated_percent <= r.total_percent for r in rows)


@pytest.mark.parametrize(
    ("low", "high", "step"),
    [(9, 3, 0.1), (-1, 9, 0.1), (3, 15, 0.1), (3, 9, 0), (3, 9, -1), (3, 9, 1e-9), (3, 9, math.nan)],
)
def test_a_senseless_strip_is_refused(low, high, step) -> None:
    with pytest.raises(QuantityError):
        ph_strip(R1, low=low, high=high, step=step)


@pytest.mark.parametrize(
    ("last", "before", "now", "start"),
    [
        (15.3, 2550, 1020, 4.8),
        (1.0, 1000, 1000, 0.8),
        (1.0, 1000, 2000, 1.6),
        (0.25, 100, 100, 0.2),
        (0.1, 100, 100, 0.0),
        (0, 100, 100, 0.0),
        (0.3, 100, 100, 0.2),
        (0.375, 100, 100, 0.3),
    ],
)
def test_a_start_dose_is_four_fifths_in_proportion_rounded_down_to_a_tenth(last, before, now, start) -> None:
    # by hand: 15.3 · 1020/2550 = 6.12, · 0.8 = 4.896; 0.375 · 0.8 = 0.3 exactly
    assert start_dose(last, before, now).start_g == start


@given(st.decimals(0, 50, places=2), st.decimals(60, 5000, places=1), st.decimals(10, 5000, places=1))
def test_a_start_is_never_more_than_four_fifths_and_always_whole_tenths(last, before, now) -> None:
    dose = start_dose(float(last), float(before), float(now), "Citric acid 50 % solution", (4.8, 5.3))
    proportion = Fraction(last) * Fraction(now) / Fraction(before)
    start = Fraction(str(dose.start_g))
    assert (start * 10).denominator == 1
    assert start <= proportion * 4 / 5 < start + Fraction(1, 10)
    assert dose.scaled_g == pytest.approx(float(proportion))
    assert any(
        f.kind == "look" and "not an answer" in f.text and "Read, add by tenths of a gram, read" in f.next_step
        for f in dose.findings
    )
    assert "Read the pH first" in dose.steps[0]
    assert "Goggles" in dose.steps[0]


def test_a_dose_too_small_for_tenths_an_unknown_one_and_a_slip_of_the_pen_are_said() -> None:
    assert any("less than a tenth" in f.text for f in start_dose(0.1, 100, 100).findings)
    assert any(f.level == "unknown" for f in start_dose(0, 100, 100).findings)
    assert any("very much" in f.text for f in start_dose(6, 100, 100).findings)
    assert not any("very much" in f.text for f in start_dose(5, 100, 100).findings)


@pytest.mark.parametrize(
    "figures_given",
    [
        (-1, 100, 100),
        (1, 0, 100),
        (1, 100, 0),
        (1, 100, -5),
        (100, 100, 100),
        (math.nan, 100, 100),
        (1, math.inf, 100),
        ("a", 100, 100),
    ],
)
def test_a_senseless_dose_is_refused(figures_given) -> None:
    with pytest.raises(QuantityError):
        start_dose(*figures_given)


def test_every_demo_recipe_has_its_strip() -> None:
    assert {name for name, r in ALL.items() if ph_strip(r).rows} == {"R1", "R1b", "R3 v1", "R5"}
