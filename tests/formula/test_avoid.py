"""The avoid-list reads inside mixtures, and never promises that what nobody told is not there."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from formula.judged_recipes import ALL, HANDS, INGREDIENTS, R2, R3_V2, R4, R5, WASH, recipe, thing

from maker_kit.errors import QuantityError
from maker_kit.formula.avoid import check_avoided


@dataclass(frozen=True)
class Entry:
    person: str
    avoid: str
    reason: str = ""


ALMOND = Entry("a guest", "almond", "allergic to tree nuts")
BENZYL = Entry("a cleaner", "benzyl alcohol", "it irritates the cleaner's hands")


def test_benzyl_alcohol_is_found_through_the_preservative_that_contains_it() -> None:
    answer = check_avoided(R5, [BENZYL])
    match = answer.matches[0]
    assert (match.substance, match.ingredients, match.person) == ("Benzyl Alcohol", ("Preservative B",), "a cleaner")
    assert match.high_percent == pytest.approx(0.792)  # 0.9 % at 88 %
    text = answer.findings[0].text
    assert "a cleaner" in text
    assert "irritates" in text
    assert "Preservative B" in text
    assert "Do not give it to a cleaner" in answer.findings[0].next_step


def test_almond_is_found_by_the_ingredients_name_and_then_inside_every_mixture() -> None:
    assert check_avoided(R4, [ALMOND]).matches[0].substance == "Prunus Amygdalus Dulcis Oil"
    blend = thing("Oil blend", "Helianthus Annuus Seed Oil, Prunus Amygdalus Dulcis Oil", "oil")
    hidden = recipe("lotion", HANDS, {"Oil blend": 5, "Preservative P": 1}, extra=(blend,))
    match = check_avoided(hidden, [ALMOND], INGREDIENTS).matches[0]
    assert (match.ingredients, match.high_percent) == (("Oil blend",), None)


def test_a_name_teaches_its_inci_where_no_family_is_on_file() -> None:
    thing_ = thing("Marula nectar", "Sclerocarya Birrea Seed Oil", "oil")
    blend = thing("Blend", "", "oil", {"Sclerocarya Birrea Seed Oil": (10, 20)})
    made = recipe("balm", HANDS, {"Blend": 10}, "Castor oil", extra=(blend,))
    assert check_avoided(made, [Entry("Ann", "marula")], {"Marula nectar": thing_}).matches[0].ingredients == ("Blend",)


@pytest.mark.parametrize(("word", "inci"), [
    ("nuts", "Corylus Avellana Seed Oil"), ("tree nuts", "Macadamia Ternifolia Seed Oil"), ("peanut", "Arachis Hypogaea Oil"), ("wheat", "Triticum Vulgare Germ Oil"), ("gluten", "Hydrolyzed Wheat Protein"),
    ("Soya", "Soya"), ("soy", "Glycine Soja Oil"), ("coconut", "Sodium Cocoyl Isethionate"), ("paraben", "Methylparaben"), ("bee", "Cera Alba"), ("lanolin", "Lanolin Alcohol"), ("ALMONDS", "Prunus Amygdalus Dulcis Oil"),
    ("sulfates", "Sodium Laureth Sulfate"), ("sesame", "Sesamum Indicum Seed Oil"),
])
def test_family_words_find_their_members(word: str, inci: str) -> None:
    made = recipe("x", WASH, {"It": 1, "Preservative P": 1}, extra=(thing("It", inci),))
    assert [m.substance for m in check_avoided(made, [Entry("Ann", word)]).matches] == [inci]


@pytest.mark.parametrize(("word", "inci"), [("milk", "Lactic Acid"), ("honey", "Melaleuca Alternifolia Leaf Oil"), ("nut", "Nutrient Broth"), ("oat", "Goat Hair"), ("benzyl alcohol", "Cetyl Alcohol"), ("almond", "Prunus Armeniaca Kernel Oil")])
def test_words_are_whole_words(word: str, inci: str) -> None:
    made = recipe("x", WASH, {"It": 1, "Preservative P": 1}, extra=(thing("It", inci),))
    assert check_avoided(made, [Entry("Ann", word)]).matches == ()


def test_what_a_bench_mixture_is_made_from_counts() -> None:
    made = check_avoided(R2, [Entry("Ann", "citric acid")])
    assert made.matches[0].substance == "Citric Acid"
    assert made.matches[0].ingredients == ("Citric acid 50 %",)


def test_a_scent_whose_inside_is_not_all_told_leaves_it_unknown() -> None:
    finding = check_avoided(R2, [ALMOND], INGREDIENTS).findings[0]
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert "Scent 1" in finding.text


def test_nothing_found_is_said_as_nothing_found_and_never_as_safe() -> None:
    finding = check_avoided(R3_V2, [ALMOND], INGREDIENTS).findings[0]
    assert (finding.kind, finding.level) == ("know", "note")
    assert "Nothing by that name was found" in finding.text
    assert "safe" not in finding.text


def test_a_word_that_means_nothing_is_unknown_and_names_the_near_miss() -> None:
    finding = check_avoided(R3_V2, [Entry("Ann", "almmond")], INGREDIENTS).findings[0]
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert 'did you mean "almond"' in finding.next_step


def test_a_line_at_zero_brings_nothing() -> None:
    made = recipe("x", HANDS, {"Sweet almond oil": 0, "Castor oil": 50}, "Sunflower oil")
    assert check_avoided(made, [ALMOND], INGREDIENTS).matches == ()


@pytest.mark.parametrize("word", ["", "  ", "!?"])
def test_an_empty_row_is_refused(word: str) -> None:
    with pytest.raises(QuantityError, match="write a word"):
        check_avoided(R2, [Entry("Ann", word)])


@pytest.mark.parametrize("name", ALL)
def test_one_finding_for_every_row_of_the_list(name: str) -> None:
    answer = check_avoided(ALL[name], [ALMOND, BENZYL], INGREDIENTS)
    assert len(answer.findings) == 2
    assert {m.avoid for m in answer.matches} == ({"almond"} if name == "R4" else {"benzyl alcohol"} if name == "R5" else set())
    assert len(answer.to_frame()) == len(answer.matches)
