"""Which substance a name means: 200 names and more as written down by hand, and what spelling may not change."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit import reference
from maker_kit.formula.substances.cas import cas_number, cas_numbers, check_digit_holds
from maker_kit.formula.substances.naming import (
    carrier,
    colour_index,
    either_of,
    known,
    part_key,
    published_name,
    substance,
    substance_key,
)
from maker_kit.formula.substances.near import near_names
from maker_kit.formula.substances.published import names_of, published
from maker_kit.formula.substances.spelling import fold

SHARED = {
    "21645-51-2": "aluminium hydroxide, also a part of CI 77002",
    "8024-12-2": "verbena oil and verbena absolute",
    "93-28-7": "Annex III 368 prints the chemical name only",
    "5858-81-1": "the dye of CI 15850 and its pigment",
}
"""CAS numbers that the annexes give to more than one name."""
CHECKED = reference_rows("substance_names_check.csv")


@pytest.mark.parametrize("row", CHECKED, ids=lambda row: row["name"])
def test_a_name_means_what_is_written_down(row: dict[str, str]) -> None:
    assert substance(row["name"]).key == substance(row["inci"]).key
    assert fold(substance(row["name"]).name) == fold(row["inci"])


def test_the_list_holds_two_hundred_names() -> None:
    assert len({row["name"] for row in CHECKED}) >= 200


@given(
    st.sampled_from([row["name"] for row in CHECKED if not row["name"][0].isdigit()]),
    st.sampled_from([str.upper, str.lower, str.title]),
    st.integers(0, 3),
)
def test_capitals_and_blanks_change_nothing(name: str, spelt: object, blanks: int) -> None:
    written = f"{' ' * blanks}{spelt(name)}{' ' * blanks}"  # type: ignore[operator]
    assert substance_key(written) == substance_key(name)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Sodium Benzoate", "Potassium Benzoate"), ("Methylparaben", "Ethylparaben"),
        ("Benzoic Acid", "Sodium Benzoate"), ("Neral", "Geranial"), ("1,2-Hexanediol", "1,6-Hexanediol"),
        ("Eugenol", "Isoeugenol"), ("Retinol", "Retinal"), ("Titanium Dioxide", "Titanium Dioxide (nano)"),
        ("Alcohol", "Alcohol Denat."), ("Benzophenone", "Benzophenone-3"), ("Hydroquinone", "P-Hydroxyanisole"),
        ("Cera Alba", "Lanolin"),
    ],
)  # fmt: skip
def test_different_substances_stay_apart(one: str, other: str) -> None:
    assert substance_key(one) != substance_key(other)


def test_isomers_and_salts_belong_together() -> None:
    assert substance_key("Citral") in substance("Neral").families
    assert substance_key("Citral") in substance("geranial").families
    assert substance_key("Benzoic Acid") in substance("Sodium Benzoate").families
    assert substance_key("Sorbic Acid") in substance("Potassium Sorbate").families
    assert substance("Glycerin").families == ()


# check digits: 7732-18-5 (water) and 58-08-2 (caffeine) are right, by the rule worked out by hand:
# 1·8+2·1+3·2+4·3+5·7+6·7 = 105 → 5; 1·8+2·0+3·8+4·5 = 52 → 2
@pytest.mark.parametrize(
    ("number", "holds"),
    [
        ("7732-18-5", True),
        ("58-08-2", True),
        ("122-99-6", True),
        ("122-99-7", False),
        ("7732-18-4", False),
        ("12-3", False),
    ],
)
def test_the_check_digit_of_a_cas_number(number: str, *, holds: bool) -> None:
    assert check_digit_holds(number) is holds


def test_a_faulty_cas_number_means_nothing() -> None:
    meant = substance("122-99-7")
    assert meant.faulty_cas
    assert not meant.known
    assert cas_number("1,2-Hexanediol") is None


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("CI 77891", "CI 77891"),
        ("ci77891", "CI 77891"),
        ("77891", "CI 77891"),
        ("C.I. 45410:1", "CI 45410:1"),
        ("12", ""),
        ("99999", ""),
        ("Glycerin", ""),
    ],
)
def test_a_colour_index_number_is_recognised(name: str, number: str) -> None:
    assert colour_index(name) == number


def test_known_and_carriers() -> None:
    assert known("Sunflower oil")
    assert carrier("Sunflower oil") == "fatty oil"
    assert carrier("Phenoxyethanol") == ""
    assert not known("Nonsensium Extract")
    assert not known("CI 12345")


def test_every_cas_number_of_the_names_table_holds_and_agrees_with_the_annexes() -> None:
    """A number from memory must not stand in the annexes under another substance."""
    annexes: dict[str, set[str]] = {}
    for row in reference.rows("annex_entries.csv"):
        names = {substance_key(n) for n in names_of(row, "names", "more_names", "texts")}
        for number in cas_numbers(row["cas"]):
            annexes.setdefault(number, set()).update(names)
    wrong = []
    for row in reference.rows("substance_names.csv"):
        if row["kind"] == "cas":
            assert check_digit_holds(row["name"]), row
            if (
                row["name"] in annexes
                and row["name"] not in SHARED
                and substance_key(row["means"]) not in annexes[row["name"]]
            ):
                wrong.append((row["name"], row["means"], annexes[row["name"]]))
    assert not wrong


def test_no_name_means_two_things() -> None:
    means: dict[str, set[str]] = {}
    for row in reference.rows("substance_names.csv"):
        if row["kind"] not in {"isomer_of", "salt_of", "distinct"}:
            means.setdefault(fold(row["name"]) if row["kind"] != "cas" else row["name"], set()).add(fold(row["means"]))
    assert not {name: m for name, m in means.items() if len(m) > 1}


def test_a_name_that_a_table_prints_is_known() -> None:
    for name in list(published().names.values())[::7]:
        assert known(name), name


def test_thousands_of_names_are_read_quickly() -> None:
    substance("Aqua")
    names = [f"{name} {number}" for number in range(5) for name in list(published().names.values())[:400]]
    start = time.perf_counter()
    for name in names:
        substance(name)
    assert time.perf_counter() - start < 2  # 2,000 names; some 0.2 s on an idle machine


# E numbers: Regulation (EC) No 1333/2008, Annex II; names in other languages and old names: from memory
@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("E216", "Propylparaben"), ("E 219", "Sodium Methylparaben"), ("E284", "Boric Acid"), ("e285", "Sodium Borate"),
        ("E321", "BHT"), ("E524", "Sodium Hydroxide"), ("E1519", "Benzyl Alcohol"), ("E122", "CI 14720"),
        ("mousse de chêne", "Evernia Prunastri Extract"), ("acqua ossigenata", "Hydrogen Peroxide"),
        ("agua oxigenada", "Hydrogen Peroxide"), ("eau oxygénée", "Hydrogen Peroxide"), ("sodio benzoato",
        "Sodium Benzoate"), ("benzoato sódico", "Sodium Benzoate"), ("soda caustica", "Sodium Hydroxide"),
        ("idrochinone", "Hydroquinone"), ("canfora", "Camphor"), ("fenossietanolo", "Phenoxyethanol"), ("Salzsäure",
        "Hydrochloric Acid"), ("Jod", "Iodine"), ("Povidone-Iodine", "PVP-Iodine"), ("Quecksilber", "Mercury"),
        ("Karbolsäure", "Phenol"), ("Natronlauge", "Sodium Hydroxide"), ("Wollwachs", "Lanolin"), ("Tonalid",
        "Acetyl Hexamethyl Tetralin"), ("Zinc omadine", "Zinc Pyrithione"), ("Paraben (methyl)", "Methylparaben"),
        ("Benzoate, Sodium", "Sodium Benzoate"), ("Acid (citric)", "Citric Acid"), ("Oxide, Zinc", "Zinc Oxide"),
        ("deadly nightshade", "Atropa belladonna"), ("Foxglove extract", "Digitaline"), ("CBD isolate", "Cannabidiol"),
        ("Weingeist", "Alcohol"), ("huile essentielle de tea tree", "Melaleuca Alternifolia Leaf Oil"),
    ],
)  # fmt: skip
def test_names_of_other_tongues_numbers_and_turned_names(written: str, meant: str) -> None:
    assert substance(written).known
    assert substance_key(written) == substance_key(meant)


@pytest.mark.parametrize(
    ("written", "several"),
    [
        ("DHA", {"Dehydroacetic Acid", "Dihydroxyacetone"}), ("BHA (salicylic)", {"BHA", "Salicylic Acid"}),
        ("AHA", {"Glycolic Acid", "Lactic Acid"}), ("Retinol (Tretinoin)", {"Retinol", "Retinoic Acid"}),
    ],
)  # fmt: skip
def test_a_name_of_several_things_is_asked_about(written: str, several: set[str]) -> None:
    assert not substance(written).known
    assert several <= set(near_names(written))


@pytest.mark.parametrize(
    "written",
    ["Aqua (Water)", "Parfum (Fragrance)",
     "Titanium Dioxide (CI 77891)", "Cera Alba (Beeswax)", "Tocopherol (Vitamin E)",
     "Sodium Hydroxide (Lye)", "Phenoxyethanol (122-99-6)", "Glycerin (vegetable)", "Alcohol (Ethanol)"],
)  # fmt: skip
def test_another_name_of_the_same_in_brackets_is_no_question(written: str) -> None:
    assert substance(written).known
    assert not either_of(written)


def test_an_oil_is_no_near_miss_of_what_is_none() -> None:
    assert not near_names("Citronella Oil")


@pytest.mark.parametrize(
    "name", ["Phenoxy ethanol", "phenoxyéthanol", "Phenoxyethanol*", "phenoxyethanol.", "Phenoxy-Ethanol"]
)
def test_a_name_with_other_signs_is_the_same_part_in_every_table(name: str) -> None:
    """The law found it before, the table of preservatives did not."""
    assert published_name(name) == "Phenoxyethanol"
    assert part_key(name) == part_key("Phenoxyethanol")
    assert published_name("PHENOXYETHANOL") == "PHENOXYETHANOL"


# German, French and other names of what the law restricts, from memory; the first was unknown before
@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Zimtaldehyd", "Cinnamal"),
        ("Natriumtetraborat", "Sodium Borate"),
        ("Cortisol", "Hydrocortisone"),
        ("Selendisulfid", "Selenium Sulfide"),
        ("Benzalkoniumchlorid", "Benzalkonium Chloride"),
        ("Peroxyde de benzoyle", "Benzoyl Peroxide"),
        ("Teer", "Coal Tar"),
        ("Cumarin", "Coumarin"),
        ("Salicylsäure", "Salicylic Acid"),
        ("Acide borique", "Boric Acid"),
        ("Hydroxyde de sodium", "Sodium Hydroxide"),
        ("Nelkenöl", "Eugenia Caryophyllus Bud Oil"),
        ("Trétinoïne", "Retinoic Acid"),
        ("Ziegenmilch", "Goat Milk"),
        ("Myroxylon Balsamum Pereirae", "Peru Balsam"),
        ("Cantharidin", "Cantharidine"),
        ("Sanddornöl", "Hippophae Rhamnoides Oil"),
        ("Eau de rose", "Rosa Damascena Flower Water"),
    ],
)
def test_names_in_german_and_french_mean_the_same(name: str, meant: str) -> None:
    assert known(name)
    assert substance_key(name) == substance_key(meant)
