"""Names of a pack's list, read: spellings, brackets, languages, markup, what may be in it; and bad lists."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import LabelError, MakerKitError
from maker_kit.label.label_text import COLOUR, INSIDE, MAYBE, ORDERED, read_text


def names(text: str, role: str | None = None) -> list[str]:
    """The names that were read, of one role or of all."""
    return [n.name for n in read_text(text).names if role is None or n.role == role]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Ingredients: AQUA,  glycerin , Sodium  Benzoate.", ["Aqua", "Glycerin", "Sodium Benzoate"]),
        ("Aqua; Propanediol; Glycerin", ["Aqua", "Propanediol", "Glycerin"]),
        ("Ingrédients / Ingredients: Aqua • Glycerin", ["Aqua", "Glycerin"]),
        ("Aqua (Water), Parfum (Fragrance)", ["Aqua", "Parfum"]),
        ("Aqua (Water, Eau), Glycerin", ["Aqua", "Glycerin"]),
        ("Aqua/Water/Eau, Glycerin", ["Aqua", "Glycerin"]),
        (
            "Aqua, Helianthus Annuus (Sunflower) Seed Oil*. *from organic farming",
            ["Aqua", "Helianthus Annuus Seed Oil"],
        ),
        ("Aqua, 1,2-Hexanediol, Polysorbate 60", ["Aqua", "1,2-Hexanediol", "Polysorbate 60"]),
        ("Aqua, Caprylic/Capric Triglyceride", ["Aqua", "Caprylic/Capric Triglyceride"]),
        ("1. Aqua\n2. Glycerin\n3. Panthenol", ["Aqua", "Glycerin", "Panthenol"]),
        ("Aqua, Sodium\nBenzoate, Coco-\nGlucoside", ["Aqua", "Sodium Benzoate", "Coco-Glucoside"]),
        ("Aqua、Glycerin，Panthenol", ["Aqua", "Glycerin", "Panthenol"]),
        ("Aqua. Glycerin. Panthenol.", ["Aqua", "Glycerin", "Panthenol"]),
    ],
)
def test_spellings_and_separators(text, wanted):
    assert names(text) == wanted


def test_allergens_after_the_scent_stand_inside_it_and_colours_last():
    read = read_text("Aqua, Glycerin, Parfum, Citric Acid, Limonene, Linalool, CI 19140")
    roles = {n.name: n.role for n in read.names}
    assert roles["Limonene"] == roles["Linalool"] == INSIDE
    assert roles["CI 19140"] == COLOUR
    assert next(n for n in read.names if n.name == "Limonene").of == ("Parfum",)


def test_an_allergen_that_also_preserves_stands_in_the_order():
    assert "Benzyl Alcohol" in names("Aqua, Parfum, Benzyl Alcohol, Xanthan Gum, Linalool", ORDERED)
    assert "Benzyl Alcohol" in names("Aqua, Parfum, Benzyl Alcohol", ORDERED)


def test_an_essential_oil_may_bring_the_allergens():
    read = read_text("Aqua, Parfum, Lavandula Angustifolia Oil, Linalool")
    linalool = next(n for n in read.names if n.name == "Linalool")
    assert linalool.role == INSIDE
    assert len(linalool.of) == 2


def test_brackets_after_a_scent_hold_its_allergens():
    read = read_text("Aqua, Parfum (Limonene, Linalool), Citric Acid")
    assert {n.name: n.of for n in read.names if n.role == INSIDE} == {"Limonene": ("Parfum",), "Linalool": ("Parfum",)}
    assert not read.questions


def test_brackets_that_list_names_are_asked_about():
    read = read_text("Aqua, Emulsifying Blend (Cetearyl Alcohol, Polysorbate 60 (vegetable)), Glycerin")
    assert [q.code for q in read.questions if q.code == "brackets"] == ["brackets"]


def test_a_blend_in_one_place_is_read_as_what_it_holds_and_asked_about():
    """None of its names is counted beside it, as the order is that of the whole blend."""
    for text in ("Water (and) Glycerin (and) Carbomer, Urea", "Base [Water (and) Glycerin (and) Carbomer], Urea"):
        read = read_text(text)
        assert names(text, INSIDE) == ["Aqua", "Glycerin", "Carbomer"]
        assert len(names(text, ORDERED)) == 2
        assert len([q for q in read.questions if q.code in {"blend", "brackets"}]) == 1


def test_allergens_between_other_names_stand_inside_the_scent_and_are_asked_about():
    read = read_text("Aqua, Parfum, Limonene, Linalool, Citric Acid, Benzyl Alcohol, Coumarin")
    assert [n.name for n in read.names if n.role == INSIDE] == ["Limonene", "Linalool", "Coumarin"]
    assert [(q.code, q.about) for q in read.questions] == [("inside", "Limonene, Linalool")]
    assert not read_text("Aqua, Citral, Parfum, Limonene").questions  # what stands before the scent was put in


@pytest.mark.parametrize(
    "text",
    [
        "Talc, Mica [+/- CI 77891, CI 77491]",
        "Talc, Mica. May contain: CI 77891, CI 77491",
        "Talc, Mica (+/-): CI 77891, CI 77491",
        "Talc, Mica; peut contenir CI 77891, CI 77491",
    ],
)
def test_what_may_be_in_it(text):
    assert names(text, MAYBE) == ["Titanium Dioxide", "CI 77491"]


def test_a_pigment_is_a_colour_only_where_it_stands_last():
    assert names("Aqua, Titanium Dioxide, Glycerin", COLOUR) == []
    assert names("Aqua, Glycerin, Titanium Dioxide", COLOUR) == ["Titanium Dioxide"]


def test_a_slip_is_asked_about_and_answered():
    read = read_text("Aqua, Glycerine, Sodium Benzoat")
    assert [q.code for q in read.questions] == ["spelling"]
    assert read.questions[0].choices == ("Sodium Benzoate",)
    again = read_text("Aqua, Glycerine, Sodium Benzoat", {"Sodium Benzoat": "Sodium Benzoate"})
    assert not again.questions
    assert again.names[-1].name == "Sodium Benzoate"


def test_a_name_that_stands_twice_is_asked_about():
    read = read_text("Aqua, Glycerin, Water")
    assert [n.name for n in read.names] == ["Aqua", "Glycerin"]
    assert [q.code for q in read.questions] == ["twice"]


def test_percent_and_nano_beside_a_name():
    read = read_text("Aqua, Niacinamide (5 %), Zinc Oxide (nano), Glycerin")
    assert float(read.names[1].percent) == 5
    assert read.names[2].nano
    assert read.names[2].name == "Zinc Oxide"


def test_names_written_from_right_to_left_lose_only_their_marks():
    read = read_text("Aqua, \u202eשמן זית\u202c, Glycerin")
    assert [n.name for n in read.names] == ["Aqua", "שמן זית", "Glycerin"]
    assert not read.names[1].known


def test_markup_stays_text():
    assert names("Aqua, <img src=x onerror=alert(1)>, Glycerin")[1] == "<img src=x onerror=alert(1)>"


DRUG = "Active Ingredient: Zinc Oxide 12%. Inactive Ingredients: Water, Glycerin"


@pytest.mark.parametrize("text", [DRUG, "", "   \n ", ",,;", ", ".join(f"Name{i}" for i in range(200)), "A" * 30_000])
def test_bad_lists_are_refused_in_a_sentence(text):
    with pytest.raises(LabelError) as caught:
        read_text(text)
    assert len(str(caught.value)) > 20


@given(st.text(max_size=300))
def test_any_text_is_read_or_refused_in_a_sentence(text):
    try:
        read = read_text(text)
    except MakerKitError:
        return
    assert read.names
    assert all(n.name.strip() for n in read.names)
