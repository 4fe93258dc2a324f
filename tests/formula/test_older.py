"""What is older than the law or the standard that decides says so; the category of a mask; the ± of a reading."""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import recipe, thing
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.findings import KINDS, Finding
from maker_kit.formula.annexes.state import law_as_of
from maker_kit.formula.inside.composition import expand
from maker_kit.formula.kinds import WET, holds_many, is_fatty, wetness_of
from maker_kit.formula.limits.categories import categories_of
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.limits.older import newest_standard
from maker_kit.formula.notes.flags import judge_recipe
from maker_kit.formula.notes.once import as_told, told_once
from maker_kit.formula.preservation.agents import is_preservative
from maker_kit.formula.recipe import Certificate, ProductType
from maker_kit.formula.substances.naming import published_name
from maker_kit.numbers import ordinal

BODY = ProductType(("body",), rinse_off=False)


def own(**more: str) -> Limit:
    return Limit("Citral", 0.1, **({"kind": "law", "source": "my notes", "checked": "read"} | more))


def codes(made, rules=(), market: str = "EU") -> dict[str, str]:
    return {f.code: f.kind for f in judge_recipe(made, rules, market).findings}


CREAM = recipe("cream", BODY, {"Scent": 0.1}, "Sunflower oil", extra=(thing("Scent", "Citral", "scent"),))


@pytest.mark.parametrize(
    ("rule", "older"),
    [
        (own(date="2015-01-01", amendment="(EU) 2014/1004"), True),
        (own(date=""), True),
        (own(date=law_as_of()), False),
        (own(date="2015-01-01", region="US"), False),
        (own(kind="standard", category="5A", amendment="49"), True),
        (own(kind="standard", category="5A", amendment=str(newest_standard().newest_amendment)), False),
        (own(kind="practice", date="2001-01-01"), False),
    ],
)
def test_a_row_of_ones_own_that_is_older_than_what_decides_says_so(rule: Limit, older: bool) -> None:
    found = codes(CREAM, (rule,))
    assert (found.get("limit_row.older") == "look") is older
    assert "limit_row.older" not in codes(CREAM, (replace(rule, substance="Eugenol"),))


@pytest.mark.parametrize(("amendment", "older"), [(49, True), (50, True), (51, False), (60, False)])
def test_a_certificate_is_held_against_the_newest_amendment_that_is_known(amendment: int, older: bool) -> None:
    """The 51st amendment of the IFRA Standards was notified in 2023 (from memory)."""
    scent = replace(thing("Scent", "Parfum", "scent"), certificates=(Certificate(amendment, "5A", 2.0, "invented"),))
    made = recipe("cream", BODY, {"Scent": 0.1}, "Sunflower oil", extra=(scent,))
    assert (codes(made).get("scent.amendment_older") == "know") is older


def test_ordinals() -> None:
    assert [ordinal(n) for n in (1, 2, 3, 11, 12, 13, 21, 49, 50, 51, 52, 53, 111)] == [
        "1st", "2nd", "3rd", "11th", "12th", "13th", "21st", "49th", "50th", "51st", "52nd", "53rd", "111th",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("called", "rinse_off", "found"),
    [
        ("Clay mask", True, ("3",)),
        ("Tonmaske", True, ("3",)),
        ("Masque à l'argile", True, ("3",)),
        ("Overnight mask", False, ("5B", "3")),
        ("Foundation", False, ("5B", "3")),
        ("Face wash", True, ("9",)),
        ("Day cream", False, ("5B",)),
        ("Damask rose cleanser", True, ("9",)),
    ],
)
def test_a_mask_of_the_face_falls_in_the_stricter_category(
    called: str, rinse_off: bool, found: tuple[str, ...]
) -> None:
    """Category system of the 49th amendment: masks and make-up stand in 3 (from memory)."""
    seen = categories_of(ProductType(("face",), rinse_off), called=called)
    assert seen.found == found
    assert ("3" in seen.from_memory) is ("3" in found)
    assert categories_of(ProductType(("hands",), rinse_off), called=called).found == (("9",) if rinse_off else ("5C",))


def test_the_reading_is_told_with_how_far_it_may_be_off() -> None:
    assert replace(CREAM, ph_read=5.1, ph_error=0.1).ph_in_words == "5.1 ± 0.1"
    assert replace(CREAM, ph_read=5.0).ph_in_words == "5"
    assert CREAM.ph_in_words == ""


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Kaliumsorbat", "Potassium Sorbate"), ("Acide salicylique", "Salicylic Acid"), ("E 211", "Sodium Benzoate"),
        ("Ácido láctico", "Lactic Acid"), ("Pfefferminzöl", "Mentha Piperita Oil"), ("122-99-6", "Phenoxyethanol"),
        ("BAC", "Benzalkonium Chloride"), ("Hydroxyacetic Acid", "Glycolic Acid"), ("CI 77891", "CI 77891"),
        ("Titanium Dioxide", "Titanium Dioxide"), ("Water", "Water"), ("Calcium Carbonate", "Calcium Carbonate"),
        ("Glowsomyl Hexapeptide-99", "Glowsomyl Hexapeptide-99"),
    ],
)  # fmt: skip
def test_another_spelling_is_held_under_the_published_name(name: str, meant: str) -> None:
    assert published_name(name) == meant


def test_two_spellings_of_one_substance_are_one_in_a_recipe() -> None:
    extra = (thing("One", "Phenoxyethanol", "preservative"), thing("Other", "122-99-6", "preservative"))
    inside = expand(recipe("x", BODY, {"One": 0.6, "Other": 0.6}, extra=extra))
    assert inside.find("2-Phenoxyethanol").high_percent == pytest.approx(1.2)


def test_what_a_name_in_another_language_is_decides_what_it_does() -> None:
    assert is_preservative(published_name("Natriumbenzoat"))
    assert holds_many("Teebaumöl")
    assert is_fatty("Olivenöl")
    assert wetness_of("Sirup") != WET


@given(
    st.lists(
        st.builds(
            lambda kind, topic, name, level: Finding(kind, f"{topic}.x", (name,), f"{topic} {name}", level),
            st.sampled_from(KINDS),
            st.sampled_from(["limit", "preservation", "scent", "law", "oil"]),
            st.sampled_from(["A", "a", "B"]),
            st.sampled_from(["over", "near", "unknown", "fine"]),
        ),
        max_size=8,
    )
)
def test_as_told_keeps_every_stop_and_every_text(found: list[Finding]) -> None:
    once = told_once(found)
    told = as_told(once)
    assert [f.about for f in told if f.kind == "stop"] == [f.about for f in once if f.kind == "stop"]
    assert all(any(f.text.casefold() in g.text.casefold() and f.kind == g.kind for g in told) for f in once)
