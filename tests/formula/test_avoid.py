"""The avoid-list reads inside mixtures, and never promises that what nobody told is not there."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from formula.judged_recipes import ALL, HANDS, INGREDIENTS, R2, R3_V2, R4, R5, WASH, recipe, thing

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.formula.kinds import holds_many
from maker_kit.formula.notes.avoid import check_avoided


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
    assert "A cleaner" in text
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


@pytest.mark.parametrize(
    ("word", "inci"),
    [
        ("nuts", "Corylus Avellana Seed Oil"),
        ("tree nuts", "Macadamia Ternifolia Seed Oil"),
        ("peanut", "Arachis Hypogaea Oil"),
        ("wheat", "Triticum Vulgare Germ Oil"),
        ("gluten", "Hydrolyzed Wheat Protein"),
        ("Soya", "Soya"),
        ("soy", "Glycine Soja Oil"),
        ("coconut", "Sodium Cocoyl Isethionate"),
        ("paraben", "Methylparaben"),
        ("bee", "Cera Alba"),
        ("lanolin", "Lanolin Alcohol"),
        ("ALMONDS", "Prunus Amygdalus Dulcis Oil"),
        ("sulfates", "Sodium Laureth Sulfate"),
        ("sesame", "Sesamum Indicum Seed Oil"),
        ("aluminum", "Aluminium Chlorohydrate"),
        ("aluminium", "Aluminum Starch Octenylsuccinate"),
        ("sulphates", "Sodium Laureth Sulfate"),
    ],
)
def test_family_words_find_their_members(word: str, inci: str) -> None:
    made = recipe("x", WASH, {"It": 1, "Preservative P": 1}, extra=(thing("It", inci),))
    assert [m.substance for m in check_avoided(made, [Entry("Ann", word)]).matches] == [inci]


@pytest.mark.parametrize(
    ("word", "inci"),
    [
        ("milk", "Lactic Acid"),
        ("honey", "Melaleuca Alternifolia Leaf Oil"),
        ("nut", "Nutrient Broth"),
        ("oat", "Goat Hair"),
        ("benzyl alcohol", "Cetyl Alcohol"),
        ("almond", "Prunus Armeniaca Kernel Oil"),
    ],
)
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
    assert "Nothing by such a name was found" in finding.text
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
    assert {m.avoid for m in answer.matches} == (
        {"almond"} if name == "R4" else {"benzyl alcohol"} if name == "R5" else set()
    )


@pytest.mark.parametrize(
    ("inci", "function"),
    [
        ("Citrus Aurantium Dulcis Peel Oil", "scent"),
        ("Citrus Aurantium Dulcis Peel Oil", "oil"),
        ("Lavandula Angustifolia Oil", "active"),
        ("Lavandula Angustifolia (Lavender) Oil", ""),
        ("Rosmarinus Officinalis Leaf Extract", "antioxidant"),
        ("Jasminum Sambac Flower Absolute", ""),
        ("Aroma", "flavour"),
        ("Daucus Carota Sativa Seed Oil", "oil"),
        ("Citrus Limon Peel Powder", "scrub"),
        ("Lavandula Angustifolia Flower Water", "water"),
    ],
)
@pytest.mark.parametrize("word", ["limonene", "linalool"])
def test_an_essential_oil_whose_parts_nobody_told_is_never_called_clean(inci: str, function: str, word: str) -> None:
    # sweet orange oil is mostly limonene and lavender oil a third linalool (ISO 3140 and ISO 3515, from memory), though
    # no name on the pack says so
    made = recipe("x", HANDS, {"It": 1, "Preservative P": 1}, extra=(thing("It", inci, function),))
    answer = check_avoided(made, [Entry("Ann", word)])
    assert [(f.kind, f.level) for f in answer.findings] == [("look", "unknown")]
    assert "It" in answer.findings[0].text
    assert answer.unknown_in == ("It",)


@pytest.mark.parametrize(
    "inci",
    [
        "Helianthus Annuus Seed Oil",
        "Prunus Amygdalus Dulcis (Sweet Almond) Oil",
        "PEG-40 Hydrogenated Castor Oil",
        "Paraffinum Liquidum",
        "Cera Alba",
        "Aloe Barbadensis Leaf Juice",
        "Aqua",
    ],
)
def test_a_plain_fatty_oil_is_told_by_its_name(inci: str) -> None:
    made = recipe("x", HANDS, {"It": 1, "Preservative P": 1}, extra=(thing("It", inci, "oil"),))
    assert [(f.kind, f.level) for f in check_avoided(made, [Entry("Ann", "limonene")]).findings] == [("know", "note")]


def test_an_essential_oil_hides_inside_mixtures_too_and_figures_that_make_100_tell_it() -> None:
    orange, dose = "Citrus Aurantium Dulcis Peel Oil", {"It": 1, "Preservative P": 1}
    for inside in (
        {orange: (1, 2), "Helianthus Annuus Seed Oil": (98, 99)},
        {orange: None, "Glycerin": (50, 60)},
        {"Myrcene": (2, 3)},
    ):
        made = recipe("x", HANDS, dose, extra=(thing("It", "", "active", inside),))
        assert check_avoided(made, [Entry("Ann", "linalool")]).findings[0].level == "unknown"
    told = recipe("x", HANDS, dose, extra=(thing("It", orange, "scent", {"Limonene": (96, 97), "Myrcene": (4, 4)}),))
    assert check_avoided(told, [Entry("Ann", "linalool")]).findings[0].level == "note"
    bench = recipe(
        "x",
        HANDS,
        dose,
        extra=(
            thing("It", "", "active", made_from=(("Orange", 10.0), ("Glycerin", 90.0))),
            thing("Orange", orange, "oil"),
        ),
    )
    assert check_avoided(bench, [Entry("Ann", "linalool")]).unknown_in == ("It",)


def test_a_floral_water_is_asked_about_for_what_smells_only() -> None:
    floral = recipe("x", HANDS, {"Rose floral water": 25, "Preservative P": 1})
    assert [
        check_avoided(floral, [Entry("Ann", word)]).findings[0].level for word in ("geraniol", "perfume", "wheat")
    ] == ["unknown", "unknown", "note"]


def test_every_pattern_of_plain_oils_has_a_source_and_frees_no_essential_oil() -> None:
    essential = [
        r["name"]
        for r in reference.rows("eu_fragrance_allergens.csv")
        if r["name"].endswith((" Oil", "Extract", "Absolute"))
    ]
    assert len(essential) > 15
    assert all(holds_many(name) for name in essential)
    assert all(r["source"] and r["checked"] for r in reference.rows("fatty_oils.csv"))


@pytest.mark.parametrize(
    ("word", "inci"),
    [
        ("sulfate", "Sodium Laureth Sulphate"),
        ("sulphates", "Ammonium Lauryl Sulfate"),
        ("magnesium sulfate", "Magnesium Sulphate"),
    ],
)
def test_a_sulphate_is_found_by_either_spelling(word: str, inci: str) -> None:
    made = recipe("x", WASH, {"It": 1, "Preservative P": 1}, extra=(thing("It", inci),))
    assert [m.substance for m in check_avoided(made, [Entry("Ann", word)]).matches] == [inci]
