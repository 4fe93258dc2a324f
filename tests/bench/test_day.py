"""The day: nothing unusual passes unnoticed, and nothing is lost. Expected values: the invented scenario, counted by
hand.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from demo_workshop import demo
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.bench.batches import begin_batch, hand_out, last_ph, next_number, number_units, weigh
from maker_kit.bench.day import days_frame, do_step, planned_and_done, skip_step
from maker_kit.bench.log import book, open_log
from maker_kit.bench.observed import read
from maker_kit.bench.stock import lots_of, stock, stock_frame
from maker_kit.bench.trace import trace
from maker_kit.bench.version import recipe_version
from maker_kit.errors import MakerKitError, NoticeError, QuantityError, UnknownNameError

SHOP = demo()
LOTION, GEL = SHOP.recipe("r5-hand-lotion"), SHOP.recipe("r2-gel-cream")
TODAY = date(2026, 11, 2)


@pytest.fixture
def log(tmp_path: Path):
    with open_log(tmp_path, make=True) as made:
        made.add("lot", code="N-0417", item="Propanediol", label_mg=100_000, scale_mg=83_400, best_before="2027-05-01")
        made.add("lot", code="N-0300", item="Propanediol", label_mg=100_000, best_before="2026-10-01")
        made.add("lot", code="G-1", item="Glycerin")
        yield made


def codes(found) -> list[str]:
    return [f.code for f in found]


def test_stock_is_what_came_by_the_scale_less_what_was_used_and_nothing_past_its_date(log) -> None:
    begin_batch(log, GEL, 4, TODAY)
    assert weigh(log, "R2-01", "Propanediol", 40.77, "N-0417", 40.77) == ()
    assert stock(log, TODAY) == {
        "Propanediol": pytest.approx(42.63)
    }  # 83.40 less 40.77; the label's 100 g do not count
    first, second, third = lots_of(log, TODAY)
    assert (first.code, first.expired, first.left_g, first.by) == ("N-0300", True, 100, "label")
    assert (second.code, second.used_g) == ("N-0417", 40.77)
    assert (third.code, third.left_g) == ("G-1", None)
    assert len(stock_frame((first, second, third))) == 3


def test_a_lot_that_is_used_up_unknown_or_of_something_else_is_asked_about(log) -> None:
    begin_batch(log, GEL, 4, TODAY)
    with pytest.raises(QuantityError, match=r"holds 83\.4 g"):
        weigh(log, "R2-01", "Propanediol", 83.5, "N-0417")
    with pytest.raises(UnknownNameError, match="no lot"):
        weigh(log, "R2-01", "Propanediol", 1, "N-9999")
    with pytest.raises(UnknownNameError, match="is Propanediol"):
        weigh(log, "R2-01", "Glycerin", 1, "N-0417")
    with pytest.raises(QuantityError, match=r"0\.001 g or more"):
        weigh(log, "R2-01", "Propanediol", -1, "N-0417")
    assert log.now("weighing") == []
    weigh(log, "R2-01", "Propanediol", 83.5, "N-0417", reason="the scale was off by a little")
    assert [d["reason"] for d in log.now("deviation")] == ["the scale was off by a little"]
    assert lots_of(log, TODAY, code="N-0417")[0].left_g == 0


def test_what_is_past_its_date_stops_and_with_a_reason_is_to_be_looked_at(log) -> None:
    begin_batch(log, GEL, 4, TODAY)
    late = weigh(log, "R2-01", "Propanediol", 1, "N-0300")
    assert [(f.kind, f.code) for f in late] == [("stop", "day.past_date")]
    late = weigh(log, "R2-01", "Propanediol", 1, "N-0300", reason="smells and looks right, for a test only")
    assert [(f.kind, f.code) for f in late] == [("look", "day.past_date")]
    assert codes(weigh(log, "R2-01", "Water", 700, planned_g=641)) == ["day.no_lot", "day.far_off"]


def test_numbers_run_and_no_two_batches_share_one(log) -> None:
    assert begin_batch(log, GEL, 4, TODAY) == "R2-01"
    assert begin_batch(log, GEL, 4, TODAY) == "R2-02"
    assert next_number(log, LOTION.name) == "R5-01"
    with pytest.raises(QuantityError, match="already"):
        begin_batch(log, GEL, 4, TODAY, number="r2-02")


def test_a_sheet_of_another_version_is_refused(log) -> None:
    version = recipe_version(LOTION)
    assert begin_batch(log, LOTION, 2, TODAY, sheet_version=version.upper()) == "R5-01"
    steps = (replace(LOTION.steps[0], to_c=80.0), *LOTION.steps[1:])
    with pytest.raises(NoticeError, match="changed since"):
        begin_batch(log, replace(LOTION, steps=steps), 2, TODAY, sheet_version=version)


@given(st.data())
def test_the_version_changes_with_whatever_the_sheet_is_made_from(data) -> None:
    recipe = data.draw(st.sampled_from([LOTION, GEL]))
    k = data.draw(st.integers(0, len(recipe.lines) - 1))
    other = data.draw(
        st.sampled_from(
            [
                replace(recipe, density_g_per_ml=recipe.density_g_per_ml + 0.001),
                replace(recipe, loss_percent=recipe.loss_percent + 0.1),
                replace(recipe, fill_ml=recipe.fill_ml + 1),
                replace(recipe, lines=(*recipe.lines[:k], *recipe.lines[k + 1 :])),
                replace(recipe, steps=recipe.steps[:-1]),
                replace(recipe, ph_high=(recipe.ph_high or 5) + 0.1),
            ]
        )
    )
    assert recipe_version(other) != recipe_version(recipe)
    assert recipe_version(replace(recipe)) == recipe_version(recipe)


def test_a_temperature_not_read_or_outside_does_not_pass_unnoticed(log) -> None:
    begin_batch(log, LOTION, 2, TODAY)
    step = LOTION.steps[2]  # 70 to 75 °C
    with pytest.raises(NoticeError, match="was not read"):
        do_step(log, "R5-01", step, "t")
    with pytest.raises(NoticeError, match="61 °C was read"):
        do_step(log, "R5-01", step, "t", 61)
    assert log.now("deed") == log.now("reading") == []
    assert codes(do_step(log, "R5-01", step, "t", 61, reason="hurry", rescue="warmed back")) == ["step.outside"]
    assert do_step(log, "R5-01", LOTION.steps[1], "t", 72) == ()
    deviation = log.now("deviation")[0]
    assert (deviation["step"], deviation["rescue"], deviation["reason"]) == (3, "warmed back", "hurry")


@pytest.mark.parametrize(("celsius", "passes"), [(69.9, False), (70, True), (75, True), (75.1, False)])
def test_the_window_holds_its_ends(log, celsius, passes) -> None:
    begin_batch(log, LOTION, 2, TODAY)
    if passes:
        do_step(log, "R5-01", LOTION.steps[2], "t", celsius)
    else:
        with pytest.raises(NoticeError):
            do_step(log, "R5-01", LOTION.steps[2], "t", celsius)


def test_planned_and_done_stand_side_by_side(log) -> None:
    begin_batch(log, LOTION, 2, TODAY)
    do_step(log, "R5-01", LOTION.steps[0], "t", 75)
    with pytest.raises(QuantityError, match="say why"):
        skip_step(log, "R5-01", LOTION.steps[1], " ")
    do_step(log, "R5-01", LOTION.steps[2], "t", 61, reason="hurry")
    rows = planned_and_done(log, "R5-01", LOTION)
    assert [r.state for r in rows] == ["done", "open", "done", *["open"] * 5]
    assert codes(rows[1].findings) == ["step.jumped"]
    assert codes(rows[2].findings) == ["step.outside"]
    skip_step(log, "R5-01", LOTION.steps[1], "the oils were hot already")
    rows = planned_and_done(log, "R5-01", LOTION)
    assert (rows[1].state, rows[1].reason, rows[1].findings) == ("skipped", "the oils were hot already", ())
    assert days_frame(rows)["read °C"].dropna().tolist() == [75, 61]


def test_a_whole_batch_can_be_followed(log) -> None:
    begin_batch(log, GEL, 4, TODAY)
    weigh(log, "R2-01", "Propanediol", 40.77, "N-0417")
    units = number_units(log, "R2-01", 3)
    assert units == ("R2-01/01", "R2-01/02", "R2-01/03")
    with pytest.raises(QuantityError, match="3 are numbered"):
        number_units(log, "R2-01", 2)
    assert number_units(log, "R2-01", 1) == ("R2-01/04",)
    hand_out(log, units[:2], "room 7", "own use", TODAY)
    hand_out(log, units[2:], "Ann", "gift", TODAY)
    found = trace(log, "N-0417")
    assert found.places == {"room 7": 2, "Ann": 1, "not handed out": 1}


def test_what_cannot_have_been_is_refused(log) -> None:
    for number in ("two\nlines", "x" * 101, "half \udc80 a sign"):
        with pytest.raises(QuantityError) as caught:
            begin_batch(log, GEL, 4, TODAY, number)
        assert len(str(caught.value)) < 200
    begin_batch(log, GEL, 4, TODAY)
    with pytest.raises(QuantityError, match=r"0\.001 g or more"):
        weigh(log, "R2-01", "Water", 1e-9)  # what would be written down as nothing
    for celsius in (-500.0, 1e9, float("nan")):
        with pytest.raises(MakerKitError):
            do_step(log, "R2-01", GEL.steps[0], "2026-11-02 10:00", celsius, reason="the thermometer says so")
    (unit,) = number_units(log, "R2-01", 1)
    with pytest.raises(QuantityError, match="did the clock go back"):
        hand_out(log, [unit], "room 7", "own use", TODAY - timedelta(days=1))
    counts = log.counts()
    assert (counts["weighing"], counts["reading"], counts["deed"], counts["gone"]) == (0, 0, 0, 0)
    with pytest.raises(UnknownNameError):
        trace(log, "half \udc80 a sign")


def test_the_last_reading_vouches_though_the_clock_went_back_but_not_one_typed_in_late(log, monkeypatch) -> None:
    for number, value, when in (("R2-01", 5.6, "2026-10-12 10:00"), ("R2-02", 5.9, "2025-03-01 09:00")):
        begin_batch(log, GEL, 4, TODAY, number)
        read(log, number, "pH", value, when, "pH meter")  # the second from last year's paper
    assert last_ph(log, GEL.name).value == 5.6
    with pytest.raises(QuantityError, match="no time"):
        read(log, "R2-02", "pH", 5.9, "yesterday")  # which would stand after every date
    clock = type("Clock", (), {"now": staticmethod(lambda zone: datetime(1970, 1, 1, tzinfo=zone))})
    monkeypatch.setattr(book, "datetime", clock)
    begin_batch(log, GEL, 4, TODAY, "R2-03")
    read(log, "R2-03", "pH", 5.2, "1970-01-01 00:10", "pH meter")
    assert last_ph(log, GEL.name).value == 5.2


def test_the_last_ph_of_a_recipe_is_found_in_its_log(log) -> None:
    assert last_ph(log, GEL.name) is None
    for number, value in ((1, 5.6), (2, 5.5)):
        begin_batch(log, GEL, 4, TODAY)
        log.add(
            "reading", batch=f"R2-0{number}", kind="pH", value=value, tool="strip", at_c=21.0, read_at=f"day {number}"
        )
    begin_batch(log, LOTION, 1, TODAY)
    log.add("reading", batch="R5-01", kind="pH", value=5.2, read_at="day 3")
    found = last_ph(log, GEL.name)
    assert (found.value, found.tool, found.read_at) == (5.5, "strip", "day 2")


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 2), st.integers(1, 900)), max_size=12))
def test_no_lot_gives_more_than_it_held_without_a_reason(tmp_path_factory, takes) -> None:
    with open_log(tmp_path_factory.mktemp("lots"), make=True) as log:
        for k in range(3):
            log.add("lot", code=f"L{k}", item="x", scale_mg=1_000_000)
        log.add("batch", number="B", recipe="r", version="v", containers=1, made_on="2026-11-02")
        left = [1000] * 3
        for lot, mass in takes:
            if mass <= left[lot]:
                weigh(log, "B", "x", mass, f"L{lot}")
                left[lot] -= mass
            else:
                with pytest.raises(QuantityError):
                    weigh(log, "B", "x", mass, f"L{lot}")
        assert stock(log, TODAY) == ({"x": sum(left)} if sum(left) else {})
