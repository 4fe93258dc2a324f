"""A cell that holds a list is recognised; a true name stays one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit import reference
from maker_kit.formula.substances.cells import parts_of_cell


@pytest.mark.parametrize(
    "name",
    [
        "1,2-Hexanediol", "Aqua/Water/Eau", "Caprylic/Capric Triglyceride", "PEG-7 Glyceryl Cocoate",
        "Acrylates/C10-30 Alkyl Acrylate Crosspolymer", "Parfum/Fragrance", "C12-15 Alkyl Benzoate",
        "Sodium C14-16 Olefin Sulfonate", "2-Bromo-2-Nitropropane-1,3-Diol", "Benzoic Acid, 2-hydroxy-",
        "Lavandula Angustifolia Flower/Leaf/Stem Oil", "Titanium Dioxide/CI 77891", "D&C Red No. 33",
        "Propylene Glycol Dicaprylate/Dicaprate", "Cinnamaldehyde/Cinnamal",
        "Formaldehyde/Melamine/Tosylamide Copolymer", "Leuconostoc/Radish Root Ferment Filtrate",
        "Citrus Aurantium Amara Leaf/Twig Oil", "Glyceryl Citrate/Lactate/Linoleate/Oleate",
        "Helianthus Annuus (Sunflower) Seed Oil", "PEG/PPG-18/18 Dimethicone", "Styrene/Acrylates Copolymer",
        "Phytosteryl/Octyldodecyl Lauroyl Glutamate", "N,N-Diethyl-m-Toluamide",
    ],
)  # fmt: skip
def test_a_true_name_is_not_cut(name: str) -> None:
    cell = parts_of_cell(name)
    assert len(cell.parts) == 1
    assert not cell.asked


@pytest.mark.parametrize("between", [", ", ",", " (and) ", "(and)", " & ", "&", " / ", "/", " + ", "+", " and "])
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Phenoxyethanol", "Ethylhexylglycerin"),
        ("Sodium Benzoate", "Potassium Sorbate"),
        ("Aqua", "Glycerin"),
        ("Cetearyl Alcohol", "Ceteareth-20"),
    ],
)
def test_a_list_in_another_spelling_is_taken_apart_and_asked_about(between: str, one: str, other: str) -> None:
    cell = parts_of_cell(one + between + other)
    assert cell.parts == (one, other)
    assert cell.asked
    assert cell.between == between.strip()


@pytest.mark.parametrize("between", [" und ", " et ", " y ", " • ", " · ", " | ", " │ ", " 90% ", " (90 %) "])
def test_dots_bars_figures_and_other_tongues_stand_between_names_too(between: str) -> None:
    cell = parts_of_cell(f"Phenoxyethanol{between}Ethylhexylglycerin")
    assert cell.parts == ("Phenoxyethanol", "Ethylhexylglycerin")
    assert cell.asked


@pytest.mark.parametrize("name", ["Panthenol 75%", "Citric Acid 50% Solution", "Sodium Lactate 60 %"])
def test_a_strength_behind_one_name_makes_no_list(name: str) -> None:
    assert not parts_of_cell(name).asked


def test_semicolons_are_the_plain_case() -> None:
    cell = parts_of_cell(" Cetearyl Alcohol ; Ceteareth-20;")
    assert cell.parts == ("Cetearyl Alcohol", "Ceteareth-20")
    assert not cell.asked


def test_a_preservative_beside_a_name_nobody_knows_is_not_passed_over() -> None:
    for text in (
        "Phenoxyethanol, Nonsensium",
        "Phenoxyethanol / Nonsensium",
        "Phenoxyethanol & Nonsensium",
        "Phenoxyethanol (and) Nonsensium",
        "Phenoxyethanol + Nonsensium",
    ):
        cell = parts_of_cell(text)
        assert cell.parts == ("Phenoxyethanol", "Nonsensium"), text
        assert cell.asked


def test_no_plain_carrier_is_cut() -> None:
    assert not [r["inci"] for r in reference.rows("plain_carriers.csv") if len(parts_of_cell(r["inci"]).parts) != 1]


@given(
    st.lists(
        st.sampled_from(
            [
                "Aqua",
                "Glycerin",
                "1,2-Hexanediol",
                "Caprylic/Capric Triglyceride",
                "Phenoxyethanol",
                "PEG-7 Glyceryl Cocoate",
            ]
        ),
        min_size=1,
        max_size=5,
    )
)
def test_names_between_semicolons_come_back_in_order(names: list[str]) -> None:
    assert parts_of_cell("; ".join(names)).parts == tuple(names)
