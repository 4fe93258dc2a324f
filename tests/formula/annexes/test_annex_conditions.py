"""What stands beside the figures: uses not listed, ages, sprays, pH, warnings, declarations, sums, and what our
words cannot tell.
"""

from __future__ import annotations

import time
from fractions import Fraction

import pytest
from annex_products import BODY_SPRAY, CHILD, HAIR_SPRAY, LEAVE, RINSE, verdicts_of
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.annexes.verdict import ORDER, Content
from maker_kit.formula.annexes.verdicts import named, verdicts
from maker_kit.formula.ingredient import ProductType

FACE_OF_A_CHILD = ProductType(("face",), rinse_off=False, for_whom="small children")


def codes(
    name: str, product: ProductType, percent: float, *, ph: float | None = None, functions: tuple[str, ...] = ()
) -> set[tuple[str, str]]:
    """(code, annex and entry with letter) of what is said, what is within aside."""
    return {
        (v.code, f"{v.annex} {v.entry}{v.letter}")
        for v in verdicts_of(name, product, percent, percent, ph=ph, functions=functions)
        if v.code != "within"
    }


# Annex III 22 (hair only), 375 (face and hands), 94 and 14 (nails), 2a (hair), 257, 54 and V 20 (rinse-off), V 16
# (eye products)
@pytest.mark.parametrize(
    ("name", "product", "entry"),
    [
        ("Resorcinol", LEAVE["face"], "III 22"), ("Kojic Acid", LEAVE["body"], "III 375"),
        ("Benzoyl Peroxide", LEAVE["face"], "III 94"), ("Thioglycolic Acid", LEAVE["face"], "III 2a"),
        ("Phenoxyisopropanol", LEAVE["body"], "V 43"), ("5-Bromo-5-Nitro-1,3-Dioxane", LEAVE["body"], "V 20"),
        ("Thimerosal", LEAVE["body"], ""), ("Methylisothiazolinone", LEAVE["hands"], "V 57"),
        ("Methylchloroisothiazolinone", LEAVE["body"], "V 39"), ("Homosalate", LEAVE["body"], "VI 3"),
        ("Triclosan", LEAVE["body"], "V 25"), ("p-Phenylenediamine", LEAVE["face"], "III 8a"),
        ("Selenium Sulfide", LEAVE["face"], ""), ("Silver Nitrate", LEAVE["body"], "III 48"),
        ("HEMA", LEAVE["hands"], "III 313"), ("Sodium Fluoride", LEAVE["face"], ""),
        ("Alpha-Arbutin", LEAVE["hands"], "III 377"), ("Hydroxyapatite", LEAVE["face"], "III 372"),
    ],
)  # fmt: skip
def test_a_use_that_the_entry_does_not_list_is_a_stop(name: str, product: ProductType, entry: str) -> None:
    said = verdicts_of(
        name,
        product,
        0.0001,
        0.0001,
        functions=("preservative" if entry.startswith("V ") else "UV filter" if entry.startswith("VI") else "active",),
    )
    assert said[0].is_stop, said
    if entry:
        assert ("use_not_listed", entry) in {(v.code, f"{v.annex} {v.entry}") for v in said}


def test_our_words_cannot_tell_a_hair_dye() -> None:
    assert ("unknown_product_type", "III 8a") in {(c, e[:6]) for c, e in codes("p-Phenylenediamine", LEAVE["hair"], 1)}
    assert ("over_most", "III 22c") in codes("Resorcinol", RINSE["hair"], 0.6)
    assert codes("Resorcinol", RINSE["hair"], 0.5) == {("needs_warning", "III 22c")}  # "Contains resorcinol"


def test_dihydroxyacetone_is_for_self_tanning_up_to_ten_percent() -> None:
    """III 322 b: self-tanning products 10 %; whether a lotion is one, our words cannot tell."""
    assert codes("Dihydroxyacetone", LEAVE["body"], 5) == {("unknown_product_type", "III 322b")}
    assert codes("Dihydroxyacetone", LEAVE["body"], 12) == {("over_most", "III 322b")}
    assert codes("Dihydroxyacetone", LEAVE["lips"], 5) == {("use_not_listed", "III 322")}


def test_the_strictest_of_several_places_counts() -> None:
    assert ("over_most", "III 376a") in codes("Retinol", ProductType(("face", "body"), rinse_off=False), 0.2)
    assert ("use_not_listed", "III 375") in codes("Kojic Acid", ProductType(("face", "body"), rinse_off=False), 0.5)


# not under three years: III 98, V 3, V 52, V 56; not under six: III 324; lungs: V 28, III 98; sprays: V 11, 13, 48
@pytest.mark.parametrize(
    ("name", "product", "expected"),
    [
        ("Salicylic Acid", CHILD, ("age_barred", "III 98")), ("Methyl Salicylate", CHILD, ("age_barred", "III 324")),
        ("Silver Chloride", CHILD, ("age_barred", "V 52")),
        ("Iodopropynyl Butylcarbamate", FACE_OF_A_CHILD, ("age_barred", "V 56b")),
        ("Polyaminopropyl Biguanide", HAIR_SPRAY, ("spray_barred", "V 28")),
        ("Dehydroacetic Acid", BODY_SPRAY, ("spray_barred", "V 13")),
        ("Chlorobutanol", BODY_SPRAY, ("spray_barred", "V 11")), ("Glutaral", BODY_SPRAY, ("spray_barred", "V 48")),
        ("Iodopropynyl Butylcarbamate", LEAVE["lips"], ("use_not_listed", "V 56")),
        ("Iodopropynyl Butylcarbamate", LEAVE["body"], ("use_not_listed", "V 56b")),
        ("Silver Citrate", LEAVE["eye area"], ("use_not_listed", "V 59")),
        ("Ethoxydiglycol", LEAVE["eye area"], ("use_not_listed", "III 297")),
        ("Ethyl Lauroyl Arginate HCl", LEAVE["lips"], ("use_not_listed", "V 58b")),
        ("7-Ethylbicyclooxazolidine", LEAVE["lips"], ("use_not_listed", "V 49")),
    ],
)  # fmt: skip
def test_ages_sprays_and_places(name: str, product: ProductType, expected: tuple[str, str]) -> None:
    assert expected in codes(
        name, product, 0.001, functions=("active",) if expected[1].startswith("III") else ("preservative",)
    )


def test_children_may_be_washed_with_what_the_law_lets() -> None:
    """V 56 a: not under three years except in bath products, shower gels and shampoos; V 3: salts of salicylic acid
    except in shampoos.
    """
    wash = ProductType(("body",), rinse_off=True, for_whom="small children")
    shampoo = ProductType(("hair",), rinse_off=True, for_whom="small children")
    assert not {
        c for c in codes("Iodopropynyl Butylcarbamate", wash, 0.01, functions=("preservative",)) if c[0] == "age_barred"
    }
    assert not {
        c for c in codes("Sodium Salicylate", shampoo, 0.3, functions=("preservative",)) if c[0] == "age_barred"
    }
    assert {c for c in codes("Sodium Salicylate", wash, 0.3, functions=("preservative",)) if c[0] == "age_barred"}
    assert {c for c in codes("Salicylic Acid", shampoo, 0.3, functions=("preservative",)) if c[0] == "age_barred"}


def test_hydroxides_and_ph() -> None:
    """III 15a (d): other uses as pH adjuster up to pH 11; 15c: below 11; V 45: above 6; III 2a: 7 to 9.5."""
    assert ("ph_outside", "III 15ad") in codes("Lye", LEAVE["hands"], 5, ph=13.5)
    assert ("ph_outside", "III 15ad") not in codes("Lye", LEAVE["hands"], 0.1, ph=11.0)
    assert ("unknown_condition", "III 15ad") in codes("Lye", LEAVE["hands"], 0.1)
    assert ("ph_outside", "III 15cc") in codes("Calcium Hydroxide", LEAVE["hands"], 0.1, ph=11.0)
    assert ("use_not_listed", "III 15b") in codes("Lithium Hydroxide", LEAVE["hands"], 0.1, ph=8)
    assert ("ph_outside", "V 45") in codes("Dimethyl Oxazolidine", LEAVE["hands"], 0.05, ph=6.0)
    assert ("ph_outside", "III 2aa") in codes("Thioglycolic Acid", RINSE["hair"], 2, ph=10.5)


def test_allergens_are_declared_above_their_thresholds() -> None:
    """Regulation (EU) 2023/1545 and before: above 0.001 % left on, 0.01 % rinsed off."""
    for name in (
        "Linalool",
        "d-Limonene",
        "trans-Anethole",
        "Alpha-Pinene",
        "Neral",
        "Menthol",
        "Vanillin",
        "Lavandula Angustifolia Oil",
        "Rosa Damascena Flower Oil",
        "Benzaldehyde",
    ):
        assert not {c for c, _ in codes(name, LEAVE["body"], 0.001)} & {"declare"}, name
        assert {c for c, _ in codes(name, LEAVE["body"], 0.0011)} & {"declare"}, name
        assert not {c for c, _ in codes(name, RINSE["body"], 0.01)} & {"declare"}, name
        assert {c for c, _ in codes(name, RINSE["body"], 0.011)} & {"declare"}, name
    both = verdicts(
        (
            Content("Neral", Fraction("0.0006"), Fraction("0.0006")),
            Content("Geranial", Fraction("0.0006"), Fraction("0.0006")),
        ),
        LEAVE["body"],
    )
    assert [(v.code, v.wording) for v in both if v.code == "declare"] == [("declare", "Citral")]


def test_nitrosamines_and_warnings_are_quoted() -> None:
    said = verdicts_of("Triethanolamine", LEAVE["body"], 1, 1)
    assert any(v.code == "unknown_condition" and v.about == "nitrosamines" and "nitrosating" in v.quote for v in said)
    eyes = verdicts_of("Benzalkonium Chloride", LEAVE["eye area"], 0.05, 0.05, functions=("preservative",))
    assert any(v.code == "needs_warning" and "Avoid contact with eyes" in v.wording for v in eyes)
    assert not [v for v in verdicts_of("Talc", LEAVE["face"], 5, 5) if v.code == "needs_warning"]
    powder = verdicts_of("Talc", CHILD, 90, 90)
    assert any(v.code == "unknown_product_type" or v.code == "needs_warning" for v in powder) or not [
        v for v in powder if v.is_stop
    ]


PRODUCTS = st.builds(
    ProductType,
    st.lists(st.sampled_from(PLACES), min_size=1, max_size=2, unique=True).map(tuple),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["adults", "small children"]),
)
NAMES = st.sampled_from(sorted({n for e in law().entries for n in e.names if len(n) < 60}))


@given(NAMES, PRODUCTS, st.floats(0.0001, 50), st.sampled_from(["", "preservative", "colour", "UV filter", "scent"]))
def test_more_of_a_substance_never_removes_a_stop(
    name: str, product: ProductType, percent: float, function: str
) -> None:
    """A stop at an amount is a stop at twice the amount, and where the most is not told a stop stays one."""
    functions = (function,) if function else ()
    amount = Fraction(str(round(percent, 4))) or Fraction(1)
    less = verdicts((Content(name, amount, amount, functions),), product)
    more = verdicts((Content(name, 2 * amount, 2 * amount, functions),), product)
    undisclosed = verdicts((Content(name, amount, None, functions),), product)
    if any(v.is_stop for v in less):
        assert any(v.is_stop for v in more)
        assert any(v.is_stop for v in undisclosed)


@given(NAMES, PRODUCTS, st.sampled_from(["", "preservative", "colour", "UV filter", "scent"]))
def test_every_name_of_an_entry_gets_an_answer_in_order(name: str, product: ProductType, function: str) -> None:
    said = verdicts_of(name, product, 0.01, 0.01, functions=(function,) if function else ())
    assert [ORDER.index(v.code) for v in said] == sorted(ORDER.index(v.code) for v in said)
    assert all(v.source and v.names == (name,) for v in said)


def test_a_recipe_is_judged_quickly() -> None:
    """15 lines in less than 5 ms once the tables are read; ten times that is allowed here, for a busy machine."""
    names = ["Aqua", "Glycerin", "Cetearyl Alcohol", "Ceteareth-20", "Helianthus Annuus Seed Oil", "Phenoxyethanol"]
    names += ["Linalool", "Limonene", "Citral", "Retinol", "Titanium Dioxide", "Salicylic Acid", "Citric Acid"]
    names += ["Sodium Hydroxide", "Tocopherol"]
    contents = tuple(Content(n, Fraction("0.5"), Fraction("0.5")) for n in names)
    verdicts(contents, LEAVE["body"], 5.5)
    start = time.perf_counter()
    verdicts(contents, LEAVE["face"], 5.6)
    assert time.perf_counter() - start < 0.05


NAMES_WITH_PURPOSE = st.sampled_from(
    ["Salicylic Acid", "Cetrimonium Chloride", "Zinc Oxide", "Octocrylene", "Climbazole", "CI 77820"]
)


@given(NAMES_WITH_PURPOSE, PRODUCTS, st.sampled_from(["preservative", "colour", "UV filter"]), st.floats(0.001, 30))
def test_what_is_not_told_never_takes_a_stop_away(
    name: str, product: ProductType, function: str, percent: float
) -> None:
    """A substance on a list is judged no milder where nobody says what it is there for, or how much of it there is."""
    amount = Fraction(str(round(percent, 3)))

    def stops(functions: tuple[str, ...], high: Fraction | None) -> set[str]:
        listed = [v for v in verdicts((Content(name, amount, high, functions),), product) if v.is_stop and v.entry]
        return {v.annex for v in listed}

    assert stops((function,), amount) <= stops((), amount)
    assert stops((function,), amount) <= stops((function,), None)


def test_a_place_in_other_words_is_unknown_and_no_place_is_every_place() -> None:
    feet = ProductType(("feet",), rinse_off=False)
    assert ("unknown_product_type", "III 22") in codes("Resorcinol", feet, 0.1)
    assert ("use_not_listed", "III 22") in codes("Resorcinol", ProductType((), rinse_off=False), 0.1)
    assert ("over_most", "V 29") in codes("Phenoxyethanol", feet, 1.1)


def test_what_the_annexes_name() -> None:
    assert named("Lead Oxide")
    assert named("phenoxy ethanol")
    assert named("Sodium Benzoate")
    assert not named("Glycerin")
    assert not named("Nonsensium Oil")
