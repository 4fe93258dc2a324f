"""What preservatives reach together. Expected: common practice of the trade, no source; the table is read again here
column by column.
"""

from __future__ import annotations

import csv
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import maker_kit.reference
from maker_kit.formula.preservation.reach import ORGANISMS, not_reached, reach_findings, reach_of

with (Path(maker_kit.reference.__file__).parent / "preservative_reach.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))
NAMES = [r["substance"] for r in ROWS]


def test_every_row_says_what_it_reaches_and_who_says_so() -> None:
    assert len({n.casefold() for n in NAMES}) == len(NAMES)
    for row in ROWS:
        assert {row[o] for o in ORGANISMS} <= {"good", "weak", "none"}
        assert row["source"]
        assert row["checked"]


@pytest.mark.parametrize("acid", ["Benzoic acid", "Sorbic acid", "Dehydroacetic acid"])
def test_such_an_acid_alone_is_weak_against_bacteria(acid: str) -> None:
    assert "bacteria" in not_reached([acid])
    (finding,) = reach_findings([acid], (4.0, 4.2))
    assert (finding.kind, finding.code, finding.about) == ("look", "preservation.reach", (acid,))


def test_phenoxyethanol_with_sorbic_acid_reaches_all() -> None:
    assert not_reached(["Phenoxyethanol", "Sorbic acid"]) == ()
    assert reach_findings(["Phenoxyethanol", "Sorbic acid"], (5.0, 5.2)) == ()


@pytest.mark.parametrize("name", ["Bronopol", "Methylparaben"])
def test_what_alkali_splits_is_a_look_above_ph_8(name: str) -> None:
    assert reach_of(name).outside(7.9, 8.1)
    assert not reach_of(name).outside(7.8, 8.0)
    assert "preservation.outside_ph" in {f.code for f in reach_findings([name, "Sorbic acid"], (8.4, 8.6))}


@given(st.lists(st.sampled_from(NAMES), unique=True), st.sampled_from(NAMES))
def test_one_more_preservative_never_reaches_less(some: list[str], other: str) -> None:
    assert set(not_reached([*some, other])) <= set(not_reached(some))


def test_together_they_reach_what_one_of_them_reaches() -> None:
    told = {r["substance"]: r for r in ROWS}
    for one, other in combinations(NAMES[:20], 2):
        wanted = tuple(o for o in ORGANISMS if "good" not in {told[one][o], told[other][o]})
        assert not_reached([one, other]) == wanted


def test_what_no_table_knows_reaches_nothing() -> None:
    assert not_reached(["Sea breeze"]) == ORGANISMS
