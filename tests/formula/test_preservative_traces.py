"""A trace of preservative that another ingredient carries takes no stop away. Expected: percentages by hand; legal
maxima as Regulation (EC) 1223/2009 Annex V has them (phenoxyethanol 1.0, sorbic acid 0.6,
benzoic acid 2.5 and 0.5 %); un-ionised benzoic acid from 0.019 % on, J. Soc. Cosmet. Chem. 18 no. 4, table IV."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from formula.judged_recipes import HANDS, R1B, R2, WASH, preservation_stop, recipe, thing
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.formula.changes.swap import StandIn, with_stand_in
from maker_kit.formula.inside.composition import Part, open_ingredient
from maker_kit.formula.limits.worst_end import is_meant_to_preserve, most_inside
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.preservation.traces import trace_below
from maker_kit.formula.preservation.undissociated import preservation_rows
from maker_kit.formula.recipe import Share

TOLD = replace(
    thing("Aloe extract", "Aqua, Glycerin, Phenoxyethanol", "active"), inside=(Share("Phenoxyethanol", 0.5, 1.0),)
)
UNDISCLOSED = thing("Aloe extract", "Aqua, Glycerin, Phenoxyethanol", "active")
NEAT = thing("Phenoxyethanol", "Phenoxyethanol", "preservative")


def of(r, subject):
    """What is said of one preservative by itself; test_reach.py tries what all reach together."""
    return [f for f in judge_preservation(r) if f.subject == subject and f.code != "preservation.reach"]


def with_instead(old, new, percent):
    """R2 with another ingredient in place of one, at its own percent; the water takes the difference."""
    ratio = percent / R2.percent_of(old)
    return with_stand_in(R2, old, StandIn(new, ratio))


@pytest.mark.parametrize(
    ("new", "percent"),
    [
        (TOLD, 1.0),
        (TOLD, 5.0),
        (UNDISCLOSED, 0.01),
        (UNDISCLOSED, 1.0),
        (UNDISCLOSED, 5.0),
        (NEAT, 0.001),
        (NEAT, 0.09),
    ],
    ids=[
        "told 1 %",
        "told 5 %",
        "undisclosed 0.01 %",
        "undisclosed 1 %",
        "undisclosed 5 %",
        "neat 0.001 %",
        "neat 0.09 %",
    ],
)
def test_a_trace_in_place_of_the_preservative_stops(new, percent) -> None:
    # 1 % of an extract with 0.5 to 1.0 % is 0.005 to 0.010 % of the whole, 5 % of it at most 0.05; a tenth of the
    # maximum of 1.0 % is 0.1
    changed = with_instead("Preservative P", new, percent)
    stop = preservation_stop(changed)
    assert (stop.kind, stop.level, stop.subject) == ("stop", "under", "Phenoxyethanol")
    assert "counts for nothing" in stop.text
    assert "common practice, no source" in stop.source
    assert preservation_rows(changed)[0].trace


def test_how_much_it_is_at_most_stands_in_the_sentence() -> None:
    assert "at most about 0.01 % of the whole" in preservation_stop(with_instead("Preservative P", TOLD, 1.0)).text
    assert (
        "no more than about 0.0001 %" in preservation_stop(with_instead("Preservative P", UNDISCLOSED, 0.01)).text
    )  # 0.01 % of an extract that itself may hold 1.0 %


@pytest.mark.parametrize("carrier", [TOLD, UNDISCLOSED])
def test_an_unread_ph_stays_a_stop_beside_a_trace(carrier) -> None:
    r = recipe("x", WASH, {"Potassium sorbate": 0.3, "Aloe extract": 0.1}, extra=(carrier,), read=None)
    stop = preservation_stop(r)
    assert (stop.level, stop.subject) == ("unknown", "Sorbic acid")
    assert [f.kind for f in of(r, "Phenoxyethanol")] == ["know"]  # a note, since the other one is judged by itself


def test_a_trace_beside_what_works_is_a_note() -> None:
    r = recipe("x", HANDS, {"Preservative B": 0.9, "Aloe extract": 1.0}, extra=(TOLD,), read=5.2)
    assert [(f.kind, f.level) for f in of(r, "Phenoxyethanol")] == [("know", "under")]
    assert preservation_stop(r) is None


def test_enough_to_work_perhaps_is_unknown_and_no_stop() -> None:
    for percent in (0.1, 0.5, 1.0):
        assert [
            (f.kind, f.level)
            for f in of(recipe("x", HANDS, {"Phenoxyethanol": percent}, extra=(NEAT,)), "Phenoxyethanol")
        ] == [("look", "unknown")]
    blend = thing(
        "Blend", "Phenoxyethanol, Ethylhexylglycerin", "preservative"
    )  # bought to preserve: all of it may be phenoxyethanol
    assert [(f.kind, f.level) for f in of(recipe("x", HANDS, {"Blend": 1.0}, extra=(blend,)), "Phenoxyethanol")] == [
        ("look", "unknown")
    ]
    assert preservation_stop(recipe("x", HANDS, {"Blend": 0.09}, extra=(blend,))) is not None


def test_a_ready_base_that_brings_an_undisclosed_amount_stays_unknown() -> None:
    # at 99.2 % it may bring up to 0.992 × 0.6 = 0.595 % of sorbic acid and more than 0.49 % of benzoic acid: enough to
    # work
    assert {(f.kind, f.level) for f in of(R1B, "Benzoic acid") + of(R1B, "Sorbic acid")} == {("look", "unknown")}
    assert preservation_stop(R1B) is None
    splash = recipe(
        "x",
        WASH,
        {"Wash base": 1.0},
        read=5.0,
        # 1 % of the same base: sorbic acid at most 0.006, benzoic at most 0.025, of which 13.7 % or 0.0034 % is
        # undissociated
    )
    assert preservation_stop(splash).level == "under"


def test_acids_in_traces_stop_at_every_reading() -> None:
    for percent in (0.001, 0.01):
        r = recipe("x", WASH, {"Potassium sorbate": percent}, read=4.0)
        assert preservation_stop(r) is not None
        assert preservation_stop(replace(r, ph_read=None)) is not None


def test_a_preservative_of_no_table_is_a_stop_that_says_so() -> None:
    ferment = thing("Zyxwor ferment filtrate", "Zyxwor Ferment Filtrate", "preservative")
    r = with_instead("Preservative P", ferment, 1.0)
    stop = preservation_stop(r)
    assert (stop.kind, stop.subject) == ("stop", "Zyxwor ferment filtrate")
    assert "no table on file knows it as one" in stop.text
    ranged = replace(ferment, least_percent=0.5, most_percent=2.0)
    assert preservation_stop(with_instead("Preservative P", ranged, 1.0)) is not None
    dirty = replace(
        ferment,
        inci=(*ferment.inci, "Phenoxyethanol"),
        inside=(Share(ferment.inci[0], 99.0, 99.9), Share("Phenoxyethanol", 0.1, 1.0)),
    )
    assert preservation_stop(with_instead("Preservative P", dirty, 1.0)) is not None


def test_the_bounds_by_hand() -> None:
    assert trace_below(("Phenoxyethanol",)) == pytest.approx(0.1)
    assert trace_below(("Potassium Sorbate",)) == pytest.approx(0.06)
    assert trace_below(("Propionic Acid",)) == pytest.approx(0.2)  # Annex V entry 2: 2 % as acid
    assert trace_below(("Zyxwor Acid",)) == pytest.approx(0.1)  # no maximum on file
    undisclosed, told = open_ingredient(UNDISCLOSED), open_ingredient(TOLD)
    assert most_inside(told, "phenoxyethanol", meant=False) == pytest.approx(0.01)
    assert most_inside(undisclosed, "phenoxyethanol", meant=False) == pytest.approx(
        0.01
    )  # its legal maximum in the extract itself
    assert most_inside(undisclosed, "phenoxyethanol", meant=True) == 1
    half = open_ingredient(
        replace(
            thing("Blend", "Phenoxyethanol, Caprylyl Glycol", "preservative"),
            inside=(Share("Caprylyl Glycol", 60, 70),),
        )
    )
    assert most_inside(half, "phenoxyethanol", meant=True) == pytest.approx(0.4)
    assert is_meant_to_preserve(NEAT)
    assert not is_meant_to_preserve(UNDISCLOSED)


@given(st.floats(0.001, 99), st.floats(0, 1), st.floats(0, 1), st.one_of(st.none(), st.floats(3.1, 9.9)))
def test_whatever_an_extract_carries_below_a_tenth_of_the_maximum_water_stops(percent, low, more, read) -> None:
    percent, low, high = round(percent, 4), round(low, 4), round(low + more * (1 - low) + 0.0001, 4)
    extract = replace(UNDISCLOSED, inside=(Share("Phenoxyethanol", low, high),))
    r = recipe("x", HANDS, {"Aloe extract": percent}, extra=(extract,), read=read)
    assert (preservation_stop(r) is not None) == (percent * high / 100 < 0.1 - 1e-12) or abs(
        percent * high / 100 - 0.1
    ) < 1e-9


def test_the_kth_of_a_list_that_nobody_told_is_at_most_a_kth() -> None:
    """What stands k-th, most first, has k − 1 others of at least as much before it; below 1 % the order is free."""
    unknown = {f"n{k}": Part(f"N {k}", Fraction(0), Fraction(0), unknown=True) for k in range(1, 201)}
    order = tuple(unknown)
    for k in (1, 2, 3, 7, 100, 150):
        most = most_inside(unknown, f"n{k}", meant=True, order=order)
        assert most == max(Fraction(1, k), Fraction(1, 100))
    told = unknown | {"n1": Part("N 1", Fraction(1, 10), Fraction(1, 5))}
    assert [most_inside(told, f"n{k}", meant=True, order=order) for k in (1, 2, 3, 7)] == [
        *(Fraction(1, 5), Fraction(1, 5), Fraction(1, 5), Fraction(1, 7))
    ]
