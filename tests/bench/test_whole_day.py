"""A whole day by plain calls, from the box on the doorstep to the recall; and what a batch record holds.

Expected values: the invented scenario (kit 2 is short of propanediol: factor 0.785, three full jars). What a batch
record holds is after ISO 22716:2007 (production and its documents): the list is from memory.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from whole_day import GEL, NUMBER, SHOP, TODAY, make_the_day

from maker_kit.bench.clean import ticks_of
from maker_kit.bench.day import planned_and_done
from maker_kit.bench.letters import recall_letter
from maker_kit.bench.log import open_log
from maker_kit.bench.log.mending import look_over
from maker_kit.bench.stock import stock
from maker_kit.bench.trace import trace
from maker_kit.bench.version import recipe_version
from maker_kit.formula.changes.standing import Standing
from maker_kit.plan.plan import make_plan


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory):
    """The log of one whole day, with all that was said on it."""
    folder: Path = tmp_path_factory.mktemp("day")
    with open_log(folder, make=True) as log:
        yield log, make_the_day(log)


def test_the_kit_is_short_and_three_jars_are_full(day) -> None:
    _, told = day
    assert told["short"] in {Standing.SHORT, Standing.FAR_SHORT}
    assert told["jars"].containers == 3


def test_a_clean_start_with_a_thing_left_out_is_told_and_ticked_again(day) -> None:
    log, told = day
    assert [f.code for f in told["not clean"]] == ["clean.open"]
    assert all(t.done for t in ticks_of(log, NUMBER))
    pairs = {(r["kind"], r["instrument"]) for r in log.now("reading", batch=NUMBER)}
    assert {("temperature", "T-2"), ("pH", "PH-3")} <= pairs


def test_what_was_missed_did_not_pass_unnoticed(day) -> None:
    log, _ = day
    rows = {row.step.number: row for row in planned_and_done(log, NUMBER, GEL)}
    assert [rows[k].state for k in range(1, 9)] == ["done"] * 5 + ["open", "skipped", "open"]
    assert rows[7].reason == "no ring in the house"
    assert [f.code for f in rows[5].findings] == ["step.outside"]
    why = {row["reason"] for row in log.now("deviation", batch=NUMBER)}
    assert {"a warm day", "no ring in the house"} <= why


def test_cooling_filling_and_numbering(day) -> None:
    _, told = day
    # (31-20)/(25-20) = 2.2, (31-20)/(28-20) = 1.375 in ten minutes: 10 · ln 2.2 / ln 1.375
    assert told["at_25"].minutes == pytest.approx(24.76, abs=0.01)
    assert not [f for f in told["fills"].findings if f.kind == "stop"]
    assert told["units"] == ("R2-21/01", "R2-21/02", "R2-21/03")


def test_the_cupboard_holds_what_the_day_left(day) -> None:
    log, _ = day
    planned = {r.ingredient: r.weighed_g for r in make_plan(SHOP, GEL, batch_size=3).weigh_out.rows}
    assert stock(log, TODAY)["Propanediol"] == pytest.approx(32 - planned["Propanediol"], abs=0.001)


def test_the_lot_is_followed_to_the_cousin_and_the_letter_written(day) -> None:
    log, told = day
    found = trace(log, "N-0417")
    assert found.places == {"room 4": 2, "a cousin": 1}
    assert set(found.units) == set(told["units"])
    assert "N-0417" in trace(log, "a cousin").lots
    letter = recall_letter(found, "EU", TODAY)
    assert "a cousin: 1 (R2-21/03)" in letter.text
    assert {f.code for f in letter.findings} == {"recall.tell"}
    assert {f.kind for f in look_over(log)} <= {"know", "look"}


HELD = {
    "the product's name": ("batch", "title"),
    "the batch's own number": ("batch", "number"),
    "which version of the formula": ("batch", "version"),
    "the day it was made": ("batch", "made_on"),
    "who made it": ("batch", "made_by"),
    "that bench, tools and rooms were clean before, each thing checked": ("tick", "done"),
    "who checked that": ("tick", "by"),
    "when that was checked": ("tick", "ticked_at"),
    "which container of material it was for": ("batch", "container"),
    "how much was to be made": ("batch", "containers"),
    "every raw material by name": ("weighing", "item"),
    "the lot of every raw material": ("weighing", "lot"),
    "how much of it was to be weighed": ("weighing", "planned_mg"),
    "how much of it was weighed": ("weighing", "mass_mg"),
    "on which scale, by its own number": ("weighing", "scale"),
    "its place in the order of adding": ("weighing", "phase"),
    "each operation, done or not": ("deed", "state"),
    "temperatures while it was made": ("reading", "value"),
    "when they were read": ("reading", "read_at"),
    "with which kind of instrument": ("reading", "tool"),
    "with which one, by its own number": ("reading", "instrument"),
    "results of the controls in process": ("reading", "kind"),
    "what went otherwise, and why": ("deviation", "reason"),
    "what was done about it": ("deviation", "rescue"),
    "what was filled": ("fill", "mass_mg"),
    "on which scale it was filled": ("fill", "scale"),
    "every unit by its number": ("unit", "code"),
    "where it went": ("gone", "place"),
    "when it went": ("gone", "gone_on"),
    "when each entry was written": ("weighing", "entered_at"),
}
"""What a batch record holds (ISO 22716:2007, sections 7 and 17, production and documentation) → table and column.
Every row is from memory: none was read in the standard.
"""


@pytest.mark.parametrize("what", HELD)
def test_the_record_of_the_day_holds(day, what: str) -> None:
    log, _ = day
    table, column = HELD[what]
    rows = log.now(table)
    assert rows
    assert any(row[column] not in (None, "") for row in rows)


def test_the_record_names_its_formula_exactly(day) -> None:
    log, _ = day
    assert log.now("batch", number=NUMBER)[0]["version"] == recipe_version(GEL)
