"""Near misses are asked about; a correctly spelt other substance is not."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit import reference
from maker_kit.formula.substances.naming import known
from maker_kit.formula.substances.near import near_names
from maker_kit.formula.substances.published import published
from maker_kit.formula.substances.spelling import fold


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Phenoxythanol", "Phenoxyethanol"), ("Phenoxyethanole", "Phenoxyethanol"),
        ("Methyl eugenole", "Methyl Eugenol"), ("Sodium Benzoat", "Sodium Benzoate"), ("Limonen", "Limonene"),
        ("Linalol", "Linalool"), ("Salycilic Acid", "Salicylic Acid"), ("Hydroquinon", "Hydroquinone"),
        ("Kojic Acide", "Kojic Acid"), ("Octocrylen", "Octocrylene"), ("Benzyl Alchohol", "Benzyl Alcohol"),
        ("Isoeugenole", "Isoeugenol"), ("Formaldehyed", "Formaldehyde"), ("Resorcinole", "Resorcinol"),
        ("Potasium Sorbate", "Potassium Sorbate"),
    ],
)  # fmt: skip
def test_a_letter_or_two_off_is_asked_about(name: str, meant: str) -> None:
    assert not known(name)
    assert meant in near_names(name)


@pytest.mark.parametrize(
    "name",
    [
        "Sodium Benzoate", "Potassium Benzoate", "Methylparaben", "Ethylparaben", "Glycerin", "Glycerine",
        "Polysorbate 21", "Ceteareth-30", "Nerol", "Menthone", "Thymol", "Carvacrol", "Isobutyl Stearate",
        "Calcium Stearate", "Lauric Acid", "CI 77492", "CI 77493", "122-99-6", "122-99-7", "Oil", "",
    ],
)  # fmt: skip
def test_a_correctly_spelt_other_substance_is_let_be(name: str) -> None:
    assert near_names(name) == ()


def test_no_plain_carrier_is_asked_about() -> None:
    assert not [r["inci"] for r in reference.rows("plain_carriers.csv") if near_names(r["inci"])]


@given(
    st.sampled_from(
        [
            "Phenoxyethanol",
            "Benzyl Salicylate",
            "Hydroxycitronellal",
            "Methylisothiazolinone",
            "Butylphenyl Methylpropional",
        ]
    ),
    st.data(),
)
def test_one_letter_left_out_finds_the_name_again(name: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(name) - 1))
    spelt = name[:place] + name[place + 1 :]
    if fold(spelt) != fold(name) and not known(spelt):
        assert fold(name) in map(fold, near_names(spelt))


def test_a_thousand_names_are_compared_quickly() -> None:
    near_names("Phenoxythanol")
    names = [f"{n[:4]}x{n[5:]}" for n in list(published().names.values())[:1000] if len(n) > 6]
    start = time.process_time()
    for name in names:
        near_names(name)
    assert time.process_time() - start < 2
