"""The letter of a recall and a complaint's duty. Expected: the demo's counts; Regulation (EC) No 1223/2009 Article 23
(without delay), FD&C Act section 605 (15 business days, from memory); working days by numpy's calendar.
"""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from demo_workshop import demo
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.bench.letters import DUTIES, duty_of, note_complaint, recall_letter, working_days_after
from maker_kit.bench.trace import trace
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.workbook.bench_book import BenchBook

ON = date(2026, 11, 2)


@pytest.fixture(scope="module")
def log():
    book = BenchBook(demo())
    yield book.log
    book.close()


def test_the_letter_names_every_batch_and_every_place_with_its_numbers(log) -> None:
    found = trace(log, "N-0417")
    letter = recall_letter(found, "EU", ON, "metal splinters")
    for words in ("R2-07", "R2-08", "R3-03", "rooms: 19", "shelf: 9", "gifts: 5", "metal splinters", "2026-11-02"):
        assert words in letter.text
    assert all(unit in letter.text for unit in found.units)
    tell = next(f for f in letter.findings if f.code == "recall.tell")
    assert "1223/2009" in tell.source
    assert "605" in next(f for f in recall_letter(found, "US", ON).findings if f.code == "recall.tell").source


def test_units_that_have_not_left_go_to_nobody_and_unnumbered_ones_stop(log) -> None:
    codes = {f.code for f in recall_letter(trace(log, "R2-09"), "EU", ON).findings}
    assert codes == {"recall.nobody", "recall.unnumbered"}


def test_a_serious_complaint_stops_and_says_by_when(log) -> None:
    eu = note_complaint(log, "blisters, hospital", ON, "EU", unit="R2-07/03", serious=True)
    assert [f.code for f in eu if f.kind == "stop"] == ["complaint.report"]
    assert DUTIES["EU"].business_days is None
    us = note_complaint(log, "blisters, hospital", ON, "US", batch="R2-07", serious=True)
    assert DUTIES["US"].business_days == 15
    assert str(np.busday_offset("2026-11-02", 15)) in us[0].text
    row = log.now("complaint")[0]
    assert row["batch"] == log.root_of("batch", "R2-07")  # the unit leads to its batch


def test_what_is_not_known_is_asked_and_nothing_told_is_refused(log) -> None:
    codes = {f.code for f in note_complaint(log, "itches", ON, "EU")}
    assert {"complaint.ask", "complaint.unnamed"} <= codes
    with pytest.raises(QuantityError):
        note_complaint(log, "  ", ON, "EU")
    with pytest.raises(UnknownNameError):
        duty_of("MARS")
    with pytest.raises(UnknownNameError):
        note_complaint(log, "itches", ON, "EU", unit="R9-99/1")


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(1, 60))
def test_working_days_are_those_of_a_calendar(day, count) -> None:
    expected = np.busday_offset(np.datetime64(day), count, roll="backward")
    assert str(working_days_after(day, count)) == str(expected)
