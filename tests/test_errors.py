"""What the workbook says when it cannot go on."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import (
    BasketError,
    Fault,
    MakerKitError,
    NoticeError,
    QuantityError,
    RecipeError,
    UnknownNameError,
    WorkshopError,
)
from maker_kit.names import near_miss


@pytest.mark.parametrize("kind", [UnknownNameError, QuantityError, RecipeError, BasketError, NoticeError])
def test_every_failure_is_one_kind_and_its_text_is_the_sentence(kind: type[MakerKitError]) -> None:
    with pytest.raises(MakerKitError) as caught:
        raise kind("there is no such jar; choose another")
    assert str(caught.value) == "there is no such jar; choose another"


def test_a_failure_without_words_still_says_its_kind() -> None:
    assert str(RecipeError()) == "RecipeError"


@pytest.mark.parametrize("kind", [QuantityError, RecipeError])
def test_a_wrong_number_is_a_value_error_too(kind: type[Exception]) -> None:
    assert issubclass(kind, ValueError)


@pytest.mark.parametrize(
    ("name", "known", "says"),
    [
        ("Glycerine", ["Water", "Glycerin"], 'did you mean "Glycerin"?'),
        ("WATER", ["Water", "Glycerin"], 'did you mean "Water"?'),
        ("Zzz", ["Water", "Glycerin"], "there are: Water, Glycerin"),
        ("Zzz", [], "there are none"),
        (
            "Zzz",
            [f"jar {k}" for k in range(9)],
            "there are: jar 0, jar 1, jar 2, jar 3, jar 4, jar 5, jar 6, jar 7, …",
        ),
        ("Zzz", ["Water"] * 3, "there are: Water"),
    ],
)
def test_a_near_miss_is_named_or_the_choice_is(name: str, known: list[str], says: str) -> None:
    assert str(near_miss(name, known)) == says


@given(st.text(min_size=1, max_size=12), st.lists(st.text(min_size=1, max_size=12), max_size=6))
def test_a_near_miss_only_names_what_there_is(name: str, known: list[str]) -> None:
    assert set(near_miss(name, iter(known)).close) <= set(known)


@pytest.mark.parametrize(
    ("fault", "place"),
    [
        (Fault("packs.csv", 4, "price", "-2", "0 or more", "write the price"), "packs.csv, row 4, column 'price': "),
        (Fault("packs.csv", 4, "", "five cells", "six", "add one"), "packs.csv, row 4: "),
        (Fault("packs.csv", None, "", "no file", "a table", "add it"), "packs.csv: "),
    ],
)
def test_a_fault_says_where_what_and_how_to_mend_it(fault: Fault, place: str) -> None:
    sentence = fault.sentence()
    assert sentence.startswith(place)
    for part in (fault.found, fault.allowed, fault.mend):
        assert part in sentence


def test_a_workshop_tells_all_its_faults_at_once() -> None:
    faults = [Fault("a.csv", k, "x", "this", "that", "so") for k in range(2, 5)]
    error = WorkshopError(iter(faults))
    assert error.faults == tuple(faults)
    assert str(error).splitlines() == [f.sentence() for f in faults]
