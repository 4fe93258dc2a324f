"""Annex II: a prohibited substance is prohibited under each of its names, in every product; a ban with a condition
is told with the law's words.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from annex_products import verdicts_of
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_json, reference_rows

from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.prohibited import prohibitions_of
from maker_kit.formula.annexes.us import us_rules, us_rules_of
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.annexes.verdict import Content, Verdict
from maker_kit.formula.annexes.verdicts import verdicts
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.cas import cas_numbers
from maker_kit.formula.substances.cells import parts_of_cell

FACE = ProductType(("face",), rinse_off=False)
PRODUCTS = st.builds(
    ProductType,
    st.lists(st.sampled_from(PLACES), min_size=1, max_size=3, unique=True).map(tuple),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["adults", "small children"]),
)
CONDITION = re.compile(
    r"(?i)\bif\b|\bexcept\b|\bexception\b|\bwhen used\b|\bunless\b|\bprovided\b|see annex|annex v|diameter|nano|"
    r"moved or deleted|^petroleum$"
)
OUTRIGHT = [row for row in reference_rows("eu_annex_ii.csv") if not CONDITION.search(row["name"])]
"""Rows without any word of a condition: found here by words of their own, not by the flag of the packed table."""


def has_only_own_numbers(row: dict[str, str]) -> bool:
    return len(cas_numbers(row["cas"])) > 0


def test_most_of_annex_ii_is_outright() -> None:
    assert len(OUTRIGHT) > 1100


@pytest.mark.parametrize("row", OUTRIGHT[::9], ids=lambda row: row["entry"])
def test_the_text_of_an_outright_entry_is_prohibited(row: dict[str, str]) -> None:
    said = prohibitions_of(Content(row["name"], Fraction(1), Fraction(1)), law(), FACE)
    if not re.search(
        r"\[\d\]|;|\||\band its\b|, its|\(|compounds|salts|derivatives|spp|L\.|mixture|e\.g\.|isomers", row["name"]
    ):
        assert [v.code for v in said] == ["prohibited"], row["name"]


def test_every_outright_cas_number_is_prohibited() -> None:
    """Each once: a row that is drawn one time in a thousand hid among them."""
    rows = [(row["entry"], number) for row in OUTRIGHT for number in cas_numbers(row["cas"])]
    assert len(rows) > 1000
    said = {row: verdicts_of(row[1], FACE, 0.5, 0.5) for row in rows}
    assert [row for row in rows if not said[row] or said[row][0].code != "prohibited"] == []


@given(
    st.sampled_from([row for row in OUTRIGHT if has_only_own_numbers(row)]),
    PRODUCTS,
    st.sampled_from([0.0001, 0.5, 100]),
    st.data(),
)
def test_any_outright_cas_number_in_any_product_is_prohibited(
    row: dict[str, str], product: ProductType, percent: float, data: st.DataObject
) -> None:
    number = data.draw(st.sampled_from(cas_numbers(row["cas"])))
    said = verdicts_of(data.draw(st.sampled_from([number, f"CAS {number}"])), product, percent, percent)
    assert said, (row["entry"], number)
    assert said[0].code == "prohibited", (row["entry"], number, said[0])


OUTRIGHT_PACKED = [p for p in law().prohibitions if not p.conditional]
NAMES_OF: dict[int, list[str]] = {}
for key, places in law().banned.items():
    for place in places:
        NAMES_OF.setdefault(place, []).append(key)


@given(st.sampled_from(sorted(NAMES_OF)), PRODUCTS, st.data())
def test_every_name_of_an_outright_entry_is_prohibited_in_any_product(
    place: int, product: ProductType, data: st.DataObject
) -> None:
    entry = law().prohibitions[place]
    if not entry.conditional:
        said = verdicts_of(data.draw(st.sampled_from(NAMES_OF[place])), product, 0.1, 0.1)
        assert said
        assert said[0].code == "prohibited"


@pytest.mark.parametrize(
    "name",
    [
        "Lilial", "Butylphenyl Methylpropional", "80-54-6", "Lyral", "Zinc Pyrithione", "pyrithione zinc",
        "Boric Acid", "Borax", "Sodium Borate", "Formaldehyde", "formalin", "50-00-0", "Quaternium-15",
        "Isobutylparaben", "Benzylparaben", "Sodium Isobutylparaben", "Nickel Sulfate", "Diethanolamine",
        "DEA-Cetyl Phosphate", "DEA-Lauryl Sulfate", "Lead Acetate",
        "Lead Oxide", "Mercuric Chloride", "Cadmium Sulfide", "Arsenic Trioxide", "Tretinoin", "Retinoic Acid",
        "Minoxidil", "Lidocaine", "Hydrocortisone", "Estradiol", "Progesterone", "DMSO", "Chloroform",
        "Dichloromethane", "Toluene-2,6-Diamine", "Benzene", "Phenol", "Dibutyl Phthalate", "Diethylhexyl Phthalate",
        "Cyclotetrasiloxane", "D4", "Coal Tar", "4-Methylbenzylidene Camphor", "3-Benzylidene Camphor", "PABA",
        "Pyrocatechol", "Pyrogallol", "Iodine", "Catalase", "Cholecalciferol", "Vitamin D3", "Phytonadione",
        "Urocanic Acid", "Chlorophene", "Atropa Belladonna Leaf Extract", "Aconitum Napellus Root Extract",
        "Strychnos Nux-Vomica Seed Extract", "Vinyl Acetate", "Styrene", "Acetaldehyde", "Imidazole", "Melamine",
        "Theophylline", "Cumene", "Musk Ambrette", "Chloroacetamide", "Methylene Glycol", "Paraformaldehyde",
        "Trisodium NTA", "Pentasodium Pentetate", "Colloidal Silver", "Ammonium Bromide", "Dimethyltolylamine",
        "Neomycin", "Deanol aceglumate",
    ],
)  # fmt: skip
def test_what_a_maker_may_meet_is_prohibited(name: str) -> None:
    said = verdicts_of(name, FACE, 0.1, 0.1)
    assert [v.code for v in said][:1] == ["prohibited"], said


@pytest.mark.parametrize(
    "name",
    [
        "Aqua", "Glycerin", "Sodium Benzoate", "Phenoxyethanol", "Barium Sulfate", "CI 77120", "CI 77480", "Gold",
        "CI 77288", "CI 45380", "Methylparaben", "Cocamide DEA", "Triethanolamine", "Salicylic Acid", "Tocopherol",
        "Laurus Nobilis Leaf Oil", "Sodium Lauryl Sulfate", "Benzophenone-3", "Benzophenone-4", "Alcohol Denat.",
        "Selenium Sulfide", "Boron Nitride", "Cyclopentasiloxane", "Butylene Glycol", "Silica",
        "Leadwort Root Extract", "Olea Europaea Fruit Oil", "Hydrogenated Palm Oil", "Sodium Borosilicate",
    ],
)  # fmt: skip
def test_what_is_allowed_is_not_called_prohibited(name: str) -> None:
    assert not [
        v for v in verdicts_of(name, ProductType(("hair",), rinse_off=True), 0.05, 0.05) if v.code == "prohibited"
    ]


def code_of(said: tuple[Verdict, ...], annex: str = "II") -> list[tuple[str, str]]:
    return [(v.code, v.about) for v in said if v.annex == annex]


def test_conditional_bans_are_unknown_with_the_laws_words() -> None:
    hair = ProductType(("hair",), rinse_off=True)
    assert code_of(verdicts_of("1,2,4-Trihydroxybenzene", hair, 1, 1)) == [("unknown_condition", "hair dye")]
    assert (
        code_of(verdicts_of("1,2,4-Trihydroxybenzene", FACE, 1, 1)) == []
    )  # entry 1642 bans it in hair and eyelash dyes only
    assert code_of(verdicts_of("Dihydrocoumarin", FACE, 0.1, 0.1)) == [("unknown_condition", "fragrance")]
    assert code_of(verdicts_of("Dihydrocoumarin", FACE, 0.1, 0.1, functions=("scent",))) == [("prohibited", "")]
    said = verdicts_of("Petrolatum", FACE, 20, 20)
    assert code_of(said) == [("unknown_condition", "content")]
    assert "refining history" in said[0].quote
    citrus = verdicts_of("Citrus Limon Peel Oil", FACE, 1, 1)
    assert ("unknown_condition", "natural") in code_of(citrus)
    assert "normal content in natural essences" in citrus[0].quote
    assert code_of(verdicts_of("Safrole", FACE, 0.005, 0.005)) == [("unknown_condition", "natural")]
    assert code_of(verdicts_of("Safrole", FACE, 0.02, 0.02))[0][0] == "prohibited"  # entry 360: 100 ppm
    assert code_of(verdicts_of("Myroxylon Pereirae Resin", FACE, 0.1, 0.1))[0][0] == "unknown_condition"


def test_a_ban_that_excepts_another_annex() -> None:
    """Hydroquinone but for nail systems (III 14); selenium but for the disulfide in shampoo (III 49); DEG but for
    traces (III 186).
    """
    assert code_of(verdicts_of("Hydroquinone", FACE, 2, 2)) == [("prohibited", "")]
    assert code_of(verdicts_of("Selenium Sulfide", ProductType(("hair",), rinse_off=True), 1, 1)) == []
    assert code_of(verdicts_of("Diethylene Glycol", FACE, 0.05, 0.05)) == [("unknown_condition", "annex")]
    assert code_of(verdicts_of("Thiourea", FACE, 1, 1))[0][0] == "prohibited"
    assert code_of(verdicts_of("Acrylamide", FACE, 0.1, 0.1))[0][0] == "prohibited"


def test_us_rules() -> None:
    """21 CFR 700.11, 700.18, 700.19, 700.14 and 700.16 (aerosols only), 700.13 (mercury)."""
    spray = ProductType(("hair",), rinse_off=False, spray=True)
    assert [r.section for r in us_rules_of("Bithionol", FACE)] == ["21 CFR 700.11"]
    assert [r.section for r in us_rules_of("Methylene chloride", FACE)] == ["21 CFR 700.19"]
    assert us_rules_of("Vinyl Chloride", FACE) == ()
    assert [r.section for r in us_rules_of("Vinyl Chloride", spray)] == ["21 CFR 700.14"]
    assert [r.section for r in us_rules_of("Aluminum Zirconium Tetrachlorohydrex Gly", spray)] == ["21 CFR 700.16"]
    assert [r.prohibited for r in us_rules_of("Mercuric Oxide", FACE)] == [False]
    assert us_rules_of("Glycerin", spray) == ()
    assert all(r.checked for r in us_rules())


HARD = [case for case in reference_json("hard_recipes.json") if re.search(r"Annex", case["why"])]


def contents_of(case: dict) -> tuple[Content, ...]:  # type: ignore[type-arg]
    told = sum(Fraction(str(line["percent"])) for line in case["lines"] if line["percent"] is not None)
    found = []
    for line in case["lines"]:
        percent = Fraction(str(line["percent"])) if line["percent"] is not None else 100 - told
        if line.get("inside"):
            found += [
                Content(
                    s["substance"],
                    percent * Fraction(str(s["low"])) / 100,
                    percent * Fraction(str(s["high"])) / 100,
                    (line["function"],),
                )
                for s in line["inside"]
            ]
            continue
        names = parts_of_cell(line["inci"]).parts
        alone = len(names) == 1
        found += [
            Content(name, percent if alone else Fraction(0), percent if alone else None, (line["function"],))
            for name in names
        ]
    return tuple(found)


@pytest.mark.parametrize("case", HARD, ids=lambda case: case["case"])
def test_hard_recipes_as_far_as_the_annexes_go(case: dict) -> None:  # type: ignore[type-arg]
    product = ProductType((case["where"],), case["use"] == "rinse-off", case["spray"] == "yes", case["whom"])
    said = verdicts(contents_of(case), product, case["ph"])
    about = re.compile(case.get("about", "."), re.IGNORECASE)
    if case["case"] == "comma":  # its amounts are not told: the list itself is asked about, see test_inci_cells.py
        assert any(v.code == "unknown_amount" and about.search(" ".join(v.names)) for v in said)
    elif case["least"] == "stop":
        assert any(v.is_stop and about.search(" ".join((*v.names, v.substance, v.quote, v.about))) for v in said), said
    elif case["least"] == "none":
        assert not [v for v in said if v.is_stop]
    else:
        assert any(v.is_stop or v.is_look or v.code in {"needs_warning", "declare"} for v in said), said


@pytest.mark.parametrize(
    "case", [c for c in reference_json("hard_recipes.json") if c["least"] == "none"], ids=lambda case: case["case"]
)
def test_nothing_is_said_where_nothing_is_wrong(case: dict) -> None:  # type: ignore[type-arg]
    product = ProductType((case["where"],), case["use"] == "rinse-off", case["spray"] == "yes", case["whom"])
    said = verdicts(contents_of(case), product, case["ph"])
    assert not [v for v in said if v.is_stop or v.is_look]


SCENT_ONLY = {
    "Lippia Citriodora Leaf Oil": "450",
    "Lippia Citriodora Oil": "450",
    "Lemon Verbena Oil": "450",
    "Saussurea Lappa Root Oil": "1133",
    "Saussurea Costus Root Oil": "1133",
    "Ficus Carica Leaf Absolute": "436",
    "Inula Helenium Root Oil": "423",
}
"""Oils and absolutes that Annex II bans as scents, by the names they are sold under (plants: the check table)."""


@pytest.mark.parametrize("name", SCENT_ONLY)
def test_a_plant_oil_that_is_banned_as_a_scent_is_banned_under_its_inci_name(name: str) -> None:
    said = verdicts_of(name, FACE, 0.1, 0.1, functions=("scent",))
    assert {(v.code, v.entry) for v in said if v.annex == "II"} == {("prohibited", SCENT_ONLY[name])}


def test_verbena_absolute_is_not_banned() -> None:
    assert "prohibited" not in {v.code for v in verdicts_of("Verbena Absolute", FACE, 0.1, 0.1, functions=("scent",))}


@pytest.mark.parametrize("name", ["Human Placental Extract", "Human Umbilical Extract", "Human Adipose Derived Oil"])
def test_what_is_of_human_origin_is_prohibited(name: str) -> None:
    said = verdicts_of(name, FACE, 1, 1)
    assert {(v.code, v.entry) for v in said} == {("prohibited", "416")}


@pytest.mark.parametrize("name", ["Cannabis Sativa Extract", "Cannabidiol", "Papaver Somniferum Extract"])
def test_what_may_be_a_narcotic_is_asked_about_with_the_laws_words(name: str) -> None:
    said = verdicts_of(name, FACE, 1, 1)
    assert {(v.code, v.entry) for v in said} == {("unknown_condition", "306")}
    assert not verdicts_of("Cannabis Sativa Seed Oil", FACE, 1, 1)
