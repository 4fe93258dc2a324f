"""Known clashes: found inside bought mixtures, with their source, and never promised to be all."""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import ALL, HANDS, R1, R1B, R2, R3_V1, R3_V2, R4, WASH, recipe, thing

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.formula.notes.clashes import clashes, family_members

PRESERVED = {"Preservative P": 1.0}


def subjects(made, kind: str = "") -> list[str]:
    return [f.subject for f in clashes(made, kind)]


def test_anionic_meets_cationic_inside_a_mixture() -> None:
    conditioner = thing("Conditioner base", "Aqua, Behentrimonium Methosulfate, Cetearyl Alcohol")
    made = recipe("two in one", WASH, {"Sarcosinate": 10, "Conditioner base": 5, **PRESERVED}, extra=(conditioner,))
    found = next(f for f in clashes(made) if f.subject == "anionic with cationic")
    assert (found.kind, found.topic) == ("look", "clash")
    assert "Sodium Lauroyl Sarcosinate (in Sarcosinate)" in found.text
    assert "Behentrimonium Methosulfate (in Conditioner base)" in found.text
    assert found.source == "common practice, no source"


@pytest.mark.parametrize(
    "inci",
    [
        "Polyquaternium-7",
        "Cetrimonium Chloride",
        "Guar Hydroxypropyltrimonium Chloride",
        "Stearamidopropyl Dimethylamine",
        "BENZALKONIUM CHLORIDE",
    ],
)
def test_cationics_are_known_by_their_names(inci: str) -> None:
    made = recipe(
        "shampoo", WASH, {"Wash": 20, "It": 1}, extra=(thing("Wash", "Sodium Laureth Sulfate"), thing("It", inci))
    )
    assert "anionic with cationic" in subjects(made)


@pytest.mark.parametrize("inci", ["Cocamidopropyl Betaine", "Coco-Glucoside", "Glycerin", "Cetearyl Alcohol"])
def test_amphoterics_and_nonionics_do_not_clash_with_anionics(inci: str) -> None:
    made = recipe(
        "shampoo", WASH, {"Wash": 20, "It": 5}, extra=(thing("Wash", "Sodium Laureth Sulfate"), thing("It", inci))
    )
    assert "anionic with cationic" not in subjects(made)


@pytest.mark.parametrize(
    "salt", ["Sodium Chloride", "Magnesium Sulfate", "Sodium Lactate", "Sodium PCA", "Sodium Benzoate"]
)
@pytest.mark.parametrize(
    "former",
    [
        "Carbomer",
        "Hydroxyethyl Acrylate/Sodium Acryloyldimethyl Taurate Copolymer",
        "Acrylates/C10-30 Alkyl Acrylate Crosspolymer",
    ],
)
def test_an_acrylic_gel_former_meets_a_salt(former: str, salt: str) -> None:
    made = recipe("gel", HANDS, {"Gel": 0.5, "Salt": 0.5}, extra=(thing("Gel", former), thing("Salt", salt)))
    assert "acrylic gel former with salt" in subjects(made)


def test_the_demo_gel_holds_no_salt_and_its_own_name_is_none() -> None:
    assert subjects(R2) == []
    assert family_members(R2, "salt").substances == ()


def test_a_gum_bears_salt() -> None:
    assert "acrylic gel former with salt" not in subjects(
        recipe("gel", HANDS, {"Xanthan gum": 0.4, "Salt": 1}, extra=(thing("Salt", "Sodium Chloride"),))
    )


@pytest.mark.parametrize(("ph", "expected"), [(5.0, False), (5.5, False), (5.51, True), (6.6, True)])
def test_benzoate_and_sorbate_clash_only_above_a_read_ph_of_5_5(ph: float, expected: bool) -> None:
    assert ("benzoate or sorbate above pH 5.5" in subjects(replace(R3_V1, ph_read=ph))) is expected
    assert "benzoate or sorbate above pH 5.5" not in subjects(replace(R3_V2, ph_read=ph))


def test_an_unread_ph_is_unknown_not_fine() -> None:
    found = next(f for f in clashes(replace(R3_V1, ph_read=None)) if f.subject.startswith("benzoate"))
    assert found.level == "unknown"
    with pytest.raises(QuantityError):
        clashes(replace(R3_V1, ph_read=15))


def test_scent_in_clear_water_wants_a_solubiliser() -> None:
    mist = recipe("mist", HANDS, {"Scent 1": 0.3, "Glycerin": 2, **PRESERVED}, scent="Scent 1")
    assert "scent in clear water without a solubiliser" in subjects(mist)
    carried = recipe(
        "mist", HANDS, {"Scent 1": 0.3, "Sol": 2, **PRESERVED}, scent="Scent 1", extra=(thing("Sol", "Polysorbate 20"),)
    )
    assert subjects(carried) == []
    by_word = recipe(
        "mist",
        HANDS,
        {"Scent 1": 0.3, "Sol": 2, **PRESERVED},
        scent="Scent 1",
        extra=(thing("Sol", "Something New", "solubiliser"),),
    )
    assert subjects(by_word) == []
    assert (
        subjects(
            replace(mist, lines=tuple(replace(x, percent=0.0) if x.ingredient == "Scent 1" else x for x in mist.lines))
        )
        == []
    )


@pytest.mark.parametrize(("percent", "clear"), [(60, True), (19, False)])
def test_alcohol_carries_a_scent_only_where_there_is_enough_of_it(percent: float, clear: bool) -> None:
    made = recipe(
        "cologne",
        HANDS,
        {"Scent 1": 0.3, "Spirit": percent},
        scent="Scent 1",
        extra=(thing("Spirit", "Alcohol Denat."),),
    )
    assert (subjects(made) == []) is clear


def test_washes_creams_and_balms_of_the_demo_carry_their_scent() -> None:
    for name in ("R1", "R1b", "R2", "R4", "R5"):
        assert "scent in clear water without a solubiliser" not in subjects(ALL[name])


def test_a_thick_product_does_not_go_into_a_foamer() -> None:
    assert subjects(R2, "foamer") == ["thick product in a foamer"]
    assert subjects(R2, "jar") == []
    assert subjects(R1, "foamer") == []
    assert subjects(
        recipe("wash", WASH, {"Sarcosinate": 10, "Gum": 0.5}, extra=(thing("Gum", "Hydroxyethylcellulose"),)), "foamer"
    ) == ["thick product in a foamer"]


def test_every_clash_on_file_has_a_source_a_family_and_a_kind() -> None:
    table = reference.rows("clashes.csv")
    families = {row["family"] for row in reference.rows("clash_families.csv")}
    assert len({row["key"] for row in table}) == len(table) >= 12
    assert all(row["source"] for row in table)
    assert {side for row in table for side in (row["one"], row["other"]) if side} - {"scent"} <= families
    # what gives off a poisonous gas stops; a fizz in water is good to know; all others are looked at
    assert {row["key"]: row["kind"] for row in table if row["kind"] != "look"} == {
        "bleach and acid": "stop",
        "fizz in water": "know",
        "anionic and conditioning polymer": "know",
    }


def test_nothing_on_file_is_found_in_what_holds_none_of_it() -> None:
    assert subjects(R1B) == []
    assert subjects(R4) == []


PRESERVATIVES_WITH_A_CHARGE = [
    "Benzethonium Chloride",
    "Benzalkonium Saccharinate",
    "Benzalkonium Bromide",
    "Ethyl Lauroyl Arginate HCl",
    "Hexamidine Diisethionate",
    "Cetylpyridinium Chloride",
]


@pytest.mark.parametrize("inci", PRESERVATIVES_WITH_A_CHARGE)
def test_a_cationic_preservative_meets_the_sarcosinate_of_the_wash(inci: str) -> None:
    # quaternary ammonium, pyridinium, amidine and arginate salts carry a plus (textbook chemistry); lauroyl sarcosinate
    # carries a minus
    levels = {line.ingredient: line.percent for line in R1.lines if not line.balance} | {"It": 0.1}
    assert "anionic with cationic" in subjects(recipe("wash", WASH, levels, extra=(thing("It", inci),), read=5.1))


@pytest.mark.parametrize(
    "inci",
    [
        "Cetrimonium Chloride",
        "Behentrimonium Methosulfate",
        "Behentrimonium Methosulphate",
        "Distearyldimonium Chloride",
        "Stearalkonium Chloride",
    ],
)
def test_a_taurate_polymer_is_anionic(inci: str) -> None:
    levels = {line.ingredient: line.percent for line in R2.lines if not line.balance} | {"It": 1}
    found = [
        f
        for f in clashes(recipe("gel", HANDS, levels, extra=(thing("It", inci),), read=5.5))
        if f.subject == "anionic with cationic"
    ]
    assert len(found) == 1
    assert "Taurate Copolymer (in Gel former)" in found[0].text


@pytest.mark.parametrize(
    "inci",
    [
        "Sodium Coco-Sulfate",
        "Sodium Laureth Sulphate",
        "MIPA-Laureth Sulfate",
        "Sodium Methyl Cocoyl Taurate",
        "Ammonium Cocoyl Isethionate",
        "Sodium C14-16 Olefin Sulfonate",
        "Disodium Laureth Sulphosuccinate",
        "Carbomer",
        "Acrylates/C10-30 Alkyl Acrylate Crosspolymer",
        "Xanthan Gum",
        "Sodium Cocoyl Glutamate",
        "Potassium Cetyl Phosphate",
    ],
)
def test_anionics_are_known_by_their_names(inci: str) -> None:
    made = recipe("x", WASH, {"It": 5, "Quat": 1}, extra=(thing("It", inci), thing("Quat", "Cetrimonium Chloride")))
    assert "anionic with cationic" in subjects(made)


@pytest.mark.parametrize(
    "inci",
    [
        "Hydroxyethylcellulose",
        "Guar Gum",
        "Polyacrylamide",
        "Cocamidopropyl Betaine",
        "Linoleamidopropyl PG-Dimonium Chloride Phosphate",
        "Magnesium Sulfate",
        "Cetearyl Alcohol",
        "Polysorbate 20",
    ],
)
def test_what_carries_no_minus_does_not_clash_with_a_cationic(inci: str) -> None:
    made = recipe("x", WASH, {"It": 1, "Quat": 1}, extra=(thing("It", inci), thing("Quat", "Cetrimonium Chloride")))
    assert "anionic with cationic" not in subjects(made)


def test_a_phospholipid_of_two_charges_is_no_cationic() -> None:
    made = recipe(
        "x",
        WASH,
        {"Wash": 5, "It": 1},
        extra=(
            thing("Wash", "Sodium Laureth Sulfate"),
            thing("It", "Linoleamidopropyl PG-Dimonium Chloride Phosphate"),
        ),
    )
    assert "anionic with cationic" not in subjects(made)


@pytest.mark.parametrize(
    "salt",
    [
        "Magnesium Sulphate",
        "Magnesium Sulfate Heptahydrate",
        "Zinc Sulphate",
        "Potassium Sulfate",
        "Aluminium Sulphate",
        "Epsom salt",
    ],
)
def test_a_sulphate_by_any_spelling_thins_the_gel(salt: str) -> None:
    levels = {line.ingredient: line.percent for line in R2.lines if not line.balance} | {"It": 1}
    assert subjects(recipe("gel", HANDS, levels, extra=(thing("It", salt),), read=5.5)) == [
        "acrylic gel former with salt"
    ]


def test_an_essential_oil_in_clear_water_is_a_scent_whatever_its_function() -> None:
    for function in ("oil", "active", "essential oil", ""):
        mist = recipe(
            "mist",
            HANDS,
            {"Lavender oil": 0.3, "Glycerin": 2, **PRESERVED},
            extra=(thing("Lavender oil", "Lavandula Angustifolia Oil", function),),
        )
        assert subjects(mist) == ["scent in clear water without a solubiliser"]
    extract = recipe(
        "mist",
        HANDS,
        {"It": 0.3, "Glycerin": 2, **PRESERVED},
        extra=(thing("It", "Chamomilla Recutita Flower Extract", "active"),),
    )
    assert subjects(extract) == []


def test_the_undissociated_share_is_said_as_it_is() -> None:
    # Henderson and Hasselbalch at pH 5.6: benzoic acid (pKa 4.20) 1 / (1 + 10^1.40) = 3.83 %; sorbic acid (pKa 4.76) 1
    # / (1 + 10^0.84) = 12.63 %
    found = next(f for f in clashes(replace(R3_V1, ph_read=5.6)) if f.subject.startswith("benzoate"))
    assert "3.8 % of the benzoic acid" in found.text
    assert "12.6 % of the sorbic acid are undissociated" in found.text
    assert "hardly" not in found.text
    alone = recipe("x", HANDS, {"Potassium sorbate": 0.3}, read=5.6)
    assert "only 12.6 % of the sorbic acid is undissociated" in clashes(alone)[0].text
    # at pH 8: 1 / (1 + 10^3.24) = 0.057 %
    assert "less than 0.1 % of the sorbic acid is undissociated" in clashes(replace(alone, ph_read=8.0))[0].text
