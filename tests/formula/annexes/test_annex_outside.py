"""No use that an entry does not list passes in silence: every entry of Annexes III–VI whose product column is told,
tried on every product that a maker's words can be.

What a row may mean is read here by its bare words, and generously ("body" is any skin, "oral" and "nail" nothing that
is made at home); what no row may mean even so has to be a stop, or a look.
"""

from __future__ import annotations

import re
from collections import defaultdict
from fractions import Fraction
from itertools import product as all_of

import pytest
from annex_products import verdicts_of
from reference_tables import reference_rows

from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.annexes.verdict import Content
from maker_kit.formula.annexes.verdicts import verdicts
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance_key

PURPOSE = {"III": "active", "IV": "colour", "V": "preservative", "VI": "UV filter"}
PRODUCTS = [
    ProductType((place,), rinse, spray, whom)
    for place, rinse, spray, whom in all_of(PLACES, (True, False), (True, False), ("adults", "small children"))
]
SKIN = {"hands", "body", "face", "eye area", "lips", "underarm", "intimate area", "baby"}
WORDS = {
    r"hair|shampoo|head": {"hair"},
    r"eyelash|eyebrow|\beye\b|mascara": {"eye area", "face"},
    r"face|facial|make-?up|foundation": {"face", "eye area", "lips", "baby"},
    r"hand\b|hands\b|hand wash": {"hands", "baby"},
    r"\blip": {"lips", "face"},
    r"deodorant|perspirant": {"underarm", "body", "face"},
    r"body|skin|soap|shower|bath|powder|self-tanning|fragrance|eau de|foot": SKIN,
    r"anogenital|wipes": {"intimate area", "baby"},
}
ANY = re.compile(
    r"(?i)other|^\s*$|all cosmetic|ph.?a?d?juster|solvent|raw materials|rust|denaturant|traces|^leave-on products|"
    r"^rinse-off|only for rinse-off|all leave-on|all rinse-off|allowed for use|not to be used|propellant spray"
)
NOT_HERE = re.compile(r"(?i)not to be used in (?:eye products|products applied on (?:the )?mucous membranes)")


def may_mean(words: str, product: ProductType) -> bool:
    """Whether a row's words can possibly mean a product, read generously."""
    low = words.casefold().replace("rinse off", "rinse-off")
    place = product.places[0]
    if "rinse-off" in low and "leave-on" not in low and not product.rinse_off:
        return False
    if "leave-on" in low and "rinse-off" not in low and product.rinse_off:
        return False
    if NOT_HERE.search(low):
        return place not in ({"eye area"} if "eye" in low else {"lips", "intimate area"})
    if ANY.search(low):
        return True
    return any(place in places for pattern, places in WORDS.items() if re.search(pattern, low))


def entries_with_a_product_column() -> dict[tuple[str, str, str], list[str]]:
    found: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for annex, file in (
        ("III", "eu_annex_iii.csv"),
        ("IV", "eu_annex_iv.csv"),
        ("V", "eu_annex_v.csv"),
        ("VI", "eu_annex_vi.csv"),
    ):
        for row in reference_rows(file):
            if not row["substance"].startswith("Moved"):
                words = row["product_type_or_body_part"]
                if annex == "IV" and not words and not row["max_percent"]:
                    words = row["max_percent_text"]
                found[annex, row["entry"], row["substance"].strip()].append(words)
    return {key: rows for key, rows in found.items() if all(rows)}


ENTRIES = entries_with_a_product_column()


def test_the_entries_with_a_product_column_are_many() -> None:
    assert {annex for annex, _, _ in ENTRIES} == {"III", "IV", "V", "VI"}
    assert len(ENTRIES) > 250


@pytest.mark.parametrize("annex", ["III", "IV", "V", "VI"])
def test_outside_its_product_column_nothing_is_silent(annex: str) -> None:
    silent, tried = [], 0
    for (of, number, substance), rows in ENTRIES.items():
        if of != annex:
            continue
        outside = [p for p in PRODUCTS if not any(may_mean(words, p) for words in rows)]
        entries = [e for e in law().entries if (e.annex, e.number, e.substance) == (of, number, substance)]
        names = [n for e in entries for n in e.names if law().by_key.get(substance_key(n))]
        for product in outside[:: max(1, len(outside) // 4)]:
            tried += 1
            amount = Fraction(1, 100_000)
            said = verdicts((Content(names[0], amount, amount, (PURPOSE[annex],)),), product, 7.0)
            if not any(v.is_stop or v.is_look for v in said):
                silent.append((number, names[0], product))
    assert not silent, silent
    assert tried > {"III": 500, "IV": 10, "V": 20, "VI": 2}[annex]


# Annex V entry 32: hair lotions, face creams, foot care 0.2 %, rinse-off shampoo 0.5 %
@pytest.mark.parametrize(
    ("place", "rinse", "title", "percent", "stops"),
    [
        ("body", False, "Body lotion", 0.15, True), ("body", False, "Foot cream", 0.15, False),
        ("body", False, "Crema para los pies", 0.15, False), ("body", False, "Fußbalsam", 0.15, False),
        ("body", False, "Foot cream", 0.25, True), ("hands", False, "Hand cream", 0.1, True),
        ("face", False, "Face cream", 0.2, False), ("hair", True, "Shampoo", 0.5, False),
        ("hair", True, "Shampoo", 0.6, True), ("body", True, "Shower gel", 0.1, True),
    ],
)  # fmt: skip
def test_climbazole_is_for_hair_face_and_feet(place, rinse, title, percent, stops) -> None:
    product = ProductType((place,), rinse, called=title)
    said = verdicts_of("Climbazole", product, percent, percent, functions=("preservative",))
    assert any(v.is_stop for v in said) is stops, said
    assert not any(v.is_look for v in said) or stops, said


def test_where_no_title_is_told_feet_are_not_ruled_out() -> None:
    said = verdicts_of("Climbazole", ProductType(("body",), rinse_off=False), 0.1, 0.1, functions=("preservative",))
    assert [v.code for v in said] == ["unknown_product_type"]


# Annex IV entry 3 (CI 10020): not in products applied on mucous membranes; a face product may come to eyes and lips
@pytest.mark.parametrize(
    ("place", "least"), [("lips", "stop"), ("intimate area", "stop"), ("face", "look"), ("baby", "look"), ("hands", "")]
)
def test_a_colour_not_for_mucous_membranes(place: str, least: str) -> None:
    said = verdicts_of("CI 10020", ProductType((place,), rinse_off=True), 0.1, 0.1, functions=("colour",))
    kinds = ["stop" if v.is_stop else "look" for v in said if v.is_stop or v.is_look]
    assert (kinds or [""])[0] == least, said


# Annex II entries 213 (iodine), 168 (choline salts), 200 (hydrazides), 201 (hydrazine and its derivatives), 344
# (morpholine and its salts), 167 (esters of 4-aminobenzoic acid with the free amino group), 300 (glucocorticoids)
@pytest.mark.parametrize(
    "name",
    [
        "PVP-Iodine", "Povidone-Iodine", "Nonoxynol-12 Iodine", "Iodine Trichloride", "Choline Chloride",
        "Choline Bitartrate", "Stearic Hydrazide", "Adipic Acid Dihydrazide", "Phenylhydrazine Hydrochloride",
        "Morpholine Oleate", "Glyceryl PABA", "Ethyl PABA", "Hydrocortisone Valerate", "Zinc Chromate",
    ],
)  # fmt: skip
def test_members_of_a_prohibited_group_are_prohibited(name: str) -> None:
    said = verdicts_of(name, ProductType(("body",), rinse_off=False), 1, 1, functions=("active",))
    assert said[0].code == "prohibited", said


@pytest.mark.parametrize("name", ["PEG-25 PABA", "Ethylhexyl Dimethyl PABA"])
def test_esters_without_the_free_amino_group_are_not(name: str) -> None:
    said = verdicts_of(name, ProductType(("body",), rinse_off=False), 1, 1, functions=("UV filter",))
    assert "prohibited" not in {v.code for v in said}
